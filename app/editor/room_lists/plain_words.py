"""Words compared as people mean them: without case, plurals, punctuation and fillers."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterable
from difflib import get_close_matches

_WORD = re.compile(r"[^\W_]+")
_FILLERS = frozenset(
    {"outlet", "no", "nr", "of", "the", "qty", "quantity", "pc", "anzahl", "count", "a", "an"}
)
_LEAST_SINGULAR = 2
_KEPT_ESS = ("ss", "us", "is")
CLOSE_RATIO = 0.72


def singular(word: str) -> str:
    """One of several: boxes, entries, desks. Short words and words like “glass” stay."""
    if len(word) <= _LEAST_SINGULAR or not word.endswith("s") or word.endswith(_KEPT_ESS):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("xes", "ches", "shes", "sses")):
        return word[:-2]
    return word[:-1]


def plain(text: str) -> tuple[str, ...]:
    """The words of a text as they are compared, in their order."""
    folded = unicodedata.normalize("NFKC", text).casefold().replace("'s", "")
    return tuple(singular(w) for w in _WORD.findall(folded))


def telling(text: str) -> frozenset[str]:
    """The words that tell one thing from another; all of them where they are all fillers."""
    words = plain(text)
    return frozenset(w for w in words if w not in _FILLERS) or frozenset(words)


def close(text: str, to: Iterable[str], *, most: int = 3) -> list[str]:
    """Which of these a misspelt text may mean, the likeliest first."""
    named = {" ".join(plain(name)): name for name in to}
    found = get_close_matches(" ".join(plain(text)), list(named), n=most, cutoff=CLOSE_RATIO)
    return [named[name] for name in found]


def all_close(words: Iterable[str], to: Collection[str]) -> bool:
    """Whether every word is spelt nearly as one of the others."""
    return all(get_close_matches(word, to, n=1, cutoff=CLOSE_RATIO) for word in words)
