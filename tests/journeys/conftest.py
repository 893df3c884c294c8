"""The main window on its own state, driven by real mouse and key events."""

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PySide6.QtCore import QPoint, QPointF, QSettings, Qt, QTimer
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QDialog, QProgressDialog, QWidget
from pytestqt.qtbot import QtBot

from app.resource_files import sample_path
from app.standards import load_rules
from app.ui import look
from app.ui.window import MainWindow
from app.ui.workspace import Workspace


@dataclass
class Person:
    """Somebody at the window: clicks at places of the building, presses keys, reads.

    `gestures` counts what the hand does: a click, a drag, a notch of the wheel, a key are one
    each, and a typed text is one for every character. Moving and waiting are none.
    """

    window: MainWindow
    bot: QtBot
    gestures: int = 0

    @property
    def workspace(self) -> Workspace:
        assert self.window.workspace is not None
        return self.window.workspace

    def spot(self, x_mm: float, y_mm: float) -> QPoint:
        """Where a place of the building is on the canvas."""
        return self.workspace.canvas.camera.to_screen(x_mm, y_mm).toPoint()

    def click(self, x_mm: float, y_mm: float, *, keys: Qt.KeyboardModifier | None = None) -> None:
        canvas, at = self.workspace.canvas, self.spot(x_mm, y_mm)
        held = Qt.KeyboardModifier.NoModifier if keys is None else keys
        self.bot.mouseMove(canvas, at)
        self.click_on(canvas, at, keys=held)

    def click_on(
        self,
        widget: QWidget,
        at: QPoint | None = None,
        *,
        keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier,
    ) -> None:
        """Click at a place of a widget, else in its middle."""
        self.gestures += 1
        where = widget.rect().center() if at is None else at
        self.bot.mouseClick(widget, Qt.MouseButton.LeftButton, keys, where)
        self.settle()

    def double_click(self, x_mm: float, y_mm: float) -> None:
        canvas, at = self.workspace.canvas, self.spot(x_mm, y_mm)
        self.bot.mouseMove(canvas, at)
        self.gestures += 1
        self.bot.mouseDClick(canvas, Qt.MouseButton.LeftButton, pos=at)
        self.settle()

    def turn_wheel(self, x_mm: float, y_mm: float, *, notches: int) -> None:
        """Zoom in to a place, as the wheel does."""
        canvas = self.workspace.canvas
        for _ in range(abs(notches)):
            self.gestures += 1
            at = QPointF(self.spot(x_mm, y_mm))
            event = QWheelEvent(
                at,
                QPointF(canvas.mapToGlobal(at.toPoint())),
                QPoint(0, 0),
                QPoint(0, 120 if notches > 0 else -120),
                Qt.MouseButton.NoButton,
                Qt.KeyboardModifier.NoModifier,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            )
            QApplication.sendEvent(canvas, event)
            self.settle(5)

    def drag(
        self,
        start: tuple[float, float],
        end: tuple[float, float],
        *,
        button: Qt.MouseButton = Qt.MouseButton.LeftButton,
    ) -> None:
        """Drag from one place to another; with the middle button it is the paper that moves."""
        canvas = self.workspace.canvas
        first, last = self.spot(*start), self.spot(*end)
        self.gestures += 1
        self.bot.mouseMove(canvas, first)
        self.bot.mousePress(canvas, button, pos=first)
        for step in range(1, 9):
            self.bot.mouseMove(canvas, first + (last - first) * step / 8)
            self.settle()
        self.bot.mouseRelease(canvas, button, pos=last)
        self.settle()

    def press(
        self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
    ) -> None:
        self.gestures += 1
        self.bot.keyClick(self._focused(), key, held)
        self.settle()

    def take_keys(self) -> None:
        """No window manager gives the keys to a window here, so it asks until it has them."""

        def asked() -> bool:
            if not self.window.isActiveWindow():
                self.window.activateWindow()
            return self.window.isActiveWindow()

        self.bot.waitUntil(asked, timeout=10_000)

    def _focused(self) -> QWidget:
        self.take_keys()
        return QApplication.focusWidget() or self.window

    def write(self, text: str) -> None:
        self.gestures += len(text)
        self.bot.keyClicks(self._focused(), text)
        self.settle()

    def push(self, widget: QWidget) -> None:
        """Click a button."""
        self.click_on(widget)

    def settle(self, wait_ms: int = 10) -> None:
        self.bot.wait(wait_ms)

    def in_dialog(self, does: Callable[[QDialog], None]) -> None:
        """Do something in the dialog that will open next."""

        def look_for_it() -> None:
            shown = QApplication.activeModalWidget()
            ready = isinstance(shown, QDialog) and shown.isVisible()
            if not ready or isinstance(shown, QProgressDialog):
                QTimer.singleShot(30, look_for_it)
                return
            assert isinstance(shown, QDialog)
            try:
                does(shown)
            except BaseException:
                shown.reject()
                raise

        QTimer.singleShot(30, look_for_it)


@pytest.fixture
def person(
    qtbot: QtBot, qapp: QApplication, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Person]:
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    folder = str(tmp_path / "settings")
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, folder)
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))
    look.dress(qapp, scheme="light", scale=1.0, screen_height=800)
    window = MainWindow(load_rules())
    qtbot.addWidget(window, before_close_func=lambda w: w._drop_workspace())
    window.show()
    person = Person(window, qtbot)
    person.take_keys()
    yield person
    window._drop_workspace()


@pytest.fixture(scope="session")
def designed_samples(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The samples with a terminal in which nothing has been found or told yet."""
    folder = tmp_path_factory.mktemp("as_designed")
    script = str(sample_path("make_samples.py"))
    command = [sys.executable, script, str(folder), "as-designed"]
    subprocess.run(command, capture_output=True, check=True, timeout=300)
    return folder


@pytest.fixture
def as_designed(designed_samples: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The start page opens the terminal as it was designed, without lists, kits and the like."""
    monkeypatch.setattr("app.ui.project_files.sample_path", lambda name: designed_samples / name)
