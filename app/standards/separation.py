"""Distance from power cable by EN 50174-2, editions 2009 and later: A = S × P."""

from typing import Literal

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

Containment = Literal["none", "open_metal", "perforated", "solid"]


def separation_mm(
    rules: RuleSet, *, cable_class: str, containment: Containment, circuits: int
) -> int:
    """The least distance, in whole mm, half up, from so many single-phase circuits of 20 A.

    Source: separation.by_class_2009, separation.power_factor_2009.
    """
    table = rules.table("separation.by_class_2009")
    classes = table.column("class")
    if cable_class not in classes:
        raise StandardsDataError(f"{table.key}: there is no class {cable_class!r}; a to d")
    least = table.numbers(f"{containment}_mm")[classes.index(cable_class)]
    return int(least * _power_factor(rules, circuits) + 0.5 + 1e-9)


def _power_factor(rules: RuleSet, circuits: int) -> float:
    table = rules.table("separation.power_factor_2009")
    most = table.column("circuits_up_to")
    factors = table.numbers("factor")
    for limit, factor in zip(most, factors, strict=True):
        if limit is None or circuits <= float(limit):
            return factor
    raise StandardsDataError(f"{table.key}: the last row needs a dash for any number of circuits")
