"""What the user has chosen before, kept beyond one project."""

from collections.abc import Mapping

from PySide6.QtCore import QSettings

_LIST_COLUMNS = "lists/columns"
MOST_COLUMNS = 400


def list_habits() -> dict[str, str]:
    """By heading of clients' lists what its column was last read as; kinds by their names."""
    value = QSettings().value(_LIST_COLUMNS, {})
    known = value if isinstance(value, dict) else {}
    return {str(heading): str(means) for heading, means in known.items()}


def remember_list_habits(habits: Mapping[str, str]) -> None:
    """Add to what is known of headings; new ones win, and beyond a bound others are forgotten."""
    known = {h: m for h, m in list_habits().items() if h not in habits} | dict(habits)
    QSettings().setValue(_LIST_COLUMNS, dict(list(known.items())[-MOST_COLUMNS:]))
