"""Power over the cable: what arrives at the device."""

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

_FOUR_PAIRS = 4
_METRES_PER_OHM_LENGTH = 100.0
_CONDUCTORS_OF_LOOP = 2
_PAIRS_OF_LOOP = 2


def power_class_number(rules: RuleSet, *, power_class: int, column: str) -> float:
    """One number of a power class, such as `device_w`. Source: power.classes."""
    table = rules.table("power.classes")
    classes = table.numbers("power_class")
    if power_class not in classes:
        raise StandardsDataError(f"{table.key}: there is no power class {power_class}; 0 to 8")
    return table.numbers(column)[classes.index(power_class)]


def device_watts(rules: RuleSet, *, power_class: int) -> float:
    """What a device of the class may draw. Source: power.classes."""
    return power_class_number(rules, power_class=power_class, column="device_w")


def source_watts(rules: RuleSet, *, power_class: int) -> float:
    """What the source must give for the class. Source: power.classes."""
    return power_class_number(rules, power_class=power_class, column="source_w")


def power_at_device_w(*, source_w: float, source_v: float, loop_ohm: float) -> float:
    """What arrives behind a loop resistance: source power less the loss in the cable."""
    current_a = source_w / source_v
    return source_w - current_a**2 * loop_ohm


def voltage_at_device_v(*, source_w: float, source_v: float, loop_ohm: float) -> float:
    """The voltage behind a loop resistance, at the source's full power."""
    return source_v - source_w / source_v * loop_ohm


def loop_ohm(*, length_m: float, ohm_per_100_m: float, pairs: int) -> float:
    """The loop resistance that power sees over 2 or 4 pairs of a cable.

    A loop over two pairs has the two conductors of a pair side by side, there and back.
    """
    conductor = length_m / _METRES_PER_OHM_LENGTH * ohm_per_100_m
    loop = _CONDUCTORS_OF_LOOP * conductor / _PAIRS_OF_LOOP
    return loop / 2 if pairs == _FOUR_PAIRS else loop
