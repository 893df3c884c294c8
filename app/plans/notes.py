"""The import report: counts, while a plan is read, of what is lost, skipped or guessed."""

from __future__ import annotations

from collections import Counter

from app.plans.cleaning import clean_name
from app.plans.imported import ImportNote

_WORDS = {
    "recovered": "The file is damaged; what could be read was recovered.",
    "repairs": "Errors of structure that were repaired while reading.",
    "entities-dropped": "Things whose data is damaged beyond reading; left out.",
    "encoding": "The text is in another encoding than the file names; it was read as {}.",
    "entity-failed": "Things that could not be drawn because their data is damaged: {}.",
    "unsupported": "Things of a kind that has no flat drawing: {}.",
    "bad-coordinates": "Lines dropped because a coordinate is missing, infinite or absurdly large.",
    "external-missing": "Other drawings that this file refers to and does not contain: {}.",
    "image-skipped": "Pictures that the file refers to; they are not part of the plan.",
    "underlay-skipped": "PDF, DWF or DGN sheets laid under the drawing; they are not read.",
    "mask-skipped": "Masks that cover what lies below them; what they cover is shown.",
    "object-skipped": "Objects embedded from other programs; they are not read.",
    "construction-line": "Construction lines without an end; they are no lines of the plan.",
    "solid-skipped": "Solid bodies, regions and surfaces, which have no lines of their own.",
    "paper-space": "Things drawn on sheets (paper space), which are not read: {}.",
    "dimension-drawn": "Dimensions without a picture of their own; drawn again from their data.",
    "dimension-failed": "Dimensions without a picture and without usable data; skipped.",
    "block-missing": "References to blocks that the file does not contain: {}.",
    "block-cycle": "Blocks that contain themselves; the inner copy was left out: {}.",
    "block-depth": "Blocks nested too deeply; the innermost were left out: {}.",
    "hatch-dense": "Hatch patterns too dense to draw line by line; left out.",
    "hatch-solid": "Hatch patterns so fine that they are shown as filled areas.",
    "text-upright": "Texts that are empty, or do not lie flat; left out.",
    "attribute-definition": "Attribute definitions outside a block; they are no text of the plan.",
    "hidden-layers": "Layers that the file hides; they were read and stay hidden: {}.",
    "stray": "Lines far from the plan; they are shown, but do not count for its size.",
    "too-much": "The drawing is larger than Drawcord reads; the rest was left out.",
}

MOST_NAMES = 6


class Notes:
    """Counts by code, with the first few names that go with each."""

    def __init__(self) -> None:
        """Begin with nothing to say."""
        self._counts: Counter[str] = Counter()
        self._names: dict[str, Counter[str]] = {}

    def add(self, code: str, name: str = "", count: int = 1) -> None:
        """Count one more of a code that the report knows."""
        if code not in _WORDS:
            raise KeyError(code)
        self._counts[code] += count
        if name:
            self._names.setdefault(code, Counter())[clean_name(name)] += count

    def count(self, code: str) -> int:
        """How many there are of a code."""
        return self._counts[code]

    def report(self) -> tuple[ImportNote, ...]:
        """Everything counted, in words."""
        return tuple(
            ImportNote(code=code, count=count, text=_WORDS[code].format(self._listed(code)))
            for code, count in self._counts.items()
        )

    def _listed(self, code: str) -> str:
        names = self._names.get(code, Counter())
        shown = [name if n == 1 else f"{name} ({n})" for name, n in names.most_common(MOST_NAMES)]
        if len(names) > MOST_NAMES:
            shown.append(f"and {len(names) - MOST_NAMES} more")
        return ", ".join(shown) if shown else "unnamed"
