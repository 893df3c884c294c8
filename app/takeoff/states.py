"""Which ports are bought, which stand, which go: what a state means for quantities.

A port's own state goes before its outlet's. What is relocated keeps its plate and number; its
cable is pulled anew and the old one comes out.
"""

from app.model.entities import Outlet, Port
from app.model.vocabulary import State


def state_of(outlet: Outlet, port: Port) -> State:
    """The state of one port."""
    return outlet.state if port.state is None else port.state


def is_pulled(state: State) -> bool:
    """Whether a new cable is pulled."""
    return state in {State.NEW, State.TO_RELOCATE}


def is_removed(state: State) -> bool:
    """Whether a cable that lies there today comes out."""
    return state in {State.TO_REMOVE, State.TO_RELOCATE}


def is_ended_today(state: State) -> bool:
    """Whether a panel port is taken before the work."""
    return state in {State.EXISTING, State.TO_REMOVE, State.TO_RELOCATE}


def is_ended_after(state: State) -> bool:
    """Whether a panel port is taken after the work."""
    return state in {State.EXISTING, State.NEW, State.TO_RELOCATE}
