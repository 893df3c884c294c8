"""Measured lengths for many runs at once; and what is told of what nobody measured."""

import pytest

from app.design import evaluate
from app.editor.asking import InputProblem
from app.editor.commands.measured import ports_in_order, read_lengths, set_measured
from app.editor.commands.outlets import OutletPlace, Standing, place_outlets
from app.model.ids import counting_source
from app.model.vocabulary import State, Units
from app.sheets.runs_table import COLUMNS, run_row
from tests.published.test_five_years_later import FLOOR, FRAME, KIND, M, small_building

KEYS = [c.key for c in COLUMNS]
STATUS, LENGTH_FROM = KEYS.index("status"), KEYS.index("length_from")


def traced():
    """Two existing outlets, the second beyond the limit by its route, on a known frame."""
    project = small_building()
    patch = place_outlets(
        project,
        [OutletPlace(x_mm=x * M, y_mm=3 * M) for x in (50, 95)],
        floor_id=FLOOR,
        kind_id=KIND,
        pattern="{nnn}",
        standing=Standing(state=State.EXISTING, frame=FRAME),
        source=counting_source(900),
    )
    return project.apply(patch), list(patch.ids)


def test_a_row_of_existing_outlets_ends_at_the_frame_it_was_told():
    project, ids = traced()
    assert {p.frame for i in ids for p in project.outlets[i].ports} == {FRAME}


def test_a_length_that_nobody_knows_is_marked_as_an_estimate():
    project, ids = traced()
    design = evaluate(project)
    far = project.outlets[ids[1]].ports[0].id
    row = design.runs.row_of[far]
    assert bool(design.runs.estimated[row])
    assert run_row(design, far)[LENGTH_FROM] == "estimate"
    tested = next(iter(project.outlets.values())).ports[0].id
    assert not design.runs.counted[design.runs.row_of[tested]]


def test_a_measured_length_is_told_as_such_and_counts():
    project, ids = traced()
    project = project.apply(set_measured(project, ids, [61_200, None, 97_300, 88_000]))
    ports = [p for _, p in ports_in_order(project, ids)]
    assert [p.replaced_mm for p in ports] == [61_200, None, 97_300, 88_000]
    assert [p.length_reason for p in ports] == ["measured", "", "measured", "measured"]
    design = evaluate(project)
    rows = [run_row(design, p.id) for p in ports]
    assert [row[LENGTH_FROM] for row in rows] == ["given", "estimate", "given", "given"]
    assert [row[STATUS] for row in rows] == ["within", "within", "over", "near"]
    assert (design.summary.over, design.summary.near) == (1, 1)


def test_a_list_of_lengths_is_read_line_by_line():
    text = "61.2\n–\n0-007\t44.75 m\n\n12\n"
    assert read_lengths(text, Units.METRIC) == [61_200, None, 44_750, None, 12_000]
    with pytest.raises(InputProblem, match="Line 2"):
        read_lengths("61.2\nlong\n", Units.METRIC)


def test_a_list_that_is_too_short_is_refused_with_both_counts():
    project, ids = traced()
    with pytest.raises(InputProblem, match=r"3 lengths for 4 runs"):
        set_measured(project, ids, [1_000, 2_000, 3_000])
    with pytest.raises(InputProblem, match="no length"):
        set_measured(project, ids, [None] * 4)
    with pytest.raises(InputProblem, match="Select"):
        ports_in_order(project, [FRAME])
