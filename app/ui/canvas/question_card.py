"""A question on the canvas that only the user can answer; it waits, and blocks nothing else."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from app.editor.asking import Answer, Question
from app.ui import look, palette


class QuestionCard(QFrame):
    """Shows one question with a button for each answer."""

    answered = Signal(object)
    """The Answer that was chosen."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._canvas = parent
        self.setObjectName("question")
        self.setAutoFillBackground(True)
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._buttons = QHBoxLayout()
        self._made: list[QPushButton] = []
        column = QVBoxLayout(self)
        column.addWidget(self._text)
        column.addLayout(self._buttons)
        self.hide()

    def ask(self, question: Question) -> None:
        """Show a question in place of the last one."""
        self._clear()
        self._text.setText(question.text)
        for number, answer in enumerate(question.answers):
            button = QPushButton(answer.label, self)
            button.setDefault(number == 0)
            button.clicked.connect(lambda _=False, a=answer: self._choose(a))
            self._buttons.addWidget(button)
            self._made.append(button)
        self._dress()
        self.setFixedWidth(min(look.em(34), max(240, self._canvas.width() - 60)))
        self.adjustSize()
        self.move((self._canvas.width() - self.width()) // 2, look.em(4))
        self.show()
        self.raise_()
        self._made[0].setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.dismiss()
        else:
            super().keyPressEvent(event)

    def dismiss(self) -> None:
        """Close without answering: nothing changes."""
        self.hide()
        self._canvas.setFocus()

    def _choose(self, answer: Answer) -> None:
        self.dismiss()
        self.answered.emit(answer)

    def _clear(self) -> None:
        for button in self._made:
            self._buttons.removeWidget(button)
            button.deleteLater()
        self._made.clear()

    def _dress(self) -> None:
        p = palette.current()
        self.setStyleSheet(
            f"QFrame#question {{ background: {p.field}; border: 1px solid {p.edge}; }}"
            f"QFrame#question QLabel {{ color: {p.ink}; }}"
        )
