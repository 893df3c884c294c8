"""The check as text: findings by weight, then the sums."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from app.checks.finding import Finding, Severity
from app.cli.terminal import columns
from app.jobs import CheckReport
from app.model.vocabulary import ScaledBy
from app.routing.results import RunStatus
from app.sheets.table import ColumnKind, text_of
from app.sheets.words import STATUS_WORDS

LEAST_WIDTH = 40
"""Narrower terminals fold by themselves."""
_HEADINGS = {
    Severity.FAIL: "Fails",
    Severity.WARN: "Warnings",
    Severity.NOTE: "Notes",
}


def check_lines(name: str, report: CheckReport, *, width: int | None = None) -> list[str]:
    """All lines of a check of the file `name`, folded to a width in characters if one is given."""
    sentences = [_head(name, report), *_unscaled(report)]
    lines = [line for s in sentences for line in _folded("", s, width)]
    for severity, heading in _HEADINGS.items():
        found = [f for f in report.findings if f.severity == severity]
        if found:
            lines += ["", f"{heading} ({len(found)})"]
            lines += _finding_lines(report, found, width)
    if report.waived:
        lines += ["", f"Waived ({len(report.waived)})"]
        lines += _finding_lines(report, report.waived, width)
    lines += ["", *_sums(report), "", _verdict(report)]
    return lines


def _head(name: str, report: CheckReport) -> str:
    project = report.read.project
    counts = (
        counted(len(project.floors), "floor"),
        counted(len(project.frames), "frame"),
        counted(len(project.outlets), "outlet"),
        counted(len(report.read.design.runs), "run"),
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


def _finding_lines(
    report: CheckReport, findings: Sequence[Finding], width: int | None
) -> list[str]:
    floors = report.read.project.floors
    names = ["-" if f.floor is None else floors[f.floor].name for f in findings]
    widest = max(len(name) for name in names)
    lines: list[str] = []
    for name, finding in zip(names, findings, strict=True):
        text = " ".join(finding.text.split())
        if finding.clause and finding.clause not in text:
            text = f"{text} [{finding.clause}]"
        head = f"  {name:<{widest}}  "
        lines += _folded(head, text, width)
    return lines


def _folded(head: str, text: str, width: int | None) -> list[str]:
    if width is None or width < LEAST_WIDTH:
        return [head + text]
    return textwrap.wrap(
        text,
        width - 1,
        initial_indent=head,
        subsequent_indent=" " * len(head),
        break_long_words=False,
        break_on_hyphens=False,
    )


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
    project = report.read.project
    if report.passes and not len(report.read.design.runs):
        return "Nothing to check: there is no run."
    if report.passes:
        guessed = [p for p in project.plans.values() if p.scaled_by is ScaledBy.NOT_SCALED]
        doubt = ", but lengths are guesses while a plan is not scaled" if guessed else ""
        return f"Passes{doubt}: no run that counts is over its limit or without a route."
    failing = len(report.failing_runs)
    if failing:
        return f"Fails: {counted(failing, 'run')} over the limit or without a route."
    others = sum(f.severity == Severity.FAIL for f in report.findings)
    return f"Fails: {counted(others, 'finding')} to be cured."


def counted(number: int, word: str) -> str:
    """So many of something: 1 run, 2 runs."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
