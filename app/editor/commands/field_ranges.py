"""Which range of the rules a field's value is held against before it is asked about."""

from collections.abc import Iterable

from app.editor.measures import format_length
from app.model.entities import Entity, tag_of
from app.model.vocabulary import Units
from app.standards import InputRange, RuleSet

RANGES: dict[tuple[str, str], str] = {
    ("outlet", "height_mm"): "mounting_height",
    ("outlet", "slack_mm"): "slack",
    ("outlet-kind", "height_mm"): "mounting_height",
    ("outlet-kind", "slack_mm"): "slack",
    ("outlet-kind", "limit_mm"): "limit",
    ("demarcation", "height_mm"): "mounting_height",
    ("pathway", "height_mm"): "pathway_height",
    ("frame", "ladder_height_mm"): "pathway_height",
    ("candidate", "ladder_height_mm"): "pathway_height",
    ("frame", "panel_height_mm"): "mounting_height",
    ("space", "ceiling_height_mm"): "ceiling_height",
    ("floor", "floor_to_floor_mm"): "floor_to_floor",
    ("cable-type", "limit_mm"): "limit",
    ("cable-type", "frame_slack_mm"): "slack",
    ("cable-type", "box_mm"): "box",
    ("cable-type", "box_usable_mm"): "box",
    ("backbone-cable", "limit_mm"): "limit",
    ("backbone-cable", "slack_from_mm"): "slack",
    ("backbone-cable", "slack_to_mm"): "slack",
    ("settings", "allowance_permille"): "allowance",
    ("settings", "reach_mm"): "reach",
    ("settings", "growth_percent"): "growth",
    ("settings", "floor_to_floor_mm"): "floor_to_floor",
    ("settings", "ceiling_height_mm"): "ceiling_height",
    ("settings", "tray_height_mm"): "pathway_height",
    ("settings", "hooks_height_mm"): "pathway_height",
    ("settings", "panel_height_mm"): "mounting_height",
}

MM_PER_M = 1_000
PERMILLE_PER_PERCENT = 10


def range_of(tag: str, field: str, rules: RuleSet) -> InputRange | None:
    """The range a field is held against; None where any value is usual."""
    name = RANGES.get((tag, field))
    return None if name is None else rules.input_range(name)


def question_about(
    things: Iterable[Entity], field: str, value: object, *, rules: RuleSet, units: Units
) -> str | None:
    """The question an unusual value deserves; None for a usual one."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    for tag in dict.fromkeys(tag_of(type(t).__name__) for t in things):
        found = range_of(tag, field, rules)
        if found is not None and found.asks_about(in_unit_of(found, field, value)):
            return _really(found, field, value, units)
    return None


def in_unit_of(found: InputRange, field: str, value: float) -> float:
    """A stored value in the range's own unit."""
    if found.unit == "m":
        return value / MM_PER_M
    return value / PERMILLE_PER_PERCENT if field.endswith("_permille") else value


def _really(found: InputRange, field: str, value: float, units: Units) -> str:
    if found.unit == "m":
        said, low, high = (
            format_length(round(v), units)
            for v in (value, found.low * MM_PER_M, found.high * MM_PER_M)
        )
    else:
        said, low, high = (
            f"{v:g} {found.unit}" for v in (in_unit_of(found, field, value), found.low, found.high)
        )
    return f"{found.label} of {said} is unusual; most lie between {low} and {high}. Really?"
