"""Where journals lie, by the custom of each system.

Sources: XDG Base Directory Specification 0.8 (XDG_STATE_HOME, relative paths ignored); Apple,
File System Programming Guide (Library/Application Support); Microsoft, KNOWNFOLDERID
(LocalAppData).
"""

from pathlib import Path

import pytest

from app.storage.state_folder import state_folder

HOME = Path("/home/kim")


@pytest.mark.parametrize(
    ("platform", "environment", "expected"),
    [
        ("linux", {}, "/home/kim/.local/state/drawcord"),
        ("linux", {"XDG_STATE_HOME": "/var/kim"}, "/var/kim/drawcord"),
        ("linux", {"XDG_STATE_HOME": "relative"}, "/home/kim/.local/state/drawcord"),
        ("linux", {"XDG_STATE_HOME": ""}, "/home/kim/.local/state/drawcord"),
        ("freebsd14", {}, "/home/kim/.local/state/drawcord"),
        ("darwin", {}, "/home/kim/Library/Application Support/Drawcord"),
        ("win32", {"LOCALAPPDATA": "/users/kim/local"}, "/users/kim/local/Drawcord"),
        ("win32", {}, "/home/kim/AppData/Local/Drawcord"),
        ("win32", {"DRAWCORD_STATE": "/given"}, "/given"),
        ("linux", {"DRAWCORD_STATE": "/given", "XDG_STATE_HOME": "/var"}, "/given"),
    ],
)
def test_the_state_folder_of_each_system(platform, environment, expected):
    assert state_folder(environment, platform=platform, home=HOME) == Path(expected)
