"""Which ports are bought, which stand, which go: what a state means for quantities.

A port's own state goes before its outlet's. What is relocated keeps its plate and number; its
cable goes with it where it reaches the new place, else it comes out and a new one is pulled.
"""

from app.model.entities import Outlet, Port
from app.model.ports import own_state
from app.model.vocabulary import State
from app.routing.lying import is_used_again
from app.routing.results import Runs

state_of = own_state
"""The state of one port."""

PULLED = frozenset({State.NEW, State.TO_RELOCATE})
"""Work is done at the outlet: it is new, or it comes from elsewhere."""
ENDED_TODAY = frozenset({State.EXISTING, State.TO_REMOVE, State.TO_RELOCATE})
"""A panel port is taken before the work."""
ENDED_AFTER = frozenset({State.EXISTING, State.NEW, State.TO_RELOCATE})
"""A panel port is taken after the work."""


def is_pulled(outlet: Outlet, port: Port, runs: Runs) -> bool:
    """Whether a new cable is pulled to a port."""
    state = own_state(outlet, port)
    if state is State.TO_RELOCATE:
        return not is_used_again(port, runs)
    return state is State.NEW


def is_removed(outlet: Outlet, port: Port, runs: Runs) -> bool:
    """Whether a cable that lies at a port today comes out."""
    state = own_state(outlet, port)
    if state is State.TO_RELOCATE:
        return not is_used_again(port, runs)
    return state is State.TO_REMOVE


def is_reterminated(outlet: Outlet, port: Port, runs: Runs) -> bool:
    """Whether the cable that lies at a port is ended again at the outlet's new place."""
    return own_state(outlet, port) is State.TO_RELOCATE and is_used_again(port, runs)
