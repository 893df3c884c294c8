"""The floors as a small section through the building: click a slab to go there."""

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from app.model.project import Project, floors_from_below
from app.ui import icons, look
from app.ui.palette import current


@dataclass(frozen=True, slots=True)
class Storey:
    """One slab: its floor, name and level in words, and the gravest state of its runs."""

    floor_id: str
    name: str
    level: str
    building: str
    state: str = ""


def storeys(project: Project, states: dict[str, str], level_text: object) -> tuple[Storey, ...]:
    """All floors, buildings one after another, each from its top down."""
    found: list[Storey] = []
    for building in project.buildings.values():
        for floor in reversed(floors_from_below(project, building.id)):
            text = level_text(floor.level_mm) if callable(level_text) else ""
            state = states.get(floor.id, "")
            found.append(Storey(floor.id, floor.name, text, building.name, state))
    return tuple(found)


class FloorStack(QWidget):
    """Slabs from top to bottom; the one in view is inked."""

    chosen = Signal(str)
    """The id of the floor that was clicked."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._storeys: tuple[Storey, ...] = ()
        self._floor_id: str | None = None
        self._hovered = -1
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Floors")

    def show_storeys(self, found: tuple[Storey, ...], floor_id: str | None) -> None:
        """Show these floors, one of them in view."""
        if (found, floor_id) == (self._storeys, self._floor_id):
            return
        self._storeys, self._floor_id = found, floor_id
        here = next((s for s in found if s.floor_id == floor_id), None)
        self.setAccessibleDescription(f"In view: {here.name}" if here else "")
        self.updateGeometry()
        self.update()

    def show_floor(self, floor_id: str | None) -> None:
        """Another floor is in view."""
        self.show_storeys(self._storeys, floor_id)

    def step(self, up: int) -> None:
        """Go so many floors up (negative: down)."""
        ids = [s.floor_id for s in self._storeys]
        if self._floor_id in ids:
            target = ids.index(self._floor_id) - up
            if 0 <= target < len(ids):
                self.chosen.emit(ids[target])

    def _several_buildings(self) -> bool:
        return len({s.building for s in self._storeys}) > 1

    def _rows(self) -> list[tuple[Storey | str, QRectF]]:
        rows: list[tuple[Storey | str, QRectF]] = []
        y, high, building = 2.0, float(look.em(1.9)), None
        for storey in self._storeys:
            if self._several_buildings() and storey.building != building:
                rows.append((storey.building, QRectF(0, y, self.width(), look.em(1.6))))
                y += look.em(1.6)
            building = storey.building
            rows.append((storey, QRectF(look.em(0.4), y, self.width() - look.em(0.8), high)))
            y += high
        return rows

    def sizeHint(self) -> QSize:
        rows = self._rows()
        return QSize(look.em(9), round(rows[-1][1].bottom()) + 4 if rows else look.em(2))

    def minimumSizeHint(self) -> QSize:
        return self.sizeHint()

    def _storey_at(self, pos: QPointF) -> int:
        slabs = [r for s, r in self._rows() if isinstance(s, Storey)]
        return next((i for i, rect in enumerate(slabs) if rect.contains(pos)), -1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self._storey_at(event.position())
        if event.button() is Qt.MouseButton.LeftButton and index >= 0:
            self.chosen.emit(self._storeys[index].floor_id)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        index = self._storey_at(event.position())
        if index != self._hovered:
            self._hovered = index
            self.update()
            if index >= 0:
                storey = self._storeys[index]
                text = f"{storey.name}, level {storey.level}"
                QToolTip.showText(event.globalPosition().toPoint(), text, self)

    def leaveEvent(self, event: QEvent) -> None:
        self._hovered = -1
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Up:
            self.step(1)
        elif event.key() == Qt.Key.Key_Down:
            self.step(-1)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        index, below_roof = 0, True
        for row, rect in self._rows():
            if isinstance(row, str):
                painter.setFont(look.small_font())
                painter.setPen(current().color("ink_soft"))
                text = painter.fontMetrics().elidedText(
                    row, Qt.TextElideMode.ElideRight, int(rect.width()) - look.em(1)
                )
                painter.drawText(
                    rect.adjusted(look.em(0.5), 0, 0, 0), Qt.AlignmentFlag.AlignVCenter, text
                )
                below_roof = True
                continue
            self._paint_storey(painter, row, rect, hovered=index == self._hovered)
            if below_roof:
                roof = QRectF(rect.left(), rect.top(), rect.width(), 2)
                painter.fillRect(roof, current().color("edge"))
                below_roof = False
            index += 1
        if self.hasFocus():
            painter.setPen(QPen(current().color("accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3, 3)
        painter.end()

    def _paint_storey(
        self, painter: QPainter, storey: Storey, rect: QRectF, *, hovered: bool
    ) -> None:
        colours = current()
        here = storey.floor_id == self._floor_id
        if here:
            painter.fillRect(rect, colours.color("wash"))
        elif hovered:
            painter.fillRect(rect, colours.color("stripe"))
        walls = QPen(colours.color("accent" if here else "edge"), 1)
        painter.setPen(walls)
        painter.drawLine(rect.topLeft(), rect.bottomLeft())
        painter.drawLine(rect.topRight(), rect.bottomRight())
        slab = QRectF(rect.left(), rect.bottom() - 2, rect.width(), 3 if here else 2)
        painter.fillRect(slab, colours.color("accent" if here else "edge"))
        right = rect.right() - 6
        if storey.state:
            side = look.em(0.95)
            sign = QRectF(right - side, rect.center().y() - side / 2 - 1, side, side)
            icons.paint_state_sign(painter, storey.state, sign)
            right -= side + 4
        font = self.font()
        font.setBold(here)
        painter.setFont(font)
        painter.setPen(colours.color("ink"))
        room = right - rect.left() - 8
        name = painter.fontMetrics().elidedText(storey.name, Qt.TextElideMode.ElideRight, int(room))
        text_rect = QRectF(rect.left() + 8, rect.top(), room, rect.height() - 2)
        painter.drawText(text_rect, Qt.AlignmentFlag.AlignVCenter, name)
        used = painter.fontMetrics().horizontalAdvance(name)
        painter.setFont(look.figures_font(look.small_font()))
        if painter.fontMetrics().horizontalAdvance(storey.level) + used + 12 < room:
            painter.setPen(colours.color("ink_soft"))
            right_aligned = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
            painter.drawText(text_rect, right_aligned, storey.level)
