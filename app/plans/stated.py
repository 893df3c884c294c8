"""Lengths and areas as people write them on drawings."""

from __future__ import annotations

import re

MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8
M2_PER_SQUARE_FOOT = 0.09290304
THOUSANDS_DIGITS = 3
LONGEST_LENGTH, LONGEST_AREA = 40, 200
"""Longer texts are prose, or meant to take long to read."""

_MM_PER: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": MM_PER_INCH,
    "ft": MM_PER_FOOT,
}
_NUMBER = r"\d+(?:[ ,.'’]\d{3})*(?:[.,]\d+)?"
_METRIC = re.compile(rf"({_NUMBER})\s*(mm|cm|m|in|ft)\.?", re.IGNORECASE)
_BARE = re.compile(rf"{_NUMBER}")
_FEET_INCHES = re.compile(
    r"(?:(?P<feet>\d+(?:\.\d+)?)\s*['′])?\s*-?\s*"
    r"(?:(?P<inches>\d+(?:\.\d+)?)?\s*-?\s*(?:(?P<over>\d+)/(?P<under>\d+))?\s*[\"″])?"
)
_AREA = re.compile(
    rf"(?<![\d.,])({_NUMBER})\s*(m2|m²|m\^2|sq\.?\s*m|sqm|sf|s\.f\.|sq\.?\s*ft\.?|sqft|ft2|ft²)(?![a-z])",
    re.IGNORECASE,
)


def stated_length(text: str) -> tuple[float | None, float | None]:
    """The millimetres that a dimension's text states, or else the bare number that it states."""
    if len(text) > LONGEST_LENGTH:
        return None, None
    text = text.strip().lstrip("~=±").strip()
    metric = _METRIC.fullmatch(text)
    if metric is not None:
        return _number(metric[1]) * _MM_PER[metric[2].lower()], None
    feet = _FEET_INCHES.fullmatch(text)
    if feet is not None and text:
        return _feet_inches_mm(feet), None
    if _BARE.fullmatch(text):
        return None, _number(text)
    return None, None


def _feet_inches_mm(match: re.Match[str]) -> float | None:
    under = float(match["under"] or 1)
    if under == 0:
        return None
    inches = float(match["inches"] or 0) + float(match["over"] or 0) / under
    return float(match["feet"] or 0) * MM_PER_FOOT + inches * MM_PER_INCH


def stated_area_m2(text: str) -> float | None:
    """The area that a text states, in square metres."""
    match = _AREA.search(text[:LONGEST_AREA])
    if match is None:
        return None
    unit = match[2].lower()
    is_metric = "m" in unit
    return _number(match[1]) * (1.0 if is_metric else M2_PER_SQUARE_FOOT)


def _number(text: str) -> float:
    """A number written with either mark for decimals and any for thousands."""
    text = re.sub(r"[ '’]", "", text)
    marks = [character for character in text if character in ",."]
    if not marks:
        return float(text)
    last = max(text.rfind(","), text.rfind("."))
    whole, rest = text[:last], text[last + 1 :]
    is_grouping = len(rest) == THOUSANDS_DIGITS and (
        (marks[-1] == "," and whole.lstrip("0") != "") or marks.count(marks[-1]) > 1
    )
    whole = whole.replace(",", "").replace(".", "")
    return float(whole + rest) if is_grouping else float(f"{whole}.{rest}")
