"""What is printed while a job runs."""

import io

from app.cli import terminal
from app.cli.terminal import TerminalProgress


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_progress_is_one_line_that_goes_away_again(monkeypatch):
    clock = iter([0.0, 0.1, 1.0, 1.05, 2.0])
    monkeypatch.setattr(terminal.time, "monotonic", lambda: next(clock))
    screen = Screen()
    progress = TerminalProgress(screen)
    progress.report(0.1, "too early to be shown")
    progress.report(0.5, "Routing")
    progress.report(0.6, "too soon after the last")
    progress.report(0.7, "Checking")
    progress.clear()
    shown = screen.getvalue()
    assert "\n" not in shown
    assert [part.split() for part in shown.split("\r") if part.strip()] == [
        ["50%", "Routing"],
        ["70%", "Checking"],
    ]
    last = shown.split("\r")[-2]
    assert last.strip() == ""
    assert len(last) >= max(map(len, shown.split("\r")))
    progress.clear()
    assert screen.getvalue() == shown


def test_nothing_is_shown_when_piped(monkeypatch):
    clock = iter(range(100))
    monkeypatch.setattr(terminal.time, "monotonic", lambda: next(clock))
    pipe = io.StringIO()
    progress = TerminalProgress(pipe)
    progress.report(0.5, "Routing")
    progress.clear()
    assert pipe.getvalue() == ""
