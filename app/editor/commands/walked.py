"""Walked lengths: what somebody added or measured at a place on a pathway, riser or duct."""

import math
from dataclasses import dataclass

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.shapes import flat, riser_point
from app.editor.measures import format_length, parse_length
from app.editor.wording import capital, name_of
from app.geometry.along_lines import place_on
from app.geometry.similarity import to_mm
from app.model.entities import OutdoorDuct, Pathway, Point, Riser, WalkedLength
from app.model.ids import Source, new_id, random_characters
from app.model.project import Project, adding
from app.model.vocabulary import Units

ODD_SHARE = 1.5
"""A measured length that is so many times the drawn one, or less by as much, is asked about.
Source: practice."""
HOW = "Type +4 and why for what a cable takes more, or 61.2 and why for what was measured."


@dataclass(frozen=True, kw_only=True)
class Said:
    """What was typed: an addition or a measured length, and the reason."""

    added_mm: int
    measured_mm: int | None
    reason: str


def parse_walked(text: str, units: Units) -> Said:
    """`+4 m round the duct`, `61.2 by tape`. Raises InputProblem."""
    plain = text.strip()
    adds = plain.startswith("+")
    words = plain.removeprefix("+").replace(",", " , ").split()
    for count in range(len(words), 0, -1):
        try:
            length = parse_length(" ".join(words[:count]), units)
        except InputProblem:
            continue
        reason = " ".join(words[count:]).replace(" ,", ",").strip(" ,;:")
        if length <= 0:
            raise InputProblem("A walked length is above 0. " + HOW)
        if not reason:
            raise InputProblem("Say why too, as in +4 round the duct, or 61.2 by tape.")
        if adds:
            return Said(added_mm=length, measured_mm=None, reason=reason)
        return Said(added_mm=0, measured_mm=length, reason=reason)
    raise InputProblem(HOW)


def add_walked(
    project: Project,
    *,
    along_id: str,
    floor_id: str,
    at: Point,
    said: Said,
    by: str = "",
    date: str = "",
    source: Source = random_characters,
) -> Outcome:
    """A walked length at the nearest place of a pathway, riser or duct; asks where what was
    measured is far from what is drawn."""
    along = project.get(along_id)
    if not isinstance(along, Pathway | Riser | OutdoorDuct):
        raise InputProblem("Click on the pathway, riser or duct that the length belongs to.")
    if not said.reason.strip():
        raise InputProblem("A walked length wants its reason: what the tape went round.")
    made = WalkedLength(
        id=new_id("walked-length", project.walked_lengths, source),
        floor=floor_id,
        along=along.id,
        x_mm=at[0],
        y_mm=at[1],
        added_mm=said.added_mm,
        replaced_mm=said.measured_mm,
        reason=said.reason.strip(),
        by=by,
        date=date,
    )
    units = project.settings.units
    placed = _on_its_way(project, made, along)
    length = said.added_mm if said.measured_mm is None else said.measured_mm
    word = "Add" if said.measured_mm is None else "Measure"
    label = f"{word} {format_length(length, units)} on {name_of(along)}"
    patch = adding(label, [placed])
    drawn = None if isinstance(along, Riser) else drawn_mm(along, (placed.x_mm, placed.y_mm))
    if said.measured_mm is None or drawn is None or _is_likely(said.measured_mm, drawn):
        return patch
    return Question(
        text=f"{capital(name_of(along))} is drawn {format_length(drawn, units)} long here and "
        f"measured {format_length(said.measured_mm, units)}. Is that right?",
        answers=(
            Answer(label="It is right", patch=patch),
            Answer(label="Leave it"),
        ),
    )


def _is_likely(measured_mm: int, drawn_mm: int) -> bool:
    return drawn_mm <= measured_mm * ODD_SHARE and measured_mm <= drawn_mm * ODD_SHARE


def _on_its_way(
    project: Project, made: WalkedLength, along: Pathway | Riser | OutdoorDuct
) -> WalkedLength:
    x, y = place_of_walked(project, made, along, (made.x_mm, made.y_mm))
    return replace(made, x_mm=x, y_mm=y)


def place_of_walked(
    project: Project,
    walked: WalkedLength,
    along: Pathway | Riser | OutdoorDuct,
    near: tuple[float, float],
) -> tuple[int, int]:
    """The place on its way that is nearest to a point; on a riser where it passes the floor."""
    if isinstance(along, Riser):
        x, y = riser_point(project, along, walked.floor)
    else:
        place = place_on(flat(along.vertices), near)
        x, y = place.x, place.y
    return to_mm(x), to_mm(y)


def drawn_mm(along: Pathway | OutdoorDuct, at: Point) -> int:
    """The drawn length of the straight stretch of a line that passes nearest to a point."""
    piece = place_on(flat(along.vertices), at).piece
    return to_mm(math.dist(along.vertices[piece], along.vertices[piece + 1]))


def walked_words(walked: WalkedLength, units: Units) -> str:
    """`+4.00 m round the duct`, `61.20 m measured: by tape`."""
    parts = []
    if walked.added_mm:
        parts.append(f"+{format_length(walked.added_mm, units)}")
    if walked.replaced_mm is not None:
        parts.append(f"{format_length(walked.replaced_mm, units)} measured")
    return " ".join([", ".join(parts), walked.reason]).strip()
