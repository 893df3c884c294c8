"""The line under the panel's title: where what is shown is."""

from app.design.design import Design
from app.model.entities import Entity, Floor, Outlet, Plan
from app.model.project import Project
from app.model.vocabulary import State
from app.ui.words import floor_of, floor_phrase, kind_of, word


def where_of(things: tuple[Entity, ...], project: Project, design: Design) -> str:
    """State, floor and space of what is shown."""
    floors = dict.fromkeys(floor_of(project, t.id) for t in things)
    names = [project.floors[f].name for f in floors if f is not None]
    one = things[0] if len(things) == 1 else None
    if isinstance(one, Floor):
        building = project.buildings[one.building]
        return f"Floor of {building.name}. Nothing is selected."
    text = f"On {floor_phrase(names[0])}" if len(names) == 1 else f"On {len(names)} floors"
    state = _state_of_all(things)
    if isinstance(one, Outlet):
        space = project.spaces.get(design.space_of.get(one.id) or "")
        where = f"{space.number} {space.name}".strip() if space else "outside every space"
        printed = " Printed: its number stays." if one.number_printed else ""
        kind = project.outlet_kinds[one.kind].name
        return f"{kind}{f', {state}' if state else ''}. {text}, {where}.{printed}"
    told = f"{state[:1].upper()}{state[1:]}. {text}" if state else text
    if one is not None and not isinstance(one, Plan):
        return f"{told}." if names else kind_of(one.id).capitalize()
    return f"{told}. A field edits them all." if len(things) > 1 else f"{text}."


def _state_of_all(things: tuple[Entity, ...]) -> str:
    """The state of what is shown, where it is one and not “new”, which goes without saying."""
    states = {getattr(t, "state", State.NEW) for t in things}
    return "" if len(states) != 1 or states == {State.NEW} else word(*states)
