"""The words of the trade for stored values, and names for things, as the window says them."""

from collections.abc import Callable
from enum import Enum
from typing import Any

from app.editor.commands.walked import walked_words
from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Penetration,
    Plan,
    Riser,
    RoomLine,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.ids import tag_of_id
from app.model.project import Project
from app.model.vocabulary import (
    AccessKind,
    Ceiling,
    Fixture,
    FrameKind,
    FrameRole,
    Medium,
    PanelKind,
    PathwayKind,
    ProvidedBy,
    RiserKind,
    ScaledBy,
    Serves,
    SpaceUse,
    Termination,
    Units,
    WayDown,
)

SEVERAL = "several"

_SPECIAL: tuple[tuple[Enum, str], ...] = (
    (ProvidedBy.US, "by us"),
    (ProvidedBy.OTHERS, "by others"),
    (ProvidedBy.OWNER, "by the owner"),
    (Units.METRIC, "metric (m, mm)"),
    (Units.US, "US (feet, inches)"),
    (Ceiling.ACCESSIBLE, "accessible (lay-in)"),
    (Ceiling.HARD, "hard"),
    (Ceiling.OPEN, "open to the slab"),
    (SpaceUse.LOW_VOLTAGE, "LV switch room"),
    (SpaceUse.TELECOM, "telecommunications room"),
    (SpaceUse.EQUIPMENT, "equipment room"),
    (SpaceUse.ENTRANCE, "entrance facility"),
    (SpaceUse.NO_CABLE, "no-cable zone"),
    (SpaceUse.VOID, "void"),
    (WayDown.WALL_CAVITY, "in the wall"),
    (WayDown.SURFACE_RACEWAY, "in surface raceway"),
    (WayDown.SERVICE_POLE, "by a service pole"),
    (WayDown.CEILING, "at the ceiling"),
    (WayDown.RAISED_FLOOR, "under the raised floor"),
    (WayDown.POKE_THROUGH, "through the floor, from below"),
    (WayDown.OUTDOOR_CONDUIT, "in conduit outdoors"),
    (PathwayKind.IN_FLOOR_DUCT, "in-floor duct"),
    (FrameKind.MAIN, "main"),
    (FrameKind.INTERMEDIATE, "intermediate"),
    (FrameRole.CAMPUS, "campus distributor"),
    (FrameRole.BUILDING, "building distributor"),
    (FrameRole.FLOOR, "floor distributor"),
    (Serves.OWN, "its own floor"),
    (Serves.NEXT, "own and next"),
    (Serves.ANY, "any floor"),
    (Medium.BALANCED, "balanced copper"),
    (Medium.FIBRE, "optical fibre"),
    (Medium.COAX, "coaxial"),
    (Termination.JACK, "jack"),
    (Termination.FIELD_PLUG, "field plug"),
    (PanelKind.LOADED, "loaded (with jacks)"),
    (PanelKind.UNLOADED, "unloaded (jacks apart)"),
    (PanelKind.PUNCH_DOWN, "punched down"),
    (Fixture.NONE, "none"),
    (AccessKind.INSERT, "insert or box"),
    (RiserKind.CONDUIT, "vertical conduit"),
    (ScaledBy.NOT_SCALED, "not scaled"),
    (ScaledBy.FILE_HEADER, "unit named in the file"),
    (ScaledBy.EVIDENCE, "taken from what is drawn"),
    (ScaledBy.USER_UNIT, "unit set by you"),
    (ScaledBy.CALIBRATED, "calibrated on two points"),
)
_WORDS = {(type(value), value): text for value, text in _SPECIAL}
"""By type too: stored words of different lists may be equal."""


def word(value: Enum) -> str:
    """A stored word as people say it."""
    return _WORDS.get((type(value), value), str(value.value).replace("_", " "))


KIND_OF_THING = {
    "site": ("site", "sites"),
    "settings": ("settings", "settings"),
    "building": ("building", "buildings"),
    "floor": ("floor", "floors"),
    "plan": ("plan", "plans"),
    "space": ("space", "spaces"),
    "cable-type": ("cable type", "cable types"),
    "outlet-kind": ("outlet kind", "outlet kinds"),
    "outlet": ("outlet", "outlets"),
    "frame": ("frame", "frames"),
    "candidate": ("frame place", "frame places"),
    "demarcation": ("demarcation point", "demarcation points"),
    "backbone-cable": ("backbone cable", "backbone cables"),
    "pathway": ("pathway", "pathways"),
    "access-point": ("pull box", "pull boxes"),
    "drop-out": ("drop-out", "drop-outs"),
    "break": ("keep-apart", "keep-aparts"),
    "riser": ("riser", "risers"),
    "outdoor-duct": ("outdoor duct", "outdoor ducts"),
    "waiver": ("waiver", "waivers"),
    "client-list": ("client's list", "clients' lists"),
    "room-line": ("line of the client's list", "lines of the client's list"),
    "penetration": ("penetration", "penetrations"),
    "serving-zone": ("serving zone", "serving zones"),
    "walked-length": ("walked length", "walked lengths"),
    "kit": ("kit", "kits"),
}


def kind_of(thing_id: str, *, many: bool = False) -> str:
    """“outlet” or “outlets” for an id."""
    one, several = KIND_OF_THING.get(tag_of_id(thing_id), ("thing", "things"))
    return several if many else one


def counted(count: int, one: str, many: str | None = None) -> str:
    """“1 run”, “12 runs”."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def _numbered(kind: str) -> Callable[[Any, Project], str]:
    return lambda e, project: f"{kind} {e.number}".strip() if e.number else f"{kind} without number"


def _outlet(e: Outlet, project: Project) -> str:
    if e.number:
        return f"Outlet {e.number}"
    kind = project.outlet_kinds.get(e.kind)
    return f"{kind.name if kind else 'Outlet'}, no number"


def _space(e: Space, project: Project) -> str:
    return " ".join(p for p in (e.number, e.name) if p) or f"Space ({word(e.use)})"


def _backbone(e: BackboneCable, project: Project) -> str:
    return f"Backbone cable {e.name}" if e.name else "Backbone cable"


def _room_line(e: RoomLine, project: Project) -> str:
    text = f"{e.number} {e.name}".strip()
    return f"Line {e.line}: {text}" if text else f"Line {e.line} of the list"


def _crossing(e: DropOut | Break, project: Project) -> str:
    names = [name_of(project, i) for i in (e.pathway_a, e.pathway_b)]
    return ("Drop-out of " if isinstance(e, DropOut) else "Kept apart: ") + " and ".join(names)


def _walked(e: WalkedLength, project: Project) -> str:
    return f"{walked_words(e, project.settings.units)} on {name_of(project, e.along)}"


def _pathway(e: Pathway, project: Project) -> str:
    kind = word(e.kind).capitalize()
    return f"{kind} {e.number}" if e.number else f"{kind} without number"


_NAMERS: dict[type[Entity], Callable[[Any, Project], str]] = {
    Outlet: _outlet,
    Space: _space,
    BackboneCable: _backbone,
    RoomLine: _room_line,
    DropOut: _crossing,
    Break: _crossing,
    Pathway: _pathway,
    Riser: _numbered("Riser"),
    OutdoorDuct: _numbered("Outdoor duct"),
    AccessPoint: lambda e, _: f"{word(e.kind).capitalize()} {e.number}".strip(),
    Penetration: _numbered("Penetration"),
    ServingZone: lambda e, _: f"Serving zone {e.name}".strip(),
    WalkedLength: _walked,
    Frame: lambda e, _: f"Frame {e.name}" if e.name else "Frame without name",
    Candidate: lambda e, _: f"Frame place {e.name}",
    Demarcation: lambda e, _: f"Demarcation point {e.name}",
    Plan: lambda e, _: f"Plan “{e.name}”",
    Floor: lambda e, _: floor_word(e.name),
}


def floor_word(name: str) -> str:
    """“Floor 2”, but “Level B” and “Floor 2” as they are."""
    return name if name.lower().startswith(("floor", "level")) else f"Floor {name}"


def floor_phrase(name: str) -> str:
    """“floor 2”, in a sentence."""
    said = floor_word(name)
    return said[0].lower() + said[1:]


def name_of(project: Project, thing_id: str) -> str:
    """What people call a thing; its kind where it has no name."""
    thing = project.get(thing_id)
    if thing is None:
        return kind_of(thing_id).capitalize()
    namer = _NAMERS.get(type(thing))
    if namer is not None:
        return namer(thing, project)
    return str(getattr(thing, "name", "")) or kind_of(thing_id).capitalize()


def names_of(project: Project, ids: tuple[str, ...]) -> str:
    """One name, or “12 outlets”, or “12 outlets and 3 pathways”."""
    if len(ids) == 1:
        return name_of(project, ids[0])
    counts: dict[str, int] = {}
    for thing_id in ids:
        tag = tag_of_id(thing_id)
        counts[tag] = counts.get(tag, 0) + 1
    parts = [counted(n, *KIND_OF_THING.get(tag, ("thing", "things"))) for tag, n in counts.items()]
    return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]


def floor_of(project: Project, thing_id: str) -> str | None:
    """The floor on which a thing is to be looked at."""
    thing = project.get(thing_id)
    for field in ("floor", "lower_floor", "from_floor"):
        floor = getattr(thing, field, None)
        if floor is not None:
            return str(floor)
    if tag_of_id(thing_id) == "floor":
        return thing_id
    if isinstance(thing, BackboneCable):
        return floor_of(project, thing.from_id)
    return None
