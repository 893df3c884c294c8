"""About the program: what it is, its licence, and the cautions of the trade."""

from importlib.metadata import PackageNotFoundError, version

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPlainTextEdit, QTabWidget, QWidget

from app.resource_files import read_resource
from app.ui import look
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import column, words

CAUTIONS = (
    ("Power", "Keep the distances of the local code; work near live parts is for the licensed."),
    ("Heat", "Powered cables in large bundles grow warm; size bundles by the code in force."),
    ("Fire barriers", "Every opening is sealed the same night, with a tested system."),
    ("Asbestos", "See the register before a tile is lifted or a wall is drilled."),
    ("Coring", "Structural consent and a scan come before the first hole."),
    ("Height", "Work from towers or platforms in halls; never from a ladder alone."),
    ("Shafts", "No cable, no pathway and no person in a lift shaft."),
    ("Ducts and manholes", "Test for gas and water; a confined space has its own rules."),
    ("Outdoors", "Lightning, surge and two earths: protect and bond where cable enters."),
    ("Weight", "Reels weigh 50 to 300 kg: lift them with a machine, on a floor that bears it."),
    ("Light and plugs", "Cap live fibre; pull no powered plug under load."),
)


def program_version() -> str:
    """The installed version, or that of a checkout."""
    try:
        return version("drawcord")
    except PackageNotFoundError:
        return "from a checkout"


class AboutDialog(Dialog):
    """Three leaves: the program, cautions, licence."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("About Drawcord", f"Version {program_version()}", parent, wide=46, high=32)
        tabs = QTabWidget(self)
        tabs.addTab(self._program(), "The program")
        tabs.addTab(self._cautions(), "Cautions")
        tabs.addTab(self._licence(), "Licence")
        self.column.addWidget(tabs, 1)
        self.finish(cancel="Close")

    def _page(self) -> QWidget:
        page = QWidget(self)
        box = column(page)
        box.setContentsMargins(look.em(0.9), look.em(0.9), look.em(0.9), look.em(0.9))
        return page

    def _program(self) -> QWidget:
        page = self._page()
        layout = page.layout()
        assert layout is not None
        layout.addWidget(
            words(
                "Drawcord plans, routes, checks and lists the structured cabling of a building. "
                "Every number is computed from the model, and every number can say how it was "
                "reached and on whose authority.",
                "",
                page,
            )
        )
        layout.addWidget(
            words(
                "It advises; it does not certify. Local codes, the manufacturer's instructions "
                "and licensed practice come first.",
                "caution",
                page,
            )
        )
        layout.addWidget(
            words(
                "Built on Qt for Python, shapely, networkx, numpy, scipy, ezdxf, msgspec, "
                "XlsxWriter and fontTools, with thanks to their authors. Its text face is "
                "Source Sans under the SIL Open Font License.",
                "soft",
                page,
            )
        )
        layout.addStretch(1)  # type: ignore[attr-defined]
        return page

    def _cautions(self) -> QWidget:
        page = self._page()
        layout = page.layout()
        assert layout is not None
        for name, sentence in CAUTIONS:
            layout.addWidget(words(f"<b>{name}.</b> {sentence}", "", page))
        layout.addStretch(1)  # type: ignore[attr-defined]
        return page

    def _licence(self) -> QWidget:
        text = QPlainTextEdit(self)
        text.setReadOnly(True)
        text.setPlainText(read_resource("LICENSE.txt").decode("utf-8"))
        font = QFont(text.font())
        font.setPixelSize(look.em(0.95))
        text.setFont(font)
        return text
