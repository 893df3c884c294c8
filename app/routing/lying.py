"""What becomes of the cable that lies at a port whose outlet is relocated.

It keeps its end at the frame, so it is used again where its whole length suffices for the new
installed length: no allowance is made for slack that may lie coiled at the frame, since nobody
can count on it. What a person says of a cable goes before all lengths.
"""

from enum import StrEnum

from msgspec.structs import replace

from app.model.entities import Outlet, Port
from app.routing.results import Runs


class Lying(StrEnum):
    """Whether the cable that lies there is used again, or replaced, and why."""

    REACHES = "reaches"
    SAID_TO_STAY = "said_to_stay"
    TOO_SHORT = "too_short"
    FROM_ANOTHER_FRAME = "from_another_frame"
    NO_ROUTE = "no_route"
    NOT_KNOWN = "not_known"
    SAID_TO_BE_REPLACED = "said_to_be_replaced"


USED_AGAIN = frozenset({Lying.REACHES, Lying.SAID_TO_STAY})


def at_old_place(outlet: Outlet) -> Outlet | None:
    """A relocated outlet where it stands today; None where no old place is known."""
    was_at = outlet.was_at
    if was_at is None:
        return None
    return replace(
        outlet,
        floor=was_at.floor,
        x_mm=was_at.x_mm,
        y_mm=was_at.y_mm,
        height_mm=was_at.height_mm,
        was_at=None,
    )


def lying_cable(port: Port, runs: Runs) -> Lying:
    """What becomes of the cable at a port that is relocated, by its run at the new place."""
    if port.cable_stays is not None:
        return Lying.SAID_TO_STAY if port.cable_stays else Lying.SAID_TO_BE_REPLACED
    row = runs.row_of[port.id]
    frame = runs.frame_of(row)
    if frame is None:
        return Lying.NO_ROUTE
    if port.ends_at is not None and port.ends_at.frame != frame:
        return Lying.FROM_ANOTHER_FRAME
    if port.lying_mm is None:
        return Lying.NOT_KNOWN
    return Lying.REACHES if int(runs.installed_mm[row]) <= port.lying_mm else Lying.TOO_SHORT


def is_used_again(port: Port, runs: Runs) -> bool:
    """Whether the cable that lies there goes on to the new place."""
    return lying_cable(port, runs) in USED_AGAIN
