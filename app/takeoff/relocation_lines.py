"""What moves: outlets that go to another place, and whether their cables still reach it."""

from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.lying import USED_AGAIN, Lying, lying_cable
from app.routing.results import Runs
from app.takeoff.lines import Section, Tally
from app.takeoff.panel_needs import panel_sort
from app.takeoff.states import state_of

WHY = {
    Lying.REACHES: "what lies there is long enough",
    Lying.SAID_TO_STAY: "said to stay",
    Lying.TOO_SHORT: "what lies there is too short",
    Lying.FROM_ANOTHER_FRAME: "what lies there comes from another frame",
    Lying.NO_ROUTE: "the new place has no route",
    Lying.NOT_KNOWN: "nobody knows how long it is: measure it",
    Lying.SAID_TO_BE_REPLACED: "said to be replaced",
}


def count_relocations(project: Project, runs: Runs, tally: Tally) -> None:
    """Outlets to relocate, then their cables by what becomes of them.

    A cable that is replaced stands among the new runs and among what is removed; here it is
    only told why.
    """
    moved = [o for o in project.outlets.values() if o.state is State.TO_RELOCATE]
    for outlet in moved:
        _add(tally, outlet, "Outlet to relocate", outlet.id, basis=_from(project, outlet))
    for outlet in project.outlets.values():
        for port in outlet.ports:
            if state_of(outlet, port) is not State.TO_RELOCATE:
                continue
            lying = lying_cable(port, runs)
            if lying not in USED_AGAIN:
                item = "Cable replaced, with its outlet"
                _add(tally, outlet, item, port.id, basis=WHY[lying], billed=False)
                continue
            _add(tally, outlet, "Cable to re-terminate", port.id, basis=WHY[lying])
            sort = panel_sort(project.cable_types[port.cable_type])
            _add(tally, outlet, f"Test of a link re-terminated, {sort}", port.id)


def _from(project: Project, outlet: Outlet) -> str:
    """From which floor, where it is not its own; or that its new place is not drawn."""
    if outlet.was_at is None:
        return "its new place is not drawn"
    if outlet.was_at.floor == outlet.floor:
        return "on its floor"
    return f"from floor {project.floors[outlet.was_at.floor].name}"


def _add(
    tally: Tally,
    outlet: Outlet,
    item: str,
    thing: str,
    *,
    basis: str = "",
    billed: bool = True,
) -> None:
    tally.add(
        Section.RELOCATION,
        item,
        1,
        things=[thing],
        provided_by=outlet.provided_by,
        floor=outlet.floor,
        basis=basis,
        billed=billed,
    )
