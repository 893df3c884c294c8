"""The folder where this user's journals and recent files lie, by the custom of the system."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

VARIABLE = "DRAWCORD_STATE"


def state_folder(
    environment: Mapping[str, str] = os.environ,
    *,
    platform: str = sys.platform,
    home: Path | None = None,
) -> Path:
    """Where state is kept; nothing is made yet.

    `DRAWCORD_STATE` decides, else AppData on Windows, Library on macOS, and
    `XDG_STATE_HOME` (~/.local/state) elsewhere.
    """
    given = environment.get(VARIABLE)
    if given:
        return Path(given)
    at_home = Path.home() if home is None else home
    if platform == "win32":
        local = environment.get("LOCALAPPDATA")
        return (Path(local) if local else at_home / "AppData" / "Local") / "Drawcord"
    if platform == "darwin":
        return at_home / "Library" / "Application Support" / "Drawcord"
    xdg = environment.get("XDG_STATE_HOME", "")
    # The base directory specification has relative paths ignored.
    base = Path(xdg) if Path(xdg).is_absolute() else at_home / ".local" / "state"
    return base / "drawcord"
