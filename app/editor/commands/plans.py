"""Plans under a floor: brought in, scaled, moved and turned, with or without what stands there."""

import math
from collections.abc import Sequence
from typing import cast

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.moving import moved_pairs
from app.editor.commands.shapes import floors_of, outline_points, transformed
from app.editor.measures import format_length
from app.editor.wording import number
from app.geometry.similarity import Similarity, about, to_mm
from app.model.entities import Entity, OutdoorDuct, Plan, Point, Riser
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project, adding, changing
from app.model.vocabulary import ScaledBy

LEAST_MEASURED_MM = 100
MM_PER_UNIT_MOST = 1e7


def import_plan(project: Project, plan: Plan, *, source: Source = random_characters) -> Patch:
    """Lay a plan under its floor, on top of those that lie there; its id is given here."""
    order = max((p.order for p in plans_of(project, plan.floor)), default=-1) + 1
    made = replace(plan, id=new_id("plan", project.plans, source), order=order)
    return adding(f"Import plan {plan.name}", [made])


def plans_of(project: Project, floor_id: str) -> list[Plan]:
    """The plans under a floor, from the lowest up."""
    own = (p for p in project.plans.values() if p.floor == floor_id)
    return sorted(own, key=lambda p: (p.order, p.id))


def need_plan(project: Project, plan_id: str) -> Plan:
    plan = project.plans.get(plan_id)
    if plan is None:
        raise InputProblem("That plan is no longer in the project.")
    return plan


def calibrate_plan(
    project: Project, plan_id: str, first: Point, second: Point, *, true_mm: int
) -> Outcome:
    """Scale a plan so that two points on it are `true_mm` apart; the first point stays.

    Where things stand on its floor, asks whether they go with it.
    """
    plan = need_plan(project, plan_id)
    measured = math.dist(first, second)
    if measured < 1:
        raise InputProblem("These two points are one; click two that are well apart.")
    if true_mm < LEAST_MEASURED_MM:
        raise InputProblem("Measure at least 0.1 m; the longer the distance, the better the scale.")
    units = project.settings.units
    by = about(first, scale=true_mm / measured)
    said = format_length(true_mm, units)
    note = f"Two points, {said} apart; they read {format_length(to_mm(measured), units)} before"
    after = replace(transformed(plan, by), scaled_by=ScaledBy.CALIBRATED, scale_note=note)
    return _with_or_without(project, f"Calibrate plan {plan.name}", plan, after, by)


def correct_unit(project: Project, plan_id: str, *, mm_per_unit: float, unit_name: str) -> Outcome:
    """Say what the unit of a plan's file is; the file's zero stays where it is."""
    plan = need_plan(project, plan_id)
    if not 0 < mm_per_unit <= MM_PER_UNIT_MOST:
        raise InputProblem("A unit lies above 0 and at most at 10 km.")
    by = about((plan.x_mm, plan.y_mm), scale=mm_per_unit / plan.mm_per_unit)
    after = replace(
        plan,
        mm_per_unit=mm_per_unit,
        scaled_by=ScaledBy.USER_UNIT,
        scale_note=f"Unit of the file set to {unit_name}",
    )
    return _with_or_without(project, f"Set the unit of plan {plan.name}", plan, after, by)


def move_plan(project: Project, plan_id: str, by: Similarity, *, verb: str = "Move") -> Outcome:
    """Move or turn a plan under its floor; asks whether what stands there goes with it."""
    plan = need_plan(project, plan_id)
    return _with_or_without(project, f"{verb} plan {plan.name}", plan, transformed(plan, by), by)


def _with_or_without(
    project: Project, label: str, before: Plan, after: Plan, by: Similarity
) -> Outcome:
    if not math.isfinite(after.mm_per_unit) or not 0 < after.mm_per_unit <= MM_PER_UNIT_MOST:
        raise InputProblem("That scale is beyond what any plan has; look at the distance.")
    alone = changing(label, [(before, after)])
    things = _going_along(project, before.floor)
    if not things or not alone.changes or by == Similarity():
        return alone
    pairs: list[tuple[Entity, Entity]] = [(before, after)]
    pairs += [(t, _on_floor(t, before.floor, by)) for t in things]
    together = moved_pairs(project, label, _kept_whole(pairs))
    said = number(len(things), "thing")
    on = project.floors[before.floor].name
    return Question(
        text=f"{label}: does what stands on floor {on} ({said}) go with the plan?",
        answers=(
            Answer(label="Take it along", patch=_settled(together)),
            Answer(label="Only the plan", patch=alone),
            Answer(label="Leave both as they are"),
        ),
    )


def _going_along(project: Project, floor_id: str) -> list[Entity]:
    """What stands on a floor; of risers and ducts the end on this floor."""
    ends = [r for r in project.risers.values() if floor_id in (r.lower_floor, r.upper_floor)]
    every = (t for t in project.entities() if outline_points(t) and not isinstance(t, Riser))
    return [*(t for t in every if floor_id in floors_of(project, t)), *ends]


def _on_floor(thing: Entity, floor_id: str, by: Similarity) -> Entity:
    """The thing moved as far as it belongs to the floor."""
    moved = transformed(thing, by)
    if isinstance(thing, Riser) and isinstance(moved, Riser):
        lower = moved.lower if thing.lower_floor == floor_id else thing.lower
        upper = moved.upper if thing.upper_floor == floor_id else thing.upper
        return replace(thing, lower=lower, upper=upper)
    if isinstance(thing, OutdoorDuct) and isinstance(moved, OutdoorDuct):
        vertices = list(moved.vertices)
        if thing.from_floor != floor_id:
            vertices[0] = thing.vertices[0]
        if thing.to_floor != floor_id:
            vertices[-1] = thing.vertices[-1]
        return replace(thing, vertices=tuple(vertices))
    return moved


def _kept_whole(pairs: Sequence[tuple[Entity, Entity]]) -> list[tuple[Entity, Entity]]:
    """The same pairs; refuses a scale at which things would shrink to nothing."""
    for before, after in pairs:
        if len(set(outline_points(after))) < len(set(outline_points(before))):
            raise InputProblem(
                "At that scale points of what is drawn would fall together; look at the distance."
            )
    return list(pairs)


def _settled(outcome: Outcome) -> Patch:
    """A plan and all that is on it move as one, so nothing comes off its pathway."""
    if isinstance(outcome, Patch):
        return outcome
    patch = outcome.answers[0].patch
    assert patch is not None
    return patch


def remove_plan(project: Project, plan_id: str) -> Patch:
    """Take a plan away; what was drawn on it stays."""
    plan = need_plan(project, plan_id)
    change = Change(plan.id, cast(AnyEntity, plan), None)
    return Patch(f"Remove plan {plan.name}", (change,))


def replace_plan(project: Project, plan_id: str, revised: Plan) -> Patch:
    """Put a revised drawing in a plan's place, where and how the old one lies."""
    plan = need_plan(project, plan_id)
    after = replace(
        plan,
        name=revised.name,
        source_name=revised.source_name,
        source_sha256=revised.source_sha256,
        drawing_sha256=revised.drawing_sha256,
    )
    return changing(f"Replace plan {plan.name}", [(plan, after)])
