"""Backbone cables and the demarcation extension: over their limit, near it, without a route."""

from app.checks.finding import Finding, Severity, authority_of_setting, finding, known_value
from app.checks.run_route import REASONS
from app.checks.wording import length_and_excess, length_text
from app.model.entities import BackboneCable, CableType, Demarcation, Frame
from app.model.project import Project
from app.model.vocabulary import State
from app.routing.results import BackboneRoute, RunStatus
from app.standards import RuleSet

OVER = "backbone_over_limit"
NEAR = "backbone_near_limit"
NO_ROUTE = "backbone_without_route"


def check_backbone(
    cable: BackboneCable, route: BackboneRoute, project: Project, rules: RuleSet
) -> list[Finding]:
    """What is to say of one backbone cable; at most one finding.

    Backbone is no run: it is warned of, and does not fail the check of the runs.
    """
    if route.status is RunStatus.WITHIN:
        return []
    counts = cable.state not in {State.EXISTING, State.FUTURE, State.TO_REMOVE}
    grave = Severity.WARN if counts else Severity.NOTE
    name = f"Backbone cable {cable.name} from {_end(project, cable.from_id)} to " + _end(
        project, cable.to_id
    )
    if route.status is RunStatus.NO_ROUTE:
        rule, severity, text = NO_ROUTE, grave, f"{name}: no route; {REASONS[route.reason]}."
    else:
        over = route.status is RunStatus.OVER
        rule, severity = (OVER, grave) if over else (NEAR, Severity.NOTE)
        text = f"{name}: {_length(route, project)}"
    floor = project.get(cable.from_id)
    kind = project.cable_types[cable.cable_type]
    return [
        finding(
            rule=rule,
            severity=severity,
            text=text,
            things=(cable.id, cable.from_id, cable.to_id),
            floor=floor.floor if isinstance(floor, Frame | Demarcation) else None,
            authority=authority_of_setting(
                rules,
                kind.limit_source,
                ruled=_ruled_mm(kind, rules),
                set_to=route.limit_mm,
            ),
            excess=route.installed_mm - route.limit_mm,
        )
    ]


def _length(route: BackboneRoute, project: Project) -> str:
    units = project.settings.units
    length, apart = length_and_excess(route.installed_mm, route.limit_mm, units)
    side = "over" if route.installed_mm > route.limit_mm else "under"
    return f"{length}, {apart} {side} its limit of {length_text(route.limit_mm, units)}."


def _ruled_mm(kind: CableType, rules: RuleSet) -> int:
    """The rule's own limit, -1 where the project names no rule."""
    return -1 if known_value(rules, kind.limit_source) is None else rules.mm(kind.limit_source)


def _end(project: Project, end_id: str) -> str:
    end = project.get(end_id)
    if isinstance(end, Frame):
        return f"frame {end.name}"
    return f"demarcation {end.name}" if isinstance(end, Demarcation) else "?"
