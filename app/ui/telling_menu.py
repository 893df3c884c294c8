"""The menu of what selected runs are told of their way and their end."""

from collections.abc import Callable

from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from app.ui.edit_actions import EditActions
from app.ui.view_actions import ViewActions

TOLD_ON_THE_PLAN = (("pass_here", "&Pass here …"), ("never_there", "&Never there …"))


def fill_telling_menu(
    menu: QMenu,
    add: Callable[..., QAction],
    edit: Callable[[], EditActions],
    look: Callable[[], ViewActions],
) -> None:
    """Fill the menu; `edit` and `look` are of whatever is open when an action is called."""
    for tool, name in TOLD_ON_THE_PLAN:
        add(menu, name, lambda key=tool: look().take_tool(key), selection=True)
    add(menu, "&Any way", lambda: edit().any_way(), selection=True)
    add(menu, "&End these ports at …", lambda: edit().end_at(), selection=True)
