"""What is left to place in a room by the client's list, and all of it placed at once."""

from collections.abc import Sequence

from app.editor.asking import InputProblem
from app.editor.commands.filling import placed_in
from app.editor.commands.numbering import Retired, none_retired
from app.editor.commands.outlets import NEW, Standing, place_outlets
from app.editor.commands.spreading import spread
from app.editor.wording import capital, name_of
from app.geometry.walls import Triangle
from app.model.entities import Space
from app.model.ids import Source, random_characters
from app.model.project import Patch, Project
from app.model.rooms import left_of, required_in


def left_in(project: Project, space: Space) -> dict[str, int]:
    """By kind, how many outlets are asked for in a room and not placed; in the list's order."""
    return left_of(required_in(project, space), placed_in(project, space))


def room_name(space: Space) -> str:
    """What a room is called in a sentence: its number, else its name."""
    return space.number or space.name or "this room"


def place_what_is_left(
    project: Project,
    space_id: str,
    *,
    pattern: str | None = None,
    standing: Standing = NEW,
    doors: Sequence[Triangle] = (),
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Spread over a room all that it is asked to have and has not. Raises InputProblem."""
    space = project.spaces.get(space_id)
    if space is None:
        raise InputProblem("Choose a room first.")
    asked = required_in(project, space)
    if not asked:
        raise InputProblem(
            f"Nothing is asked for in {name_of(space)}; read the client's list, or say in the "
            "panel what is required."
        )
    left = left_in(project, space)
    if not left:
        raise InputProblem(f"{capital(name_of(space))} has all that is asked for.")
    return place_outlets(
        project,
        spread(project, space, left, doors=doors),
        floor_id=space.floor,
        kind_id=next(iter(left)),
        pattern=pattern,
        standing=standing,
        retired=retired,
        source=source,
    )
