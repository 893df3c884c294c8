"""Published values and the rule set.

`load_rules(overrides)` gives a `RuleSet`; `rules.value("lengths.permanent_link")` says the
value, its unit, its clause and how sure we are; formulas are pure functions beside them.
"""

from app.standards.records import (
    Citation,
    InputRange,
    Override,
    StandardsDataError,
    StandardTable,
    StandardValue,
)
from app.standards.rule_set import RuleSet, load_overrides, load_rules, read_rules

__all__ = [
    "Citation",
    "InputRange",
    "Override",
    "RuleSet",
    "StandardTable",
    "StandardValue",
    "StandardsDataError",
    "load_overrides",
    "load_rules",
    "read_rules",
]
