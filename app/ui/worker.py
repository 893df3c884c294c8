"""Long work off the window's thread, with progress and a way to stop it.

Work is a plain function that takes a `Progress`. Its outcome arrives in the window's thread;
the window shows progress after a third of a second and a cancel after two.
"""

import logging
import threading
import time
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEventLoop, QObject, QRunnable, Qt, QThreadPool, QTimer, Signal
from PySide6.QtWidgets import QProgressDialog, QWidget

from app.progress import Cancelled, Progress

SHOWN_AFTER_MS = 330
REPORTED_EVERY_S = 0.05

Work = Callable[[Progress], Any]

_log = logging.getLogger(__name__)


class _Signals(QObject):
    reported = Signal(float, str)
    finished = Signal(object)
    failed = Signal(object)
    cancelled = Signal()


class Job(QRunnable):
    """One piece of work, and the `Progress` that it reports to."""

    def __init__(self, work: Work) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self.signals = _Signals()
        self._work = work
        self._stop = threading.Event()
        self._last_report = 0.0

    def report(self, fraction: float, words: str) -> None:
        now = time.monotonic()
        if fraction >= 1.0 or now - self._last_report >= REPORTED_EVERY_S:
            self._last_report = now
            self.signals.reported.emit(fraction, words)

    def check(self) -> None:
        if self._stop.is_set():
            raise Cancelled

    def cancel(self) -> None:
        """Ask the work to stop at its next check."""
        self._stop.set()

    def run(self) -> None:
        try:
            outcome = self._work(self)
        except Cancelled:
            self.signals.cancelled.emit()
        except Exception as error:
            _log.debug("work failed", exc_info=True)
            self.signals.failed.emit(error)
        else:
            self.signals.finished.emit(outcome)


def run_with_progress(parent: QWidget | None, title: str, work: Work) -> Any:
    """Do the work on another thread and wait here while the window lives on.

    Gives what the work gives; raises what it raises, and `Cancelled` when it was stopped.
    """
    job = Job(work)
    loop = QEventLoop()
    outcome: list[Any] = []
    error: list[BaseException] = []
    job.signals.finished.connect(outcome.append)
    job.signals.failed.connect(error.append)
    job.signals.cancelled.connect(lambda: error.append(Cancelled()))
    for signal in (job.signals.finished, job.signals.failed, job.signals.cancelled):
        signal.connect(loop.quit)
    dialog = _progress_dialog(parent, title, job)
    QThreadPool.globalInstance().start(job)
    while not outcome and not error:
        loop.exec()
    dialog.reset()
    dialog.deleteLater()
    if error:
        raise error[0]
    return outcome[0]


def _progress_dialog(parent: QWidget | None, title: str, job: Job) -> QProgressDialog:
    dialog = QProgressDialog(title, "Cancel", 0, 1000, parent)
    dialog.setWindowTitle("Drawcord")
    dialog.setWindowModality(Qt.WindowModality.WindowModal)
    dialog.setAutoClose(False)
    dialog.setAutoReset(False)
    dialog.setMinimumDuration(SHOWN_AFTER_MS)
    dialog.setMinimumWidth(dialog.fontMetrics().averageCharWidth() * 56)

    def show(fraction: float, words: str) -> None:
        if not dialog.wasCanceled():
            dialog.setLabelText(f"{title}\n{words}")
            dialog.setValue(min(999, max(0, int(fraction * 1000))))

    def stop() -> None:
        dialog.setLabelText("Stopping …")
        job.cancel()

    job.signals.reported.connect(show)
    dialog.canceled.connect(stop)
    timer = QTimer(dialog)
    timer.setSingleShot(True)
    timer.timeout.connect(lambda: dialog.setValue(max(1, dialog.value())))
    timer.start(SHOWN_AFTER_MS)
    dialog.setValue(0)
    return dialog
