"""The Numbers menu: names, keys, and what they call."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from app.ui.number_actions import NumberActions

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def fill_numbers_menu(menu: QMenu, add: Callable[..., object], window: "MainWindow") -> None:
    """Put the actions into the menu by `add`, which all menus of the window are filled by."""

    def on(method: Callable[[NumberActions], object]) -> Callable[[], object]:
        return lambda: _on_workspace(window, method)

    add(
        menu,
        "Number this room &clockwise",
        on(NumberActions.room_clockwise),
        "Ctrl+Shift+N",
        key="room_clockwise",
        selection=True,
        tip="Of the selected outlet, beginning with it; or of the selected room, beginning at its "
        "lower left",
    )
    add(
        menu,
        "Number &along a line",
        on(NumberActions.along_line),
        tip="Outlets in the order in which a drawn line passes them",
    )
    add(menu, "&Renumber row by row …", on(NumberActions.in_rows), selection=True)
    add(
        menu,
        "Numbers from a &list …",
        on(NumberActions.from_list),
        tip="Those of an existing building: one column, or old and new",
    )
    menu.addSeparator()
    add(
        menu,
        "&Give panels and ports",
        on(NumberActions.give),
        "Ctrl+G",
        key="give_ports",
        tip="To every new run that has none, with its cable number; at the selected frames, or all",
    )
    add(menu, "&Panels of the frame …", on(NumberActions.panels), key="panels")
    add(
        menu,
        "&Enter ports of existing runs",
        on(NumberActions.enter),
        selection=True,
        tip="Selected outlets in the order of their numbers, on the free ports of the panels that "
        "stand",
    )
    add(
        menu,
        "Cable n&umbers from a list …",
        on(NumberActions.cables_from_list),
        tip="Those of an existing building: cable numbers, panel ports, or both",
    )
    add(menu, "Take panel ports &back", on(NumberActions.take_back), selection=True)
    menu.addSeparator()
    add(
        menu,
        "&Mark as printed",
        on(NumberActions.mark),
        key="mark_printed",
        tip="Numbers, cable numbers and ports then stay until they are released",
    )
    add(menu, "Re&lease numbers …", on(NumberActions.release), key="release_numbers")
    menu.addSeparator()
    add(menu, "Patterns of nu&mbers …", on(NumberActions.patterns))


def _on_workspace(window: "MainWindow", method: Callable[[NumberActions], object]) -> None:
    if window.workspace is not None:
        method(NumberActions(window.workspace, window))
