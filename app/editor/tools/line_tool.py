"""What all tools share that draw a line point by point."""

from abc import ABC, abstractmethod

from app.editor.asking import InputProblem
from app.editor.tools.entry import parse_entry
from app.editor.tools.line_draft import LineDraft
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Key,
    Modifiers,
    Pointer,
    ToolContext,
    ToolResult,
)


class LineTool(QuietTool, ABC):
    """Points by click or by typing; Enter or a double-click finishes, Backspace takes back."""

    takes_text = True
    across_floors = False
    """Whether the line may go on after another floor has come into view."""

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self.draft = LineDraft(context)

    @property
    def takes_letters(self) -> bool:
        return bool(self.draft)

    @abstractmethod
    def finish(self) -> ToolResult:
        """What the line becomes. Raises InputProblem where it is not ready."""

    def added(self) -> ToolResult:
        """A point has been added; tools with a set number of points finish here."""
        return NOTHING_YET

    def move(self, pointer: Pointer) -> ToolResult:
        self.draft.pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        elsewhere = self.draft.pressed(pointer)
        if elsewhere is not None and not self.across_floors:
            return ToolResult(message=elsewhere)
        return self._guarded_added() if self.draft.add(pointer.at) else NOTHING_YET

    @property
    def _elsewhere(self) -> str | None:
        return None if self.across_floors else self.draft.elsewhere

    def double_click(self, pointer: Pointer) -> ToolResult:
        return self._guarded_finish()

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        if key is Key.ENTER:
            return self._guarded_finish()
        if key is Key.BACKSPACE:
            self.draft.take_back()
        return NOTHING_YET

    def type_text(self, text: str) -> ToolResult:
        elsewhere = self._elsewhere
        if elsewhere is not None:
            return ToolResult(message=elsewhere)
        try:
            entry = parse_entry(text, self.context.project.settings.units)
            point = self.draft.typed(entry)
        except InputProblem as problem:
            return said(problem)
        if point is not None and self.draft.add(point):
            return self._guarded_added()
        return NOTHING_YET

    def _guarded_added(self) -> ToolResult:
        try:
            return self.added()
        except InputProblem as problem:
            return said(problem)

    def _guarded_finish(self) -> ToolResult:
        try:
            return self.finish()
        except InputProblem as problem:
            return said(problem)

    def cancel(self) -> bool:
        return self.draft.clear()

    def refresh(self) -> None:
        """Let go of the pointer, and of a line whose floor is gone."""
        self.draft.pointer = None
        if self.draft and self.draft.floor_id not in self.context.project.floors:
            self.cancel()
