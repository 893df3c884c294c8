"""The frame of every dialog: a title, what it asks, and verbs on its buttons."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractSpinBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.ui import look
from app.ui.panel.pieces import words

FIELDS = (QLineEdit, QAbstractSpinBox, QComboBox, QAbstractItemView)


class Dialog(QDialog):
    """A column of things between a sentence and the buttons."""

    def __init__(
        self,
        title: str,
        sentence: str,
        parent: QWidget | None,
        *,
        wide: float = 40,
        high: float = 0,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setModal(True)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(look.em(1.2), look.em(1), look.em(1.2), look.em(1))
        self.column.setSpacing(look.em(0.7))
        self.column.addWidget(words(title, "title", self))
        if sentence:
            self.column.addWidget(words(sentence, "soft", self))
        self.buttons = QDialogButtonBox(self)
        self._closing: QPushButton | None = None
        self._wide, self._high = look.em(wide), look.em(high)

    def finish(self, verb: str = "", *, cancel: str = "Cancel") -> QPushButton | None:
        """Put the buttons below everything; the verb's button accepts."""
        leading = None
        if verb:
            leading = self.buttons.addButton(verb, QDialogButtonBox.ButtonRole.AcceptRole)
            leading.setProperty("leading", True)
            leading.setDefault(True)
            leading.style().unpolish(leading)
            leading.style().polish(leading)
            self.buttons.accepted.connect(self.accept)
        role = QDialogButtonBox.ButtonRole.RejectRole
        closing = self._closing = self.buttons.addButton(cancel, role)
        self.buttons.rejected.connect(self.reject)
        if leading is None:
            closing.setDefault(True)
        self.column.addWidget(self.buttons)
        high = self._high or max(
            self.column.totalHeightForWidth(self._wide), self.sizeHint().height()
        )
        screen = self.screen().availableGeometry()
        self.resize(min(self._wide, screen.width()), min(high, screen.height()))
        return leading

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Return in a field enters what is typed there; it does not put the dialog away too."""
        enters = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        closes = self._closing is not None and self._closing.isDefault()
        if enters and closes and isinstance(self.focusWidget(), FIELDS):
            event.accept()
            return
        super().keyPressEvent(event)

    def keep_on_top_of_nothing(self) -> None:
        """A window of its own that does not block the plan."""
        self.setModal(False)
        self.setWindowFlag(Qt.WindowType.Tool, on=True)


def show(dialog: QDialog) -> bool:
    """Show a dialog until it is closed, and let it go; whether it was accepted."""
    accepted = dialog.exec() == QDialog.DialogCode.Accepted
    dialog.deleteLater()
    return accepted
