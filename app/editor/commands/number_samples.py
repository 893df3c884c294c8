"""What a pattern would give next, said while it is typed."""

from app.editor.asking import InputProblem
from app.editor.commands.numbering import (
    Beyond,
    Retired,
    none_retired,
    numbers_in_use,
    pattern_in_force,
    place_words,
)
from app.editor.commands.patterns import cable_pattern, outlet_pattern, place_letter
from app.model.entities import Outlet, Space
from app.model.project import Project

SAMPLES = 3


def next_outlet_words(
    project: Project,
    typed: str | None,
    *,
    floor_id: str | None,
    retired: Retired = none_retired,
) -> str:
    """“next 2-07, 2-08, 2-09”, or what is wrong with the pattern."""
    try:
        pattern = outlet_pattern(pattern_in_force(project, typed))
    except InputProblem as problem:
        return str(problem)
    floor = project.floors.get(floor_id or "")
    room = _some_room(project, floor_id) if "room" in pattern.words else None
    split = pattern.split(place_words(project, floor, room))
    beyond = Beyond((*numbers_in_use(project, Outlet), *retired(Outlet)))
    numbers = ", ".join(beyond.take(split, SAMPLES))
    return f"next {numbers}" + (f" in room {room.number}" if room is not None else "")


def _some_room(project: Project, floor_id: str | None) -> Space | None:
    """A room of the floor that has a number, for an example."""
    return next((s for s in project.spaces.values() if s.floor == floor_id and s.number), None)


def cable_sample_words(project: Project, typed: str | None = None) -> str:
    """“such as 1B-A01, 1B-A02, 1B-A03”, or what is wrong with the pattern."""
    try:
        pattern = cable_pattern(typed or project.settings.cable_pattern)
    except InputProblem as problem:
        return str(problem)
    frame = next((f for f in project.frames.values() if f.name), None)
    outlet = next((o for o in project.outlets.values() if o.number), None)
    floor = project.floors.get(outlet.floor if outlet else frame.floor if frame else "")
    values = place_words(project, floor, _some_room(project, floor.id if floor else None))
    samples = []
    for index in range(SAMPLES):
        values |= {
            "frame": frame.name if frame else "M",
            "panel": "A",
            "port": f"{index + 1:02d}",
            "outlet": outlet.number if outlet else "001",
            "p": place_letter(index),
        }
        split = pattern.split(values)
        samples.append(split.number(index + 1) if split.width else split.before)
    return f"such as {', '.join(samples)}"
