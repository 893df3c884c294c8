"""How many cables a conduit takes by the published table, which stands beside the area rule.

The table lies far below the area rule because it allows for bends; both are shown.
"""

from collections.abc import Sequence

from app.standards import RuleSet
from app.standards.conduit_fill import smallest_conduit_by_area

MM_PER_INCH = 25.4


def designator_of_bore(*, bore_mm: float, rules: RuleSet) -> int:
    """The trade size (metric designator) nearest to a bore or to a designator given as one.

    Source: conduits.emt.
    """
    table = rules.table("conduits.emt")
    sizes = [int(d) for d in table.numbers("designator")]
    bores = [inches * MM_PER_INCH for inches in table.numbers("bore_in")]

    def distance(size: int, bore: float) -> tuple[float, int]:
        return min(abs(bore_mm - size), abs(bore_mm - bore)), size

    return min(distance(s, b) for s, b in zip(sizes, bores, strict=True))[1]


def table_count(*, designator: int, od_mm: float, rules: RuleSet) -> int | None:
    """Cables of one diameter in one conduit by the table; None where the table is silent.

    The column is that of the next larger printed diameter. Source: conduits.cable_count.
    """
    table = rules.table("conduits.cable_count")
    printed = [c for c in table.columns if c != "designator"]
    wide_enough = [c for c in printed if float(c) >= od_mm - 1e-9]
    if not wide_enough:
        return None
    column = min(wide_enough, key=float)
    for size, cell in zip(table.numbers("designator"), table.column(column), strict=True):
        if int(size) == designator:
            return int(cell) if isinstance(cell, int | float) else None
    return None


def least_designator(*, cables: int, od_mm: float, rules: RuleSet) -> int | None:
    """The smallest trade size that takes so many cables by the table; None if none does.

    Source: conduits.cable_count.
    """
    sizes = sorted(int(d) for d in rules.table("conduits.cable_count").numbers("designator"))
    for size in sizes:
        takes = table_count(designator=size, od_mm=od_mm, rules=rules)
        if takes is not None and takes >= cables:
            return size
    return None


def conduit_to_outlet(*, ods_mm: Sequence[float], rules: RuleSet) -> int | None:
    """The trade size of a conduit to an outlet with cables of these diameters; None if none does.

    The largest of what the section, the count table (all as thick as the thickest; where it is
    silent the section alone) and, from two cables on, the trade's least size ask for.
    Source: conduits.fill_one, conduits.fill_two, conduits.fill_more, conduits.cable_count,
    pathways.least_conduit_6, pathways.least_conduit_6a.
    """
    by_area = smallest_conduit_by_area(rules, od_mm=tuple(ods_mm))
    if by_area is None:
        return None
    sizes = [by_area]
    by_count = least_designator(cables=len(ods_mm), od_mm=max(ods_mm), rules=rules)
    if by_count is not None:
        sizes.append(by_count)
    if len(ods_mm) > 1:
        thin = max(ods_mm) <= rules.cable_types["cat6_u"].od_mm
        sizes.append(rules.count(f"pathways.least_conduit_{'6' if thin else '6a'}"))
    return max(sizes)
