"""Drawings for the tests: made here, or found outside the project."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest
from ezdxf.document import Drawing

from app.plans.imported import ImportedPlan
from app.plans.read_plan import read_plan

REPOSITORY = Path(__file__).resolve().parents[2]


def shared_folder() -> Path:
    """Where plans outside the project are looked for."""
    named = os.environ.get("DRAWCORD_SHARED")
    return Path(named) if named else REPOSITORY.parent / "shared"


@pytest.fixture(scope="session")
def outside_plan() -> Callable[[str], Path]:
    """Gives the path of a plan outside the project, or skips."""

    def find(name: str) -> Path:
        path = shared_folder() / "plans" / name
        if not path.is_file():
            pytest.skip(f"the outside plan {name} is not there; set DRAWCORD_SHARED to find it")
        return path

    return find


@pytest.fixture(scope="session")
def read_outside(outside_plan: Callable[[str], Path]) -> Callable[[str], ImportedPlan]:
    """Reads a plan outside the project once, or skips."""
    known: dict[str, ImportedPlan] = {}

    def read(name: str) -> ImportedPlan:
        path = outside_plan(name)
        if name not in known:
            known[name] = read_plan(path)
        return known[name]

    return read


def dxf_bytes(doc: Drawing) -> bytes:
    """A document as the bytes of its file."""
    stream = io.StringIO()
    doc.write(stream)
    return doc.encode(stream.getvalue())


@pytest.fixture
def new_doc() -> Drawing:
    """An empty drawing in millimetres."""
    return ezdxf.new("R2010", units=4)


@pytest.fixture
def read_doc() -> Callable[[Drawing], ImportedPlan]:
    """Reads a document made in a test."""
    return lambda doc: read_plan(dxf_bytes(doc), name="test.dxf")
