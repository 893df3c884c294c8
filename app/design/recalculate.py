"""Recalculate: the design after an edit, with as little work as the edit needs.

Edits of outlets that keep their floor and ports go the short way; everything else reruns the
stages whose inputs changed.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from app.checks.checked import Touched, check_again
from app.checks.every_check import Facts
from app.design.design import Design, DesignChange, Summary
from app.design.evaluate import derive, design_of
from app.design.old_cables import OldCables, concerns, old_cables
from app.design.outlet_edit import edited_outlets, work_on_outlets
from app.design.reasons import reasons_in_words
from app.design.results import (
    cable_areas,
    carriers,
    counts_of,
    fills_of,
    is_outside,
    passing_fills,
    required_placed,
    runs_again,
    served_by,
    usual_cable,
)
from app.design.workings import Workings
from app.model.entities import CableType, OutdoorDuct, Outlet, Riser
from app.model.project import Patch, Project
from app.model.vocabulary import State
from app.routing.loads import (
    Traffic,
    greatest_loads,
    laid_cables,
    laid_together,
    moved_traffic,
)
from app.routing.passing import passed_again, passing_loads
from app.routing.results import Fill, IntArray, Load, Runs

Placed = Mapping[str, Mapping[str, int]]


def recalculate(design: Design, project: Project, patch: Patch) -> tuple[Design, DesignChange]:
    """The design of `project`, which the patch made of the design's; equal to `evaluate`."""
    edited = edited_outlets(design.workings, patch)
    if edited is not None:
        return _with_outlets(design, project, edited)
    return derive(project, design.rules, design.workings), DesignChange(everything=True)


@dataclass(frozen=True, slots=True)
class _Edit:
    """One outlet before and after, with its spaces."""

    before: Outlet
    after: Outlet
    space_before: str | None
    space_after: str | None

    @property
    def moved_space(self) -> bool:
        return self.space_before != self.space_after

    @property
    def counted_anew(self) -> bool:
        """Whether it counts otherwise among what is placed in spaces."""
        one, other = self.before, self.after
        return self.moved_space or one.kind != other.kind or one.state is not other.state

    @property
    def listed_anew(self) -> bool:
        """Whether the lists of a floor's outlets may say something else."""
        one, other = self.before, self.after
        if self.counted_anew or one.number != other.number:
            return True
        if one.way_down != other.way_down or one.height_mm != other.height_mm:
            return True
        return [(p.ends_at is None, p.state) for p in one.ports] != [
            (p.ends_at is None, p.state) for p in other.ports
        ]

    @property
    def named_anew(self) -> bool:
        one, other = self.before, self.after
        names = [(p.cable_number, p.ends_at) for p in one.ports] != [
            (p.cable_number, p.ends_at) for p in other.ports
        ]
        return names or one.number != other.number or one.state is not other.state


def _with_outlets(
    design: Design, project: Project, edited: list[Outlet]
) -> tuple[Design, DesignChange]:
    old = design.workings
    workings, ports = work_on_outlets(project, old, edited)
    edits = _edits(design, workings, edited)
    runs, rows = runs_again(project, workings, ports, design.runs)
    old_ones = _old_cables(design, project, workings, runs, rows, edits)
    traffic, loads, fills, filled, passing = _loads(design, project, workings, ports, old_ones)
    placed = _placed(design.placed, edits)
    space_of = _space_of(design, edits)
    ports_at, areas = design.ports_at, design.areas_m2
    if _serves_otherwise(design, workings, runs):
        ports_at, areas = served_by(workings, runs)
    facts = Facts(
        project=project,
        rules=design.rules,
        fill_rules=design.fill_rules,
        runs=runs,
        space_of=space_of,
        fills=fills,
        passing=passing,
        backbone=design.backbone,
        placed=placed,
        required=design.required,
        ports=ports_at,
        areas_m2=areas,
        riser_floors=workings.base.joints.riser_floors,
        reason_of=reasons_in_words(project, workings, runs),
    )
    outlets = frozenset(o.id for o in edited) | {runs.outlet_ids[r] for r in rows.tolist()}
    touched = _touched(project, edits, outlets, filled, placed is not design.placed)
    openings = frozenset(p for p, f in passing.items() if f is not design.passing[p])
    other = {
        f for f in ports_at if ports_at[f] != design.ports_at[f] or areas[f] != design.areas_m2[f]
    }
    legs = _leg_floors(project, outlets, design.runs, runs)
    checked = check_again(
        design.checked,
        facts,
        replace(touched, frames=frozenset(other), leg_floors=legs, penetrations=openings),
    )
    summary = _summary(design, workings, runs, placed, edits)
    after = design_of(
        facts,
        checked,
        summary,
        workings=workings,
        old=old_ones,
        traffic=traffic,
        loads=loads,
    )
    change = DesignChange(
        ports=frozenset(runs.port_ids[r] for r in rows.tolist()),
        outlets=outlets,
        pathways=filled,
        penetrations=openings,
        frames=_frames_of(design.runs, runs, rows) | other,
        findings=checked.findings != design.findings,
    )
    return after, change


def _serves_otherwise(design: Design, workings: Workings, runs: Runs) -> bool:
    """Whether ports or areas at frames may have changed: untouched columns stay one object."""
    old, new = design.workings.plates, workings.plates
    same = old.room is new.room and old.sort is new.sort
    return not same or runs.frame_index is not design.runs.frame_index


def _edits(design: Design, workings: Workings, edited: Iterable[Outlet]) -> list[_Edit]:
    spaces = workings.plates.space
    return [
        _Edit(
            design.project.outlets[o.id],
            o,
            design.space_of[o.id],
            spaces[workings.row_of[o.id]],
        )
        for o in edited
    ]


def _rerouted(old: Workings, new: Workings, ports: IntArray) -> IntArray:
    """Those of the ports whose cable lies elsewhere, or counts otherwise where it lies."""
    moved = np.zeros(len(ports), dtype=bool)
    for name in ("cable", "sort"):
        moved |= getattr(old.plates, name)[ports] != getattr(new.plates, name)[ports]
    for name in ("frame", "node", "to_high", "piece", "offset"):
        moved |= getattr(old.ways, name)[ports] != getattr(new.ways, name)[ports]
    if new.told:
        moved |= np.array([old.told.get(p) != new.told.get(p) for p in ports.tolist()], dtype=bool)
    return ports[moved]


def _old_cables(
    design: Design,
    project: Project,
    workings: Workings,
    runs: Runs,
    rows: IntArray,
    edits: Iterable[_Edit],
) -> OldCables:
    """The old cables; the same object where none of what changed bears on them."""
    changed = [project.outlets[runs.outlet_ids[r]] for r in rows.tolist()]
    edited = [o for e in edits for o in (e.before, e.after)]
    if concerns(design.old_cables, (*edited, *changed)):
        return old_cables(project, workings, runs)
    return design.old_cables


def _loads(
    design: Design, project: Project, workings: Workings, ports: IntArray, old_ones: OldCables
) -> tuple[Traffic, Mapping[str, Load], Mapping[str, Fill], frozenset[str], Mapping[str, Fill]]:
    """Traffic, loads and fills when some of these ports lie elsewhere, whose fill differs, and
    the fills of penetrations."""
    old, traffic = design.workings, design.traffic
    usual = usual_cable(workings.plates, traffic.types)
    same_usual = usual is usual_cable(old.plates, traffic.types)
    moved = _rerouted(old, workings, ports)
    loads, things = design.loads, tuple[str, ...]()
    if len(moved) or old_ones is not design.old_cables:
        traffic, loads, things = _loads_moved(design, workings, moved, old_ones)
    sought = things if same_usual else carriers(project)
    anew = fills_of(project, loads, sought, design.fill_rules, usual)
    changed = {t: f for t, f in anew.items() if f != design.fills[t]}
    fills = {**design.fills, **changed} if changed else design.fills
    again = things if same_usual else None
    passing = _passing(design, project, workings, old_ones, traffic, again, usual)
    return traffic, loads, fills, frozenset(changed), passing


def _passing(
    design: Design,
    project: Project,
    workings: Workings,
    old_ones: OldCables,
    traffic: Traffic,
    things: tuple[str, ...] | None,
    usual: CableType | None,
) -> Mapping[str, Fill]:
    """The fills of penetrations when the loads of these things (None: of all) are others."""
    openings = project.penetrations
    again = list(openings.values()) if things is None else passed_again(openings, things)
    if not again:
        return design.passing
    laid = laid_together(laid_cables(workings.plates, workings.ways), old_ones.laid)
    areas = cable_areas(traffic.types)
    loads = passing_loads(project, workings.base.network, laid, traffic, areas, again)
    anew = passing_fills(again, project.cable_types, loads, design.fill_rules, usual)
    changed = {p: f for p, f in anew.items() if f != design.passing[p]}
    return {**design.passing, **changed} if changed else design.passing


def _loads_moved(
    design: Design, workings: Workings, moved: IntArray, old_ones: OldCables
) -> tuple[Traffic, Mapping[str, Load], tuple[str, ...]]:
    """Traffic and loads when these ports go another way, and old cables may be others; and the
    things that this touches."""
    old, network = design.workings, workings.base.network
    gone = laid_cables(old.plates, old.ways, moved, told=old.told)
    come = laid_cables(workings.plates, workings.ways, moved, told=workings.told)
    if old_ones is not design.old_cables:
        gone = laid_together(gone, design.old_cables.laid)
        come = laid_together(come, old_ones.laid)
    traffic, pieces = moved_traffic(workings.base.trees, gone, come, design.traffic)
    numbers = np.unique(network.thing[pieces])
    numbers = numbers[numbers >= 0]
    things = tuple(network.joints.stretches.things[k] for k in numbers.tolist())
    found = greatest_loads(
        network,
        laid_together(
            laid_cables(workings.plates, workings.ways, told=workings.told), old_ones.laid
        ),
        traffic,
        cable_areas(traffic.types),
        numbers.tolist(),
    )
    kept = dict(design.loads)
    for thing in things:
        kept.pop(thing, None)
    return traffic, kept | found, things


def _placed(old: Placed, edits: Iterable[_Edit]) -> Placed:
    changed = [e for e in edits if e.counted_anew]
    if not changed:
        return old
    placed = dict(old)
    for edit in changed:
        for outlet, space, step in (
            (edit.before, edit.space_before, -1),
            (edit.after, edit.space_after, 1),
        ):
            if space is not None and outlet.state is not State.TO_REMOVE:
                kinds = dict(placed.get(space, {}))
                kinds[outlet.kind] = kinds.get(outlet.kind, 0) + step
                placed[space] = {k: n for k, n in kinds.items() if n}
    return {space: kinds for space, kinds in placed.items() if kinds}


def _space_of(design: Design, edits: Iterable[_Edit]) -> Mapping[str, str | None]:
    moved = {e.after.id: e.space_after for e in edits if e.moved_space}
    return {**design.space_of, **moved} if moved else design.space_of


def _touched(
    project: Project,
    edits: list[_Edit],
    outlets: frozenset[str],
    filled: frozenset[str],
    placed: bool,
) -> Touched:
    spaces = {s for e in edits for s in (e.space_before, e.space_after) if s is not None}
    risers = filled & project.table(Riser).keys()
    ducts = filled & project.table(OutdoorDuct).keys()
    return Touched(
        outlets=outlets,
        outlet_floors=frozenset(e.after.floor for e in edits if e.listed_anew),
        pathways=filled - risers - ducts,
        risers=frozenset(risers),
        ducts=frozenset(ducts),
        spaces=frozenset(spaces) if placed else frozenset(),
        numbers=any(e.named_anew for e in edits),
    )


def _leg_floors(project: Project, outlets: Iterable[str], old: Runs, new: Runs) -> frozenset[str]:
    """The floors of those of these outlets whose leg is, or was, longer than advised."""
    advised_mm = project.settings.leg_advised_mm
    found = set()
    for outlet in (project.outlets[o] for o in outlets):
        rows = [new.row_of[p.id] for p in outlet.ports]
        if any(max(old.leg_mm[r], new.leg_mm[r]) > advised_mm for r in rows):
            found.add(outlet.floor)
    return frozenset(found)


def _frames_of(old: Runs, new: Runs, rows: IntArray) -> frozenset[str]:
    numbers = np.unique(np.concatenate((old.frame_index[rows], new.frame_index[rows])))
    return frozenset(new.frame_ids[k] for k in numbers.tolist() if k >= 0)


def _summary(
    design: Design,
    workings: Workings,
    runs: Runs,
    placed: Placed,
    edits: list[_Edit],
) -> Summary:
    old, before, after = design.summary, design.workings, workings
    outside = unnumbered = 0
    for edit in edits:
        outside += is_outside(after, edit.after, edit.space_after)
        outside -= is_outside(before, edit.before, edit.space_before)
        unnumbered += (not edit.after.number) - (not edit.before.number)
    spaces = {s for e in edits for s in (e.space_before, e.space_after) if s is not None}
    met = required_placed(design.required, placed, spaces)
    met -= required_placed(design.required, design.placed, spaces)
    return replace(
        counts_of(workings, runs),
        outside_spaces=old.outside_spaces + outside,
        unnumbered=old.unnumbered + unnumbered,
        required=old.required,
        required_placed=old.required_placed + met,
    )
