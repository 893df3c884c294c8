"""What is printed: readable in every terminal encoding and when piped, progress apart."""

from __future__ import annotations

import codecs
import re
import sys
import time
from collections.abc import Sequence
from typing import TextIO

_PLAIN = {
    "“": '"',
    "”": '"',
    "‘": "'",
    "’": "'",
    "–": "-",
    "—": "-",
    "−": "-",
    "…": "...",
    "·": "-",
    "×": "x",
    "²": "2",
    "³": "3",
    "°": " deg",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "µ": "u",
    "\u00a0": " ",
    "\u202f": " ",
}
_HANDLER = "drawcord-plain"
_REPORTED_EVERY_S = 0.1
_SHOWN_AFTER_S = 0.4
_WIDE = 60
_COMMANDS_TERMINALS = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Signs that a terminal obeys instead of showing them, and those that turn the reading order."""


def _plainly(error: UnicodeError) -> tuple[str | bytes, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    letters = error.object[error.start : error.end]
    return "".join(_PLAIN.get(letter, "?") for letter in letters), error.end


codecs.register_error(_HANDLER, _plainly)


def accept_every_letter() -> None:
    """Let the streams write a near letter where their encoding lacks one, and never raise."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors=_HANDLER)


def say(text: str, *, to: TextIO | None = None) -> None:
    """Print lines; names from a stranger's project cannot command the terminal."""
    print(_COMMANDS_TERMINALS.sub("\ufffd", text), file=to)


class TerminalProgress:
    """Shows on one line of a terminal how far a job is; silent when piped."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._shows = stream.isatty()
        self._start = self._last = time.monotonic()
        self._written = False

    def report(self, fraction: float, words: str) -> None:
        """Say how much is done, now and then."""
        now = time.monotonic()
        if not self._shows or now - self._start < _SHOWN_AFTER_S:
            return
        if now - self._last >= _REPORTED_EVERY_S:
            self._last, self._written = now, True
            self._stream.write(f"\r{fraction:4.0%}  {words[:_WIDE]:<{_WIDE}}")
            self._stream.flush()

    def check(self) -> None:
        """Never stop: Ctrl-C does that."""

    def clear(self) -> None:
        """Take the line away before anything else is printed."""
        if self._written:
            self._stream.write(f"\r{'':{_WIDE + 6}}\r")
            self._stream.flush()
            self._written = False


def columns(rows: Sequence[tuple[str, ...]], *, right: frozenset[int] = frozenset()) -> list[str]:
    """Rows as lines with their columns lined up; those in `right` end in line."""
    if not rows:
        return []
    widths = [max(len(row[c]) for row in rows) for c in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = (
            cell.rjust(width) if c in right else cell.ljust(width)
            for c, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.append("  ".join(cells).rstrip())
    return lines
