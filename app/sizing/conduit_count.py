"""The trade size of a conduit: of one that is there, and of one to an outlet."""

from collections.abc import Sequence

from app.standards import RuleSet
from app.standards.conduit_fill import (
    conduit_bore_mm,
    conduit_designators,
    smallest_conduit_by_area,
    smallest_conduit_by_count_table,
)


def designator_of_bore(*, bore_mm: float, rules: RuleSet) -> int:
    """The trade size (metric designator) nearest to a bore or to a designator given as one.

    Source: conduits.emt.
    """

    def distance(size: int) -> tuple[float, int]:
        bore = conduit_bore_mm(rules, designator=size)
        return min(abs(bore_mm - size), abs(bore_mm - bore)), size

    return min(conduit_designators(rules), key=distance)


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
    by_count = smallest_conduit_by_count_table(rules, cables=len(ods_mm), od_mm=max(ods_mm))
    if by_count is not None:
        sizes.append(by_count)
    if len(ods_mm) > 1:
        thin = max(ods_mm) <= rules.cable_types["cat6_u"].od_mm
        sizes.append(rules.count(f"pathways.least_conduit_{'6' if thin else '6a'}"))
    return max(sizes)
