"""Outlets placed one by one, turned to the wall they are snapped to."""

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.outlets import OutletPlace, drafted_outlets, place_outlets
from app.editor.measures import parse_angle
from app.editor.snapping import SnapKind, SnapWish
from app.editor.tools.next_drawn import chosen_kind
from app.editor.tools.one_click import standing_of
from app.editor.tools.overlay import NOTHING, Ghost, Overlay, Role
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.room_list import POINT, RoomLeft, RoomLists
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.geometry.similarity import to_mm
from app.geometry.walls import at_wall
from app.model.entities import Outlet
from app.model.project import Patch, adding

WALLS = (
    SnapKind.EDGE,
    SnapKind.PLAN_LINE,
    SnapKind.PLAN_END,
    SnapKind.PLAN_MIDDLE,
    SnapKind.PLAN_CROSSING,
)
NO_KIND = "This project has no kind of outlet yet; add one first."


def need_kind(context: ToolContext) -> str:
    """The id of the outlet kind drawn next. Raises InputProblem."""
    kind = chosen_kind(context.project, context.draws)
    if kind is None:
        raise InputProblem(NO_KIND)
    return kind.id


def place_at(pointer: Pointer, rotation_mdeg: int, *, turn_to_wall: bool) -> OutletPlace:
    """Where an outlet goes: at its wall where the pointer was caught by one."""
    snap = pointer.snapped
    if turn_to_wall and is_at_wall(pointer) and snap is not None and snap.line is not None:
        wall = at_wall(pointer.at, snap.line, pointer.raw)
        return OutletPlace(x_mm=to_mm(wall.x), y_mm=to_mm(wall.y), rotation_mdeg=wall.rotation_mdeg)
    return OutletPlace(x_mm=pointer.x_mm, y_mm=pointer.y_mm, rotation_mdeg=rotation_mdeg)


def is_at_wall(pointer: Pointer) -> bool:
    """Whether the pointer was caught by a line that may be a wall."""
    snap = pointer.snapped
    return snap is not None and snap.line is not None and snap.kind in WALLS


def moved_to(outlet: Outlet, place: OutletPlace) -> Outlet:
    """The outlet at another place, turned as the place is."""
    return replace(outlet, x_mm=place.x_mm, y_mm=place.y_mm, rotation_mdeg=place.rotation_mdeg)


def commit_outlets(
    context: ToolContext, places: list[OutletPlace], floor_id: str | None = None
) -> ToolResult:
    """The result that places outlets as chosen for what is drawn next.

    Places that name another kind get the height of that.
    """
    draws = context.draws
    try:
        patch = place_outlets(
            context.project,
            places,
            floor_id=floor_id or context.floor_id,
            kind_id=need_kind(context),
            pattern=draws.number_pattern,
            height_mm=_height_mm(context, places),
            standing=standing_of(context),
            retired=context.retired,
            source=context.source,
        )
    except InputProblem as problem:
        return said(problem)
    return ToolResult(patch=patch, select=patch.ids)


def preview_outlets(
    context: ToolContext, places: list[OutletPlace], floor_id: str | None = None
) -> Patch | None:
    """The patch of outlets as they would stand, without numbers; None where there are none."""
    kind = chosen_kind(context.project, context.draws)
    if kind is None or not places:
        return None
    made = drafted_outlets(
        context.project,
        places,
        floor_id=floor_id or context.floor_id,
        kind_id=kind.id,
        height_mm=_height_mm(context, places),
        standing=standing_of(context),
    )
    return adding("Place outlets", made)


def _height_mm(context: ToolContext, places: list[OutletPlace]) -> int | None:
    """The height typed for outlets of the chosen kind; None for those of another."""
    kind = chosen_kind(context.project, context.draws)
    other = any(p.kind is not None and (kind is None or p.kind != kind.id) for p in places)
    return None if other else context.draws.outlet_height_mm


def ghosts_of(patch: Patch | None) -> tuple[Ghost, ...]:
    if patch is None:
        return ()
    things = (c.after for c in patch.changes if c.after is not None)
    return tuple(Ghost(role=Role.DRAFT, thing=t) for t in things)


class OutletTool(QuietTool):
    """One outlet a click. A typed angle turns those that stand at no wall.

    From the list, its kind is the one that the room under the pointer wants next.
    """

    name = "Outlet"
    takes_text = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None
        self._rotation_mdeg = 0
        self._lists = RoomLists()
        self._last_room: str | None = None

    def hint(self) -> str:
        if self.context.draws.from_list:
            return self._list_hint()
        kind = chosen_kind(self.context.project, self.context.draws)
        if kind is None:
            return NO_KIND
        return f"Click where the outlet goes ({kind.name}); near a wall it turns to it"

    def wish(self) -> SnapWish:
        return SnapWish()

    def _list_hint(self) -> str:
        project = self.context.project
        if self._pointer is not None:
            room = self._room(self._pointer)
            self._last_room = None if room is None else room.space.id
        else:
            last = project.spaces.get(self._last_room or "")
            room = None if last is None else self._lists.of(project, last)
        if room is None:
            return POINT
        return room.words(self.context.project, self.context.draws.outlet_kind)

    def _room(self, pointer: Pointer) -> RoomLeft | None:
        place = self._place(pointer)
        at = (place.x_mm, place.y_mm)
        return self._lists.at(self.context.project, self.context.floor_id, at)

    def _place(self, pointer: Pointer) -> OutletPlace:
        turn = self.context.draws.turn_to_wall
        return place_at(pointer, self._rotation_mdeg, turn_to_wall=turn)

    def _places(self, pointer: Pointer) -> list[OutletPlace]:
        """The place under the pointer; none where the list wants nothing there."""
        place, draws = self._place(pointer), self.context.draws
        if not draws.from_list:
            return [place]
        room = self._room(pointer)
        kind = None if room is None else room.next_kind(draws.outlet_kind)
        return [] if kind is None else [replace(place, kind=kind)]

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        places = self._places(pointer)
        if not places:
            return ToolResult(message=f"{self._list_hint()}.")
        return commit_outlets(self.context, places)

    def type_text(self, text: str) -> ToolResult:
        try:
            self._rotation_mdeg = parse_angle(text)
        except InputProblem as problem:
            return said(problem)
        return NOTHING_YET

    def cancel(self) -> bool:
        turned = self._rotation_mdeg != 0
        self._rotation_mdeg = 0
        return turned

    def refresh(self) -> None:
        self._pointer = None

    def preview_patch(self) -> Patch | None:
        if self._pointer is None or self.context.floor_id not in self.context.project.floors:
            return None
        return preview_outlets(self.context, self._places(self._pointer))

    def overlay(self) -> Overlay:
        ghosts = ghosts_of(self.preview_patch())
        return Overlay(ghosts=ghosts) if ghosts else NOTHING
