"""States and phases set of many things at once, in one step."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any, cast

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.relocating import put_back, stands_here
from app.editor.commands.shapes import floors_of
from app.editor.wording import capital, counted, number, words
from app.model.entities import Entity, Outlet, Port
from app.model.ids import tag_of_id
from app.model.phases import NO_PHASE, phase_name, with_phase_named
from app.model.project import Patch, Project, changing
from app.model.vocabulary import State
from app.routing.results import Runs

Pairs = list[tuple[Entity, Entity]]


def set_state(
    project: Project, ids: Iterable[str], state: State, *, runs: Runs | None = None
) -> Outcome:
    """Set the state of all that has one among these: outlets, pathways, frames …, and ports.

    The ports of an outlet that is named follow it: what states of their own they had is gone.
    A relocated outlet that is said to exist asks whether it has been moved.
    """
    ids = list(dict.fromkeys(ids))
    ports = {i for i in ids if tag_of_id(i) == "port"}
    things = [t for i in ids if i not in ports and (t := project.get(i)) is not None]
    stateful = [t for t in things if hasattr(t, "state")]
    pairs: Pairs = [(t, _in_state(t, state)) for t in stateful]
    named = {t.id for t in stateful}
    pairs += _ports_in_state(project, ports, named, state)
    if not pairs:
        raise InputProblem("Nothing that is selected has a state; select outlets or pathways.")
    count = sum(1 for o in project.outlets.values() for p in o.ports if p.id in ports)
    said = counted(stateful) if stateful else number(count, "port")
    label = f"Set state of {said} to {words(state.value)}"
    moved = [t for t in stateful if isinstance(t, Outlet) and t.was_at is not None]
    if not moved or state is State.TO_RELOCATE:
        return changing(label, [(b, a) for b, a in pairs if b != a])
    return _with_relocated(label, pairs, moved, state, runs)


def _in_state(thing: Entity, state: State) -> Entity:
    after = replace(cast(Any, thing), state=state)
    if isinstance(after, Outlet) and any(p.state is not None for p in after.ports):
        after = replace(after, ports=tuple(replace(p, state=None) for p in after.ports))
    return cast(Entity, after)


def _ports_in_state(
    project: Project, ports: set[str], outlets: set[str], state: State
) -> Iterable[tuple[Entity, Entity]]:
    """Outlets with some of their ports in a state; of its outlet's own state a port says none."""
    if not ports:
        return
    for outlet in project.outlets.values():
        if outlet.id not in outlets and any(p.id in ports for p in outlet.ports):
            own = None if state is outlet.state else state
            after: tuple[Port, ...] = tuple(
                replace(p, state=own) if p.id in ports else p for p in outlet.ports
            )
            yield outlet, replace(outlet, ports=after)


def _with_relocated(
    label: str, pairs: Pairs, moved: list[Outlet], state: State, runs: Runs | None
) -> Outcome:
    """What is relocated and now gets another state stands at its new place, or at its old."""
    ids = {o.id for o in moved}

    def changed(standing: Callable[[Outlet], Outlet]) -> Patch:
        after = [(b, standing(cast(Outlet, a)) if b.id in ids else a) for b, a in pairs]
        return changing(label, after)

    here = changed(lambda outlet: stands_here(outlet, runs))
    back = changed(put_back)
    if state is State.TO_REMOVE:
        return back  # it is taken out where it stands
    if state is not State.EXISTING:
        return here
    they = "They stand at their" if len(moved) > 1 else "It stands at its"
    them = "them" if len(moved) > 1 else "it"
    return Question(
        text=f"{capital(counted(moved))} {'are' if len(moved) > 1 else 'is'} to be relocated. "
        "Has that been done?",
        answers=(
            Answer(label=f"{they} new place", patch=here),
            Answer(label=f"Put {them} back to the old place", patch=back),
        ),
    )


def set_phase(
    project: Project, ids: Iterable[str], phase: int, *, name: str | None = None
) -> Patch:
    """Set the phase of all that has one among these, ports too, and call it `name` (None: as it
    is). The ports of an outlet that is named follow it."""
    ids = list(dict.fromkeys(ids))
    ports = {i for i in ids if tag_of_id(i) == "port"}
    things = [t for i in ids if i not in ports and (t := project.get(i)) is not None]
    phased = [t for t in things if hasattr(t, "phase")]
    pairs: Pairs = [(t, _in_phase(t, phase)) for t in phased]
    pairs += _ports_in_phase(project, ports, {t.id for t in phased}, phase)
    if not pairs:
        raise InputProblem("Nothing that is selected has a phase; select outlets or pathways.")
    settings = project.settings
    if name is not None and phase != NO_PHASE:
        settings = with_phase_named(settings, phase, name)
    said = phase_name(settings, phase) or "none"
    if settings.phases != project.settings.phases:
        pairs.append((project.settings, settings))
    return changing(
        f"Set phase of {counted(phased) if phased else number(len(ports), 'port')} to {said}",
        [(b, a) for b, a in pairs if a != b],
    )


def _in_phase(thing: Entity, phase: int) -> Entity:
    after = replace(cast(Any, thing), phase=phase)
    if isinstance(after, Outlet) and any(p.phase is not None for p in after.ports):
        after = replace(after, ports=tuple(replace(p, phase=None) for p in after.ports))
    return cast(Entity, after)


def _ports_in_phase(
    project: Project, ports: set[str], outlets: set[str], phase: int
) -> Iterable[tuple[Entity, Entity]]:
    """Outlets with some of their ports in a phase; of its outlet's own phase a port says none."""
    if not ports:
        return
    for outlet in project.outlets.values():
        if outlet.id not in outlets and any(p.id in ports for p in outlet.ports):
            own = None if phase == outlet.phase else phase
            after = tuple(replace(p, phase=own) if p.id in ports else p for p in outlet.ports)
            yield outlet, replace(outlet, ports=after)


def with_contents(
    project: Project, ids: Iterable[str], space_of: Mapping[str, str | None]
) -> list[str]:
    """The ids, with the outlets in place of the spaces among them, and all that stands on the
    floors in place of these.

    `space_of` gives the space of an outlet by its id.
    """
    ids = list(dict.fromkeys(ids))
    spaces = {i for i in ids if i in project.spaces}
    floors = {i for i in ids if i in project.floors}
    found = dict.fromkeys(i for i in ids if i not in spaces and i not in floors)
    if spaces:
        found |= dict.fromkeys(o for o in project.outlets if space_of.get(o) in spaces)
    if floors:
        found |= dict.fromkeys(
            t.id
            for t in project.entities()
            if hasattr(t, "state") and floors & set(floors_of(project, t))
        )
    return list(found)
