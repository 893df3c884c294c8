"""Tracing: the parts and the line of one run or backbone cable, on demand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.model.entities import OutdoorDuct, Pathway, Riser
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind
from app.routing.ground import Ground, crossing_closed
from app.routing.legs import Legs
from app.routing.network import LINK, Network
from app.routing.places import Ends
from app.routing.results import Part, PartSort, RouteLine
from app.routing.stands import Stands
from app.routing.trees import Sources, Trees, way_back

PATHWAY_WORDS = {
    PathwayKind.LADDER: "ladder",
    PathwayKind.TRAY: "tray",
    PathwayKind.BASKET: "basket",
    PathwayKind.HOOKS: "hooks",
    PathwayKind.SURFACE_RACEWAY: "surface raceway",
    PathwayKind.CONDUIT: "conduit",
    PathwayKind.UNDERFLOOR_DUCT: "underfloor duct",
    PathwayKind.IN_FLOOR_DUCT: "in-floor duct",
}
Point3 = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Step:
    """A piece of the way in walking order: what it lies on, and its two points."""

    thing: str | None
    floor: int
    length: int
    upright: bool
    start: Point3
    end: Point3


def steps_to_source(
    network: Network, trees: Trees, source: int, node: int
) -> tuple[list[Step], int]:
    """The steps from a junction back to the source's leg, and that leg."""
    pieces, leg = way_back(trees, source, node)
    return [_step(network, piece, begin) for piece, begin in pieces], leg


def _step(network: Network, piece: int, begin: int) -> Step:
    one, other = int(network.one[piece]), int(network.other[piece])
    end = other if begin == one else one
    cut = int(network.piece_cut[piece])
    thing = None
    if cut != LINK:
        flat = network.joints.stretches
        thing = flat.things[int(flat.thing[int(network.key[cut]) >> 32])]
    return Step(
        thing,
        int(network.floor[piece]),
        int(network.length[piece]),
        bool(network.upright[piece]),
        _point(network, begin),
        _point(network, end),
    )


def _point(network: Network, node: int) -> Point3:
    return int(network.x[node]), int(network.y[node]), int(network.z[node])


def thing_name(project: Project, thing: str | None) -> str:
    """`basket B-03`, `riser R1`, `outdoor duct D2`, or `between pathways` for a link."""
    if thing is None:
        return "step between pathways"
    entity = project.get(thing)
    number = getattr(entity, "number", "")
    word = "pathway"
    if isinstance(entity, Pathway):
        word = PATHWAY_WORDS[entity.kind]
    elif isinstance(entity, Riser):
        word = "riser"
    elif isinstance(entity, OutdoorDuct):
        word = "outdoor duct"
    return f"{word} {number}".strip()


def parts_of_steps(project: Project, steps: Sequence[Step]) -> list[Part]:
    """One part for each stay on one thing, horizontal and vertical apart."""
    parts: list[Part] = []
    for step in steps:
        sort = PartSort.VERTICAL if step.upright else PartSort.HORIZONTAL
        last = parts[-1] if parts else None
        if last is not None and last.thing == step.thing and last.sort is sort:
            parts[-1] = replace(last, length_mm=last.length_mm + step.length)
        else:
            parts.append(Part(thing_name(project, step.thing), step.length, sort, step.thing))
    return parts


def lines_of_steps(network: Network, steps: Sequence[Step]) -> list[RouteLine]:
    """One line for each stay on one thing; links go with the floor they are on."""
    floors = network.joints.stretches.floor_ids
    lines: list[RouteLine] = []
    for step in steps:
        floor = None if step.floor < 0 else floors[step.floor]
        last = lines[-1] if lines else None
        points = (step.start, step.end)
        if last is not None and last.thing == step.thing and last.floor_id == floor:
            lines[-1] = RouteLine(floor, (*last.points, step.end), step.thing)
        else:
            lines.append(RouteLine(floor, points, step.thing))
    return lines


def frame_parts(stands: Stands, sources: Sources, source: int, leg: int) -> list[Part]:
    """The parts at the end where the tree grows from, nearest to the pathway first."""
    thing = stands.ids[source]
    beyond = int(stands.beyond[source])
    is_frame = source < stands.frames
    parts = [Part("leg at the frame", int(sources.legs.across[leg]), PartSort.HORIZONTAL, thing)]
    if beyond:
        parts.append(Part("from the entry", beyond, PartSort.HORIZONTAL, thing))
    rise = int(sources.upright[leg])
    if stands.has_ladder[source]:
        step = abs(int(sources.legs.z[leg]) - int(stands.ladder[source]))
        parts.append(Part("to the ladder", step, PartSort.VERTICAL, thing))
        rise -= step
    name = "down to the panels" if is_frame else "down to the board"
    parts.append(Part(name, rise, PartSort.VERTICAL, thing))
    parts.append(
        Part("dressing in the rack", int(stands.dressing[source]), PartSort.VERTICAL, thing)
    )
    return [p for p in parts if p.length_mm]


def bent_leg(ground: Ground, ends: Ends, row: int, goal: tuple[int, int], z: int) -> list[Point3]:
    """The drawn leg from an end to a point: the bend that keeps out of closed spaces."""
    x, y = float(ends.x[row]), float(ends.y[row])
    cos, sin = float(ends.cos[row]), float(ends.sin[row])
    dx, dy = goal[0] - x, goal[1] - y
    u, v = dx * cos + dy * sin, dy * cos - dx * sin
    corner = (x + u * cos, y + u * sin)
    start, end = np.array([[x, y]]), np.array([goal], dtype=np.float64)
    if crossing_closed(ground, start, np.array([corner]), end)[0]:
        corner = (x - v * sin, y + v * cos)
    points = [
        (int(ends.x[row]), int(ends.y[row]), int(ends.z[row])),
        (int(ends.x[row]), int(ends.y[row]), z),
        (round(corner[0]), round(corner[1]), z),
        (goal[0], goal[1], z),
    ]
    return [p for k, p in enumerate(points) if k == 0 or p != points[k - 1]]


def on_piece(network: Network, legs: Legs, leg: int, node: int, part: int, floor: int) -> Step:
    """The step from where an outlet's leg meets a stretch to the junction it takes."""
    flat = network.joints.stretches
    stretch = int(legs.stretch[leg])
    at = (int(legs.x[leg]), int(legs.y[leg]), int(legs.z[leg]))
    thing = flat.things[int(flat.thing[stretch])]
    return Step(thing, floor, part, bool(flat.upright[stretch]), at, _point(network, node))


def common_parts(
    settings: Settings,
    *,
    across: int,
    outlet_slack: int,
    frame_slack: int,
    added: int,
    reason: str,
    replaced: bool,
    thing: str,
    frame: str,
    slack_names: tuple[str, str] = ("slack at the outlet", "slack at the frame"),
) -> list[Part]:
    """Allowance, slack, what was added, and what only the cut length has."""
    permille = settings.allowance_permille
    allowance = (permille * across + 500) // 1000
    percent = f"{permille / 10:g} %"
    added_name = "replaced by a given length" if replaced else "added"
    if reason:
        added_name += f": {reason}"
    parts = [
        Part(f"allowance {percent}", allowance, PartSort.ALLOWANCE),
        Part(slack_names[0], outlet_slack, PartSort.SLACK, thing),
        Part(slack_names[1], frame_slack, PartSort.SLACK, frame),
        Part(added_name, added, PartSort.ADDED),
        Part("trim at both ends", 2 * settings.trim_mm, PartSort.TRIM),
        Part("pull head", settings.pull_head_mm, PartSort.PULL_HEAD),
    ]
    return [p for p in parts if p.length_mm]
