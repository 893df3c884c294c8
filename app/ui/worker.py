"""Long work off the window's thread, with progress and a way to stop it.

Work is a plain function that takes a `Progress`. Its outcome arrives in the window's thread;
the window shows progress after a third of a second and a cancel after two.
"""

import logging
import threading
import time
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEventLoop, QObject, QRunnable, Qt, QThreadPool, QTimer, Signal, Slot
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


class _Waiting(QObject):
    """Lives in the window's thread: shows progress and keeps the outcome."""

    def __init__(self, dialog: QProgressDialog, title: str, job: Job) -> None:
        super().__init__(dialog)
        self._dialog, self._title, self._job = dialog, title, job
        self.loop = QEventLoop()
        self.outcome: list[Any] = []
        self.error: list[BaseException] = []
        signals = job.signals
        queued = Qt.ConnectionType.QueuedConnection
        signals.reported.connect(self.show_progress, queued)
        signals.finished.connect(self.finish, queued)
        signals.failed.connect(self.fail, queued)
        signals.cancelled.connect(self.stopped, queued)
        dialog.canceled.connect(self.stop)

    @property
    def over(self) -> bool:
        return bool(self.outcome or self.error)

    @Slot(float, str)
    def show_progress(self, fraction: float, words: str) -> None:
        if not self.over and not self._dialog.wasCanceled():
            self._dialog.setLabelText(f"{self._title}\n{words}")
            self._dialog.setValue(min(999, max(1, int(fraction * 1000))))

    @Slot(object)
    def finish(self, outcome: object) -> None:
        self.outcome.append(outcome)
        self.loop.quit()

    @Slot(object)
    def fail(self, error: BaseException) -> None:
        self.error.append(error)
        self.loop.quit()

    @Slot()
    def stopped(self) -> None:
        self.fail(Cancelled())

    @Slot()
    def stop(self) -> None:
        self._job.cancel()


def run_with_progress(parent: QWidget | None, title: str, work: Work) -> Any:
    """Do the work on another thread and wait here while the window lives on.

    Gives what the work gives; raises what it raises, and `Cancelled` when it was stopped.
    """
    job = Job(work)
    dialog = _progress_dialog(parent, title)
    waiting = _Waiting(dialog, title, job)
    QThreadPool.globalInstance().start(job)
    while not waiting.over:
        waiting.loop.exec()
    dialog.reset()
    dialog.deleteLater()
    if waiting.error:
        raise waiting.error[0]
    return waiting.outcome[0]


def _progress_dialog(parent: QWidget | None, title: str) -> QProgressDialog:
    dialog = QProgressDialog(title, "Cancel", 0, 1000, parent)
    dialog.setWindowTitle("Drawcord")
    dialog.setWindowModality(Qt.WindowModality.WindowModal)
    dialog.setAutoClose(False)
    dialog.setAutoReset(False)
    dialog.setMinimumDuration(SHOWN_AFTER_MS)
    dialog.setMinimumWidth(dialog.fontMetrics().averageCharWidth() * 56)
    timer = QTimer(dialog)
    timer.setSingleShot(True)
    timer.timeout.connect(lambda: dialog.setValue(max(1, dialog.value())))
    timer.start(SHOWN_AFTER_MS + 20)
    dialog.setValue(0)
    return dialog
