"""The longest horizontal cable by the link equations of ISO/IEC 11801-2."""

from typing import Literal

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

Model = Literal["interconnect", "cross_connect", "interconnect_cp", "cross_connect_cp"]
IsoClass = Literal["D", "E", "EA", "F", "FA"]


def longest_horizontal_m(
    rules: RuleSet,
    *,
    model: Model,
    iso_class: IsoClass,
    cords_m: float,
    cord_ratio: float | None = None,
    consolidation_cable_m: float = 0.0,
    consolidation_ratio: float = 1.0,
) -> float:
    """The longest fixed horizontal cable at 20 °C, never above the permanent link.

    `cord_ratio` is the insertion loss of a metre of cord against one of horizontal cable.
    Source: link_equations.constants, link_equations.cord_ratio, lengths.permanent_link.
    """
    constant_m, margin_m = _constants(rules, model, iso_class)
    ratio = rules.number("link_equations.cord_ratio") if cord_ratio is None else cord_ratio
    length_m = constant_m - margin_m - cords_m * ratio
    if model.endswith("_cp"):
        length_m -= consolidation_cable_m * consolidation_ratio
    return min(rules.number("lengths.permanent_link"), length_m)


def _constants(rules: RuleSet, model: str, iso_class: str) -> tuple[float, float]:
    table = rules.table("link_equations.constants")
    names = zip(table.column("model"), table.column("iso_class"), strict=True)
    for row, name in enumerate(names):
        if name == (model, iso_class):
            return table.numbers("constant_m")[row], table.numbers("margin_m")[row]
    raise StandardsDataError(f"{table.key}: there is no row for {model}, class {iso_class}")
