"""Pathways: metres by kind and size, whole lengths, fittings, supports, boxes and drop-outs."""

import math
from collections.abc import Sequence
from itertools import pairwise

from app.model.entities import OutdoorDuct, Pathway, Riser, Vertex
from app.model.project import Project
from app.model.vocabulary import OPEN_KINDS, AccessKind, PathwayKind, State
from app.sizing.supports import couplings, hooks_on_line, straight_lengths, supports_on_line
from app.standards import RuleSet
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import carrier_name, length_words

STRAIGHT_DEG = 3.0
"""A line that turns by less is taken as straight on; drawn by hand it is seldom exact."""

FITTED_KINDS = frozenset({PathwayKind.LADDER, PathwayKind.TRAY, PathwayKind.CONDUIT})
"""Kinds whose turns are bought as bends; basket is cut and bent on site."""


def straights_mm(vertices: Sequence[Vertex]) -> list[int]:
    """The lengths of the straights of a line: pieces that go straight on are one."""
    straights: list[int] = []
    before: tuple[float, ...] | None = None
    for a, b in pairwise(vertices):
        length_mm = math.dist(a, b)
        way = tuple((q - p) / length_mm for p, q in zip(a, b, strict=True))
        rounded_mm = math.floor(length_mm + 0.5)
        if before is not None and _turn_deg(before, way) < STRAIGHT_DEG:
            straights[-1] += rounded_mm
        else:
            straights.append(rounded_mm)
        before = way
    return straights


def count_pathways(project: Project, rules: RuleSet, tally: Tally) -> None:
    """All new pathways of the project, with what holds and joins them.

    Source: pathways.straight_length, pathways.conduit_length, pathways.hook_spacing,
    pathways.support_basket, pathways.support_ladder, pathways.conduit_strap_spacing.
    """
    for pathway in project.pathways.values():
        if pathway.state is State.NEW:
            if pathway.kind is PathwayKind.HOOKS:
                _count_hook_line(project, pathway, tally)
            else:
                _count_line(project, pathway, rules, tally)


def count_fittings(project: Project, tally: Tally) -> None:
    """New pull boxes, inserts and drop-outs."""
    for point in project.access_points.values():
        if point.state is State.NEW:
            pathway = project.pathways[point.pathway]
            box = "Pull box" if point.kind is AccessKind.PULL_BOX else "Insert"
            tally.add(
                Section.PATHWAYS,
                f"{box} on {carrier_name(pathway, project.settings)}",
                1,
                things=[point.id],
                provided_by=point.provided_by,
                floor=point.floor,
            )
    for drop in project.drop_outs.values():
        if drop.state is State.NEW:
            tally.add(
                Section.PATHWAYS,
                "Drop-out",
                1,
                things=[drop.id],
                provided_by=drop.provided_by,
                floor=drop.floor,
            )


def _count_hook_line(project: Project, pathway: Pathway, tally: Tally) -> None:
    spacing_mm = pathway.hook_spacing_mm
    if spacing_mm is None:
        spacing_mm = project.settings.hook_spacing_mm
    length_mm = sum(straights_mm(pathway.vertices))
    name = carrier_name(pathway, project.settings)
    add_of(
        tally,
        pathway,
        Section.PATHWAYS,
        name,
        length_mm,
        unit=Unit.LENGTH,
        basis="measured; hooks are counted",
        billed=False,
    )
    add_of(
        tally,
        pathway,
        Section.SUPPORTS,
        f"{name}, on a line",
        hooks_on_line(length_mm=length_mm, spacing_mm=spacing_mm),
        basis=f"one every {length_words(spacing_mm, project.settings.units)} and one at the end",
    )


def _count_line(project: Project, pathway: Pathway, rules: RuleSet, tally: Tally) -> None:
    settings, name = project.settings, carrier_name(pathway, project.settings)
    straights = straights_mm(pathway.vertices)
    count = 1 if pathway.kind in OPEN_KINDS else pathway.count
    conduit = pathway.kind is PathwayKind.CONDUIT
    straight_mm = settings.conduit_length_mm if conduit else settings.straight_length_mm
    bought = sum(straight_lengths(length_mm=s, straight_mm=straight_mm) for s in straights)
    joints = sum(couplings(length_mm=s, straight_mm=straight_mm) for s in straights)
    lengths = f"{name}, length of {length_words(straight_mm, settings.units)}"
    add_of(
        tally,
        pathway,
        Section.PATHWAYS,
        name,
        count * sum(straights),
        unit=Unit.LENGTH,
        basis="measured; bought in whole lengths",
        billed=False,
    )
    add_of(
        tally,
        pathway,
        Section.PATHWAYS,
        lengths,
        count * bought,
        basis="rounded up for each straight",
    )
    if conduit:
        joint = "coupling"
    elif pathway.kind is PathwayKind.BASKET:
        # A basket's turns are cut from the same lengths and spliced like its joints.
        joint, joints = "splice set", joints + len(straights) - 1
    else:
        joint = "joint"
    add_of(tally, pathway, Section.PATHWAYS, f"{name}, {joint}", count * joints)
    if pathway.kind in FITTED_KINDS:
        bends = count * (len(straights) - 1)
        add_of(tally, pathway, Section.PATHWAYS, f"{name}, bend", bends)
    _count_supports(project, pathway, name, sum(straights), rules, tally)


def _count_supports(
    project: Project, pathway: Pathway, name: str, length_mm: int, rules: RuleSet, tally: Tally
) -> None:
    settings = project.settings
    spacing_mm = {
        PathwayKind.LADDER: settings.ladder_support_mm,
        PathwayKind.TRAY: settings.tray_support_mm,
        PathwayKind.BASKET: settings.tray_support_mm,
        PathwayKind.CONDUIT: rules.mm("pathways.conduit_strap_spacing"),
    }.get(pathway.kind)
    if spacing_mm is None:
        return
    conduit = pathway.kind is PathwayKind.CONDUIT
    each = supports_on_line(length_mm=length_mm, spacing_mm=spacing_mm)
    add_of(
        tally,
        pathway,
        Section.SUPPORTS,
        f"{name}, {'strap' if conduit else 'support'}",
        each * (pathway.count if conduit else 1),
        basis=f"one every {length_words(spacing_mm, settings.units)} and one at the end; "
        "the maker's table wins",
    )


def add_of(
    tally: Tally,
    thing: Pathway | Riser | OutdoorDuct,
    section: Section,
    item: str,
    quantity: int,
    *,
    unit: Unit = Unit.PIECE,
    basis: str = "",
    billed: bool = True,
) -> None:
    tally.add(
        section,
        item,
        quantity,
        unit=unit,
        things=[thing.id],
        provided_by=thing.provided_by,
        floor=thing.floor if isinstance(thing, Pathway) else None,
        basis=basis,
        billed=billed,
    )


def _turn_deg(first: Sequence[float], second: Sequence[float]) -> float:
    cosine = sum(p * q for p, q in zip(first, second, strict=True))
    return math.degrees(math.acos(max(-1.0, min(1.0, cosine))))
