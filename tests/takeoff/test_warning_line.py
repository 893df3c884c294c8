"""What is wrong stands over the quantities, on every paper."""

import csv
import io

import msgspec
import openpyxl

from app.exports.csv_file import csv_bytes
from app.exports.takeoff_workbook import takeoff_workbook
from app.model.entities import BackboneCable, Frame, Plan
from app.model.vocabulary import ScaledBy, State
from app.routing.results import NoRoute
from app.sheets.takeoff_tables import takeoff_tables
from app.takeoff.takeoff import take_off
from app.takeoff.warning_line import warnings_of
from tests.hand_designs import CABLE, FLOOR, FRAME, HandRun, base, code, design_of, outlet

LOST = HandRun(frame=None, reason=NoRoute.NO_PATHWAY)
WRONG = {f"outlet-{code(1)}": HandRun(installed_mm=97_300), f"outlet-{code(2)}": LOST}
SAID = "2 runs over their limit, 1 run without a route (its cable is not counted)."


def wrong():  # type: ignore[no-untyped-def]
    return design_of([*base(), outlet(1), outlet(2, ports=1), outlet(3)], WRONG)


def test_all_three_are_said_as_soon_as_one_is_wrong() -> None:
    assert warnings_of(wrong()) == SAID


def test_nothing_is_said_where_nothing_is_wrong() -> None:
    assert warnings_of(design_of([*base(), outlet(1)])) == ""


def test_a_plan_without_a_scale_is_said() -> None:
    plan = Plan(
        id="plan-00000001",
        floor=FLOOR,
        name="Ground",
        source_name="ground.dxf",
        source_sha256="0",
        drawing_sha256="0",
        mm_per_unit=1.0,
        scaled_by=ScaledBy.NOT_SCALED,
    )
    assert warnings_of(design_of([*base(), plan])) == "1 plan not scaled."


def test_what_stands_or_goes_is_no_matter_of_the_order() -> None:
    # An existing cable is in no quantity; that its route is not known takes nothing away.
    standing = msgspec.structs.replace(outlet(2), state=State.EXISTING)
    lost = HandRun(frame=None, reason=NoRoute.NO_PATHWAY, counted=False)
    assert warnings_of(design_of([*base(), standing], {standing.id: lost})) == ""


def test_backbone_without_a_route_is_said() -> None:
    far = Frame(id="frame-00000002", floor=FLOOR, name="T2", x_mm=9_000, y_mm=0)
    cable = BackboneCable(
        id="backbone-cable-00000001", name="X", from_id=FRAME, to_id=far.id, cable_type=CABLE
    )
    said = warnings_of(design_of([*base(), far, cable]))
    assert said == "1 backbone cable without a route."


def test_first_sheet_and_cable_begin_with_it_in_workbook_and_csv() -> None:
    design = wrong()
    takeoff = take_off(design)
    content = takeoff_workbook(design, takeoff)
    book = openpyxl.load_workbook(io.BytesIO(content))
    with_it = [
        s.title
        for s in book
        if any(SAID in str(c.value) for row in s.iter_rows(max_row=4) for c in row)
    ]
    assert with_it == ["Bill of quantities", "Cable"]
    for table in takeoff_tables(design, takeoff):
        rows = list(csv.reader(io.StringIO(csv_bytes(table).decode())))
        said = [at for at, row in enumerate(rows) if row[0] == SAID]
        assert said == ([1] if table.key in ("bill", "cable") else [])
        assert {len(row) for row in rows} == {len(table.columns)}
