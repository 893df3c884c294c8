"""Pathways turned round, cut in two, and made one."""

from collections.abc import Sequence
from typing import cast

from msgspec.structs import asdict, replace

from app.editor.asking import InputProblem
from app.editor.commands.attached import ON_ONE, Attached, attached_to
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.shapes import flat
from app.editor.commands.vertices import without_repeats
from app.editor.wording import capital, counted, name_of, noun, plural
from app.geometry.along_lines import place_on
from app.geometry.similarity import to_mm
from app.model.entities import (
    AccessPoint,
    Entity,
    Pathway,
    Penetration,
    Point,
    Port,
    Vertex,
    WalkedLength,
)
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project, changing

PAIR = 2
_SHAPE_AND_NAME = frozenset({"id", "vertices", "number", "note"})


def pathways_of(project: Project, ids: Sequence[str]) -> list[Pathway]:
    """The pathways among these ids. Raises InputProblem if there are none."""
    found = [project.pathways[i] for i in dict.fromkeys(ids) if i in project.pathways]
    if not found:
        raise InputProblem("Select a pathway first.")
    return found


def reverse_pathways(project: Project, ids: Sequence[str]) -> Patch:
    """Let pathways run from their last point to their first."""
    lines = pathways_of(project, ids)
    pairs = [(p, replace(p, vertices=tuple(reversed(p.vertices)))) for p in lines]
    return changing(f"Turn {counted(lines)} round", pairs)


def split_pathway(
    project: Project,
    pathway_id: str,
    *,
    at: Point,
    source: Source = random_characters,
    retired: Retired = none_retired,
) -> Patch:
    """Cut a pathway in two; the first part keeps its id and number."""
    [line] = pathways_of(project, [pathway_id])
    first, second = _halves(line, at)
    kept = replace(line, vertices=first)
    bare = replace(line, id=new_id("pathway", project.pathways, source), vertices=second, number="")
    [made] = numbered(project, [bare], "", retired=retired)
    changes = [_change(line, kept), _change(None, made)]
    for thing in attached_to(project, [line.id]):
        here = (thing.x_mm, thing.y_mm)
        nearer = place_on(flat(second), here).distance < place_on(flat(first), here).distance
        if nearer:
            changes.append(_change(thing, _attached_to_other(thing, line.id, made.id)))
    return Patch(f"Split {name_of(line)}", tuple(changes))


def _halves(line: Pathway, at: Point) -> tuple[tuple[Vertex, ...], tuple[Vertex, ...]]:
    place = place_on(flat(line.vertices), at)
    a, b = line.vertices[place.piece], line.vertices[place.piece + 1]
    cut = (to_mm(place.x), to_mm(place.y), to_mm(a[2] + place.ratio * (b[2] - a[2])))
    first = without_repeats((*line.vertices[: place.piece + 1], cut))
    second = without_repeats((cut, *line.vertices[place.piece + 1 :]))
    if len(first) < PAIR or len(second) < PAIR:
        raise InputProblem(f"Split {name_of(line)} somewhere between its ends.")
    return first, second


def join_pathways(project: Project, ids: Sequence[str]) -> Patch:
    """Make one of two pathways of the same sort that meet end to end.

    The first keeps its id and number; what sat on the second sits on it.
    """
    lines = pathways_of(project, ids)
    if len(lines) != PAIR:
        raise InputProblem("Select the two pathways that are to become one.")
    first, second = lines
    _refuse_other_sort(first, second)
    tolerance = project.settings.join_tolerance_mm
    one = replace(first, vertices=_end_to_end(first, second, tolerance))
    changes = [_change(first, one), _change(second, None)]
    changes += _told_of_one(project, second.id, first.id)
    for thing in attached_to(project, [second.id]):
        after = _attached_to_other(thing, second.id, first.id)
        joins_itself = not isinstance(after, ON_ONE) and after.pathway_a == after.pathway_b
        changes.append(_change(thing, None if joins_itself else after))
    return Patch(f"Join {name_of(first)} and {name_of(second)}", tuple(changes))


def _told_of_one(project: Project, old: str, new: str) -> list[Change]:
    """Runs that were told of a pathway are told of the one that it becomes."""
    changes = []
    for outlet in project.outlets.values():
        if any(old in (*p.via, *p.never) for p in outlet.ports):
            ports = tuple(_told_port(p, old, new) for p in outlet.ports)
            changes.append(_change(outlet, replace(outlet, ports=ports)))
    return changes


def _told_port(port: Port, old: str, new: str) -> Port:
    via = tuple(dict.fromkeys(new if w == old else w for w in port.via))
    never = tuple(dict.fromkeys(new if w == old else w for w in port.never))
    return replace(port, via=via, never=tuple(w for w in never if w not in via))


def _refuse_other_sort(first: Pathway, second: Pathway) -> None:
    a, b = asdict(first), asdict(second)
    other = [f for f in a if f not in _SHAPE_AND_NAME and a[f] != b[f]]
    if not other:
        return
    what = ", ".join(f.split("_mm")[0].replace("_", " ") for f in other)
    raise InputProblem(
        f"{capital(plural(noun(first)))} become one only if they are alike; these differ in {what}."
    )


def _end_to_end(first: Pathway, second: Pathway, tolerance: int) -> tuple[Vertex, ...]:
    for a in (first.vertices, tuple(reversed(first.vertices))):
        for b in (second.vertices, tuple(reversed(second.vertices))):
            (x0, y0, h0), (x1, y1, h1) = a[-1], b[0]
            if max(abs(x0 - x1), abs(y0 - y1), abs(h0 - h1)) <= tolerance:
                joined = without_repeats((*a, *b[1:]))
                return joined if a is first.vertices else tuple(reversed(joined))
    raise InputProblem(
        f"{capital(name_of(first))} and {name_of(second)} do not meet end to end at one height."
    )


def _attached_to_other(thing: Attached, old: str, new: str) -> Attached:
    if isinstance(thing, AccessPoint):
        return replace(thing, pathway=new)
    if isinstance(thing, Penetration):
        return replace(thing, through=new)
    if isinstance(thing, WalkedLength):
        return replace(thing, along=new)
    a, b = (new if p == old else p for p in (thing.pathway_a, thing.pathway_b))
    return replace(thing, pathway_a=a, pathway_b=b)


def _change(before: Entity | None, after: Entity | None) -> Change:
    thing = before or after
    assert thing is not None
    return Change(thing.id, cast(AnyEntity | None, before), cast(AnyEntity | None, after))
