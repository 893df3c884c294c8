"""The fill of the things of a project: sections and shares by kind, from settings and rules."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.model.entities import OutdoorDuct, Pathway, Penetration, Riser
from app.model.settings import Settings
from app.model.vocabulary import OPEN_KINDS, PathwayKind, RiserKind
from app.sizing.fill import Filled, FillLimits, fill, round_inside_mm2
from app.standards import RuleSet


@dataclass(frozen=True, slots=True, kw_only=True)
class FillRules:
    """What of the settings and the rule set the fill of pathways depends on."""

    by_kind: Mapping[PathwayKind, FillLimits]
    conduit: FillLimits
    sleeve: FillLimits
    hook_opening_mm2: float


def fill_rules(*, settings: Settings, rules: RuleSet) -> FillRules:
    """The shares for every kind: the user's settings for trays, hooks and sleeves, else the rules.

    Source: pathway_kinds.*.fill_planned_percent, fill_warn_percent, fill_most_percent;
    conduits.fill_one, conduits.fill_two, conduits.fill_more.
    """
    conduit = FillLimits(
        planned_ratio=rules.ratio("conduits.fill_more"),
        warned_ratio=rules.ratio("conduits.fill_more"),
        most_ratio=rules.ratio("conduits.fill_more"),
        one_ratio=rules.ratio("conduits.fill_one"),
        two_ratio=rules.ratio("conduits.fill_two"),
    )
    by_kind: dict[PathwayKind, FillLimits] = {}
    for kind in PathwayKind:
        known = rules.pathway_kinds[kind.value]
        by_kind[kind] = _shares(
            planned=known.fill_planned_percent,
            warned=known.fill_warn_percent,
            most=known.fill_most_percent,
        )
    tray = _shares(
        planned=settings.tray_fill_planned_percent,
        warned=settings.tray_fill_warn_percent,
        most=settings.tray_fill_most_percent,
    )
    by_kind |= dict.fromkeys((PathwayKind.LADDER, PathwayKind.TRAY, PathwayKind.BASKET), tray)
    by_kind[PathwayKind.HOOKS] = _with_most(
        by_kind[PathwayKind.HOOKS], settings.hook_fill_most_percent
    )
    by_kind[PathwayKind.CONDUIT] = conduit
    sleeve = settings.sleeve_fill_most_percent
    return FillRules(
        by_kind=by_kind,
        conduit=conduit,
        sleeve=_shares(planned=sleeve, warned=sleeve, most=sleeve),
        hook_opening_mm2=settings.hook_opening_mm2,
    )


def pathway_inside_mm2(pathway: Pathway, *, fill_rules: FillRules) -> float:
    """The inside section of a pathway, all its ducts together; 0 where its size is not given."""
    if pathway.kind is PathwayKind.HOOKS:
        own = pathway.opening_mm2
        return fill_rules.hook_opening_mm2 if own is None else own
    if pathway.kind not in OPEN_KINDS and pathway.bore_mm is not None:
        return round_inside_mm2(bore_mm=pathway.bore_mm, count=pathway.count)
    return pathway.count * (pathway.width_mm or 0.0) * (pathway.depth_mm or 0.0)


def pathway_limits(pathway: Pathway, *, fill_rules: FillRules) -> FillLimits:
    """The shares of a pathway's section that may be taken; its own limit goes first."""
    limits = fill_rules.by_kind[pathway.kind]
    if pathway.fill_limit_percent is None:
        return limits
    return _with_most(limits, pathway.fill_limit_percent)


def fill_of_pathway(
    pathway: Pathway, *, cables: int, area_mm2: float, od_mm: float, fill_rules: FillRules
) -> Filled:
    """The fill of one pathway at its fullest point; `od_mm` is the cable places are counted in."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=pathway_inside_mm2(pathway, fill_rules=fill_rules),
        od_mm=od_mm,
        limits=pathway_limits(pathway, fill_rules=fill_rules),
        ducts=1 if pathway.kind in OPEN_KINDS else pathway.count,
    )


def riser_inside_mm2(riser: Riser) -> float:
    """The inside section of a riser, all its sleeves together; 0 where its size is not given."""
    if riser.kind in _ROUND_RISERS:
        return round_inside_mm2(bore_mm=riser.bore_mm or 0.0, count=riser.count)
    return riser.count * (riser.width_mm or 0.0) * (riser.depth_mm or 0.0)


def riser_limits(riser: Riser, *, fill_rules: FillRules) -> FillLimits:
    """The shares of a riser's section that may be taken; its own limit goes first.

    A shaft is filled like a tray, a slot like sleeves.
    """
    limits = fill_rules.sleeve
    if riser.kind is RiserKind.CONDUIT:
        limits = fill_rules.conduit
    elif riser.kind is RiserKind.SHAFT:
        limits = fill_rules.by_kind[PathwayKind.TRAY]
    if riser.fill_limit_percent is None:
        return limits
    return _with_most(limits, riser.fill_limit_percent)


def fill_of_riser(
    riser: Riser, *, cables: int, area_mm2: float, od_mm: float, fill_rules: FillRules
) -> Filled:
    """The fill of one riser at its fullest point."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=riser_inside_mm2(riser),
        od_mm=od_mm,
        limits=riser_limits(riser, fill_rules=fill_rules),
        ducts=riser.count,
    )


def duct_limits(duct: OutdoorDuct, *, fill_rules: FillRules) -> FillLimits:
    """The shares of an outdoor duct's section that may be taken; its own limit goes first."""
    if duct.fill_limit_percent is None:
        return fill_rules.conduit
    return _with_most(fill_rules.conduit, duct.fill_limit_percent)


def fill_of_duct(
    duct: OutdoorDuct, *, cables: int, area_mm2: float, od_mm: float, fill_rules: FillRules
) -> Filled:
    """The fill of one outdoor duct at its fullest point."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=round_inside_mm2(bore_mm=duct.bore_mm, count=duct.count),
        od_mm=od_mm,
        limits=duct_limits(duct, fill_rules=fill_rules),
        ducts=duct.count,
    )


def penetration_inside_mm2(penetration: Penetration) -> float:
    """The section of all sleeves, or of the openings, together; 0 where no size is given."""
    if penetration.bore_mm is not None:
        return round_inside_mm2(bore_mm=penetration.bore_mm, count=penetration.count)
    return penetration.count * (penetration.width_mm or 0.0) * (penetration.depth_mm or 0.0)


def fill_of_penetration(
    penetration: Penetration, *, cables: int, area_mm2: float, od_mm: float, fill_rules: FillRules
) -> Filled:
    """The fill of a penetration by the share of a sleeve; the tested system may allow less."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=penetration_inside_mm2(penetration),
        od_mm=od_mm,
        limits=fill_rules.sleeve,
        ducts=penetration.count,
    )


Carrier = Pathway | Riser | OutdoorDuct


def fill_of(
    thing: Carrier, *, cables: int, area_mm2: float, od_mm: float, fill_rules: FillRules
) -> Filled:
    """The fill of anything that carries cable, at its fullest point."""
    if isinstance(thing, Pathway):
        return fill_of_pathway(
            thing, cables=cables, area_mm2=area_mm2, od_mm=od_mm, fill_rules=fill_rules
        )
    if isinstance(thing, Riser):
        return fill_of_riser(
            thing, cables=cables, area_mm2=area_mm2, od_mm=od_mm, fill_rules=fill_rules
        )
    return fill_of_duct(thing, cables=cables, area_mm2=area_mm2, od_mm=od_mm, fill_rules=fill_rules)


_ROUND_RISERS = frozenset({RiserKind.SLEEVES, RiserKind.CONDUIT})


def _shares(*, planned: float, warned: float, most: float) -> FillLimits:
    return FillLimits(
        planned_ratio=min(planned, most) / 100,
        warned_ratio=min(warned, most) / 100,
        most_ratio=most / 100,
    )


def _with_most(limits: FillLimits, most_percent: float) -> FillLimits:
    """The limits with another greatest share, which holds for any number of cables."""
    return _shares(
        planned=limits.planned_ratio * 100, warned=limits.warned_ratio * 100, most=most_percent
    )
