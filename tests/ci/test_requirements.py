"""What is asked of the package index gives the same program next year."""

import re
import tomllib
from pathlib import Path

PYPROJECT = tomllib.loads(
    (Path(__file__).resolve().parents[2] / "pyproject.toml").read_text(encoding="utf-8")
)
PROJECT = PYPROJECT["project"]
ASKED = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["test"]]


def test_every_library_is_bounded_from_both_sides():
    for asked in ASKED:
        assert re.fullmatch(r"[A-Za-z0-9._-]+>=[0-9.]+,<[0-9.]+", asked), asked


def test_what_judges_the_code_is_held_to_one_minor_release():
    """Each release of these lays out or judges the same lines otherwise."""
    for name in ("ruff", "mypy"):
        (asked,) = (a for a in ASKED if a.startswith(f"{name}>="))
        least, below = re.findall(r"(\d+)\.(\d+)", asked)
        assert least[0] == below[0]
        assert int(below[1]) == int(least[1]) + 1


def test_types_are_checked_for_the_python_that_runs_the_check():
    """The types of the numpy that goes with 3.12 and later cannot be read as of 3.11."""
    assert "python_version" not in PYPROJECT["tool"]["mypy"]
