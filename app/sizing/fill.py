"""How full a pathway is: cable area against the inside section, and the places left.

Two ways of counting stand side by side. Area: the sum of the cables' sections against a share
of the inside section. Cables per duct: where several round ducts run in parallel, cables are
shared evenly and the fullest duct decides.
"""

import math
from dataclasses import dataclass
from enum import IntEnum

FEW_CABLES = 3
"""From this number of cables in a round duct the share no longer depends on the number."""


class FillLevel(IntEnum):
    """How far a pathway is filled, from calm to overfull."""

    WITHIN = 0
    ABOVE_PLANNED = 1
    ABOVE_WARNED = 2
    OVER = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class FillLimits:
    """The shares of the inside section that one kind of pathway may take.

    `one_ratio` and `two_ratio` hold where exactly one or two cables lie in a round duct;
    None where the number of cables does not matter.
    """

    planned_ratio: float
    warned_ratio: float
    most_ratio: float
    one_ratio: float | None = None
    two_ratio: float | None = None

    def most(self, cables: int) -> float:
        """The greatest share for so many cables in one duct.

        Source: conduits.fill_one, conduits.fill_two, conduits.fill_more.
        """
        if cables <= 1 and self.one_ratio is not None:
            return self.one_ratio
        if cables == FEW_CABLES - 1 and self.two_ratio is not None:
            return self.two_ratio
        return self.most_ratio


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """What so many cables make of a pathway's inside section.

    `inside_mm2` is 0 and `ratio` 0 where the size is not known (`known` False). `places_left`
    counts more cables of `od_mm`; negative: so many too many. `ducts` is the number of
    parallel ducts or sleeves, `ducts_needed` how many of them the cables fill.
    """

    cables: int
    area_mm2: float
    inside_mm2: float
    ratio: float
    limit_ratio: float
    planned_ratio: float
    warned_ratio: float
    places_left: int
    od_mm: float
    ducts: int = 1
    ducts_needed: int = 1

    @property
    def known(self) -> bool:
        """Whether the pathway has a size."""
        return self.inside_mm2 > 0

    @property
    def level(self) -> FillLevel:
        """How far the pathway is filled; calm where its size is not known."""
        return fill_level(
            cables=self.cables,
            ratio=self.ratio,
            places_left=self.places_left,
            planned_ratio=self.planned_ratio,
            warned_ratio=self.warned_ratio,
        )


def fill_level(
    *,
    cables: int,
    ratio: float | None,
    places_left: int | None,
    planned_ratio: float,
    warned_ratio: float,
) -> FillLevel:
    """Overfull where a cable has no place, else by the shares; calm where no size is known."""
    if ratio is None or places_left is None or cables == 0:
        return FillLevel.WITHIN
    if places_left < 0:
        return FillLevel.OVER
    if ratio > warned_ratio:
        return FillLevel.ABOVE_WARNED
    return FillLevel.ABOVE_PLANNED if ratio > planned_ratio else FillLevel.WITHIN


def cable_area_mm2(*, od_mm: float) -> float:
    """The section of one round cable, 0.785 × OD².

    Source: pathway_kinds.tray.fill_planned_percent.
    """
    return math.pi / 4 * od_mm * od_mm


def round_inside_mm2(*, bore_mm: float, count: int = 1) -> float:
    """The inside section of round ducts of the same bore."""
    return count * cable_area_mm2(od_mm=bore_mm)


def fill_ratio(*, area_mm2: float, inside_mm2: float) -> float:
    """The share of the inside section that cable takes; 0 where the section is not known."""
    return area_mm2 / inside_mm2 if inside_mm2 > 0 else 0.0


def places_by_area(
    *, cables: int, area_mm2: float, inside_mm2: float, od_mm: float, limits: FillLimits
) -> int:
    """How many more cables of `od_mm` one duct or tray takes; negative: so many too many.

    With one and two cables in a round duct the share differs from that for more.
    """
    one_mm2 = cable_area_mm2(od_mm=od_mm)
    more = _floor((limits.most_ratio * inside_mm2 - area_mm2) / one_mm2)
    if cables + more >= FEW_CABLES or limits.two_ratio is None:
        return more
    for total in range(FEW_CABLES - 1, -1, -1):
        wanted_mm2 = area_mm2 + (total - cables) * one_mm2
        if wanted_mm2 <= limits.most(total) * inside_mm2 + _TINY_MM2:
            return total - cables
    return more


def duct_capacity(*, bore_mm: float, od_mm: float, limits: FillLimits) -> int:
    """How many cables of one diameter a single round duct takes by area."""
    return places_by_area(
        cables=0,
        area_mm2=0.0,
        inside_mm2=round_inside_mm2(bore_mm=bore_mm),
        od_mm=od_mm,
        limits=limits,
    )


def fill(
    *,
    cables: int,
    area_mm2: float,
    inside_mm2: float,
    od_mm: float,
    limits: FillLimits,
    ducts: int = 1,
) -> Filled:
    """The fill of a pathway whose whole inside section, all ducts together, is `inside_mm2`.

    `od_mm` is the cable for which places are counted. In parallel ducts cables are shared
    evenly: the fullest holds ceil(cables / ducts) of them.
    """
    one_inside_mm2 = inside_mm2 / ducts
    if inside_mm2 <= 0:
        left, needed = 0, 1
    elif ducts == 1:
        left = places_by_area(
            cables=cables, area_mm2=area_mm2, inside_mm2=inside_mm2, od_mm=od_mm, limits=limits
        )
        needed = 1
    else:
        # Cables of several sizes are taken as so many of their mean section.
        mean_mm2 = area_mm2 / cables if cables else cable_area_mm2(od_mm=od_mm)
        one = places_by_area(
            cables=0,
            area_mm2=0.0,
            inside_mm2=one_inside_mm2,
            od_mm=math.sqrt(mean_mm2 * 4 / math.pi),
            limits=limits,
        )
        left = ducts * one - cables
        needed = -(-cables // one) if one > 0 else ducts + 1
    fullest = -(-cables // ducts)
    return Filled(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=inside_mm2,
        ratio=fill_ratio(area_mm2=area_mm2, inside_mm2=inside_mm2),
        limit_ratio=limits.most(fullest),
        planned_ratio=limits.planned_ratio,
        warned_ratio=limits.warned_ratio,
        places_left=left,
        od_mm=od_mm,
        ducts=ducts,
        ducts_needed=needed,
    )


_TINY_MM2 = 1e-6


def _floor(value: float) -> int:
    # A section that is met exactly must not lose a place to the last binary digit.
    return math.floor(value + 1e-9)
