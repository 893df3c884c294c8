"""Every line of a list made out, and every line accounted for: what is taken, and what is wrong.

Nothing is left out silently and nothing guessed: a line becomes a room even where its number is
missing, doubled or its counts cannot be read, and then says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum

import msgspec

from app.editor.room_lists.headings import (
    AREA,
    FIELDS,
    FLOOR,
    LEFT_OUT,
    M2_PER_FT2,
    NAME,
    NOTE,
    NUMBER,
    USE,
    in_square_feet,
)
from app.editor.room_lists.plain_words import plain
from app.editor.room_lists.use_words import use_meant
from app.editor.room_lists.values import BadValue, decimal_sign, read_area, read_count
from app.model.building import ColumnMatch, Requirement
from app.model.project import Project
from app.model.rooms import floor_key, number_key
from app.model.vocabulary import Units
from app.standards import RuleSet
from app.storage.list_rows import ListFile, ListRow

LONGEST_NAME, LONGEST_NOTE = 200, 4_000
_TOTALS = frozenset(
    plain(word)
    for word in ("total", "grand total", "subtotal", "sub total", "sum", "summe", "gesamt", "somme")
)


class Wrong(StrEnum):
    """What may be wrong with a line; its rooms and counts are taken as far as they go."""

    NO_NUMBER = "no_number"
    DUPLICATE = "duplicate"
    COUNT = "count"
    NEGATIVE = "negative"
    AREA = "area"
    USE = "use"
    CUT = "cut"


class Trouble(msgspec.Struct, frozen=True, kw_only=True):
    """Something wrong with a line, as a sentence; `stays` where it is worth a note of the line.

    `said` is the text that was not understood, `likely` what it may mean.
    """

    wrong: Wrong
    text: str
    stays: bool = False
    said: str = ""
    likely: tuple[str, ...] = ()


class ReadLine(msgspec.Struct, frozen=True, kw_only=True):
    """A line as a room of the list."""

    line: int
    number: str = ""
    name: str = ""
    floor_name: str = ""
    use: str = ""
    area_m2: float | None = None
    required: tuple[Requirement, ...] = ()
    note: str = ""
    troubles: tuple[Trouble, ...] = ()


class HowRead(msgspec.Struct, frozen=True, kw_only=True):
    """How a list is to be read: the line of its headings (0: it has none), what each column says,
    and what uses are meant by spellings that a person has settled."""

    heading_line: int
    columns: tuple[str, ...]
    uses: Mapping[str, str] = {}


class Account(msgspec.Struct, frozen=True, kw_only=True):
    """Where every row of a list went. `rows` is how many have something in them; each is above or
    in the headings, a total, without anything in the columns that are read, or a line taken."""

    rows: int
    empty: int
    above: tuple[int, ...]
    totals: tuple[int, ...]
    nothing_read: tuple[int, ...]
    lines: tuple[ReadLine, ...]
    columns: tuple[ColumnMatch, ...]

    def troubled(self, wrong: Wrong) -> tuple[Trouble, ...]:
        """All troubles of one sort, by line."""
        return tuple(t for line in self.lines for t in line.troubles if t.wrong is wrong)


def account_of(project: Project, rules: RuleSet, read: ListFile, how: HowRead) -> Account:
    """Every row of the list, made out as `how` says."""
    above = [r.line for r in read.rows if r.line <= how.heading_line]
    heading = next((r for r in read.rows if r.line == how.heading_line), None)
    body = [r for r in read.rows if r.line > how.heading_line]
    maker = _Maker(project, rules, heading, how, body)
    totals, nothing, lines = [], [], []
    for row in body:
        if maker.is_total(row):
            totals.append(row.line)
        elif not any(row.cell(c) for c, means in enumerate(how.columns) if means):
            nothing.append(row.line)
        else:
            lines.append(maker.line(row))
    return Account(
        rows=len(read.rows),
        empty=read.empty,
        above=tuple(above),
        totals=tuple(totals),
        nothing_read=tuple(nothing),
        lines=tuple(_with_duplicates(lines)),
        columns=maker.matches(),
    )


class _Maker:
    """Makes lines of rows, with what holds for the whole list at hand."""

    def __init__(
        self,
        project: Project,
        rules: RuleSet,
        heading: ListRow | None,
        how: HowRead,
        body: Sequence[ListRow],
    ) -> None:
        self._project, self._rules, self._how = project, rules, how
        self._headings = [
            (heading.cell(c) if heading is not None else "") or f"column {c + 1}"
            for c in range(len(how.columns))
        ]
        self._column = {means: c for c, means in enumerate(how.columns) if means in FIELDS}
        self._kinds = [(c, m) for c, m in enumerate(how.columns) if m in project.outlet_kinds]
        areas = self._column.get(AREA)
        us = project.settings.units is Units.US
        self._decimal, self._area_factor = ".", 1.0
        if areas is not None:
            self._decimal = decimal_sign([r.cell(areas) for r in body])
            feet = in_square_feet(self._headings[areas], otherwise=us)
            self._area_factor = M2_PER_FT2 if feet else 1.0

    def matches(self) -> tuple[ColumnMatch, ...]:
        """What is remembered of the columns; those left out among them."""
        return tuple(
            ColumnMatch(heading=heading[:LONGEST_NAME], means=means)
            for heading, means in zip(self._headings, self._how.columns, strict=True)
        )

    def is_total(self, row: ListRow) -> bool:
        """Whether a row is no room but the sum of those above."""
        first = next((c for c in row.cells if c), "")
        return plain(first) in _TOTALS

    def line(self, row: ListRow) -> ReadLine:
        troubles: list[Trouble] = []
        texts = {
            field: self._text(row, field, troubles) for field in (NUMBER, NAME, FLOOR, USE, NOTE)
        }
        if not number_key(texts[NUMBER]):
            troubles.append(
                Trouble(wrong=Wrong.NO_NUMBER, text=f"Line {row.line} has no room number.")
            )
        texts[USE] = self._use(row.line, texts[USE], troubles)
        area = self._area(row, troubles)
        required = tuple(self._required(row, troubles))
        kept = [texts[NOTE], *(t.text for t in troubles if t.stays)]
        return ReadLine(
            line=row.line,
            number=texts[NUMBER],
            name=texts[NAME],
            floor_name=texts[FLOOR],
            use=texts[USE],
            area_m2=area,
            required=required,
            note=" ".join(n for n in kept if n)[:LONGEST_NOTE],
            troubles=tuple(troubles),
        )

    def _text(self, row: ListRow, field: str, troubles: list[Trouble]) -> str:
        column = self._column.get(field)
        text = "" if column is None else row.cell(column)
        most = LONGEST_NOTE if field == NOTE else LONGEST_NAME
        if len(text) > most:
            said = f"Line {row.line}: {FIELDS[field].lower()} is cut after {most} letters."
            troubles.append(Trouble(wrong=Wrong.CUT, text=said, stays=True))
        return text[:most]

    def _use(self, line: int, text: str, troubles: list[Trouble]) -> str:
        settled = self._how.uses.get(text, text)
        meant = use_meant(self._rules, settled)
        if settled and meant.use is None:
            also = f"; it may be {' or '.join(meant.likely)}" if meant.likely else ""
            troubles.append(
                Trouble(
                    wrong=Wrong.USE,
                    text=f"Line {line}: the use “{settled}” is not known{also}.",
                    said=settled,
                    likely=meant.likely,
                )
            )
        return settled

    def _area(self, row: ListRow, troubles: list[Trouble]) -> float | None:
        column = self._column.get(AREA)
        if column is None:
            return None
        text = row.cell(column)
        try:
            area = read_area(text, decimal=self._decimal)
        except BadValue as why:
            said = f"Line {row.line}: “{text}” under {self._headings[column]} {why}."
            troubles.append(Trouble(wrong=Wrong.AREA, text=said, stays=True, said=text))
            return None
        return None if area is None else round(area * self._area_factor, 4)

    def _required(self, row: ListRow, troubles: list[Trouble]) -> Iterator[Requirement]:
        for column, kind in self._kinds:
            text = row.cell(column)
            try:
                count = read_count(text)
            except BadValue as why:
                wrong = Wrong.NEGATIVE if "less" in str(why) else Wrong.COUNT
                said = f"Line {row.line}: “{text}” under {self._headings[column]} {why}."
                troubles.append(Trouble(wrong=wrong, text=said, stays=True, said=text))
                continue
            if count is not None:
                yield Requirement(kind=kind, count=count)


def _with_duplicates(lines: Sequence[ReadLine]) -> Iterator[ReadLine]:
    """The lines, those whose number an earlier one of the same floor has told so."""
    first: dict[tuple[str, str], ReadLine] = {}
    for line in lines:
        key = number_key(line.number), floor_key(line.floor_name)
        earlier = first.setdefault(key, line) if key[0] else line
        if earlier is line:
            yield line
            continue
        said = f"Lines {earlier.line} and {line.line} both have the number {line.number}"
        if earlier.name != line.name:
            said += f" (“{earlier.name}” and “{line.name}”)"
        said += f"; line {earlier.line} has the room, line {line.line} waits to be given one."
        trouble = Trouble(wrong=Wrong.DUPLICATE, text=said)
        yield msgspec.structs.replace(line, troubles=(*line.troubles, trouble))


def sentences(account: Account) -> list[str]:
    """The account in words: every row is in one of the first sentences."""
    lines = account.lines
    out = [f"{account.rows:,} rows read, {len(lines):,} taken as rooms."]
    for rows, what in (
        (account.above, "with or above the headings"),
        (account.totals, "with totals, which are no rooms"),
        (account.nothing_read, "with nothing in the columns that are read"),
    ):
        if rows:
            out.append(f"{_rows(rows)} {what}.")
    if account.empty:
        out.append(f"{account.empty:,} empty between them.")
    counted = {
        Wrong.NO_NUMBER: "without a room number",
        Wrong.DUPLICATE: "with a number that an earlier one has",
        Wrong.COUNT: "with a count that cannot be read",
        Wrong.NEGATIVE: "with a count below none",
        Wrong.AREA: "with an area that cannot be read",
        Wrong.USE: "with a use that is not known",
        Wrong.CUT: "with a text cut for its length",
    }
    for wrong, what in counted.items():
        found = sum(any(t.wrong is wrong for t in line.troubles) for line in lines)
        if found:
            out.append(f"{found:,} {what}.")
    return out


def _rows(lines: Sequence[int]) -> str:
    if len(lines) == 1:
        return f"1 row (line {lines[0]})"
    return f"{len(lines):,} rows (lines {lines[0]} to {lines[-1]})"


def left_out(how: HowRead) -> int:
    """How many columns are not read."""
    return sum(means == LEFT_OUT for means in how.columns)
