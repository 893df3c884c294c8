"""The order of a table's rows, kept sorted while single rows change."""

import re
from bisect import bisect_left, insort
from collections.abc import Iterable

SortKey = tuple[object, ...]
Entry = tuple[SortKey, int, str]
"""Sort key, place in the table, id of the row."""

_DIGITS = re.compile(r"(\d+)")


def natural(text: str) -> SortKey:
    """A key by which “2-9” comes before “2-10”."""
    parts = _DIGITS.split(text.casefold())
    return tuple((0, int(p), "") if i % 2 else (1, 0, p) for i, p in enumerate(parts) if p)


def sort_key(value: object, *, descending: bool) -> SortKey:
    """A key for a cell; empty cells come last in either direction."""
    if value is None or value == "":
        return (-1 if descending else 3,)
    if isinstance(value, int | float):
        return (0, value)
    return (1, *natural(str(value)))


class RowOrder:
    """Ids of rows, sorted. One changed row costs two binary searches and two shifts."""

    def __init__(self) -> None:
        self._entries: list[Entry] = []
        self._entry_of: dict[str, Entry] = {}

    def __len__(self) -> int:
        return len(self._entries)

    def __contains__(self, key: object) -> bool:
        return key in self._entry_of

    def fill(self, entries: Iterable[Entry]) -> None:
        """Sort everything anew."""
        self._entries = sorted(entries)
        self._entry_of = {entry[2]: entry for entry in self._entries}

    def at(self, position: int) -> str:
        """The id at a position."""
        return self._entries[position][2]

    def position(self, key: str) -> int | None:
        """Where a row stands, or None where it is not shown."""
        entry = self._entry_of.get(key)
        return None if entry is None else bisect_left(self._entries, entry)

    def remove(self, key: str) -> int | None:
        """Take a row out; its former position, or None where it was not there."""
        entry = self._entry_of.pop(key, None)
        if entry is None:
            return None
        position = bisect_left(self._entries, entry)
        del self._entries[position]
        return position

    def insert(self, key: str, value: SortKey, place: int) -> int:
        """Put a row that is not there in; its position."""
        entry = (value, place, key)
        insort(self._entries, entry)
        self._entry_of[key] = entry
        return bisect_left(self._entries, entry)

    def value(self, key: str) -> SortKey | None:
        """The sort key under which a row stands."""
        entry = self._entry_of.get(key)
        return None if entry is None else entry[0]
