"""Where the pointer is caught: on the plan, on what is placed, and square to the grid."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Protocol

import msgspec

from app.model.project import Patch, Project


class SnapKind(StrEnum):
    """What caught the pointer, in the order in which one beats another at equal distance."""

    OUTLET = "outlet"
    FRAME = "frame"
    PLACE = "place"
    DEMARCATION = "demarcation"
    RISER = "riser"
    BOX = "box"
    END = "end"
    VERTEX = "vertex"
    CROSSING = "crossing"
    CORNER = "corner"
    LINE = "line"
    EDGE = "edge"
    PLAN_END = "plan_end"
    PLAN_CROSSING = "plan_crossing"
    PLAN_CENTRE = "plan_centre"
    PLAN_MIDDLE = "plan_middle"
    PLAN_LINE = "plan_line"
    SQUARE = "square"
    START = "start"


class Snap(msgspec.Struct, frozen=True, kw_only=True):
    """A point that caught the pointer.

    `name` says what it is, for the cue ("end of B-03", "wall line"). `thing` is the id of the
    placed thing, None for the plan and the grid. `line` is the straight piece that it lies on,
    where there is one, so that an outlet can be turned to its wall.
    """

    kind: SnapKind
    name: str
    x_mm: int
    y_mm: int
    thing: str | None = None
    other: str | None = None
    line: tuple[tuple[float, float], tuple[float, float]] | None = None


class SnapWish(msgspec.Struct, frozen=True, kw_only=True):
    """What should catch the pointer at this moment.

    `square_from` is the point from which lines run square to the grid; `skip` are things that
    are being moved and must not catch themselves.
    """

    things: bool = True
    plan: bool = True
    square_from: tuple[int, int] | None = None
    skip: frozenset[str] = frozenset()


class PlanSnapper(Protocol):
    """The lines of one visible plan, in the site's axes."""

    def nearest_point(self, at: tuple[float, float], radius_mm: float) -> Snap | None: ...

    def nearest_line(self, at: tuple[float, float], radius_mm: float) -> Snap | None: ...


RADIUS_PIXELS = 12.0


class Catcher:
    """Finds what catches the pointer, by an index a floor that follows the project's patches."""

    def __init__(self, project: Project) -> None:
        self._project = project
        self.plans: Mapping[str, PlanSnapper] = {}

    def project_changed(self, project: Project, patch: Patch | None) -> None:
        """Follow a patch; None: everything may be different."""
        self._project = project

    def catch(
        self,
        *,
        floor_id: str,
        wish: SnapWish,
        at: tuple[float, float],
        radius_mm: float,
        square: bool,
        free: bool = False,
    ) -> Snap | None:
        """What catches the pointer at `at`; None where nothing does.

        With `square`, lines from `wish.square_from` run along the floor's grid; `free` lets
        no thing and no plan catch.
        """
        return None
