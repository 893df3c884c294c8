"""How long cords may be for a horizontal cable, and the other way round."""

from typing import Literal

from app.standards.rule_set import RuleSet

Gauge = Literal["24", "26", "28"]


def all_cords_m(rules: RuleSet, *, horizontal_m: float, gauge: Gauge) -> float:
    """All cords of a channel together, unrounded.

    The printed table rounds inconsistently (26.67 to 27, 22.5 to 22): floor it for a limit.
    Source: cords.budget, cords.derating_24_awg and its kin.
    """
    derating = rules.number(f"cords.derating_{gauge}_awg")
    return (rules.number("cords.budget") - horizontal_m) / (1 + derating)


def work_area_cord_m(rules: RuleSet, *, horizontal_m: float, gauge: Literal["24", "26"]) -> float:
    """The cord from a multi-user outlet to the desk, unrounded, never above its cap.

    Source: cords.cords_at_frame_24_awg, cords.work_area_cord_most_24_awg and their kin.
    """
    at_frame = rules.number(f"cords.cords_at_frame_{gauge}_awg")
    most = rules.number(f"cords.work_area_cord_most_{gauge}_awg")
    return min(most, all_cords_m(rules, horizontal_m=horizontal_m, gauge=gauge) - at_frame)


def horizontal_for_cords_m(rules: RuleSet, *, cords_m: float, gauge: Gauge) -> float:
    """The longest horizontal cable that leaves room for cords, never above the permanent link.

    Source: cords.budget, cords.derating_24_awg and its kin, lengths.permanent_link.
    """
    derating = rules.number(f"cords.derating_{gauge}_awg")
    longest = rules.number("cords.budget") - cords_m * (1 + derating)
    return min(rules.number("lengths.permanent_link"), longest)


def work_area_cord_1996_m(rules: RuleSet, *, horizontal_m: float) -> float:
    """The work-area cord by the 1996 bulletin, with its longer cords at the frame, unrounded.

    Source: cords.budget_1996, cords.derating_24_awg.
    """
    derating = rules.number("cords.derating_24_awg")
    return (rules.number("cords.budget_1996") - horizontal_m) / (1 + derating)
