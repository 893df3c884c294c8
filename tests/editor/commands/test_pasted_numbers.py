"""Numbers of an existing building pasted in: what fits, what does not, nothing lost."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.editor.asking import InputProblem
from app.editor.commands.pasted_numbers import pasted_numbers
from app.editor.commands.printing import mark_printed
from app.model.project import Project
from tests.editor.small_building import OUTLET_1, OUTLET_2, OUTLET_3, building

ORDER = [OUTLET_3, OUTLET_1, OUTLET_2]


def numbers(project: Project) -> list[str]:
    return [project.outlets[o].number for o in (OUTLET_1, OUTLET_2, OUTLET_3)]


def pasted(text: str, **more):
    project = more.pop("project", None) or building()
    found = pasted_numbers(project, text, in_order=ORDER, **more)
    return found, project if found.patch is None else project.apply(found.patch)


def problems(found) -> dict[int, str]:
    return {line.line: line.problem for line in found.lines if line.problem}


def test_one_column_goes_to_the_rows_in_their_order():
    found, project = pasted("Number\nA1\nA2\n\nA3\nA4\n")
    assert numbers(project) == ["A2", "A3", "A1"]
    assert problems(found) == {6: "the list goes to 3 outlets; select more rows, or none"}
    assert found.left == "A4"


@pytest.mark.parametrize("mark", ["\t", ";", ",", "   "])
def test_two_columns_are_old_and_new(mark):
    found, project = pasted(f"old{mark}new\n0-01{mark}A 1\n0-02{mark}A 2\n")
    assert numbers(project) == ["A 1", "A 2", "0-03"]
    assert not found.misfits


def test_numbers_may_be_swapped_and_handed_on():
    found, project = pasted("0-01\t0-02\n0-02\t0-01\n0-03\t0-03")
    assert numbers(project) == ["0-02", "0-01", "0-03"]
    assert [line.same for line in found.lines] == [False, False, True]


def test_every_line_that_does_not_fit_says_why():
    found, project = pasted(
        "0-01\t0-03\n"  # taken by one that stays
        "0-02\n"
        "9-99\tX\n"
        "\tY\n"
        "0-02\tZ\tmore\n"
    )
    assert numbers(project) == numbers(building())
    assert problems(found) == {
        1: "outlet 0-03 on floor 0 has it",
        2: "the new number is missing",
        3: "no outlet has the number 9-99",
        4: "the old number is missing",
        5: "3 columns; there are to be two",
    }


def test_a_refused_line_keeps_its_number_from_others():
    # 0-01 would go to 0-02's outlet, but 0-01 itself cannot leave its number: X is there twice.
    found, project = pasted("0-01\tX\n0-02\t0-01\n0-03\tX\n")
    assert numbers(project) == numbers(building())
    assert set(problems(found)) == {1, 2, 3}
    assert "0-01 on floor 0 has it" in problems(found)[2]


def test_printed_and_removed_numbers_are_left_alone():
    project = building()
    project = project.apply(mark_printed(project, [OUTLET_1]))
    found, after = pasted(
        "0-01\tA\n0-02\tGONE\n0-03\tB\n", project=project, retired=lambda _: {"GONE"}
    )
    assert numbers(after) == ["0-01", "0-02", "B"]
    assert "is printed" in problems(found)[1]
    assert "was removed had GONE" in problems(found)[2]


def test_nothing_pasted_is_said():
    with pytest.raises(InputProblem, match="Paste a column"):
        pasted_numbers(building(), " \n\n", in_order=ORDER)
    with pytest.raises(InputProblem, match="at most"):
        pasted_numbers(building(), "a\n" * 20_001, in_order=ORDER)


CELLS = st.sampled_from(["0-01", "0-02", "0-03", "A", "B", "", "0-9"])
LINES = st.lists(st.tuples(CELLS, CELLS).map("\t".join), max_size=6).map("\n".join)


@settings(max_examples=150, deadline=None)
@given(st.one_of(LINES, st.text(max_size=60)))
def test_any_text_leaves_every_number_on_one_outlet_and_every_line_accounted_for(text):
    try:
        found, project = pasted(text)
    except InputProblem:
        return
    every = numbers(project)
    assert len(set(every)) == len(every)
    lines = [line for line in text.splitlines() if line.strip()]
    assert len(lines) - len(found.lines) in (0, 1)  # a heading may be left out
    for line in found.lines:
        assert line.fits != bool(line.problem)
        if line.fits:
            assert project.outlets[line.outlet].number == line.new
