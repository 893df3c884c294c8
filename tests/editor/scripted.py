"""A hand driven by a script of pointer and key events, on a real document."""

from typing import Any

from msgspec.structs import replace

from app.editor.document import Document
from app.editor.selection import Selection
from app.editor.snapping import Catcher
from app.editor.tools.hand import Hand
from app.editor.tools.overlay import Overlay
from app.editor.tools.select import SelectTool
from app.editor.tools.tool import Key, Modifiers, ToolContext, ToolResult
from app.editor.tools.toolbox import TOOLS
from app.model.integrity import check_project
from app.model.project import Project
from tests.editor.small_building import GROUND, PLAN_DRAWING, PLAN_SOURCE, RULES, building, source

MM_PER_PIXEL = 10.0
FREE = Modifiers(alt=True)


class Script:
    """Events at points of the site; `said` keeps the last message, `asked` the last question."""

    def __init__(self, tool: str = "select", *, project: Project | None = None, **draws: Any):
        self.first = building() if project is None else project
        self.document = Document(self.first)
        self.document.plans.add(PLAN_SOURCE, PLAN_DRAWING)
        self.selection = Selection(self.document)
        self.context = ToolContext(
            document=self.document,
            selection=self.selection,
            floor_id=GROUND,
            rules=RULES,
            source=source(),
        )
        self.context.draws = replace(self.context.draws, **draws)
        self.hand = Hand(self.context, resting=SelectTool, catcher=Catcher(self.first))
        self.last = ToolResult()
        self.take(tool)

    # --- events -------------------------------------------------------------------------

    def take(self, tool: str) -> None:
        self.hand.take(TOOLS[tool](self.context))

    def _keep(self, result: ToolResult) -> ToolResult:
        self.last = result
        check_project(self.project)
        return result

    def move(self, x: float, y: float, **held: bool) -> ToolResult:
        return self._keep(self.hand.move(x, y, MM_PER_PIXEL, Modifiers(**held)))

    def press(self, x: float, y: float, **held: bool) -> ToolResult:
        return self._keep(self.hand.press(x, y, MM_PER_PIXEL, Modifiers(**held)))

    def release(self, x: float, y: float, **held: bool) -> ToolResult:
        return self._keep(self.hand.release(x, y, MM_PER_PIXEL, Modifiers(**held)))

    def click(self, x: float, y: float, **held: bool) -> ToolResult:
        self.move(x, y, **held)
        pressed = self.press(x, y, **held)
        released = self.release(x, y, **held)
        speaks = pressed if pressed.message or pressed.question or pressed.patch else released
        return self._keep(speaks)

    def double_click(self, x: float, y: float, **held: bool) -> ToolResult:
        self.click(x, y, **held)
        result = self.hand.double_click(x, y, MM_PER_PIXEL, Modifiers(**held))
        self.hand.release(x, y, MM_PER_PIXEL, Modifiers(**held))
        return self._keep(result)

    def drag(self, a: tuple[float, float], b: tuple[float, float], **held: bool) -> ToolResult:
        self.move(*a, **held)
        self.press(*a, **held)
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        self.move(*middle, **held)
        self.move(*b, **held)
        return self.release(*b, **held)

    def type(self, text: str) -> ToolResult:
        for character in text:
            assert self.hand.character(character), character
        return self.key(Key.ENTER)

    def key(self, key: Key, **held: bool) -> ToolResult:
        return self._keep(self.hand.key(key, Modifiers(**held)))

    def floor(self, floor_id: str) -> None:
        self.hand.show_floor(floor_id)

    def answer(self, index: int = 0) -> ToolResult:
        assert self.last.question is not None
        return self._keep(self.hand.answer(self.last.question.answers[index]))

    # --- what came of it ----------------------------------------------------------------

    @property
    def project(self) -> Project:
        return self.document.project

    @property
    def untouched(self) -> bool:
        return self.project == self.first and self.document.undo_label is None

    @property
    def overlay(self) -> Overlay:
        return self.hand.overlay()

    @property
    def tags(self) -> str:
        return " | ".join(t.text for t in self.overlay.tags)

    def made(self) -> Any:
        """The one thing that is new."""
        [thing] = [e for e in self.project.entities() if e.id not in self.first]
        return thing
