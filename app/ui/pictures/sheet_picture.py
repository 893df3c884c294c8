"""A page of paper as a picture: drawn from the same primitives as the PDF."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPixmap, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.exports.pdf_file import grey_of
from app.sheets.page import Page
from app.ui import look
from app.ui.canvas.primitive_painter import draw_primitives
from app.ui.palette import current

_EDGE = 6


class SheetPicture(QWidget):
    """Shows one page as large as fits; paper is white whatever the scheme."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._page: Page | None = None
        self._picture: QPixmap | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(look.em(20), look.em(16))

    @property
    def page(self) -> Page | None:
        return self._page

    def show_page(self, page: Page | None) -> None:
        """Show a page, or nothing."""
        self._page, self._picture = page, None
        self.setAccessibleName("" if page is None else f"Preview: {page.group}, {page.title}")
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(look.em(46), look.em(33))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._picture = None
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        try:
            page = self._page
            if page is None:
                return
            box = self._box(page)
            if self._picture is None:
                self._picture = self._drawn(page, box)
            painter.drawPixmap(box.topLeft(), self._picture)
            painter.setPen(QColor(current().edge))
            painter.drawRect(box)
        finally:
            painter.end()

    def _box(self, page: Page) -> QRectF:
        """Where the page lies, in whole pixels so that lines stay sharp."""
        scale = min(
            (self.width() - 2 * _EDGE) / page.width_mm, (self.height() - 2 * _EDGE) / page.height_mm
        )
        wide, tall = round(page.width_mm * scale), round(page.height_mm * scale)
        left, top = (self.width() - wide) // 2, (self.height() - tall) // 2
        return QRectF(left, top, max(1, wide), max(1, tall))

    def _drawn(self, page: Page, box: QRectF) -> QPixmap:
        ratio = self.devicePixelRatioF()
        picture = QPixmap((box.size() * ratio).toSize())
        picture.setDevicePixelRatio(ratio)
        picture.fill(Qt.GlobalColor.white)
        painter = QPainter(picture)
        try:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            scale = box.width() / page.width_mm
            painter.translate(QPointF(0, box.height()))
            painter.scale(scale, -scale)
            # A line narrower than a pixel is drawn as one, paler by its role alone.
            draw_primitives(painter, page.primitives, inks=_ink, least_pen=0.7 / scale)
        finally:
            painter.end()
        return picture


def _ink(role: str) -> QColor:
    grey = grey_of(role)
    return QColor.fromRgbF(grey, grey, grey)
