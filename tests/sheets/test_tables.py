"""Tables: whole and row by row the same, numbers in their units, fast for many runs."""

import re
import time

import msgspec
import pytest

from app.checks.checked import check_everything
from app.model import entities
from app.model.entities import PanelPort, Requirement
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind, State, Units
from app.routing.results import Fill, Part, PartSort
from app.sheets.carriers_table import room_text
from app.sheets.runs_table import parts_text, runs_table
from app.sheets.table import Column, ColumnKind, Table, number_of, text_of
from app.sheets.tables import TABLES, row_of, table_of
from app.sheets.takeoff_tables import takeoff_tables
from app.sizing.fill import cable_area_mm2
from app.takeoff.takeoff import take_off
from tests.checks.test_every_check import THINGS, facts
from tests.hand_designs import (
    DATA,
    FRAME,
    SPACE,
    HandRun,
    base,
    code,
    design_of,
    office,
    outlet,
    with_findings,
)


def a_design():  # type: ignore[no-untyped-def]
    given_runs = {
        f"outlet-{code(1)}": HandRun(installed_mm=97_300),
        f"outlet-{code(2)}": HandRun(frame=None),
    }
    things = [
        msgspec.structs.replace(t, required=(Requirement(kind=DATA, count=13),))
        if t.id == SPACE
        else t
        for t in THINGS
    ]
    design = design_of(things, given_runs)
    return with_findings(design, check_everything(facts(things, given_runs)))


@pytest.mark.parametrize("key", list(TABLES))
def test_a_row_alone_is_the_row_in_the_table(key: str) -> None:
    design = a_design()
    table = table_of(design, key)
    assert table.rows or key in {"risers", "backbone", "penetrations"}
    assert len(table.ids) == len(set(table.ids)) == len(table.rows)
    for i, row_id in enumerate(table.ids):
        assert row_of(design, key, row_id) == table.rows[i]
        assert len(table.rows[i]) == len(table.columns)
        assert table.things_of(i)
    assert row_of(design, key, "outlet-zzzzzzzz") is None


@pytest.mark.parametrize("key", list(TABLES))
def test_columns_have_keys_of_their_own_and_fitting_values(key: str) -> None:
    table = table_of(a_design(), key)
    keys = [c.key for c in table.columns]
    assert len(set(keys)) == len(keys)
    for row in table.rows:
        for value, column in zip(row, table.columns, strict=True):
            if column.kind is ColumnKind.TEXT:
                assert isinstance(value, str)
            else:
                assert value is None or isinstance(value, int | float)
            if column.kind in {ColumnKind.COUNT, ColumnKind.LENGTH}:
                assert value is None or type(value) is int


def test_runs_tell_lengths_or_nothing() -> None:
    table = runs_table(a_design())
    installed, status = table.column_values("installed"), table.column_values("status")
    margin = table.column_values("margin")
    assert installed[:4] == (97_300, 97_300, None, None)
    assert margin[:4] == (-7_300, -7_300, None, None)
    assert status[:4] == ("over", "over", "no route", "no route")


def test_sums_of_a_run_are_its_length() -> None:
    table = runs_table(design_of(office()))
    columns = [table.column_values(k) for k in ("horizontal", "vertical", "allowance", "slack")]
    sums = [sum(parts) for parts in zip(*columns, table.column_values("added"), strict=True)]
    assert tuple(sums) == table.column_values("installed")


def test_parts_stand_in_one_cell() -> None:
    # Worked by hand: 2.55 + 7.00 m.
    parts = (
        Part("drop at the outlet", 2_550, PartSort.VERTICAL),
        Part("leg", 7_000, PartSort.HORIZONTAL),
    )
    assert parts_text(parts, Units.METRIC) == "drop at the outlet 2.550; leg 7.000"
    # In feet of 304.8 mm, exactly, where the other lengths of the row are in feet.
    assert parts_text(parts, Units.US) == "drop at the outlet 8.366; leg 22.966"
    table = runs_table(design_of(office()), parts_of=lambda _, __: parts)
    assert table.column_values("parts")[0] == "drop at the outlet 2.550; leg 7.000"
    us = design_of(office(Settings(id="settings", units=Units.US)))
    table = runs_table(us, parts_of=lambda _, __: parts)
    assert table.column_values("parts")[0] == "drop at the outlet 8.366; leg 22.966"


def test_a_measured_length_is_shown() -> None:
    one = outlet(1, ports=1, state=State.EXISTING)
    tested = msgspec.structs.replace(
        one,
        ports=(
            msgspec.structs.replace(
                one.ports[0], test=entities.TesterRecord(passed=True, length_mm=51_000)
            ),
        ),
    )
    table = runs_table(design_of([*base(), tested]))
    assert table.column_values("measured") == (51_000,)
    assert table.column_values("tested") == ("passed",)
    assert table.column_values("state") == ("existing",)


def test_frames_count_ports_and_panels() -> None:
    # practice, worked by hand: 26 ports, with growth 33, two panels of 24.
    table = table_of(design_of(office()), "frames")
    values = {c.key: v for c, v in zip(table.columns, table.rows[0], strict=True)}
    assert (values["ports"], values["ports_grown"], values["panels_new"]) == (26, 33, 2)
    assert values["mean"] == 50_000
    assert values["cable"] == 26 * 50_000
    assert values["area"] == pytest.approx(114.0)


def test_spaces_compare_with_the_clients_list() -> None:
    # practice, worked by hand: 13 required, difference told.
    table = table_of(a_design(), "spaces")
    values = {c.key: v for c, v in zip(table.columns, table.rows[0], strict=True)}
    assert (values["required"], values["placed"], values["difference"]) == (13, 4, -9)


@pytest.mark.parametrize(
    ("left", "words"),
    [(61, "room for 61 more of this cable"), (0, "full"), (-8, "8 too many at 50 %")],
)
def test_places_left_in_words(left: int, words: str) -> None:
    fill = Fill(10, 442.0, 18_000.0, 0.02, 0.5, 0.25, left, 10, 0.02, 0, 0.02)
    assert room_text(fill) == words


def test_numbers_are_read_in_their_units() -> None:
    # 1 ft = 304.8 mm, 1 in2 = 645.16 mm2, 1 ft2 = 0.09290304 m2, exactly.
    assert number_of(60_950, ColumnKind.LENGTH, Units.METRIC) == pytest.approx(60.95)
    assert number_of(304.8, ColumnKind.LENGTH, Units.US) == pytest.approx(1.0)
    assert number_of(645.16, ColumnKind.SECTION, Units.US) == pytest.approx(1.0)
    assert number_of(0.09290304, ColumnKind.AREA, Units.US) == pytest.approx(1.0)
    assert number_of(12_345, ColumnKind.MONEY, Units.METRIC) == pytest.approx(123.45)
    assert text_of(60_950, ColumnKind.LENGTH, Units.METRIC) == "61.0"
    assert text_of(60_949, ColumnKind.LENGTH, Units.METRIC) == "60.9"
    assert text_of(-50, ColumnKind.LENGTH, Units.METRIC) == "-0.1"
    assert text_of(0.128, ColumnKind.RATIO, Units.METRIC) == "12.8"
    assert text_of(None, ColumnKind.COUNT, Units.METRIC) == ""
    assert text_of("=1+1", ColumnKind.TEXT, Units.METRIC) == "=1+1"
    assert Column("x", "Installed", ColumnKind.LENGTH).heading(Units.US) == "Installed, ft"


def test_takeoff_parts_and_order_agree() -> None:
    """One number, one value: each item of the order is the sum of its lines."""
    basket = entities.Pathway(
        id="pathway-00000001",
        floor="floor-00000001",
        kind=PathwayKind.BASKET,
        vertices=((0, 0, 3_000), (40_000, 0, 3_000)),
        width_mm=300.0,
        depth_mm=60.0,
    )
    design = design_of([*office(), basket])
    tables: dict[str, Table] = {t.key: t for t in takeoff_tables(design, take_off(design))}
    order = tables["bill"]
    assert next(iter(tables)) == "bill"
    assert list(tables)[-1] == "assumptions"
    lines: dict[str, int] = {}
    for key, table in tables.items():
        if key in {"bill", "boxes", "backbone_cable"} or "no" not in table.column_of:
            continue
        for number, pieces, length in zip(
            table.column_values("no"),
            table.column_values("pieces"),
            table.column_values("length"),
            strict=True,
        ):
            # Metres beside whole lengths are measured, not billed: the basket, and twelve stubs
            # from 0.45 m to 0.15 over the ceiling of 2.70.
            if number == "":
                assert length in (40_000, 12 * 2_400)
                continue
            lines[number] = lines.get(number, 0) + (pieces or 0) + (length or 0)  # type: ignore[index, arg-type, operator]
    ordered = {
        row[0]: (row[2] or 0) + (row[3] or 0)  # type: ignore[operator]
        for row in order.rows
        if row[5] not in {"Boxes", "Backbone"}
    }
    assert ordered == lines
    (boxes,) = [row for row in order.rows if row[5] == "Boxes"]
    assert boxes[2] == tables["boxes"].column_values("total")[0]


def test_feet_in_the_takeoff() -> None:
    design = design_of(office(Settings(id="settings", units=Units.US)))
    cable = takeoff_tables(design, take_off(design))[1]
    assert "Installed, ft" in cable.headings()
    words = [str(v) for t in takeoff_tables(design, take_off(design)) for r in t.rows for v in r]
    # 305 m are 1,000.7 ft and a cord of 2 m 6.6 ft, by 0.3048 m a foot.
    assert "Cat 6A U/UTP, box of 1000.7 ft" in words
    assert "Cord at the frame, 6.6 ft, Cat 6A unshielded" in words
    assert not any(re.search(r"\d m\b", w) for w in words)


def test_ten_thousand_runs_make_their_table_quickly() -> None:
    """Against a plain loop that only makes as many tuples of as many cells."""
    things = [*base(), *(outlet(i) for i in range(5_000))]
    design = design_of(things)
    started = time.perf_counter()
    table = runs_table(design)
    ours = time.perf_counter() - started
    started = time.perf_counter()
    plain = [tuple(str(i + k) for k in range(len(table.columns))) for i in range(10_000)]
    reference = time.perf_counter() - started
    assert len(table.rows) == len(plain) == 10_000
    print(f"runs table {ours * 1000:.0f} ms, plain tuples {reference * 1000:.0f} ms")
    assert ours < 10 * reference


def test_sleeves_are_told_in_words() -> None:
    # practice, worked by hand: 142 cables of 7.5 mm fill two of three sleeves of 103 mm.
    upper = entities.Floor(
        id="floor-00000002", building="building-00000001", name="1", level_mm=4_000
    )
    riser = entities.Riser(
        id="riser-00000001",
        number="R2",
        lower_floor="floor-00000001",
        upper_floor=upper.id,
        lower=(0, 0),
        upper=(0, 0),
        count=3,
    )
    area_mm2 = 142 * cable_area_mm2(od_mm=7.5)
    inside_mm2 = 3 * cable_area_mm2(od_mm=103.0)
    ratio = area_mm2 / inside_mm2
    fill = Fill(142, area_mm2, inside_mm2, ratio, 0.4, 0.4, 83, 142, ratio, 0, ratio)
    table = table_of(design_of([*base(), upper, riser], fills={riser.id: fill}), "risers")
    assert table.column_values("room") == ("2 of 3 sleeves; room for 83 more of this cable",)
    assert table.column_values("size") == ("3 × Ø 103",)
    assert table.column_values("length") == (4_000,)


def test_what_is_printed_and_where_runs_end_can_be_looked_for() -> None:
    made = outlet(1)
    place = PanelPort(frame=FRAME, panel="A", port=7)
    ports = (msgspec.structs.replace(made.ports[0], ends_at=place), *made.ports[1:])
    printed = msgspec.structs.replace(made, number_printed=True, ports=ports)
    design = design_of([*base(), printed, outlet(2)])
    assert table_of(design, "outlets").column_values("printed") == ("yes", "")
    ends = table_of(design, "runs").column_values("panel_port")
    name = design.project.frames[FRAME].name
    assert ends == (f"{name}-A07", "", "", "")
    frames = table_of(design, "frames")
    assert frames.column_values("ports_given")[0] == 1
    assert frames.column_values("ports_not_given")[0] == 3
