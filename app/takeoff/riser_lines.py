"""Risers and outdoor ducts: sleeves and fire-stops for each floor passed, vertical conduit."""

import math
from collections.abc import Mapping, Set

import numpy as np

from app.design.design import Design
from app.model.entities import OutdoorDuct, Riser
from app.model.project import Project, floors_from_below
from app.model.vocabulary import RiserKind, State
from app.routing.joints import Joints
from app.sizing.supports import couplings, straight_lengths, supports_on_line
from app.standards import RuleSet
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import carrier_name, length_words
from app.takeoff.opening_lines import slabs_marked
from app.takeoff.pathway_lines import add_of, straights_mm


def rises_of(design: Design) -> dict[str, int]:
    """The length of each new vertical conduit, from the lowest to the highest thing that meets
    it: a pathway or duct, or a frame's ladder where no two of these do. Those that are met at
    one height only are left out."""
    wanted = {
        r.id
        for r in design.project.risers.values()
        if r.kind is RiserKind.CONDUIT and r.state is State.NEW
    }
    if not wanted:
        return {}
    joints = design.workings.base.joints
    things = joints.stretches.things
    return {thing: _rise_mm(joints, k) for k, thing in enumerate(things) if thing in wanted}


def _rise_mm(joints: Joints, thing: int) -> int:
    flat = joints.stretches
    first, stop = int(flat.first_of_thing[thing]), int(flat.first_of_thing[thing + 1])
    before = np.concatenate(([0], np.cumsum(flat.length[first:stop])))
    own = (joints.cut_stretch >= first) & (joints.cut_stretch < stop)
    along = before[joints.cut_stretch[own] - first] + joints.cut_offset[own]
    met = along[np.isin(joints.cut_group[own], joints.cut_group[~own])]
    if len(np.unique(met)) > 1:
        along = met
    return int(along.max() - along.min())


def count_risers(
    project: Project, rises_mm: Mapping[str, int], rules: RuleSet, tally: Tally
) -> None:
    """New risers and outdoor ducts. `rises_mm`: the lengths of vertical conduits by riser.

    A slab that has a penetration of its own is counted with the penetrations.
    """
    marked = slabs_marked(project.penetrations.values())
    for riser in project.risers.values():
        if riser.state is State.NEW:
            _count_riser(project, riser, rises_mm, marked.get(riser.id, set()), rules, tally)
    for duct in project.outdoor_ducts.values():
        if duct.state is State.NEW:
            _count_duct(project, duct, tally)


def _count_duct(project: Project, duct: OutdoorDuct, tally: Tally) -> None:
    add_of(
        tally,
        duct,
        Section.RISERS,
        carrier_name(duct, project.settings),
        duct.count * sum(straights_mm(duct.vertices)),
        unit=Unit.LENGTH,
    )


def _count_riser(
    project: Project,
    riser: Riser,
    rises_mm: Mapping[str, int],
    marked: Set[str],
    rules: RuleSet,
    tally: Tally,
) -> None:
    floors = project.floors
    low, high = floors[riser.lower_floor], floors[riser.upper_floor]
    storeys = {f.level_mm: f.id for f in floors_from_below(project, low.building)}
    slabs = [f for level, f in storeys.items() if low.level_mm < level <= high.level_mm]
    passed = sum(f not in marked for f in slabs)
    name = carrier_name(riser, project.settings)
    if riser.kind is RiserKind.SHAFT:
        add_of(tally, riser, Section.RISERS, name, riser.count)
        return
    if riser.kind is RiserKind.CONDUIT:
        _count_conduit(project, riser, rises_mm.get(riser.id), rules, tally)
    else:
        add_of(
            tally,
            riser,
            Section.RISERS,
            name,
            riser.count * passed,
            basis=f"{riser.count} at each floor passed",
        )
    add_of(
        tally,
        riser,
        Section.RISERS,
        "Fire-stop of a floor opening",
        riser.count * passed,
        basis="one an opening and floor passed; the tested system decides",
    )


def _count_conduit(
    project: Project, riser: Riser, rise_mm: int | None, rules: RuleSet, tally: Tally
) -> None:
    """Vertical conduit in whole lengths, with couplings and straps.

    Source: pathways.conduit_length, pathways.conduit_strap_spacing.
    """
    settings, name = project.settings, carrier_name(riser, project.settings)
    measured = "from the lowest to the highest pathway that meets it"
    if rise_mm is None:
        measured = "from floor to floor, for no two pathways meet it"
        low, high = project.floors[riser.lower_floor], project.floors[riser.upper_floor]
        exact_mm = math.dist((*riser.lower, low.level_mm), (*riser.upper, high.level_mm))
        rise_mm = math.floor(exact_mm + 0.5)
    straight_mm = settings.conduit_length_mm
    strap_mm = rules.mm("pathways.conduit_strap_spacing")
    lengths = straight_lengths(length_mm=rise_mm, straight_mm=straight_mm)
    joints = couplings(length_mm=rise_mm, straight_mm=straight_mm)
    straps = supports_on_line(length_mm=rise_mm, spacing_mm=strap_mm)
    for item, quantity, unit, basis in (
        (name, rise_mm, Unit.LENGTH, f"measured {measured}"),
        (
            f"{name}, length of {length_words(straight_mm, settings.units)}",
            lengths,
            Unit.PIECE,
            measured,
        ),
        (f"{name}, coupling", joints, Unit.PIECE, ""),
        (
            f"{name}, strap",
            straps,
            Unit.PIECE,
            f"one every {length_words(strap_mm, settings.units)} and one at the end",
        ),
    ):
        add_of(
            tally,
            riser,
            Section.RISERS,
            item,
            riser.count * quantity,
            unit=unit,
            basis=basis,
            billed=unit is Unit.PIECE,
        )
