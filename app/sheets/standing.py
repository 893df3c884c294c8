"""Frames, risers, boxes and other things that stand at a point of a floor, with their symbols."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.drawing.font_metrics import shortened
from app.drawing.primitives import Primitive
from app.drawing.states import look_name
from app.drawing.symbols import (
    Direction,
    riser_label,
    riser_symbol,
    thing_label,
    thing_symbol,
    thing_symbol_names,
)
from app.model.entities import WalkedLength
from app.model.project import Project
from app.model.vocabulary import AccessKind, FrameKind, Units
from app.routing.riser_joints import riser_points
from app.sheets.paper_text import TEXT_MM, folded
from app.takeoff.naming import length_words

_REASON_MM, _REASON_LINES = 42.0, 3
"""As far as the reason of a walked length is written on the plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One thing in its `look`, with a line of text, and `more` lines below it where they have
    room; `legend` is what its symbol means, `mark` how it is drawn there, whatever look it has
    here. `is_place`: it is drawn large. What `is_open` stands about something else, which is
    seen through it.
    """

    id: str
    at_mm: tuple[int, int]
    look: str
    symbol: tuple[Primitive, ...]
    mark: tuple[Primitive, ...]
    legend: str
    text: str = ""
    more: tuple[str, ...] = ()
    turn_mdeg: int = 0
    is_place: bool = False
    is_open: bool = False


def standing_on(project: Project, floor_id: str) -> Iterator[Standing]:
    """Everything that stands on a floor, outlets apart."""
    yield from _frames(project, floor_id)
    yield from _demarcations(project, floor_id)
    yield from _risers(project, floor_id)
    yield from _fittings(project, floor_id)
    yield from _walked(project, floor_id)


def _frames(project: Project, floor_id: str) -> Iterator[Standing]:
    for frame in project.frames.values():
        if frame.floor == floor_id:
            name = "frame_main" if frame.kind is FrameKind.MAIN else "frame_intermediate"
            yield Standing(
                id=frame.id,
                at_mm=(frame.x_mm, frame.y_mm),
                look=look_name(frame),
                symbol=thing_symbol(name, state=look_name(frame)),
                mark=thing_symbol(name),
                legend=thing_label(name),
                text=frame.name,
                turn_mdeg=frame.rotation_mdeg,
                is_place=True,
            )


def _demarcations(project: Project, floor_id: str) -> Iterator[Standing]:
    for point in project.demarcations.values():
        if point.floor == floor_id:
            yield Standing(
                id=point.id,
                at_mm=(point.x_mm, point.y_mm),
                look=look_name(point),
                symbol=thing_symbol("demarcation", state=look_name(point)),
                mark=thing_symbol("demarcation"),
                legend=thing_label("demarcation"),
                text=point.name,
                is_place=True,
            )


def _risers(project: Project, floor_id: str) -> Iterator[Standing]:
    points, floors = riser_points(project), project.floors
    level = floors[floor_id].level_mm
    for riser in project.risers.values():
        at = points[riser.id].get(floor_id)
        if at is None:
            continue
        lower, upper = floors[riser.lower_floor], floors[riser.upper_floor]
        joins = f"{lower.name} – {upper.name}"
        yield Standing(
            id=riser.id,
            at_mm=at,
            look=look_name(riser),
            symbol=riser_symbol(
                riser.kind,
                direction=_direction(lower.level_mm, level, upper.level_mm),
                state=look_name(riser),
            ),
            mark=riser_symbol(riser.kind, direction="through"),
            legend=riser_label(riser.kind),
            text=f"{riser.number}  {joins}" if riser.number else joins,
            is_place=True,
        )


def _direction(lower_mm: int, level_mm: int, upper_mm: int) -> Direction:
    if lower_mm < level_mm < upper_mm:
        return "through"
    return "up" if upper_mm > level_mm else "down"


def _walked(project: Project, floor_id: str) -> Iterator[Standing]:
    for walked in project.walked_lengths.values():
        if walked.floor == floor_id:
            symbol = thing_symbol("walked")
            yield Standing(
                id=walked.id,
                at_mm=(walked.x_mm, walked.y_mm),
                look=look_name(walked),
                symbol=symbol,
                mark=symbol,
                legend=thing_label("walked"),
                text=_lengths(walked, project.settings.units),
                more=_told_why(walked.reason),
            )


def _told_why(reason: str) -> tuple[str, ...]:
    lines = folded(reason, width_mm=_REASON_MM)
    kept = lines[: _REASON_LINES - 1]
    rest = " ".join(lines[len(kept) :])
    last = shortened(rest, width_mm=_REASON_MM, capital_mm=TEXT_MM)
    return (*kept, last) if last else tuple(kept)


def _lengths(walked: WalkedLength, units: Units) -> str:
    """`+4 m`, `61.2 m measured`."""
    parts = [f"+{length_words(walked.added_mm, units)}"] if walked.added_mm else []
    if walked.replaced_mm is not None:
        parts.append(f"{length_words(walked.replaced_mm, units)} measured")
    return ", ".join(parts)


def _fittings(project: Project, floor_id: str) -> Iterator[Standing]:
    for box in project.access_points.values():
        if box.floor == floor_id:
            name = "insert" if box.kind is AccessKind.INSERT else "pull_box"
            yield Standing(
                id=box.id,
                at_mm=(box.x_mm, box.y_mm),
                look=look_name(box),
                symbol=thing_symbol(name, state=look_name(box)),
                mark=thing_symbol(name),
                legend=thing_label(name),
                text=box.number,
            )
    for drop_out in project.drop_outs.values():
        if drop_out.floor == floor_id:
            yield Standing(
                id=drop_out.id,
                at_mm=(drop_out.x_mm, drop_out.y_mm),
                look=look_name(drop_out),
                symbol=thing_symbol("drop_out", state=look_name(drop_out)),
                mark=thing_symbol("drop_out"),
                legend=thing_label("drop_out"),
            )
    for crossing in project.penetrations.values():
        name = f"penetration_{crossing.crossed}"
        if crossing.floor == floor_id and name in thing_symbol_names():
            yield Standing(
                id=crossing.id,
                at_mm=(crossing.x_mm, crossing.y_mm),
                look=look_name(crossing),
                symbol=thing_symbol(name, state=look_name(crossing)),
                mark=thing_symbol(name),
                legend=thing_label(name),
                text=" ".join(filter(None, (crossing.number, crossing.rating))),
                turn_mdeg=crossing.rotation_mdeg,
                is_open=True,
            )
