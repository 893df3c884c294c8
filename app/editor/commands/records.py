"""What is written down beside the drawing: waived findings, backbone cables, chosen places."""

from typing import cast

from app.editor.asking import InputProblem
from app.editor.commands.numbering import (
    Retired,
    next_numbers,
    none_retired,
    numbered,
    numbers_in_use,
)
from app.editor.wording import name_of
from app.model.entities import BackboneCable, Frame, Waiver
from app.model.ids import Source, new_id, random_characters
from app.model.project import AnyEntity, Change, Patch, Project, adding
from app.model.vocabulary import FrameKind, FrameRole, Medium

BOTH = 2
SLACK_MM = {Medium.FIBRE: 5_000, Medium.BALANCED: 3_000, Medium.COAX: 3_000}
"""Slack of backbone cable at each end. Source: practice."""


def waive_finding(
    project: Project,
    finding_key: str,
    *,
    reason: str,
    by: str,
    date: str = "",
    source: Source = random_characters,
) -> Patch:
    """Somebody answers for a finding, with a reason and a name."""
    if not reason.strip() or not by.strip():
        raise InputProblem("A finding is waived by somebody, for a reason: write both.")
    if any(w.finding == finding_key for w in project.waivers.values()):
        raise InputProblem("This finding is waived already.")
    waiver = Waiver(
        id=new_id("waiver", project.waivers, source),
        finding=finding_key,
        reason=reason.strip(),
        by=by.strip(),
        date=date,
    )
    return adding("Waive a finding", [waiver])


def unwaive_finding(project: Project, finding_key: str) -> Patch:
    """Let a waived finding speak again."""
    found = [w for w in project.waivers.values() if w.finding == finding_key]
    if not found:
        raise InputProblem("This finding is not waived.")
    changes = (Change(w.id, cast(AnyEntity, w), None) for w in found)
    return Patch("Take back a waiver", tuple(changes))


def apply_candidate(
    project: Project,
    candidate_id: str,
    *,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Put an intermediate frame where a place was marked."""
    place = project.candidates.get(candidate_id)
    if place is None:
        raise InputProblem("Select a marked frame place first.")
    bare = Frame(
        id=new_id("frame", project.frames, source),
        floor=place.floor,
        name="",
        kind=FrameKind.INTERMEDIATE,
        roles=(FrameRole.FLOOR,),
        x_mm=place.x_mm,
        y_mm=place.y_mm,
        ladder_height_mm=place.ladder_height_mm,
        note=place.reason_against,
    )
    [frame] = numbered(project, [bare], "", retired=retired)
    label = f"Put {name_of(frame)} at {name_of(place)}"
    gone = Change(place.id, place, None)
    return Patch(label, (gone, *adding(label, [frame]).changes))


def add_backbone_cable(
    project: Project,
    from_id: str,
    to_id: str,
    *,
    cable_type: str,
    count: int = 1,
    strands: int = 0,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """Cable from frame to frame, or from a demarcation point to a frame."""
    frames = [i for i in (from_id, to_id) if i in project.frames]
    carriers = [i for i in (from_id, to_id) if i in project.demarcations]
    if not frames or len(frames) + len(carriers) < BOTH or from_id == to_id:
        raise InputProblem(
            "A backbone cable runs between two frames, or a demarcation point and a frame."
        )
    cable = project.cable_types.get(cable_type)
    if cable is None:
        raise InputProblem("Choose a cable type first.")
    slack = SLACK_MM[cable.medium]
    in_use = numbers_in_use(project, BackboneCable)
    [name] = next_numbers("BB-{nn}", 1, in_use=in_use, retired=retired(BackboneCable))
    made = BackboneCable(
        id=new_id("backbone-cable", project.backbone_cables, source),
        name=name,
        from_id=from_id,
        to_id=to_id,
        cable_type=cable_type,
        count=count,
        strands=strands,
        slack_from_mm=slack,
        slack_to_mm=slack,
    )
    return adding(f"Add {name_of(made)}", [made])
