import pytest

from app.editor.asking import InputProblem, Question
from app.editor.commands.joining import join_pathways, reverse_pathways, split_pathway
from app.editor.commands.vertices import (
    delete_corner,
    delete_vertex,
    extend_line,
    insert_corner,
    insert_vertex,
    move_corner,
    move_riser_end,
    move_vertex,
    move_wall,
    set_pathway_height,
)
from app.model.integrity import check_project
from app.model.project import Patch, Project
from tests.editor.small_building import (
    BOX,
    BREAK,
    CONDUIT,
    DROP_OUT,
    HOOKS,
    OFFICE,
    RISER,
    TRAY,
    building,
    source,
)


def _done(project: Project, outcome: Patch | Question) -> Project:
    assert isinstance(outcome, Patch), outcome
    after = project.apply(outcome)
    check_project(after)
    assert after.apply(outcome.inverse()) == project
    return after


def test_a_moved_vertex_takes_what_sits_on_its_pieces_along():
    project = building()
    after = _done(project, move_vertex(project, TRAY, 0, to=(1_000, 7_000)))
    assert after.pathways[TRAY].vertices[0] == (1_000, 7_000, 3_000)
    drop_out = after.drop_outs[DROP_OUT]
    assert drop_out.x_mm == 8_000
    assert drop_out.y_mm == 5_444  # 2 m of 9 m from (10, 5) to (1, 7): 5 + 2 * 2 / 9


def test_a_vertex_moved_onto_its_neighbour_is_dropped_but_a_line_stays_a_line():
    project = building()
    after = _done(project, move_vertex(project, TRAY, 2, to=(10_000, 5_000)))
    assert len(after.pathways[TRAY].vertices) == 2
    with pytest.raises(InputProblem, match="no length"):
        move_vertex(project, HOOKS, 0, to=(8_000, 9_000))


def test_points_are_put_in_and_taken_out():
    project = building()
    added = _done(project, insert_vertex(project, HOOKS, at=(8_100, 6_000)))
    assert added.pathways[HOOKS].vertices[1] == (8_000, 6_000, 3_600)
    assert _done(added, delete_vertex(added, HOOKS, 1)) == project
    with pytest.raises(InputProblem, match="here already"):
        insert_vertex(project, HOOKS, at=(8_000, 1_000))
    with pytest.raises(InputProblem, match="delete it whole"):
        delete_vertex(project, HOOKS, 0)
    with pytest.raises(InputProblem, match="Only pathways"):
        insert_vertex(project, OFFICE, at=(0, 0))


def test_deleting_the_end_that_carries_a_drop_out_asks():
    project = building()
    outcome = delete_vertex(project, TRAY, 0)
    assert isinstance(outcome, Question)
    assert "drop-out" in outcome.text
    _done(project, outcome.answers[0].patch)


def test_a_line_is_continued_from_either_end():
    project = building()
    after = _done(project, extend_line(project, HOOKS, [(8_000, 9_500, 3_600)], at_end=True))
    assert after.pathways[HOOKS].vertices[-1] == (8_000, 9_500, 3_600)
    after = _done(
        project,
        extend_line(project, HOOKS, [(8_000, 500, 3_600), (7_000, 500, 3_600)], at_end=False),
    )
    assert after.pathways[HOOKS].vertices[:2] == ((7_000, 500, 3_600), (8_000, 500, 3_600))


def test_an_upright_piece_moves_as_one_and_vanishes_with_one_height():
    project = building()
    outcome = extend_line(
        project, TRAY, [(17_000, 5_000, 2_400), (17_500, 5_000, 2_400)], at_end=True
    )
    dropped = _done(project, outcome)
    moved = _done(dropped, move_vertex(dropped, TRAY, 3, to=(17_000, 5_200)))
    assert [v[:2] for v in moved.pathways[TRAY].vertices[2:4]] == [(17_000, 5_200)] * 2
    level = _done(dropped, set_pathway_height(dropped, [TRAY], height_mm=2_800))
    assert [v[2] for v in level.pathways[TRAY].vertices] == [2_800] * 4


def test_corners_and_sides_of_a_space_are_edited_and_never_crossed():
    project = building()
    after = _done(project, move_corner(project, OFFICE, 2, to=(6_500, 4_500)))
    assert after.spaces[OFFICE].outline[2] == (6_500, 4_500)
    after = _done(project, move_wall(project, OFFICE, 3, dx_mm=-200, dy_mm=0))
    assert after.spaces[OFFICE].outline == ((-200, 0), (6_000, 0), (6_000, 4_000), (-200, 4_000))
    after = _done(project, insert_corner(project, OFFICE, at=(3_000, 4_050)))
    assert after.spaces[OFFICE].outline[3] == (3_000, 4_000)
    assert _done(after, delete_corner(after, OFFICE, 3)) == project
    with pytest.raises(InputProblem, match="cross or touch itself"):
        move_corner(project, OFFICE, 2, to=(-1_000, 2_000))


def test_a_riser_end_moves_alone():
    project = building()
    after = _done(project, move_riser_end(project, RISER, upper=True, to=(16_500, 5_500)))
    assert after.risers[RISER].upper == (16_500, 5_500)
    assert after.risers[RISER].lower == (16_000, 5_500)


def test_reversed_twice_is_as_before():
    project = building()
    once = _done(project, reverse_pathways(project, [TRAY, HOOKS]))
    assert once.pathways[HOOKS].vertices[0] == (8_000, 9_000, 3_600)
    assert _done(once, reverse_pathways(once, [TRAY, HOOKS])) == project


def test_a_split_gives_each_part_what_sits_on_it_and_joining_gives_it_back():
    project = building()
    patch = split_pathway(project, CONDUIT, at=(6_000, 2_010), source=source())
    after = _done(project, patch)
    made = next(p for p in after.pathways if p not in project.pathways)
    assert after.pathways[CONDUIT].vertices[-1] == (6_000, 2_000, 3_600)
    assert after.pathways[made].number == "C-02"
    assert after.access_points[BOX].pathway == CONDUIT
    assert made in (after.breaks[BREAK].pathway_a, after.breaks[BREAK].pathway_b)
    joined = _done(after, join_pathways(after, [CONDUIT, made]))
    assert joined.pathways[CONDUIT].vertices == (
        (1_000, 2_000, 3_600),
        (6_000, 2_000, 3_600),
        (12_000, 2_000, 3_600),
    )
    assert joined.breaks == project.breaks
    with pytest.raises(InputProblem, match="between its ends"):
        split_pathway(project, CONDUIT, at=(0, 2_000))


def test_only_like_pathways_that_meet_become_one():
    project = building()
    with pytest.raises(InputProblem, match="differ in kind"):
        join_pathways(project, [TRAY, HOOKS])
    with pytest.raises(InputProblem, match="the two pathways"):
        join_pathways(project, [TRAY])
    patch = split_pathway(project, TRAY, at=(9_000, 5_000), source=source())
    after = project.apply(patch)
    made = next(p for p in after.pathways if p not in project.pathways)
    apart = after.apply(move_vertex(after, made, 0, to=(9_500, 5_000)))
    with pytest.raises(InputProblem, match="do not meet"):
        join_pathways(apart, [TRAY, made])
