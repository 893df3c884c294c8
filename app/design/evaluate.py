"""Evaluate: the design of a project from nothing, or with stages taken over from another."""

from collections.abc import Mapping

from app.checks.checked import Checked, check_all
from app.checks.every_check import Facts
from app.checks.served import placed_outlets
from app.design.design import Design, Summary
from app.design.old_cables import OldCables, old_cables
from app.design.reasons import reasons_in_words
from app.design.results import (
    cable_areas,
    carriers,
    fills_of,
    passing_fills,
    runs_of,
    served_by,
    summary_of,
    usual_cable,
)
from app.design.workings import Workings, work
from app.model.project import Project
from app.model.rooms import asked_for
from app.progress import Progress, Silent
from app.routing.backbone import backbone_routes
from app.routing.loads import (
    Traffic,
    count_traffic,
    greatest_loads,
    laid_cables,
    laid_together,
)
from app.routing.passing import passing_loads
from app.routing.results import Load
from app.sizing.pathway_fill import fill_rules
from app.standards import RuleSet, load_rules


def evaluate(
    project: Project, *, rules: RuleSet | None = None, progress: Progress | None = None
) -> Design:
    """Everything that follows from the project, from nothing.

    Raises Cancelled when the progress says so.
    """
    return derive(project, load_rules() if rules is None else rules, None, progress)


def derive(
    project: Project,
    rules: RuleSet,
    old: Workings | None,
    progress: Progress | None = None,
) -> Design:
    """The design; stages of `old` whose inputs are the same objects are taken over."""
    watch = Silent() if progress is None else progress
    watch.report(0.0, "Routing")
    workings = work(project, old)
    watch.check()
    watch.report(0.6, "Counting cables in pathways")
    base, plates = workings.base, workings.plates
    runs = runs_of(project, workings)
    old_ones = old_cables(project, workings, runs)
    laid = laid_together(laid_cables(plates, workings.ways, told=workings.told), old_ones.laid)
    traffic = count_traffic(base.trees, laid, workings.backbone_traffic)
    areas = cable_areas(traffic.types)
    loads = greatest_loads(base.network, laid, traffic, areas)
    usual = usual_cable(plates, traffic.types)
    sizes = fill_rules(settings=project.settings, rules=rules)
    fills = fills_of(project, loads, carriers(project), sizes, usual)
    openings = project.penetrations.values()
    at_openings = passing_loads(project, base.network, laid, traffic, areas, openings)
    passing = passing_fills(openings, project.cable_types, at_openings, sizes, usual)
    backbone = backbone_routes(project, base.stands, workings.backbone)
    space_of = dict(zip(plates.ids, plates.space, strict=True))
    watch.check()
    watch.report(0.8, "Checking")
    placed = placed_outlets(project, space_of)
    asked = asked_for(project)
    ports, areas_m2 = served_by(workings, runs)
    facts = Facts(
        project=project,
        rules=rules,
        fill_rules=sizes,
        runs=runs,
        space_of=space_of,
        fills=fills,
        passing=passing,
        backbone=backbone,
        placed=placed,
        required=asked.by_space,
        ports=ports,
        areas_m2=areas_m2,
        riser_floors=workings.base.joints.riser_floors,
        reason_of=reasons_in_words(project, workings, runs),
    )
    checked = check_all(facts)
    watch.report(1.0, "Done")
    summary = summary_of(project, workings, runs, placed, asked)
    return design_of(
        facts,
        checked,
        summary,
        workings=workings,
        old=old_ones,
        traffic=traffic,
        loads=loads,
    )


def design_of(
    facts: Facts,
    checked: Checked,
    summary: Summary,
    *,
    workings: Workings,
    old: OldCables,
    traffic: Traffic,
    loads: Mapping[str, Load],
) -> Design:
    """Everything put together: the facts, what the checks said of them, and the stages."""
    return Design(
        project=facts.project,
        space_of=facts.space_of,
        runs=facts.runs,
        loads=loads,
        fills=facts.fills,
        passing=facts.passing,
        backbone=facts.backbone,
        findings=checked.findings,
        summary=summary,
        rules=facts.rules,
        workings=workings,
        old_cables=old,
        traffic=traffic,
        checked=checked,
        placed=facts.placed,
        required=facts.required,
        ports_at=facts.ports,
        areas_m2=facts.areas_m2,
        fill_rules=facts.fill_rules,
    )
