"""The line under the panel's title: where what is shown is."""

from app.design.design import Design
from app.model.entities import Entity, Floor, Outlet, Plan
from app.model.project import Project
from app.ui.words import floor_of, floor_phrase, kind_of


def where_of(things: tuple[Entity, ...], project: Project, design: Design) -> str:
    """Floor and space of what is shown."""
    floors = dict.fromkeys(floor_of(project, t.id) for t in things)
    names = [project.floors[f].name for f in floors if f is not None]
    one = things[0] if len(things) == 1 else None
    if isinstance(one, Floor):
        building = project.buildings[one.building]
        return f"Floor of {building.name}. Nothing is selected."
    text = f"On {floor_phrase(names[0])}" if len(names) == 1 else f"On {len(names)} floors"
    if isinstance(one, Outlet):
        space = project.spaces.get(design.space_of.get(one.id) or "")
        where = f"{space.number} {space.name}".strip() if space else "outside every space"
        printed = " Printed: its number stays." if one.number_printed else ""
        return f"{project.outlet_kinds[one.kind].name}. {text}, {where}.{printed}"
    if one is not None and not isinstance(one, Plan):
        return f"{text}." if names else kind_of(one.id).capitalize()
    return f"{text}. A field edits them all." if len(things) > 1 else f"{text}."
