"""Which states and phases are in sight: what is hidden is not drawn, not hit and not caught."""

from collections import Counter
from collections.abc import Iterable
from typing import Any

import msgspec
from msgspec.structs import replace

from app.editor.commands.shapes import floors_of
from app.model.entities import AccessPoint, Break, DropOut, Entity, Outlet, Port, WalkedLength
from app.model.ports import own_phase, own_state
from app.model.project import Project
from app.model.vocabulary import State


class ShownStates(msgspec.Struct, frozen=True, kw_only=True):
    """The states and the phases that are hidden; nothing is at first.

    What has no state, as a room, is always shown. An outlet is shown with any of its ports.
    What sits on a pathway is hidden with it.
    """

    hidden_states: frozenset[State] = frozenset()
    hidden_phases: frozenset[int] = frozenset()

    @property
    def are_all(self) -> bool:
        """Whether nothing is hidden."""
        return not (self.hidden_states or self.hidden_phases)

    def shows(self, project: Project, thing: Entity) -> bool:
        """Whether a thing is in sight."""
        return self.are_all or (self._shows_itself(thing) and self._shows_ways(project, thing))

    def shows_port(self, outlet: Outlet, port: Port) -> bool:
        """Whether a port is in sight by its own state, else its outlet's."""
        hidden = own_state(outlet, port) in self.hidden_states
        return not hidden and own_phase(outlet, port) not in self.hidden_phases

    def _shows_itself(self, thing: Any) -> bool:
        phases = phases_of(thing)
        if phases and phases <= self.hidden_phases:
            return False
        states = states_of(thing)
        return not states or not states <= self.hidden_states

    def _shows_ways(self, project: Project, thing: Entity) -> bool:
        match thing:
            case AccessPoint():
                ways: tuple[str, ...] = (thing.pathway,)
            case DropOut() | Break():
                ways = (thing.pathway_a, thing.pathway_b)
            case WalkedLength():
                ways = (thing.along,)
            case _:
                return True
        found = [project.pathways[w] for w in ways if w in project.pathways]
        return all(self._shows_itself(pathway) for pathway in found)

    def with_state(self, state: State, *, shown: bool) -> "ShownStates":
        """The same with a state shown or hidden."""
        hidden = self.hidden_states - {state} if shown else self.hidden_states | {state}
        return replace(self, hidden_states=hidden)

    def with_phase(self, phase: int, *, shown: bool) -> "ShownStates":
        """The same with a phase shown or hidden."""
        hidden = self.hidden_phases - {phase} if shown else self.hidden_phases | {phase}
        return replace(self, hidden_phases=hidden)


ALL_SHOWN = ShownStates()


def states_of(thing: Any) -> frozenset[State]:
    """The states that a thing has: of an outlet also those of its ports; empty for none."""
    state = getattr(thing, "state", None)
    if state is None:
        return frozenset()
    if isinstance(thing, Outlet):
        return frozenset({state, *(p.state for p in thing.ports if p.state is not None)})
    return frozenset({state})


def phases_of(thing: Any) -> frozenset[int]:
    """The phases in which there is work at a thing: of an outlet also those of its ports."""
    phase = getattr(thing, "phase", None)
    if phase is None:
        return frozenset()
    if isinstance(thing, Outlet):
        return frozenset({phase, *(p.phase for p in thing.ports if p.phase is not None)})
    return frozenset({phase})


class StateCounts(msgspec.Struct, frozen=True, kw_only=True):
    """How many things there are by state and by phase, and how many of all are hidden."""

    states: dict[State, int]
    phases: dict[int, int]
    hidden: int


def counted_states(project: Project, shown: ShownStates, floor_id: str | None) -> StateCounts:
    """The counts of one floor (None: of the whole project)."""
    states: Counter[State] = Counter()
    phases: Counter[int] = Counter()
    hidden = 0
    for thing in _with_state(project, floor_id):
        states[thing.state] += 1
        if hasattr(thing, "phase"):
            phases[thing.phase] += 1
        hidden += not shown.shows(project, thing)
    return StateCounts(states=dict(states), phases=dict(phases), hidden=hidden)


def _with_state(project: Project, floor_id: str | None) -> Iterable[Any]:
    for table in (
        project.outlets,
        project.frames,
        project.demarcations,
        project.pathways,
        project.access_points,
        project.drop_outs,
        project.penetrations,
    ):
        yield from (t for t in table.values() if floor_id in (None, t.floor))
    for line in (*project.risers.values(), *project.outdoor_ducts.values()):
        if floor_id is None or floor_id in floors_of(project, line):
            yield line
