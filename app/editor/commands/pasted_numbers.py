"""Numbers of an existing building, pasted as a column or two: which fit, and what does not.

One column gives numbers to outlets in the order in which they are shown; two columns are the old
number and the new one. A line that does not fit is told with its reason, and is never lost.
"""

import csv
import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from app.editor.asking import InputProblem
from app.editor.commands.kept_numbers import refuse_frozen, refuse_taken
from app.editor.commands.numbering import Retired, none_retired, with_number
from app.editor.commands.patterns import LONGEST_NUMBER
from app.editor.wording import name_of, number
from app.model.entities import Entity, Outlet
from app.model.project import Patch, Project, changing

MOST_LINES = 20_000
TWO = 2
_WIDE = re.compile(r"\s{2,}")
_HEADINGS = frozenset(
    {"number", "outlet", "outlet number", "old", "old number", "new", "new number", "label"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedLine:
    """One line: what it says, the outlet it means, and why it does not fit (empty: it fits)."""

    line: int
    text: str
    outlet: str | None = None
    new: str = ""
    problem: str = ""
    same: bool = False
    """Whether it has that number already."""
    port: str | None = None
    """The port of the outlet that is meant, where the list is one of cables."""
    now: str = ""
    """What the line goes to, as it is called now."""

    @property
    def fits(self) -> bool:
        return not self.problem and self.outlet is not None


@dataclass(frozen=True, slots=True)
class Pasted:
    """All lines of a text. `patch` sets those that fit; None where none does."""

    lines: tuple[PastedLine, ...]
    patch: Patch | None

    @property
    def misfits(self) -> tuple[PastedLine, ...]:
        return tuple(line for line in self.lines if line.problem)

    @property
    def left(self) -> str:
        """The lines that did not fit, as they were pasted."""
        return "\n".join(line.text for line in self.misfits)


def pasted_numbers(
    project: Project,
    text: str,
    *,
    in_order: Sequence[str],
    retired: Retired = none_retired,
) -> Pasted:
    """What a pasted text would do; `in_order` are the outlets that one column goes to.

    Raises InputProblem where the text is no list at all.
    """
    rows = rows_of(text, _HEADINGS)
    if not rows:
        raise InputProblem("Paste a column of numbers, or two: the old number and the new one.")
    two = any(len(cells) >= TWO for _, _, cells in rows)
    lines = _by_old(project, rows) if two else _by_row(project, rows, in_order)
    checked = _checked(project, lines, retired(Outlet))
    return Pasted(checked, _patch(project, checked))


def rows_of(text: str, headings: Collection[str]) -> list[tuple[int, str, list[str]]]:
    """Line number, the line itself, its cells; a line of headings and empty lines are left out.

    Raises InputProblem where there are too many lines.
    """
    every = text.splitlines()
    if len(every) > MOST_LINES:
        raise InputProblem(f"That is {len(every):,} lines; paste at most {MOST_LINES:,} at once.")
    found: list[tuple[int, str, list[str]]] = []
    for index, line in enumerate(every, start=1):
        cells = _cells(line)
        if cells and not (not found and all(c.casefold() in headings for c in cells)):
            found.append((index, line, cells))
    return found


def _cells(line: str) -> list[str]:
    """The cells of a line, parted by tabs, semicolons, commas or wide gaps."""
    plain = line.strip("\r\n")
    if not plain.strip():
        return []
    for mark in ("\t", ";", ","):
        if mark in plain:
            return _parted(plain, mark)
    return [c for c in _WIDE.split(plain.strip()) if c]


def _parted(line: str, mark: str) -> list[str]:
    try:
        return [c.strip() for c in next(csv.reader([line], delimiter=mark))]
    except csv.Error:
        return [c.strip() for c in line.split(mark)]


def _by_old(project: Project, rows: Sequence[tuple[int, str, list[str]]]) -> list[PastedLine]:
    """Two columns: the outlet with the old number gets the new one."""
    by_number: dict[str, list[Outlet]] = {}
    for outlet in project.outlets.values():
        by_number.setdefault(outlet.number.strip().casefold(), []).append(outlet)
    named = Counter(cells[0].casefold() for _, _, cells in rows)
    lines = []
    for index, text, cells in rows:
        old, new = cells[0], cells[1] if len(cells) >= TWO else ""
        found = by_number.get(old.casefold(), []) if old else []
        problem = ""
        if not old:
            problem = "the old number is missing"
        elif len(cells) < TWO or not new:
            problem = "the new number is missing"
        elif len(cells) > TWO and any(cells[TWO:]):
            problem = f"{len(cells)} columns; there are to be two"
        elif not found:
            problem = f"no outlet has the number {old}"
        elif len(found) > 1:
            problem = f"{len(found)} outlets have the number {old}"
        elif named[old.casefold()] > 1:
            problem = f"{old} stands in {named[old.casefold()]} lines"
        meant = None if problem else found[0].id
        lines.append(PastedLine(line=index, text=text, outlet=meant, new=new, problem=problem))
    return lines


def _by_row(
    project: Project, rows: Sequence[tuple[int, str, list[str]]], in_order: Sequence[str]
) -> list[PastedLine]:
    """One column: row by row."""
    outlets = [i for i in in_order if i in project.outlets]
    lines = []
    for place, (index, text, cells) in enumerate(rows):
        if place < len(outlets):
            line = PastedLine(line=index, text=text, outlet=outlets[place], new=cells[0])
        else:
            problem = (
                f"the list goes to {number(len(outlets), 'outlet')}; select more rows, or none"
            )
            line = PastedLine(line=index, text=text, new=cells[0], problem=problem)
        lines.append(line)
    return lines


def _checked(
    project: Project, lines: Sequence[PastedLine], retired: Collection[str]
) -> tuple[PastedLine, ...]:
    """The lines with what is wrong with their new numbers.

    A number may be taken from an outlet that gets another one in the same list. So a line that
    is refused gives its outlet's own number back, and what counted on it is looked at again.
    """
    wrong: dict[int, str] = {}
    taken = Counter(line.new.casefold() for line in lines if line.outlet is not None)
    while True:
        found = _wrong_again(project, lines, wrong, taken, retired)
        if not found:
            break
        wrong |= found
    return tuple(
        PastedLine(
            line=line.line,
            text=line.text,
            outlet=line.outlet,
            new=line.new,
            problem=line.problem or wrong.get(line.line, ""),
            same=line.outlet is not None and project.outlets[line.outlet].number == line.new,
        )
        for line in lines
    )


def _wrong_again(
    project: Project,
    lines: Sequence[PastedLine],
    wrong: Mapping[int, str],
    taken: Counter[str],
    retired: Collection[str],
) -> dict[int, str]:
    going = {line.outlet for line in lines if line.outlet is not None and line.line not in wrong}
    held = {
        o.number.strip().casefold(): o
        for o in project.outlets.values()
        if o.number.strip() and o.id not in going
    }
    found = {}
    for line in lines:
        if line.outlet is None or line.line in wrong:
            continue
        outlet = project.outlets[line.outlet]
        other = held.get(line.new.casefold())
        if outlet.number_printed and outlet.number != line.new:
            found[line.line] = f"{name_of(outlet)} is printed; release it first"
        elif len(line.new) > LONGEST_NUMBER:
            found[line.line] = f"a number has at most {LONGEST_NUMBER} letters"
        elif taken[line.new.casefold()] > 1:
            found[line.line] = f"{line.new} stands in {taken[line.new.casefold()]} lines"
        elif other is not None:
            found[line.line] = f"{name_of(other)} on floor {_floor(project, other)} has it"
        elif line.new in retired and outlet.number != line.new:
            found[line.line] = f"an outlet that was removed had {line.new}"
    return found


def _floor(project: Project, outlet: Outlet) -> str:
    return project.floors[outlet.floor].name


def _patch(project: Project, lines: Sequence[PastedLine]) -> Patch | None:
    pairs: list[tuple[Entity, Entity]] = []
    for line in lines:
        if line.fits and not line.same and line.outlet is not None:
            outlet = project.outlets[line.outlet]
            pairs.append((outlet, with_number(outlet, line.new)))
    if not pairs:
        return None
    refuse_frozen(project, pairs)
    refuse_taken(project, pairs)
    return changing(f"Set the numbers of {number(len(pairs), 'outlet')} from a list", pairs)
