"""Cable numbers and panel ports of an existing building pasted in beside the runs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.editor.asking import InputProblem
from app.editor.commands.panels import add_panels
from app.editor.commands.pasted_cables import pasted_cables
from app.editor.commands.printing import mark_printed
from app.model.project import Project
from tests.editor.small_building import CABLE, MAIN, OUTLET_1, building


def started() -> Project:
    """Two panels on the main frame, M1; six runs of three outlets, or how many there are."""
    project = building()
    return project.apply(add_panels(project, MAIN, cable_type=CABLE, count=2))


def order(project: Project) -> list[str]:
    return [p.id for o in project.outlets.values() for p in o.ports]


def pasted(text: str, project: Project | None = None, **more):
    project = project or started()
    found = pasted_cables(project, text, in_order=order(project), **more)
    return found, project if found.patch is None else project.apply(found.patch)


def carried(project: Project) -> list[tuple[str, str]]:
    return [
        (p.cable_number, "" if p.ends_at is None else f"{p.ends_at.panel}{p.ends_at.port}")
        for o in project.outlets.values()
        for p in o.ports
    ]


def problems(found) -> dict[int, str]:
    return {line.line: line.problem for line in found.lines if line.problem}


def test_one_column_of_numbers_one_of_ports_or_both():
    _, project = pasted("Cable\nK1\nK2\n")
    assert carried(project)[:2] == [("K1", ""), ("K2", "")]
    _, project = pasted("M1-A01\nm1 a 2\n")
    assert carried(project)[:2] == [("", "A1"), ("", "A2")]
    found, project = pasted("K1\tM1-B24\nK2\t\n")
    assert carried(project)[:2] == [("K1", "B24"), ("K2", "")]
    assert not found.misfits


def test_ports_may_be_swapped():
    _, project = pasted("K1\tM1-A01\nK2\tM1-A02\n")
    found, project = pasted("K2\tM1-A02\nK1\tM1-A01\n", project)
    assert carried(project)[:2] == [("K2", "A2"), ("K1", "A1")]
    assert not found.misfits


def test_every_line_that_does_not_fit_says_why():
    _, project = pasted("K1\tM1-A01\nK2\tM1-A02\n")
    text = "K9\tM1-C01\nK8\tM1-A01\nK7\tM1-A09\tmore\n"
    found, after = pasted_cables(project, text, in_order=order(project)[1:]), project
    assert found.patch is None
    told = problems(found)
    assert "is no port of frame M1" in told[1]
    assert told[2] == "a cable of outlet 0-01 has M1-A01"
    assert told[3] == "3 columns; there are to be one or two"
    assert found.left == text.strip("\n")
    assert carried(after)[:2] == [("K1", "A1"), ("K2", "A2")]
    more = "\n".join(f"Z{i}" for i in range(len(order(project)) + 1))
    assert "runs; select more rows" in next(iter(problems(pasted(more)[0]).values()))


def test_printed_twice_and_removed_are_left_alone():
    _, project = pasted("K1\n")
    project = project.apply(mark_printed(project, [OUTLET_1]))
    found, after = pasted("X1\nX2\nX2\n", project)
    assert "printed" in problems(found)[1]
    assert problems(found)[2] == "X2 stands in 2 lines"
    assert carried(after)[0] == ("K1", "")
    gone, _ = pasted("GONE\nK5\n", retired=lambda _: {"GONE"})
    assert "was removed had GONE" in problems(gone)[1]


CELLS = st.sampled_from(["K1", "K2", "M1-A01", "M1-A02", "M1-Z09", ""])


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.lists(CELLS, min_size=1, max_size=3).map("\t".join), max_size=5),
    st.lists(st.lists(CELLS, min_size=1, max_size=2).map("\t".join), max_size=5),
)
def test_whatever_is_pasted_nothing_is_carried_twice(first, second):
    project = started()
    for lines in (first, second):
        try:
            found, project = pasted("\n".join(lines), project)
        except InputProblem:
            continue
        numbers = [n for n, _ in carried(project) if n]
        places = [p for _, p in carried(project) if p]
        assert len(set(numbers)) == len(numbers)
        assert len(set(places)) == len(places)
        assert len(found.lines) == sum(1 for line in lines if line.strip("\t "))


def test_nothing_pasted_is_said():
    with pytest.raises(InputProblem, match="Paste a column"):
        pasted_cables(started(), "\n \n", in_order=[])
