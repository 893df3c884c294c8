"""What stands on a floor, on paper: spaces, pathways, frames and the like, outlets, with labels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import shapely

from app.design.design import Design
from app.drawing.occupied import Occupied
from app.drawing.pathway_hatches import pathway_drawing
from app.drawing.primitives import (
    Bounds,
    FilledPath,
    Point,
    Polyline,
    Primitive,
    Stroke,
    Text,
    bounds,
)
from app.drawing.states import GHOST, ghost_symbol, look_name, relocation_arrow
from app.drawing.symbols import GRID, outlet_symbol, placed, state_look
from app.model.entities import OutdoorDuct, Outlet, Pathway, Space
from app.sheets.paper_labels import (
    PAD_MM,
    PlacedWish,
    Wish,
    Words,
    drawn,
    place,
    size_of,
    spots_around,
)
from app.sheets.plan_on_paper import PlanOnSite, plan_lines, plan_texts
from app.sheets.space_labels import BESIDE, ROOM_MM, said_by, space_wishes
from app.sheets.standing import Standing, standing_on
from app.sheets.viewport import Viewport, grown, within
from app.sheets.weights import BOLD_MM, RULE_MM, on_paper
from app.sheets.zones_on_paper import zone_border, zone_wishes, zones_on

NUMBER_MM = 2.5
"""The height of a capital in the numbers of outlets and pathways."""
SYMBOL_MM, SMALL_SYMBOL_MM, PLACE_MM, HATCH_MM = 6.2, 4.2, 7.5, 5.0
"""Sides of symbols: an outlet with its number of ports, without, a frame, a pathway's hatch."""
ROOMY_MM = 7.5
"""So far apart outlets must stand for the larger symbol."""
LEAST_WIDTH_MM = 0.9
LEGIBLE_COUNT_MM = 1.8

_MIDDLE = 8.0
"""The middle of an outlet's symbol above its point on the wall, in grid units."""
_WALL = Stroke(ink="ink_soft", width_mm=RULE_MM)
_PLACE_RANK, _SPACE_RANK, _OUTLET_RANK, _TINY_RANK, _PATHWAY_RANK = range(5)


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorOnPaper:
    """The primitives of one viewport. `without_room` are the outlets whose number found no
    place, `told` those in the core of the viewport."""

    primitives: tuple[Primitive, ...]
    told: tuple[str, ...]
    without_room: tuple[str, ...]


@dataclass(slots=True)
class _Sheet:
    """What is gathered while a viewport is drawn."""

    view: Viewport
    made: list[Primitive] = field(default_factory=list)
    wishes: list[Wish] = field(default_factory=list)
    occupied: Occupied = field(default_factory=lambda: Occupied(cell=12.0))


def floor_on_paper(
    design: Design, floor_id: str, plans: Sequence[PlanOnSite], view: Viewport
) -> FloorOnPaper:
    """One viewport of a floor."""
    sheet = _Sheet(view)
    project = design.project
    spaces = [s for s in project.spaces.values() if s.floor == floor_id]
    outlets = [o for o in project.outlets.values() if o.floor == floor_id]
    for on_site in plans:
        sheet.made += plan_lines(on_site, view)
    for space in spaces:
        _add_space(sheet, space)
    for line in _lines_on(design, floor_id):
        _add_line(sheet, line)
    for zone in zones_on(project, floor_id):
        sheet.made += zone_border(zone, view)
        sheet.wishes += zone_wishes(project, zone, view, rank=_SPACE_RANK)
    side_mm = symbol_side_mm(outlets, view.denominator)
    told = [o for o in outlets if within(view.core, view.at(o.x_mm, o.y_mm))]
    for standing in standing_on(project, floor_id):
        _add_standing(sheet, standing)
    for outlet in told:
        _add_outlet(sheet, design, outlet, side_mm)
    texts = [t for on_site in plans for t in plan_texts(on_site, view)]
    labels = _place_labels(sheet, texts, spaces)
    numbered = {o.id for o in told if o.number}
    placed_keys = {label.wish.key for label in labels}
    return FloorOnPaper(
        primitives=tuple(sheet.made),
        told=tuple(o.id for o in told),
        without_room=tuple(i for i in numbered if i not in placed_keys),
    )


def symbol_side_mm(outlets: Sequence[Outlet], denominator: int) -> float:
    """How large the outlets of a floor are drawn: smaller, without ports, where they are dense."""
    if len(outlets) <= 1:
        return SYMBOL_MM
    points = shapely.points([(o.x_mm, o.y_mm) for o in outlets])
    tree = shapely.STRtree(points)
    # The nearest other one; things in one place count as one.
    pairs, apart = tree.query_nearest(
        points, exclusive=True, return_distance=True, all_matches=False
    )
    del pairs
    dense = float(np.quantile(apart, 0.15)) / denominator
    return SYMBOL_MM if dense >= ROOMY_MM else SMALL_SYMBOL_MM


# --- spaces ---------------------------------------------------------------------------------


def _add_space(sheet: _Sheet, space: Space) -> None:
    view = sheet.view
    rings = [view.all_at(np.array(r, dtype=float)) for r in (space.outline, *space.holes)]
    shape = shapely.make_valid(shapely.Polygon(rings[0], rings[1:]))
    window = shapely.box(*view.box)
    for ring in rings:
        line = shapely.LineString([*ring, ring[0]]).intersection(window)
        sheet.made += _polylines(line, "spaces", _WALL)
    own = shapely.intersection(shape, shapely.box(*view.core))
    part = max(
        (p for p in shapely.get_parts(own) if isinstance(p, shapely.Polygon)),
        key=shapely.area,
        default=None,
    )
    if part is None or part.area < shape.area / 2 or not (space.number or space.name):
        return
    sheet.wishes += space_wishes(space, part, rank=_SPACE_RANK, tiny_rank=_TINY_RANK)


# --- pathways -------------------------------------------------------------------------------


def _lines_on(design: Design, floor_id: str) -> Iterator[Pathway | OutdoorDuct]:
    yield from (p for p in design.project.pathways.values() if p.floor == floor_id)
    for duct in design.project.outdoor_ducts.values():
        if floor_id in (duct.from_floor, duct.to_floor):
            yield duct


def _add_line(sheet: _Sheet, thing: Pathway | OutdoorDuct) -> None:
    view = sheet.view
    kind = thing.kind if isinstance(thing, Pathway) else "outdoor_duct"
    wide_mm = (thing.width_mm if isinstance(thing, Pathway) else None) or 0.0
    width = max(wide_mm / view.denominator, LEAST_WIDTH_MM)
    points = view.all_at(np.array([v[:2] for v in thing.vertices], dtype=float))
    if len(np.unique(points, axis=0)) <= 1:
        return
    for line in _parts_of(shapely.LineString(points).intersection(shapely.box(*view.box))):
        look = look_name(thing)
        drawing = pathway_drawing(str(kind), line, width=width, size=HATCH_MM, state=look)
        sheet.made += on_paper(drawing, look, bold_mm=BOLD_MM)
        for start, end in pairwise(line):
            if start[0] == end[0] or start[1] == end[1]:
                low, high = np.minimum(start, end), np.maximum(start, end)
                box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
                sheet.occupied.avoid(grown(box, width / 2 + 0.3))
        sheet.wishes += _line_wishes(thing, line, view.core)


def _line_wishes(
    thing: Pathway | OutdoorDuct, line: Sequence[Point], core: Bounds
) -> Iterator[Wish]:
    """A pathway's number on its longest piece, at its middle or a little along."""
    if not thing.number or not line:
        return
    pieces = [p for p in pairwise(line) if math.dist(*p) > 0]
    start, end = max(pieces, key=lambda p: math.dist(*p))
    words = (Words(text=thing.number, capital_mm=NUMBER_MM),)
    wide, tall = size_of(words)
    if math.dist(start, end) < wide:
        return
    spots = []
    for share in (0.5, 0.35, 0.65, 0.2, 0.8):
        x, y = start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share
        spots += [(x - wide / 2, y + drop) for drop in (-tall / 2, 1.0, -tall - 1.0)]
    inside = tuple(s for s in spots if within(core, s))
    if inside:
        yield Wish(
            key=thing.id,
            words=words,
            spots=inside,
            rank=_PATHWAY_RANK,
            layer="pathway labels",
            ink=state_look(look_name(thing)).ink,
            lies_on_lines=True,
        )


def _parts_of(geometry: shapely.Geometry) -> Iterator[tuple[Point, ...]]:
    for part in shapely.get_parts(geometry):
        if isinstance(part, shapely.LineString) and part.length > 0:
            yield tuple((round(x, 3), round(y, 3)) for x, y in part.coords)


def _polylines(geometry: shapely.Geometry, layer: str, stroke: Stroke) -> Iterator[Primitive]:
    for points in _parts_of(geometry):
        yield Polyline(layer=layer, points=points, stroke=stroke)


# --- frames, risers and the like --------------------------------------------------------------


def _add_standing(sheet: _Sheet, standing: Standing) -> None:
    at = sheet.view.at(*standing.at_mm)
    if not within(sheet.view.box, at):
        return
    side = PLACE_MM if standing.is_place else SYMBOL_MM
    symbol = placed(
        standing.symbol, x=at[0], y=at[1], size=side, rotation_deg=_turn(sheet, standing.turn_mdeg)
    )
    _add_symbol(sheet, on_paper(symbol, standing.look), on_ground=not standing.is_open)
    if standing.text and within(sheet.view.core, at):
        is_place = standing.is_place
        capital_mm = ROOM_MM if is_place else NUMBER_MM
        first = Words(text=standing.text, capital_mm=capital_mm, bold=is_place)
        more = tuple(Words(text=line, capital_mm=NUMBER_MM) for line in standing.more)
        for words in dict.fromkeys(((first, *more), (first,))):
            spots, near = spots_around(at, size_of(words), side * 0.5 + 0.4)
            sheet.wishes.append(
                Wish(
                    key=standing.id,
                    words=words,
                    spots=spots,
                    rank=_PLACE_RANK,
                    layer="place labels",
                    anchor=at,
                    near_mm=near,
                )
            )


def _add_symbol(sheet: _Sheet, symbol: Sequence[Primitive], *, on_ground: bool = True) -> None:
    """The symbol, on white ground unless what lies below belongs to it."""
    own = bounds(symbol)
    body = next((p for p in symbol if isinstance(p, Polyline) and p.closed), None)
    if body is not None and on_ground:
        sheet.made.append(FilledPath(layer="symbols", rings=(body.points,), ink="paper"))
    sheet.made += symbol
    if own is not None:
        sheet.occupied.take(own)


def _turn(sheet: _Sheet, rotation_mdeg: int) -> float:
    return rotation_mdeg / 1_000 + sheet.view.turn_deg


# --- outlets --------------------------------------------------------------------------------


def _add_outlet(sheet: _Sheet, design: Design, outlet: Outlet, side_mm: float) -> None:
    view = sheet.view
    kind = design.project.outlet_kinds[outlet.kind]
    at = view.at(outlet.x_mm, outlet.y_mm)
    turn_deg = _turn(sheet, outlet.rotation_mdeg)
    look = look_name(outlet)
    ports = len(outlet.ports) if side_mm >= SYMBOL_MM else None
    symbol = outlet_symbol(kind.symbol, ports=ports, state=look)
    symbol = placed(symbol, x=at[0], y=at[1], size=side_mm, rotation_deg=turn_deg)
    _add_symbol(sheet, on_paper(symbol, look))
    _add_old_place(sheet, outlet, kind.symbol, at, side_mm)
    if not outlet.number:
        return
    angle = math.radians(turn_deg)
    away = _MIDDLE * side_mm / GRID
    middle = at[0] - math.sin(angle) * away, at[1] + math.cos(angle) * away
    words = (Words(text=outlet.number, capital_mm=NUMBER_MM, bold=look in ("new", "relocated")),)
    spots, near = spots_around(middle, size_of(words), side_mm * 0.5)
    sheet.wishes.append(
        Wish(
            key=outlet.id,
            words=words,
            spots=spots,
            rank=_OUTLET_RANK,
            layer="outlet labels",
            ink=state_look(look).ink,
            anchor=middle,
            near_mm=near,
        )
    )


def _add_old_place(sheet: _Sheet, outlet: Outlet, symbol: str, at: Point, side_mm: float) -> None:
    """The old place of what is relocated, and the way from there, where both are on the floor."""
    old = outlet.was_at
    if old is None or old.floor != outlet.floor:
        return
    was = sheet.view.at(old.x_mm, old.y_mm)
    if within(sheet.view.box, was):
        ghost = placed(
            ghost_symbol(symbol),
            x=was[0],
            y=was[1],
            size=side_mm,
            rotation_deg=_turn(sheet, outlet.rotation_mdeg),
        )
        sheet.made += on_paper(ghost, GHOST)
        sheet.made += on_paper(relocation_arrow(was, at, size=side_mm), GHOST)


# --- labels ---------------------------------------------------------------------------------


def _place_labels(
    sheet: _Sheet, texts: Sequence[Text], spaces: Sequence[Space]
) -> list[PlacedWish]:
    """Place all labels; what the plan has written itself stays where no label says it."""
    said = said_by(sheet.view, texts, spaces)
    for text, space in zip(texts, said, strict=True):
        box = bounds((text,))
        if space is None and box is not None:
            sheet.occupied.avoid(grown(box, PAD_MM))
    core, first_rank = sheet.view.core, _TINY_RANK
    first = place((w for w in sheet.wishes if w.rank < first_rank), sheet.occupied, within=core)
    labelled = {p.wish.key for p in first}
    rest = (w for w in sheet.wishes if w.rank >= first_rank and _thing_of(w) not in labelled)
    labels = first + place(rest, sheet.occupied, within=core)
    told = {_thing_of(p.wish) for p in labels}
    sheet.made[:0] = [t for t, space in zip(texts, said, strict=True) if space not in told]
    shown = [p for label in labels for p in drawn(label)]
    # Leaders lie below the white ground of all labels.
    sheet.made += [p for p in shown if p.layer == "leaders"]
    sheet.made += [p for p in shown if p.layer != "leaders"]
    return labels


def _thing_of(wish: Wish) -> str:
    return wish.key.removesuffix(BESIDE)
