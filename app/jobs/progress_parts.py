"""A part of a piece of work reports as a part of the whole."""

from __future__ import annotations

from app.progress import Progress


class Part:
    """Passes on what a part reports, as the stretch from `start` to `end` of the whole."""

    def __init__(self, whole: Progress, start: float, end: float) -> None:
        self._whole, self._start, self._end = whole, start, end

    def report(self, fraction: float, words: str) -> None:
        """Say how much of the part is done."""
        self._whole.report(self._start + (self._end - self._start) * fraction, words)

    def check(self) -> None:
        """Raise Cancelled if the user has asked to stop."""
        self._whole.check()
