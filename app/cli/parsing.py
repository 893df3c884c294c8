"""What may be typed after `drawcord`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import NoReturn

from app import __version__
from app.plans.units import MM_PER_UNIT
from app.sheets.page import PAPERS, SCALES

REFUSED = 2
UNITS = ("mm", "cm", "m", "in", "ft")
MM_PER_M = 1_000
LONGEST_NAME = 200
FLOOR_HEIGHTS_M = (1.0, 100.0)


class _Parser(argparse.ArgumentParser):
    """Says what is wrong with the command in one line."""

    def error(self, message: str) -> NoReturn:
        self.exit(REFUSED, f"{self.prog}: {message}; see {self.prog} --help\n")


def command_parser() -> argparse.ArgumentParser:
    """The parser of everything: without a command it is a file to open, or nothing."""
    parser = _Parser(
        prog="drawcord",
        description="Plans, routes, checks and lists the structured cabling of a building.",
        epilog="“drawcord FILE” opens a project or a plan in the window; “drawcord” alone "
        "opens the window with the start page, “drawcord --sample” with the ferry terminal.",
        allow_abbrev=False,
    )
    parser.add_argument("--version", action="version", version=f"Drawcord {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    _add_import(commands)
    _add_check(commands)
    _add_runs(commands)
    _add_takeoff(commands)
    _add_rooms(commands)
    _add_number(commands)
    _add_walk(commands)
    _add_restore_points(commands)
    return parser


def window_parser() -> argparse.ArgumentParser:
    """The parser for `drawcord FILE`."""
    parser = _Parser(prog="drawcord", add_help=False, allow_abbrev=False)
    parser.add_argument("file", nargs="?", type=Path)
    parser.add_argument("--sample", action="store_true")
    return parser


_Commands = argparse._SubParsersAction


def _add_import(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "import",
        help="make a project of plans, one floor each, the lowest first",
        description="Makes a project of plans, one floor each, the lowest first.",
    )
    parser.add_argument("plans", nargs="+", type=Path, metavar="PLAN", help="a DXF file")
    parser.add_argument("--out", required=True, type=Path, metavar="P.drawcord")
    parser.add_argument(
        "--floor-height",
        type=_floor_height_mm,
        dest="floor_height_mm",
        metavar="METRES",
        help="from one finished floor to the next (default: 3.6)",
    )
    parser.add_argument("--unit", choices=UNITS, help="what one unit of the plans is")
    parser.add_argument(
        "--trust-unit",
        action="store_true",
        help="take --unit though the plans say otherwise and come out at no likely size",
    )
    parser.add_argument("--name", type=_name, default="", help="the project's name")
    _add_replace(parser)


def _add_check(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "check",
        help="print the findings and a summary; status 1 if any run fails",
        description="Prints the findings and a summary. Ends with status 0 if all is well, 1 if "
        "any run that counts fails, 2 if the project cannot be read.",
    )
    _add_project(parser)


def _add_runs(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "runs",
        help="write every run with its parts",
        description="Writes every run with its parts.",
    )
    _add_project(parser)
    parser.add_argument(
        "--csv", required=True, metavar="FILE", help="the file to write; - for the terminal"
    )
    _add_bom(parser)
    _add_replace(parser)


def _add_takeoff(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "takeoff",
        help="write what is to be ordered",
        description="Writes what is to be ordered: a workbook (.xlsx), the order alone (.csv), or "
        "one CSV a part into a folder.",
    )
    _add_project(parser)
    parser.add_argument("--out", required=True, type=Path, metavar="FILE.xlsx|FILE.csv|FOLDER")
    _add_bom(parser)
    _add_replace(parser)


def _add_rooms(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "rooms",
        help="tell of every room what is required and placed; read a client's list in",
        description="Prints of every room what is required, placed and missing. With --list a "
        "room schedule is read into the project first, its columns as they were matched last "
        "time, else by their headings, and the project is saved. A list of the name that one has, "
        "or of any name where there is but one, is read as its revision; if it does not match "
        "that one, nothing is saved. Ends with status 1 where something is missing.",
    )
    _add_project(parser)
    parser.add_argument("--list", type=Path, metavar="LIST.csv|LIST.xlsx")
    parser.add_argument(
        "--name",
        type=_name,
        default="",
        help="what the list is called here; with a name that no list has it stands beside them",
    )
    parser.add_argument(
        "--replace-list",
        action="store_true",
        help="read the list in the place of the one before though it does not match it",
    )
    parser.add_argument("--out", type=Path, metavar="FILE.xlsx|FILE.csv")
    _add_bom(parser)
    _add_replace(parser)


def _add_number(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "number",
        help="give new runs a panel, a port and a cable number, and save",
        description="Gives every new run that has none a panel, a port and a cable number, and "
        "saves the project: frame by frame, one sort of cable after the other, floors from below, "
        "outlets in the order of their numbers. What has them keeps them.",
    )
    _add_project(parser)
    parser.add_argument("--frame", type=_name, metavar="NAME", help="only the runs of this frame")


def _add_walk(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "walk",
        help="write walk sheets: the floors on paper, with blank cells to write in",
        description="Writes walk sheets as a PDF: each floor with its spaces, outlets, pathways "
        "and frames, and the list of outlets by room with blank cells to write in. A floor that "
        "is too long for the paper is parted at match lines.",
    )
    _add_project(parser)
    parser.add_argument("--out", required=True, type=Path, metavar="FILE.pdf")
    parser.add_argument("--floor", metavar="NAME", help="this floor alone (default: all)")
    parser.add_argument(
        "--paper", choices=tuple(PAPERS), default="A3", help="the size of the sheets (default: A3)"
    )
    parser.add_argument(
        "--scale",
        type=_scale,
        metavar="N",
        help="draw at 1:N (default: the largest standard scale that fits)",
    )
    _add_replace(parser)


def _add_restore_points(commands: _Commands[_Parser]) -> None:
    parser = commands.add_parser(
        "restore-points",
        help="list, make, compare with or return to named states of a project",
        description="Lists the restore points of a project: states of it that were given a name. "
        "With --make the present state gets one; --compare tells what differs since; --return "
        "brings the project back, in one step that undo takes back in the window.",
    )
    _add_project(parser)
    does = parser.add_mutually_exclusive_group()
    does.add_argument("--make", metavar="NAME", help="give the present state a name")
    does.add_argument("--compare", metavar="NAME", help="tell what differs since")
    does.add_argument(
        "--return", dest="return_to", metavar="NAME", help="bring the project back to it"
    )


def _add_project(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("project", type=Path, metavar="P.drawcord")


def _add_bom(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--bom",
        action="store_true",
        help="begin CSV files with the mark by which some spreadsheets know UTF-8",
    )


def _add_replace(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--replace", action="store_true", help="put it in place of a file that is there already"
    )


def _name(text: str) -> str:
    if len(text) > LONGEST_NAME:
        raise argparse.ArgumentTypeError(f"a name has at most {LONGEST_NAME} letters")
    return text


def _scale(text: str) -> int:
    try:
        denominator = int(text.removeprefix("1:"))
    except ValueError:
        denominator = 0
    if denominator not in SCALES:
        known = ", ".join(f"{n:g}" for n in SCALES)
        raise argparse.ArgumentTypeError(f"1:{text} is no standard scale; give one of {known}")
    return denominator


def _floor_height_mm(text: str) -> int:
    least, most = FLOOR_HEIGHTS_M
    try:
        metres = float(text.replace(",", "."))
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{text}” is no number of metres") from None
    if not least <= metres <= most:
        raise argparse.ArgumentTypeError(
            f"{text} m from floor to floor is not possible; give {least:g} to {most:g}"
        )
    return int(metres * MM_PER_M + 0.5)


assert set(UNITS) <= set(MM_PER_UNIT)
