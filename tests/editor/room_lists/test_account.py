"""Every line of a list is accounted for, and nothing is guessed."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from app.editor.commands.client_list import read_in
from app.editor.room_lists.account import HowRead, Wrong, account_of, sentences
from app.editor.room_lists.headings import AREA, NAME, NUMBER
from app.editor.room_lists.made_out import make_out
from app.model.entities import Requirement
from app.model.integrity import check_project
from tests.editor.room_lists.lists import account, of_rows, quay_house
from tests.editor.small_building import CEILING, DATA, RULES, building, source
from tests.effort import examples

M2_PER_FT2 = 0.09290304


def accounted(found) -> int:
    return len(found.above) + len(found.totals) + len(found.nothing_read) + len(found.lines)


def test_the_golden_list_line_by_line():
    project, read = building(), quay_house()
    made = make_out(project, read, {})
    assert made.how.heading_line == 3
    assert made.how.columns == (
        *("number", "name", "floor_name", "use", "area_m2", DATA, "", "note"),
    )
    assert CEILING in made.guesses[6].likely
    settled = replace(made.how, columns=(*made.how.columns[:6], CEILING, "note"))
    found = account_of(project, RULES, read, settled)
    assert accounted(found) == found.rows == 9
    assert (found.above, found.totals, found.nothing_read) == ((1, 3), (10,), ())
    assert found.empty == 1
    by_line = {line.line: line for line in found.lines}
    assert list(by_line) == [4, 5, 6, 7, 8, 9]
    assert by_line[4].required == (
        Requirement(kind=DATA, count=13),
        Requirement(kind=CEILING, count=1),
    )
    assert [by_line[n].area_m2 for n in (4, 5, 6, 7, 8)] == [23.5, 140.25, None, None, 1_234.5]
    assert by_line[5].required == ()
    assert by_line[6].required[1] == Requirement(kind=CEILING, count=0)
    wrong = {n: [t.wrong for t in line.troubles] for n, line in by_line.items()}
    assert wrong == {
        4: [],
        5: [Wrong.USE, Wrong.COUNT],
        6: [Wrong.AREA],
        7: [Wrong.NO_NUMBER, Wrong.NEGATIVE],
        8: [],
        9: [Wrong.NO_NUMBER],
    }
    said = [t.text for line in found.lines for t in line.troubles]
    assert "Line 5: “two” under Acess points is no whole number." in said
    assert "Line 7: “-1” under Acess points is less than none." in said
    assert "Line 5: the use “Hal” is not known; it may be hall." in said
    assert "“two” under Acess points" in by_line[5].note
    assert by_line[5].note.startswith("open plan ")


def test_two_lines_with_one_number_are_both_named():
    read = of_rows(
        ["Room", "Name", "Floor"],
        ["2.04", "Office", "2"],
        ["2,04 ", "Store", "Level 2"],
        ["2.04", "Office", "3"],
    )
    found = account(building(), read)
    assert [t.text for t in found.troubled(Wrong.DUPLICATE)] == [
        "Lines 2 and 3 both have the number 2,04 (“Office” and “Store”); line 2 has the room, "
        "line 3 waits to be given one."
    ]


@pytest.mark.parametrize(
    ("text", "count"),
    [("7", 7), ("7.0", 7), ("7,0", 7), ("+7", 7), ("0", 0), ("", None), ("-", None), ("–", None)],
)
def test_counts_that_can_be_read(text, count):
    found = account(building(), of_rows(["Room", "Data outlet, wall"], ["1", text]))
    (line,) = found.lines
    assert line.troubles == ()
    assert [r.count for r in line.required] == ([] if count is None else [count])


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("two", Wrong.COUNT),
        ("2 or 3", Wrong.COUNT),
        ("2.5", Wrong.COUNT),
        ("1.000", Wrong.COUNT),
        ("x", Wrong.COUNT),
        ("=1+1", Wrong.COUNT),
        ("#REF!", Wrong.COUNT),
        ("99999999999999999999", Wrong.COUNT),
        ("-2", Wrong.NEGATIVE),
        ("−2", Wrong.NEGATIVE),
    ],
)
def test_counts_that_cannot_be_read_are_said_and_leave_the_kind_unsaid(text, wrong):
    found = account(building(), of_rows(["Room", "Data outlet, wall"], ["1", text]))
    (line,) = found.lines
    assert [t.wrong for t in line.troubles] == [wrong]
    assert line.required == ()
    assert f"“{text}”" in line.note


@pytest.mark.parametrize(
    ("areas", "read_as"),
    [
        (["12,5", "1.234,5"], [12.5, 1_234.5]),
        (["12.5", "1,234.5"], [12.5, 1_234.5]),
        (["12,5", "1.234"], [12.5, 1_234.0]),
        (["113.975", "12.25"], [113.975, 12.25]),
        (["12,345"], [12.345]),
        (["12 m²", "13 qm"], [12.0, 13.0]),
        (["1 234,5"], [1_234.5]),
        (["1'234.5", "2"], [1_234.5, 2.0]),
    ],
)
def test_areas_with_comma_or_point(areas, read_as):
    rows = [[str(n), text] for n, text in enumerate(areas)]
    found = account(building(), of_rows(["Room", "Area"], *rows))
    assert [line.area_m2 for line in found.lines] == read_as


def test_areas_in_square_feet():
    found = account(building(), of_rows(["Room", "Area sq ft"], ["1", "1000"]))
    assert found.lines[0].area_m2 == pytest.approx(1_000 * M2_PER_FT2)


def test_a_use_that_somebody_has_settled_is_known():
    read = of_rows(["Room", "Use"], ["1", "Ofice"], ["2", "Zzz"])
    (first, second) = account(building(), read).lines
    assert first.troubles[0].likely[0] == "office"
    assert second.troubles[0].likely == ()
    how = HowRead(heading_line=1, columns=(NUMBER, "use"), uses={"Ofice": "office"})
    (first, second) = account(building(), read, how).lines
    assert (first.use, first.troubles) == ("office", ())
    assert [t.wrong for t in second.troubles] == [Wrong.USE]


def test_texts_that_are_too_long_are_cut_and_said():
    found = account(building(), of_rows(["Room", "Name"], ["1", "x" * 500]))
    assert len(found.lines[0].name) == 200
    assert [t.wrong for t in found.lines[0].troubles] == [Wrong.CUT]


def test_a_list_without_headings_can_be_read():
    how = HowRead(heading_line=0, columns=(NUMBER, NAME, AREA, DATA))
    found = account(building(), of_rows(["0.01", "Office", "12", "3"]), how)
    assert (found.above, len(found.lines)) == ((), 1)
    assert found.columns[3].heading == "column 4"


def test_two_thousand_rooms_with_misspelt_and_doubled_names_are_all_accounted_for():
    """What was put in wrong is counted while it is put in, and must be found again."""
    chance = random.Random(4_711)
    rows, expected = [["Room", "Name", "Use", "Area", "Data outlet, wall"]], dict.fromkeys(Wrong, 0)
    numbers: list[str] = []
    blank = totals = 0
    for n in range(2_000):
        number, use, count = f"{n // 100}.{n % 100:02d}", "office", str(chance.randrange(9))
        sort = chance.randrange(12)
        if sort == 0 and numbers:
            number = chance.choice(numbers).replace(".", ",") + " "
            expected[Wrong.DUPLICATE] += 1
        elif sort == 1:
            number = " "
            expected[Wrong.NO_NUMBER] += 1
        elif sort == 2:
            use = "offcie"
            expected[Wrong.USE] += 1
        elif sort == 3:
            count = chance.choice(["two", "3?", "2.5"])
            expected[Wrong.COUNT] += 1
        elif sort == 4:
            count = "-1"
            expected[Wrong.NEGATIVE] += 1
        elif sort == 5:
            rows.append(["", "", "", "", ""])
            blank += 1
        elif sort == 6:
            rows.append(["Total", "", "", "99", "9"])
            totals += 1
        if sort > 1:
            numbers.append(number)
        rows.append([number, f"Ofice {n}", use, "12,5", count])
    found = account(building(), of_rows(*rows))
    assert accounted(found) == found.rows == len(rows)
    assert (len(found.lines), len(found.totals), len(found.nothing_read)) == (2_000, totals, blank)
    assert {wrong: len(found.troubled(wrong)) for wrong in Wrong} == expected
    assert min(n for w, n in expected.items() if w not in (Wrong.AREA, Wrong.CUT)) > 50
    told = " ".join(sentences(found))
    assert f"{len(rows):,} rows read, 2,000 taken as rooms." in told
    assert f"{expected[Wrong.DUPLICATE]:,} with a number that an earlier one has." in told


CELLS = st.one_of(
    st.sampled_from(
        ["", "0.01", "0,01 ", "0.02", "two", "-1", "3", "Total", "office", "12,5", "1"]
    ),
    st.text(max_size=8),
)


@settings(max_examples=examples(100), deadline=None)
@given(rows=st.lists(st.lists(CELLS, min_size=1, max_size=7), min_size=1, max_size=12))
def test_whatever_a_list_says_every_row_is_accounted_for(rows):
    """Of any rows at all: each is in one place, and what is taken makes a whole project."""
    heads = ["Room", "Name", "Level", "Use", "Area", "Data outlet, wall", "Remarks"]
    project, read = building(), of_rows(heads, *rows)
    found = account(project, read)
    assert accounted(found) == found.rows == len(rows) + 1
    gone = {*found.above, *found.totals, *found.nothing_read, *(x.line for x in found.lines)}
    assert gone == {row.line for row in read.rows}
    if found.lines:
        taken = read_in(project, found, name="Rooms", source=source())
        check_project(project.apply(taken.patch))
