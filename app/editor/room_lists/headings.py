"""Which column of a list says what: guessed from headings, remembered from the last time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher

import msgspec

from app.editor.room_lists.kind_words import kind_meant
from app.editor.room_lists.plain_words import CLOSE_RATIO, plain
from app.model.building import ColumnMatch
from app.model.project import Project
from app.storage.list_rows import ListFile

LEFT_OUT = ""
NUMBER, NAME, FLOOR, USE, AREA, NOTE = "number", "name", "floor_name", "use", "area_m2", "note"
FIELDS: Mapping[str, str] = {
    NUMBER: "Room number",
    NAME: "Room name",
    FLOOR: "Floor",
    USE: "Use",
    AREA: "Area",
    NOTE: "Note",
}
"""What a column may say beside counts of a kind; the words that stand in choices."""
_SAID: Mapping[str, str] = {
    NUMBER: "room|room no|room nr|room number|room id|number|no|nr|space|space number|space no|"
    "raum|raumnummer|raum nr|raumnr|zimmer|zimmernummer|local|salle|numero|pièce|vano|lokaal|rm",
    NAME: "name|room name|room description|description|designation|title|space name|bezeichnung|"
    "raumname|raumbezeichnung|nom|désignation|navn|naam",
    FLOOR: "floor|level|storey|story|floor name|floor level|geschoss|etage|ebene|stockwerk|niveau|"
    "étage|verdieping",
    USE: "use|usage|function|room type|space type|room use|type of room|nutzung|nutzungsart|"
    "raumnutzung|usage type",
    AREA: "area|net area|floor area|room area|nia|gia|fläche|flaeche|grundfläche|nettofläche|"
    "surface|superficie|size",
    NOTE: "note|remark|comment|bemerkung|anmerkung|remarque|hinweis",
}
_FIELD_OF = {plain(said): field for field, every in _SAID.items() for said in every.split("|")}
_FEET = frozenset({"ft", "ft2", "sqft", "feet", "foot", "sf"})
_METRES = frozenset({"m", "m2", "sqm", "qm"})
_UNITS = _FEET | _METRES | {"sq", "square", "in"}
M2_PER_FT2 = 0.09290304
HEADINGS_WITHIN = 30
LEAST_HEADINGS = 2


class Guess(msgspec.Struct, frozen=True, kw_only=True):
    """What a column says beyond doubt (or LEFT_OUT), and what it may say, to be asked."""

    means: str = LEFT_OUT
    likely: tuple[str, ...] = ()


def heading_key(heading: str) -> str:
    """A heading as it is compared with that of an earlier list."""
    return " ".join(plain(heading))


def remembered_columns(columns: Sequence[ColumnMatch]) -> dict[str, str]:
    """By heading what its column says, as it was matched before."""
    return {heading_key(c.heading): c.means for c in columns}


def guess_columns(
    project: Project, headings: Sequence[str], remembered: Mapping[str, str]
) -> list[Guess]:
    """A guess for every column; what was matched before goes first, each meaning once."""
    taken: set[str] = set()
    out = []
    for heading in headings:
        guess = _guess(project, heading, remembered)
        if guess.means and guess.means in taken:
            guess = Guess(likely=tuple(dict.fromkeys((guess.means, *guess.likely))))
        taken.add(guess.means)
        out.append(guess)
    return out


def _guess(project: Project, heading: str, remembered: Mapping[str, str]) -> Guess:
    said = plain(heading)
    if not said:
        return Guess()
    known = remembered.get(heading_key(heading))
    if known is not None and (known in FIELDS or known in project.outlet_kinds or not known):
        return Guess(means=known)
    field = _FIELD_OF.get(said) or _area(said)
    if field is not None:
        return Guess(means=field)
    kind = kind_meant(project.outlet_kinds.values(), heading)
    if kind.kind is not None:
        return Guess(means=kind.kind, likely=kind.likely)
    return Guess(likely=(*kind.likely, *_near_fields(said)))


def _area(said: tuple[str, ...]) -> str | None:
    """Areas are known by their name with a unit, or by the unit alone."""
    bare = tuple(word for word in said if word not in _UNITS)
    return AREA if not bare or _FIELD_OF.get(bare) == AREA else None


def _near_fields(said: tuple[str, ...]) -> list[str]:
    text = " ".join(said)
    near = {
        field: max(
            SequenceMatcher(None, text, " ".join(words)).ratio()
            for words, of in _FIELD_OF.items()
            if of == field
        )
        for field in FIELDS
    }
    return [f for f, ratio in sorted(near.items(), key=lambda i: -i[1]) if ratio >= CLOSE_RATIO]


def heading_line(project: Project, read: ListFile, remembered: Mapping[str, str]) -> int:
    """The line that holds the headings: of the first ones that with most columns known, else
    the first."""
    best, line = LEAST_HEADINGS - 1, read.rows[0].line
    for row in read.rows[:HEADINGS_WITHIN]:
        known = sum(bool(g.means) for g in guess_columns(project, row.cells, remembered))
        if known > best:
            best, line = known, row.line
    return line


def in_square_feet(heading: str, *, otherwise: bool) -> bool:
    """Whether a heading of areas says square feet; without a unit, as the project has it."""
    words = frozenset(plain(heading))
    return bool(words & _FEET) or (otherwise and not words & _METRES)
