"""The way down of an outlet in the panel: what its drop is, what it is made of, and by whom."""

from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from app.design.design import Design
from app.design.ways_down import OutletWay, way_down_of
from app.editor.document import Preview
from app.model.entities import Outlet
from app.model.vocabulary import Units, WayDown, WayPart
from app.ui import look
from app.ui.canvas.signs import paint_way_sign
from app.ui.lengths import length
from app.ui.palette import current
from app.ui.panel.pieces import column, heading, words
from app.ui.pictures.way_section import WaySection
from app.ui.words import word

PARTS = {
    WayPart.BACK_BOX: "back box",
    WayPart.STUB: "stub",
    WayPart.RACEWAY: "raceway",
    WayPart.MOUNTING_BOX: "surface box behind the plate",
    WayPart.POLE: "service pole",
    WayPart.FLOOR_BOX: "floor box",
    WayPart.POKE_THROUGH_FITTING: "poke-through fitting",
    WayPart.CORED_HOLE: "cored hole",
    WayPart.CONDUIT: "conduit",
}
GANGS = {1: "single gang ", 2: "double gang "}


class _OwnWay(QWidget):
    """The sign that an outlet has on the plan where its way down is not that of its kind."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._way = ""
        self.said = words("", "soft", self)
        row = QHBoxLayout(self)
        row.setContentsMargins(look.em(2), 0, 0, 0)
        row.addWidget(self.said)
        self.hide()

    def show_ways(self, own: WayDown, of_kind: WayDown) -> None:
        """Show the sign and what the kind has, where the two differ."""
        self._way = own.value
        self.said.setText(
            f"Its kind: {word(of_kind)}. Close up, the plan shows this sign beside it."
        )
        self.setVisible(own is not of_kind)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(look.em(0.8), look.em(0.8))
        paint_way_sign(painter, palette=current(), way=self._way, side_px=look.em(2.4))
        painter.end()


class WayView(QWidget):
    """Sentences that follow every edit of the outlet."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = column(self, gap=0.2)
        layout.addWidget(heading("Way down", self))
        self._said = words("", "", self)
        layout.addWidget(self._said)
        self.section = WaySection(self)
        layout.addWidget(self.section)
        self.own = _OwnWay(self)
        layout.addWidget(self.own)

    @property
    def said(self) -> str:
        """What is shown."""
        return self._said.text()

    def show_as(self, outlet: Outlet, design: Design | None, preview: Preview | None) -> None:
        """Show it as letting go would make it while it is dragged, else as it is."""
        moved = None if preview is None else preview.project.outlets.get(outlet.id)
        if preview is None or moved is None:
            self.show_outlet(outlet, design)
        else:
            self.show_outlet(moved, preview.design)

    def show_outlet(self, outlet: Outlet, design: Design | None) -> None:
        """Show the way down of an outlet of the design."""
        self.setVisible(design is not None and outlet.id in design.project.outlets)
        if design is not None and outlet.id in design.project.outlets:
            way, units = way_down_of(design, outlet), design.project.settings.units
            self._said.setText(told(way, units))
            self.section.show_way(way, units)
            self.own.show_ways(way.way, design.project.outlet_kinds[outlet.kind].way_down)


def told(way: OutletWay, units: Units) -> str:
    """`Drop in the wall cavity 2.55 m. Single gang back box by others; …`."""
    upright = ", ".join(f"{name} {length(mm, units, places=2)}" for name, mm in way.upright)
    said = [upright or f"{word(way.way)}; no route"]
    parts = []
    for piece in way.pieces:
        name = GANGS.get(piece.gangs, "") + PARTS[piece.part]
        name += "" if piece.conduit is None else f" Ø {piece.conduit}"
        name += f" {length(piece.length_mm, units, places=2)}" if piece.length_mm else ""
        parts.append(f"{name} {word(piece.provided_by)}")
    if parts:
        said.append("; ".join(parts))
    if way.in_conduit and way.leg_mm:
        size = "" if way.conduit is None else f" Ø {way.conduit}"
        said.append(f"leg of {length(way.leg_mm, units)} in conduit{size} above the hard ceiling")
    return ". ".join(s[0].upper() + s[1:] for s in said) + "."
