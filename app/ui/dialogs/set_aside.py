"""Edits that could not be put back by themselves, kept aside, to be looked at and opened."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import Qt, QUrl, Signal
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.storage.recovery import FoundJournal
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import words
from app.ui.words import counted

JOURNAL = Qt.ItemDataRole.UserRole
LABELS_SHOWN = 5


def title_of(journal: FoundJournal) -> str:
    """“terminal.drawcord, 12 edits, 2026-11-25 10:12”."""
    path = journal.content.path
    name = "A project without a file" if path is None else Path(path).name
    when = journal.when[:16].replace("T", " ")
    return f"{name}, {counted(len(journal.content.entries), 'edit')}, {when}"


def said_of(journal: FoundJournal) -> str:
    """Why it was set aside, and its last edits."""
    labels = [f"“{e.patch.label}”" for e in journal.content.entries[-LABELS_SHOWN:]]
    last = f"The last edits: {', '.join(labels)}." if labels else ""
    return " ".join(part for part in (journal.reason, last) if part)


class SetAsideDialog(Dialog):
    """What was set aside, the newest first."""

    open_asked = Signal(object)
    """The `FoundJournal` to be opened as a project."""
    away_asked = Signal(object)
    """The `FoundJournal` that is not to be offered again."""

    def __init__(self, journals: Sequence[FoundJournal], parent: QWidget | None = None) -> None:
        super().__init__(
            "Edits set aside",
            "Edits that did not fit the file they belonged to are kept here until you "
            "say that they need not be offered.",
            parent,
            wide=46,
            high=30,
        )
        self.journals = QListWidget(self)
        self.journals.setAccessibleName("Edits set aside")
        for journal in journals:
            item = QListWidgetItem(title_of(journal))
            item.setData(JOURNAL, journal)
            self.journals.addItem(item)
        self.said = words("", "", self)
        self.column.addWidget(self.journals, 1)
        self.column.addWidget(self.said)
        role = self.buttons.ButtonRole.ActionRole
        self.open_button = self.buttons.addButton("Open as a project", role)
        self.open_button.clicked.connect(self._open)
        self.away_button = self.buttons.addButton("Offer it no more", role)
        self.away_button.clicked.connect(self._put_away)
        folder = self.buttons.addButton("Show the folder", role)
        folder.clicked.connect(self._show_folder)
        self.journals.currentItemChanged.connect(lambda *_: self._tell())
        self.finish(cancel="Close")
        self.journals.setCurrentRow(0)

    def chosen(self) -> FoundJournal | None:
        """The journal that is looked at."""
        item = self.journals.currentItem()
        journal = None if item is None else item.data(JOURNAL)
        return journal if isinstance(journal, FoundJournal) else None

    def _tell(self) -> None:
        journal = self.chosen()
        self.said.setText("" if journal is None else said_of(journal))
        self.open_button.setEnabled(journal is not None)
        self.away_button.setEnabled(journal is not None)

    def _open(self) -> None:
        journal = self.chosen()
        if journal is not None:
            self.accept()
            self.open_asked.emit(journal)

    def _put_away(self) -> None:
        journal = self.chosen()
        if journal is not None:
            self.away_asked.emit(journal)
            self.journals.takeItem(self.journals.currentRow())
            self._tell()

    def _show_folder(self) -> None:
        journal = self.chosen()
        if journal is not None:
            QDesktopServices.openUrl(QUrl.fromLocalFile(str(journal.folder)))
