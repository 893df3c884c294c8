"""Panels and ports for new runs, and with them the numbers of their cables.

The order is the same on every machine: frames by level and name; at a frame cable by cable (what
may share a panel); then floors from below, outlets by number as people count, ports in the order
of the plate. Ports that are free on the panels that are there come first, from the first panel
on, then new panels A, B, … What has a place keeps it.

A port is free where no run ends on it, whatever that run's state, where no printed run ended
before it was removed, and where its cable's number has not been carried by another. On panels
that stand it is known to be free only where it is said of every existing cable where it ends.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from msgspec.structs import replace

from app.design.design import Design
from app.editor.asking import InputProblem
from app.editor.commands.kept_numbers import printed_words
from app.editor.commands.numbering import CableNumbers, Retired, none_retired
from app.editor.commands.patterns import (
    Pattern,
    cable_pattern,
    natural,
    place_letter,
    wants_panel,
)
from app.editor.wording import counted, number
from app.model.entities import Entity, Frame, Outlet, Panel, PanelPort, Port
from app.model.project import Patch, Project, changing
from app.model.vocabulary import State
from app.storage.retired import place_of
from app.takeoff.panel_needs import panel_sort
from app.takeoff.states import ENDED_TODAY, PULLED, state_of

STANDING = frozenset({State.EXISTING, State.NEW})
"""Panels on which a run may be ended."""
MOST_PANELS = 500
Place = tuple[Outlet, int]
"""An outlet and the index of its port."""


@dataclass(slots=True)
class _Wanted:
    """What ends at one frame with one sort of cable."""

    new: list[Place]
    unknown: int = 0
    """Existing runs of which nobody has said where they end."""


def give_ports(
    design: Design,
    *,
    frame_ids: Collection[str] | None = None,
    retired: Retired = none_retired,
) -> Patch:
    """Give every new run that has none a panel, a port and a cable number (at some frames).

    Raises InputProblem where there is none to give, or the pattern of cable numbers is wrong.
    """
    project = design.project
    pattern = cable_pattern(project.settings.cable_pattern)
    frames = _in_order(project, frame_ids)
    _refuse_same_names(frames, pattern)
    giving = _Giving(project, pattern, retired)
    wanted = _wanted(design, {f.id for f in frames})
    for frame in frames:
        for sort, places in sorted(wanted.get(frame.id, {}).items()):
            giving.give(frame, sort, places)
    giving.number_the_rest({f.id for f in frames})
    pairs = giving.pairs()
    if not pairs:
        raise InputProblem(_nothing(design, frames))
    return changing(_label(giving.count, frames if frame_ids is not None else ()), pairs)


def _label(count: int, frames: Iterable[Frame]) -> str:
    at = ", ".join(f.name for f in frames)
    where = f" at frame {at}" if at else ""
    if not count:
        return f"Give cables their numbers{where}"
    return f"Give {number(count, 'run')} {'a panel port' if count == 1 else 'panel ports'}{where}"


def _nothing(design: Design, frames: Iterable[Frame]) -> str:
    at = " and ".join(f"frame {f.name}" for f in frames)
    return f"Every new run with a route to {at or 'a frame'} has its panel port already."


def enter_ports(design: Design, ids: Iterable[str]) -> Patch:
    """Say of existing runs of these outlets, in the same order, on which port they end.

    They fill the panels that stand, from the first free port on; a port that is found otherwise
    is then typed. Cable numbers are not given: those cables carry their own. Raises InputProblem
    where the panels that stand have too few ports.
    """
    project = design.project
    wanted = _wanted(design, set(project.frames), only=frozenset(ids), states=ENDED_TODAY)
    giving = _Giving(project, None, none_retired)
    for frame in _in_order(project, None):
        for sort, places in sorted(wanted.get(frame.id, {}).items()):
            giving.enter(frame, sort, places)
    pairs = giving.pairs()
    if not pairs:
        raise InputProblem(
            "Select outlets with existing runs that have a frame and no panel port yet."
        )
    return changing(f"Enter the panel ports of {number(giving.count, 'existing run')}", pairs)


def take_ports_back(project: Project, ids: Iterable[str]) -> Patch:
    """Take panel and port from the runs of outlets, and the cable numbers that name these.

    Refused where they are printed.
    """
    outlets = [project.outlets[i] for i in dict.fromkeys(ids) if i in project.outlets]
    having = [o for o in outlets if any(p.ends_at is not None for p in o.ports)]
    if not having:
        raise InputProblem("Nothing that is selected has a port on a panel.")
    printed = [o for o in having if any(p.printed for p in o.ports)]
    if printed:
        raise InputProblem(f"{printed_words(printed)}; release the numbers first.")
    named = wants_panel(cable_pattern(project.settings.cable_pattern))
    pairs = []
    for outlet in having:
        ports = (
            replace(p, ends_at=None, cable_number="" if named else p.cable_number)
            if p.ends_at is not None
            else p
            for p in outlet.ports
        )
        pairs.append((outlet, replace(outlet, ports=tuple(ports))))
    return changing(f"Take back the panel ports of {counted(having)}", pairs)


def _in_order(project: Project, frame_ids: Collection[str] | None) -> list[Frame]:
    chosen = project.frames.values()
    frames = [f for f in chosen if frame_ids is None or f.id in frame_ids]
    if not frames:
        raise InputProblem("Place a frame first; runs end on its panels.")
    level = {f.id: f.level_mm for f in project.floors.values()}
    return sorted(frames, key=lambda f: (level[f.floor], natural(f.name), f.id))


def _refuse_same_names(frames: Iterable[Frame], pattern: Pattern) -> None:
    seen: dict[str, Frame] = {}
    for frame in frames:
        if "frame" in pattern.words and frame.name in seen:
            raise InputProblem(
                f"Two frames are called {frame.name or 'nothing'}, and cables are numbered by "
                "their frame; give one of them another name."
            )
        seen[frame.name] = frame


def _wanted(
    design: Design,
    frame_ids: Collection[str],
    *,
    only: Collection[str] | None = None,
    states: Collection[State] = PULLED,
) -> dict[str, dict[str, _Wanted]]:
    """By frame and sort of cable, what is to be given, in the order in which it is.

    `only` are the outlets that are looked at, where not all are.
    """
    project, runs = design.project, design.runs
    index = runs.frame_index.tolist()
    sort_of = {c.id: panel_sort(c) for c in project.cable_types.values()}
    level = {f.id: f.level_mm for f in project.floors.values()}
    outlets = sorted(
        project.outlets.values(), key=lambda o: (level[o.floor], natural(o.number), o.id)
    )
    found: dict[str, dict[str, _Wanted]] = {}
    for outlet in outlets:
        if only is not None and outlet.id not in only:
            continue
        for place, port in enumerate(outlet.ports):
            at = index[runs.row_of[port.id]]
            if port.ends_at is not None or at < 0 or runs.frame_ids[at] not in frame_ids:
                continue
            by_sort = found.setdefault(runs.frame_ids[at], {})
            wanted = by_sort.setdefault(sort_of[port.cable_type], _Wanted([]))
            state = state_of(outlet, port)
            if state in states:
                wanted.new.append((outlet, place))
            elif state in ENDED_TODAY:
                wanted.unknown += 1
    return found


class _Giving:
    """The ports given so far, and what of each panel is taken."""

    def __init__(self, project: Project, pattern: Pattern | None, retired: Retired) -> None:
        self._project = project
        self._by_place = pattern is not None and {"frame", "panel", "port"} <= set(pattern.words)
        outlets = tuple(project.outlets.values())
        self._numbers = (
            None if pattern is None else CableNumbers(project, pattern, outlets, retired)
        )
        self._gone = frozenset(retired(PanelPort))
        self._sort_of = {c.id: panel_sort(c) for c in project.cable_types.values()}
        self._taken: dict[tuple[str, str], set[int]] = {}
        for outlet in project.outlets.values():
            for port in outlet.ports:
                if port.ends_at is not None:
                    key = (port.ends_at.frame, port.ends_at.panel)
                    self._taken.setdefault(key, set()).add(port.ends_at.port)
        self._names = set(self._taken) | {_panel_of(text) for text in self._gone}
        self._ports: dict[str, list[Port]] = {}
        self._panels: dict[str, list[Panel]] = {}
        self.count = 0

    def give(self, frame: Frame, sort: str, wanted: _Wanted) -> None:
        """Give runs the free ports of a frame, in turn."""
        cable = "" if not wanted.new else self._type_of(wanted.new[0])
        free = self._free(frame, sort, cable, existing=not wanted.unknown)
        for outlet, index in wanted.new:
            ports = self._ports.setdefault(outlet.id, list(outlet.ports))
            for place in free:
                ends = replace(ports[index], ends_at=place)
                given = self._numbered(outlet, index, ends)
                if self._by_place and given is None and self._makes(outlet, index, ends):
                    continue  # another cable has, or had, the number of this place
                ports[index] = ends if given is None else given
                self.count += 1
                break

    def enter(self, frame: Frame, sort: str, wanted: _Wanted) -> None:
        """Put existing runs on the free ports of the panels that stand, in turn."""
        panels = [
            p
            for p in frame.panels
            if p.state is State.EXISTING and self._sort_of[p.cable_type] == sort
        ]
        free = [place for panel in panels for place in self._on(frame, panel)]
        if len(free) < len(wanted.new):
            raise InputProblem(
                f"Frame {frame.name} has {number(len(free), 'free port')} for {sort} on panels "
                f"that stand, and {number(len(wanted.new), 'existing run')} to enter; add the "
                "panels that stand first."
            )
        for (outlet, index), place in zip(wanted.new, free, strict=False):
            ports = self._ports.setdefault(outlet.id, list(outlet.ports))
            ports[index] = replace(ports[index], ends_at=place)
            self.count += 1

    def _numbered(self, outlet: Outlet, index: int, ends: Port) -> Port | None:
        if self._numbers is None:
            return None
        return self._numbers.given(outlet, index, as_it_ends=ends)

    def _makes(self, outlet: Outlet, index: int, ends: Port) -> bool:
        return self._numbers is not None and self._numbers.makes(outlet, index, ends)

    def _type_of(self, place: Place) -> str:
        outlet, index = place
        return outlet.ports[index].cable_type

    def _free(self, frame: Frame, sort: str, cable: str, *, existing: bool) -> Iterator[PanelPort]:
        """Ports nobody has or had: on the panels that are there, then on new ones."""
        panels = self._panels.setdefault(frame.id, list(frame.panels))
        for panel in tuple(panels):
            known = panel.state is State.NEW or existing
            if panel.state in STANDING and known and self._sort_of[panel.cable_type] == sort:
                yield from self._on(frame, panel)
        for _ in range(MOST_PANELS):
            panel = Panel(
                name=self._next_name(frame, panels),
                port_count=self._project.settings.panel_ports,
                cable_type=cable,
            )
            panels.append(panel)
            yield from self._on(frame, panel)
        raise InputProblem(
            f"No free port was found on {MOST_PANELS} new panels of frame {frame.name}: their "
            "cables would carry numbers that others have. Change the pattern of cable numbers."
        )

    def _on(self, frame: Frame, panel: Panel) -> Iterator[PanelPort]:
        taken = self._taken.get((frame.id, panel.name), set())
        for number_ in range(1, panel.port_count + 1):
            place = PanelPort(frame=frame.id, panel=panel.name, port=number_)
            if number_ not in taken and place_of(place) not in self._gone:
                yield place

    def _next_name(self, frame: Frame, panels: list[Panel]) -> str:
        """The next letters that no panel of the frame has or had, with a run on it."""
        names = {p.name for p in panels} | {n for f, n in self._names if f == frame.id}
        return next(n for i in range(len(names) + 1) if (n := place_letter(i).upper()) not in names)

    def number_the_rest(self, frame_ids: Collection[str]) -> None:
        """Number the new runs that have had a port before, and no cable number."""
        for outlet in self._project.outlets.values():
            for index, port in enumerate(outlet.ports):
                bare = not port.cable_number and port.ends_at is not None
                if not bare or port.ends_at is None or port.ends_at.frame not in frame_ids:
                    continue
                if state_of(outlet, port) in PULLED:
                    given = self._numbered(outlet, index, port)
                    if given is not None:
                        self._ports.setdefault(outlet.id, list(outlet.ports))[index] = given

    def pairs(self) -> list[tuple[Entity, Entity]]:
        """What changes: outlets with their ports, frames with their panels."""
        project, out = self._project, list[tuple[Entity, Entity]]()
        for frame_id, panels in self._panels.items():
            frame = project.frames[frame_id]
            if len(panels) != len(frame.panels):
                out.append((frame, replace(frame, panels=tuple(panels))))
        for outlet_id, ports in self._ports.items():
            outlet = project.outlets[outlet_id]
            if any(a is not b for a, b in zip(ports, outlet.ports, strict=True)):
                out.append((outlet, replace(outlet, ports=tuple(ports))))
        return out


def _panel_of(retired_place: str) -> tuple[str, str]:
    frame, _, rest = retired_place.partition("/")
    return frame, rest.rpartition("/")[0]
