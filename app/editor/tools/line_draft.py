"""The line that several tools draw: its points so far, and the piece at the pointer."""

import math
from itertools import pairwise

from app.editor.asking import InputProblem
from app.editor.measures import format_angle, format_reading
from app.editor.snapping import SnapWish, grid_at
from app.editor.tools.entry import Along, Direction, Entry, Place, Ray, Step, point_of
from app.editor.tools.overlay import GuideLine, Marker, MarkerShape, Role, Tag
from app.editor.tools.tool import Pointer, ToolContext
from app.geometry.along_lines import line_length
from app.geometry.similarity import direction_mdeg, to_mm

Point = tuple[int, int]
LEAST_POINTS = 2


class LineDraft:
    """Points of a line on one floor; holds no more than the user has clicked or typed."""

    def __init__(self, context: ToolContext) -> None:
        self._context = context
        self.points: list[Point] = []
        self.floor_id = ""
        self.direction_mdeg: int | None = None
        self.pointer: Pointer | None = None

    def __bool__(self) -> bool:
        return bool(self.points)

    def clear(self) -> bool:
        """Forget the points; False where there were none."""
        begun = bool(self.points) or self.direction_mdeg is not None
        self.points = []
        self.direction_mdeg = None
        return begun

    def add(self, point: Point) -> bool:
        """One more point; False where it is the last one again."""
        if not self.points:
            self.floor_id = self._context.floor_id
        elif point == self.points[-1]:
            return False
        self.points.append(point)
        self.direction_mdeg = None
        return True

    def take_back(self) -> bool:
        """Take the last point back; False where there is none."""
        if not self.points:
            return False
        self.points.pop()
        return True

    def pressed(self, pointer: Pointer) -> str | None:
        """Take a click's place in; why it does not count, None where it does."""
        self.pointer = pointer
        return self.elsewhere

    @property
    def elsewhere(self) -> str | None:
        """Why a click does not count: the line was begun on another floor."""
        project = self._context.project
        if not self.points or self.floor_id == self._context.floor_id:
            return None
        floor = project.floors.get(self.floor_id)
        name = "another floor" if floor is None else f"floor {floor.name}"
        return f"This was begun on {name}; go back there, or press Esc to leave it."

    @property
    def grid_mdeg(self) -> int:
        """The grid angle where the line goes on."""
        if self.points:
            return grid_at(self._context.project, self.floor_id, self.points[-1])
        floor = self._context.project.floors.get(self._context.floor_id)
        return 0 if floor is None else floor.grid_angle_mdeg

    def wish(self, *, closes: bool = False, things: bool = True) -> SnapWish:
        """What should catch: square from the last point; the first one, where it closes."""
        if not self.points:
            return SnapWish(things=things)
        along = self.direction_mdeg
        return SnapWish(
            things=things,
            square_from=self.points[-1],
            along_mdeg=None if along is None else self.grid_mdeg + along,
            own=((self.points[0], "first point"),) if closes else (),
        )

    def typed(self, entry: Entry) -> Point | None:
        """The point that was typed; None where only the direction was. Raises InputProblem."""
        if isinstance(entry, Direction):
            if not self.points:
                raise InputProblem("A direction counts from a point; click the first one.")
            self.direction_mdeg = entry.angle_mdeg
            return None
        if not isinstance(entry, Along | Step | Ray | Place):
            raise InputProblem("A height says nothing here; type a length.")
        return point_of(
            entry,
            origin=self.points[-1] if self.points else None,
            towards=None if self.pointer is None else self.pointer.at,
            grid_mdeg=self.grid_mdeg,
        )

    # --- what is shown ------------------------------------------------------------------

    def next_point(self) -> Point | None:
        """Where a click would put the next point."""
        return None if self.pointer is None else self.pointer.at

    def line(self) -> tuple[Point, ...]:
        """The points, with the pointer as the last."""
        at = self.next_point()
        if at is None or not self.points or at == self.points[-1]:
            return tuple(self.points)
        return (*self.points, at)

    def lines(self, role: Role = Role.DRAFT, *, closed: bool = False) -> tuple[GuideLine, ...]:
        line = self.line()
        return (GuideLine(role=role, points=line, closed=closed),) if len(line) > 1 else ()

    def markers(self) -> tuple[Marker, ...]:
        return tuple(Marker(role=Role.HANDLE, at=p, shape=MarkerShape.DOT) for p in self.points)

    def tags(self, *, total: bool = False) -> tuple[Tag, ...]:
        """Length and angle of the last piece, as far as the pointer, and the length of the whole.

        They stay where the pointer rests on the point that was clicked last.
        """
        line = self.line()
        if len(line) < LEAST_POINTS:
            return ()
        units = self._context.project.settings.units
        a, b = line[-2:]
        length = format_reading(to_mm(math.dist(a, b)), units)
        turn = direction_mdeg(b[0] - a[0], b[1] - a[1]) - self.grid_mdeg
        text = f"{length}  {format_angle(round(turn / 100) * 100 % 360_000)}"
        if total and len(line) > LEAST_POINTS:
            text += f"  of {format_reading(to_mm(line_length(line)), units)}"
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        return (Tag(role=Role.MEASURE, at=middle, text=text),)

    def piece_lengths(self) -> list[int]:
        """The length of each piece clicked so far."""
        return [to_mm(math.dist(a, b)) for a, b in pairwise(self.points)]
