"""What stands in cells: counts of outlets and areas, read strictly."""

from __future__ import annotations

import re
from collections.abc import Iterable

MOST_OF_A_KIND = 10_000
"""No room has more outlets of a kind."""
LARGEST_AREA_M2 = 1e7
NOTHING = frozenset({"", "-", "–", "—", "n/a", "na"})
_COUNT = re.compile(r"^\+?(\d+)(?:[.,]0{1,2})?$")
_NEGATIVE = re.compile(r"^[-−–]\s*\d")
_AREA = re.compile(
    r"^([-−–]?)\s*(\d[\d.,'’\s]*)\s*(?:m²|m2|qm|sqm|sq\.? ?m|ft²|ft2|sqft|sq\.? ?ft|sf)?$", re.I
)
_GROUP = 3


class BadValue(ValueError):
    """A cell that cannot be read; the message is the part of a sentence that says why."""


def read_count(text: str) -> int | None:
    """A count of outlets; None where nothing is said. Raises BadValue."""
    if text.casefold() in NOTHING:
        return None
    if _NEGATIVE.match(text):
        raise BadValue("is less than none")
    found = _COUNT.match(text)
    if found is None:
        raise BadValue("is no whole number")
    if len(found.group(1)) > len(str(MOST_OF_A_KIND)) or int(found.group(1)) > MOST_OF_A_KIND:
        raise BadValue("is more than any room has")
    return int(found.group(1))


def decimal_sign(texts: Iterable[str]) -> str:
    """Whether a comma or a point parts decimals in a column: as the clear cells have it."""
    votes = {",": 0, ".": 0}
    for text in texts:
        last = max(text.rfind(","), text.rfind("."))
        if last < 0:
            continue
        both = "," in text and "." in text
        tail = len("".join(c for c in text[last + 1 :] if c.isdigit()))
        if both or tail != _GROUP:
            votes[text[last]] += 1
    if votes[","] == votes["."]:
        return "." if any("." in t for t in texts) else ","
    return max(votes, key=lambda sign: votes[sign])


def read_area(text: str, *, decimal: str) -> float | None:
    """An area in the unit of its column; None where nothing is said. Raises BadValue."""
    if text.casefold() in NOTHING:
        return None
    found = _AREA.match(text)
    if found is None:
        raise BadValue("is no area")
    if found.group(1):
        raise BadValue("is less than none")
    other = "." if decimal == "," else ","
    plain = "".join(c for c in found.group(2) if c.isdigit() or c in ".,")
    plain = plain.replace(other, "").replace(decimal, ".")
    try:
        area = float(plain)
    except ValueError:
        raise BadValue("is no area") from None
    if area > LARGEST_AREA_M2:
        raise BadValue("is larger than any room")
    return area
