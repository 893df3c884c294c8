"""Stands: frames and demarcation points as ends that trees grow from."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.geometry.rounding import to_mm
from app.model.entities import Demarcation, Frame
from app.model.project import Project
from app.routing.belonging import Keepers, build_keepers
from app.routing.ground import spaces_at
from app.routing.legs import Legs
from app.routing.places import GRACE_MM, Ends
from app.routing.plates import NO_CEILING_MM, World
from app.routing.results import BoolArray, IndexArray, IntArray
from app.routing.riser_joints import RiserEnd, riser_points


@dataclass(frozen=True, eq=False)
class Stands:
    """Columns of frames (first `frames` rows, in order of z, x, y, id) and demarcation points.

    `ends` are the points that legs come to: the entry into the room, else the thing itself.
    `beyond` are the millimetres from the entry on, `dressing` those in the rack. `ladder` and
    `panel` are absolute; `ladder` equals `no_ladder` where cable drops from its pathway.
    """

    ids: tuple[str, ...]
    frames: int
    floor: IndexArray
    space: tuple[str | None, ...]
    ends: Ends
    ladder: IntArray
    has_ladder: BoolArray
    panel: IntArray
    top: IntArray
    """Where cable runs that comes by no pathway: the ladder, else the usual tray's height."""
    beyond: IntArray
    dressing: IntArray
    keepers: Keepers
    """Whom each frame takes."""


def frames_in_order(project: Project) -> list[Frame]:
    """All frames by z, x, y, id: the order in which equals are preferred."""
    floors = project.floors
    return sorted(
        project.frames.values(),
        key=lambda f: (floors[f.floor].level_mm, f.x_mm, f.y_mm, f.id),
    )


def build_stands(project: Project, world: World) -> Stands:
    """The columns of all frames, then of all demarcation points by id."""
    things: list[Frame | Demarcation] = [*frames_in_order(project)]
    frames = len(things)
    things += sorted(project.demarcations.values(), key=lambda d: d.id)
    spaces = [_space(world, t) for t in things]
    rows = [_row(world, t, s) for t, s in zip(things, spaces, strict=True)]
    table = np.array(rows, dtype=np.float64).reshape(-1, 12)
    whole = table[:, :10].astype(np.int64)
    count = len(things)
    ends = Ends(
        x=whole[:, 0],
        y=whole[:, 1],
        z=whole[:, 2],
        ground=whole[:, 3].astype(np.int32),
        bottom=np.full(count, -NO_CEILING_MM, dtype=np.int64),
        ceiling=np.full(count, NO_CEILING_MM, dtype=np.int64),
        cos=table[:, 10],
        sin=table[:, 11],
        spots=whole[:, 7],
    )
    return Stands(
        ids=tuple(t.id for t in things),
        frames=frames,
        floor=whole[:, 3].astype(np.int32),
        space=tuple(spaces),
        ends=ends,
        ladder=whole[:, 4],
        has_ladder=whole[:, 5].astype(bool),
        panel=whole[:, 6],
        top=whole[:, 7],
        beyond=whole[:, 8],
        dressing=whole[:, 9],
        keepers=build_keepers(world.belonging, frames_in_order(project)),
    )


def _space(world: World, thing: Frame | Demarcation) -> str | None:
    rooms = world.rooms[thing.floor]
    at = np.array([(thing.x_mm, thing.y_mm)], dtype=np.float64)
    number = int(spaces_at(rooms, at)[0])
    return rooms.ids[number] if number >= 0 else None


def _row(world: World, thing: Frame | Demarcation, space: str | None) -> tuple[float, ...]:
    """x, y, z, floor, ladder, has ladder, panel, top, beyond, dressing, cos, sin."""
    settings, level = world.settings, world.floors[thing.floor].level_mm
    cos, sin = world.axis[thing.floor if space is None else space]
    floor = world.floor_index[thing.floor]
    usual = level + settings.tray_height_mm
    if isinstance(thing, Demarcation):
        z = level + thing.height_mm
        return thing.x_mm, thing.y_mm, z, floor, z, 0, z, usual, 0, 0, cos, sin
    panel_height = (
        settings.panel_height_mm if thing.panel_height_mm is None else thing.panel_height_mm
    )
    panel = level + panel_height
    ladder = panel if thing.ladder_height_mm is None else level + thing.ladder_height_mm
    x, y = (thing.x_mm, thing.y_mm) if thing.entry is None else thing.entry
    dx, dy = x - thing.x_mm, y - thing.y_mm
    beyond = to_mm(abs(dx * cos + dy * sin)) + to_mm(abs(dy * cos - dx * sin))
    dressing = settings.dressing_mm if thing.dressing_mm is None else thing.dressing_mm
    has_ladder = thing.ladder_height_mm is not None
    top = ladder if has_ladder else usual
    return x, y, ladder, floor, ladder, has_ladder, panel, top, beyond, dressing, cos, sin


def riser_ends(project: Project, stands: Stands, floor_ids: Sequence[str]) -> list[RiserEnd]:
    """The heights at which stands enter the risers that their legs reach."""
    found: list[RiserEnd] = []
    points = riser_points(project)
    reach = project.settings.reach_mm + GRACE_MM
    ends = stands.ends
    for riser in sorted(points):
        for floor, (x, y) in points[riser].items():
            for k in np.flatnonzero(stands.floor == floor_ids.index(floor)).tolist():
                dx, dy = float(x - ends.x[k]), float(y - ends.y[k])
                cos, sin = float(ends.cos[k]), float(ends.sin[k])
                if abs(dx * cos + dy * sin) + abs(dy * cos - dx * sin) <= reach:
                    found.append((riser, floor, int(stands.top[k])))
    return found


def leg_lengths(stands: Stands, legs: Legs) -> tuple[IntArray, IntArray]:
    """Across and upright of stands' legs, down to the panels and from the entry on."""
    end = legs.end
    over = np.abs(legs.z - stands.ladder[end]) + np.abs(stands.ladder[end] - stands.panel[end])
    straight = np.abs(legs.z - stands.panel[end])
    return legs.across + stands.beyond[end], np.where(stands.has_ladder[end], over, straight)
