"""Runs told to pass here, or never there, sent to a frame, and what goes away with a pathway."""

import pytest

from app.editor.asking import InputProblem
from app.editor.commands.deleting import delete_things
from app.editor.commands.joining import join_pathways, split_pathway
from app.editor.commands.telling import any_way, end_at, never_there, pass_here
from app.model.integrity import check_patch
from app.model.project import Patch, Project
from app.routing.told_words import told_words
from tests.editor.small_building import (
    CONDUIT,
    HOOKS,
    MAIN,
    OUTLET_1,
    OUTLET_2,
    RISER,
    SECOND,
    TRAY,
    building,
    source,
)


def applied(project: Project, patch: object) -> Project:
    assert isinstance(patch, Patch)
    after = project.apply(patch)
    check_patch(after, patch)
    return after


def ports(project: Project, outlet: str):
    return project.outlets[outlet].ports


def test_many_runs_are_told_at_once_and_a_port_by_itself():
    project = building()
    patch = pass_here(project, [OUTLET_1, OUTLET_2], [TRAY])
    assert patch.label == "Pass basket B-01: 4 runs of 2 outlets"
    told = applied(project, patch)
    assert {p.via for o in (OUTLET_1, OUTLET_2) for p in ports(told, o)} == {(TRAY,)}
    one = ports(project, OUTLET_1)[0].id
    alone = applied(project, never_there(project, [one], [HOOKS, RISER]))
    assert [p.never for p in ports(alone, OUTLET_1)] == [(HOOKS, RISER), ()]


def test_the_last_word_counts_and_any_way_takes_all_back():
    project = applied(building(), pass_here(building(), [OUTLET_1], [TRAY, HOOKS]))
    turned = applied(project, never_there(project, [OUTLET_1], [HOOKS]))
    port = ports(turned, OUTLET_1)[0]
    assert (port.via, port.never) == ((TRAY,), (HOOKS,))
    assert told_words(turned, port) == "passes B-01; never H-01"
    free = applied(turned, any_way(turned, [OUTLET_1]))
    assert free == building()


def test_what_says_nothing_new_or_too_much_is_refused():
    project = building()
    with pytest.raises(InputProblem, match="already"):
        any_way(project, [OUTLET_1])
    with pytest.raises(InputProblem, match="outlets or runs"):
        pass_here(project, [MAIN], [TRAY])
    with pytest.raises(InputProblem, match="pathway, riser"):
        pass_here(project, [OUTLET_1], [MAIN])


def test_a_deleted_pathway_is_out_of_every_list_in_the_same_patch():
    project = applied(building(), pass_here(building(), [OUTLET_1], [TRAY]))
    project = applied(project, never_there(project, [OUTLET_2], [CONDUIT, TRAY]))
    after = applied(project, delete_things(project, [TRAY]))
    assert ports(after, OUTLET_1)[0].via == ()
    assert ports(after, OUTLET_2)[0].never == (CONDUIT,)


def test_of_two_joined_pathways_the_one_that_stays_is_told_of():
    project = building()
    cut = applied(project, split_pathway(project, TRAY, at=(9_000, 5_000), source=source()))
    other = next(p for p in cut.pathways if p not in project.pathways)
    told = applied(cut, pass_here(cut, [OUTLET_1], [other]))
    joined = applied(told, join_pathways(told, [TRAY, other]))
    assert ports(joined, OUTLET_1)[0].via == (TRAY,)


def test_runs_are_sent_to_a_frame_and_set_free():
    project = building()
    sent = applied(project, end_at(project, [OUTLET_1, OUTLET_2], SECOND))
    assert {p.frame for o in (OUTLET_1, OUTLET_2) for p in ports(sent, o)} == {SECOND}
    free = end_at(sent, [OUTLET_1, OUTLET_2], None)
    assert free.label == "End by the rules: 4 runs of 2 outlets"
    assert {p.frame for p in ports(applied(sent, free), OUTLET_1)} == {None}
