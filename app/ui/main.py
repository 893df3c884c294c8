"""Starts the window: application, look, crash dialog, and the file that was asked for."""

import faulthandler
import logging
import signal
import sys
import threading
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QSettings, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QMessageBox

from app.standards import load_rules
from app.ui import icons, look
from app.ui.dialogs.asking import choose
from app.ui.project_files import left_unsaved
from app.ui.window import MainWindow
from app.ui.words import counted

WAKE_EVERY_MS = 250

_log = logging.getLogger("drawcord")


def run(path: Path | None, *, sample: str | None = None) -> int:
    """Open the window, with a file or a sample if one is named; the process's exit status."""
    app = application()
    window = MainWindow(load_rules())
    crashes = CrashReporter(window)
    crashes.install()
    geometry = QSettings().value("window/geometry")
    if geometry is not None:
        window.restoreGeometry(geometry)
    window.show()
    _let_interrupts_through(app)
    QTimer.singleShot(0, lambda: begin(window, path, sample))
    return app.exec()


def begin(window: MainWindow, path: Path | None, sample: str | None) -> None:
    """Open what was asked for, and offer what a crash left."""
    if path is not None:
        window.open_path(path)
    elif sample is not None:
        window.open_sample(sample)
    offer_recovery(window)


def application() -> QApplication:
    """The one QApplication, dressed."""
    QGuiApplication.setHighDpiScaleFactorRoundingPolicy(
        Qt.HighDpiScaleFactorRoundingPolicy.PassThrough
    )
    standing = QApplication.instance()
    app = standing if isinstance(standing, QApplication) else QApplication(sys.argv[:1])
    app.setApplicationName("Drawcord")
    app.setOrganizationName("Drawcord")
    app.setApplicationDisplayName("Drawcord")
    screen = app.primaryScreen()
    height = 800 if screen is None else screen.availableGeometry().height()
    look.dress(app, scheme=look.stored_scheme(), scale=look.stored_scale(), screen_height=height)
    app.setWindowIcon(icons.icon("outlet", "accent"))
    return app


def offer_recovery(window: MainWindow) -> None:
    """Offer what a crash left of projects that never had a file."""
    for journal in left_unsaved():
        edits = len(journal.content.entries)
        last = journal.content.entries[-1].patch.label if edits else ""
        sentence = (
            f"A project that was never saved was left behind when the program ended "
            f"({counted(edits, 'edit')}, the last “{last}”, {journal.when}). Open it?"
        )
        if choose(window, sentence, ["Open it"], let_be="Leave it for later") is not None:
            window.recover(journal)
            return


class CrashReporter:
    """Says an unexpected fault aloud, once at a time; edits are safe in the journal."""

    def __init__(self, window: MainWindow) -> None:
        self._window = window
        self._showing = False

    def install(self) -> None:
        """Hear of every exception that nobody catches, in any thread."""
        sys.excepthook = self.report
        threading.excepthook = lambda args: self.report(
            args.exc_type, args.exc_value or RuntimeError("unknown"), args.exc_traceback
        )
        if sys.stderr is not None:
            faulthandler.enable()

    def report(
        self,
        kind: type[BaseException],
        error: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Log the fault and show it."""
        if issubclass(kind, KeyboardInterrupt):
            self._window.close()
            return
        text = "".join(traceback.format_exception(kind, error, trace))
        _log.error("unexpected fault\n%s", text)
        if sys.stderr is not None:
            sys.stderr.write(text)
        if threading.current_thread() is threading.main_thread() and not self._showing:
            self._showing = True
            try:
                self.dialog(text).exec()
            finally:
                self._showing = False

    def dialog(self, text: str) -> QMessageBox:
        """What the user sees."""
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("A fault of the program")
        box.setText(
            "Something went wrong inside Drawcord. It is not your fault, and nothing that was "
            "done is lost: every finished edit is in the journal."
        )
        box.setInformativeText(
            "You can go on working. If it looks wrong, save under a new name and start again. "
            "The details help whoever mends it."
        )
        box.setDetailedText(text)
        return box


def _let_interrupts_through(app: QApplication) -> None:
    """Ctrl+C in the terminal closes the window in good order."""
    signal.signal(signal.SIGINT, lambda *_: _close_all(app))
    timer = QTimer(app)
    # Python handles signals only between its own instructions, so Qt lets it run now and then.
    timer.timeout.connect(lambda: None)
    timer.start(WAKE_EVERY_MS)


def _close_all(app: QApplication) -> None:
    app.closeAllWindows()
    app.quit()
