"""The way of the job: what is done and what is missing, in words. Forces nothing."""

from dataclasses import dataclass
from enum import Enum
from typing import Any

from app.model.project import Project
from app.model.vocabulary import ScaledBy
from app.ui.words import counted


class Progress(Enum):
    """How far a step is."""

    OPEN = "open"
    BEGUN = "begun"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class JobStep:
    """One step; `detail` says what is there or missing, `invitation` what a click does."""

    key: str
    name: str
    progress: Progress
    detail: str
    invitation: str


def job_steps(project: Project, design: Any, *, takeoff_current: bool) -> tuple[JobStep, ...]:
    """The steps of the job for a project and its design (None while it is not known)."""
    summary = None if design is None else design.summary
    return (
        _plan(project),
        _scale(project),
        _spaces(project),
        _pathways(project),
        _outlets(project, summary),
        _frames(project, summary),
        _check(design, summary),
        _takeoff(summary, takeoff_current=takeoff_current),
    )


def _plan(project: Project) -> JobStep:
    plans, floors = len(project.plans), len(project.floors)
    bare = floors - len({p.floor for p in project.plans.values()})
    if not plans:
        return JobStep("plan", "Plan", Progress.OPEN, "none yet", "Import a plan")
    if bare:
        detail = f"{counted(bare, 'floor')} without"
        return JobStep("plan", "Plan", Progress.BEGUN, detail, "Import a plan for another floor")
    return JobStep("plan", "Plan", Progress.DONE, counted(plans, "plan"), "Import another plan")


def _scale(project: Project) -> JobStep:
    unscaled = [p for p in project.plans.values() if p.scaled_by is ScaledBy.NOT_SCALED]
    if unscaled:
        detail = f"{counted(len(unscaled), 'plan')} not scaled"
        return JobStep("scale", "Scale", Progress.OPEN, detail, "Calibrate on two points")
    if not project.plans:
        return JobStep("scale", "Scale", Progress.OPEN, "no plan", "Calibrate on two points")
    sure = all(p.scaled_by is ScaledBy.CALIBRATED for p in project.plans.values())
    detail = "calibrated" if sure else "check a dimension"
    progress = Progress.DONE if sure else Progress.BEGUN
    return JobStep("scale", "Scale", progress, detail, "Check the scale with a known length")


def _spaces(project: Project) -> JobStep:
    count = len(project.spaces)
    progress = Progress.DONE if count else Progress.OPEN
    detail = counted(count, "space") if count else "none yet"
    return JobStep("spaces", "Spaces", progress, detail, "Draw a space")


def _pathways(project: Project) -> JobStep:
    count = len(project.pathways)
    if not count:
        return JobStep("pathways", "Pathways", Progress.OPEN, "none yet", "Draw a pathway")
    detail = counted(count, "pathway")
    served = {f.floor for f in project.frames.values()}
    parted = len({o.floor for o in project.outlets.values()} - served) and not project.risers
    if parted:
        return JobStep("pathways", "Pathways", Progress.BEGUN, "no riser yet", "Draw a riser")
    return JobStep("pathways", "Pathways", Progress.DONE, detail, "Draw another pathway")


def _outlets(project: Project, summary: Any) -> JobStep:
    count = len(project.outlets)
    if not count:
        return JobStep("outlets", "Outlets", Progress.OPEN, "none yet", "Place outlets")
    missing = 0 if summary is None else summary.required - summary.required_placed
    if missing > 0:
        detail = f"{missing:,} of {summary.required:,} missing"
        return JobStep("outlets", "Outlets", Progress.BEGUN, detail, "Show what is missing")
    return JobStep("outlets", "Outlets", Progress.DONE, counted(count, "outlet"), "Place more")


def _frames(project: Project, summary: Any) -> JobStep:
    count = len(project.frames)
    if not count:
        return JobStep("frames", "Frames", Progress.OPEN, "none yet", "Place a frame")
    return JobStep("frames", "Frames", Progress.DONE, counted(count, "frame"), "Place another")


def _check(design: Any, summary: Any) -> JobStep:
    if summary is None or not summary.runs:
        return JobStep("check", "Check", Progress.OPEN, "no runs yet", "Show the findings")
    fails = sum(1 for f in design.findings if not f.waived and f.severity.name == "FAIL")
    if fails:
        detail = counted(fails, "failure")
        return JobStep("check", "Check", Progress.BEGUN, detail, "Show the findings")
    return JobStep("check", "Check", Progress.DONE, "nothing fails", "Show the findings")


def _takeoff(summary: Any, *, takeoff_current: bool) -> JobStep:
    if summary is None or not summary.runs:
        return JobStep("takeoff", "Takeoff", Progress.OPEN, "no runs yet", "Write the takeoff")
    if takeoff_current:
        return JobStep("takeoff", "Takeoff", Progress.DONE, "written", "Write it again")
    return JobStep("takeoff", "Takeoff", Progress.BEGUN, "to be written", "Write the takeoff")
