"""A tool that does nothing, for the others to say only what they do."""

from app.editor.snapping import SnapWish
from app.editor.tools.overlay import NOTHING, Overlay
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Key,
    Modifiers,
    Pointer,
    ToolContext,
    ToolResult,
)
from app.model.project import Patch


class QuietTool:
    """Answers every event with nothing. `context` is what all tools read."""

    name = ""
    takes_text = False

    def __init__(self, context: ToolContext) -> None:
        self.context = context

    @property
    def takes_letters(self) -> bool:
        return False

    def hint(self) -> str:
        return ""

    def wish(self) -> SnapWish:
        return SnapWish()

    def press(self, pointer: Pointer) -> ToolResult:
        return NOTHING_YET

    def move(self, pointer: Pointer) -> ToolResult:
        return NOTHING_YET

    def release(self, pointer: Pointer) -> ToolResult:
        return NOTHING_YET

    def double_click(self, pointer: Pointer) -> ToolResult:
        return NOTHING_YET

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        return NOTHING_YET

    def type_text(self, text: str) -> ToolResult:
        return ToolResult(message="Nothing can be typed here.")

    def cancel(self) -> bool:
        return False

    def refresh(self) -> None:
        """Nothing is held that could have gone."""

    def overlay(self) -> Overlay:
        return NOTHING

    def preview_patch(self) -> Patch | None:
        return None


def said(problem: Exception) -> ToolResult:
    """A refusal, as the tool gives it back."""
    return ToolResult(message=str(problem))
