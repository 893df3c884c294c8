"""Runs without a route, each with the reason in words."""

from collections.abc import Callable

from app.checks.finding import Finding, Severity, finding
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import many, outlet_name
from app.model.project import Project
from app.routing.results import IntArray, NoRoute, Runs, RunStatus

RULE = "run_without_route"
TOLERATED = "run_without_route_tolerated"

Reason = Callable[[str], str]
"""Port id to the reason in words, without a full stop."""

REASONS = {
    NoRoute.NONE: "the reason is not known",
    NoRoute.NO_FRAME: "no frame may serve this floor",
    NoRoute.NO_FLOOR_BELOW: "there is no floor below for a poke-through",
    NoRoute.NO_PATHWAY: "no pathway comes within reach",
    NoRoute.ONLY_PLACES: "a conduit is entered at its ends and boxes, and none is within reach",
    NoRoute.LEG_CROSSES: "every leg within reach crosses a space closed to cable",
    NoRoute.STANDS_IN_CLOSED: "it stands in a space closed to cable",
    NoRoute.NOT_JOINED: "the pathways within reach are joined to no frame that may serve it",
    NoRoute.AS_TOLD: "what it was told to pass, or never to pass, leaves no way",
    NoRoute.FRAME_NOT_JOINED: "its fixed frame is not joined to the pathways within reach",
}


def check_routes(
    runs: Runs,
    project: Project,
    *,
    rows: IntArray | None = None,
    reason_of: Reason | None = None,
) -> list[Finding]:
    """One finding for each outlet with runs that have no route.

    `rows`: only these are looked at; they must hold all runs of each outlet they touch.
    `reason_of` says the reason of one port more exactly (which shaft, which conduit).
    """
    missing = runs.status == RunStatus.NO_ROUTE
    found = []
    for rule, severity, wanted in (
        (RULE, Severity.FAIL, missing & runs.counted),
        (TOLERATED, Severity.NOTE, missing & ~runs.counted),
    ):
        for group in by_outlet(runs, chosen_rows(wanted, rows)):
            outlet = project.outlets[runs.outlet_ids[group[0]]]
            ports = tuple(runs.port_ids[r] for r in group)
            plain = REASONS[NoRoute(int(runs.reason[group[0]]))]
            why = plain if reason_of is None else reason_of(ports[0]).rstrip(".")
            name = outlet_name(outlet, project.floors[outlet.floor])
            several = f" ({many(len(group), 'run')})" if len(group) > 1 else ""
            found.append(
                finding(
                    rule=rule,
                    severity=severity,
                    text=f"{name}{several}: no route; {why[:1].lower()}{why[1:]}.",
                    things=(outlet.id, *ports),
                    floor=outlet.floor,
                    excess=len(group),
                )
            )
    return found
