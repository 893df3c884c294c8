"""What the room under the pointer still wants by the client's list, for the outlet tool."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from app.editor.commands.filling import space_at
from app.editor.commands.placing_from_list import left_in, room_name
from app.model.entities import Space
from app.model.project import Project
from app.model.rooms import required_in
from app.sheets.spaces_table import counts_in_words

POINT = "Point at a room: what is placed there is the next outlet that its list asks for"


class RoomLeft(msgspec.Struct, frozen=True, kw_only=True):
    """A room, whether anything is asked for in it, and what is left to place, by kind."""

    space: Space
    is_asked: bool
    left: Mapping[str, int]

    def next_kind(self, chosen: str | None) -> str | None:
        """The kind that is placed next: the chosen one while some are left, else the first."""
        if chosen in self.left:
            return chosen
        return next(iter(self.left), None)

    def words(self, project: Project, chosen: str | None) -> str:
        """“3 left in 0.07: 2 Desk, 1 Camera; a click places Desk”."""
        name = room_name(self.space)
        kind = self.next_kind(chosen)
        if not self.is_asked:
            return f"Nothing is asked for in {name}"
        if kind is None:
            return f"{name} has all that is asked for"
        count, told = sum(self.left.values()), counts_in_words(project, self.left)
        return f"{count} left in {name}: {told}; a click places {project.outlet_kinds[kind].name}"


class RoomLists:
    """Tells what is left in rooms; asked again for the same room it does no work."""

    def __init__(self) -> None:
        self._known: tuple[Project, RoomLeft] | None = None

    def at(self, project: Project, floor_id: str, at: tuple[float, float]) -> RoomLeft | None:
        """The room at a point of a floor; None outside all."""
        space = space_at(project, floor_id, at)
        return None if space is None else self.of(project, space)

    def of(self, project: Project, space: Space) -> RoomLeft:
        """What is left in a room."""
        known = self._known
        if known is not None and known[0] is project and known[1].space.id == space.id:
            return known[1]
        found = RoomLeft(
            space=space,
            is_asked=bool(required_in(project, space)),
            left=left_in(project, space),
        )
        self._known = (project, found)
        return found
