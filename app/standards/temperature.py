"""What warmth takes from the length of a horizontal cable.

Two published ways disagree on purpose (84.0 against 82.8 m at 40 °C): say which was taken.
"""

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

_KNEE_C = 40.0


def longest_by_table_m(rules: RuleSet, *, celsius: float, screened: bool) -> float:
    """The longest horizontal cable by the table, taking the next warmer row.

    Raises StandardsDataError above the table. Source: temperature.link_by_temperature.
    """
    table = rules.table("temperature.link_by_temperature")
    lengths = table.numbers("screened_m" if screened else "unscreened_m")
    for row, warm in enumerate(table.numbers("celsius")):
        if celsius <= warm:
            return lengths[row]
    raise StandardsDataError(f"{table.key}: {celsius:g} °C is above the table; it ends at 60 °C")


def longest_by_percentage_m(
    rules: RuleSet, *, celsius: float, screened: bool, length_m: float
) -> float:
    """A length, given for 20 °C, shortened by the percentage rule.

    Source: temperature.reference, temperature.screened, temperature.unscreened_to_40,
    temperature.unscreened_above_40.
    """
    reference = rules.number("temperature.reference")
    above = max(0.0, celsius - reference)
    if screened:
        return length_m * (1 - above * rules.ratio_per_degree("temperature.screened"))
    low = min(above, _KNEE_C - reference)
    lost = low * rules.ratio_per_degree("temperature.unscreened_to_40")
    lost += (above - low) * rules.ratio_per_degree("temperature.unscreened_above_40")
    return length_m * (1 - lost)
