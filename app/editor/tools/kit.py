"""A kit stamped over and over: turned to its wall or by keys, mirrored, one click each."""

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.kits import stamp_kit, stamp_movement, stamped_things
from app.editor.commands.shapes import outline_points, transformed
from app.editor.measures import parse_angle
from app.editor.snapping import SnapWish
from app.editor.tools.next_drawn import chosen_kit
from app.editor.tools.one_click import standing_of
from app.editor.tools.outlet import place_at
from app.editor.tools.overlay import NOTHING, Ghost, GuideLine, Marker, MarkerShape, Overlay, Role
from app.editor.tools.quiet import QuietTool, said
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Key,
    Modifiers,
    Pointer,
    ToolContext,
    ToolResult,
)
from app.geometry.similarity import QUARTER_MDEG, Similarity, normal_mdeg
from app.model.entities import Entity, Frame, Kit, Outlet
from app.model.ids import counting_source
from app.model.project import Patch, adding

NO_KIT = "This project has no kit yet; select some things and make one of them (Edit, Kits)."
STEP_MDEG = 15_000
MOST_GHOSTS = 300
"""Of a larger kit only its outline is shown under the pointer."""
MOST_REHEARSED = 12
"""Of so many outlets the lengths are shown while the pointer moves."""


class KitTool(QuietTool):
    """One stamp a click; the kit stays in hand."""

    name = "Kit"
    takes_text = True

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._pointer: Pointer | None = None
        self._turn_mdeg = 0
        self._mirrored = False

    def hint(self) -> str:
        kit = self._kit
        if kit is None:
            return NO_KIT
        return (
            f"Click to stamp “{kit.name}”; ← → turn it (Shift by 15°, or type an angle), ↑ mirrors"
        )

    @property
    def _kit(self) -> Kit | None:
        return chosen_kit(self.context.project, self.context.draws)

    def wish(self) -> SnapWish:
        return SnapWish()

    def _place(self, pointer: Pointer, kit: Kit) -> tuple[tuple[int, int], int]:
        """Where the kit's origin goes, and its turn: to the wall where it is held by its wall."""
        to_wall = self.context.draws.turn_to_wall and is_held_at_wall(kit)
        place = place_at(pointer, 0, turn_to_wall=to_wall)
        return (place.x_mm, place.y_mm), normal_mdeg(place.rotation_mdeg + self._turn_mdeg)

    def move(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        return NOTHING_YET

    def press(self, pointer: Pointer) -> ToolResult:
        self._pointer = pointer
        kit, context = self._kit, self.context
        if kit is None:
            return ToolResult(message=NO_KIT)
        at, turn = self._place(pointer, kit)
        try:
            patch = stamp_kit(
                context.project,
                kit.id,
                floor_id=context.floor_id,
                at=at,
                turn_mdeg=turn,
                mirrored=self._mirrored,
                standing=standing_of(context),
                pattern=context.draws.number_pattern,
                retired=context.retired,
                source=context.source,
            )
        except InputProblem as problem:
            return said(problem)
        return ToolResult(patch=patch, select=patch.ids)

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        step = STEP_MDEG if modifiers.shift else QUARTER_MDEG
        if key is Key.LEFT:
            self._turn_mdeg = normal_mdeg(self._turn_mdeg + step)
        elif key is Key.RIGHT:
            self._turn_mdeg = normal_mdeg(self._turn_mdeg - step)
        elif key in (Key.UP, Key.DOWN):
            self._mirrored = not self._mirrored
        return NOTHING_YET

    def type_text(self, text: str) -> ToolResult:
        try:
            self._turn_mdeg = normal_mdeg(parse_angle(text))
        except InputProblem as problem:
            return said(problem)
        return NOTHING_YET

    def cancel(self) -> bool:
        turned = self._turn_mdeg != 0 or self._mirrored
        self._turn_mdeg, self._mirrored = 0, False
        return turned

    def refresh(self) -> None:
        self._pointer = None

    def _movement(self, kit: Kit) -> Similarity | None:
        if self._pointer is None:
            return None
        at, turn = self._place(self._pointer, kit)
        return stamp_movement(at, turn_mdeg=turn, mirrored=self._mirrored)

    def preview_patch(self) -> Patch | None:
        """The outlets of a small kit as they would stand, for their lengths."""
        kit, context = self._kit, self.context
        if kit is None or len(kit.things) > MOST_REHEARSED:
            return None
        by = self._movement(kit)
        known = context.floor_id in context.project.floors
        if by is None or not known or not all(isinstance(t, Outlet) for t in kit.things):
            return None
        made = stamped_things(
            context.project,
            kit,
            floor_id=context.floor_id,
            by=by,
            standing=standing_of(context),
            source=counting_source(),
        )
        return adding("Stamp a kit", made)

    def overlay(self) -> Overlay:
        kit = self._kit
        by = None if kit is None else self._movement(kit)
        if kit is None or by is None:
            return NOTHING
        origin = Marker(role=Role.DRAFT, at=by.at(0, 0), shape=MarkerShape.CROSS)
        if len(kit.things) > MOST_GHOSTS:
            lines = (GuideLine(role=Role.DRAFT, points=_box(kit, by), closed=True),)
            return Overlay(lines=lines, markers=(origin,))
        floor = self.context.floor_id
        ghosts = (replace(transformed(t, by), floor=floor) for t in kit.things)
        return Overlay(
            ghosts=tuple(Ghost(role=Role.DRAFT, thing=t) for t in ghosts), markers=(origin,)
        )


def is_held_at_wall(kit: Kit) -> bool:
    """Whether an outlet or frame stands at the kit's origin, so that a wall can turn it."""
    return any(isinstance(t, Outlet | Frame) and (t.x_mm, t.y_mm) == (0, 0) for t in kit.things)


def _box(kit: Kit, by: Similarity) -> tuple[tuple[float, float], ...]:
    """The corners of the box about a kit, as it would lie."""
    things: tuple[Entity, ...] = kit.things
    points = [p for t in things for p in outline_points(t)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    corners = ((min(xs), min(ys)), (max(xs), min(ys)), (max(xs), max(ys)), (min(xs), max(ys)))
    return tuple(by.at(x, y) for x, y in corners)
