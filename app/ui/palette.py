"""Every colour of the window, by role, for light and for dark ground.

No colour is written anywhere else. Paint code asks `current()` each time it paints, and
repaints on `QEvent.PaletteChange`, which `use` sends to every widget.
"""

from dataclasses import dataclass, fields
from typing import Literal

from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

Scheme = Literal["system", "light", "dark"]


@dataclass(frozen=True, kw_only=True)
class Palette:
    """Colours as `#rrggbb`, by what they are for.

    Text roles hold 4.5:1 and line roles 3:1 against `ground`, `sheet` and `field`.
    """

    name: Literal["light", "dark"]

    # what things stand on
    ground: str
    """The window around the plan."""
    sheet: str
    """The paper under the plan."""
    field: str
    """Where something is typed, and the tables."""
    stripe: str
    """Every second row of a table; a hovered row or button."""
    wash: str
    """What is selected, behind its text."""

    # text
    ink: str
    ink_soft: str
    ink_faint: str
    """Text that cannot be used now; exempt from the text ratio, still above 3:1."""
    accent_text: str
    on_accent: str
    """Text upon `accent`."""

    # lines
    line: str
    """Hairlines that part one area from another; they carry no meaning."""
    edge: str
    """The border of what can be pressed or typed in."""
    accent: str
    """Selection, focus, the chosen tool, what is drawn right now."""

    # what a technician has put on the plan
    new: str
    existing: str
    to_remove: str
    future: str
    pathway: str
    riser: str
    frame: str

    # states of a run: lines and signs, then the same as text
    within: str
    near: str
    over: str
    no_route: str
    within_text: str
    near_text: str
    over_text: str
    no_route_text: str

    # severities, as text and signs
    fail: str
    warn: str
    note: str

    # the plan below
    plan: str
    """Lines of the architect's plan before dimming."""
    grid: str
    space_edge: str
    space_fill: str
    closed_fill: str
    """Spaces that cable may not cross."""

    # how full a pathway is: empty, planned, warned, full
    load_low: str
    load_planned: str
    load_high: str
    load_full: str

    # cues while drawing
    snap: str
    guide: str

    def color(self, role: str, alpha: float = 1.0) -> QColor:
        """One role as a QColor, `alpha` from 0 to 1."""
        color = QColor(getattr(self, role))
        color.setAlphaF(alpha)
        return color


LIGHT = Palette(
    name="light",
    ground="#f1eee6",
    sheet="#fcfbf7",
    field="#fdfcf9",
    stripe="#f5f2eb",
    wash="#d5e6df",
    ink="#22252a",
    ink_soft="#585c61",
    ink_faint="#85878a",
    accent_text="#16604e",
    on_accent="#ffffff",
    line="#d6d1c4",
    edge="#8b8779",
    accent="#1c7560",
    new="#22252a",
    existing="#7d8084",
    to_remove="#7d8084",
    future="#6f7a86",
    pathway="#4b5560",
    riser="#3d4650",
    frame="#22252a",
    within="#0072b2",
    near="#b47800",
    over="#c95600",
    no_route="#b8568b",
    within_text="#00609a",
    near_text="#855700",
    over_text="#a94400",
    no_route_text="#9a3a70",
    fail="#a94400",
    warn="#855700",
    note="#585c61",
    plan="#4e5257",
    grid="#d9d4c8",
    space_edge="#83887f",
    space_fill="#e9e6da",
    closed_fill="#d9d3c8",
    load_low="#7f8b95",
    load_planned="#3f7fae",
    load_high="#b47800",
    load_full="#c95600",
    snap="#1c7560",
    guide="#5b8d7f",
)

DARK = Palette(
    name="dark",
    ground="#24262a",
    sheet="#1b1d20",
    field="#1e2023",
    stripe="#26292d",
    wash="#284239",
    ink="#ece9e1",
    ink_soft="#b3b1aa",
    ink_faint="#878780",
    accent_text="#7fd0b8",
    on_accent="#10201b",
    line="#3b3e43",
    edge="#85878a",
    accent="#63bfa5",
    new="#ece9e1",
    existing="#8d8f92",
    to_remove="#8d8f92",
    future="#93a0ac",
    pathway="#a9b3bd",
    riser="#c0c8d0",
    frame="#ece9e1",
    within="#4ba3d8",
    near="#e69f00",
    over="#f0762a",
    no_route="#d98ab5",
    within_text="#73b9e6",
    near_text="#efb233",
    over_text="#fb9455",
    no_route_text="#e6a3c6",
    fail="#fb9455",
    warn="#efb233",
    note="#b3b1aa",
    plan="#a7a9ab",
    grid="#34373b",
    space_edge="#7f837b",
    space_fill="#2b2e30",
    closed_fill="#3a3735",
    load_low="#8a949d",
    load_planned="#5aa3d4",
    load_high="#e69f00",
    load_full="#f0762a",
    snap="#63bfa5",
    guide="#5f9c8c",
)

TEXT_ROLES = (
    "ink",
    "ink_soft",
    "accent_text",
    "within_text",
    "near_text",
    "over_text",
    "no_route_text",
    "fail",
    "warn",
    "note",
)
LINE_ROLES = (
    "ink_faint",
    "edge",
    "accent",
    "new",
    "existing",
    "to_remove",
    "future",
    "pathway",
    "riser",
    "frame",
    "within",
    "near",
    "over",
    "no_route",
    "plan",
    "space_edge",
    "load_low",
    "load_planned",
    "load_high",
    "load_full",
    "snap",
    "guide",
)
GROUND_ROLES = ("ground", "sheet", "field")

_used = LIGHT


def current() -> Palette:
    """The palette in use."""
    return _used


def use(palette: Palette) -> None:
    """Take a palette into use for the whole application."""
    global _used
    _used = palette
    app = QApplication.instance()
    if isinstance(app, QApplication):
        app.setPalette(qt_palette(palette))


def named(scheme: Scheme) -> Palette:
    """The palette of a scheme; `system` follows the desktop's light or dark setting."""
    if scheme == "system":
        app = QApplication.instance()
        if isinstance(app, QApplication):
            from PySide6.QtCore import Qt

            dark = app.styleHints().colorScheme() == Qt.ColorScheme.Dark
            return DARK if dark else LIGHT
        return LIGHT
    return DARK if scheme == "dark" else LIGHT


def qt_palette(palette: Palette) -> QPalette:
    """The palette as Qt's own widgets want it."""
    role = QPalette.ColorRole
    qt = QPalette()
    for target, source in (
        (role.Window, "ground"),
        (role.WindowText, "ink"),
        (role.Base, "field"),
        (role.AlternateBase, "stripe"),
        (role.Text, "ink"),
        (role.PlaceholderText, "ink_soft"),
        (role.Button, "ground"),
        (role.ButtonText, "ink"),
        (role.BrightText, "fail"),
        (role.Highlight, "wash"),
        (role.HighlightedText, "ink"),
        (role.Accent, "accent"),
        (role.Link, "accent_text"),
        (role.LinkVisited, "accent_text"),
        (role.ToolTipBase, "field"),
        (role.ToolTipText, "ink"),
        (role.Light, "field"),
        (role.Midlight, "stripe"),
        (role.Mid, "line"),
        (role.Dark, "edge"),
        (role.Shadow, "ink_soft"),
    ):
        qt.setColor(target, palette.color(source))
    disabled = QPalette.ColorGroup.Disabled
    for target in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        qt.setColor(disabled, target, palette.color("ink_faint"))
    return qt


def relative_luminance(color: str) -> float:
    """Of an sRGB colour `#rrggbb`, 0 to 1. Source: WCAG 2.2, definition of relative luminance."""
    channels = (int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast_ratio(one: str, other: str) -> float:
    """From 1 to 21. Source: WCAG 2.2, definition of contrast ratio."""
    darker, lighter = sorted((relative_luminance(one), relative_luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def role_names() -> tuple[str, ...]:
    """The colour roles, in order."""
    return tuple(f.name for f in fields(Palette) if f.name != "name")
