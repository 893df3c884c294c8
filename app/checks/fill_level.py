"""How full pathways, risers and ducts are: over the limit, much, or more than planned."""

from app.checks.finding import PROJECT, Authority, Finding, Severity, authority, finding
from app.checks.wording import many, percent_over, percent_text
from app.model.entities import Pathway, Riser
from app.model.vocabulary import PathwayKind, RiserKind
from app.routing.results import Fill
from app.sizing.fill import FillLevel, FillLimits, fill_level
from app.sizing.pathway_fill import Carrier
from app.standards import RuleSet

OVER = "fill_over_limit"
WARNED = "fill_high"
PLANNED = "fill_above_planned"
UNKNOWN = "size_missing"


def level_of(fill: Fill, limits: FillLimits) -> FillLevel:
    """How far a thing is filled by the cables that stay."""
    return fill_level(
        cables=fill.cables,
        ratio=fill.ratio,
        places_left=fill.places_left,
        planned_ratio=fill.planned_ratio,
        warned_ratio=limits.warned_ratio,
    )


def check_fill(
    thing: Carrier,
    fill: Fill,
    limits: FillLimits,
    *,
    name: str,
    floor: str | None,
    rules: RuleSet,
) -> list[Finding]:
    """What is to say about the fill of one thing at its fullest point; at most one finding."""
    if fill.ratio is None or fill.places_left is None:
        return _size_missing(thing, fill, name=name, floor=floor)
    level = level_of(fill, limits)
    if level is FillLevel.WITHIN:
        return []
    passed = _passed(fill, limits, level)
    full = f"{name}: {many(fill.cables, 'cable')} fill {percent_over(fill.ratio, passed)}"
    left = f"room for {fill.places_left} more of this cable."
    if level is FillLevel.OVER:
        rule, severity, text = OVER, Severity.WARN, f"{full}, {_too_many(thing, fill)}"
    elif level is FillLevel.ABOVE_WARNED:
        rule, severity = WARNED, Severity.WARN
        text = f"{full}, above {percent_text(passed)}; {left}"
    else:
        rule, severity = PLANNED, Severity.NOTE
        text = f"{full}, above the planned {percent_text(passed)}; {left}"
    return [
        finding(
            rule=rule,
            severity=severity,
            text=text,
            things=(thing.id,),
            floor=floor,
            authority=_authority(thing, fill, limits, level, rules),
            excess=fill.ratio - passed,
        )
    ]


def _too_many(thing: Carrier, fill: Fill) -> str:
    limit = percent_text(fill.limit_ratio)
    each = f" in each of {thing.count}" if thing.count > 1 else ""
    return f"{many(-(fill.places_left or 0), 'cable')} more than its limit of {limit}{each} takes."


def _size_missing(thing: Carrier, fill: Fill, *, name: str, floor: str | None) -> list[Finding]:
    if fill.cables == 0:
        return []
    cables = many(fill.cables, "cable")
    text = f"{name} carries {cables} but has no size, so its fill is not known."
    return [
        finding(
            rule=UNKNOWN,
            severity=Severity.NOTE,
            text=text,
            things=(thing.id,),
            floor=floor,
            excess=fill.cables,
        )
    ]


_SAME_RATIO = 1e-9
_FEW_KEYS = ("conduits.fill_one", "conduits.fill_two")
_FIELDS = {FillLevel.ABOVE_PLANNED: "planned", FillLevel.ABOVE_WARNED: "warn"}


def _authority(
    thing: Carrier, fill: Fill, limits: FillLimits, level: FillLevel, rules: RuleSet
) -> Authority:
    """The rule's authority where the share that is passed is the rule's own."""
    key, passed = _key(thing, fill, level), _passed(fill, limits, level)
    same = thing.fill_limit_percent is None and abs(rules.ratio(key) - passed) < _SAME_RATIO
    return authority(rules, key) if same else PROJECT


def _passed(fill: Fill, limits: FillLimits, level: FillLevel) -> float:
    """The share that a thing of this level has passed."""
    if level is FillLevel.ABOVE_PLANNED:
        return fill.planned_ratio
    return limits.warned_ratio if level is FillLevel.ABOVE_WARNED else fill.limit_ratio


def _key(thing: Carrier, fill: Fill, level: FillLevel) -> str:
    field = f"fill_{_FIELDS.get(level, 'most')}_percent"
    if isinstance(thing, Pathway) and thing.kind is not PathwayKind.CONDUIT:
        return f"pathway_kinds.{thing.kind.value}.{field}"
    if isinstance(thing, Riser) and thing.kind is RiserKind.SHAFT:
        return f"pathway_kinds.tray.{field}"
    if isinstance(thing, Riser) and thing.kind is not RiserKind.CONDUIT:
        return "penetrations.sleeve_fill"
    fullest = -(-fill.cables // thing.count)
    return _FEW_KEYS[fullest - 1] if fullest <= len(_FEW_KEYS) else "conduits.fill_more"
