"""Cables that stay or come, in a pathway, riser or duct that goes, or does not come yet."""

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import many
from app.model.vocabulary import State
from app.routing.results import Fill
from app.sizing.pathway_fill import Carrier

RULE = "cables_in_what_does_not_stand"


def check_going(thing: Carrier, fill: Fill, *, name: str, floor: str | None) -> list[Finding]:
    """A warning where cables that are existing, new or relocated lie in a thing that is to
    remove or future; those to remove or future themselves may."""
    if fill.cables == 0 or thing.state not in {State.TO_REMOVE, State.FUTURE}:
        return []
    lie = f"{many(fill.cables, 'cable')} that {'stays' if fill.cables == 1 else 'stay'}"
    if thing.state is State.TO_REMOVE:
        text = f"{name} is to remove, with {lie} in it; lay them elsewhere, or keep it."
    else:
        text = f"{name} is future, with {lie} in it now; make it new, or lay them elsewhere."
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN,
            text=text,
            things=(thing.id,),
            floor=floor,
            excess=fill.cables,
        )
    ]
