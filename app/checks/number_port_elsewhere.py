"""A run that was given a port at one frame and goes to another."""

from collections.abc import Mapping

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import frame_name, outlet_name, place_name
from app.model.entities import Floor, Frame, Outlet
from app.model.vocabulary import State
from app.routing.results import Runs

ELSEWHERE = "port_at_another_frame"
USED = frozenset({State.EXISTING, State.NEW, State.TO_RELOCATE})


def check_port_frames(
    outlet: Outlet, runs: Runs, floor: Floor, frames: Mapping[str, Frame]
) -> list[Finding]:
    """One finding for an outlet, with the cure; graver where the port is printed."""
    given, printed = list[tuple[str, str, str]](), False
    for port in outlet.ports:
        if port.ends_at is None or (port.state or outlet.state) not in USED:
            continue
        goes_to = runs.frame_of(runs.row_of[port.id])
        if goes_to is not None and goes_to != port.ends_at.frame:
            own = port.ends_at.frame
            given.append((place_name(port.ends_at, frames.get(own)), goes_to, own))
            printed = printed or port.printed
    if not given:
        return []
    places = " and ".join(place for place, _, _ in given)
    _, goes_to, own = given[0]
    release = "release its numbers, " if printed else ""
    return [
        finding(
            rule=ELSEWHERE,
            severity=Severity.WARN if printed else Severity.NOTE,
            text=f"{outlet_name(outlet, floor)}: given {places}, but runs to "
            f"{frame_name(frames.get(goes_to))}; {release}take back its "
            f"{'port' if len(given) == 1 else 'ports'} and give them anew, or fix the frame to "
            f"{frame_name(frames.get(own)).removeprefix('frame ')}.",
            things=(outlet.id, goes_to, own),
            floor=outlet.floor,
            excess=len(given),
        )
    ]
