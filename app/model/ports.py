"""What a port says of itself, and what its outlet says for it."""

from app.model.entities import Outlet, Port
from app.model.vocabulary import State


def own_state(outlet: Outlet, port: Port) -> State:
    """The state of one port: its own, else its outlet's."""
    return outlet.state if port.state is None else port.state


def own_phase(outlet: Outlet, port: Port) -> int:
    """The phase in which a port is cabled: its own, else its outlet's."""
    return outlet.phase if port.phase is None else port.phase
