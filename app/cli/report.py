"""The check as text: findings by weight, then the sums."""

from __future__ import annotations

from app.checks.finding import Finding, Severity
from app.cli.terminal import columns
from app.jobs import CheckReport
from app.model.vocabulary import ScaledBy
from app.routing.results import RunStatus
from app.sheets.table import ColumnKind, text_of
from app.sheets.words import STATUS_WORDS

_HEADINGS = {
    Severity.FAIL: "Fails",
    Severity.WARN: "Warnings",
    Severity.NOTE: "Notes",
}


def check_lines(name: str, report: CheckReport) -> list[str]:
    """All lines of a check of the file `name`."""
    lines = [_head(name, report), *_unscaled(report)]
    for severity, heading in _HEADINGS.items():
        found = [f for f in report.findings if f.severity == severity]
        if found:
            lines += ["", f"{heading} ({len(found)})"]
            lines += _finding_lines(report, found)
    if report.waived:
        lines += ["", f"Waived ({len(report.waived)})"]
        lines += _finding_lines(report, report.waived)
    lines += ["", *_sums(report), "", _verdict(report)]
    return lines


def _head(name: str, report: CheckReport) -> str:
    project = report.read.project
    counts = (
        _counted(len(project.floors), "floor"),
        _counted(len(project.frames), "frame"),
        _counted(len(project.outlets), "outlet"),
        _counted(len(report.read.design.runs), "run"),
    )
    title = f"{project.site.name} ({name})" if project.site.name else name
    return f"{title}: {', '.join(counts)}"


def _unscaled(report: CheckReport) -> list[str]:
    plans = report.read.project.plans.values()
    return [
        f"The plan “{plan.name}” is not scaled: lengths on its floor are a guess until it is."
        for plan in plans
        if plan.scaled_by is ScaledBy.NOT_SCALED
    ]


def _finding_lines(report: CheckReport, findings: list[Finding] | tuple[Finding, ...]) -> list[str]:
    floors = report.read.project.floors
    rows = [
        (
            "-" if f.floor is None or f.floor not in floors else floors[f.floor].name,
            " ".join(f.text.split()),
            f"[{f.clause}]" if f.clause and f.clause not in f.text else "",
        )
        for f in findings
    ]
    width = max(len(row[0]) for row in rows)
    return [f"  {row[0]:<{width}}  {row[1]} {row[2]}".rstrip() for row in rows]


def _sums(report: CheckReport) -> list[str]:
    design = report.read.design
    runs, units = design.runs, report.read.project.settings.units
    unit = "ft" if units.value == "us" else "m"
    rows: list[tuple[str, ...]] = [("Runs", "number", f"installed, {unit}", f"longest, {unit}")]
    for status in RunStatus:
        chosen = runs.status == int(status)
        installed = runs.installed_mm[chosen]
        has_length = status is not RunStatus.NO_ROUTE and len(installed)
        rows.append(
            (
                f"  {STATUS_WORDS[status]}",
                str(int(chosen.sum())),
                text_of(int(installed.sum()), ColumnKind.LENGTH, units) if has_length else "",
                text_of(int(installed.max()), ColumnKind.LENGTH, units) if has_length else "",
            )
        )
    total = int(runs.installed_mm.sum())
    longest = int(runs.installed_mm.max()) if len(runs) else 0
    rows.append(
        (
            "  all",
            str(len(runs)),
            text_of(total, ColumnKind.LENGTH, units),
            text_of(longest, ColumnKind.LENGTH, units),
        )
    )
    return columns(rows, right=frozenset({1, 2, 3}))


def _verdict(report: CheckReport) -> str:
    if report.passes:
        return "Passes: no run that counts is over its limit or without a route."
    failing = len(report.failing_runs)
    if failing:
        return f"Fails: {_counted(failing, 'run')} over the limit or without a route."
    others = sum(f.severity == Severity.FAIL for f in report.findings)
    return f"Fails: {_counted(others, 'finding')} to be cured."


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
