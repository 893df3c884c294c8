"""What no project may hold, refused with one sentence when it is edited and when it is read."""

import msgspec
import pytest

from app.model.entities import Building, Entity, Floor, Pathway
from app.model.integrity import check_patch, check_project
from app.model.project import PatchRefused, Project, adding, changing
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind

BUILDING = "building-00000001"
GROUND = Floor(id="floor-00000001", building=BUILDING, name="0", level_mm=0)
UPPER = Floor(id="floor-00000002", building=BUILDING, name="1", level_mm=4_000)
THINGS = [Settings(id="settings"), Building(id=BUILDING, name="B"), GROUND, UPPER]


def refused(project: Project, before: Entity, after: Entity) -> str:
    patch = changing("edit", [(before, after)])
    with pytest.raises(PatchRefused) as refusal:
        check_patch(project.apply(patch), patch)
    return str(refusal.value)


def test_two_floors_of_one_building_do_not_lie_at_one_level() -> None:
    project = Project(THINGS)
    said = refused(project, UPPER, msgspec.structs.replace(UPPER, level_mm=0))
    assert "floor 1 lies at the level of floor 0 of its building" in said
    third = Floor(id="floor-00000003", building=BUILDING, name="2", level_mm=4_000)
    patch = adding("edit", [third])
    with pytest.raises(PatchRefused, match="give one of them another level"):
        check_patch(project.apply(patch), patch)
    with pytest.raises(PatchRefused, match="at the level of floor"):
        check_project(Project([*THINGS, third]))


def test_floors_of_two_buildings_may_lie_at_one_level() -> None:
    other = Building(id="building-00000002", name="C")
    beside = Floor(id="floor-00000003", building=other.id, name="0", level_mm=0)
    check_project(Project([*THINGS, other, beside]))


def test_two_floors_may_change_places() -> None:
    patch = changing(
        "edit",
        [
            (GROUND, msgspec.structs.replace(GROUND, level_mm=4_000)),
            (UPPER, msgspec.structs.replace(UPPER, level_mm=0)),
        ],
    )
    check_patch(Project(THINGS).apply(patch), patch)


@pytest.mark.parametrize("name", ["hook_spacing_mm", "tray_support_mm", "conduit_length_mm"])
def test_lengths_are_divided_by_nothing_that_is_0(name: str) -> None:
    project = Project(THINGS)
    said = refused(
        project, project.settings, msgspec.structs.replace(project.settings, **{name: 0})
    )
    assert "cannot be 0" in said


def test_hooks_stand_apart() -> None:
    hooks = Pathway(
        id="pathway-00000001",
        floor=GROUND.id,
        kind=PathwayKind.HOOKS,
        vertices=((0, 0, 3_000), (9_000, 0, 3_000)),
    )
    project = Project([*THINGS, hooks])
    said = refused(project, hooks, msgspec.structs.replace(hooks, hook_spacing_mm=0))
    assert "hooks cannot stand 0 mm apart" in said
