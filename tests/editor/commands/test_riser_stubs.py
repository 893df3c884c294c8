"""Stubs bring a riser to the nearest pathways, as a technician would draw them."""

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.editor.commands.placing import add_riser
from app.model.entities import Building, Floor, Pathway, Riser
from app.model.ids import counting_source
from app.model.project import Project
from app.model.vocabulary import PathwayKind, State
from app.resource_files import sample_path
from app.siting.which_floor import patch_with
from app.storage.project_file import load_project

LOW, HIGH = "floor-00000001", "floor-00000002"
RISER = Riser(
    id="riser-00000000",
    lower_floor=LOW,
    upper_floor=HIGH,
    lower=(5_000, 2_250),
    upper=(5_000, 2_250),
)


def tray(number: int, floor: str, **changes: object) -> Pathway:
    made = Pathway(
        id=f"pathway-{number:08d}",
        floor=floor,
        kind=PathwayKind.BASKET,
        vertices=((0, 0, 3_000), (20_000, 0, 3_000)),
        width_mm=300.0,
        depth_mm=60.0,
    )
    return replace(made, **changes)


def two_floors(*things: Pathway, angle_mdeg: int = 0) -> Project:
    building = Building(id="building-00000001", name="B")
    floors = [
        Floor(id=floor, building=building.id, name=name, level_mm=level, grid_angle_mdeg=angle_mdeg)
        for floor, name, level in ((LOW, "0", 0), (HIGH, "1", 4_000))
    ]
    return Project([building, *floors, *things])


def stubs(project: Project, riser: Riser = RISER) -> list[Pathway]:
    patch = add_riser(project, riser, stubs=True, source=counting_source(100))
    return [c.after for c in patch.changes if isinstance(c.after, Pathway)]


def test_a_stub_goes_square_to_the_nearest_tray_of_each_floor():
    project = two_floors(
        tray(1, LOW), tray(2, HIGH, vertices=((0, 4_250, 2_900), (9_000, 4_250, 2_900)))
    )
    low, high = stubs(project)
    assert low.vertices == ((5_000, 0, 3_000), (5_000, 2_250, 3_000))
    assert high.vertices == ((5_000, 4_250, 2_900), (5_000, 2_250, 2_900))
    assert (low.kind, low.width_mm, low.depth_mm) == (PathwayKind.BASKET, 300.0, 60.0)
    assert low.number != high.number != ""


def test_beyond_the_end_of_a_tray_the_stub_turns_once():
    riser = replace(RISER, lower=(22_000, 1_000), upper=(22_000, 1_000))
    (stub,) = stubs(two_floors(tray(1, LOW)), riser)
    assert stub.vertices == ((20_000, 0, 3_000), (22_000, 0, 3_000), (22_000, 1_000, 3_000))


def test_where_a_pathway_comes_by_itself_no_stub_is_wanted():
    come = tray(1, LOW, vertices=((5_000, 0, 3_000), (5_000, 2_250, 3_000)))
    assert stubs(two_floors(come)) == []


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": PathwayKind.CONDUIT, "bore_mm": 27.0},
        {"state": State.TO_REMOVE},
        {"vertices": ((0, 20_000, 3_000), (9_000, 20_000, 3_000))},
    ],
)
def test_what_cannot_be_met_gets_no_stub(changes):
    assert stubs(two_floors(tray(1, LOW, **changes))) == []


def test_the_patch_says_what_it_places():
    patch = add_riser(two_floors(tray(1, LOW)), RISER, stubs=True, source=counting_source(100))
    assert patch.label.endswith("with 1 stub")
    alone = add_riser(two_floors(tray(1, LOW)), RISER, source=counting_source(100))
    assert len(alone.changes) == 1


def test_the_terminal_is_cured_by_a_frame_and_a_riser_drawn_beside_the_tray():
    """Worked by hand before: the frame on floor 1 cures nothing, with the riser everything."""
    project = load_project(sample_path("ferry-terminal.drawcord")).project
    place = next(c for c in project.candidates.values() if c.name == "C1")
    project = project.apply(patch_with(project, place))
    assert evaluate(project).summary.over_outlets == 12
    floors = sorted(project.floors.values(), key=lambda f: f.level_mm)
    at = (126_000, 17_500)
    riser = Riser(
        id="riser-00000000", lower_floor=floors[0].id, upper_floor=floors[-1].id, lower=at, upper=at
    )
    patch = add_riser(project, riser, stubs=True)
    assert sum(isinstance(c.after, Pathway) for c in patch.changes) == 3
    cured = evaluate(project.apply(patch)).summary
    assert (cured.over, cured.near) == (0, 0)
