"""Whether a file is a revision of the list it is taken for, or another list altogether."""

from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher
from functools import partial

from app.editor.room_lists.account import Account
from app.editor.room_lists.headings import FIELDS, FLOOR, NUMBER, guess_columns
from app.model.building import ClientList, RoomLine
from app.model.project import Project

LEAST_KEPT_RATIO = 0.5
"""A revision that knows fewer of the rooms again is asked about."""
MOST_NAMED = 3


def misfit(
    project: Project,
    before: ClientList,
    old: Sequence[RoomLine],
    account: Account,
    *,
    kept: int,
) -> str:
    """Why lines read anew would take more from a list than a revision does, in words; else empty.

    `old` are the lines of the list, `kept` is how many of them are known again. What is missing
    is a column that told rooms apart or counted outlets, where the lines have anything of it.
    """
    wrong = []
    missing = _missing(before, old, account)
    if missing:
        names = [_called(project, means) for means in missing]
        if len(names) > MOST_NAMED:
            names = [*names[:MOST_NAMED], f"{len(names) - MOST_NAMED} more"]
        wrong.append(f"no column is read as {_listed(names)}{_mistaken(project, account, missing)}")
    if old and kept < LEAST_KEPT_RATIO * len(old):
        wrong.append(f"{len(old) - kept:,} of the {len(old):,} rooms that it has would go")
    return " and ".join(wrong)


def _missing(before: ClientList, old: Sequence[RoomLine], account: Account) -> list[str]:
    read = {c.means for c in account.columns}
    used = {r.kind for line in old for r in line.required if r.count}
    if any(line.number for line in old):
        used.add(NUMBER)
    if any(line.floor_name for line in old):
        used.add(FLOOR)
    return [c.means for c in before.columns if c.means in used - read]


def _mistaken(project: Project, account: Account, missing: Sequence[str]) -> str:
    """“ (“Camra” may be Camera)”: columns that are not read and may be what is missing."""
    left_out = [c.heading for c in account.columns if not c.means]
    told = []
    for heading, guess in zip(left_out, guess_columns(project, left_out, {}), strict=True):
        meant = [m for m in (guess.means, *guess.likely) if m in missing]
        if meant:
            names = [_called(project, m) for m in meant]
            told.append(f"“{heading}” may be {max(names, key=partial(_alike, heading))}")
    return f" ({', '.join(told[:MOST_NAMED])})" if told else ""


def _called(project: Project, means: str) -> str:
    name = FIELDS.get(means)
    return f"“{name if name is not None else project.outlet_kinds[means].name}”"


def _alike(one: str, other: str) -> float:
    return SequenceMatcher(None, one.casefold(), other.strip("“”").casefold()).ratio()


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} or {last}" if most else last
