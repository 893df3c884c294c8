"""What backbone cables want: cable cut to order, ends, panels, labels and tests."""

import pytest

from app.design.design import Design
from app.model.entities import BackboneCable, CableType, Demarcation, Frame
from app.model.vocabulary import Medium, ProvidedBy
from app.routing.results import BackboneRoute, NoRoute, RunStatus
from app.sheets.backbone_table import backbone_table
from app.takeoff.lines import Section
from app.takeoff.takeoff import Takeoff, take_off
from tests.hand_designs import FLOOR, FRAME, base, design_of


def test_backbone_is_cut_to_order() -> None:
    demarcation = Demarcation(id="demarcation-00000001", floor=FLOOR, name="D1", x_mm=0, y_mm=0)
    fibre = CableType(id="cable-type-00000009", name="OS2, 24 strands", od_mm=9.0)
    cable = BackboneCable(
        id="backbone-cable-00000001",
        name="X1",
        from_id=demarcation.id,
        to_id=FRAME,
        cable_type=fibre.id,
        count=2,
    )
    route = BackboneRoute(
        RunStatus.WITHIN, NoRoute.NONE, 64_600, 10_100, 0, 6_000, 0, 80_700, 81_300, 90_000
    )
    takeoff = take_off(design_of([*base(), demarcation, fibre, cable], backbone={cable.id: route}))
    (line,) = takeoff.backbone
    assert (line.installed_mm, line.cut_mm) == (161_400, 162_600)


def backbone_design(medium: Medium, category: str, strands: int, *, others: bool = False) -> Design:
    """Two cables of a sort from T2, or from a hand-over, to T1."""
    away = Frame(id="frame-00000002", floor=FLOOR, name="T2", x_mm=9_000, y_mm=0)
    end = Demarcation(id="demarcation-00000001", floor=FLOOR, name="D1", x_mm=0, y_mm=0)
    sort = CableType(
        id="cable-type-00000009", name="Sort", medium=medium, category=category, od_mm=9.0
    )
    cable = BackboneCable(
        id="backbone-cable-00000001",
        name="X1",
        from_id=end.id if others else away.id,
        to_id=FRAME,
        cable_type=sort.id,
        count=2,
        strands=strands,
    )
    route = BackboneRoute(
        RunStatus.WITHIN, NoRoute.NONE, 64_600, 10_100, 0, 6_000, 0, 80_700, 81_300, 90_000
    )
    things = [*base(), away, end, sort, cable]
    return design_of(things, backbone={cable.id: route})


def ends(takeoff: Takeoff) -> list[tuple[str, int, str | None, ProvidedBy]]:
    sections = (Section.FRAMES, Section.TERMINATION)
    lines = [line for line in takeoff.lines if line.section in sections and line.item != "Rack"]
    found = [(line.item, line.quantity, line.frame, line.provided_by) for line in lines]
    return sorted(found, key=lambda end: (end[0], end[2] or "x"))


def test_fibre_of_the_backbone_ends_on_connectors_and_panels() -> None:
    # practice, worked by hand: 2 × 24 strands have 48 connectors at each end, on 2 panels of 24.
    us, found = ProvidedBy.US, ends(take_off(backbone_design(Medium.FIBRE, "OS2", 24)))
    assert found == [
        ("Fibre connector, OS2, backbone", 48, "frame-00000001", us),
        ("Fibre connector, OS2, backbone", 48, "frame-00000002", us),
        ("Panel for fibre, 24 strands", 2, "frame-00000001", us),
        ("Panel for fibre, 24 strands", 2, "frame-00000002", us),
    ]


def test_the_hand_over_is_fitted_by_whose_it_is() -> None:
    found = ends(take_off(backbone_design(Medium.FIBRE, "OS2", 12, others=True)))
    assert found == [
        ("Fibre connector, OS2, backbone", 24, FRAME, ProvidedBy.US),
        ("Fibre connector, OS2, backbone", 24, None, ProvidedBy.OTHERS),
        ("Panel for fibre, 24 strands", 1, FRAME, ProvidedBy.US),
        ("Panel for fibre, 24 strands", 1, None, ProvidedBy.OTHERS),
    ]


def test_pairs_end_on_pair_panels_and_single_links_on_patch_panels() -> None:
    us = ProvidedBy.US
    assert ends(take_off(backbone_design(Medium.BALANCED, "3", 25))) == [
        ("Panel for pairs, 25 pairs", 2, "frame-00000001", us),
        ("Panel for pairs, 25 pairs", 2, "frame-00000002", us),
    ]
    assert ends(take_off(backbone_design(Medium.BALANCED, "6A", 4))) == [
        ("Jack, Cat 6A unshielded, at the frame", 2, "frame-00000001", us),
        ("Jack, Cat 6A unshielded, at the frame", 2, "frame-00000002", us),
        ("Panel, unloaded, 24 ports, Cat 6A unshielded", 1, "frame-00000001", us),
        ("Panel, unloaded, 24 ports, Cat 6A unshielded", 1, "frame-00000002", us),
    ]


@pytest.mark.parametrize(
    ("medium", "category", "strands", "tests"),
    [
        # practice, worked by hand, for two cables: fibre strand by strand, pairs one by one, a
        # cable of four pairs as one link, coax as one cable; nothing where it is not said.
        (Medium.FIBRE, "OS2", 24, {"Test of a strand, OS2": 48}),
        (Medium.BALANCED, "3", 25, {"Test of a pair, Cat 3 unshielded": 50}),
        (Medium.BALANCED, "6A", 4, {"Test of a link, Cat 6A unshielded": 2}),
        (Medium.COAX, "series 6", 1, {"Test of a coaxial cable, series 6": 2}),
        (Medium.FIBRE, "OS2", 0, {}),
    ],
)
def test_the_backbone_is_labelled_and_tested(
    medium: Medium, category: str, strands: int, tests: dict[str, int]
) -> None:
    work = take_off(backbone_design(medium, category, strands)).section(Section.WORK)
    found = {line.item: line.quantity for line in work}
    assert found.pop("Label on a backbone cable") == 4
    assert found == tests


def test_strands_that_are_not_said_are_said_to_be_missing() -> None:
    design = backbone_design(Medium.FIBRE, "OS2", 0)
    takeoff = take_off(design)
    assert ends(takeoff) == []
    said = {a.name: a.value for a in takeoff.assumptions}
    assert said["Strands or pairs not said"].startswith("X1;")
    table = backbone_table(design)
    assert table.column_values("strands") == ("not said",)
