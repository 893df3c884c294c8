"""Which ports are bought, which stand, which go: what a state means for quantities.

A port's own state goes before its outlet's. What is relocated keeps its plate and number; its
cable is pulled anew and the old one comes out.
"""

from app.model.entities import Outlet, Port
from app.model.vocabulary import State


def state_of(outlet: Outlet, port: Port) -> State:
    """The state of one port."""
    return outlet.state if port.state is None else port.state


PULLED = frozenset({State.NEW, State.TO_RELOCATE})
"""A new cable is pulled."""
REMOVED = frozenset({State.TO_REMOVE, State.TO_RELOCATE})
"""A cable that lies there today comes out."""
ENDED_TODAY = frozenset({State.EXISTING, State.TO_REMOVE, State.TO_RELOCATE})
"""A panel port is taken before the work."""
ENDED_AFTER = frozenset({State.EXISTING, State.NEW, State.TO_RELOCATE})
"""A panel port is taken after the work."""
