"""Patterns of numbers: plain words in braces, such as `{floor}-{room}-{nn}`.

A word stands for what the thing is or where it stands; a row of n counts, with at least as many
digits. What stands before and after the counter tells the counters apart: `{floor}-{room}-{nn}`
counts in every room by itself. A word that has nothing to say falls away together with the mark
that parts it from its neighbour: outside every room the same pattern gives `2-01`.
"""

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import NamedTuple

from app.editor.asking import InputProblem

LONGEST_NUMBER = 200
MARKS = "-./_: "
"""What parts the words of a number."""
COUNTER = re.compile(r"n{1,6}")
_PARTS = re.compile(r"\{([^{}]*)\}")

OUTLET_WORDS: Mapping[str, str] = {
    "building": "the building's name",
    "floor": "the floor's name",
    "room": "the number of the room it stands in",
}
CABLE_WORDS: Mapping[str, str] = {
    "frame": "the frame's name",
    "panel": "the panel's name",
    "port": "the port on the panel, two digits",
    "outlet": "the outlet's number",
    "p": "the port's place on the plate: a, b, …",
    **OUTLET_WORDS,
}
COUNTS = "counts, with as many digits as it has n"
_OF_PANELS = frozenset({"frame", "panel", "port"})
_OF_PLATES = frozenset({"outlet", "p"})


class Split(NamedTuple):
    """A pattern with its words filled in: what stands before the counter, and after it."""

    before: str
    width: int
    after: str

    def number(self, count: int) -> str:
        return f"{self.before}{count:0{self.width}d}{self.after}"


class Pattern(NamedTuple):
    """Texts and words in turn, a text first and last; `counter` is its digits, 0 without one."""

    texts: tuple[str, ...]
    words: tuple[str, ...]
    counter: int

    def split(self, values: Mapping[str, str]) -> Split:
        """Its words filled in, around the counter. Raises InputProblem."""
        said = self._said({**values, "n": "\0"})
        before, counted, after = said.partition("\0")
        if len(said) > LONGEST_NUMBER:
            raise InputProblem("That pattern is too long for a number.")
        return Split(before, self.counter if counted else 0, after)

    def said(self, values: Mapping[str, str]) -> str:
        """Its words filled in, where there is no counter."""
        return self._said(values)[:LONGEST_NUMBER]

    def _said(self, values: Mapping[str, str]) -> str:
        out = self.texts[0]
        for word, text in zip(self.words, self.texts[1:], strict=True):
            value = values.get("n" if COUNTER.fullmatch(word) else word, "")
            if value:
                out += value + text
            elif text[:1] and text[0] in MARKS:
                out += text[1:]
            elif out and out[-1] in MARKS:
                out = out[:-1] + text
            else:
                out += text
        return out


@lru_cache(maxsize=200)
def _parsed(pattern: str) -> Pattern:
    pieces = _PARTS.split(pattern)
    words = tuple(w.strip().lower() for w in pieces[1::2])
    counters = [w for w in words if COUNTER.fullmatch(w)]
    return Pattern(tuple(pieces[::2]), words, len(counters[0]) if len(counters) == 1 else 0)


def outlet_pattern(pattern: str) -> Pattern:
    """A pattern of outlet numbers. Raises InputProblem with what is wrong and the words known."""
    found = _known(pattern, OUTLET_WORDS)
    if found.counter == 0:
        raise InputProblem(
            f"The pattern “{pattern}” needs one counter, such as {{nn}} for two digits."
        )
    return found


def cable_pattern(pattern: str) -> Pattern:
    """A pattern of cable numbers, which must tell all cables apart. Raises InputProblem."""
    found = _known(pattern, CABLE_WORDS)
    words = set(found.words)
    if not (found.counter or words >= _OF_PANELS or words >= _OF_PLATES):
        raise InputProblem(
            f"The pattern “{pattern}” would give several cables one number; it needs {{frame}}, "
            "{panel} and {port}, or {outlet} and {p}, or a counter such as {nnnn}."
        )
    return found


def wants_panel(pattern: Pattern) -> bool:
    """Whether a cable has its number only once it has a panel and a port."""
    return not _OF_PANELS.isdisjoint(pattern.words)


def words_of(words: Mapping[str, str]) -> str:
    """“{floor}, {room} and {nn}”."""
    return ", ".join("{" + w + "}" for w in words) + " and a counter such as {nn}"


def _known(pattern: str, known: Mapping[str, str]) -> Pattern:
    found = _parsed(pattern)
    if any("{" in text or "}" in text for text in found.texts):
        raise InputProblem(f"In the pattern “{pattern}” a brace is open; write words as {{floor}}.")
    counters = [w for w in found.words if COUNTER.fullmatch(w)]
    strange = next((w for w in found.words if w not in known and w not in counters), None)
    if strange is not None:
        raise InputProblem(
            f"“{{{strange}}}” means nothing in this pattern; the words are {words_of(known)}."
        )
    if len(counters) > 1:
        raise InputProblem(f"The pattern “{pattern}” has {len(counters)} counters; leave one.")
    return found


def place_letter(index: int) -> str:
    """The place of a port on its plate: 0 is a, 25 is z, 26 is aa."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("a") + rest) + letters
    return letters


_DIGITS = re.compile(r"(\d+)")


@lru_cache(maxsize=20_000)
def natural(text: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts numbers as people do: 2-9 before 2-10."""
    parts = _DIGITS.split(text)
    return tuple((0, int(p), "") if i % 2 else (1, 0, p.lower()) for i, p in enumerate(parts))
