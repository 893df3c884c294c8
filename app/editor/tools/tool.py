"""The contract between the canvas and the tools.

The canvas turns events into calls of a `Hand` (hand.py), which catches the pointer, keeps what
is typed, holds the active tool and commits what it gives back. Tools can be driven without it,
by hand-made pointers, as the tests do.
"""

from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Protocol

import msgspec

from app.editor.asking import Answer, Question
from app.editor.snap_index import FloorIndex
from app.editor.snapping import Catcher, Snap, SnapWish
from app.editor.tools.next_drawn import NextDrawn
from app.editor.tools.overlay import Overlay
from app.model.entities import Entity
from app.model.ids import Source, random_characters
from app.model.project import Patch, Project
from app.routing.results import Runs
from app.standards import RuleSet

__all__ = [
    "NOTHING_YET",
    "NO_MODIFIERS",
    "Answer",
    "Key",
    "Modifiers",
    "OpenDocument",
    "OpenSelection",
    "PatchEvent",
    "Pointer",
    "Question",
    "SnapWish",
    "Tool",
    "ToolContext",
    "ToolResult",
]


class Modifiers(msgspec.Struct, frozen=True, kw_only=True):
    """The keys held down. Shift turns square drawing off (or on); Alt lets nothing catch."""

    shift: bool = False
    ctrl: bool = False
    alt: bool = False


NO_MODIFIERS = Modifiers()
USUAL_REACH_PX = 12.0


class Pointer(msgspec.Struct, frozen=True, kw_only=True):
    """Where the pointer is, in the site's axes.

    `x_mm`, `y_mm` are the caught point where something caught it (of a thing in hand, where
    its own point comes to lie); `raw` is where the hand really is. `mm_per_pixel` turns
    distances on screen into distances in the building.
    """

    x_mm: int
    y_mm: int
    raw: tuple[float, float]
    mm_per_pixel: float
    snapped: Snap | None = None
    modifiers: Modifiers = NO_MODIFIERS

    @property
    def at(self) -> tuple[int, int]:
        return self.x_mm, self.y_mm


class Key(StrEnum):
    """Keys that mean something to a tool; characters go to the typed entry instead."""

    ENTER = "enter"
    ESCAPE = "escape"
    BACKSPACE = "backspace"
    DELETE = "delete"
    INSERT = "insert"
    LEFT = "left"
    RIGHT = "right"
    UP = "up"
    DOWN = "down"


class ToolResult(msgspec.Struct, frozen=True, kw_only=True):
    """What an event led to.

    `patch` is to be committed, in one step with the last where `merge` is the same; `message`
    is one sentence for the user (a refusal, a reading); `question` is to be asked and its
    answer's patch committed; `select` is the selection afterwards (None: as it is); `opens` is
    a thing to be shown whole or opened; `done` puts the tool away and takes the select tool.
    """

    patch: Patch | None = None
    merge: str | None = None
    message: str | None = None
    question: Question | None = None
    select: tuple[str, ...] | None = None
    opens: str | None = None
    done: bool = False


NOTHING_YET = ToolResult()


class PatchEvent(Protocol):
    """What a document tells of a change."""

    @property
    def patch(self) -> Patch: ...


class OpenDocument(Protocol):
    """As much of a document as tools need."""

    @property
    def project(self) -> Project: ...

    def commit(self, patch: Patch, *, merge: str | None = None) -> object: ...

    def undo(self) -> object: ...

    def redo(self) -> object: ...

    def subscribe(self, callback: Callable[[Any], None], /) -> Callable[[], None]: ...

    def retired_numbers(self, of_type: type[msgspec.Struct], /) -> Collection[str]: ...


class OpenSelection(Protocol):
    """As much of a selection as tools need."""

    @property
    def ids(self) -> tuple[str, ...]: ...

    def set(self, ids: tuple[str, ...], /) -> None: ...


def usual_reach_px(_thing: Entity) -> float:
    """Where nothing is painted."""
    return USUAL_REACH_PX


@dataclass(kw_only=True)
class ToolContext:
    """What tools read: the open document, the floor in view, and what is drawn next.

    `reach_px` says how far a thing's symbol reaches from its middle as it is painted now.
    """

    document: OpenDocument
    selection: OpenSelection
    floor_id: str
    rules: RuleSet
    draws: NextDrawn = field(default_factory=NextDrawn)
    source: Source = random_characters
    catcher: Catcher | None = None
    reach_px: Callable[[Entity], float] = usual_reach_px

    @property
    def project(self) -> Project:
        return self.document.project

    @property
    def retired(self) -> Callable[[type[msgspec.Struct]], Collection[str]]:
        """The numbers of removed things, for the commands that number new ones."""
        return self.document.retired_numbers

    def sees(self, thing: Entity) -> bool:
        """Whether a thing is in sight: it may be hidden by its state or phase."""
        return self.catcher is None or self.catcher.sees(thing)

    @property
    def runs(self) -> Runs | None:
        """The runs as they are; None where nothing is calculated."""
        design = getattr(self.document, "design", None)
        return None if design is None else design.runs

    def index(self) -> FloorIndex:
        """Where everything lies on the floor in view."""
        if self.catcher is None:
            self.catcher = Catcher(self.document.project)
        return self.catcher.index(self.floor_id)


class Tool(Protocol):
    """A plain state machine. Nothing is changed but through the results it gives back."""

    @property
    def name(self) -> str:
        """The tool's name on its button."""

    @property
    def takes_text(self) -> bool:
        """Whether typed characters go to the entry (lengths, angles, counts)."""

    @property
    def takes_letters(self) -> bool:
        """Whether an entry may begin with a letter now (“height 3.1”); then none is a shortcut."""

    def hint(self) -> str:
        """One sentence: what the next click does."""

    def wish(self) -> SnapWish:
        """What should catch the pointer now."""

    def press(self, pointer: Pointer) -> ToolResult: ...

    def move(self, pointer: Pointer) -> ToolResult: ...

    def release(self, pointer: Pointer) -> ToolResult: ...

    def double_click(self, pointer: Pointer) -> ToolResult: ...

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult: ...

    def type_text(self, text: str) -> ToolResult:
        """What was typed, after Enter. A text that is not understood gives a message."""

    def cancel(self) -> bool:
        """Drop what has been begun; False where nothing was."""

    def refresh(self) -> None:
        """The project or the floor in view has changed: let go of what is no longer there."""

    def overlay(self) -> Overlay: ...

    def preview_patch(self) -> Patch | None:
        """What would be committed if the button were let go now, for live lengths."""
