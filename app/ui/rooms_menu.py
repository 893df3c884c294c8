"""The Rooms menu: names, keys, and what they call."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu

from app.ui.room_actions import RoomActions

if TYPE_CHECKING:
    from app.ui.window import MainWindow


def fill_rooms_menu(menu: QMenu, add: Callable[..., object], window: "MainWindow") -> None:
    """Put the actions into the menu by `add`, which all menus of the window are filled by."""

    def on(method: Callable[[RoomActions], object]) -> Callable[[], object]:
        return lambda: _on_workspace(window, method)

    add(
        menu,
        "Read the client's &list …",
        on(RoomActions.read_list),
        "Ctrl+Shift+I",
        key="read_list",
        tip="A room schedule as CSV or workbook: rooms with the outlets that each is to have",
    )
    add(menu, "&Rooms against the list", on(RoomActions.show_rooms), key="show_rooms")
    add(
        menu,
        "&Names and uses from the list",
        on(RoomActions.take_names),
        key="take_names",
        tip="For rooms that have none; what a room has already stays",
    )
    add(menu, "&Write the rooms …", on(RoomActions.write), key="write_rooms")
    add(menu, "Take a list &out …", on(RoomActions.take_out), key="take_list_out")
    menu.addSeparator()
    add(
        menu,
        "&Place from the list",
        on(RoomActions.place_from_list),
        "Ctrl+Shift+L",
        key="place_from_list",
        tip="Each click places the next outlet that its room still wants",
    )
    add(
        menu,
        "&Spread what is left in the room",
        on(RoomActions.spread_what_is_left),
        "Ctrl+Shift+K",
        key="spread_left",
        selection=True,
        tip="All that the selected room is asked to have and has not, along its walls",
    )
    add(
        menu,
        "&Type a first count …",
        on(RoomActions.type_count),
        "Ctrl+K",
        key="type_count",
        tip="“24 desks in 2.04”: spread along the walls before anything is drawn",
    )


def _on_workspace(window: "MainWindow", method: Callable[[RoomActions], object]) -> None:
    if window.workspace is not None:
        method(RoomActions(window.workspace, window))
