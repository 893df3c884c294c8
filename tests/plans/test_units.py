"""Units are weighed from what a drawing shows, and unsure ones are said to be unsure."""

from __future__ import annotations

import time
from collections.abc import Callable

import ezdxf
import pytest
from ezdxf.document import Drawing
from hypothesis import given
from hypothesis import strategies as st

from app.plans.imported import ImportedPlan
from app.plans.stated import stated_area_m2, stated_length
from app.plans.units import MM_PER_UNIT, plain

Reader = Callable[[Drawing], ImportedPlan]

INSUNITS = {"none": 0, "in": 1, "ft": 2, "mm": 4, "cm": 5, "m": 6}


def house(unit: str, *, header: str, doors: int = 0, areas: bool = False) -> Drawing:
    """A building of 24 by 12 m in some unit, with a header that may say another."""
    doc = ezdxf.new("R2010", units=INSUNITS[header])
    del doc.header["$MEASUREMENT"]
    scale = 1000 / MM_PER_UNIT[unit]
    msp = doc.modelspace()
    corners = [(0, 0), (24, 0), (24, 12), (0, 12)]
    msp.add_lwpolyline([(x * scale, y * scale) for x, y in corners], close=True)
    for number in range(doors):
        x, width = (2 + 2 * number) * scale, 0.9 * scale
        msp.add_line((x, 0), (x, width))
        msp.add_arc((x, 0), width, 0, 90)
    if areas:
        for number, area in enumerate(("96.00 m²", "120.0 m2", "38 sqm")):
            msp.add_text(area, height=0.2 * scale).set_placement(((1 + number) * scale, scale))
    return doc


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft"])
def test_a_header_that_fits_is_taken(unit: str, read_doc: Reader) -> None:
    plan = read_doc(house(unit, header=unit))
    assert plan.proposals[0].unit == unit
    assert not plan.is_unscaled


@pytest.mark.parametrize("unit", ["mm", "cm", "m", "in", "ft"])
@pytest.mark.parametrize("header", ["none", "mm", "m", "in"])
def test_doors_and_areas_overrule_a_header(unit: str, header: str, read_doc: Reader) -> None:
    plan = read_doc(house(unit, header=header, doors=6, areas=True))
    assert plan.proposals[0].unit == unit
    assert not plan.is_unscaled
    assert any("door leaves" in reason for reason in plan.proposals[0].reasons)


def test_a_header_that_cannot_be_leaves_the_plan_unscaled(read_doc: Reader) -> None:
    plan = read_doc(house("m", header="mm"))
    assert plan.proposals[0].unit != "mm"
    assert plan.is_unscaled
    in_mm = next(p for p in plan.proposals if p.unit == "mm")
    assert any("too small" in reason for reason in in_mm.reasons)
    assert any("header says millimetres" in reason for reason in in_mm.reasons)


def test_nothing_but_lines_is_unscaled(read_doc: Reader) -> None:
    assert read_doc(house("cm", header="none")).is_unscaled


@pytest.mark.parametrize(
    ("text", "unit"),
    [("24000 mm", "m"), ("24.00 m", "mm"), ("2400 cm", "ft"), ("78'-8 7/8\"", "in")],
)
def test_dimensions_with_a_unit_decide(text: str, unit: str, read_doc: Reader) -> None:
    doc = house(unit, header="none")
    scale = 1000 / MM_PER_UNIT[unit]
    for height in (13, 14):
        doc.modelspace().add_linear_dim(
            base=(0, height * scale), p1=(0, 0), p2=(24 * scale, 0), text=text
        ).render()
    plan = read_doc(doc)
    assert [d.is_typed for d in plan.dimensions] == [True, True]
    assert plan.proposals[0].unit == unit
    assert not plan.is_unscaled


def test_confidences_are_shares(read_doc: Reader) -> None:
    proposals = read_doc(house("mm", header="mm", doors=2)).proposals
    assert sum(p.confidence for p in proposals) == pytest.approx(1)
    assert {p.unit for p in proposals} == set(MM_PER_UNIT)
    assert [p.confidence for p in proposals] == sorted(
        (p.confidence for p in proposals), reverse=True
    )


@pytest.mark.parametrize(
    ("text", "mm", "number"),
    [
        ("3200", None, 3200.0),
        ("3,20", None, 3.2),
        ("21 320", None, 21320.0),
        ("21'320", None, 21320.0),
        ("1.234,5", None, 1234.5),
        ("1,234.5", None, 1234.5),
        ("340,77", None, 340.77),
        ("3.20 m", 3200.0, None),
        ("320cm", 3200.0, None),
        ("3200 MM", 3200.0, None),
        ("17'-0 1/4\"", 5187.95, None),
        ("17' 6\"", 5334.0, None),
        ('6"', 152.4, None),
        ('1/2"', 12.7, None),
        ("12'", 3657.6, None),
        ("ROOM 3", None, None),
        ("R12", None, None),
        ("", None, None),
        ('1/0"', None, None),
    ],
)
def test_lengths_as_people_write_them(text: str, mm: float | None, number: float | None) -> None:
    found_mm, found_number = stated_length(text)
    assert found_mm == (None if mm is None else pytest.approx(mm))
    assert found_number == (None if number is None else pytest.approx(number))


@pytest.mark.parametrize(
    ("text", "m2"),
    [
        ("91.70 m2", 91.7),
        ("HALL\n351,7 m²", 351.7),
        ("Area: 1,250 sqm", 1250.0),
        ("8394 SF", 8394 * 0.09290304),
        ("STORAGE\\P298 SQ FT", 298 * 0.09290304),
        ("12 m", None),
        ("5 SFX", None),
    ],
)
def test_areas_as_people_write_them(text: str, m2: float | None) -> None:
    assert stated_area_m2(text) == (None if m2 is None else pytest.approx(m2))


def test_endless_numbers_take_no_time() -> None:
    started = time.perf_counter()
    for _ in range(1_000):
        assert stated_length("9" * 4_000) == (None, None)
        assert stated_area_m2("9" * 4_000) is None
    assert time.perf_counter() - started < 10


@given(st.text(max_size=60))
def test_any_text_can_be_asked_for_a_length(text: str) -> None:
    mm, number = stated_length(text)
    assert mm is None or number is None
    assert stated_area_m2(text) is None or stated_area_m2(text) >= 0  # type: ignore[operator]


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0.0, "0"),
        (0.0012, "0.0012"),
        (0.5, "0.5"),
        (37.6, "37.6"),
        (999.96, "1,000"),
        (4_500.0, "4,500"),
        (37_600_000.0, "37,600,000"),
        (1e-12, "0.000000000001"),
    ],
)
def test_numbers_are_plain(number: float, text: str) -> None:
    assert plain(number) == text
