"""The menu of kits and copies, and the action that proposes penetrations."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from app.ui.kit_actions import KitActions

if TYPE_CHECKING:
    from app.ui.window import MainWindow

Add = Callable[..., object]


def fill_kits_menu(menu: QMenu, add: Add, window: "MainWindow") -> None:
    """Put the actions into the menu by `add`, which all menus of the window are filled by."""
    add(
        menu,
        "&Make a kit of the selection …",
        _on(window, KitActions.make_kit),
        "Ctrl+M",
        key="make_kit",
        selection=True,
        tip="Things that belong together, to be stamped again and again",
    )
    add(menu, "&Kits …", _on(window, KitActions.show_kits), "Ctrl+Shift+M", key="kits")
    menu.addSeparator()
    add(
        menu,
        "&Array of the selection …",
        _on(window, KitActions.make_array),
        key="array",
        selection=True,
        tip="In rows and columns, or around a point",
    )
    add(
        menu,
        "&Copy the whole floor to floors …",
        _on(window, KitActions.copy_floor),
        key="copy_floor",
        tip="A typical floor, in place on several others",
    )


def add_proposing(menu: QMenu, add: Add, window: "MainWindow") -> None:
    """The action that looks for walls and slabs passed without a penetration."""
    add(
        menu,
        "Propose pene&trations …",
        _on(window, KitActions.propose_penetrations),
        key="propose_penetrations",
        tip="Where pathways leave rooms and risers pass slabs, to be accepted",
    )


def _on(window: "MainWindow", method: Callable[[KitActions], object]) -> Callable[[], object]:
    def do() -> None:
        if window.workspace is not None:
            method(KitActions(window.workspace, window))

    return do
