"""The hand that holds the active tool: what the canvas talks to.

It catches the pointer, keeps what is typed, commits what the tool gives back, and lets the
tool know when the project or the floor has changed.
"""

from collections.abc import Callable

from app.editor.document import EditNotKept
from app.editor.snapping import RADIUS_PIXELS, Catcher, SnapWish, Squareness
from app.editor.tools.overlay import NOTHING, Overlay
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Answer,
    Key,
    Modifiers,
    PatchEvent,
    Pointer,
    Question,
    Tool,
    ToolContext,
    ToolResult,
)
from app.geometry.similarity import to_mm
from app.model.project import Patch, PatchRefused


def _try_again(text: str, patch: Patch) -> Question:
    """What was drawn is not lost where the disk is full: it can be kept once there is room."""
    answers = (Answer(label="Try again", patch=patch), Answer(label="Leave it"))
    return Question(text=text, answers=answers)


ENTRY_STARTS = frozenset("0123456789.,+-−½¼¾⅛")


def _squareness(wish: SnapWish, modifiers: Modifiers, *, square: bool) -> Squareness:
    """Shift turns drawing round from square to free; a drag it holds strictly to its axis."""
    if not wish.loose:
        return Squareness.STRICT if square != modifiers.shift else Squareness.NONE
    if modifiers.shift:
        return Squareness.STRICT
    return Squareness.KEPT if square and not modifiers.alt else Squareness.NONE


class Hand:
    """Holds one tool; every event returns what there is to say or ask.

    A returned result's patch has been committed already (or refused, then `message` says why);
    the caller shows `message` and asks `question`, whose answer goes to `answer`.
    """

    def __init__(
        self, context: ToolContext, *, resting: Callable[[ToolContext], Tool], catcher: Catcher
    ) -> None:
        """`resting` makes the tool that is taken when another is put away (select)."""
        self.context = context
        self.catcher = catcher
        context.catcher = catcher
        self._resting = resting
        self._tool = resting(context)
        self._pointer: Pointer | None = None
        self._entry = ""
        self._unsubscribe = context.document.subscribe(self._document_changed)

    @property
    def tool(self) -> Tool:
        return self._tool

    @property
    def entry(self) -> str:
        """What has been typed and not yet entered."""
        return self._entry

    @property
    def pointer(self) -> Pointer | None:
        """The last caught pointer; None where it has left, or all has changed since it moved."""
        return self._pointer

    def take(self, tool: Tool) -> None:
        """Put the tool in hand away, with what it has begun, and take another."""
        self._tool.cancel()
        self._entry = ""
        self._tool = tool
        self._let_go_of_pointer()

    def rest(self) -> None:
        """Take the resting tool."""
        self.take(self._resting(self.context))

    def close(self) -> None:
        self._unsubscribe()

    def show_floor(self, floor_id: str) -> None:
        """The floor in view has changed."""
        self.context.floor_id = floor_id
        self._let_go_of_pointer()
        self._tool.refresh()

    # --- events -------------------------------------------------------------------------

    def press(
        self, x_mm: float, y_mm: float, mm_per_pixel: float, modifiers: Modifiers = NO_MODIFIERS
    ) -> ToolResult:
        return self._settle(self._tool.press(self._caught(x_mm, y_mm, mm_per_pixel, modifiers)))

    def move(
        self, x_mm: float, y_mm: float, mm_per_pixel: float, modifiers: Modifiers = NO_MODIFIERS
    ) -> ToolResult:
        return self._settle(self._tool.move(self._caught(x_mm, y_mm, mm_per_pixel, modifiers)))

    def release(
        self, x_mm: float, y_mm: float, mm_per_pixel: float, modifiers: Modifiers = NO_MODIFIERS
    ) -> ToolResult:
        return self._settle(self._tool.release(self._caught(x_mm, y_mm, mm_per_pixel, modifiers)))

    def double_click(
        self, x_mm: float, y_mm: float, mm_per_pixel: float, modifiers: Modifiers = NO_MODIFIERS
    ) -> ToolResult:
        pointer = self._caught(x_mm, y_mm, mm_per_pixel, modifiers)
        return self._settle(self._tool.double_click(pointer))

    def leave(self) -> None:
        """The pointer has left the canvas."""
        self._pointer = None

    def character(self, text: str) -> bool:
        """A typed character; False where it is no part of an entry and free for others."""
        if not self.takes(text):
            return False
        self._entry += text
        return True

    def takes(self, text: str) -> bool:
        """Whether a typed character belongs to the entry: letters only where they may begin."""
        if not self._tool.takes_text or not text or not text.isprintable():
            return False
        if self._entry:
            return True
        return text[0] in ENTRY_STARTS or (self._tool.takes_letters and text[0].isalpha())

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        if self._entry:
            return self._key_while_typing(key)
        if key is Key.ESCAPE:
            if not self._tool.cancel():
                self.rest()
            return NOTHING_YET
        return self._settle(self._tool.key(key, modifiers))

    def answer(self, answer: Answer) -> ToolResult:
        """Do what the user chose."""
        return self._settle(ToolResult(patch=answer.patch))

    # --- what is shown --------------------------------------------------------------------

    def hint(self) -> str:
        return self._tool.hint()

    def overlay(self) -> Overlay:
        shown = self._tool.overlay()
        cue = None if self._pointer is None else self._pointer.snapped
        if shown is NOTHING and cue is None and not self._entry:
            return NOTHING
        return Overlay(
            areas=shown.areas,
            lines=shown.lines,
            ghosts=() if self._pointer is None else shown.ghosts,
            markers=shown.markers,
            tags=shown.tags,
            cue=cue,
            entry=self._entry or None,
        )

    def preview_patch(self) -> Patch | None:
        """What would be committed now; None while the pointer is elsewhere."""
        return None if self._pointer is None else self._tool.preview_patch()

    # --- within ---------------------------------------------------------------------------

    def _caught(
        self, x_mm: float, y_mm: float, mm_per_pixel: float, modifiers: Modifiers
    ) -> Pointer:
        draws, wish = self.context.draws, self._tool.wish()
        at = (x_mm - wish.carried[0], y_mm - wish.carried[1])
        snap = self.catcher.catch(
            floor_id=self.context.floor_id,
            wish=wish,
            at=at,
            radius_mm=RADIUS_PIXELS * mm_per_pixel,
            square=_squareness(wish, modifiers, square=draws.square),
            free=modifiers.alt or not draws.snap,
        )
        self._pointer = Pointer(
            x_mm=to_mm(at[0]) if snap is None else snap.x_mm,
            y_mm=to_mm(at[1]) if snap is None else snap.y_mm,
            raw=(x_mm, y_mm),
            mm_per_pixel=mm_per_pixel,
            snapped=snap,
            modifiers=modifiers,
        )
        return self._pointer

    def _key_while_typing(self, key: Key) -> ToolResult:
        if key is Key.BACKSPACE:
            self._entry = self._entry[:-1]
        elif key is Key.ESCAPE:
            self._entry = ""
        elif key is Key.ENTER:
            text, self._entry = self._entry, ""
            result = self._tool.type_text(text)
            if result.message is not None and result.patch is None:
                self._entry = text
            return self._settle(result)
        return NOTHING_YET

    def _settle(self, result: ToolResult) -> ToolResult:
        if result.patch is not None and result.patch.changes:
            try:
                self.context.document.commit(result.patch, merge=result.merge)
            except EditNotKept as trouble:
                return ToolResult(question=_try_again(str(trouble), result.patch))
            except PatchRefused as refusal:
                self._tool.refresh()
                return ToolResult(message=str(refusal))
        if result.select is not None:
            self.context.selection.set(result.select)
        if result.done:
            self.rest()
        return result

    def _document_changed(self, event: PatchEvent) -> None:
        self.catcher.project_changed(self.context.project, event.patch)
        self._let_go_of_pointer()
        self._tool.refresh()

    def _let_go_of_pointer(self) -> None:
        """What caught it may be gone: no cue and no ghost until it moves again."""
        self._pointer = None
