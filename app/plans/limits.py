"""How much of a file is read: bounds that keep a hostile or hopeless drawing from taking over."""

from __future__ import annotations

from dataclasses import dataclass

from app.progress import Progress

MOST_FILE_BYTES = 256 * 1024 * 1024
"""Reading takes some sixteen times the file's size in memory, so this bounds it to about 4 GB."""
MOST_TEXT_LENGTH = 4_000
MOST_NESTING = 24
MOST_COORDINATE = 1e11
"""Coordinates beyond this, in any unit, are no place on earth."""
MOST_HATCH_LINES = 20_000
MOST_HATCH_BOUNDARY = 20_000

ENTITIES_PER_CHECK = 256
DRAWING_SHARE = (0.6, 0.95)
"""The part of the whole import that lies between the first and the last entity drawn."""


class TooMuch(Exception):
    """The drawing has more in it than is read; what was read so far is kept."""


@dataclass(slots=True)
class Budget:
    """What may still be read; spending more raises TooMuch, a user's wish to stop Cancelled."""

    progress: Progress
    entities: int = 2_000_000
    segments: int = 4_000_000
    texts: int = 200_000
    expected_entities: int = 1
    seen_entities: int = 0

    def spend_entity(self) -> None:
        """One more entity of the file, counted once for each time it is visited."""
        self.seen_entities += 1
        if self.seen_entities > self.entities:
            raise TooMuch
        if self.seen_entities % ENTITIES_PER_CHECK == 0:
            self.progress.check()
            share = min(self.seen_entities / self.expected_entities, 1.0)
            begin, end = DRAWING_SHARE
            self.progress.report(begin + (end - begin) * share, "Drawing the plan")

    def spend_geometry(self, segments: int, texts: int) -> None:
        """So many more line segments and texts, counted wherever they are copied."""
        self.segments -= segments
        self.texts -= texts
        if self.segments < 0 or self.texts < 0:
            raise TooMuch
