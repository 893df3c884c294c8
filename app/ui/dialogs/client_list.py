"""A client's list before it is read in: what its columns say, and where every line goes."""

from collections.abc import Callable
from datetime import date
from typing import Any

from msgspec.structs import replace
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QSpinBox,
    QWidget,
)

from app.editor.asking import InputProblem
from app.editor.commands.client_list import ReadIn, likely_list, read_in
from app.editor.commands.likely_rooms import misspelt_rooms
from app.editor.room_lists.account import Account, HowRead, Wrong, account_of, sentences
from app.editor.room_lists.headings import remembered_columns
from app.editor.room_lists.made_out import habits_here, habits_of, make_out
from app.storage.list_rows import ListFile, UnreadableList
from app.ui import look
from app.ui.dialogs.asking import choose, say
from app.ui.dialogs.dialog import Dialog
from app.ui.dialogs.list_columns import ListColumns
from app.ui.habits import list_habits, remember_list_habits
from app.ui.panel.pieces import clear, words
from app.ui.session import Session
from app.ui.words import counted

MOST_SHOWN = 2_000
USES_SHOWN = 3
NEW_LIST = ""
Reader = Callable[[str], ListFile]
"""Reads another sheet of the same file. Raises UnreadableList."""


class ClientListDialog(Dialog):
    """Columns matched over the first rows; below, the account of all lines as it follows."""

    def __init__(
        self,
        read: ListFile,
        session: Session,
        parent: QWidget | None = None,
        *,
        read_sheet: Reader | None = None,
    ) -> None:
        super().__init__(
            "Read the client's list",
            "Say over each column what it is; what is not read stays in the file only. The matches "
            "are remembered for the next revision of this list.",
            parent,
            wide=78,
            high=52,
        )
        self._session = session
        self._read = read
        self._read_sheet = read_sheet
        self.taken: ReadIn | None = None
        self._notes = words("", "soft", self)
        self.column.addLayout(self._heads())
        self.column.addWidget(self._notes)
        self.columns = ListColumns(session.project, self)
        self.columns.matched.connect(self._look)
        self.columns.setMinimumHeight(look.em(13))
        self.column.addWidget(self.columns, 4)
        self._summary = words("", "", self)
        self.column.addWidget(self._summary)
        self._uses = QGridLayout()
        self._uses.setColumnStretch(1, 1)
        self._use_choices: dict[str, QComboBox] = {}
        self._settled: dict[str, str] = {}
        self.column.addLayout(self._uses)
        self.account_list = QListWidget(self)
        self.account_list.setAccessibleName("What is wrong with lines, and what has changed")
        self.account_list.setWordWrap(True)
        self.column.addWidget(self.account_list, 2)
        self._problem = words("", "fail", self)
        self._problem.hide()
        self.column.addWidget(self._problem)
        self._verb = self.finish("Read in")
        self._make_out()

    # --- what it is put together of -------------------------------------------------------

    def _heads(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(look.em(0.6))
        project, read = self._session.project, self._read
        self.sheet = QComboBox(self)
        self.sheet.addItems(list(read.sheets))
        self.sheet.setCurrentText(read.sheet)
        self.sheet.activated.connect(self._other_sheet)
        self.which = QComboBox(self)
        self.which.addItem("a new list", NEW_LIST)
        for entry in project.client_lists.values():
            self.which.addItem(f"a revision of “{entry.name}”", entry.id)
        before = likely_list(project, read.source_name)
        if before is not None:
            self.which.setCurrentIndex(self.which.findData(before.id))
        self.which.activated.connect(self._make_out)
        self.name = QLineEdit(self)
        self.name.setText(read.source_name.rpartition(".")[0] or read.source_name)
        self.name.setMaxLength(200)
        self.headings_in = QSpinBox(self)
        self.headings_in.setRange(0, max(r.line for r in read.rows[:200]))
        self.headings_in.setSpecialValueText("none")
        self.headings_in.setKeyboardTracking(False)
        self.headings_in.valueChanged.connect(lambda line: self._make_out(line=line))
        fields: tuple[tuple[str, QWidget, bool], ...] = (
            ("&Sheet", self.sheet, len(read.sheets) > 1),
            ("It &is", self.which, bool(project.client_lists)),
            ("&Name", self.name, True),
            ("&Headings in line", self.headings_in, True),
        )
        self._labels = {}
        for text, field, shown in fields:
            label = QLabel(text, self)
            label.setBuddy(field)
            self._labels[field] = label
            for widget in (label, field):
                widget.setVisible(shown)
                row.addWidget(widget, 2 if widget is self.name else 0)
        return row

    def _other_sheet(self) -> None:
        if self._read_sheet is None:
            return
        try:
            self._read = self._read_sheet(self.sheet.currentText())
        except UnreadableList as problem:
            say(self, str(problem))
            self.sheet.setCurrentText(self._read.sheet)
            return
        self._make_out()

    # --- what is read -------------------------------------------------------------------

    def _before(self) -> str | None:
        """The list that this is a revision of; None: it is a new one."""
        return self.which.currentData() or None

    def _make_out(self, _index: object = None, *, line: int | None = None) -> None:
        """Headings and columns from nothing: by habit, by the last revision, by their words."""
        project = self._session.project
        known = habits_here(project, list_habits())
        before = self._before()
        if before is not None:
            known |= remembered_columns(project.client_lists[before].columns)
        made = make_out(project, self._read, known, line=line)
        self.headings_in.blockSignals(True)
        self.headings_in.setValue(made.how.heading_line)
        self.headings_in.blockSignals(False)
        self._how = made.how
        self._settled = {}
        self._show_uses(())
        notes = " ".join(self._read.notes)
        self._notes.setText(f"{self._read.source_name}. {notes}".strip())
        self._ask_name(before is None)
        self.columns.show_list(self._read, made)
        self._look()

    def _ask_name(self, asked: bool) -> None:
        self.name.setVisible(asked)
        self._labels[self.name].setVisible(asked)

    def how(self) -> HowRead:
        """How the list is read as it is matched now."""
        columns = self.columns.columns_matched()
        return replace(self._how, columns=columns, uses=dict(self._settled))

    def _look(self) -> None:
        """Account for every line anew, and see what reading in would do."""
        project = self._session.project
        self.account = account_of(project, self._session.rules, self._read, self.how())
        self._summary.setText(" ".join(sentences(self.account)))
        self._ask_uses()
        try:
            self.taken = self._taken()
            self._tell(self.account, self.taken)
            problem = self._unlike(self.taken)
        except InputProblem as refusal:
            self.taken = None
            self.account_list.clear()
            problem = str(refusal)
        self._problem.setText(problem)
        self._problem.setVisible(bool(problem))
        if self._verb is not None:
            self._verb.setEnabled(self.taken is not None)

    def _taken(self) -> ReadIn:
        project, before = self._session.project, self._before()
        name = self.name.text().strip()
        return read_in(
            project,
            self.account,
            name=name if before is None else project.client_lists[before].name,
            source_name=self._read.source_name,
            anew=before,
            today=date.today(),
        )

    def _unlike(self, taken: ReadIn) -> str:
        """A sentence where the list does not match the one that it would take the place of."""
        before = self._before()
        if before is None or not taken.misfit:
            return ""
        name = self._session.project.client_lists[before].name
        return f"This is hardly a revision of “{name}”: {taken.misfit}."

    def _tell(self, account: Account, taken: ReadIn) -> None:
        """What a revision changes first, then what is wrong, line by line."""
        self.account_list.clear()
        news = taken.news
        if self._before() is not None and not news:
            self._add("Nothing has changed since it was read last.", strong=True)
        for called, told in (("New", news.new), ("Gone", news.gone), ("Changed", news.changed)):
            if told:
                self._add(f"{called}: {counted(len(told), 'room')}", strong=True)
                for line in told[:MOST_SHOWN]:
                    self._add(line)
        after = self._session.project.apply(taken.patch)
        troubles = [t.text for wrong in Wrong for t in account.troubled(wrong)]
        troubles += misspelt_rooms(after, taken.client_list)
        if troubles:
            self._add(f"To be looked at: {counted(len(troubles), 'line')}", strong=True)
        for trouble in troubles[:MOST_SHOWN]:
            self._add(trouble)
        self.account_list.setVisible(bool(self.account_list.count()))

    def _add(self, text: str, *, strong: bool = False) -> None:
        item = QListWidgetItem(text)
        if strong:
            font = item.font()
            font.setBold(True)
            item.setFont(font)
        self.account_list.addItem(item)

    # --- uses that are not known ----------------------------------------------------------

    def _ask_uses(self) -> None:
        """One question for each spelling that may mean a use; asked once."""
        asked = {t.said: t.likely for t in self.account.troubled(Wrong.USE) if t.likely}
        if not set(asked) <= set(self._use_choices):
            kept = {text: asked[text] for text in list(asked)[:USES_SHOWN]}
            self._show_uses(kept.items())

    def _show_uses(self, asked: Any) -> None:
        clear(self._uses)
        self._use_choices = {}
        for row, (text, likely) in enumerate(asked):
            choice = QComboBox(self)
            choice.setAccessibleName(f"What the use “{text}” means")
            choice.addItem("leave it as it is written", "")
            for use in likely:
                choice.addItem(f"read it as {use}", use)
            choice.activated.connect(lambda _=0, t=text: self._settle(t))
            label = QLabel(f"The use “{text}”:", self)
            label.setBuddy(choice)
            self._uses.addWidget(label, row, 0)
            self._uses.addWidget(choice, row, 1)
            self._use_choices[text] = choice

    def _settle(self, text: str) -> None:
        use = self._use_choices[text].currentData()
        self._settled.pop(text, None)
        if use:
            self._settled[text] = use
        self._look()

    def use_choice(self, text: str) -> QComboBox:
        """The choice for a spelling of a use."""
        return self._use_choices[text]

    # --- done ---------------------------------------------------------------------------

    def _meant(self, taken: ReadIn) -> bool:
        """Ask where a list would take the place of one that it does not match."""
        unlike = self._unlike(taken)
        if not unlike:
            return True
        chosen = choose(self, unlike, ["Read it as a new list", "Replace the list all the same"])
        if chosen == 0:
            self.which.setCurrentIndex(self.which.findData(NEW_LIST))
            self._ask_name(True)
            self._look()
        return chosen is not None and self.taken is not None

    def accept(self) -> None:
        self._look()  # the name may have been typed since
        if self.taken is None or not self._meant(self.taken):
            return
        remember_list_habits(habits_of(self._session.project, self.account.columns))
        if not self.taken.patch.changes or self._session.commit(self.taken.patch):
            super().accept()


def news_words(taken: ReadIn) -> str:
    """“3 rooms new, 1 gone, 12 changed”; empty where nothing has changed."""
    news = taken.news
    parts = ((len(news.new), "new"), (len(news.gone), "gone"), (len(news.changed), "changed"))
    return ", ".join(f"{count:,} {what}" for count, what in parts if count)
