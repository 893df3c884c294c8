"""What is wrong with a design, as the line that its takeoff begins with."""

from collections.abc import Iterator

import numpy as np

from app.checks.wording import many
from app.design.design import Design
from app.model.project import Project
from app.model.vocabulary import ScaledBy, State
from app.routing.results import RunStatus
from app.takeoff.cable_lines import pulled_runs


def warnings_of(design: Design) -> str:
    """One sentence to stand over the quantities; empty where nothing is wrong.

    Over the limit are the runs that may fail a check; without a route those that are to be
    pulled, for it is their cable that is missing in the quantities.
    """
    project, runs = design.project, design.runs
    over = int(np.count_nonzero((runs.status == RunStatus.OVER) & runs.counted))
    lost = len(pulled_runs(project, runs).without_route)
    unscaled = sum(p.scaled_by is ScaledBy.NOT_SCALED for p in project.plans.values())
    unlaid = sum(1 for _ in unlaid_backbone(design))
    nothing = "" if _has_work(project) else "Nothing is drawn yet, so there is nothing to order."
    if not (over or lost or unscaled or unlaid):
        return nothing
    their = "its" if lost == 1 else "their"
    said = [
        (over, f"{many(over, 'run')} over {'its' if over == 1 else 'their'} limit"),
        (lost, f"{many(lost, 'run')} without a route ({their} cable is not counted)"),
        (unscaled, f"{many(unscaled, 'plan')} not scaled"),
        (unlaid, f"{many(unlaid, 'backbone cable')} without a route"),
    ]
    wrong = f"{', '.join(words for count, words in said if count)}."
    return f"{nothing} {wrong}".strip()


def _has_work(project: Project) -> bool:
    """Whether anything that could be ordered stands on the plans."""
    return any(
        (
            project.outlets,
            project.frames,
            project.pathways,
            project.risers,
            project.outdoor_ducts,
            project.backbone_cables,
        )
    )


def unlaid_backbone(design: Design) -> Iterator[str]:
    """The names of the new backbone cables that have no route."""
    for cable in design.project.backbone_cables.values():
        route = design.backbone.get(cable.id)
        lost = route is None or route.status is RunStatus.NO_ROUTE
        if cable.state is State.NEW and lost:
            yield cable.name
