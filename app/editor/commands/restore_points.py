"""Restore points: a named state is kept, and returned to in one undoable step."""

from typing import cast

from msgspec.structs import replace

from app.design import Design
from app.editor.asking import InputProblem
from app.model.entities import RestorePoint
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project, adding, changing, removing

LONGEST_NAME = 200


def make_restore_point(
    design: Design,
    *,
    name: str,
    state_sha256: str,
    made_on: str = "",
    by: str = "",
    note: str = "",
    source: Source = random_characters,
) -> Patch:
    """Name the state of the design's project, whose packed bytes have this hash."""
    project = design.project
    plans = project.plans.values()
    point = RestorePoint(
        id=new_id("restore-point", project.restore_points, source),
        name=_fit_name(project, name),
        made_on=made_on,
        by=by.strip(),
        revision=project.site.revision,
        note=note.strip(),
        state_sha256=state_sha256,
        plan_hashes=tuple(sorted({h for p in plans for h in (p.source_sha256, p.drawing_sha256)})),
        outlets=len(project.outlets),
        runs=design.summary.runs,
        over=design.summary.over,
    )
    return adding(f"Make the restore point “{point.name}”", [point])


def rename_restore_point(project: Project, point_id: str, *, name: str, note: str) -> Patch:
    """Give a restore point another name or note; its state stays as it is."""
    point = project.restore_points[point_id]
    if name.strip() != point.name:
        name = _fit_name(project, name)
    after = replace(point, name=name.strip(), note=note.strip())
    return changing(f"Rename the restore point “{point.name}”", [(point, after)])


def remove_restore_point(project: Project, point_id: str) -> Patch:
    """Keep a state no longer; the project itself stays as it is."""
    point = project.restore_points[point_id]
    return removing(f"Remove the restore point “{point.name}”", [point])


def point_named(project: Project, name: str) -> RestorePoint:
    """The restore point of this name. Raises InputProblem, naming those that there are."""
    wanted = name.strip().casefold()
    for point in project.restore_points.values():
        if point.name.casefold() == wanted:
            return point
    there = ", ".join(f"“{p.name}”" for p in project.restore_points.values())
    raise InputProblem(
        f"There is no restore point “{name.strip()}”"
        + (f"; there are {there}." if there else ", nor any other; make one first.")
    )


def return_to(project: Project, then: Project, *, name: str) -> Patch:
    """Everything as it was in the state `then`; the restore points of now stay.

    Numbers of what is removed by it are retired as ever. Raises InputProblem where nothing
    has changed since.
    """
    changes = [c for c in _differences(project, then) if not c.id.startswith("restore-point-")]
    if not changes:
        raise InputProblem(f"Nothing has changed since “{name}”: there is nothing to return to.")
    return Patch(f"Return to “{name}”", tuple(changes))


def _differences(project: Project, then: Project) -> list[Change]:
    changes = []
    for entity in project.entities():
        was = then.get(entity.id)
        if was != entity:
            before, after = cast(AnyEntity, entity), cast(AnyEntity | None, was)
            changes.append(Change(entity.id, before, after))
    missing = (e for e in then.entities() if project.get(e.id) is None)
    changes += [Change(e.id, None, cast(AnyEntity, e)) for e in missing]
    return changes


def _fit_name(project: Project, name: str) -> str:
    """The name without the space around it, if it can be given."""
    name = name.strip()
    if not name:
        raise InputProblem("A restore point wants a name, such as “as sent to client, rev A”.")
    if len(name) > LONGEST_NAME:
        raise InputProblem(f"A restore point's name has at most {LONGEST_NAME} letters.")
    for point in project.restore_points.values():
        if point.name.casefold() == name.casefold():
            when = f" of {point.made_on}" if point.made_on else ""
            raise InputProblem(
                f"There is a restore point “{point.name}”{when} already; give another name, or "
                "remove that one first."
            )
    return name
