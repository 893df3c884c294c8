"""Existing outlets that are moved: drawn wrong, or relocated with what lies there kept in mind."""

from collections.abc import Iterable

from msgspec.structs import replace

from app.editor.asking import Answer, Outcome, Question
from app.editor.wording import capital, counted
from app.model.entities import OldPlace, Outlet, Port
from app.model.ports import own_state
from app.model.project import AnyEntity, Change, Patch
from app.model.vocabulary import State
from app.routing.lying import at_old_place, is_used_again
from app.routing.results import Runs

CORRECT, RELOCATE = "Correct where it is drawn", "Relocate it"
CORRECT_ALL, RELOCATE_ALL = "Correct where they are drawn", "Relocate them"
AS_IT_LAY = "as it lay before it was relocated"


def asked_where_existing(outcome: Outcome, runs: Runs | None) -> Outcome:
    """The patch, or a question where it moves outlets that exist.

    Those that are marked to relocate, without a new place so far, have found it. `runs` are
    those before the move: they tell how long the cables are that lie there.
    """
    if not isinstance(outcome, Patch):
        return outcome
    waiting = {c.id for c in _moved(outcome) if _state(c) is State.TO_RELOCATE}
    existing = {c.id for c in _moved(outcome) if _state(c) is State.EXISTING}
    plain = _relocated(outcome, waiting, runs)
    if not existing:
        return plain
    one = len(existing) == 1
    outlets = [c.before for c in outcome.changes if c.id in existing and c.before is not None]
    return Question(
        text=f"{capital(counted(outlets))} {'exists' if one else 'exist'}. "
        f"{'Was it' if one else 'Were they'} drawn in the wrong place, "
        f"or {'does it' if one else 'do they'} go to a new one?",
        answers=(
            Answer(label=CORRECT if one else CORRECT_ALL, patch=plain),
            Answer(
                label=RELOCATE if one else RELOCATE_ALL,
                patch=_labelled(_relocated(outcome, waiting | existing, runs), outlets),
            ),
        ),
    )


def _labelled(patch: Patch, outlets: Iterable[AnyEntity]) -> Patch:
    return Patch(f"Relocate {counted(outlets)}", patch.changes)


def _moved(patch: Patch) -> list[Change]:
    """The outlets that go elsewhere and of which no old place is known yet."""
    return [
        c
        for c in patch.changes
        if isinstance(c.before, Outlet)
        and isinstance(c.after, Outlet)
        and c.before.was_at is None
        and _place(c.before) != _place(c.after)
    ]


def _place(outlet: Outlet) -> tuple[str, int, int]:
    return outlet.floor, outlet.x_mm, outlet.y_mm


def _state(change: Change) -> State:
    assert isinstance(change.before, Outlet)
    return change.before.state


def _relocated(patch: Patch, ids: set[str], runs: Runs | None) -> Patch:
    if not ids:
        return patch
    changes = (
        Change(c.id, c.before, relocated(c.before, c.after, runs))
        if c.id in ids and isinstance(c.before, Outlet) and isinstance(c.after, Outlet)
        else c
        for c in patch.changes
    )
    return Patch(patch.label, tuple(changes))


def relocated(before: Outlet, after: Outlet, runs: Runs | None) -> Outlet:
    """The outlet at its new place, with its old place and the lengths of its cables in mind.

    Its cables keep the frame that they end at.
    """
    ports = zip(before.ports, after.ports, strict=True)
    return replace(
        after,
        state=State.TO_RELOCATE,
        was_at=OldPlace(
            floor=before.floor, x_mm=before.x_mm, y_mm=before.y_mm, height_mm=before.height_mm
        ),
        ports=tuple(
            _with_lying(b, a, runs)
            if own_state(before, b) in (State.EXISTING, State.TO_RELOCATE)
            else a
            for b, a in ports
        ),
    )


def _with_lying(before: Port, after: Port, runs: Runs | None) -> Port:
    """The port with the cable that lies there: measured, else as it is routed."""
    row = None if runs is None else runs.row_of.get(before.id)
    frame = before.frame if before.ends_at is None else before.ends_at.frame
    length_mm = before.replaced_mm
    if length_mm is None and before.test is not None:
        length_mm = before.test.length_mm
    if row is not None and runs is not None and (served := runs.frame_of(row)) is not None:
        frame = frame or served
        length_mm = int(runs.installed_mm[row]) if length_mm is None else length_mm
    state = None if after.state is State.EXISTING else after.state
    return replace(after, frame=frame, lying_mm=length_mm, replaced_mm=None, state=state)


def put_back(outlet: Outlet) -> Outlet:
    """A relocated outlet at its old place again; what was measured of its cables holds again."""
    there = at_old_place(outlet)
    if there is None:
        return outlet
    return replace(there, ports=tuple(_back(port) for port in outlet.ports))


def _back(port: Port) -> Port:
    given = port.replaced_mm is None and port.length_reason and not port.added_mm
    replaced_mm = port.lying_mm if given else port.replaced_mm
    return replace(port, replaced_mm=replaced_mm, lying_mm=None, cable_stays=None)


def stands_here(outlet: Outlet, runs: Runs | None) -> Outlet:
    """A relocated outlet that has been moved: its new place is its place.

    A cable that was used again is as long as it was; a new one has not been measured.
    """
    return replace(
        outlet, was_at=None, ports=tuple(_ended_again(port, runs) for port in outlet.ports)
    )


def _ended_again(port: Port, runs: Runs | None) -> Port:
    if port.lying_mm is None and port.cable_stays is None:
        return port
    stayed = runs is not None and port.id in runs.row_of and is_used_again(port, runs)
    if not stayed:
        return replace(port, lying_mm=None, cable_stays=None, test=None)
    return replace(
        port,
        replaced_mm=port.lying_mm if port.replaced_mm is None else port.replaced_mm,
        length_reason=port.length_reason or AS_IT_LAY,
        lying_mm=None,
        cable_stays=None,
        test=None,
    )
