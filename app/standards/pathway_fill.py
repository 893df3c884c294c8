"""Fill of trays, hooks and sleeves, and the supports they need."""

import math

from app.standards.conduit_fill import cable_area_mm2
from app.standards.rule_set import RuleSet


def inside_area_needed_mm2(*, cables_mm2: float, fill_ratio: float) -> float:
    """The inside section that cables of a summed section need at a fill."""
    return cables_mm2 / fill_ratio


def places_left(*, inside_mm2: float, limit_ratio: float, used_mm2: float, od_mm: float) -> int:
    """How many more cables of a diameter may be laid before the limit is passed; at least 0."""
    left = inside_mm2 * limit_ratio - used_mm2
    return max(0, math.floor(left / cable_area_mm2(od_mm=od_mm) + 1e-9))


def hooks_on_line(rules: RuleSet, *, length_mm: int, spacing_mm: int | None = None) -> int:
    """The hooks of a line of its own: one more than its spacings; none on no length.

    Source: pathways.hook_spacing.
    """
    spacing = rules.mm("pathways.hook_spacing") if spacing_mm is None else spacing_mm
    return 0 if length_mm <= 0 else _spacings(length_mm, spacing) + 1


def hooks_on_leg(rules: RuleSet, *, length_mm: int, spacing_mm: int | None = None) -> int:
    """The hooks of a leg that leaves a tray; none on a leg too short to need any.

    Source: pathways.hook_spacing_most, lengths.leg_hooks_from.
    """
    spacing = rules.mm("pathways.hook_spacing_most") if spacing_mm is None else spacing_mm
    if length_mm < rules.mm("lengths.leg_hooks_from"):
        return 0
    return _spacings(length_mm, spacing)


def sleeves_needed(rules: RuleSet, *, cables_mm2: float, bore_mm: float) -> int:
    """The sleeves that cables of a summed section need at the fill of a sleeve; at least 1.

    Spare sleeves come on top. The tested fire-stop system decides.
    Source: penetrations.sleeve_fill.
    """
    each = cable_area_mm2(od_mm=bore_mm) * rules.ratio("penetrations.sleeve_fill")
    return max(1, math.ceil(cables_mm2 / each - 1e-9))


def _spacings(length_mm: int, spacing_mm: int) -> int:
    return -(-length_mm // spacing_mm)
