"""Buildings and floors: added, copied, lifted."""

from collections.abc import Collection
from contextlib import suppress

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.copying import copy_things
from app.editor.commands.numbering import Retired, none_retired
from app.editor.commands.shapes import floors_of, outline_points
from app.editor.measures import format_length
from app.model.entities import Building, Demarcation, Entity, Floor, OutdoorDuct, Riser
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding, changing, floors_from_below

STAYS_ON_ITS_FLOOR = (Riser, OutdoorDuct, Demarcation)


def add_building(
    project: Project, name: str, *, floor_name: str = "0", source: Source = random_characters
) -> Patch:
    """A building with its first floor at level 0."""
    name = _said(name, "building")
    building = Building(id=new_id("building", project.buildings, source), name=name)
    floor = Floor(
        id=new_id("floor", project.floors, source),
        building=building.id,
        name=_said(floor_name, "floor"),
        level_mm=0,
        floor_to_floor_mm=project.settings.floor_to_floor_mm,
    )
    return adding(f"Add building {name}", [building, floor])


def add_floor(
    project: Project,
    building_id: str,
    name: str,
    *,
    level_mm: int | None = None,
    source: Source = random_characters,
) -> Patch:
    """A floor; without a level it lies on top of the building."""
    floor = _new_floor(project, building_id, name, level_mm, source)
    return adding(f"Add floor {floor.name}", [floor])


def copy_floor(
    project: Project,
    floor_id: str,
    name: str,
    *,
    level_mm: int | None = None,
    leave_out: Collection[str] = (),
    pattern: str | None = None,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A floor with all that stands on another one, under new numbers.

    Risers, outdoor ducts, demarcation points and plans stay; `leave_out` are tags, such as
    `frame`, that stay too.
    """
    model = project.floors.get(floor_id)
    if model is None:
        raise InputProblem("That floor is no longer in the project; choose another one.")
    made = _new_floor(project, model.building, name, level_mm, source)
    floor = replace(
        made,
        floor_to_floor_mm=model.floor_to_floor_mm,
        grid_angle_mdeg=model.grid_angle_mdeg,
        note=model.note,
    )
    label = f"Add floor {floor.name} as a copy of {model.name}"
    first = adding(label, [floor])
    ids = [t.id for t in project.entities() if _goes_along(project, t, model, leave_out)]
    if not ids:
        return first
    after = project.apply(first)
    copies = copy_things(
        after, ids, floor_id=floor.id, pattern=pattern, retired=retired, source=source
    )
    return first.squash(copies, label)


def _goes_along(project: Project, thing: Entity, floor: Floor, leave_out: Collection[str]) -> bool:
    if not outline_points(thing) or isinstance(thing, STAYS_ON_ITS_FLOOR):
        return False
    return floor.id in floors_of(project, thing) and thing.id.rpartition("-")[0] not in leave_out


def move_floor(
    project: Project, floor_id: str, *, level_mm: int, with_floors_above: bool = True
) -> Patch:
    """Set a floor's level; those above it in its building keep their distance to it.

    Heights count from each floor, so everything on it goes along.
    """
    floor = project.floors.get(floor_id)
    if floor is None:
        raise InputProblem("That floor is no longer in the project; choose another one.")
    step = level_mm - floor.level_mm
    pairs = [(floor, replace(floor, level_mm=level_mm))]
    if with_floors_above:
        above = floors_from_below(project, floor.building)
        pairs += [
            (f, replace(f, level_mm=f.level_mm + step))
            for f in above
            if f.level_mm > floor.level_mm
        ]
    _refuse_same_level(project, floor, {after.id: after.level_mm for _, after in pairs})
    said = format_length(level_mm, project.settings.units)
    return changing(f"Move floor {floor.name} to {said}", pairs)


def set_level(project: Project, floor_id: str, level_mm: int) -> Outcome:
    """Set a floor's level; where floors lie above it, asks whether they go along."""
    floor = project.floors.get(floor_id)
    above = () if floor is None else floors_from_below(project, floor.building)
    if floor is None or not any(f.level_mm > floor.level_mm for f in above):
        return move_floor(project, floor_id, level_mm=level_mm)
    if level_mm == floor.level_mm:
        return Patch(f"Move floor {floor.name}", ())
    answers = [
        Answer(label="Move them too", patch=move_floor(project, floor_id, level_mm=level_mm))
    ]
    with suppress(InputProblem):  # alone it would lie where another floor lies
        alone = move_floor(project, floor_id, level_mm=level_mm, with_floors_above=False)
        answers.append(Answer(label="Only this floor", patch=alone))
    answers.append(Answer(label="Leave it as it was"))
    return Question(
        text=f"Floors lie above floor {floor.name}. Do they move with it, as far as it does?",
        answers=tuple(answers),
    )


def _refuse_same_level(project: Project, floor: Floor, levels: dict[str, int]) -> None:
    own = floors_from_below(project, floor.building)
    after = [levels.get(f.id, f.level_mm) for f in own]
    if len(set(after)) < len(after):
        raise InputProblem("Two floors of one building cannot lie at the same level.")


def _new_floor(
    project: Project, building_id: str, name: str, level_mm: int | None, source: Source
) -> Floor:
    if building_id not in project.buildings:
        raise InputProblem("That building is no longer in the project; choose another one.")
    name = _said(name, "floor")
    own = floors_from_below(project, building_id)
    if any(f.name == name for f in own):
        raise InputProblem(f"There is a floor {name} in this building already.")
    if level_mm is None:
        level_mm = own[-1].level_mm + own[-1].floor_to_floor_mm if own else 0
    if any(f.level_mm == level_mm for f in own):
        raise InputProblem("Two floors of one building cannot lie at the same level.")
    return Floor(
        id=new_id("floor", project.floors, source),
        building=building_id,
        name=name,
        level_mm=level_mm,
        floor_to_floor_mm=project.settings.floor_to_floor_mm,
    )


def _said(name: str, what: str) -> str:
    name = name.strip()
    if not name:
        raise InputProblem(f"Give the {what} a name first.")
    return name
