"""A list made out before anybody has said anything: headings found, columns guessed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from app.editor.room_lists.account import HowRead
from app.editor.room_lists.headings import (
    LEFT_OUT,
    Guess,
    guess_columns,
    heading_key,
    heading_line,
)
from app.model.building import ColumnMatch
from app.model.project import Project
from app.storage.list_rows import ListFile


class MadeOut(msgspec.Struct, frozen=True, kw_only=True):
    """How a list is read as far as it can be told, and a guess for each column."""

    how: HowRead
    headings: tuple[str, ...]
    guesses: tuple[Guess, ...]


def make_out(
    project: Project,
    read: ListFile,
    remembered: Mapping[str, str],
    *,
    line: int | None = None,
) -> MadeOut:
    """Headings and columns; `line` is where a person has seen the headings (0: there are none)."""
    at = heading_line(project, read, remembered) if line is None else line
    row = next((r for r in read.rows if r.line == at), None)
    headings = tuple("" if row is None else row.cell(c) for c in range(read.columns))
    guesses = guess_columns(project, headings, remembered)
    columns = tuple(g.means for g in guesses)
    return MadeOut(
        how=HowRead(heading_line=at if row is not None else 0, columns=columns),
        headings=headings,
        guesses=tuple(guesses),
    )


def habits_of(project: Project, columns: Sequence[ColumnMatch]) -> dict[str, str]:
    """What is kept of columns beyond one project: kinds by their names, not by their ids."""
    kinds = project.outlet_kinds
    return {
        heading_key(c.heading): kinds[c.means].name if c.means in kinds else c.means
        for c in columns
        if heading_key(c.heading) and c.means != LEFT_OUT
    }


def habits_here(project: Project, habits: Mapping[str, str]) -> dict[str, str]:
    """The same in terms of a project: kinds that it does not have are forgotten."""
    by_name = {k.name: k.id for k in project.outlet_kinds.values()}
    return {heading: by_name.get(means, means) for heading, means in habits.items()}
