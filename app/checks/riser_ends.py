"""A riser whose ends do not stand one above the other: often a plan out of place."""

import math

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import length_text, riser_name
from app.model.entities import Riser
from app.model.settings import Settings

RULE = "riser_ends_apart"


def ends_apart_mm(riser: Riser) -> int:
    """The horizontal distance between a riser's ends."""
    return round(math.dist(riser.lower, riser.upper))


def check_riser_ends(riser: Riser, settings: Settings) -> list[Finding]:
    """A finding where the ends lie further apart than the setting that is to be told."""
    apart_mm = ends_apart_mm(riser)
    if apart_mm <= settings.riser_offset_told_mm:
        return []
    text = (
        f"{riser_name(riser)}: its ends lie {length_text(apart_mm, settings.units, places=2)} "
        "apart; register the plans of its floors, or draw the offset as a pathway."
    )
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN,
            text=text,
            things=(riser.id,),
            floor=riser.lower_floor,
            excess=apart_mm,
        )
    ]
