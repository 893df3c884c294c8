"""Legs longer than advised: a branch should be drawn."""

from collections.abc import Iterable

from app.checks.finding import Authority, Finding, Severity, authority_of_setting, finding
from app.checks.run_rows import by_outlet, chosen_rows
from app.checks.wording import ROUGH_MM, floor_phrase, length_text, many
from app.model.project import Project
from app.routing.results import Runs
from app.standards import RuleSet

RULE = "leg_long"


def check_legs(
    runs: Runs, project: Project, rules: RuleSet, *, floor_ids: Iterable[str]
) -> list[Finding]:
    """One finding for each of the floors that has outlets with legs longer than advised."""
    settings = project.settings
    advised_mm = settings.leg_advised_mm
    said_by = authority_of_setting(
        rules, "lengths.leg_advised", ruled=rules.mm("lengths.leg_advised"), set_to=advised_mm
    )
    on_floors: dict[str, list[list[int]]] = {floor: [] for floor in floor_ids}
    for group in by_outlet(runs, chosen_rows(runs.leg_mm > advised_mm, None)):
        floor = project.outlets[runs.outlet_ids[group[0]]].floor
        if floor in on_floors:
            on_floors[floor].append(group)
    return [
        _finding(runs, project, floor, groups, said_by)
        for floor, groups in on_floors.items()
        if groups
    ]


def _finding(
    runs: Runs, project: Project, floor: str, groups: list[list[int]], said_by: Authority
) -> Finding:
    """`groups`: the rows of each outlet; the longest leg comes first, equal ones by id."""
    settings = project.settings
    legs = {runs.outlet_ids[g[0]]: max(int(runs.leg_mm[r]) for r in g) for g in groups}
    groups = sorted(groups, key=lambda g: (-legs[runs.outlet_ids[g[0]]], runs.outlet_ids[g[0]]))
    longest = project.outlets[runs.outlet_ids[groups[0][0]]]
    longest_mm = legs[longest.id]
    excess_mm = longest_mm - settings.leg_advised_mm
    longest_text = length_text(longest_mm, settings.units, places=1 if excess_mm >= ROUGH_MM else 2)
    at = f"outlet {longest.number}" if longest.number else "an outlet without a number"
    where = floor_phrase(project.floors[floor])
    advised = length_text(settings.leg_advised_mm, settings.units)
    if len(groups) == 1:
        text = (
            f"1 outlet on {where} has a leg longer than {advised}: {longest_text} at {at}; "
            "draw a branch."
        )
    else:
        text = (
            f"{many(len(groups), 'outlet')} on {where} have legs longer than {advised}, the "
            f"longest {longest_text} at {at}; draw branches."
        )
    outlets = tuple(runs.outlet_ids[g[0]] for g in groups)
    ports = tuple(runs.port_ids[r] for g in groups for r in g)
    return finding(
        rule=RULE,
        severity=Severity.NOTE,
        text=text,
        things=(floor, *outlets, *ports),
        floor=floor,
        authority=said_by,
        excess=excess_mm,
    )
