"""What things are called in a list: their kind, their number or name, and their floor."""

from app.model.entities import Break, DropOut, Entity, Floor
from app.model.ids import tag_of_id
from app.model.project import Project

_KINDS = {
    "site": "site card",
    "settings": "settings",
    "candidate": "frame place",
    "demarcation": "demarcation point",
    "access-point": "pull box or insert",
    "break": "keep-apart",
    "drop-out": "drop-out",
    "client-list": "client's list",
    "room-line": "line of a client's list",
    "walked-length": "walked length",
}


def kind_word(tag: str) -> str:
    """What a kind of thing is called: `outlet`, `cable type`, `pull box or insert`."""
    return _KINDS.get(tag, tag.replace("-", " "))


def mark_of(thing: Entity) -> str:
    """The number or name that people know a thing by; empty where it has none."""
    return str(getattr(thing, "number", "") or getattr(thing, "name", ""))


def floor_name(project: Project, thing: Entity) -> str:
    """The floor that a thing is on, or begins at; empty where it is on none."""
    if isinstance(thing, Floor):
        return thing.name
    for field in ("floor", "lower_floor", "from_floor"):
        floor = project.floors.get(str(getattr(thing, field, "")))
        if floor is not None:
            return floor.name
    return ""


def name_of(project: Project, thing_id: str) -> str:
    """What a reference says: the thing's number or name, else its kind."""
    thing = project.get(thing_id)
    if thing is None:
        return "nothing"
    if isinstance(thing, DropOut | Break):
        return f"{name_of(project, thing.pathway_a)} and {name_of(project, thing.pathway_b)}"
    return mark_of(thing) or kind_word(tag_of_id(thing_id))
