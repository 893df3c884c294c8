import pytest

from app.editor.asking import InputProblem
from app.editor.commands.outlets import OutletPlace, Standing, place_outlets
from app.editor.commands.placing import (
    add_access_point,
    add_break,
    add_drop_out,
    add_outdoor_duct,
    add_pathway,
    add_riser,
    add_space,
    place_candidate,
    place_demarcation,
    place_frame,
)
from app.model.entities import AccessPoint, OutdoorDuct, Outlet, Pathway, Riser
from app.model.integrity import check_project
from app.model.project import Patch, Project
from app.model.vocabulary import AccessKind, FrameKind, FrameRole, PathwayKind, State
from tests.editor.small_building import (
    CEILING,
    CONDUIT,
    DATA,
    GROUND,
    HOOKS,
    TRAY,
    UPPER,
    building,
    source,
)


def _applied(project: Project, patch: Patch) -> Project:
    after = project.apply(patch)
    check_project(after)
    assert after.apply(patch.inverse()) == project
    return after


def _outlets(project: Project, places: list[OutletPlace], **more) -> Patch:
    return place_outlets(
        project,
        places,
        floor_id=GROUND,
        kind_id=more.pop("kind_id", DATA),
        pattern=more.pop("pattern", "{floor}-{nn}"),
        source=source(),
        **more,
    )


def test_an_outlet_gets_the_ports_of_its_kind_and_the_next_number():
    project = building()
    patch = _outlets(project, [OutletPlace(x_mm=2_000, y_mm=3_000, rotation_mdeg=90_000)])
    after = _applied(project, patch)
    made = patch.changes[0].after
    assert isinstance(made, Outlet)
    kind = project.outlet_kinds[DATA]
    assert patch.label == "Place outlet 0-04"
    assert made.number == "0-04"
    assert (made.x_mm, made.y_mm, made.rotation_mdeg) == (2_000, 3_000, 90_000)
    assert [p.cable_type for p in made.ports] == [t.cable_type for t in kind.ports]
    assert [p.power_class for p in made.ports] == [t.power_class for t in kind.ports]
    assert len({p.id for o in after.outlets.values() for p in o.ports}) == 8


def test_a_number_once_used_is_not_given_again():
    project = building()
    after = _applied(
        project, _outlets(project, [OutletPlace(x_mm=0, y_mm=0)], retired=lambda _type: {"0-09"})
    )
    assert [o.number for o in after.outlets.values()][-1] == "0-10"


def test_many_outlets_are_one_patch_with_numbers_in_order():
    project = building()
    places = [OutletPlace(x_mm=x, y_mm=0) for x in (100, 200)]
    places.append(OutletPlace(x_mm=300, y_mm=0, kind=CEILING))
    patch = _outlets(project, places, standing=Standing(state=State.FUTURE, phase=2))
    made = [c.after for c in patch.changes]
    assert patch.label == "Place 3 outlets"
    assert [m.number for m in made] == ["0-04", "0-05", "0-06"]
    assert [m.kind for m in made] == [DATA, DATA, CEILING]
    assert {(m.state, m.phase) for m in made} == {(State.FUTURE, 2)}
    _applied(project, patch)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"pattern": "{floor}"}, "needs one counter"),
        ({"pattern": "{rom}-{nn}"}, "means nothing"),
        ({"kind_id": "outlet-kind-99999999"}, "Choose a kind"),
    ],
)
def test_outlets_are_refused_in_words(more: dict[str, str], words: str):
    with pytest.raises(InputProblem, match=words):
        _outlets(building(), [OutletPlace(x_mm=0, y_mm=0)], **more)


def test_no_place_is_refused():
    with pytest.raises(InputProblem, match="no room"):
        _outlets(building(), [])


def test_a_main_frame_plays_two_distributors_and_an_intermediate_one():
    project = building()
    main = place_frame(project, floor_id=UPPER, at=(1, 2), kind=FrameKind.MAIN, source=source())
    other = place_frame(project, floor_id=UPPER, at=(1, 2), source=source())
    assert main.changes[0].after.roles == (FrameRole.BUILDING, FrameRole.FLOOR)
    assert other.changes[0].after.roles == (FrameRole.FLOOR,)
    assert main.label == "Place frame M2"
    assert other.label == "Place frame 1-F2"
    _applied(_applied(project, main), place_candidate(project, floor_id=UPPER, at=(5, 5)))


def test_a_demarcation_point_stands_and_is_by_others():
    patch = place_demarcation(building(), floor_id=GROUND, at=(0, 0), carrier="Carrier 2")
    made = patch.changes[0].after
    assert (made.state, made.provided_by, made.name) == ("existing", "others", "DP2")


def test_a_pathway_drops_points_that_repeat_and_needs_two():
    project = building()
    line = Pathway(
        id="pathway-00000000",
        floor=GROUND,
        kind=PathwayKind.BASKET,
        vertices=((0, 0, 3_000), (0, 0, 3_000), (0, 0, 2_000), (5_000, 0, 2_000)),
    )
    patch = add_pathway(project, line, source=source())
    assert patch.changes[0].after.vertices == ((0, 0, 3_000), (0, 0, 2_000), (5_000, 0, 2_000))
    assert patch.label == "Draw basket B-02"
    _applied(project, patch)
    short = Pathway(
        id="pathway-00000000",
        floor=GROUND,
        kind=PathwayKind.BASKET,
        vertices=((0, 0, 3_000), (0, 0, 3_000)),
    )
    with pytest.raises(InputProblem, match="two points"):
        add_pathway(project, short)


def test_a_box_goes_onto_the_closed_pathway_and_never_onto_an_open_one():
    project = building()
    patch = add_access_point(project, pathway_id=CONDUIT, at=(6_000, 2_090), source=source())
    box = patch.changes[0].after
    assert isinstance(box, AccessPoint)
    assert (box.x_mm, box.y_mm, box.kind, box.number) == (
        6_000,
        2_000,
        AccessKind.PULL_BOX,
        "PB-02",
    )
    after = _applied(project, patch)
    with pytest.raises(InputProblem, match="here already"):
        add_access_point(after, pathway_id=CONDUIT, at=(6_000, 2_000))
    with pytest.raises(InputProblem, match="anywhere"):
        add_access_point(project, pathway_id=TRAY, at=(6_000, 5_000))


def test_a_drop_out_goes_to_the_crossing_of_open_pathways():
    project = building()
    with pytest.raises(InputProblem, match="here already"):
        add_drop_out(project, pathway_ids=(TRAY, HOOKS), at=(8_010, 5_000))
    with pytest.raises(InputProblem, match="mid-length"):
        add_drop_out(project, pathway_ids=(CONDUIT, HOOKS), at=(8_000, 2_000))
    with pytest.raises(InputProblem, match="do not cross"):
        add_drop_out(project, pathway_ids=(TRAY, CONDUIT), at=(8_000, 2_000))
    bare = Project(e for e in project.entities() if e.id != "drop-out-00000001")
    patch = add_drop_out(bare, pathway_ids=(HOOKS, TRAY), at=(8_050, 5_050), source=source())
    assert (patch.changes[0].after.x_mm, patch.changes[0].after.y_mm) == (8_000, 5_000)
    assert patch.label == "Drop out from hook line H-01 to basket B-01"
    _applied(bare, patch)


def test_two_pathways_can_be_kept_apart_once():
    project = building()
    patch = add_break(project, pathway_ids=(TRAY, HOOKS), at=(8_000, 5_000), source=source())
    after = _applied(project, patch)
    with pytest.raises(InputProblem, match="here already"):
        add_break(after, pathway_ids=(HOOKS, TRAY), at=(8_000, 5_000))
    with pytest.raises(InputProblem, match="two pathways cross"):
        add_break(project, pathway_ids=(TRAY, TRAY), at=(8_000, 5_000))


def test_a_riser_goes_up_within_one_building():
    project = building()
    up = Riser(
        id="riser-00000000", lower_floor=GROUND, upper_floor=UPPER, lower=(0, 0), upper=(0, 0)
    )
    patch = add_riser(project, up, source=source())
    assert patch.label == "Place riser R2"
    _applied(project, patch)
    down = Riser(
        id="riser-00000000", lower_floor=UPPER, upper_floor=GROUND, lower=(0, 0), upper=(0, 0)
    )
    with pytest.raises(InputProblem, match="does not lie above"):
        add_riser(project, down)


def test_an_outdoor_duct_and_a_space_are_made():
    project = building()
    duct = OutdoorDuct(
        id="outdoor-duct-00000000",
        from_floor=GROUND,
        to_floor=UPPER,
        vertices=((0, 0, -800), (9_000, 0, -800)),
    )
    assert _applied(project, add_outdoor_duct(project, duct)).outdoor_ducts
    patch = add_space(project, [(0, 5_000), (5_000, 5_000), (5_000, 9_000)], floor_id=GROUND)
    _applied(project, patch)
    crossed = [(0, 0), (5_000, 5_000), (5_000, 0), (0, 5_000)]
    with pytest.raises(InputProblem, match="cross or touch itself"):
        add_space(project, crossed, floor_id=GROUND)
    with pytest.raises(InputProblem, match="on one line"):
        add_space(project, [(0, 0), (1, 1), (2, 2)], floor_id=GROUND)
    with pytest.raises(InputProblem, match="no longer in the project"):
        add_space(project, [(0, 0), (9, 0), (9, 9)], floor_id="floor-99999999")
