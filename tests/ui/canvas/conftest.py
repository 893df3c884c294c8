"""A canvas on a small office, shown offscreen."""

from collections.abc import Callable, Iterator

import numpy as np
import pytest
from pytestqt.qtbot import QtBot

from app.drawing.plan_drawing import PlanDrawing
from app.editor.document import Document
from app.editor.selection import Selection
from app.model.project import Project
from app.ui.canvas import CanvasView
from app.ui.canvas.tool_bench import ToolMakers
from tests.ui.canvas import building

MakeView = Callable[..., CanvasView]


def walls() -> PlanDrawing:
    """The outline of the small office and the walls between its rooms, in millimetres."""
    lines = [(0, 0, 24000, 0), (24000, 0, 24000, 7500), (24000, 7500, 0, 7500), (0, 7500, 0, 0)]
    lines += [(x, 0, x, 5000) for x in (6000, 12000, 18000)]
    return building.drawing_of(np.array(lines, dtype=np.float64))


@pytest.fixture
def make_view(qtbot: QtBot) -> Iterator[MakeView]:
    made: list[CanvasView] = []

    def make(
        project: Project | None = None,
        *,
        drawing: PlanDrawing | None = None,
        tools: ToolMakers | None = None,
        size: tuple[int, int] = (900, 600),
    ) -> CanvasView:
        document = Document(building.small_office() if project is None else project)
        view = CanvasView(
            document,
            Selection(document),
            drawings=lambda _: drawing,
            tools=tools,
        )
        view.resize(*size)
        qtbot.addWidget(view)
        view.show()
        view.setFocus()
        qtbot.waitUntil(lambda: view.is_settled, timeout=20_000)
        made.append(view)
        return view

    yield make
    for view in made:
        view.shut()


@pytest.fixture
def view(make_view: MakeView) -> CanvasView:
    return make_view()
