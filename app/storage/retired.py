"""Numbers of removed things: they stand on labels and lists, and are given to nothing else.

A number is retired once the thing that has it is removed, and comes back into use only where
that very removal is undone. Undoing an addition retires nothing: the thing never was.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Annotated

from msgspec import Meta

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Candidate,
    Demarcation,
    Entity,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Riser,
    tag_of,
)
from app.model.project import Patch
from app.storage.history import EntryKind

NUMBERED: tuple[type[Entity], ...] = (
    Outlet,
    Pathway,
    AccessPoint,
    Riser,
    OutdoorDuct,
    Frame,
    Candidate,
    Demarcation,
    BackboneCable,
)

RetiredByTag = dict[str, tuple[Annotated[str, Meta(max_length=200)], ...]]
"""As it stands in files: the numbers, sorted, by the tag of the things that had them."""


class RetiredNumbers:
    """The numbers of removed things, kept up with every patch that is committed."""

    def __init__(self, by_tag: Mapping[str, Iterable[str]] | None = None) -> None:
        # How often, since two things with one number may both be removed and one come back.
        self._times = Counter(
            (tag, number) for tag, numbers in (by_tag or {}).items() for number in numbers
        )

    def of(self, entity_type: type[Entity]) -> frozenset[str]:
        """The retired numbers of things of a type."""
        wanted = tag_of(entity_type.__name__)
        return frozenset(number for tag, number in self._times if tag == wanted)

    def follow(self, kind: EntryKind, patch: Patch) -> None:
        """Bring the numbers up to a committed patch."""
        for change in patch.changes:
            undone = kind is EntryKind.UNDO
            was, now = (change.after, change.before) if undone else (change.before, change.after)
            key = _key(was) if now is None else None
            if key is None:
                continue
            self._times[key] += -1 if undone else 1
            if self._times[key] <= 0:
                del self._times[key]

    def by_tag(self) -> RetiredByTag:
        """All of them, as they are written to files."""
        found: dict[str, list[str]] = {}
        for tag, number in sorted(self._times):
            found.setdefault(tag, []).append(number)
        return {tag: tuple(numbers) for tag, numbers in found.items()}


def _key(thing: Entity | None) -> tuple[str, str] | None:
    if not isinstance(thing, NUMBERED):
        return None
    number = getattr(thing, "number", "") or getattr(thing, "name", "")
    return (tag_of(type(thing).__name__), str(number)) if number else None
