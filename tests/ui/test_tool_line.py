"""The line above the plan: every value in it can be read in a small window."""

import pytest
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLineEdit,
    QStyle,
    QStyleOptionComboBox,
    QStyleOptionFrame,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.editor.tools.next_drawn import NextDrawn
from app.ui.session import Session
from app.ui.tool_line import ToolLine
from app.ui.tool_options import OPTIONS

LEAST_WIDTH_PX = 840
"""Of the plan in a window of 1280 × 800."""


@pytest.fixture
def line(qtbot: QtBot, dressed: QApplication) -> ToolLine:
    made = ToolLine()
    qtbot.addWidget(made)
    made.resize(LEAST_WIDTH_PX, made.height())
    made.show()
    return made


def room_px(widget: QWidget) -> int:
    """How wide the text of a field may be."""
    if isinstance(widget, QComboBox):
        option = QStyleOptionComboBox()
        widget.initStyleOption(option)
        return (
            widget.style()
            .subControlRect(
                QStyle.ComplexControl.CC_ComboBox,
                option,
                QStyle.SubControl.SC_ComboBoxEditField,
                widget,
            )
            .width()
        )
    assert isinstance(widget, QLineEdit)
    margins = 2 * 2
    inner = widget.style().subElementRect(
        QStyle.SubElement.SE_LineEditContents, _line_option(widget), widget
    )
    return inner.width() - margins


def _line_option(widget: QLineEdit) -> QStyleOptionFrame:
    option = QStyleOptionFrame()
    widget.initStyleOption(option)
    return option


def said_of(widget: QWidget) -> str:
    if isinstance(widget, QComboBox):
        return widget.currentText()
    assert isinstance(widget, QLineEdit)
    return widget.text() or widget.placeholderText()


@pytest.mark.parametrize("tool", sorted(OPTIONS))
def test_no_value_is_cut_off_in_a_small_window(line: ToolLine, session: Session, tool: str) -> None:
    line.show_tool(tool, NextDrawn(), session.project)
    QApplication.processEvents()
    fields = [w for w in line.findChildren(QComboBox) if w.isVisible()]
    texts = [w for w in line.findChildren(QLineEdit) if w.isVisible()]
    boxes = [w for w in line.findChildren(QCheckBox) if w.isVisible()]
    assert fields or texts
    for widget in (*fields, *texts):
        wanted = widget.fontMetrics().horizontalAdvance(said_of(widget))
        assert wanted <= room_px(widget), f"{tool}: {said_of(widget)}"
    for box in boxes:
        assert box.width() >= box.sizeHint().width(), f"{tool}: {box.text()}"
    last = max(w.mapTo(line, w.rect().topRight()).x() for w in (*fields, *texts, *boxes))
    assert last < line.snap.x() or not line.snap.isVisible()


def test_square_is_offered_only_where_lines_are_drawn(line: ToolLine, session: Session) -> None:
    offered = {}
    for tool in ("pathway", "riser", "fill"):
        line.show_tool(tool, NextDrawn(), session.project)
        offered[tool] = (line.square.isVisible(), line.snap.isVisible())
    assert offered == {"pathway": (True, True), "riser": (False, True), "fill": (False, False)}
