"""How long work says how far it is, and is told to stop."""

from __future__ import annotations

from typing import Protocol


class Cancelled(Exception):
    """The user asked the work to stop; nothing was changed."""


class Progress(Protocol):
    """What a long piece of work reports to. Methods may be called from a worker's thread."""

    def report(self, fraction: float, words: str) -> None:
        """Say how much is done (0 to 1) and what is being done."""

    def check(self) -> None:
        """Raise Cancelled if the user has asked to stop."""


class Silent:
    """A progress that nobody watches and nobody cancels."""

    def report(self, fraction: float, words: str) -> None:
        """Say nothing."""

    def check(self) -> None:
        """Never stop."""
