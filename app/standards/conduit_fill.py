"""How many cables a conduit takes: by area, and by the much stricter count table."""

import math
from collections.abc import Iterable

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

MM2_PER_IN2 = 645.16
MM_PER_IN = 25.4
_TWO = 2
_OD_TOLERANCE_MM = 0.05
"""The columns are rounded inches (0.24 in is 6.096 mm, printed 6.1)."""


def cable_area_mm2(*, od_mm: float) -> float:
    """The cross-section of one cable of diameter `od_mm`."""
    return math.pi / 4 * od_mm**2


def cables_area_mm2(*, od_mm: Iterable[float]) -> float:
    """The cross-section of all cables together."""
    return sum(cable_area_mm2(od_mm=od) for od in od_mm)


def conduit_fill_limit_ratio(rules: RuleSet, *, cables: int) -> float:
    """The share of a conduit that so many cables may fill; 0 cables count as many.

    Source: conduits.fill_one, conduits.fill_two, conduits.fill_more.
    """
    if cables == 1:
        return rules.ratio("conduits.fill_one")
    if cables == _TWO:
        return rules.ratio("conduits.fill_two")
    return rules.ratio("conduits.fill_more")


def fill_limit_with_bends_ratio(rules: RuleSet, *, limit_ratio: float, bends: int) -> float:
    """A fill limit after bends of 90°, each taking its share; shares add up, never below 0.

    Source: conduits.fill_lost_per_bend.
    """
    lost = rules.ratio("conduits.fill_lost_per_bend") * bends
    return limit_ratio * max(0.0, 1 - lost)


def conduit_designators(rules: RuleSet) -> tuple[int, ...]:
    """The metric designators of the conduits, smallest first. Source: conduits.emt."""
    return tuple(int(d) for d in rules.table("conduits.emt").numbers("designator"))


def conduit_bore_mm(rules: RuleSet, *, designator: int) -> float:
    """The inside diameter of a conduit. Source: conduits.emt."""
    return _of_designator(rules, "conduits.emt", "bore_in", designator) * MM_PER_IN


def conduit_area_mm2(rules: RuleSet, *, designator: int) -> float:
    """The inside cross-section of a conduit. Source: conduits.emt."""
    return _of_designator(rules, "conduits.emt", "area_in2", designator) * MM2_PER_IN2


def cables_by_area(rules: RuleSet, *, designator: int, od_mm: float) -> int:
    """How many equal cables fit by area: the most whose own fill limit holds.

    Source: conduits.emt, conduits.fill_one, conduits.fill_two, conduits.fill_more.
    """
    inside = conduit_area_mm2(rules, designator=designator)
    each = cable_area_mm2(od_mm=od_mm)
    many = math.floor(inside * rules.ratio("conduits.fill_more") / each + 1e-9)
    if many > _TWO:
        return many
    for cables in (_TWO, 1):
        if cables * each <= inside * conduit_fill_limit_ratio(rules, cables=cables):
            return cables
    return 0


def cables_by_count_table(rules: RuleSet, *, designator: int, od_mm: float) -> int | None:
    """How many equal cables the count table allows; None where it prints a dash or no column.

    The next larger printed diameter is taken, as the table allows no interpolation.
    Source: conduits.cable_count.
    """
    table = rules.table("conduits.cable_count")
    diameters = [c for c in table.columns if c != "designator"]
    column = next((c for c in diameters if float(c) >= od_mm - _OD_TOLERANCE_MM), None)
    if column is None:
        return None
    row = _row_of_designator(rules, "conduits.cable_count", designator)
    cell = table.column(column)[row]
    return None if cell is None else int(cell)


def smallest_conduit_by_count_table(rules: RuleSet, *, cables: int, od_mm: float) -> int | None:
    """The smallest designator whose count table cell takes so many cables, or None.

    Source: conduits.cable_count.
    """
    for designator in conduit_designators(rules):
        allowed = cables_by_count_table(rules, designator=designator, od_mm=od_mm)
        if allowed is not None and allowed >= cables:
            return designator
    return None


def smallest_conduit_by_area(rules: RuleSet, *, od_mm: tuple[float, ...]) -> int | None:
    """The smallest designator that takes these cables, mixed sizes allowed, by area; or None.

    Source: conduits.emt, conduits.fill_one, conduits.fill_two, conduits.fill_more.
    """
    needed = cables_area_mm2(od_mm=od_mm)
    limit = conduit_fill_limit_ratio(rules, cables=len(od_mm))
    for designator in conduit_designators(rules):
        if needed <= limit * conduit_area_mm2(rules, designator=designator):
            return designator
    return None


def _of_designator(rules: RuleSet, key: str, column: str, designator: int) -> float:
    return rules.table(key).numbers(column)[_row_of_designator(rules, key, designator)]


def _row_of_designator(rules: RuleSet, key: str, designator: int) -> int:
    sizes = rules.table(key).numbers("designator")
    if designator not in sizes:
        known = ", ".join(str(int(size)) for size in sizes)
        raise StandardsDataError(f"{key}: there is no conduit {designator}; take one of {known}")
    return sizes.index(designator)
