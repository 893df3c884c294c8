"""What the panel says of a room against the client's list, and of a line without a room."""

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QWidget

from app.editor.commands.client_list import set_room
from app.editor.commands.likely_rooms import likely_rooms
from app.editor.commands.placing_from_list import room_name
from app.model.entities import RoomLine, Space
from app.model.project import Project
from app.model.rooms import Match, left_of, lines_of, rooms_of_lines
from app.sheets.spaces_table import counts_in_words, why_no_room
from app.ui import look
from app.ui.panel.pieces import clear, column, heading, link, set_role, words
from app.ui.session import Session
from app.ui.words import floor_phrase

LINK_EM = 17


class LeftView(QWidget):
    """“3 left in 0.07: 2 Desk, 1 Camera”, and the two ways to place them."""

    place_asked = Signal()
    spread_asked = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        box = column(self)
        box.addWidget(heading("By the list", self))
        self.left = words("", "", self)
        self._said = words("", "soft", self)
        self.one_by_one = link("Place them one by one", self)
        self.one_by_one.clicked.connect(self.place_asked)
        self.all_at_once = link("Spread what is left", self)
        self.all_at_once.clicked.connect(self.spread_asked)
        for widget in (self.left, self._said, self.one_by_one, self.all_at_once):
            box.addWidget(widget)

    def show_space(self, space: Space) -> None:
        """Say what is left in a room, and which lines say so."""
        project, design = self._session.project, self._session.design
        asked = {} if design is None else design.required.get(space.id, {})
        placed = {} if design is None else design.placed.get(space.id, {})
        left = left_of(asked, placed)
        lines = lines_of(project, space.id)
        self.setVisible(bool(asked) or bool(project.room_lines))
        self.left.setText(_left_words(project, space, asked, left))
        set_role(self.left, "warn" if left else "")
        self._said.setText(self._lines_said(project, lines))
        self.one_by_one.setVisible(bool(left))
        self.all_at_once.setVisible(bool(left))

    def _lines_said(self, project: Project, lines: list[RoomLine]) -> str:
        if not project.room_lines:
            return ""
        if not lines:
            return "No line of the client's list has this room."
        rooms = rooms_of_lines(project)
        told = []
        for line in lines:
            by_hand = ", set by hand" if rooms[line.id].match is Match.HAND else ""
            area = "" if line.area_m2 is None else f", {line.area_m2:g} m²"
            name = f" {line.name}" if line.name else ""
            note = f" {line.note}" if line.note else ""
            told.append(f"Line {line.line}: {line.number}{name}{area}{by_hand}.{note}")
        return " ".join(told)


def _left_words(project: Project, space: Space, asked: Any, left: Any) -> str:
    name = room_name(space)
    if not asked:
        return f"Nothing is asked for in {name}."
    if not left:
        return f"{name} has all that is asked for."
    return f"{sum(left.values())} left in {name}: {counts_in_words(project, left)}."


class LineView(QWidget):
    """A line of a client's list: why it has no room, and the rooms that it may be."""

    room_asked = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._line: RoomLine | None = None
        self._shown: tuple[object, ...] = ()
        box = column(self)
        self.why = words("", "", self)
        self._asked = words("", "soft", self)
        self._likely_heading = heading("It may be", self)
        self._likely_holder = QWidget(self)
        self._likely = column(self._likely_holder)
        self._choose_heading = heading("This line is that room", self)
        self.choice = QComboBox(self)
        self.choice.setAccessibleName("The room of this line")
        self.choice.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.choice.setMinimumContentsLength(10)
        self.choice.activated.connect(lambda _: self._set(self.choice.currentData()))
        for widget in (
            self.why,
            self._asked,
            self._likely_heading,
            self._likely_holder,
            self._choose_heading,
            self.choice,
        ):
            box.addWidget(widget)

    def likely_links(self) -> list[QPushButton]:
        """The links to the rooms that the line may be, the likeliest first."""
        items = [self._likely.itemAt(i) for i in range(self._likely.count())]
        widgets = [item.widget() for item in items if item is not None]
        return [w for w in widgets if isinstance(w, QPushButton)]

    def show_line(self, line: RoomLine) -> None:
        """Show a line, its match, and what it may be."""
        project = self._session.project
        self._line = line
        shown = (line, project.spaces, project.room_lines)
        if len(self._shown) == len(shown) and all(
            a is b for a, b in zip(self._shown, shown, strict=True)
        ):
            return
        self._shown = shown
        room = rooms_of_lines(project)[line.id]
        self.why.setText(f"{_capital(self._match_words(project, line))}.")
        set_role(self.why, "" if room.space else "warn")
        asked = counts_in_words(project, {r.kind: r.count for r in line.required})
        area = "" if line.area_m2 is None else f"{line.area_m2:g} m². "
        use = f"{line.use}. " if line.use else ""
        self._asked.setText(f"{use}{area}Asks for: {asked or 'nothing'}. {line.note}".strip())
        self._show_likely(project, line)
        self._show_choice(project, line)

    def _match_words(self, project: Project, line: RoomLine) -> str:
        room = rooms_of_lines(project)[line.id]
        if room.space is None:
            return why_no_room(project, room)
        space = project.spaces[room.space]
        how = "set by hand" if room.match is Match.HAND else "by its number"
        return f"it is {room_name(space)} {space.name}, {how}"

    def _show_likely(self, project: Project, line: RoomLine) -> None:
        clear(self._likely)
        likely = [] if line.space is not None else likely_rooms(project, line.id)
        for found in likely:
            space = project.spaces[found.space]
            floor = floor_phrase(project.floors[space.floor].name)
            offer = link("", self._likely_holder)
            offer.setText(_cut(_space_words(space), offer))
            offer.setToolTip(_space_words(space))
            offer.clicked.connect(lambda _=False, s=found.space: self._set(s))
            self._likely.addWidget(offer)
            self._likely.addWidget(words(f"{found.why}, {floor}", "soft", self._likely_holder))
        self._likely_heading.setVisible(bool(likely))

    def _show_choice(self, project: Project, line: RoomLine) -> None:
        self.choice.clear()
        self.choice.addItem("as its number says", None)
        for space in sorted(project.spaces.values(), key=lambda s: (s.number == "", s.number)):
            self.choice.addItem(_space_words(space), space.id)
        self.choice.setCurrentIndex(max(0, self.choice.findData(line.space)))

    def _set(self, space_id: str | None) -> None:
        session, line = self._session, self._line
        if line is not None and session.project.room_lines[line.id].space != space_id:
            session.do(lambda: set_room(session.project, [line.id], space_id))


def _space_words(space: Space) -> str:
    return f"{space.number} {space.name}".strip() or "a room without number or name"


def _cut(text: str, button: QPushButton) -> str:
    """The text as far as the panel is wide."""
    metrics = button.fontMetrics()
    return metrics.elidedText(text, Qt.TextElideMode.ElideRight, look.em(LINK_EM))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
