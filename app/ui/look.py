"""Style, type and measure: everything of the look that is not a colour.

Sizes follow the text: `em(1)` is the height of the base text in pixels, so that nothing is
clipped when the text grows.
"""

from pathlib import Path

from PySide6.QtCore import QPointF, QSettings, Qt, QTemporaryDir
from PySide6.QtGui import QFont, QFontDatabase, QGuiApplication, QPainter, QPen, QPixmap
from PySide6.QtWidgets import QApplication, QStyleFactory

from app.resource_files import resource_names, resource_path
from app.ui import palette
from app.ui.palette import Palette, Scheme

TEXT_SCALES = (0.85, 1.0, 1.15, 1.3, 1.5)
_HEIGHT_FOR_LARGER_PX = 1_150
_BASE_PX = 13
_LARGER_PX = 16

_base_px = _BASE_PX
_marks_folder = QTemporaryDir()


def em(count: float = 1.0) -> int:
    """Pixels for a length given in heights of the base text."""
    return round(count * _base_px)


def base_px(screen_height: int, scale: float = 1.0) -> int:
    """Height of the base text on a screen of so many (device independent) pixels."""
    base = _LARGER_PX if screen_height >= _HEIGHT_FOR_LARGER_PX else _BASE_PX
    return max(10, round(base * scale))


def family() -> str:
    """The open font that travels with the program, else the desktop's own."""
    for name in _font_files():
        QFontDatabase.addApplicationFont(str(resource_path(f"fonts/{name}")))
    known = QFontDatabase.families()
    carried = [f for f in _carried_families() if f in known]
    return carried[0] if carried else QGuiApplication.font().family()


def _font_files() -> tuple[str, ...]:
    try:
        names = resource_names("fonts")
    except FileNotFoundError:
        return ()
    return tuple(n for n in names if n.lower().endswith((".ttf", ".otf")))


def _carried_families() -> list[str]:
    """Families of the carried files; upright text faces first, condensed and mono last."""
    found: list[str] = []
    for name in _font_files():
        number = QFontDatabase.addApplicationFont(str(resource_path(f"fonts/{name}")))
        found += [f for f in QFontDatabase.applicationFontFamilies(number) if f not in found]
    return sorted(found, key=lambda f: ("Mono" in f, "Condensed" in f, len(f)))


def figures_font(base: QFont | None = None) -> QFont:
    """The text font with figures of equal width, so that digits line up."""
    font = QFont(QGuiApplication.font() if base is None else base)
    font.setFeature(QFont.Tag("tnum"), 1)
    return font


def title_font(size: float = 1.5, *, bold: bool = True) -> QFont:
    """A larger face for headings."""
    font = QFont(QGuiApplication.font())
    font.setPixelSize(em(size))
    font.setWeight(QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    return font


def small_font() -> QFont:
    """For captions under pictures; never below 11 pixels."""
    font = QFont(QGuiApplication.font())
    font.setPixelSize(max(11, em(0.9)))
    return font


def stored_scheme() -> Scheme:
    """Light, dark or as the desktop; as the user left it."""
    value = QSettings().value("look/scheme", "system")
    return value if value in ("light", "dark") else "system"


def step_scale(steps: int) -> None:
    """Keep the text scale that is so many steps larger."""
    nearest = min(range(len(TEXT_SCALES)), key=lambda i: abs(TEXT_SCALES[i] - stored_scale()))
    scale = TEXT_SCALES[max(0, min(len(TEXT_SCALES) - 1, nearest + steps))]
    QSettings().setValue("look/text_scale", scale)


def stored_scale() -> float:
    """The user's text scale."""
    try:
        return float(str(QSettings().value("look/text_scale", 1.0)))
    except ValueError:
        return 1.0


def dress(app: QApplication, *, scheme: Scheme, scale: float, screen_height: int) -> None:
    """Give the whole application its style, font, palette and style sheet."""
    global _base_px
    _base_px = base_px(screen_height, scale)
    app.setStyle(QStyleFactory.create("Fusion"))
    font = QFont(family())
    font.setPixelSize(_base_px)
    app.setFont(font)
    chosen = palette.named(scheme)
    palette.use(chosen)
    app.setStyleSheet(style_sheet(chosen))


def _marks(p: Palette) -> str:
    """A folder with the small marks that a style sheet can only take from files."""
    folder = Path(_marks_folder.path()) / p.name
    folder.mkdir(exist_ok=True)
    for name, role, strokes in (
        ("chevron", "ink_soft", (4, 9, 12, 17, 20, 9)),
        ("chevron-up", "ink_soft", (4, 15, 12, 7, 20, 15)),
        ("check", "on_accent", (5, 12, 10, 18, 19, 6)),
        ("partly", "ink_soft", (6, 12, 18, 12)),
    ):
        pixmap = QPixmap(48, 48)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(2, 2)
        painter.setPen(QPen(p.color(role), 3))
        points = [QPointF(x, y) for x, y in zip(strokes[::2], strokes[1::2], strict=True)]
        painter.drawPolyline(points)
        painter.end()
        pixmap.save(str(folder / f"{name}.png"))
    return folder.as_posix()


def style_sheet(p: Palette) -> str:
    """The style sheet: borders, paddings and the few states Qt's own style shows too loudly."""
    pad, gap, corner = em(0.45), em(0.3), em(0.25)
    marks = _marks(p)
    return f"""
    QToolTip {{ background: {p.field}; color: {p.ink}; border: 1px solid {p.edge};
        padding: {gap}px; }}
    QMenuBar {{ background: {p.ground}; padding: 1px; }}
    QMenuBar::item {{ padding: {gap}px {pad}px; border-radius: {corner}px; }}
    QMenuBar::item:selected {{ background: {p.wash}; color: {p.ink}; }}
    QMenu {{ background: {p.field}; border: 1px solid {p.edge}; padding: {gap}px; }}
    QMenu::item {{ padding: {gap}px {em(1.6)}px {gap}px {em(1.4)}px; border-radius: {corner}px; }}
    QMenu::item:selected {{ background: {p.wash}; color: {p.ink}; }}
    QMenu::item:disabled {{ color: {p.ink_faint}; }}
    QMenu::separator {{ height: 1px; background: {p.line}; margin: {gap}px; }}

    QPushButton {{ background: {p.field}; border: 1px solid {p.edge};
        border-radius: {corner}px; padding: {gap}px {em(0.9)}px; min-height: {em(1.25)}px; }}
    QPushButton:hover {{ background: {p.stripe}; border-color: {p.ink_soft}; }}
    QPushButton:pressed {{ background: {p.wash}; }}
    QPushButton:default {{ border: 2px solid {p.accent}; }}
    QPushButton:focus {{ border: 2px solid {p.accent}; }}
    QPushButton:disabled {{ color: {p.ink_faint}; border-color: {p.line}; }}
    QPushButton[leading="true"] {{ background: {p.accent}; color: {p.on_accent};
        border: 1px solid {p.accent}; font-weight: 600; }}
    QPushButton[leading="true"]:focus {{ border: 2px solid {p.ink}; }}
    QPushButton[leading="true"]:disabled {{ background: {p.ground}; color: {p.ink_faint};
        border-color: {p.line}; }}
    QPushButton[door="true"] {{ min-height: {em(4.2)}px; text-align: left; }}
    QPushButton[link="true"] {{ background: transparent; border: 1px solid transparent;
        color: {p.accent_text}; text-align: left; padding: 1px 2px; min-height: 0; }}
    QPushButton[link="true"]:hover {{ text-decoration: underline; }}
    QPushButton[link="true"]:focus {{ border: 1px solid {p.accent}; }}
    QPushButton[link="true"]:disabled {{ color: {p.ink_faint}; }}

    QToolButton {{ background: transparent; border: 1px solid transparent;
        border-radius: {corner}px; padding: {gap}px {pad}px; }}
    QToolButton:hover {{ background: {p.stripe}; border-color: {p.line}; }}
    QToolButton:pressed {{ background: {p.wash}; }}
    QToolButton:focus {{ border: 2px solid {p.accent}; }}
    QToolButton:checked {{ background: {p.wash}; border-color: {p.accent}; }}
    QToolButton:disabled {{ color: {p.ink_faint}; }}

    QLineEdit, QPlainTextEdit, QTextEdit, QSpinBox, QDoubleSpinBox, QComboBox {{
        background: {p.field}; border: 1px solid {p.edge}; border-radius: {corner}px;
        padding: {em(0.15)}px {em(0.35)}px; min-height: {em(1.3)}px;
        selection-background-color: {p.accent}; selection-color: {p.on_accent}; }}
    QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QSpinBox:focus,
    QDoubleSpinBox:focus, QComboBox:focus {{ border: 2px solid {p.accent};
        padding: {em(0.15) - 1}px {em(0.35) - 1}px; }}
    QLineEdit:disabled, QComboBox:disabled {{ color: {p.ink_faint}; border-color: {p.line};
        background: {p.ground}; }}
    QLineEdit[wrong="true"] {{ border: 2px solid {p.over}; }}
    QComboBox::drop-down {{ border: none; width: {em(1.4)}px; }}
    QComboBox::down-arrow {{ image: url({marks}/chevron.png); width: {em(0.8)}px;
        height: {em(0.8)}px; }}
    QSpinBox::up-button, QSpinBox::down-button {{ border: none; width: {em(1.3)}px;
        background: transparent; }}
    QSpinBox::up-arrow {{ image: url({marks}/chevron-up.png); width: {em(0.6)}px;
        height: {em(0.6)}px; }}
    QSpinBox::down-arrow {{ image: url({marks}/chevron.png); width: {em(0.6)}px;
        height: {em(0.6)}px; }}
    QCheckBox::indicator, QListView::indicator {{ width: {em(1)}px; height: {em(1)}px;
        border: 1px solid {p.edge}; border-radius: {em(0.2)}px; background: {p.field}; }}
    QCheckBox::indicator:checked, QListView::indicator:checked {{ border-color: {p.accent};
        background: {p.accent}; image: url({marks}/check.png); }}
    QCheckBox::indicator:indeterminate {{ image: url({marks}/partly.png); }}
    QCheckBox::indicator:focus {{ border: 2px solid {p.accent}; }}
    QCheckBox::indicator:disabled {{ border-color: {p.line}; }}
    QRadioButton::indicator {{ width: {em(0.9)}px; height: {em(0.9)}px;
        border: 1px solid {p.edge}; border-radius: {em(0.5)}px; background: {p.field}; }}
    QRadioButton::indicator:checked {{ border: {em(0.3)}px solid {p.accent};
        width: {em(0.9) - 2 * em(0.3) + 2}px; height: {em(0.9) - 2 * em(0.3) + 2}px; }}
    QComboBox QAbstractItemView {{ background: {p.field}; border: 1px solid {p.edge};
        selection-background-color: {p.wash}; selection-color: {p.ink}; outline: 0; }}

    QCheckBox:focus, QRadioButton:focus {{ color: {p.accent_text}; }}
    QCheckBox, QRadioButton {{ spacing: {em(0.5)}px; }}

    QTabWidget::pane {{ border: 1px solid {p.line}; top: -1px; background: {p.ground}; }}
    QTabBar::tab {{ padding: {gap}px {em(0.9)}px; border: 1px solid transparent;
        border-bottom: 2px solid transparent; color: {p.ink_soft}; }}
    QTabBar::tab:selected {{ color: {p.ink}; border-bottom: 2px solid {p.accent}; }}
    QTabBar::tab:hover {{ color: {p.ink}; }}
    QTabBar::tab:focus {{ border: 2px solid {p.accent}; }}

    QTableView, QTreeView, QListView {{ background: {p.field}; border: 1px solid {p.line};
        alternate-background-color: {p.stripe}; gridline-color: {p.line};
        selection-background-color: {p.wash}; selection-color: {p.ink}; outline: 0; }}
    QTableView:focus, QTreeView:focus, QListView:focus {{ border: 1px solid {p.accent}; }}
    QTableView::item {{ padding: 0 {em(0.35)}px; }}
    QTableView::item:focus {{ border: 1px solid {p.accent}; }}
    QListView::item {{ padding: {em(0.2)}px {em(0.3)}px; }}
    QHeaderView {{ background: {p.ground}; }}
    QHeaderView::section {{ background: {p.ground}; color: {p.ink_soft}; border: none;
        border-bottom: 1px solid {p.edge}; border-right: 1px solid {p.line};
        padding: {gap}px {pad}px; }}
    QHeaderView::up-arrow {{ image: url({marks}/chevron-up.png); width: {em(0.6)}px;
        height: {em(0.6)}px; subcontrol-origin: padding; subcontrol-position: top center; }}
    QHeaderView::down-arrow {{ image: url({marks}/chevron.png); width: {em(0.6)}px;
        height: {em(0.6)}px; subcontrol-origin: padding; subcontrol-position: top center; }}
    QHeaderView::section:hover {{ color: {p.ink}; }}

    QScrollArea {{ border: none; background: {p.ground}; }}
    QScrollBar:vertical {{ background: transparent; width: {em(0.75)}px; margin: 0; }}
    QScrollBar:horizontal {{ background: transparent; height: {em(0.75)}px; margin: 0; }}
    QScrollBar::handle {{ background: {p.edge}; border-radius: {em(0.25)}px;
        min-height: {em(2)}px; min-width: {em(2)}px; margin: {em(0.12)}px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}

    QSplitter::handle {{ background: {p.line}; }}
    QSplitter::handle:hover {{ background: {p.accent}; }}
    QGroupBox {{ border: none; border-top: 1px solid {p.line}; margin-top: {em(0.9)}px;
        padding-top: {em(0.6)}px; font-weight: 600; }}
    QGroupBox::title {{ subcontrol-origin: margin; left: 0; padding-right: {pad}px; }}
    QProgressBar {{ background: {p.field}; border: 1px solid {p.edge};
        border-radius: {corner}px; text-align: center; min-height: {em(1)}px; }}
    QProgressBar::chunk {{ background: {p.accent}; border-radius: {corner}px; }}

    QLabel[role="title"] {{ font-size: {em(1.3)}px; font-weight: 600; }}
    QLabel[role="heading"] {{ font-weight: 600; }}
    QLabel[role="soft"] {{ color: {p.ink_soft}; }}
    QLabel[role="fail"] {{ color: {p.fail}; }}
    QLabel[role="warn"] {{ color: {p.warn}; }}
    QLabel[role="caution"] {{ color: {p.ink}; background: {p.stripe};
        border-left: 3px solid {p.near}; padding: {pad}px; }}
    QFrame[role="rule"] {{ background: {p.line}; max-height: 1px; border: none; }}
    QWidget[role="sheet"] {{ background: {p.sheet}; }}
    """
