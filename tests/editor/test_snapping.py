"""What catches the pointer, and that the index follows patches as if built anew."""

import random
import time

import pytest
from msgspec.structs import replace

from app.editor.commands.deleting import delete_things
from app.editor.commands.moving import move_things
from app.editor.commands.outlets import OutletPlace, place_outlets
from app.editor.snap_index import CELL_MM, FloorIndex
from app.editor.snapping import Catcher, SnapKind, SnapWish, Squareness, grid_at
from app.model.project import Patch, Project
from tests.editor.small_building import (
    DATA,
    GROUND,
    HOOKS,
    OFFICE,
    OUTLET_1,
    OUTLET_3,
    RISER,
    TRAY,
    UPPER,
    building,
)


def _catch(
    at, *, project=None, wish=None, radius=120.0, square=Squareness.NONE, free=False, floor=GROUND
):
    catcher = Catcher(building() if project is None else project)
    return catcher.catch(
        floor_id=floor,
        wish=wish or SnapWish(),
        at=at,
        radius_mm=radius,
        square=square,
        free=free,
    )


@pytest.mark.parametrize(
    ("at", "kind", "name", "point"),
    [
        ((1_040, 30), SnapKind.OUTLET, "outlet 0-01", (1_000, 10)),
        ((18_030, 5_040), SnapKind.FRAME, "frame M1", (18_000, 5_000)),
        ((15_010, 8_010), SnapKind.PLACE, "frame place Place 1", (15_000, 8_000)),
        ((510, 9_000), SnapKind.END, "end of outdoor duct D1", (500, 9_000)),
        ((16_050, 5_560), SnapKind.RISER, "riser R1", (16_000, 5_500)),
        ((10_050, 5_050), SnapKind.VERTEX, "bend of basket B-01", (10_000, 5_000)),
        ((1_010, 5_050), SnapKind.END, "end of basket B-01", (1_000, 5_000)),
        ((8_030, 5_030), SnapKind.CROSSING, "drop-out", (8_000, 5_000)),
        ((12_000, 2_050), SnapKind.END, "end of conduit C-01", (12_000, 2_000)),
        ((6_050, 4_050), SnapKind.CORNER, "corner of space 0.01", (6_000, 4_000)),
        ((5_000, 5_070), SnapKind.LINE, "basket B-01", (5_000, 5_000)),
        ((20_050, 7_000), SnapKind.EDGE, "side of space 0.02", (20_000, 7_000)),
    ],
)
def test_everything_placed_catches_by_name(at, kind, name, point):
    snap = _catch(at)
    assert (snap.kind, snap.name, (snap.x_mm, snap.y_mm)) == (kind, name, point)


def test_a_bare_crossing_catches_and_names_both():
    bare = Project(e for e in building().entities() if not e.id.startswith(("drop-out", "break")))
    snap = _catch((8_040, 5_030), project=bare)
    assert snap.kind is SnapKind.CROSSING
    assert snap.name == "crossing of basket B-01 and hook line H-01"
    assert {snap.thing, snap.other} == {TRAY, HOOKS}


def test_nothing_catches_beyond_the_radius_or_when_free_or_skipped():
    assert _catch((11_000, 8_000)) is None
    assert _catch((1_000, 125)) is not None
    assert _catch((1_000, 125), radius=100.0) is None
    assert _catch((1_000, 30), free=True) is None
    assert _catch((12_000, 7_000), wish=SnapWish(skip=frozenset({OUTLET_3}))) is None
    assert _catch((12_000, 7_000), wish=SnapWish(things=False)) is None
    assert _catch((12_000, 7_000), floor=UPPER) is None
    assert _catch((12_000, 7_000), floor="floor-99999999") is None


def test_a_leaning_riser_catches_where_it_passes_each_floor():
    project = building()
    top = replace(project.floors[UPPER], id="floor-00000003", name="2", level_mm=7_200)
    riser = replace(
        project.risers[RISER], upper_floor=top.id, lower=(16_000, 5_000), upper=(17_000, 5_000)
    )
    leaning = Project([*(riser if e.id == RISER else e for e in project.entities()), top])
    for floor, x in ((GROUND, 16_000), (UPPER, 16_500), (top.id, 17_000)):
        snap = _catch((x, 5_040), project=leaning, floor=floor)
        assert (snap.kind, snap.x_mm) == (SnapKind.RISER, x)


def test_square_runs_along_the_grid_and_meets_lines_and_points():
    start = SnapWish(square_from=(10_500, 8_000))
    snap = _catch((13_000, 8_300), wish=start, square=Squareness.STRICT)
    assert (snap.kind, snap.x_mm, snap.y_mm) == (SnapKind.SQUARE, 13_000, 8_000)
    snap = _catch((10_400, 5_060), wish=start, square=Squareness.STRICT)
    assert (snap.kind, snap.x_mm, snap.y_mm) == (SnapKind.LINE, 10_500, 5_000)
    snap = _catch((12_050, 7_050), wish=start, square=Squareness.STRICT)
    assert snap.name == "in line with outlet 0-03"
    assert (snap.x_mm, snap.y_mm) == (12_000, 8_000)
    on_axis = _catch((15_050, 8_050), wish=start, square=Squareness.STRICT)
    assert on_axis.kind is SnapKind.PLACE
    fixed = SnapWish(square_from=(10_500, 8_000), along_mdeg=45_000)
    snap = _catch((12_000, 9_400), wish=fixed)
    assert (snap.x_mm, snap.y_mm) == (11_950, 9_450)


def test_the_grid_of_a_turned_space_beats_that_of_its_floor():
    project = building()
    turned = replace(project.spaces[OFFICE], grid_angle_mdeg=30_000)
    floor = replace(project.floors[GROUND], grid_angle_mdeg=10_000)
    project = Project(
        turned if e.id == OFFICE else floor if e.id == GROUND else e for e in project.entities()
    )
    assert grid_at(project, GROUND, (3_000, 2_000)) == 30_000
    assert grid_at(project, GROUND, (9_000, 2_000)) == 10_000
    wish = SnapWish(square_from=(3_000, 2_000))
    snap = _catch((4_000, 2_500), project=project, wish=wish, square=Squareness.STRICT)
    assert (snap.x_mm, snap.y_mm) == (3_967, 2_558)  # foot on the line at 30°


def test_own_points_of_a_draft_catch_first():
    wish = SnapWish(own=(((12_020, 7_010), "first point"),))
    assert _catch((12_010, 7_000), wish=wish).name == "first point"


# --- the index --------------------------------------------------------------------------------


def _everything(index: FloorIndex) -> set[object]:
    points, lines = index.near((0.0, 0.0), 60_000.0)
    return {*points, *lines}


def _many(count: int) -> Project:
    places = [OutletPlace(x_mm=(i % 100) * 700, y_mm=20_000 + i // 100 * 700) for i in range(count)]
    project = building()
    return project.apply(
        place_outlets(project, places, floor_id=GROUND, kind_id=DATA, pattern="{nnnn}")
    )


def test_the_index_after_patches_is_the_index_built_anew():
    rng = random.Random(7)
    project = _many(120)
    catcher = Catcher(project)
    catcher.index(GROUND)
    catcher.index(UPPER)
    for _ in range(60):
        ids = rng.sample([e.id for e in project.entities() if e.id.startswith("o")], 3)
        outcome = (
            (
                move_things(
                    project, ids, dx_mm=rng.randint(-9_000, 9_000), dy_mm=rng.randint(0, 9_000)
                )
                if rng.random() < 0.7
                else delete_things(
                    project, [i for i in ids if i.startswith("outlet-0")] or [ids[0]]
                )
            )
            if not any(i.startswith("outlet-kind") for i in ids)
            else None
        )
        if not isinstance(outcome, Patch):
            continue
        project = project.apply(outcome)
        catcher.project_changed(project, outcome)
    for floor in (GROUND, UPPER):
        assert _everything(catcher.index(floor)) == _everything(Catcher(project).index(floor))
    lifted = replace(project.floors[UPPER], level_mm=4_000)
    patch = Patch("Lift", ())
    changed = project.apply(patch)
    catcher.project_changed(changed, None)
    assert lifted.id == UPPER
    assert len(catcher.index(GROUND)) == len(Catcher(changed).index(GROUND))


def test_a_line_is_found_from_every_place_along_it():
    index = FloorIndex()
    catcher = Catcher(building())
    index = catcher.index(GROUND)
    for x in range(1_000, 17_000, CELL_MM // 5):
        _, lines = index.near((x, 5_000), 10.0)
        assert TRAY in {line.thing for line in lines}


def test_a_look_among_many_costs_little_more_than_among_few():
    """A ratio in one run: the same look-ups in a floor of 100 and of 5,000 outlets."""

    def seconds(count: int) -> float:
        catcher = Catcher(_many(count))
        catcher.index(GROUND)
        spots = [(x * 700.0 + 50, 20_300.0) for x in range(0, 100)]
        best = float("inf")
        for _ in range(3):
            start = time.perf_counter()
            for at in spots:
                catcher.catch(
                    floor_id=GROUND, wish=SnapWish(), at=at, radius_mm=120.0, square=Squareness.NONE
                )
            best = min(best, time.perf_counter() - start)
        return best

    few, many = seconds(100), seconds(5_000)
    print(f"100 look-ups: {few * 1e3:.2f} ms among 100 outlets, {many * 1e3:.2f} ms among 5,000")
    assert many < 12 * few
    assert OUTLET_1 in building()
