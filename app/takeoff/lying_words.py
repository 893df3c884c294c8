"""What is said of the cable that lies at a port: whether it stays, goes, or reaches."""

from app.checks.wording import length_text
from app.model.entities import Outlet, Port
from app.model.vocabulary import State, Units
from app.routing.lying import USED_AGAIN, Lying, lying_cable
from app.routing.results import Runs
from app.takeoff.states import state_of

WORK = {
    State.EXISTING: "stays",
    State.NEW: "pull",
    State.TO_REMOVE: "remove",
    State.FUTURE: "later",
}
REPLACE, REUSE = "replace", "re-terminate"


def work_word(outlet: Outlet, port: Port, runs: Runs) -> str:
    """What is done with the cable of a port, in a word for tables."""
    state = state_of(outlet, port)
    if state is not State.TO_RELOCATE:
        return WORK[state]
    return REUSE if lying_cable(port, runs) in USED_AGAIN else REPLACE


def lying_sentence(outlet: Outlet, port: Port, runs: Runs, units: Units) -> str:
    """Whether the cable of a relocated port still reaches; empty for any other port."""
    if state_of(outlet, port) is not State.TO_RELOCATE:
        return ""
    lying = lying_cable(port, runs)
    long = "" if port.lying_mm is None else length_text(port.lying_mm, units)
    match lying:
        case Lying.REACHES:
            return (
                f"The cable that lies there, {long}, reaches: nothing is ordered, it is "
                "re-terminated at the new place."
            )
        case Lying.TOO_SHORT:
            row = runs.row_of[port.id]
            short = length_text(int(runs.installed_mm[row]) - (port.lying_mm or 0), units)
            why = f"The cable that lies there, {long}, is {short} too short"
        case Lying.NOT_KNOWN:
            why = "Nobody knows how long the cable is that lies there; measure it"
        case Lying.FROM_ANOTHER_FRAME:
            why = "The cable that lies there comes from another frame"
        case Lying.NO_ROUTE:
            why = "There is no route to the new place"
        case Lying.SAID_TO_STAY:
            return (
                "The cable that lies there is said to stay: it is re-terminated, none is ordered."
            )
        case Lying.SAID_TO_BE_REPLACED:
            why = "The cable that lies there is said to be replaced"
    return f"{why}: a new one is ordered, the old one comes out."
