"""A question waits on the canvas, changes nothing unanswered, and does what was chosen."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from app.editor.asking import Answer, Question
from app.model.project import removing
from app.ui.canvas import CanvasView


def ask(view: CanvasView) -> list[QPushButton]:
    frame = view._document.project.frames["frame-00000002"]
    question = Question(
        text="The frame still serves outlets.",
        answers=(
            Answer(label="Delete it", patch=removing("Delete frame T0", [frame])),
            Answer(label="Keep it"),
        ),
    )
    view.bench.asked.emit(question)
    return [b for b in view.findChildren(QPushButton) if b.isVisible()]


def test_the_first_answer_has_the_focus_and_is_done(view: CanvasView) -> None:
    buttons = ask(view)
    assert [b.text() for b in buttons] == ["Delete it", "Keep it"]
    QTest.mouseClick(buttons[0], Qt.MouseButton.LeftButton)
    assert "frame-00000002" not in view._document.project.frames
    assert not view._question.isVisible()


def test_another_answer_does_what_it_says(view: CanvasView) -> None:
    project = view._document.project
    QTest.mouseClick(ask(view)[1], Qt.MouseButton.LeftButton)
    assert view._document.project is project


def test_escape_leaves_everything(view: CanvasView) -> None:
    project = view._document.project
    ask(view)
    QTest.keyClick(view._question, Qt.Key.Key_Escape)
    assert not view._question.isVisible()
    assert view._document.project is project


def test_a_second_question_takes_the_place_of_the_first(view: CanvasView) -> None:
    ask(view)
    assert len(ask(view)) == 2
