"""The version is written in two places, which agree."""

import tomllib
from pathlib import Path

from app import __version__


def test_package_and_program_have_one_version():
    text = (Path(__file__).resolve().parents[1] / "pyproject.toml").read_text(encoding="utf-8")
    assert tomllib.loads(text)["project"]["version"] == __version__
