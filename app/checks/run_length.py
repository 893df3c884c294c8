"""Runs over their limit, and runs near it."""

from typing import NamedTuple

from app.checks.finding import (
    PROJECT,
    Authority,
    Finding,
    Severity,
    authority,
    finding,
    known_value,
)
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import frame_name, length_and_excess, length_text, many, outlet_name
from app.model.entities import Outlet, Port
from app.model.project import Project
from app.model.vocabulary import Units
from app.routing.results import IntArray, Runs, RunStatus
from app.standards import RuleSet

OVER = "run_over_limit"
OVER_TOLERATED = "run_over_limit_tolerated"
NEAR = "run_near_limit"

_SEVERITY = {OVER: Severity.FAIL, OVER_TOLERATED: Severity.NOTE, NEAR: Severity.NOTE}
MM_PER_M = 1_000


def check_run_lengths(
    runs: Runs, project: Project, rules: RuleSet, *, rows: IntArray | None = None
) -> list[Finding]:
    """One finding for each outlet with runs over the limit, and one for runs near it.

    `rows`: only these are looked at; they must hold all runs of each outlet they touch.
    Existing and tested, spare and future runs over the limit are told, but do not fail.
    """
    over = runs.status == RunStatus.OVER
    found = []
    for rule, wanted in (
        (OVER, over & runs.counted),
        (OVER_TOLERATED, over & ~runs.counted),
        (NEAR, (runs.status == RunStatus.NEAR) & runs.counted),
    ):
        for group in by_outlet(runs, chosen_rows(wanted, rows)):
            found.append(_finding(runs, project, rules, rule, group))
    return found


class RunLimit(NamedTuple):
    """What a run is held to: how the limit is called, and on whose authority."""

    called: str
    authority: Authority


def limit_of(project: Project, rules: RuleSet, outlet: Outlet, port: Port) -> RunLimit:
    """The limit of a port's run: its outlet kind's own, else its cable type's."""
    kind = project.outlet_kinds[outlet.kind]
    cable = project.cable_types[port.cable_type]
    if kind.limit_mm is None:
        source, limit_mm = cable.limit_source, cable.limit_mm
    else:
        source, limit_mm = kind.limit_source, kind.limit_mm
    value = known_value(rules, source)
    if value is None or rules.mm(source) != limit_mm:
        return RunLimit("limit of this project", PROJECT)
    called = "permanent link" if "permanent_link" in source else "limit"
    return RunLimit(f"{called} ({value.document})", authority(rules, source))


def _finding(runs: Runs, project: Project, rules: RuleSet, rule: str, rows: list[int]) -> Finding:
    outlet = project.outlets[runs.outlet_ids[rows[0]]]
    worst = max(rows, key=lambda r: int(runs.installed_mm[r] - runs.limit_mm[r]))
    port = next(p for p in outlet.ports if p.id == runs.port_ids[worst])
    limit = limit_of(project, rules, outlet, port)
    name = outlet_name(outlet, project.floors[outlet.floor])
    several = f" ({many(len(rows), 'run')}, longest)" if len(rows) > 1 else ""
    text = f"{name}{several}: {_length_sentence(runs, project, worst, limit.called)}"
    if rule == OVER_TOLERATED:
        text += " It is existing and tested, spare or future, so it fails no check."
    frame = runs.frame_of(worst)
    return finding(
        rule=rule,
        severity=_SEVERITY[rule],
        text=text,
        things=(outlet.id, *(runs.port_ids[r] for r in rows), *([frame] if frame else [])),
        floor=outlet.floor,
        authority=limit.authority,
        excess=int(runs.installed_mm[worst] - runs.limit_mm[worst]),
    )


def _length_sentence(runs: Runs, project: Project, row: int, limit_called: str) -> str:
    units = project.settings.units
    frame_id = runs.frame_of(row)
    frame = None if frame_id is None else project.frames.get(frame_id)
    length_mm, limit_mm = int(runs.installed_mm[row]), int(runs.limit_mm[row])
    length, apart = length_and_excess(length_mm, limit_mm, units)
    whole = units is Units.METRIC and limit_mm % MM_PER_M == 0
    limit_text = length_text(limit_mm, units, places=0 if whole else 1)
    return (
        f"{length} to {frame_name(frame)}, "
        f"{apart} {'over' if length_mm > limit_mm else 'under'} the "
        f"{limit_text} {limit_called}, "
        f"of it {length_text(int(runs.allowance_mm[row]), units)} allowance."
    )
