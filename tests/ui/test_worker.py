"""Long work: its outcome, its failure, its progress and its cancel reach the window."""

import threading
import time

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QProgressDialog, QPushButton
from pytestqt.qtbot import QtBot

from app.progress import Cancelled, Progress
from app.ui.worker import run_with_progress


def test_work_runs_elsewhere_and_its_outcome_arrives_here(qtbot: QtBot) -> None:
    def work(progress: Progress) -> int:
        progress.report(0.5, "half")
        return threading.get_ident()

    assert run_with_progress(None, "Counting", work) != threading.get_ident()


def test_what_it_raises_is_raised_here(qtbot: QtBot) -> None:
    def work(_progress: Progress) -> None:
        raise ValueError("no such thing")

    with pytest.raises(ValueError, match="no such thing"):
        run_with_progress(None, "Counting", work)


def test_the_window_lives_on_and_cancel_stops_the_work(qtbot: QtBot) -> None:
    ticks: list[float] = []
    timer = QTimer()
    timer.timeout.connect(lambda: ticks.append(time.monotonic()))
    timer.start(10)

    def cancel() -> None:
        for widget in QApplication.topLevelWidgets():
            if isinstance(widget, QProgressDialog) and widget.isVisible():
                assert "step" in widget.labelText()
                button = widget.findChild(QPushButton)
                qtbot.mouseClick(button, Qt.MouseButton.LeftButton)

    QTimer.singleShot(700, cancel)

    def work(progress: Progress) -> None:
        for step in range(1_000):
            progress.check()
            progress.report(step / 1_000, f"step {step}")
            time.sleep(0.01)

    with pytest.raises(Cancelled):
        run_with_progress(None, "Counting", work)
    timer.stop()
    assert len(ticks) > 20
