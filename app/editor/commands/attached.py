"""What belongs to pathways goes along when they change: branches, boxes, drop-outs, keep-aparts.

A box keeps its place on its piece of the pathway, and so does a penetration or walked length; on
a riser they stay where it passes their floor. A drop-out or keep-apart goes to the crossing of
its two pathways that is nearest. What no longer lies on its pathways is asked for.
"""

import math
from collections.abc import Iterable, Mapping
from typing import cast

from msgspec.structs import replace

from app.editor.asking import Answer, Outcome, Question
from app.editor.commands.branches import branches_of
from app.editor.commands.shapes import flat, riser_point
from app.editor.wording import counted
from app.geometry.along_lines import crossings, place_on, point_at
from app.geometry.similarity import direction_mdeg, normal_mdeg, to_mm
from app.model.entities import (
    AccessPoint,
    Break,
    DropOut,
    Entity,
    OutdoorDuct,
    Pathway,
    Penetration,
    Riser,
    WalkedLength,
)
from app.model.project import AnyEntity, Change, Patch, Project, changing

Attached = AccessPoint | DropOut | Break | Penetration | WalkedLength
Carrier = Pathway | Riser | OutdoorDuct
ON_ONE = (AccessPoint, Penetration, WalkedLength)
"""What sits on one pathway, not where two cross."""
XY = tuple[float, float]


def with_followers(
    project: Project,
    label: str,
    pairs: Iterable[tuple[Entity, Entity]],
    *,
    extra: Iterable[Change] = (),
    leave: str = "Leave it as it is",
) -> Outcome:
    """The patch of changed things, with all that sits on changed pathways in its new place.

    `extra` are further changes of the same edit. Where something would lie off its pathways,
    a question: remove it with the edit, or do not make the edit.
    """
    changed = {before.id: (before, after) for before, after in pairs}
    changed.update(branches_of(project, changed))
    lost: list[Attached] = []
    for thing in _sitting_on(project, changed):
        at = _new_place(project, thing, changed)
        if at is None:
            lost.append(thing)
            changed.pop(thing.id, None)
        elif at != (thing.x_mm, thing.y_mm) or thing.id in changed:
            after = cast(Attached, changed[thing.id][1]) if thing.id in changed else thing
            changed[thing.id] = (thing, _turned_along(_at(after, at), thing, changed))
    patch = changing(label, changed.values())
    patch = Patch(label, (*patch.changes, *extra))
    if not lost:
        return patch
    removals = tuple(Change(t.id, cast(AnyEntity, t), None) for t in lost)
    said = counted(lost)
    them = "it" if len(lost) == 1 else "them"
    return Question(
        text=f"{label}: {said} would no longer lie on "
        f"{'its' if len(lost) == 1 else 'their'} pathway. Remove {them}?",
        answers=(
            Answer(label=f"Remove {said}", patch=Patch(label, (*patch.changes, *removals))),
            Answer(label=leave),
        ),
    )


def attached_to(project: Project, ids: Iterable[str]) -> list[Attached]:
    """All that sits on any of these pathways, risers and ducts."""
    wanted = set(ids)
    boxes = [a for a in project.access_points.values() if a.pathway in wanted]
    crossings_: list[DropOut | Break] = [*project.drop_outs.values(), *project.breaks.values()]
    both = [c for c in crossings_ if c.pathway_a in wanted or c.pathway_b in wanted]
    openings = [p for p in project.penetrations.values() if p.through in wanted]
    walked = [w for w in project.walked_lengths.values() if w.along in wanted]
    return [*boxes, *both, *openings, *walked]


def carriers_of(thing: Attached) -> tuple[str, ...]:
    """The ids of the pathways that a thing sits on; none for an opening with nothing in it."""
    match thing:
        case AccessPoint():
            return (thing.pathway,)
        case Penetration():
            return () if thing.through is None else (thing.through,)
        case WalkedLength():
            return (thing.along,)
    return (thing.pathway_a, thing.pathway_b)


def _sitting_on(project: Project, changed: Mapping[str, tuple[Entity, Entity]]) -> list[Attached]:
    """What sits on a changed pathway, and what was itself moved by this edit."""
    on_changed = attached_to(project, changed)
    moved = [b for b, _ in changed.values() if isinstance(b, Attached)]
    return list({t.id: t for t in (*on_changed, *moved)}.values())


def _new_place(
    project: Project, thing: Attached, changed: Mapping[str, tuple[Entity, Entity]]
) -> tuple[int, int] | None:
    """Where the thing sits after the edit; None where it would lie off its pathways."""
    moved = cast(Attached, changed[thing.id][1]) if thing.id in changed else thing
    wished: XY = (moved.x_mm, moved.y_mm)
    ids = carriers_of(moved)
    if ids != carriers_of(thing) or not ids:
        return to_mm(wished[0]), to_mm(wished[1])
    before = [cast(Carrier, project.get(i)) for i in ids]
    after = [
        cast(Carrier, changed[i][1]) if i in changed else b
        for i, b in zip(ids, before, strict=True)
    ]
    if isinstance(thing, Penetration | WalkedLength) and isinstance(after[0], Riser):
        x, y = riser_point(project, after[0], thing.floor)
        return to_mm(x), to_mm(y)
    olds, news = cast(list[_Line], before), cast(list[_Line], after)
    tolerance = project.settings.join_tolerance_mm
    if all(place_on(flat(p.vertices), wished).distance <= tolerance for p in news):
        return to_mm(wished[0]), to_mm(wished[1])
    if isinstance(thing, ON_ONE):
        return _along(olds[0], news[0], wished if thing.id in changed else None, thing)
    return _nearest_crossing(olds, news, wished, tolerance)


_Line = Pathway | OutdoorDuct


def _at(thing: Attached, at: tuple[int, int]) -> Attached:
    return replace(thing, x_mm=at[0], y_mm=at[1])


def _turned_along(
    after: Attached, before: Attached, changed: Mapping[str, tuple[Entity, Entity]]
) -> Attached:
    """A penetration that goes along stays turned across its pathway as it was."""
    if not isinstance(after, Penetration) or before.id in changed:
        return after
    old, new = changed.get(after.through or "", (None, None))
    if not isinstance(old, _Line) or not isinstance(new, _Line):
        return after
    turn = direction_at(new, (after.x_mm, after.y_mm)) - direction_at(
        old, (before.x_mm, before.y_mm)
    )
    return replace(after, rotation_mdeg=normal_mdeg(after.rotation_mdeg + turn)) if turn else after


def direction_at(line: Pathway | OutdoorDuct, at: XY) -> int:
    """The direction of a line where it passes nearest to a point, in thousandths of a degree."""
    points = flat(line.vertices)
    piece = place_on(points, at).piece
    (x0, y0), (x1, y1) = points[piece], points[piece + 1]
    return direction_mdeg(x1 - x0, y1 - y0)


def _along(
    before: _Line, after: _Line, wished: XY | None, box: AccessPoint | Penetration | WalkedLength
) -> tuple[int, int] | None:
    """The same place on the same piece; a box moved by hand slides along its pathway."""
    line = flat(after.vertices)
    if wished is not None and before.vertices == after.vertices:
        place = place_on(line, wished)
        return to_mm(place.x), to_mm(place.y)
    if len(before.vertices) != len(after.vertices):
        return None
    old = place_on(flat(before.vertices), (box.x_mm, box.y_mm))
    x, y = point_at(line, old.piece, old.ratio)
    return to_mm(x), to_mm(y)


def _nearest_crossing(
    before: list[_Line], after: list[_Line], wished: XY, tolerance: float
) -> tuple[int, int] | None:
    guess = wished
    for old, new in zip(before, after, strict=True):
        if old.vertices != new.vertices and len(old.vertices) == len(new.vertices):
            place = place_on(flat(old.vertices), wished)
            guess = point_at(flat(new.vertices), place.piece, place.ratio)
            break
    found = crossings(flat(after[0].vertices), flat(after[1].vertices), reach=tolerance)
    points = sorted((math.dist(p, guess), p) for p in found)
    return (to_mm(points[0][1][0]), to_mm(points[0][1][1])) if points else None
