"""Duct in the slab: the length of distribution ducts and the number and length of feeders."""

import math

from app.standards.rule_set import RuleSet

_EXACT = 1e-9


def distribution_duct_length(*, zone_length: float, zone_width: float, spacing: float) -> float:
    """The distribution duct of a rectangular zone, in the unit of its sides.

    Source: pathways.floor_duct_area_per_work_area (its handbook's worked method).
    """
    return zone_length * zone_width / spacing + zone_width


def feeder_ducts(rules: RuleSet, *, area_m2: float, area_served_m2: float | None = None) -> int:
    """The feeder ducts that an area wants. Source: pathways.feeder_duct_area_served."""
    served = rules.number("pathways.feeder_duct_area_served")
    each = served if area_served_m2 is None else area_served_m2
    return math.ceil(area_m2 / each - _EXACT)


def feeder_duct_length(*, zone_width: float, feeders: int, room_at_edge: bool) -> float:
    """The feeder duct of a zone, in the unit of its width; a central room halves it.

    Source: pathways.feeder_duct_area_served (its handbook's worked method).
    """
    reach = zone_width / 2 if room_at_edge else zone_width / 4
    return reach * feeders
