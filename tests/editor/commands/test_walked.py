"""Walked lengths: typed, placed, carried along with their pathway, and deleted with it."""

import pytest

from app.editor.asking import InputProblem, Question
from app.editor.commands.copying import copy_things
from app.editor.commands.deleting import delete_things
from app.editor.commands.joining import split_pathway
from app.editor.commands.kits import make_kit
from app.editor.commands.moving import move_things
from app.editor.commands.pathway_kinds import change_pathway_kind
from app.editor.commands.vertices import move_vertex
from app.editor.commands.walked import Said, add_walked, parse_walked, walked_words
from app.model.entities import WalkedLength
from app.model.integrity import check_patch
from app.model.project import Patch, Project
from app.model.vocabulary import PathwayKind, Units
from tests.editor.small_building import GROUND, HOOKS, RISER, TRAY, UPPER, building, source

ROUND = Said(added_mm=4_000, measured_mm=None, reason="round the duct")


def applied(project: Project, patch: object) -> Project:
    assert isinstance(patch, Patch)
    after = project.apply(patch)
    check_patch(after, patch)
    return after


def walked_on(along: str = TRAY, at=(5_000, 5_200), said: Said = ROUND, floor: str = GROUND):
    project = building()
    patch = add_walked(project, along_id=along, floor_id=floor, at=at, said=said, source=source())
    after = applied(project, patch)
    return after, next(iter(after.walked_lengths.values())), patch


@pytest.mark.parametrize(
    ("text", "units", "expected"),
    [
        ("+4 round the duct", Units.METRIC, (4_000, None, "round the duct")),
        ("+4 m round the duct", Units.METRIC, (4_000, None, "round the duct")),
        ("61.2 by tape", Units.METRIC, (0, 61_200, "by tape")),
        ("61.2 m, by tape, twice", Units.METRIC, (0, 61_200, "by tape, twice")),
        ("+13' 6\" over the beam", Units.US, (4_115, None, "over the beam")),
    ],
)
def test_a_length_and_its_reason_are_read(text, units, expected):
    said = parse_walked(text, units)
    assert (said.added_mm, said.measured_mm, said.reason) == expected


@pytest.mark.parametrize("text", ["+4", "61.2 m", "round the duct", "", "+0 nothing", "-4 less"])
def test_a_length_without_a_reason_or_a_reason_without_a_length_is_refused(text):
    with pytest.raises(InputProblem):
        parse_walked(text, Units.METRIC)


def test_it_lies_on_its_pathway_and_says_what_it_is():
    _, walked, patch = walked_on()
    assert (walked.x_mm, walked.y_mm, walked.added_mm) == (5_000, 5_000, 4_000)
    assert patch.label == "Add 4.00 m on basket B-01"
    assert walked_words(walked, Units.METRIC) == "+4.00 m round the duct"


def test_on_a_riser_it_lies_where_that_passes_the_floor():
    _, walked, _ = walked_on(RISER, at=(15_000, 5_000), floor=UPPER)
    assert (walked.floor, walked.x_mm, walked.y_mm) == (UPPER, 16_000, 5_500)


def test_a_measured_length_far_from_the_drawn_one_is_asked_about():
    project = building()
    said = Said(added_mm=0, measured_mm=61_200, reason="by tape")
    asked = add_walked(project, along_id=TRAY, floor_id=GROUND, at=(5_000, 5_000), said=said)
    assert isinstance(asked, Question)
    assert "drawn 9.00 m long here and measured 61.20 m" in asked.text
    near = replace_said(said, 9_500)
    assert isinstance(
        add_walked(project, along_id=TRAY, floor_id=GROUND, at=(5_000, 5_000), said=near), Patch
    )


def replace_said(said: Said, measured: int) -> Said:
    return Said(added_mm=said.added_mm, measured_mm=measured, reason=said.reason)


def test_it_goes_along_with_its_pathway_and_keeps_its_place_on_its_piece():
    project, walked, _ = walked_on()
    moved = applied(project, move_things(project, [TRAY], dx_mm=0, dy_mm=1_000))
    assert moved.walked_lengths[walked.id].y_mm == 6_000
    bent = applied(project, move_vertex(project, TRAY, 0, to=(2_000, 5_000)))
    # 4 m of 9 along the first piece: 4/9 of 8 m from x = 2.
    assert bent.walked_lengths[walked.id].x_mm == 5_000


def test_it_slides_along_its_pathway_when_it_is_moved_by_hand():
    project, walked, _ = walked_on()
    moved = applied(project, move_things(project, [walked.id], dx_mm=1_500, dy_mm=900))
    there = moved.walked_lengths[walked.id]
    assert (there.x_mm, there.y_mm) == (6_500, 5_000)


def test_it_goes_with_the_part_of_a_split_pathway_it_lies_on():
    project, walked, _ = walked_on(at=(12_000, 5_000))
    cut = applied(project, split_pathway(project, TRAY, at=(11_000, 5_000), source=source()))
    along = cut.walked_lengths[walked.id].along
    assert along != TRAY
    assert along in cut.pathways


def test_what_was_walked_on_a_pathway_says_nothing_of_its_copy_unless_it_is_chosen_too():
    project, walked, _ = walked_on(at=(12_000, 5_000))
    copied = applied(project, copy_things(project, [TRAY], dy_mm=500, source=source()))
    assert set(copied.walked_lengths) == {walked.id}
    both = applied(project, copy_things(project, [TRAY, walked.id], dy_mm=500, source=source()))
    (copy,) = (w for w in both.walked_lengths.values() if w.id != walked.id)
    assert (copy.y_mm, copy.added_mm) == (5_500, 4_000)
    assert copy.along not in project.pathways
    assert make_kit(project, [TRAY], name="tray").changes[0].after is not None


def test_it_stays_when_its_pathway_becomes_another_kind():
    project, walked, _ = walked_on()
    kept = change_pathway_kind(project, [TRAY], PathwayKind.LADDER)
    assert walked.id in applied(project, kept).walked_lengths
    closed = change_pathway_kind(project, [HOOKS], PathwayKind.CONDUIT)
    assert not isinstance(closed, Patch) or walked.id in project.apply(closed).walked_lengths


def test_it_is_deleted_with_its_pathway_and_comes_back_by_name():
    project, walked, patch = walked_on()
    gone = delete_things(project, [TRAY])
    assert not applied(project, gone).walked_lengths
    assert isinstance(gone, Patch)
    assert "walked length" in gone.label
    assert isinstance(walked, WalkedLength)
    assert project.apply(patch.inverse()) == building()
