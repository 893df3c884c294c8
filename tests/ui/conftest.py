"""A small project, and a session on it, for tests of the window."""

import os
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editor.document import Document
from app.jobs import new_project
from app.model.entities import Frame, Outlet, Pathway, Port, Space
from app.model.ids import counting_source
from app.model.project import Project, adding
from app.model.vocabulary import PathwayKind
from app.standards import load_rules
from app.ui import look
from app.ui.session import Session


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and state of a test lie in its own folder."""
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    folder = str(tmp_path / "settings")
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, folder)
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))


@pytest.fixture
def dressed(qapp: QApplication) -> QApplication:
    """The application with its look, light."""
    look.dress(qapp, scheme="light", scale=1.0, screen_height=800)
    return qapp


def small_project(outlets: int = 3) -> Project:
    """One floor of 40 × 70 m with a basket, a frame and outlets along it."""
    project = new_project(name="Test", source=counting_source())
    floor = next(iter(project.floors))
    kind = next(iter(project.outlet_kinds.values()))
    made = [
        Pathway(
            id="pathway-00000001",
            floor=floor,
            kind=PathwayKind.BASKET,
            number="B-01",
            vertices=((0, 12_000, 3_000), (60_000, 12_000, 3_000)),
            width_mm=300,
            depth_mm=60,
        ),
        Frame(
            id="frame-00000001",
            floor=floor,
            name="T1",
            x_mm=2_000,
            y_mm=15_000,
            ladder_height_mm=3_000,
        ),
        Space(
            id="space-00000001",
            floor=floor,
            number="0.01",
            name="Office",
            outline=((0, 0), (60_000, 0), (60_000, 20_000), (0, 20_000)),
        ),
    ]
    made += [
        Outlet(
            id=f"outlet-{n:08d}",
            floor=floor,
            kind=kind.id,
            number=f"0-{n:03d}",
            x_mm=4_000 + n * 1_000,
            y_mm=5_000,
            ports=tuple(
                Port(
                    id=f"port-{n:06d}{p:02d}",
                    label=str(p + 1),
                    cable_type=template.cable_type,
                )
                for p, template in enumerate(kind.ports)
            ),
        )
        for n in range(1, outlets + 1)
    ]
    return project.apply(adding("Make", made))


@pytest.fixture
def session(qtbot: QtBot, dressed: QApplication) -> Iterator[Session]:
    """A session on the small project."""
    made = Session(Document(small_project()), rules=load_rules())
    yield made
    made.close()
