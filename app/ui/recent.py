"""The files opened last, newest first."""

from pathlib import Path

from PySide6.QtCore import QSettings

MOST = 8
_KEY = "files/recent"


def recent_files() -> list[Path]:
    """Paths of the files opened last, newest first, those that are gone among them."""
    value = QSettings().value(_KEY, [])
    texts = [value] if isinstance(value, str) else list(value or [])  # type: ignore[call-overload]
    return [Path(str(t)) for t in texts][:MOST]


def remember(path: Path) -> None:
    """Put a file first."""
    own = path.resolve()
    kept = [p for p in recent_files() if p != own]
    QSettings().setValue(_KEY, [str(p) for p in (own, *kept)][:MOST])
