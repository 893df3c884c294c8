"""The schedule of penetrations, and what the takeoff orders for them."""

import io

import openpyxl
import pytest
from msgspec.structs import replace

from app.design.evaluate import evaluate
from app.editor.commands.penetrations import accept_proposed, proposed
from app.exports.csv_file import csv_bytes
from app.exports.takeoff_workbook import takeoff_workbook
from app.model.entities import Penetration, Space
from app.model.project import adding, changing
from app.model.vocabulary import Crossed, ProvidedBy, State
from app.sheets.tables import row_of, table_of
from app.sheets.takeoff_tables import takeoff_tables
from app.takeoff.takeoff import take_off
from tests.editor.small_building import CONDUIT, GROUND, RISER, TRAY, UPPER, building


def _opening(number, **more):
    known = {"through": CONDUIT, "x_mm": 6_000, "y_mm": 2_000, "rotation_mdeg": 90_000}
    return Penetration(
        id=f"penetration-0000000{number}",
        floor=more.pop("floor", GROUND),
        number=f"FS-0{number}",
        **(known | more),
    )


def _project(*openings):
    above = Space(
        id="space-90000000",
        floor=UPPER,
        outline=((6_000, 0), (20_000, 0), (20_000, 10_000), (6_000, 10_000)),
        number="1.02",
    )
    return building().apply(adding("", [above, *openings]))


SLAB = {
    "floor": UPPER,
    "through": RISER,
    "crossed": Crossed.FLOOR,
    "x_mm": 16_000,
    "y_mm": 5_500,
    "bore_mm": 103.0,
    "count": 3,
}


def _row(design, number):
    table = table_of(design, "penetrations")
    index = table.ids.index(f"penetration-0000000{number}")
    assert row_of(design, "penetrations", table.ids[index]) == table.rows[index]
    return dict(zip((c.key for c in table.columns), table.rows[index], strict=True))


def test_a_wall_is_told_from_room_to_room():
    row = _row(evaluate(_project(_opening(1, bore_mm=53.0, count=2, rating="EI 60"))), 1)
    assert (row["crossed"], row["from"], row["to"]) == ("wall", "0.01", "0.02")
    assert (row["size"], row["rating"], row["through"]) == ("2 × Ø 53", "EI 60", "C-01")


def test_a_slab_is_told_from_the_room_below_to_the_room_above():
    row = _row(evaluate(_project(_opening(1, **SLAB))), 1)
    assert (row["crossed"], row["from"], row["to"]) == ("floor", "0.02", "1.02")
    assert row["floor"] == "1"


def test_what_was_counted_by_hand_is_said_to_be():
    row = _row(evaluate(_project(_opening(1, bore_mm=53.0, cables_by_hand=4))), 1)
    assert (row["cables"], row["by_hand"]) == (4, "by hand")


def _items(project):
    lines = take_off(evaluate(project)).lines
    return {(line.item, line.provided_by): line.quantity for line in lines}


US = ProvidedBy.US


def test_sleeves_and_fire_stops_are_ordered_for_what_is_new():
    items = _items(
        _project(
            _opening(1, through=TRAY, bore_mm=53.0, count=2, rating="EI 60"),
            _opening(2, through=TRAY, x_mm=9_000, bore_mm=53.0, state=State.EXISTING),
            _opening(3, through=TRAY, x_mm=12_000, width_mm=350.0, depth_mm=110.0, barrier="pads"),
            _opening(4, through=TRAY, x_mm=14_000, bore_mm=53.0, provided_by=ProvidedBy.OTHERS),
        )
    )
    assert items["Sleeve Ø 53 through a wall", US] == 2
    assert items["Fire-stop of a wall opening", US] == 2
    assert items["Opening 350 × 110 through a wall", US] == 1
    assert items["Fire-stop, pads", US] == 1
    assert items["Sleeve Ø 53 through a wall", ProvidedBy.OTHERS] == 1
    assert ("Fire-stop of a wall opening", ProvidedBy.OTHERS) not in items


def test_a_conduit_that_passes_by_itself_is_sealed_and_not_sleeved():
    items = _items(_project(_opening(1, bore_mm=27.0, rating="EI 30")))
    assert not any("Sleeve Ø 27" in item for item, _ in items)
    assert items["Fire-stop of a wall opening", US] == 1


def test_a_slab_with_a_penetration_of_its_own_is_not_counted_with_the_riser_too():
    before, after = _items(_project()), _items(_project(_opening(1, **SLAB)))
    assert before["Sleeve Ø 103", US] == 3
    assert ("Sleeve Ø 103", US) not in after
    assert after["Sleeve Ø 103 through a floor", US] == 3
    floors = "Fire-stop of a floor opening", US
    assert before[floors] == after[floors] == 3


def test_the_workbook_has_the_schedule_as_a_sheet_of_its_own():
    project = _project(_opening(1, photograph="=1+1"))
    project = project.apply(accept_proposed(project, proposed(project)))
    design = evaluate(project)
    book = openpyxl.load_workbook(io.BytesIO(takeoff_workbook(design, take_off(design))))
    sheet = book["Penetrations"]
    cells = [[c.value for c in row] for row in sheet.iter_rows()]
    assert any("FS-01" in row for row in cells)
    assert any("=1+1" in row for row in cells)
    assert all(c.data_type != "f" for row in sheet.iter_rows() for c in row if c.value == "=1+1")
    shown = next(t for t in takeoff_tables(design, take_off(design)) if t.key == "penetrations")
    assert len(shown.rows) == len(project.penetrations)
    assert b"FS-01" in csv_bytes(table_of(design, "penetrations"))


@pytest.mark.parametrize(("state", "cautioned"), [(State.NEW, True), (State.EXISTING, False)])
def test_coring_is_cautioned_where_something_is_opened(state, cautioned):
    project = _project(_opening(1))
    riser = project.risers[RISER]
    project = project.apply(changing("", [(riser, replace(riser, state=State.EXISTING))]))
    opening = project.penetrations["penetration-00000001"]
    project = project.apply(changing("", [(opening, replace(opening, state=state))]))
    design = evaluate(project)
    tables = {t.key: t for t in takeoff_tables(design, take_off(design))}
    titles = [row[0] for row in tables["cautions"].rows]
    assert ("Coring" in titles) is cautioned
    assert "Fire barriers" in titles
