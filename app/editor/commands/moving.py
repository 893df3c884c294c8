"""Moving, turning, mirroring and nudging what is placed."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from app.editor.asking import InputProblem, Outcome
from app.editor.commands.attached import with_followers
from app.editor.commands.shapes import PLACED_TYPES, outline_points, transformed
from app.editor.wording import counted
from app.geometry.similarity import HALF_MDEG, QUARTER_MDEG, Similarity, about, shift, unit_vector
from app.model.entities import FURTHEST_MM, Entity
from app.model.project import Project


def placed(project: Project, ids: Iterable[str]) -> list[Entity]:
    """The things among these ids that stand somewhere. Raises InputProblem if there are none."""
    found = [t for i in dict.fromkeys(ids) if (t := project.get(i)) is not None]
    things = [t for t in found if isinstance(t, PLACED_TYPES)]
    if not things:
        raise InputProblem("Select something that stands on the plan first.")
    return things


def move_things(
    project: Project, ids: Iterable[str], *, dx_mm: int, dy_mm: int, word: str = "Move"
) -> Outcome:
    """Shift things; what sits on moved pathways goes along."""
    things = placed(project, ids)
    by = shift(dx_mm, dy_mm)
    return _all_by(project, things, f"{word} {counted(things)}", by)


def rotate_things(
    project: Project,
    ids: Iterable[str],
    *,
    turn_mdeg: int,
    centre: tuple[float, float] | None = None,
) -> Outcome:
    """Turn things anticlockwise about a point, or about the middle of them all."""
    things = placed(project, ids)
    by = about(centre, turn_mdeg=turn_mdeg) if centre else _about_middle(things, turn_mdeg)
    return _all_by(project, things, f"Turn {counted(things)}", by)


def turn_each(project: Project, ids: Iterable[str], *, turn_mdeg: int) -> Outcome:
    """Turn every thing about its own middle."""
    things = placed(project, ids)
    by = {t.id: _about_middle([t], turn_mdeg) for t in things}
    return transform_things(project, things, f"Turn {counted(things)}", by)


def _about_middle(things: list[Entity], turn_mdeg: int) -> Similarity:
    """A turn about the middle of things; four quarters bring back every millimetre.

    Where the middle lies on half a millimetre one way only, a quarter turn cannot leave it in
    place on whole ones; it goes to and fro by that half, instead of on and on by rounding.
    """
    x, y = middle_of(things)
    by = about((x, y), turn_mdeg=turn_mdeg)
    halves = (x % 1 != 0, y % 1 != 0)
    if turn_mdeg % HALF_MDEG != QUARTER_MDEG or halves[0] == halves[1]:
        return by
    half = -0.5 if halves[0] else 0.5
    return replace(by, dx=by.dx + half, dy=by.dy - half)


def mirror_things(
    project: Project,
    ids: Iterable[str],
    *,
    axis_mdeg: int,
    centre: tuple[float, float] | None = None,
) -> Outcome:
    """Mirror things in the line through a point, or through their middle, at an angle."""
    things = placed(project, ids)
    by = about(centre or middle_of(things), turn_mdeg=2 * axis_mdeg, mirrored=True)
    return _all_by(project, things, f"Mirror {counted(things)}", by)


def nudge_things(
    project: Project, ids: Iterable[str], *, right: int, up: int, step_mm: int, grid_mdeg: int = 0
) -> Outcome:
    """Move things by whole steps along the floor's grid."""
    cos, sin = unit_vector(grid_mdeg)
    by = shift((right * cos - up * sin) * step_mm, (right * sin + up * cos) * step_mm)
    things = placed(project, ids)
    return _all_by(project, things, f"Nudge {counted(things)}", by)


def transform_things(
    project: Project, things: list[Entity], label: str, by: Mapping[str, Similarity]
) -> Outcome:
    """Each thing by its own movement, with all that sits on the pathways among them.

    A drop-out or box that is moved without its pathway slides along it.
    """
    pairs = [(t, transformed(t, by[t.id])) for t in things]
    return moved_pairs(project, label, pairs)


def moved_pairs(project: Project, label: str, pairs: list[tuple[Entity, Entity]]) -> Outcome:
    """The patch of moved things; refuses what would leave the site."""
    for _, after in pairs:
        if any(abs(c) > FURTHEST_MM for p in outline_points(after) for c in p):
            raise InputProblem("That would move things more than 10 km from the site's zero.")
    return with_followers(project, label, pairs)


def middle_of(things: Iterable[Entity]) -> tuple[float, float]:
    """The middle of the box around all things."""
    points = [p for t in things for p in outline_points(t)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _all_by(project: Project, things: list[Entity], label: str, by: Similarity) -> Outcome:
    return transform_things(project, things, label, dict.fromkeys((t.id for t in things), by))
