"""What a field is: where its value lies, how it is called, and how it is typed."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import Any

from app.model.project import Project
from app.ui.words import word


class Sort(StrEnum):
    """How a value is typed and shown."""

    TEXT = "text"
    NOTE = "note"
    LENGTH = "length"
    ANGLE = "angle"
    COUNT = "count"
    NUMBER = "number"
    FLAG = "flag"
    CHOICE = "choice"
    ROLES = "roles"


class Several:
    """Stands for a value that differs among the things shown."""

    def __repr__(self) -> str:
        return "SEVERAL"


SEVERAL = Several()
Options = Callable[[Project], list[tuple[Any, str]]]
Get = Callable[[Any], Any]


@dataclass(frozen=True, kw_only=True)
class Field:
    """One field of one type of thing.

    `none_word(project, thing)` says what an empty field means; without it the field cannot
    be empty. `ports_of` gives the ids of the ports that a field of ports speaks of.
    """

    key: str
    label: str
    sort: Sort
    unit: str = ""
    tip: str = ""
    least: float = 0
    most: float = 1_000_000
    options: Options | None = None
    none_word: Callable[[Project, Any], str] | None = None
    get: Get | None = None
    ports_of: Callable[[Any], tuple[str, ...]] | None = None
    shown_if: Callable[[Any], bool] | None = None
    whole: bool = True

    def value(self, thing: Any) -> Any:
        """The value of one thing."""
        return getattr(thing, self.key) if self.get is None else self.get(thing)

    def shared(self, things: Iterable[Any]) -> Any:
        """The value all things share, or SEVERAL; of ports, all things that have any."""
        speaking = (t for t in things if self.ports_of is None or self.ports_of(t))
        values = [self.value(t) for t in speaking]
        return values[0] if values and all(v == values[0] for v in values[1:]) else SEVERAL


def choices(*enum_values: Enum, none: str | None = None) -> Options:
    """Options of a closed list, with an empty one first where it may be None."""
    first: list[tuple[Any, str]] = [] if none is None else [(None, none)]
    return lambda _project: first + [(v, word(v)) for v in enum_values]


def all_of(enum: type[Enum], none: str | None = None) -> Options:
    """Options of every word of a closed list."""
    return choices(*enum, none=none)


def things_of(entity_type: type[Any], none: str | None = None) -> Options:
    """Options of the project's own things of a type, by name."""

    def options(project: Project) -> list[tuple[Any, str]]:
        first: list[tuple[Any, str]] = [] if none is None else [(None, none)]
        return first + [(e.id, e.name) for e in project.table(entity_type).values()]

    return options
