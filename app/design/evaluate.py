"""Evaluate: the design of a project from nothing, or with stages taken over from another."""

from app.checks.checked import check_all
from app.checks.every_check import Facts
from app.checks.served import areas_served_m2, placed_outlets
from app.design.asking import reasons_in_words
from app.design.design import Design
from app.design.results import (
    cable_areas,
    carriers,
    fills_of,
    ports_at_frames,
    runs_of,
    summary_of,
    usual_cable,
)
from app.design.workings import Workings, work
from app.model.project import Project
from app.progress import Progress, Silent
from app.routing.backbone import backbone_routes
from app.routing.loads import count_traffic, greatest_loads
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
    traffic = count_traffic(base.trees, plates, workings.ways, workings.backbone_traffic)
    areas = cable_areas(traffic.types)
    loads = greatest_loads(base.network, plates, workings.ways, traffic, areas)
    usual = usual_cable(project, plates, traffic.types)
    sizes = fill_rules(settings=project.settings, rules=rules)
    fills = fills_of(project, loads, carriers(project), sizes, usual)
    backbone = backbone_routes(project, base.stands, workings.backbone)
    space_of = dict(zip(plates.ids, plates.space, strict=True))
    watch.check()
    watch.report(0.8, "Checking")
    placed = placed_outlets(project, space_of)
    ports = ports_at_frames(workings, runs)
    areas_m2 = areas_served_m2(runs, project, space_of)
    facts = Facts(
        project=project,
        rules=rules,
        fill_rules=sizes,
        runs=runs,
        space_of=space_of,
        fills=fills,
        backbone=backbone,
        placed=placed,
        ports=ports,
        areas_m2=areas_m2,
        reason_of=reasons_in_words(project, workings, runs),
    )
    checked = check_all(facts)
    watch.report(1.0, "Done")
    return Design(
        project=project,
        space_of=space_of,
        runs=runs,
        loads=loads,
        fills=fills,
        backbone=backbone,
        findings=checked.findings,
        summary=summary_of(project, workings, runs, placed),
        rules=rules,
        workings=workings,
        traffic=traffic,
        checked=checked,
        placed=placed,
        ports_at=ports,
        areas_m2=areas_m2,
    )
