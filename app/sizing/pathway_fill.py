"""The fill of the things of a project: sections and limits by kind, from the settings."""

from app.model.entities import OutdoorDuct, Pathway, Riser
from app.model.settings import Settings
from app.model.vocabulary import OPEN_KINDS, PathwayKind, RiserKind
from app.sizing.fill import Fill, FillLimits, fill, round_inside_mm2

CONDUIT_LIMITS = FillLimits(
    planned_ratio=0.40, warned_ratio=0.40, most_ratio=0.40, one_ratio=0.53, two_ratio=0.31
)
"""Source: pathways.conduit_fill_one, pathways.conduit_fill_two, pathways.conduit_fill_more."""

RACEWAY_LIMITS = FillLimits(planned_ratio=0.20, warned_ratio=0.40, most_ratio=0.40)
"""Source: pathways.surface_raceway_fill."""


def pathway_inside_mm2(pathway: Pathway, *, settings: Settings) -> float:
    """The inside section of a pathway, all its ducts together; 0 where its size is not given."""
    if pathway.kind is PathwayKind.HOOKS:
        return pathway.opening_mm2 or settings.hook_opening_mm2
    if pathway.kind not in OPEN_KINDS and pathway.bore_mm is not None:
        return round_inside_mm2(bore_mm=pathway.bore_mm, count=pathway.count)
    return pathway.count * (pathway.width_mm or 0.0) * (pathway.depth_mm or 0.0)


def pathway_limits(pathway: Pathway, *, settings: Settings) -> FillLimits:
    """The shares of a pathway's section that may be taken; its own limit goes first."""
    most = pathway.fill_limit_percent
    if pathway.kind is PathwayKind.HOOKS:
        return _even(settings.hook_fill_most_percent if most is None else most)
    if most is not None and pathway.kind not in _TRAYS:
        return _even(most)
    if pathway.kind is PathwayKind.SURFACE_RACEWAY:
        return RACEWAY_LIMITS
    if pathway.kind not in _TRAYS:
        return CONDUIT_LIMITS
    return _tray(settings.tray_fill_most_percent if most is None else most, settings)


def fill_of_pathway(
    pathway: Pathway, *, cables: int, area_mm2: float, od_mm: float, settings: Settings
) -> Fill:
    """The fill of one pathway at its fullest point."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=pathway_inside_mm2(pathway, settings=settings),
        od_mm=od_mm,
        limits=pathway_limits(pathway, settings=settings),
        ducts=1 if pathway.kind in OPEN_KINDS else pathway.count,
    )


def riser_inside_mm2(riser: Riser) -> float:
    """The inside section of a riser, all its sleeves together; 0 where its size is not given."""
    if riser.kind in _ROUND_RISERS:
        return round_inside_mm2(bore_mm=riser.bore_mm or 0.0, count=riser.count)
    return riser.count * (riser.width_mm or 0.0) * (riser.depth_mm or 0.0)


def riser_limits(riser: Riser, *, settings: Settings) -> FillLimits:
    """The shares of a riser's section that may be taken; its own limit goes first."""
    if riser.fill_limit_percent is not None:
        return _even(riser.fill_limit_percent)
    if riser.kind is RiserKind.CONDUIT:
        return CONDUIT_LIMITS
    if riser.kind is RiserKind.SHAFT:
        return _tray(settings.tray_fill_most_percent, settings)
    return _even(settings.sleeve_fill_most_percent)


def fill_of_riser(
    riser: Riser, *, cables: int, area_mm2: float, od_mm: float, settings: Settings
) -> Fill:
    """The fill of one riser at its fullest point."""
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=riser_inside_mm2(riser),
        od_mm=od_mm,
        limits=riser_limits(riser, settings=settings),
        ducts=riser.count,
    )


def fill_of_duct(
    duct: OutdoorDuct, *, cables: int, area_mm2: float, od_mm: float, settings: Settings
) -> Fill:
    """The fill of one outdoor duct."""
    most = duct.fill_limit_percent
    return fill(
        cables=cables,
        area_mm2=area_mm2,
        inside_mm2=round_inside_mm2(bore_mm=duct.bore_mm, count=duct.count),
        od_mm=od_mm,
        limits=CONDUIT_LIMITS if most is None else _even(most),
        ducts=duct.count,
    )


_TRAYS = frozenset({PathwayKind.LADDER, PathwayKind.TRAY, PathwayKind.BASKET})
_ROUND_RISERS = frozenset({RiserKind.SLEEVES, RiserKind.CONDUIT})


def _even(percent: float) -> FillLimits:
    ratio = percent / 100
    return FillLimits(planned_ratio=ratio, warned_ratio=ratio, most_ratio=ratio)


def _tray(most_percent: float, settings: Settings) -> FillLimits:
    return FillLimits(
        planned_ratio=min(settings.tray_fill_planned_percent, most_percent) / 100,
        warned_ratio=min(settings.tray_fill_warn_percent, most_percent) / 100,
        most_ratio=most_percent / 100,
    )
