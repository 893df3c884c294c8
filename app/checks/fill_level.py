"""How full pathways, risers and ducts are: over the limit, much, or more than planned."""

from app.checks.finding import PROJECT, Authority, Finding, Severity, authority, finding
from app.checks.wording import many, percent_text
from app.model.entities import OutdoorDuct, Pathway, Riser
from app.model.vocabulary import PathwayKind, RiserKind
from app.sizing.fill import Fill, FillLevel
from app.standards import RuleSet

OVER = "fill_over_limit"
WARNED = "fill_high"
PLANNED = "fill_above_planned"
UNKNOWN = "size_missing"

_SEVERITY = {
    FillLevel.OVER: (OVER, Severity.WARN),
    FillLevel.ABOVE_WARNED: (WARNED, Severity.WARN),
    FillLevel.ABOVE_PLANNED: (PLANNED, Severity.NOTE),
}


def check_fill(
    thing: Pathway | Riser | OutdoorDuct,
    fill: Fill,
    *,
    name: str,
    floor: str | None,
    rules: RuleSet,
) -> list[Finding]:
    """What is to say about the fill of one thing at its fullest point; at most one finding."""
    if not fill.known:
        return _size_missing(thing, fill, name=name, floor=floor)
    if fill.level is FillLevel.WITHIN:
        return []
    rule, severity = _SEVERITY[fill.level]
    return [
        finding(
            rule=rule,
            severity=severity,
            text=_text(thing, fill, name),
            things=(thing.id,),
            floor=floor,
            authority=_authority(thing, fill, rules),
        )
    ]


def _text(thing: Pathway | Riser | OutdoorDuct, fill: Fill, name: str) -> str:
    cables = many(fill.cables, "cable")
    full = f"{name}: {cables} fill {percent_text(fill.ratio)}"
    limit = percent_text(fill.limit_ratio)
    if fill.level is FillLevel.OVER:
        too_many = many(-fill.places_left, "cable")
        where = f" of its {fill.ducts} ducts" if fill.ducts > 1 else ""
        return f"{full}{where}, {too_many} more than its limit of {limit} takes."
    if fill.level is FillLevel.ABOVE_WARNED:
        return (
            f"{full}, above {percent_text(fill.warned_ratio)}; "
            f"room for {fill.places_left} more of this cable."
        )
    planned = percent_text(fill.planned_ratio)
    return f"{full}, above the planned {planned}; room for {fill.places_left} more of this cable."


def _size_missing(
    thing: Pathway | Riser | OutdoorDuct, fill: Fill, *, name: str, floor: str | None
) -> list[Finding]:
    if fill.cables == 0:
        return []
    text = f"{name} carries {many(fill.cables, 'cable')} but has no size, so its fill is not known."
    return [
        finding(rule=UNKNOWN, severity=Severity.NOTE, text=text, things=(thing.id,), floor=floor)
    ]


def _authority(thing: Pathway | Riser | OutdoorDuct, fill: Fill, rules: RuleSet) -> Authority:
    """The rule's authority where the limit is the rule's own, else the project's."""
    if thing.fill_limit_percent is not None:
        return PROJECT
    key = _key(thing, fill)
    if abs(rules.ratio(key) - _ratio_of_level(fill)) > _SAME_RATIO:
        return PROJECT
    return authority(rules, key)


_SAME_RATIO = 1e-9
_FEW = ("conduits.fill_one", "conduits.fill_two")


def _ratio_of_level(fill: Fill) -> float:
    ratios = {
        FillLevel.ABOVE_PLANNED: fill.planned_ratio,
        FillLevel.ABOVE_WARNED: fill.warned_ratio,
    }
    return ratios.get(fill.level, fill.limit_ratio)


def _key(thing: Pathway | Riser | OutdoorDuct, fill: Fill) -> str:
    field = {FillLevel.ABOVE_PLANNED: "planned", FillLevel.ABOVE_WARNED: "warn"}.get(
        fill.level, "most"
    )
    if isinstance(thing, Pathway) and thing.kind is not PathwayKind.CONDUIT:
        return f"pathway_kinds.{thing.kind.value}.fill_{field}_percent"
    if isinstance(thing, Riser) and thing.kind is RiserKind.SHAFT:
        return f"pathway_kinds.tray.fill_{field}_percent"
    if isinstance(thing, Riser) and thing.kind is not RiserKind.CONDUIT:
        return "penetrations.sleeve_fill"
    fullest = -(-fill.cables // fill.ducts)
    return _FEW[fullest - 1] if fullest <= len(_FEW) else "conduits.fill_more"
