"""Jobs that only read a project file: check it, list its runs, take it off."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

from app.checks.finding import Finding, Severity
from app.design import Design, evaluate, parts_of
from app.exports.csv_file import csv_bytes, csv_path, save_csv, save_csv_folder
from app.exports.saving import ExportFailed, save
from app.exports.takeoff_workbook import takeoff_workbook
from app.jobs.progress_parts import Part
from app.model.project import Project
from app.progress import Progress, Silent
from app.routing.results import RunStatus
from app.sheets.runs_table import runs_table
from app.sheets.table import Table
from app.sheets.takeoff_tables import takeoff_parts, takeoff_tables
from app.standards import RuleSet
from app.storage.failures import in_words
from app.storage.project_file import load_project
from app.takeoff.takeoff import Takeoff
from app.takeoff.takeoff import take_off as measured


@dataclass(frozen=True, slots=True)
class ReadProject:
    """A project file and what follows from it; `notes` tell what of the file was damaged."""

    design: Design
    notes: tuple[str, ...]

    @property
    def project(self) -> Project:
        return self.design.project


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What the checks have to say. `failing_runs` are ports whose run counts and fails."""

    read: ReadProject
    findings: tuple[Finding, ...]
    waived: tuple[Finding, ...]
    failing_runs: tuple[str, ...]

    @property
    def passes(self) -> bool:
        """Whether no counted run fails and nothing else fails, waived matters apart."""
        return not self.failing_runs and all(f.severity != Severity.FAIL for f in self.findings)


def read_project(
    path: Path, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> ReadProject:
    """The project of a file and its design. Raises UnreadableProject, and Cancelled."""
    watch = Silent() if progress is None else progress
    saved = load_project(path, progress=Part(watch, 0.0, 0.4))
    design = evaluate(saved.project, rules=rules, progress=Part(watch, 0.4, 1.0))
    return ReadProject(design, saved.notes)


def check(
    path: Path, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> CheckReport:
    """Check a project file. Raises UnreadableProject, and Cancelled."""
    read = read_project(path, rules=rules, progress=progress)
    design = read.design
    waived = tuple(f for f in design.findings if f.waived)
    answered_for = {t for f in waived if f.severity == Severity.FAIL for t in f.things}
    runs = design.runs
    failing = runs.counted & (runs.status >= int(RunStatus.OVER))
    ports = (runs.port_ids[row] for row in failing.nonzero()[0].tolist())
    return CheckReport(
        read=read,
        findings=tuple(f for f in design.findings if not f.waived),
        waived=waived,
        failing_runs=tuple(p for p in ports if p not in answered_for),
    )


def runs_csv(design: Design, path: Path, *, bom: bool = False) -> None:
    """Write every run with its parts. Raises ExportFailed."""
    save_csv(path, runs_table(design, parts_of=parts_of), bom=bom)


def runs_csv_bytes(design: Design) -> bytes:
    """Every run with its parts, as CSV."""
    return csv_bytes(runs_table(design, parts_of=parts_of))


def take_off(
    design: Design, path: Path, *, rules: RuleSet | None = None, bom: bool = False
) -> list[Path]:
    """Write the takeoff of today; gives the files written. Raises ExportFailed.

    A workbook where the path ends in .xlsx; the order alone where it ends in .csv; else a
    folder, made if need be, with one CSV a part. A part that an earlier takeoff has left there,
    and in which there is nothing now, is written empty, so that the folder tells one takeoff.
    """
    takeoff = measured(design, rules=rules)
    if path.suffix.lower() == ".xlsx":
        today = datetime.date.today().isoformat()
        save(path, takeoff_workbook(design, takeoff, date=today))
        return [path]
    if path.suffix.lower() == ".csv":
        save_csv(path, takeoff_tables(design, takeoff)[0], bom=bom)
        return [path]
    try:
        path.mkdir(exist_ok=True)
    except OSError as error:
        raise ExportFailed(
            f"The folder “{path}” could not be made: {in_words(error, folder=path.parent)}. "
            "Choose another place."
        ) from error
    return save_csv_folder(path, _tables_for(path, design, takeoff), bom=bom)


def takeoff_files(design: Design, path: Path, *, rules: RuleSet | None = None) -> list[Path]:
    """The files that `take_off` would write."""
    if path.suffix.lower() in (".xlsx", ".csv"):
        return [path]
    tables = _tables_for(path, design, measured(design, rules=rules))
    return [csv_path(path, table) for table in tables]


def _tables_for(folder: Path, design: Design, takeoff: Takeoff) -> list[Table]:
    """The tables with something in them, and the empty ones whose file lies in the folder."""
    parts = takeoff_parts(design, takeoff)
    left = [t for t in parts if not t.rows and csv_path(folder, t).exists()]
    return [*takeoff_tables(design, takeoff), *left]
