"""Serving zones: drawn over spaces that are divisible, for the frame that serves there."""

import math
from collections.abc import Sequence

from app.editor.asking import InputProblem
from app.editor.commands.outlets import need_floor
from app.editor.commands.vertices import outline_problem
from app.editor.wording import capital
from app.model.entities import Frame, Point, ServingZone
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding
from app.routing.belonging import is_in_use


def add_zone(
    project: Project,
    outline: Sequence[Point],
    *,
    floor_id: str,
    frame_id: str | None = None,
    source: Source = random_characters,
) -> Patch:
    """A serving zone; without a frame given, of the one in use that stands nearest to its middle,
    on its floor where there is one."""
    floor = need_floor(project, floor_id)
    problem = outline_problem(outline)
    if problem is not None:
        raise InputProblem(f"{capital(problem)}")
    frame = project.frames.get(frame_id or "")
    if frame is None:
        frame = _nearest_frame(project, outline, floor_id)
    zone = ServingZone(
        id=new_id("serving-zone", project.serving_zones, source),
        floor=floor.id,
        outline=tuple(outline),
        frame=frame.id,
        name=_free_name(project, frame),
    )
    return adding(f"Draw serving zone {zone.name}", [zone])


def _nearest_frame(project: Project, outline: Sequence[Point], floor_id: str) -> Frame:
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    found = [
        (not is_in_use(f), f.floor != floor_id, math.dist(middle, (f.x_mm, f.y_mm)), f.id)
        for f in project.frames.values()
    ]
    if not found:
        raise InputProblem("Place the frame that is to serve the zone first.")
    return project.frames[min(found)[-1]]


def _free_name(project: Project, frame: Frame) -> str:
    """The frame's name, with a number where it has several zones."""
    taken = {z.name for z in project.serving_zones.values()}
    base = frame.name or "zone"
    names = (base if k == 1 else f"{base} {k}" for k in range(1, len(taken) + 3))
    return next(n for n in names if n not in taken)
