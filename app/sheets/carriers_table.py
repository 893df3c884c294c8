"""What cable lies in: pathways, and risers with outdoor ducts; fill, and places left in words."""

import math
from itertools import pairwise

from app.checks.conduit_crowded import count_by_table, mean_od_mm
from app.checks.wording import percent_text
from app.design.design import Design
from app.model.entities import OutdoorDuct, Pathway, Riser
from app.model.phases import phase_name
from app.model.vocabulary import RiserKind
from app.routing.results import Fill
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import word
from app.sizing.fill import duct_capacity
from app.sizing.pathway_fill import fill_rules, riser_limits
from app.takeoff.naming import size_text

PATHWAYS = "pathways"
RISERS = "risers"
_FILL_COLUMNS = (
    Column("cables", "Cables", ColumnKind.COUNT, 8),
    Column("cable_section", "Cable section", ColumnKind.SECTION, 13),
    Column("inside_section", "Inside section", ColumnKind.SECTION, 13),
    Column("fill", "Fill", ColumnKind.RATIO, 8),
    Column("planned", "Planned", ColumnKind.RATIO, 9),
    Column("limit", "Limit", ColumnKind.RATIO, 8),
    Column("places_left", "Places left", ColumnKind.COUNT, 11),
    Column("room", "Room", width=30),
    Column("count_table", "Cables by count table", ColumnKind.COUNT, 12),
    Column("fill_lying", "Fill with cables to remove", ColumnKind.RATIO, 13),
    Column("fill_future", "Fill with future cables", ColumnKind.RATIO, 13),
    Column("cables_lying", "Cables while old ones lie", ColumnKind.COUNT, 12),
    Column("state", "State", width=11),
    Column("phase", "Phase", width=11),
    Column("provided_by", "Provided by", width=11),
    Column("note", "Note", width=30),
)
PATHWAY_COLUMNS = (
    Column("number", "Pathway", width=12),
    Column("floor", "Floor", width=10),
    Column("kind", "Kind", width=15),
    Column("size", "Size", width=14),
    Column("height", "Height", ColumnKind.LENGTH, 9),
    Column("length", "Length", ColumnKind.LENGTH, 10, total=True),
    *_FILL_COLUMNS,
)
RISER_COLUMNS = (
    Column("number", "Riser or duct", width=12),
    Column("from", "From", width=10),
    Column("to", "To", width=10),
    Column("kind", "Kind", width=15),
    Column("size", "Size", width=14),
    Column("count", "Count", ColumnKind.COUNT, 7),
    Column("length", "Length", ColumnKind.LENGTH, 10, total=True),
    Column("fire_rating", "Fire rating", width=10),
    *_FILL_COLUMNS,
)


def pathways_table(design: Design) -> Table:
    """All pathways in the project's order."""
    pathways = design.project.pathways
    return Table(
        key=PATHWAYS,
        title="Pathways",
        columns=PATHWAY_COLUMNS,
        ids=tuple(pathways),
        rows=tuple(_pathway(design, p) for p in pathways.values()),
        units=design.project.settings.units,
    )


def pathway_row(design: Design, pathway_id: str) -> Row | None:
    """The row of one pathway, None where it is not there."""
    pathway = design.project.pathways.get(pathway_id)
    return None if pathway is None else _pathway(design, pathway)


def risers_table(design: Design) -> Table:
    """All risers, then all outdoor ducts."""
    project = design.project
    rows = [_riser(design, r) for r in project.risers.values()]
    rows += [_duct(design, d) for d in project.outdoor_ducts.values()]
    return Table(
        key=RISERS,
        title="Risers and outdoor ducts",
        columns=RISER_COLUMNS,
        ids=(*project.risers, *project.outdoor_ducts),
        rows=tuple(rows),
        units=project.settings.units,
    )


def riser_row(design: Design, thing_id: str) -> Row | None:
    """The row of one riser or outdoor duct, None where it is not there."""
    riser = design.project.risers.get(thing_id)
    if riser is not None:
        return _riser(design, riser)
    duct = design.project.outdoor_ducts.get(thing_id)
    return None if duct is None else _duct(design, duct)


def counted_size(design: Design, thing: Pathway | Riser | OutdoorDuct) -> str:
    """`300 × 60`, `2 × Ø 27`, `opening 3,300 mm²`; empty where no size is given."""
    size = size_text(thing, design.project.settings)
    return f"{thing.count} × {size}" if size and thing.count > 1 else size


def line_length_mm(vertices: tuple[tuple[int, int, int], ...]) -> int:
    """The true length of a line, each piece rounded to the millimetre, half up."""
    return sum(math.floor(math.dist(a, b) + 0.5) for a, b in pairwise(vertices))


def riser_length_mm(design: Design, riser: Riser) -> int:
    """Finished floor to finished floor along the riser's straight line."""
    floors = design.project.floors
    rise = floors[riser.upper_floor].level_mm - floors[riser.lower_floor].level_mm
    return math.floor(math.dist((*riser.lower, 0), (*riser.upper, rise)) + 0.5)


def _pathway(design: Design, pathway: Pathway) -> Row:
    heights = [v[2] for v in pathway.vertices]
    return (
        pathway.number,
        design.project.floors[pathway.floor].name,
        word(pathway.kind),
        counted_size(design, pathway),
        # A sloped or dropping line is told by its usual, that is its most frequent, height.
        max(heights, key=lambda h: (heights.count(h), h)),
        line_length_mm(pathway.vertices),
        *_fill(design, pathway),
    )


def _riser(design: Design, riser: Riser) -> Row:
    floors = design.project.floors
    return (
        riser.number,
        floors[riser.lower_floor].name,
        floors[riser.upper_floor].name,
        word(riser.kind),
        counted_size(design, riser),
        riser.count,
        riser_length_mm(design, riser),
        riser.fire_rating,
        *_fill(design, riser),
    )


def _duct(design: Design, duct: OutdoorDuct) -> Row:
    floors = design.project.floors
    return (
        duct.number,
        floors[duct.from_floor].name,
        floors[duct.to_floor].name,
        "outdoor duct",
        counted_size(design, duct),
        duct.count,
        line_length_mm(duct.vertices),
        "",
        *_fill(design, duct),
    )


def _fill(design: Design, thing: Pathway | Riser | OutdoorDuct) -> Row:
    phase = phase_name(design.project.settings, thing.phase)
    tail = (word(thing.state), phase, word(thing.provided_by), thing.note)
    fill = design.fills.get(thing.id)
    if fill is None:
        return (0, None, None, None, None, None, None, "", None, None, None, 0, *tail)
    od_mm = mean_od_mm(fill)
    return (
        fill.cables,
        fill.area_mm2,
        fill.inside_mm2,
        fill.ratio,
        fill.planned_ratio,
        fill.limit_ratio,
        fill.places_left,
        _room(design, thing, fill),
        None if od_mm is None else count_by_table(thing, od_mm=od_mm, rules=design.rules),
        fill.ratio_lying,
        fill.ratio_future,
        fill.cables_lying,
        *tail,
    )


def _room(design: Design, thing: Pathway | Riser | OutdoorDuct, fill: Fill) -> str:
    """The places left in words; of sleeves also how many of them the cables fill."""
    words, od_mm = room_text(fill), mean_od_mm(fill)
    if not isinstance(thing, Riser) or thing.count == 1 or thing.bore_mm is None or od_mm is None:
        return words
    rules = fill_rules(settings=design.project.settings, rules=design.rules)
    limits = riser_limits(thing, fill_rules=rules)
    one = duct_capacity(bore_mm=thing.bore_mm, od_mm=od_mm, limits=limits)
    if one <= 0 or thing.kind is not RiserKind.SLEEVES:
        return words
    return f"{-(-fill.cables // one)} of {thing.count} sleeves; {words}"


def room_text(fill: Fill) -> str:
    """The places left in words: `room for 61 more of this cable`, `8 too many`."""
    if fill.places_left is None or fill.ratio is None:
        return "size not known"
    if fill.places_left < 0:
        return f"{-fill.places_left} too many at {percent_text(fill.limit_ratio)}"
    if fill.places_left == 0:
        return "full"
    return f"room for {fill.places_left} more of this cable"
