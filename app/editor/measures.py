"""Lengths and angles as people write them, and as the program writes them.

Exact throughout: a text becomes a fraction of a millimetre and is rounded once, half up; a
minus mirrors what it stands before.
A number without a sign is metres in metric units and feet in US units.
"""

import math
import re
from fractions import Fraction

from app.editor.asking import InputProblem
from app.model.entities import FURTHEST_MM
from app.model.vocabulary import Units

MM_PER_FOOT = Fraction(3048, 10)
MM_PER_INCH = Fraction(254, 10)
INCHES_PER_FOOT = 12
MDEG_PER_DEGREE = 1_000
WHOLE_TURN_DEGREES = 360
LONGEST_TEXT = 64

_MM_PER_SIGN: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1_000),
    "'": MM_PER_FOOT,
    '"': MM_PER_INCH,
}
_SPELLINGS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "cm": ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "'": ("'", "′", "’", "‘", "ft", "ft.", "foot", "feet"),
    '"': ('"', "″", "”", "“", "''", "in", "in.", "inch", "inches"),
}
_SIGN_OF = {spelling: sign for sign, spellings in _SPELLINGS.items() for spelling in spellings}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_MINUS = {"−": "-", "–": "-"}
_DEGREE_WORDS = ("°", "deg", "degree", "degrees")

_NUMBER = re.compile(r"\d+ +\d+/\d+|\d+/\d+|\d+\.\d+|\d+|\.\d+", re.ASCII)
_SIGN = re.compile(r"''|[a-z]+\.?|[\"'′″’‘”“]")
_DENOMINATORS = (1, 2, 4, 8, 16, 32)
"""Thirty-seconds of an inch are finer than a millimetre, so they can say every one."""


def parse_length(text: str, units: Units) -> int:
    """A typed length in millimetres; a leading minus makes it negative.

    `7.25`, `3.6 m`, `7200 mm`, `12'6"`, `41' 2 1/2"`, `6 ft`, `½ in`. Raises InputProblem.
    """
    plain = _plain(text)
    negative, plain = plain.startswith("-"), plain.removeprefix("-").lstrip()
    mm = checked_mm(_sum_of_pieces(_pieces(plain, text), units, text))
    return -mm if negative else mm


def checked_mm(length: Fraction) -> int:
    """Whole millimetres, half up. Raises InputProblem beyond what a project can hold."""
    mm = math.floor(length + Fraction(1, 2))
    if abs(mm) > FURTHEST_MM:
        raise InputProblem(
            f"That is {abs(mm) // 1_000} m, more than the {FURTHEST_MM // 1_000} m "
            "a project can hold; look at the unit."
        )
    return mm


def parse_angle(text: str) -> int:
    """A typed angle in thousandths of a degree, anticlockwise: `30°`, `-22.5`, `30 deg`."""
    plain = _plain(text).lower()
    for word in sorted(_DEGREE_WORDS, key=len, reverse=True):
        plain = plain.removesuffix(word).rstrip()
    negative, plain = plain.startswith("-"), plain.removeprefix("-").lstrip()
    if _NUMBER.fullmatch(plain) is None:
        raise InputProblem(f"“{text.strip()}” is no angle; write it like 30° or 22.5°.")
    degrees = _number(plain, text)
    if degrees > WHOLE_TURN_DEGREES:
        raise InputProblem("An angle lies between −360° and 360°.")
    mdeg = math.floor(degrees * MDEG_PER_DEGREE + Fraction(1, 2))
    return -mdeg if negative else mdeg


def parse_count(text: str, *, least: int, most: int, what: str) -> int:
    """A typed whole number within bounds. Raises InputProblem."""
    plain = text.strip()
    if re.fullmatch(r"\d{1,9}", plain, re.ASCII) is None:
        raise InputProblem(f"“{plain}” is no number of {what}; write a whole number.")
    count = int(plain)
    if not least <= count <= most:
        raise InputProblem(f"The number of {what} lies between {least} and {most}.")
    return count


def format_length(mm: int, units: Units) -> str:
    """A length that reads back as the same millimetres: `7.25 m`, `41' 2 1/2"`."""
    sign = "−" if mm < 0 else ""
    if units is Units.US:
        return sign + _feet_and_inches(abs(mm))
    metres, rest = divmod(abs(mm), 1_000)
    digits = f"{rest:03d}"
    return f"{sign}{metres}.{digits.removesuffix('0') if digits.endswith('0') else digits} m"


def format_reading(mm: int, units: Units) -> str:
    """A length to be glanced at while drawing: to a centimetre, or half an inch."""
    if units is Units.US:
        halves = math.floor(abs(mm) / MM_PER_INCH * 2 + Fraction(1, 2))
        return ("−" if mm < 0 else "") + _feet_inches_text(halves, 2)
    return f"{'−' if mm < 0 else ''}{math.floor(abs(mm) / 10 + 0.5) / 100:.2f} m"


def format_angle(mdeg: int) -> str:
    """An angle in degrees, without digits that say nothing: `30°`, `22.5°`."""
    sign = "−" if mdeg < 0 else ""
    degrees, rest = divmod(abs(mdeg), MDEG_PER_DEGREE)
    decimals = f".{rest:03d}".rstrip("0").rstrip(".")
    return f"{sign}{degrees}{decimals}°"


def format_area(mm2: float, units: Units) -> str:
    """An area to a tenth of a square metre, or a whole square foot."""
    if units is Units.US:
        return f"{mm2 / float(MM_PER_FOOT**2):.0f} ft²"
    return f"{mm2 / 1e6:.1f} m²"


def _feet_and_inches(mm: int) -> str:
    for denominator in _DENOMINATORS:
        parts = math.floor(mm / MM_PER_INCH * denominator + Fraction(1, 2))
        if math.floor(parts * MM_PER_INCH / denominator + Fraction(1, 2)) == mm:
            break
    return _feet_inches_text(parts, denominator)


def _feet_inches_text(parts: int, denominator: int) -> str:
    inches, part = divmod(parts, denominator)
    feet, inches = divmod(inches, INCHES_PER_FOOT)
    fraction = f"{Fraction(part, denominator)}" if part else ""
    whole = "" if inches == 0 and fraction else str(inches)
    inch_text = " ".join(t for t in (whole, fraction) if t) + '"'
    return f"{feet}' {inch_text}" if feet else inch_text


def _plain(text: str) -> str:
    """The text with one spelling for minus, fractions and spaces."""
    if len(text) > LONGEST_TEXT:
        raise InputProblem("That is too long for a length; write it like 7.25 m or 12' 6\".")
    plain = text.strip().lower()
    for sign, minus in _MINUS.items():
        plain = plain.replace(sign, minus)
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    if re.search(r"\d,\d{3}(?!\d)", plain):
        raise InputProblem(
            f"“{text.strip()}” can be read in two ways; write the decimals after a point."
        )
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    return re.sub(r"\s+", " ", plain).strip()


def _pieces(plain: str, text: str) -> list[tuple[str, str | None]]:
    """`12' 6"` -> [("12", "'"), ("6", '"')]; the sign is None where there is none."""
    pieces: list[tuple[str, str | None]] = []
    rest = plain
    while rest:
        number = _NUMBER.match(rest)
        if number is None:
            raise _no_length(text)
        rest = rest[number.end() :].lstrip()
        sign = _SIGN.match(rest)
        if sign is None:
            pieces.append((number.group(), None))
        else:
            if sign.group() not in _SIGN_OF:
                raise InputProblem(
                    f"“{sign.group()}” is no unit of length; use mm, cm, m, ft (') or in (\")."
                )
            pieces.append((number.group(), _SIGN_OF[sign.group()]))
            rest = rest[sign.end() :].lstrip()
        if pieces[-1][1] == "'":
            rest = rest.removeprefix("-").lstrip()
    return pieces


def _sum_of_pieces(pieces: list[tuple[str, str | None]], units: Units, text: str) -> Fraction:
    """One length, or feet and then inches; anything else is refused."""
    match pieces:
        case [(number, None)]:
            if "/" in number:
                raise InputProblem(
                    f"Is “{text.strip()}” feet or inches? Write {number}' or {number}\"."
                )
            sign = "'" if units is Units.US else "m"
            return _number(number, text) * _MM_PER_SIGN[sign]
        case [(number, str(sign))]:
            return _number(number, text) * _MM_PER_SIGN[sign]
        case [(feet, "'"), (inches, '"' | None)]:
            if not feet.isdecimal():
                raise InputProblem(f"Before inches, feet are whole: “{text.strip()}” is not clear.")
            inch_count = _number(inches, text)
            if inch_count >= INCHES_PER_FOOT:
                raise InputProblem(f"A foot has 12 inches; “{text.strip()}” has more after it.")
            return int(feet) * MM_PER_FOOT + inch_count * MM_PER_INCH
    raise _no_length(text)


def _number(number: str, text: str) -> Fraction:
    try:
        return sum((Fraction(part) for part in number.split()), Fraction(0))
    except ZeroDivisionError:
        raise InputProblem(f"Nothing is divided by 0, as in “{text.strip()}”.") from None


def _no_length(text: str) -> InputProblem:
    said = f"“{text.strip()}” is no length" if text.strip() else "There is no length here"
    return InputProblem(f"{said}; write it like 7.25 m, 7250 mm or 12' 6\".")
