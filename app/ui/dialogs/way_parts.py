"""What every way down is made of and who provides it: a page of the settings."""

from PySide6.QtWidgets import QCheckBox, QGridLayout, QPushButton, QWidget

from app.editor.commands.way_parts import (
    rule_of,
    set_way_part,
    way_part_as_usual,
    ways_as_usual,
)
from app.model.settings import WAYS, WayRule
from app.model.vocabulary import ProvidedBy, WayDown, WayPart
from app.model.ways_down import PARTS_OF_WAY
from app.ui import look
from app.ui.fields.editors import ChoiceEditor
from app.ui.panel.pieces import column, heading, link, words
from app.ui.panel.way_view import PARTS
from app.ui.session import Session
from app.ui.words import word

AS_OUTLET = "by whoever provides the outlet"
LEFT_OUT = "left out"
SENTENCE = (
    "The takeoff counts each part with a tick, by the provider named here unless the outlet or "
    "its kind names another."
)


class WayParts(QWidget):
    """A tick and a provider for each part of each way down; every change is one edit."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._rows: dict[tuple[WayDown, WayPart], _Row] = {}
        layout = column(self, gap=0.3)
        layout.addWidget(heading("Their parts", self))
        cited = session.rules.table("ways.parts").citation
        layout.addWidget(words(f"{SENTENCE} Usual: {cited.text}.", "soft", self))
        grid = QGridLayout()
        grid.setVerticalSpacing(look.em(0.15))
        grid.setHorizontalSpacing(look.em(1))
        grid.setColumnStretch(2, 1)
        for way, parts in PARTS_OF_WAY.items():
            title = words(word(way)[0].upper() + word(way)[1:], "soft", self)
            title.setContentsMargins(0, look.em(0.4), 0, 0)
            grid.addWidget(title, grid.rowCount(), 0, 1, 4)
            for part in parts:
                self._rows[way, part] = _Row(session, way, part, self)
                self._rows[way, part].stand_in(grid, grid.rowCount())
        layout.addLayout(grid)
        self.usual = link("All as usual", self)
        self.usual.clicked.connect(lambda: session.do(lambda: ways_as_usual(session.project)))
        layout.addWidget(self.usual)
        self.refresh()

    def row(self, way: WayDown, part: WayPart) -> "_Row":
        """The row of one part."""
        return self._rows[way, part]

    def refresh(self) -> None:
        """Show what the settings say."""
        rules = self._session.project.settings.ways
        for (way, part), row in self._rows.items():
            row.show_rule(rule_of(rules, way, part))
        self.usual.setEnabled(rules != WAYS)


class _Row:
    """The widgets of one part."""

    def __init__(self, session: Session, way: WayDown, part: WayPart, parent: QWidget) -> None:
        self._session, self._way, self._part = session, way, part
        name = PARTS[part]
        self.belongs = QCheckBox(name[0].upper() + name[1:], parent)
        self.by = ChoiceEditor([(None, AS_OUTLET), *((by, word(by)) for by in ProvidedBy)], parent)
        self.by.combo.setAccessibleName(f"Who provides the {name}, {word(way)}")
        self.by.setFixedWidth(look.em(16))
        self._usual = rule_of(WAYS, way, part)
        self.told = words(f"usual: {_told(self._usual)}", "soft", parent)
        self.back: QPushButton = link("Default", parent)
        self.back.setToolTip("Take the default again")
        self.belongs.clicked.connect(self._ticked)
        self.by.edited.connect(self._chosen)
        self.back.clicked.connect(self._take_default)

    def stand_in(self, grid: QGridLayout, row: int) -> None:
        """Take a row of the grid."""
        for place, widget in enumerate((self.belongs, self.by, self.told, self.back)):
            grid.addWidget(widget, row, place)

    def show_rule(self, rule: WayRule | None) -> None:
        """Show a rule, None: left out."""
        self.belongs.setChecked(rule is not None)
        self.by.setEnabled(rule is not None)
        self.by.show_value(None if rule is None else rule.provided_by)
        self.back.setEnabled(rule != self._usual)

    def _ticked(self, belongs: bool) -> None:
        usual = self._usual or WayRule(way=self._way, part=self._part)
        self._put(usual if belongs else None)

    def _chosen(self, by: ProvidedBy | None) -> None:
        self._put(WayRule(way=self._way, part=self._part, provided_by=by))

    def _put(self, rule: WayRule | None) -> None:
        session, way, part = self._session, self._way, self._part
        session.do(lambda: set_way_part(session.project, way, part, rule))

    def _take_default(self) -> None:
        session, way, part = self._session, self._way, self._part
        session.do(lambda: way_part_as_usual(session.project, way, part))


def _told(rule: WayRule | None) -> str:
    if rule is None:
        return LEFT_OUT
    return "as the outlet" if rule.provided_by is None else word(rule.provided_by)
