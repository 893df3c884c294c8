"""The small pieces the panel is put together from."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QLabel,
    QLayout,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.ui import look


def words(text: str = "", role: str = "", parent: QWidget | None = None) -> QLabel:
    """A sentence that wraps."""
    label = QLabel(text, parent)
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Maximum)
    policy.setHeightForWidth(True)
    label.setSizePolicy(policy)
    if role:
        label.setProperty("role", role)
    return label


def heading(text: str, parent: QWidget | None = None) -> QLabel:
    """The heading of a section."""
    label = words(text, "heading", parent)
    label.setContentsMargins(0, look.em(0.5), 0, 0)
    return label


def set_role(label: QWidget, role: str) -> None:
    """Change the role of a label after it was made."""
    if label.property("role") != role:
        label.setProperty("role", role)
        label.style().unpolish(label)
        label.style().polish(label)


def rule(parent: QWidget | None = None) -> QFrame:
    """A hairline."""
    line = QFrame(parent)
    line.setProperty("role", "rule")
    return line


def link(text: str, parent: QWidget | None = None) -> QPushButton:
    """A verb that leads somewhere."""
    button = QPushButton(text, parent)
    button.setProperty("link", True)
    button.setCursor(Qt.CursorShape.PointingHandCursor)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button


def column(parent: QWidget, *, gap: float = 0.35) -> QVBoxLayout:
    """A column without margins."""
    layout = QVBoxLayout(parent)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.em(gap))
    return layout


def clear(layout: QLayout) -> None:
    """Take everything out of a layout."""
    while layout.count():
        item = layout.takeAt(0)
        widget = item.widget() if item is not None else None
        if widget is not None:
            widget.hide()
            widget.deleteLater()
