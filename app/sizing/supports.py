"""Hooks, supports, straight lengths and couplings, counted from lengths."""


def hooks_on_line(*, length_mm: int, spacing_mm: int) -> int:
    """Hooks of a drawn line, one at each end and none further apart than the spacing.

    Source: pathways.hook_spacing.
    """
    return _begun(length_mm, spacing_mm) + 1


def hooks_on_leg(*, length_mm: int, spacing_mm: int, from_mm: int = 0) -> int:
    """Hooks of a leg that leaves a pathway, which holds its first end itself.

    No hook where the leg is no longer than `from_mm`. Source: pathways.hook_spacing_most.
    """
    return 0 if length_mm <= from_mm else _begun(length_mm, spacing_mm)


def supports_on_line(*, length_mm: int, spacing_mm: int) -> int:
    """Supports of a tray, ladder or conduit: both ends, and none further apart than the spacing.

    Source: pathways.support_basket, pathways.support_ladder, pathways.conduit_strap_spacing.
    """
    return _begun(length_mm, spacing_mm) + 1


def straight_lengths(*, length_mm: int, straight_mm: int) -> int:
    """Whole lengths to buy for one straight; the offcut is not joined on.

    Source: pathways.straight_length.
    """
    return _begun(length_mm, straight_mm)


def couplings(*, length_mm: int, straight_mm: int) -> int:
    """Couplings between the lengths of one straight.

    Source: pathways.conduit_length.
    """
    return max(0, _begun(length_mm, straight_mm) - 1)


def _begun(length_mm: int, step_mm: int) -> int:
    """How many steps are begun: the ceiling of the quotient, in integers."""
    if step_mm <= 0:
        raise ValueError(f"a spacing of {step_mm} mm cannot be counted; it must be above 0")
    return -(-length_mm // step_mm)
