"""What the panel adds for a penetration: what passes it, and what is to be minded."""

from typing import Any

from PySide6.QtWidgets import QWidget

from app.checks.cautions import CAUTIONS
from app.model.entities import Penetration
from app.model.project import Project
from app.routing.results import Fill
from app.sheets.penetrations_table import rooms_joined, spaces_by_floor
from app.ui.panel.pieces import column, heading, set_role, words
from app.ui.words import counted, name_of

OUTSIDE = "outside every room"
MINDED = ("fire_barriers", "coring", "asbestos")


class PenetrationView(QWidget):
    """Rooms on either side, cables and fill, and the usual cautions."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        box = column(self)
        self._rooms = words("", "soft", self)
        self._said = words("", "", self)
        minded = words(" ".join(c.text for c in CAUTIONS if c.key in MINDED), "soft", self)
        for widget in (heading("What passes it", self), self._rooms, self._said, minded):
            box.addWidget(widget)

    def show_fill(self, penetration: Penetration, project: Project, design: Any) -> None:
        """Tell what passes."""
        one, other = rooms_joined(project, penetration, spaces_by_floor(project))
        through = "" if penetration.through is None else name_of(project, penetration.through)
        way = f"{through}, from " if through else "Nothing drawn; from "
        self._rooms.setText(f"{way}{one or OUTSIDE} to {other or OUTSIDE}.")
        fill = None if design is None else design.passing.get(penetration.id)
        self._said.setVisible(fill is not None)
        if fill is not None:
            by_hand = penetration.cables_by_hand is not None
            self._said.setText(passing_sentence(fill, by_hand=by_hand))
            over = fill.places_left is not None and fill.places_left < 0 < fill.cables
            set_role(self._said, "warn" if over else "")


def passing_sentence(fill: Fill, *, by_hand: bool) -> str:
    """“97 cables: 89 % full, over the 40 % it may take.”"""
    told = f"{counted(fill.cables, 'cable')}{' counted by hand' if by_hand else ''}"
    if fill.ratio is None:
        return f"{told}; its size is not known."
    if fill.places_left is not None and fill.places_left < 0 < fill.cables:
        many = counted(-fill.places_left, "cable")
        return f"{told}: {fill.ratio:.0%} full, {many} over what {fill.limit_ratio:.0%} takes."
    room = "" if fill.places_left is None else f"; room for {fill.places_left:,} more"
    return f"{told}: {fill.ratio:.0%} full, {fill.limit_ratio:.0%} is full{room}."
