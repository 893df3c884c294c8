"""Another kind for standing pathways: the sizes it has, and the fittings that still make sense."""

from collections.abc import Sequence
from typing import Any, cast

from msgspec.structs import replace

from app.editor.asking import Answer, Outcome, Question
from app.editor.commands.attached import Attached, attached_to
from app.editor.commands.joining import pathways_of
from app.editor.wording import capital, counted, words
from app.model.entities import AccessPoint, Break, Penetration, WalkedLength
from app.model.project import AnyEntity, Change, Patch, Project, changing
from app.model.vocabulary import INSERT_KINDS, OPEN_KINDS, AccessKind, PathwayKind

USUAL_WIDTH_MM, USUAL_DEPTH_MM, USUAL_BORE_MM = 300.0, 60.0, 27.0
"""Sizes given where a pathway has none yet. Source: practice."""


def sizes_of(kind: PathwayKind, line: Any) -> dict[str, float | None]:
    """The sizes a kind of pathway has, taken from `line` where it has them already."""
    if kind is PathwayKind.CONDUIT:
        bore = line.bore_mm or USUAL_BORE_MM
        return {"width_mm": None, "depth_mm": None, "bore_mm": bore, "opening_mm2": None}
    if kind is PathwayKind.HOOKS:
        opening = line.opening_mm2
        return {"width_mm": None, "depth_mm": None, "bore_mm": None, "opening_mm2": opening}
    return {
        "width_mm": line.width_mm or USUAL_WIDTH_MM,
        "depth_mm": line.depth_mm or USUAL_DEPTH_MM,
        "bore_mm": None,
        "opening_mm2": None,
    }


def change_pathway_kind(project: Project, ids: Sequence[str], kind: PathwayKind) -> Outcome:
    """Make pathways of another kind; the number stays.

    Boxes on conduits become inserts on floor ducts and the other way round. Boxes on what is
    entered anywhere, and drop-outs on what is closed, mean nothing: asks to remove them.
    """
    lines = pathways_of(project, ids)
    label = f"Make {counted(lines)} {words(kind)}"
    pairs = [(p, replace(p, kind=kind, **sizes_of(kind, p))) for p in lines]
    attached = attached_to(project, [p.id for p in lines])
    lost = [t for t in attached if _means_nothing(t, kind)]
    kept = [t for t in attached if isinstance(t, AccessPoint) and t not in lost]
    boxes = [(b, replace(b, kind=_access_kind(kind))) for b in kept]
    patch = changing(label, [*pairs, *boxes])
    if not lost:
        return patch
    removals = tuple(Change(t.id, cast(AnyEntity, t), None) for t in lost)
    return Question(
        text=f"{capital(counted(lost))} would mean nothing on a {words(kind)}. Remove?",
        answers=(
            Answer(label="Change and remove", patch=Patch(label, (*patch.changes, *removals))),
            Answer(label="Leave it as it is"),
        ),
    )


def _means_nothing(thing: Attached, kind: PathwayKind) -> bool:
    if isinstance(thing, Break | Penetration | WalkedLength):
        return False
    return (kind in OPEN_KINDS) is isinstance(thing, AccessPoint)


def _access_kind(kind: PathwayKind) -> AccessKind:
    return AccessKind.INSERT if kind in INSERT_KINDS else AccessKind.PULL_BOX
