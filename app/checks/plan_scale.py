"""A plan without a scale: every length measured on it is a guess."""

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import floor_phrase
from app.model.entities import Floor, Plan
from app.model.vocabulary import ScaledBy

RULE = "plan_not_scaled"


def check_plan_scale(plan: Plan, floor: Floor) -> list[Finding]:
    """A finding for a plan that nobody scaled."""
    if plan.scaled_by is not ScaledBy.NOT_SCALED:
        return []
    text = (
        f"The plan {plan.name} under {floor_phrase(floor)} is not scaled; calibrate it by two "
        "points and a known distance before any length on this floor is trusted."
    )
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN,
            text=text,
            things=(plan.id, floor.id),
            floor=floor.id,
        )
    ]
