"""What differs between a kept state and now, in words and in sums."""

from dataclasses import replace as with_fields

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.jobs import read_project
from app.model.entities import Outlet, RestorePoint
from app.model.project import adding, changing, removing
from app.model.vocabulary import State, Units
from app.resource_files import sample_path
from app.sheets.differences import Sum, counted_words, differences, plural, sum_cells
from app.sheets.table import ColumnKind


@pytest.fixture(scope="module")
def then():
    return read_project(sample_path("small-office.drawcord")).design


def after(design, *patches):
    project = design.project
    for patch in patches:
        project = project.apply(patch)
    return evaluate(project, rules=design.rules)


def sums(found):
    return {s.what: (s.then, s.now) for s in found.sums}


def test_nothing_differs_from_itself_and_points_are_no_difference(then):
    point = RestorePoint(id="restore-point-00000001", name="now", state_sha256="0" * 64)
    found = differences(then, after(then, adding("Make", [point])))
    assert not found.any
    assert counted_words(found) == "Nothing is different."
    assert found.rooms.rows == ()
    assert all(s.then == s.now for s in found.sums)


def test_what_was_added_removed_and_changed_is_told_by_its_number(then):
    gone, moved, *_ = then.project.outlets.values()
    new = replace(
        moved,
        id="outlet-00000zzz",
        number="new one",
        ports=tuple(replace(p, id=f"port-0000zzz{i}") for i, p in enumerate(moved.ports)),
    )
    other = replace(moved, x_mm=moved.x_mm + 300, y_mm=moved.y_mm + 400, state=State.EXISTING)
    now = after(
        then,
        removing("Remove", [gone]),
        changing("Move", [(moved, other)]),
        adding("Add", [new]),
    )
    found = differences(then, now)
    told = {row[2]: row for row in found.things.rows}
    assert told["new one"][:2] == ("outlet", "added")
    assert told[gone.number][:2] == ("outlet", "removed")
    assert told[moved.number][1] == "changed"
    assert told[moved.number][5] == "moved 0.50 m; state new → existing"
    assert counted_words(found) == "1 outlet added; 1 outlet removed; 1 outlet changed."
    assert set(found.things.ids) == {new.id, gone.id, moved.id}
    runs = len(then.runs)
    assert sums(found)["Outlets"] == (len(then.project.outlets),) * 2
    assert sums(found)["Runs"] == (runs, runs - len(gone.ports) + len(new.ports))


def test_metres_by_room_add_up_to_the_difference_of_all(then):
    gone = next(o for o in then.project.outlets.values() if then.space_of[o.id] is not None)
    found = differences(then, after(then, removing("Remove", [gone])))
    column = found.rooms.column_of
    by_room = sum(r[column["cable_now"]] - r[column["cable_then"]] for r in found.rooms.rows)
    before, now = sums(found)["Cable installed"]
    assert by_room == now - before < 0
    assert found.rooms.ids == (then.space_of[gone.id],)


def test_settings_and_references_are_told_in_words(then):
    project = then.project
    outlet = next(iter(project.outlets.values()))
    kinds = [k for k in project.outlet_kinds if k != outlet.kind]
    settings = replace(project.settings, allowance_permille=80, units=Units.US)
    port = replace(outlet.ports[0], cable_number="A-17")
    now = after(
        then,
        changing("Settings", [(project.settings, settings)]),
        changing(
            "Kind", [(outlet, replace(outlet, kind=kinds[0], ports=(port, *outlet.ports[1:])))]
        ),
    )
    told = {row[0]: row[5] for row in differences(then, now).things.rows}
    was, is_now = (project.outlet_kinds[k].name for k in (outlet.kind, kinds[0]))
    assert f"kind {was} → {is_now}" in told["outlet"]
    assert "cable number" in told["outlet"]
    assert "→ A-17" in told["outlet"]
    assert "allowance 5 % → 8 %" in told["settings"]
    assert "units metric → us" in told["settings"]


def test_sums_have_a_sign_and_their_unit():
    longer = Sum("Cable", 1_000, 3_500, ColumnKind.LENGTH)
    assert sum_cells(longer, Units.METRIC) == ("1.0 m", "3.5 m", "+2.5 m")
    assert sum_cells(Sum("Runs", 4, 1), Units.METRIC) == ("4", "1", "−3")
    assert sum_cells(Sum("Runs", 4, 4), Units.METRIC)[2] == "same"


@pytest.mark.parametrize(("one", "many"), [("outlet", "outlets"), ("pull box", "pull boxes")])
def test_plurals(one, many):
    assert plural(one) == many


def test_outlets_come_first_and_every_row_is_of_a_thing(then):
    floor = next(iter(then.project.floors.values()))
    outlet = next(iter(then.project.outlets.values()))
    now = after(
        then,
        changing("Floor", [(floor, replace(floor, note="by the quay"))]),
        changing("Note", [(outlet, replace(outlet, note="seen"))]),
    )
    found = differences(then, now)
    assert isinstance(now.project.get(found.things.ids[0]), Outlet)
    assert [row[0] for row in found.things.rows] == ["outlet", "floor"]
    assert with_fields(found, sums=()).any
