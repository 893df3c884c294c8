"""Dimensions broken into lines and texts are found again, and tell the unit."""

from __future__ import annotations

from collections.abc import Callable

import ezdxf
import pytest
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment

from app.plans.imported import ImportedPlan
from app.plans.units import MM_PER_UNIT

Reader = Callable[[Drawing], ImportedPlan]
LENGTHS_MM = (3_200.0, 4_450.0, 6_000.0, 7_125.0)


def words_of(mm: float, style: str) -> str:
    if style == "feet":
        inches = round(mm / 25.4)
        return f"{inches // 12}'-{inches % 12}\""
    return f"{mm / 1000:.2f} m" if style == "metres" else f"{mm:.0f}"


def chain(unit: str, style: str, *, overshoot_mm: float = 0.0) -> Drawing:
    """A building with a chain of four exploded dimensions below, one line or several."""
    doc = ezdxf.new("R12")
    msp = doc.modelspace()
    scale = 1 / MM_PER_UNIT[unit]
    msp.add_polyline2d(
        [(0, 0), (21_000 * scale, 0), (21_000 * scale, 9_000 * scale), (0, 9_000 * scale)],
        close=True,
    )
    x, y, over = 0.0, -1_000 * scale, overshoot_mm * scale
    for mm in LENGTHS_MM:
        end = x + mm * scale
        msp.add_line((x - over, y), (end + over, y), {"layer": "D"})
        for place in (x, end):
            msp.add_line((place, y - 300 * scale), (place, y + 300 * scale), {"layer": "D"})
        text = msp.add_text(words_of(mm, style), height=150 * scale, dxfattribs={"layer": "D"})
        text.set_placement(((x + end) / 2, y + 60 * scale), align=TextEntityAlignment.BOTTOM_CENTER)
        x = end
    return doc


@pytest.mark.parametrize("overshoot_mm", [0.0, 120.0])
@pytest.mark.parametrize(
    ("unit", "style"),
    [("in", "feet"), ("cm", "metres"), ("m", "metres"), ("mm", "plain"), ("in", "plain")],
)
def test_exploded_dimensions_tell_the_unit(
    unit: str, style: str, overshoot_mm: float, read_doc: Reader
) -> None:
    plan = read_doc(chain(unit, style, overshoot_mm=overshoot_mm))
    assert plan.proposals[0].unit == unit
    assert not plan.is_unscaled
    measured = [d.distance * plan.proposals[0].mm_per_unit for d in plan.dimensions]
    assert measured == pytest.approx(LENGTHS_MM, abs=1)


def test_room_numbers_beside_walls_are_no_dimensions(read_doc: Reader) -> None:
    doc = ezdxf.new("R12")
    msp = doc.modelspace()
    for number in range(12):
        x = number * 4_000.0
        msp.add_line((x, 0), (x + 4_000, 0))
        msp.add_line((x, 0), (x, 5_500))
        msp.add_text(f"{301 + number}", height=200).set_placement((x + 900, 300))
    plan = read_doc(doc)
    assert plan.dimensions == ()


def test_whole_dimensions_are_not_found_twice(new_doc: Drawing, read_doc: Reader) -> None:
    msp = new_doc.modelspace()
    msp.add_lwpolyline([(0, 0), (21_000, 0), (21_000, 9_000), (0, 9_000)], close=True)
    for number, length in enumerate((3_200, 4_450, 6_000, 7_125)):
        msp.add_linear_dim(
            base=(0, -2_000 * (number + 1)), p1=(0, 0), p2=(length, 0),
            override={"dimtxt": 250, "dimexe": 100, "dimasz": 200},
        ).render()  # fmt: skip
    assert len(read_doc(new_doc).dimensions) == 4
