"""The menu of states and phases: names, keys, and what they call."""

from collections.abc import Callable
from functools import partial

from PySide6.QtWidgets import QMenu

from app.model.vocabulary import State
from app.ui.edit_actions import EditActions

STATES = (
    (State.EXISTING, "&Existing", "E"),
    (State.NEW, "&New", "N"),
    (State.TO_REMOVE, "To re&move", "M"),
    (State.TO_RELOCATE, "To re&locate", "L"),
    (State.FUTURE, "&Future", "F"),
)
"""State, name, and the letter after Ctrl+E."""


def fill_states_menu(
    menu: QMenu, add: Callable[..., object], edit: Callable[[], EditActions]
) -> None:
    """Put the actions into the menu by `add`, which all menus of the window are filled by."""

    def on(method: Callable[..., object], *arguments: object) -> Callable[[], object]:
        return lambda: method(edit(), *arguments)

    put = partial(add, menu, selection=True)
    for state, name, letter in STATES:
        put(name, on(EditActions.set_state, state), f"Ctrl+E, {letter}")
    menu.addSeparator()
    put("&Phase …", on(EditActions.set_phase), "Ctrl+E, P")
    menu.addSeparator()
    put("Measured len&gths …", on(EditActions.set_measured), "Ctrl+E, G")
