"""Finds the files that travel with the program: `resources/` and `sample_plans/`.

In a checkout both folders stand beside `app/`; in an installed wheel they are carried
inside the package. Nothing else in the program may know where they lie.
"""

import atexit
from contextlib import ExitStack
from functools import cache
from importlib.resources import as_file, files
from importlib.resources.abc import Traversable
from pathlib import Path, PurePosixPath

_PACKAGE = "app"
_CARRIED = "_carried"

_extracted = ExitStack()
atexit.register(_extracted.close)


def resource_path(name: str) -> Path:
    """The path of one file or folder of `resources/`, such as `standards/lengths.toml`.

    Raises FileNotFoundError when the installation lacks it, ValueError when the name
    leads out of the folder.
    """
    return _path_of("resources", name)


def sample_path(name: str) -> Path:
    """The path of one file of `sample_plans/`, such as `ferry-terminal.drawcord`.

    Raises as `resource_path` does.
    """
    return _path_of("sample_plans", name)


def read_resource(name: str) -> bytes:
    """The bytes of one file of `resources/`; raises as `resource_path` does."""
    return _entry("resources", name).read_bytes()


def resource_names(folder: str, *, suffix: str = "") -> tuple[str, ...]:
    """The names, sorted, of the files in one folder of `resources/` that end with `suffix`."""
    entries = _entry("resources", folder).iterdir()
    return tuple(sorted(e.name for e in entries if e.is_file() and e.name.endswith(suffix)))


@cache
def _path_of(folder: str, name: str) -> Path:
    entry = _entry(folder, name)
    if isinstance(entry, Path):
        return entry
    # A package that runs from a zip file has no path: the copy lives as long as the process.
    return _extracted.enter_context(as_file(entry))


def _entry(folder: str, name: str) -> Traversable:
    parts = PurePosixPath(name).parts
    if not parts or ".." in parts or PurePosixPath(name).is_absolute() or "\\" in name:
        raise ValueError(f"{name!r} is no name inside {folder}/: use a relative one with slashes")
    entry = _folder(folder).joinpath(*parts)
    if not (entry.is_file() or entry.is_dir()):
        raise FileNotFoundError(
            f"{folder}/{name} is missing from this installation of Drawcord: install it again"
        )
    return entry


@cache
def _folder(folder: str) -> Traversable:
    package = files(_PACKAGE)
    carried = package.joinpath(_CARRIED, folder)
    if carried.is_dir():
        return carried
    return Path(__file__).resolve().parent.parent / folder
