"""Trays and the ceiling: clear over the tiles, clear over the tray, not below the ceiling."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.wording import length_text, pathway_name, space_name
from app.model.entities import Floor, Pathway, Space
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, PathwayKind
from app.standards import RuleSet

TILES = "tray_close_over_ceiling"
BELOW = "tray_below_ceiling"
HEADROOM = "tray_headroom"

_OVERHEAD = frozenset({PathwayKind.LADDER, PathwayKind.TRAY, PathwayKind.BASKET, PathwayKind.HOOKS})
_HAS_CEILING = frozenset({Ceiling.ACCESSIBLE, Ceiling.HARD})


class _Piece(NamedTuple):
    """One horizontal or sloped piece: its pathway, lowest and highest height, its line."""

    pathway: Pathway
    low_mm: int
    high_mm: int
    line: tuple[tuple[int, int], tuple[int, int]]


def check_heights(
    floor: Floor,
    pathways: Sequence[Pathway],
    spaces: Sequence[Space],
    settings: Settings,
    rules: RuleSet,
) -> list[Finding]:
    """What is to say of the heights of the overhead pathways of one floor.

    `spaces` are those of the floor. One finding a pathway and rule, for the first space.
    """
    pieces = [piece for p in pathways if p.kind in _OVERHEAD for piece in _pieces(p)]
    found: dict[str, Finding] = {}
    for piece in pieces:
        said = _headroom(piece, floor, settings, rules)
        if said is not None:
            found.setdefault(said.key, said)
    ceiled = [s for s in spaces if s.ceiling in _HAS_CEILING]
    if pieces and ceiled:
        for piece_index, space_index in _crossings(pieces, ceiled):
            said = _over_ceiling(pieces[piece_index], ceiled[space_index], floor, settings, rules)
            if said is not None:
                found.setdefault(said.key, said)
    return list(found.values())


def _pieces(pathway: Pathway) -> list[_Piece]:
    pairs = zip(pathway.vertices, pathway.vertices[1:], strict=False)
    return [
        _Piece(pathway, min(a[2], b[2]), max(a[2], b[2]), (a[:2], b[:2]))
        for a, b in pairs
        if a[:2] != b[:2]
    ]


def _crossings(pieces: Sequence[_Piece], spaces: Sequence[Space]) -> list[tuple[int, int]]:
    """Which pieces run through which spaces; touching a wall from outside is no crossing."""
    lines = shapely.linestrings([p.line for p in pieces])
    polygons = np.array([shapely.Polygon(s.outline, s.holes) for s in spaces])
    valid = shapely.make_valid(polygons)
    hits = shapely.STRtree(valid).query(lines, predicate="intersects")
    inside = shapely.length(shapely.intersection(lines[hits[0]], valid[hits[1]])) > 1.0
    return sorted(zip(hits[0][inside].tolist(), hits[1][inside].tolist(), strict=True))


def _headroom(piece: _Piece, floor: Floor, settings: Settings, rules: RuleSet) -> Finding | None:
    if piece.pathway.kind is PathwayKind.HOOKS or piece.low_mm <= 0:
        return None
    wanted_mm = rules.mm("heights.headroom_over_tray")
    over_mm = floor.floor_to_floor_mm - piece.high_mm - round(piece.pathway.depth_mm or 0)
    if over_mm >= wanted_mm:
        return None
    text = (
        f"{pathway_name(piece.pathway, floor)}: "
        f"{length_text(over_mm, settings.units, places=2)} from its top to the floor above; "
        f"{length_text(wanted_mm, settings.units, places=2)} clear is wanted, less the slab."
    )
    missing_mm = wanted_mm - over_mm
    return _finding(
        HEADROOM, Severity.NOTE, text, piece, (), "heights.headroom_over_tray", missing_mm, rules
    )


def _over_ceiling(
    piece: _Piece, space: Space, floor: Floor, settings: Settings, rules: RuleSet
) -> Finding | None:
    ceiling_mm = space.ceiling_height_mm
    if ceiling_mm is None:
        ceiling_mm = settings.ceiling_height_mm
    over_mm = piece.low_mm - ceiling_mm
    wanted_mm = rules.mm("heights.tray_over_tiles")
    if over_mm >= wanted_mm or piece.low_mm <= 0:
        return None
    name, room = pathway_name(piece.pathway, floor), space_name(space)
    if over_mm < 0:
        text = (
            f"{name} hangs at {length_text(piece.low_mm, settings.units, places=2)} in {room}, "
            f"below its ceiling of {length_text(ceiling_mm, settings.units, places=2)}."
        )
        return _finding(
            BELOW, Severity.NOTE, text, piece, (space.id,), "heights.ceiling", -over_mm, rules
        )
    text = (
        f"{name} lies {length_text(over_mm, settings.units, places=2)} over the ceiling of {room}; "
        f"{length_text(wanted_mm, settings.units, places=3)} clear of the tiles is the least."
    )
    return _finding(
        TILES,
        Severity.WARN,
        text,
        piece,
        (space.id,),
        "heights.tray_over_tiles",
        wanted_mm - over_mm,
        rules,
    )


def _finding(
    rule: str,
    severity: Severity,
    text: str,
    piece: _Piece,
    more: tuple[str, ...],
    key: str,
    excess: float,
    rules: RuleSet,
) -> Finding:
    return finding(
        rule=rule,
        severity=severity,
        text=text,
        things=(piece.pathway.id, *more),
        floor=piece.pathway.floor,
        authority=authority(rules, key),
        excess=excess,
    )
