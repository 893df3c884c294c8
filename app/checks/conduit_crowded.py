"""Conduits that hold more cables than the published count table, which allows for bends."""

import math

from app.checks.finding import Authority, Finding, Severity, finding
from app.checks.wording import many
from app.model.entities import OutdoorDuct, Pathway
from app.model.vocabulary import PathwayKind, RiserKind
from app.routing.results import Fill
from app.sizing.conduit_count import designator_of_bore
from app.sizing.pathway_fill import Carrier
from app.standards import RuleSet
from app.standards.conduit_fill import cables_by_count_table

RULE = "conduit_over_count_table"


def count_by_table(thing: Carrier, *, od_mm: float, rules: RuleSet) -> int | None:
    """Cables of one diameter in all parallel conduits by the table; None where it is silent.

    Source: conduits.cable_count.
    """
    if not _is_conduit(thing) or thing.bore_mm is None:
        return None
    size = designator_of_bore(bore_mm=thing.bore_mm, rules=rules)
    one = cables_by_count_table(rules, designator=size, od_mm=od_mm)
    return None if one is None else one * thing.count


def mean_od_mm(fill: Fill) -> float | None:
    """The diameter of the cable with the mean section of those that lie there."""
    if fill.cables == 0:
        return None
    return math.sqrt(fill.area_mm2 / fill.cables * 4 / math.pi)


def check_count_table(
    thing: Carrier, fill: Fill, *, name: str, floor: str | None, rules: RuleSet
) -> list[Finding]:
    """A note where the area rule is kept and the count table is passed; both numbers are told."""
    od_mm = mean_od_mm(fill)
    if od_mm is None or fill.places_left is None or fill.places_left < 0:
        return []
    takes = count_by_table(thing, od_mm=od_mm, rules=rules)
    if takes is None or fill.cables <= takes:
        return []
    by_area = fill.cables + fill.places_left
    text = (
        f"{name}: {many(fill.cables, 'cable')} of {od_mm:.1f} mm; by area {by_area} may lie there, "
        f"by the count table, which allows for bends, {takes}."
    )
    citation = rules.table("conduits.cable_count").citation
    return [
        finding(
            rule=RULE,
            severity=Severity.NOTE,
            text=text,
            things=(thing.id,),
            floor=floor,
            authority=Authority(clause=citation.text, evidence=citation.evidence),
            excess=fill.cables / takes if takes else fill.cables,
        )
    ]


def _is_conduit(thing: Carrier) -> bool:
    if isinstance(thing, Pathway):
        return thing.kind is PathwayKind.CONDUIT
    return isinstance(thing, OutdoorDuct) or thing.kind is RiserKind.CONDUIT
