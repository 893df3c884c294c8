"""Runs that deserve a look: very short ones, and ones with very long verticals."""

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import frame_name, length_text, outlet_name
from app.model.project import Project
from app.routing.results import IntArray, Runs, RunStatus
from app.standards import RuleSet

SHORT = "run_very_short"
TALL = "run_very_tall"


def check_odd_runs(
    runs: Runs, project: Project, rules: RuleSet, *, rows: IntArray | None = None
) -> list[Finding]:
    """One note for each outlet with a run under 5 m, or with verticals over 15 m.

    `rows`: only these are looked at; they must hold all runs of each outlet they touch.
    """
    routed = runs.status != RunStatus.NO_ROUTE
    found = []
    for rule, key, lengths, wanted in (
        (
            SHORT,
            "lengths.short_run",
            runs.installed_mm,
            runs.installed_mm < rules.mm("lengths.short_run"),
        ),
        (
            TALL,
            "lengths.tall_run",
            runs.vertical_mm,
            runs.vertical_mm > rules.mm("lengths.tall_run"),
        ),
    ):
        for group in by_outlet(runs, chosen_rows(routed & wanted, rows)):
            outlet = project.outlets[runs.outlet_ids[group[0]]]
            worst = max(group, key=lambda r: abs(int(lengths[r]) - rules.mm(key)))
            frame_id = runs.frame_of(worst)
            frame = None if frame_id is None else project.frames.get(frame_id)
            length = length_text(int(lengths[worst]), project.settings.units, places=2)
            what = f"only {length}" if rule == SHORT else f"verticals of {length}"
            name = outlet_name(outlet, project.floors[outlet.floor])
            found.append(
                finding(
                    rule=rule,
                    severity=Severity.NOTE,
                    text=f"{name}: {what} to {frame_name(frame)}; have a look at its heights "
                    "and its place.",
                    things=(outlet.id, *(runs.port_ids[r] for r in group)),
                    floor=outlet.floor,
                    authority=authority(rules, key),
                    excess=abs(int(lengths[worst]) - rules.mm(key)),
                )
            )
    return found
