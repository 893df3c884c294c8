"""Tracing: the parts and the line of one run or backbone cable, on demand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.model.entities import OutdoorDuct, Pathway, Riser, WalkedLength
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind, Units
from app.routing.ground import Ground, crossing_closed
from app.routing.legs import Legs
from app.routing.network import LINK, Hold, Network, walked_between
from app.routing.places import Ends
from app.routing.results import Part, PartSort, RouteLine
from app.routing.stands import Stands
from app.routing.stretches import OFFSET_BITS
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
MM_PER_M = 1_000
MM_PER_FOOT = 304.8


@dataclass(frozen=True, slots=True)
class Step:
    """A piece of the way in walking order: what it lies on, and its two points.

    `length` is without what was added on it; `added` and `measured_by` are ids of walked
    lengths.
    """

    thing: str | None
    floor: int
    length: int
    upright: bool
    start: Point3
    end: Point3
    added: tuple[str, ...] = ()
    measured_by: str | None = None


def steps_to_source(
    network: Network, trees: Trees, source: int, node: int
) -> tuple[list[Step], int]:
    """The steps from a junction back to the source's leg, and that leg."""
    pieces, leg = way_back(trees, source, node)
    return [step_on(network, piece, begin) for piece, begin in pieces], leg


def step_on(network: Network, piece: int, begin: int) -> Step:
    """The step over a piece that begins at a junction."""
    one, other = int(network.one[piece]), int(network.other[piece])
    end = other if begin == one else one
    cut = int(network.piece_cut[piece])
    thing, added, measured_by = None, tuple[str, ...](), None
    if cut != LINK:
        flat = network.joints.stretches
        stretch, low = divmod(int(network.key[cut]), 1 << OFFSET_BITS)
        high = int(network.key[cut + 1]) - (stretch << OFFSET_BITS)
        thing = flat.things[int(flat.thing[stretch])]
        added, measured_by = _walked(network, stretch, low, high, forward=begin == one)
    return Step(
        thing,
        int(network.floor[piece]),
        int(network.length[piece] - network.added[piece]),
        bool(network.upright[piece]),
        _point(network, begin),
        _point(network, end),
        added,
        measured_by,
    )


def _walked(
    network: Network, stretch: int, low: int, high: int, *, forward: bool
) -> tuple[tuple[str, ...], str | None]:
    """What was added between two offsets of a stretch, in walking order; who measured it."""
    walked = network.joints.walked
    if walked is None:
        return (), None
    added = walked.passed(stretch, low, high)
    return added if forward else added[::-1], walked.measured_by.get(stretch)


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
    """One part for each stay on one thing, horizontal and vertical apart; what was measured is
    a part by itself, and what was added follows the stay on which it is."""
    parts: list[Part] = []
    more: list[Part] = []
    units = project.settings.units
    for step in steps:
        sort = PartSort.VERTICAL if step.upright else PartSort.HORIZONTAL
        name = thing_name(project, step.thing)
        if step.measured_by is not None:
            name += f", {measured_words(project.walked_lengths[step.measured_by], units)}"
        last = parts[-1] if parts else None
        same = last is not None and (last.thing, last.sort, last.name) == (step.thing, sort, name)
        if last is not None and same:
            parts[-1] = replace(last, length_mm=last.length_mm + step.length)
        else:
            parts += [*more, Part(name, step.length, sort, step.thing)]
            more = []
        for walked in (project.walked_lengths[w] for w in step.added):
            name = added_words(walked, units)
            more.append(Part(name, walked.added_mm, PartSort.ADDED, step.thing))
    return [*parts, *more]


def added_words(walked: WalkedLength, units: Units) -> str:
    """`as walked: +4 m round the duct`."""
    said = f"as walked: +{_said(walked.added_mm, units)}"
    return f"{said} {walked.reason.strip()}" if walked.reason.strip() else said


def measured_words(walked: WalkedLength, units: Units) -> str:
    """`measured 61.2 m`, with the reason."""
    said = f"measured {_said(walked.replaced_mm or 0, units)}"
    return f"{said} ({walked.reason.strip()})" if walked.reason.strip() else said


def _said(length_mm: int, units: Units) -> str:
    if units is Units.US:
        return f"{length_mm / MM_PER_FOOT:,.1f}".removesuffix(".0") + " ft"
    return f"{length_mm / MM_PER_M:,.3f}".rstrip("0").rstrip(".") + " m"


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


def on_piece(
    network: Network, legs: Legs, hold: Hold, leg: int, *, to_high: bool, floor: int
) -> Step | None:
    """The step from where an outlet's leg meets a stretch to the junction it takes; None where
    it meets it at the junction."""
    flat = network.joints.stretches
    cut = int(hold.high[leg] if to_high else hold.low[leg])
    stretch, offset = int(legs.stretch[leg]), int(legs.offset[leg])
    there = int(network.key[cut]) - (stretch << OFFSET_BITS)
    if there == offset:
        return None
    low, high = sorted((offset, there))
    added, measured_by = _walked(network, stretch, low, high, forward=to_high)
    along, _ = walked_between(
        network, legs.stretch[leg : leg + 1], network.key[cut : cut + 1], legs.offset[leg : leg + 1]
    )
    return Step(
        flat.things[int(flat.thing[stretch])],
        floor,
        int(along[0]),
        bool(flat.upright[stretch]),
        (int(legs.x[leg]), int(legs.y[leg]), int(legs.z[leg])),
        _point(network, int(network.node[cut])),
        added,
        measured_by,
    )


def common_parts(
    settings: Settings,
    *,
    allowance: int,
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
    percent = f"{settings.allowance_permille / 10:g} %"
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
