"""How many rooms a floor wants, how large, and how many outlets a space wants."""

import math

from app.standards.records import StandardTable
from app.standards.rule_set import RuleSet

_EXACT = 1e-9


def rooms_needed(rules: RuleSet, *, area_served_m2: float) -> int:
    """The telecommunications rooms that a floor wants by area.

    Source: frames.area_served, frames.rooms_per_floor.
    """
    by_area = math.ceil(area_served_m2 / rules.number("frames.area_served") - _EXACT)
    return max(rules.count("frames.rooms_per_floor"), by_area)


def room_size_m(rules: RuleSet, *, area_served_m2: float) -> tuple[float, float] | None:
    """The sides of a room by the area it serves; None beyond the table: more rooms.

    Source: frames.room_size.
    """
    table = rules.table("frames.room_size")
    row = _first_row_up_to(table, "area_served_m2", area_served_m2)
    if row is None:
        return None
    return table.numbers("width_m")[row], table.numbers("depth_m")[row]


def room_area_by_outlets_m2(rules: RuleSet, *, outlets: int) -> float | None:
    """The area of a room by its outlets; None beyond the table.

    Source: frames.room_size_by_outlets.
    """
    table = rules.table("frames.room_size_by_outlets")
    row = _first_row_up_to(table, "outlets", outlets)
    return None if row is None else table.numbers("area_m2")[row]


def equipment_room_area_m2(rules: RuleSet, *, work_areas: int) -> float | None:
    """The area of an equipment room by the work areas it serves; None beyond the table.

    Source: frames.equipment_room_size.
    """
    table = rules.table("frames.equipment_room_size")
    row = _first_row_up_to(table, "work_areas", work_areas)
    return None if row is None else table.numbers("area_m2")[row]


def outlets_wanted(rules: RuleSet, *, use: str, area_m2: float) -> int:
    """The outlets of its main kind that a space of a use wants; 0 in excluded uses.

    Always rounded up. Source: space_uses.
    """
    wants = rules.space_uses[use]
    if wants.excluded or not wants.kind:
        return 0
    if wants.area_per_outlet_m2 is None:
        return wants.least
    return max(wants.least, math.ceil(area_m2 / wants.area_per_outlet_m2 - _EXACT))


def _first_row_up_to(table: StandardTable, column: str, amount: float) -> int | None:
    for row, most in enumerate(table.numbers(column)):
        if amount <= most:
            return row
    return None
