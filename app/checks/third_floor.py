"""Runs that use a floor which is neither their outlet's nor their frame's."""

from app.checks.finding import Finding, Severity, finding
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import frame_name, many, outlet_name
from app.model.project import Project
from app.routing.results import IntArray, Runs

RULE = "run_over_third_floor"


def check_third_floors(
    runs: Runs, project: Project, *, rows: IntArray | None = None
) -> list[Finding]:
    """One finding for each outlet with runs that detour over another floor.

    `rows`: only these are looked at; they must hold all runs of each outlet they touch.
    """
    found = []
    for group in by_outlet(runs, chosen_rows(runs.third_floor, rows)):
        outlet = project.outlets[runs.outlet_ids[group[0]]]
        frame_id = runs.frame_of(group[0])
        frame = None if frame_id is None else project.frames.get(frame_id)
        name = outlet_name(outlet, project.floors[outlet.floor])
        verb = "uses" if len(group) == 1 else "use"
        text = (
            f"{name}: {many(len(group), 'run')} to {frame_name(frame)} {verb} a floor that is "
            "neither the outlet's nor the frame's; two more fire barriers each way."
        )
        found.append(
            finding(
                rule=RULE,
                severity=Severity.WARN,
                text=text,
                things=(outlet.id, *(runs.port_ids[r] for r in group)),
                floor=outlet.floor,
                excess=len(group),
            )
        )
    return found
