"""The commands: each prints, and gives the status that the process ends with."""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from app import jobs
from app.cli.numbering import number_command
from app.cli.parsing import REFUSED
from app.cli.refusing import Refused, may_write, need_folder, say_notes
from app.cli.report import check_lines, counted
from app.cli.restore_points import restore_points_command
from app.cli.rooms import rooms_command
from app.cli.terminal import TerminalProgress, columns, say
from app.cli.walk import walk_command
from app.editor.asking import InputProblem
from app.exports.saving import ExportFailed
from app.jobs.reading import runs_csv_bytes
from app.model.entities import Plan
from app.model.project import PatchRefused
from app.plans.imported import PlanImportError
from app.storage.failures import SaveFailed, UnreadableProject
from app.storage.list_rows import UnreadableList
from app.storage.lock import Locked
from app.storage.project_file import SUFFIX
from app.takeoff.warning_line import warnings_of

DONE, FAILS = 0, 1
TO_TERMINAL = "-"

Command = Callable[[argparse.Namespace, TerminalProgress], int]


EXPECTED = (
    Refused,
    UnreadableProject,
    UnreadableList,
    SaveFailed,
    Locked,
    InputProblem,
    PatchRefused,
    PlanImportError,
    ExportFailed,
)


def run_command(arguments: argparse.Namespace) -> int:
    """Do what was asked; the status to end with."""
    progress = TerminalProgress(sys.stderr)
    try:
        return COMMANDS[arguments.command](arguments, progress)
    except EXPECTED as problem:
        progress.clear()
        say(f"drawcord: {' '.join(str(problem).split())}", to=sys.stderr)
        return REFUSED


def _import(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    out: Path = arguments.out
    if not out.suffix:
        out = out.with_name(out.name + SUFFIX)
    if out.suffix.lower() != SUFFIX:
        raise Refused(f"“{out.name}” is no name for a project; let it end in {SUFFIX}.")
    need_folder(out)
    may_write([out], arguments.replace, inputs=arguments.plans)
    saved = jobs.import_plans(
        arguments.plans,
        floor_height_mm=arguments.floor_height_mm,
        unit=arguments.unit,
        trust_unit=arguments.trust_unit,
        name=arguments.name,
        progress=progress,
    )
    file = jobs.save_project(saved, out, progress=progress)
    if file.lock is not None:
        file.lock.release()
    progress.clear()
    say_notes(saved.notes)
    project = saved.project
    rows = [("Floor", "Level, m", "Plan")]
    for plan in project.table(Plan).values():
        floor = project.floors[plan.floor]
        rows.append((floor.name, f"{floor.level_mm / 1000:.2f}", plan.source_name))
    say(f"Made {out} of {counted(len(saved.project.plans), 'plan')}:")
    say("\n".join(columns(rows, right=frozenset({1}))))
    return DONE


def _check(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    report = jobs.check(arguments.project, progress=progress)
    progress.clear()
    say_notes(report.read.notes)
    width = shutil.get_terminal_size().columns if sys.stdout.isatty() else None
    say("\n".join(check_lines(arguments.project.name, report, width=width)))
    return DONE if report.passes else FAILS


def _runs(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    to_terminal = arguments.csv == TO_TERMINAL
    path = Path(arguments.csv)
    if not to_terminal:
        if path.suffix.lower() != ".csv" and not path.is_dir():
            raise Refused(
                f"“{path.name}” is no kind of file that runs are written to; let it end in .csv, "
                "or give - for the terminal."
            )
        need_folder(path)
        may_write([path], arguments.replace, inputs=[arguments.project])
    read = jobs.read_project(arguments.project, progress=progress)
    progress.clear()
    say_notes(read.notes)
    if to_terminal:
        sys.stdout.write(runs_csv_bytes(read.design).decode("utf-8").replace("\r\n", "\n"))
        return DONE
    jobs.runs_csv(read.design, path, bom=arguments.bom)
    say(f"Wrote {counted(len(read.design.runs), 'run')} to {path}")
    return DONE


def _takeoff(arguments: argparse.Namespace, progress: TerminalProgress) -> int:
    out: Path = arguments.out
    suffix = "" if out.is_dir() else out.suffix.lower()
    if suffix not in ("", ".xlsx", ".csv"):
        raise Refused(
            f"“{out.name}” is no kind of file that a takeoff is written to; "
            "let it end in .xlsx or .csv, or name a folder."
        )
    need_folder(out)
    read = jobs.read_project(arguments.project, progress=progress)
    files = jobs.takeoff_files(read.design, out)
    may_write(files, arguments.replace, inputs=[arguments.project])
    written = jobs.take_off(read.design, out, bom=arguments.bom)
    progress.clear()
    say_notes(read.notes)
    wrong = warnings_of(read.design)
    if wrong:
        say(wrong)
    say("\n".join(f"Wrote {path}" for path in written))
    return DONE


COMMANDS: Mapping[str, Command] = {
    "import": _import,
    "check": _check,
    "runs": _runs,
    "takeoff": _takeoff,
    "rooms": rooms_command,
    "number": number_command,
    "walk": walk_command,
    "restore-points": restore_points_command,
}
