"""Legs longer than advised: a branch should be drawn."""

from app.checks.finding import Finding, Severity, authority_of_setting, finding
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import ROUGH_MM, length_text, outlet_name
from app.model.project import Project
from app.routing.results import IntArray, Runs
from app.standards import RuleSet

RULE = "leg_long"


def check_legs(
    runs: Runs, project: Project, rules: RuleSet, *, rows: IntArray | None = None
) -> list[Finding]:
    """One finding for each outlet whose leg is longer than the advised length.

    `rows`: only these are looked at; they must hold all runs of each outlet they touch.
    """
    settings = project.settings
    advised_mm = settings.leg_advised_mm
    said_by = authority_of_setting(
        rules, "lengths.leg_advised", ruled=rules.mm("lengths.leg_advised"), set_to=advised_mm
    )
    found = []
    for group in by_outlet(runs, chosen_rows(runs.leg_mm > advised_mm, rows)):
        outlet = project.outlets[runs.outlet_ids[group[0]]]
        leg_mm = max(int(runs.leg_mm[r]) for r in group)
        places = 1 if leg_mm - advised_mm >= ROUGH_MM else 2
        text = (
            f"{outlet_name(outlet, project.floors[outlet.floor])}: its leg is "
            f"{length_text(leg_mm, settings.units, places=places)}, longer than the advised "
            f"{length_text(advised_mm, settings.units)}; draw a branch."
        )
        found.append(
            finding(
                rule=RULE,
                severity=Severity.NOTE,
                text=text,
                things=(outlet.id, *(runs.port_ids[r] for r in group)),
                floor=outlet.floor,
                authority=said_by,
            )
        )
    return found
