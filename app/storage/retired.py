"""Numbers of removed things: they stand on labels and lists, and are given to nothing else.

So are the numbers of their cables, and their ports on panels where these were printed.
A number is retired once the thing that has it is removed, and comes back into use only where
that very removal is undone. Undoing an addition retires nothing: the thing never was.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated

from msgspec import Meta, Struct

from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Candidate,
    Demarcation,
    Entity,
    Frame,
    OutdoorDuct,
    Outlet,
    PanelPort,
    Pathway,
    Penetration,
    Port,
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
    Penetration,
)

MOST_PANEL_LETTERS = 120
"""More of a panel's name would not go into a retired number."""

RetiredByTag = dict[str, tuple[Annotated[str, Meta(max_length=200)], ...]]
"""As it stands in files: the numbers, sorted, by the tag of the things that had them."""


class RetiredNumbers:
    """The numbers of removed things, kept up with every patch that is committed."""

    def __init__(self, by_tag: Mapping[str, Iterable[str]] | None = None) -> None:
        # How often, since two things with one number may both be removed and one come back.
        self._times = Counter(
            (tag, number) for tag, numbers in (by_tag or {}).items() for number in numbers
        )

    def of(self, of_type: type[Struct]) -> frozenset[str]:
        """The retired numbers of things of a type, of cables (`Port`), of ports (`PanelPort`)."""
        wanted = tag_of(of_type.__name__)
        return frozenset(number for tag, number in self._times if tag == wanted)

    def follow(self, kind: EntryKind, patch: Patch) -> None:
        """Bring the numbers up to a committed patch."""
        for change in patch.changes:
            undone = kind is EntryKind.UNDO
            was, now = (change.after, change.before) if undone else (change.before, change.after)
            for key in _retired_by(was, now):
                self._times[key] += -1 if undone else 1
                if self._times[key] <= 0:
                    del self._times[key]

    def by_tag(self) -> RetiredByTag:
        """All of them, as they are written to files."""
        found: dict[str, list[str]] = {}
        for tag, number in sorted(self._times):
            found.setdefault(tag, []).append(number)
        return {tag: tuple(numbers) for tag, numbers in found.items()}


def _retired_by(was: Entity | None, now: Entity | None) -> Iterator[tuple[str, str]]:
    """What is retired when a thing becomes another, or nothing."""
    if now is None and isinstance(was, NUMBERED):
        number = getattr(was, "number", "") or getattr(was, "name", "")
        if number:
            yield tag_of(type(was).__name__), str(number)
    if isinstance(was, Outlet):
        kept = {p.id for p in now.ports} if isinstance(now, Outlet) else frozenset()
        for port in was.ports:
            if port.id not in kept:
                yield from _of_port(port)


def _of_port(port: Port) -> Iterator[tuple[str, str]]:
    if port.cable_number:
        yield tag_of("Port"), port.cable_number
    if port.printed and port.ends_at is not None:
        yield tag_of("PanelPort"), place_of(port.ends_at)


def place_of(place: PanelPort) -> str:
    """A port on a panel as one text: `frame-00000001/A/07`."""
    return f"{place.frame}/{place.panel[:MOST_PANEL_LETTERS]}/{place.port:02d}"
