"""The sorts of point and line that can catch the pointer."""

from enum import StrEnum


class SnapKind(StrEnum):
    """What caught the pointer, in the order in which one beats another that is as near."""

    START = "start"
    """A point of what is being drawn, such as its first corner."""
    END = "end"
    OUTLET = "outlet"
    FRAME = "frame"
    PLACE = "place"
    DEMARCATION = "demarcation"
    RISER = "riser"
    BOX = "box"
    VERTEX = "vertex"
    CROSSING = "crossing"
    CORNER = "corner"
    ENTRY = "entry"
    PLAN_END = "plan_end"
    PLAN_CROSSING = "plan_crossing"
    PLAN_CENTRE = "plan_centre"
    PLAN_MIDDLE = "plan_middle"
    LINE = "line"
    EDGE = "edge"
    PLAN_LINE = "plan_line"
    SQUARE = "square"
