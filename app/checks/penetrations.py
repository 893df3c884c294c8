"""Penetrations: overfull sleeves, rated walls without a barrier, openings with nothing in them."""

from app.checks.finding import PROJECT, Finding, Severity, authority, finding
from app.checks.wording import floor_phrase, many, percent_over, percent_text
from app.model.entities import Floor, Penetration
from app.model.vocabulary import State
from app.routing.results import Fill
from app.standards import RuleSet

OVER = "penetration_overfull"
UNKNOWN = "penetration_without_size"
NO_BARRIER = "penetration_without_barrier"
EMPTY = "penetration_empty"
SLEEVE_FILL = "penetrations.sleeve_fill"
_SAME_RATIO = 1e-9


def penetration_name(penetration: Penetration, floor: Floor) -> str:
    """`Penetration FS-03`, or `A penetration without a number on floor 2`."""
    if penetration.number:
        return f"Penetration {penetration.number}"
    return f"A penetration without a number on {floor_phrase(floor)}"


def check_passing(
    penetration: Penetration, fill: Fill, floor: Floor, rules: RuleSet
) -> list[Finding]:
    """More cable than the sleeves take.

    Source: penetrations.sleeve_fill; the tested fire-stop system decides.
    """
    name = penetration_name(penetration, floor)
    if fill.ratio is None:
        return _without_size(penetration, fill, name)
    if fill.places_left is None or fill.places_left >= 0 or fill.cables == 0:
        return []
    full = percent_over(fill.ratio, fill.limit_ratio)
    limit = percent_text(fill.limit_ratio)
    text = (
        f"{name}: {many(fill.cables, 'cable')} fill {full} of its opening, "
        f"{many(-fill.places_left, 'cable')} more than {limit} takes; the tested fire-stop "
        "system decides."
    )
    same = abs(rules.ratio(SLEEVE_FILL) - fill.limit_ratio) < _SAME_RATIO
    return [
        finding(
            rule=OVER,
            severity=Severity.WARN,
            text=text,
            things=(penetration.id,),
            floor=penetration.floor,
            authority=authority(rules, SLEEVE_FILL) if same else PROJECT,
            excess=fill.ratio - fill.limit_ratio,
        )
    ]


def _without_size(penetration: Penetration, fill: Fill, name: str) -> list[Finding]:
    if fill.cables == 0:
        return []
    return [
        finding(
            rule=UNKNOWN,
            severity=Severity.NOTE,
            text=f"{name} has {many(fill.cables, 'cable')} through it but no size, so its fill is "
            "not known.",
            things=(penetration.id,),
            floor=penetration.floor,
            excess=fill.cables,
        )
    ]


def check_barrier(penetration: Penetration, floor: Floor) -> list[Finding]:
    """A rated wall or floor without the barrier that closes it again."""
    if not penetration.rating.strip() or penetration.barrier.strip():
        return []
    if penetration.state in (State.TO_REMOVE, State.FUTURE):
        return []
    text = (
        f"{penetration_name(penetration, floor)} passes a {penetration.crossed} rated "
        f"{penetration.rating} and names no barrier; seal it with a system tested for it, and "
        "every night while work goes on."
    )
    return [
        finding(
            rule=NO_BARRIER,
            severity=Severity.WARN,
            text=text,
            things=(penetration.id,),
            floor=penetration.floor,
        )
    ]


def check_empty(penetration: Penetration, floor: Floor) -> list[Finding]:
    """An opening that is for no pathway, and of which nobody has counted cables."""
    if penetration.through is not None or penetration.cables_by_hand is not None:
        return []
    if penetration.state is State.TO_REMOVE:
        return []
    text = (
        f"{penetration_name(penetration, floor)} is for no pathway; count what passes it, or "
        "close it."
    )
    return [
        finding(
            rule=EMPTY,
            severity=Severity.NOTE,
            text=text,
            things=(penetration.id,),
            floor=penetration.floor,
        )
    ]
