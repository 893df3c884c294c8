"""What must hold in every project: references stand, shapes are shapes, ids are told apart."""

from collections.abc import Callable, Set
from typing import Any

from app.model.entities import (
    BackboneCable,
    Break,
    DropOut,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Point,
    Riser,
    RoomLine,
    ServingZone,
    Space,
    WalkedLength,
)
from app.model.ids import tag_of_id
from app.model.project import SINGLE_TAGS, TYPE_OF_TAG, Patch, PatchRefused, Project
from app.model.references import references, referring_to
from app.model.settings import Settings

LEAST_OUTLINE_POINTS = 3
LEAST_LINE_POINTS = 2
MOST_POINTS = 10_000
"""No room and no pathway has more; a file that says so would only stop the machine."""


def check_patch(after: Project, patch: Patch, *, port_ids: Set[str] | None = None) -> None:
    """Raise PatchRefused unless the project after the patch is whole.

    Only what the patch touches is looked at, and what points to things it removed or to floors
    it changed. `port_ids` are those of the project before the patch; who keeps them spares a
    look at every outlet.
    """
    if len(set(patch.ids)) != len(patch.ids):
        raise PatchRefused("An edit may name each thing only once.")
    removed = [c.id for c in patch.changes if c.after is None]
    for entity_id in removed:
        if tag_of_id(entity_id) in SINGLE_TAGS:
            raise PatchRefused(f"The {entity_id} of a project cannot be removed.")
    for change in patch.changes:
        if change.after is not None:
            _check_entity(after, change.after)
    _check_risers(after, patch)
    _check_port_ids(after, patch, port_ids)
    for entity in referring_to(after, removed):
        raise PatchRefused(
            f"{entity.id} still refers to something that this edit would remove; "
            "remove or change it too."
        )


def check_project(project: Project) -> None:
    """Raise PatchRefused unless the whole project is sound (for files read in)."""
    port_ids: set[str] = set()
    for entity in project.entities():
        _check_entity(project, entity)
        if isinstance(entity, Outlet):
            for port in entity.ports:
                if port.id in port_ids:
                    raise PatchRefused(f"The port id {port.id} is there twice.")
                port_ids.add(port.id)


def _check_entity(project: Project, entity: Entity) -> None:
    tag = tag_of_id(entity.id)
    if TYPE_OF_TAG.get(tag) is not type(entity) or (entity.id == tag) != (tag in SINGLE_TAGS):
        raise PatchRefused(f"“{entity.id}” is no id for a {type(entity).__name__}.")
    for called, tags, target in references(entity):
        if tag_of_id(target) not in tags or target not in project:
            raise PatchRefused(f"The {called} of {entity.id} ({target}) is not in the project.")
    problem = _shape_problem(project, entity)
    if problem is not None:
        raise PatchRefused(f"{entity.id}: {problem}")


def _shape_problem(project: Project, entity: Entity) -> str | None:
    of_type = _PROBLEMS.get(type(entity))
    return None if of_type is None else of_type(project, entity)


def _outline_problem(called: str, rings: tuple[tuple[Point, ...], ...]) -> str | None:
    if any(len(set(ring)) < LEAST_OUTLINE_POINTS for ring in rings):
        return f"{called} needs at least three different corners."
    if sum(len(ring) for ring in rings) > MOST_POINTS:
        return f"{called} has at most {MOST_POINTS:,} corners."
    return None


def _panels_problem(frame: Frame) -> str | None:
    names = [p.name for p in frame.panels]
    if len(set(names)) != len(names):
        return "two panels of a frame have the same name."
    return None


def _room_line_problem(line: RoomLine) -> str | None:
    kinds = [r.kind for r in line.required]
    if len(set(kinds)) != len(kinds):
        return "a line of a client's list asks for the same kind of outlet twice."
    return None


def _line_problem(line: Pathway | OutdoorDuct) -> str | None:
    if isinstance(line, Pathway) and line.hook_spacing_mm == 0:
        return "hooks cannot stand 0 mm apart; leave the spacing empty, or say one above 0."
    if len(line.vertices) < LEAST_LINE_POINTS:
        return "a pathway needs at least two points."
    if len(line.vertices) > MOST_POINTS:
        return f"a pathway has at most {MOST_POINTS:,} points."
    if any(a == b for a, b in zip(line.vertices, line.vertices[1:], strict=False)):
        return "two neighbouring points of a pathway lie in the same place."
    return None


def _walked_problem(walked: WalkedLength) -> str | None:
    if walked.added_mm < 0:
        return (
            "a way that is shorter than drawn is given as the measured length of its stretch, "
            "not as an addition below 0."
        )
    if walked.replaced_mm == 0:
        return "a measured length is above 0; leave it empty where nothing was measured."
    return None


MOST_VIAS = 4
"""So many pathways a run may be told to pass: more would be drawn, not told."""


def _ports_problem(outlet: Outlet) -> str | None:
    for port in outlet.ports:
        if len(set(port.via)) > MOST_VIAS:
            return f"a run can be told to pass at most {MOST_VIAS} pathways."
        if set(port.via) & set(port.never):
            return "a run cannot be told to pass a pathway and never to pass it."
    return None


def _crossing_problem(crossing: DropOut | Break) -> str | None:
    same = crossing.pathway_a == crossing.pathway_b
    return "a pathway cannot be joined with itself." if same else None


def _ends_problem(cable: BackboneCable) -> str | None:
    same = cable.from_id == cable.to_id
    return "both ends of a backbone cable are the same." if same else None


def _level_problem(project: Project, floor: Floor) -> str | None:
    for other in project.floors.values():
        same = other.building == floor.building and other.level_mm == floor.level_mm
        if same and other.id != floor.id:
            return (
                f"floor {floor.name} lies at the level of floor {other.name} of its building; "
                "give one of them another level."
            )
    return None


SPACINGS = {
    "hook_spacing_mm": "the spacing of hooks",
    "hook_spacing_most_mm": "the greatest spacing of hooks",
    "tray_support_mm": "the spacing of a tray's supports",
    "ladder_support_mm": "the spacing of a ladder's supports",
    "straight_length_mm": "the length that trays are bought in",
    "conduit_length_mm": "the length that conduit is bought in",
}
"""Settings by which lengths are divided."""


def _spacing_problem(settings: Settings) -> str | None:
    for name, called in SPACINGS.items():
        if getattr(settings, name) == 0:
            return f"{called} cannot be 0; give one above 0."
    return None


def _riser_problem(project: Project, riser: Riser) -> str | None:
    lower = project.need(Floor, riser.lower_floor)
    upper = project.need(Floor, riser.upper_floor)
    if lower.building != upper.building:
        return "a riser joins floors of one building; between buildings draw an outdoor duct."
    if lower.level_mm >= upper.level_mm:
        return "the upper floor of a riser must lie above the lower one."
    return None


def _check_risers(after: Project, patch: Patch) -> None:
    """A floor that is raised, lowered or given to another building may upset its risers."""
    floors = {c.id for c in patch.changes if isinstance(c.after, Floor) and c.before is not None}
    if not floors:
        return
    for riser in after.risers.values():
        if riser.lower_floor in floors or riser.upper_floor in floors:
            problem = _riser_problem(after, riser)
            if problem is not None:
                raise PatchRefused(f"{riser.id}: {problem}")


def _check_port_ids(after: Project, patch: Patch, known: Set[str] | None) -> None:
    new = [p.id for c in patch.changes if isinstance(c.after, Outlet) for p in c.after.ports]
    if len(set(new)) != len(new):
        raise PatchRefused("Two ports of this edit have the same id.")
    before = {p.id for c in patch.changes if isinstance(c.before, Outlet) for p in c.before.ports}
    fresh = set(new) - before
    if known is not None:
        fresh &= known
    if not fresh:
        return
    touched = set(patch.ids)
    for outlet in after.outlets.values():
        if outlet.id not in touched and any(p.id in fresh for p in outlet.ports):
            raise PatchRefused(f"A port id of this edit is already used by {outlet.id}.")


_PROBLEMS: dict[type[Entity], Callable[[Project, Any], str | None]] = {
    Space: lambda _, e: _outline_problem("a space", (e.outline, *e.holes)),
    ServingZone: lambda _, e: _outline_problem("a serving zone", (e.outline,)),
    Outlet: lambda _, e: _ports_problem(e),
    WalkedLength: lambda _, e: _walked_problem(e),
    Frame: lambda _, e: _panels_problem(e),
    RoomLine: lambda _, e: _room_line_problem(e),
    Floor: _level_problem,
    Settings: lambda _, e: _spacing_problem(e),
    Pathway: lambda _, e: _line_problem(e),
    OutdoorDuct: lambda _, e: _line_problem(e),
    Riser: _riser_problem,
    DropOut: lambda _, e: _crossing_problem(e),
    Break: lambda _, e: _crossing_problem(e),
    BackboneCable: lambda _, e: _ends_problem(e),
}
"""What may be wrong with the shape of a thing, in words."""
