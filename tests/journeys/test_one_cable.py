"""One cable, and a pipe is not a tray: drawn by hand at the window, then headless (`practice`).

Floor of 70 × 40 m. A basket from (0, 12) to (60, 12) at 3.00 m, a frame at (2, 15), an outlet of
two ports at (42, 5), 0.45 m high. By hand: wall drop 2.55, leg 7.00, basket 40.00, leg at the frame
3.00, down to the panels 1.80, dressing 0.80, slack 0.30 + 3.00, allowance 0.05 × 50.00 = 2.50:
60.95 m, 29.05 m left of 90; cut 61.55 without a pull head; both ports 121.90 installed and
123.10 cut; ceil(7.00 / 1.5) = 5 hooks for the leg. The frame's ladder follows the basket.
"""

from pathlib import Path

import openpyxl
import pytest
from PySide6.QtCore import Qt

from app.__main__ import main
from app.model.entities import Outlet
from app.model.vocabulary import PathwayKind
from app.routing.results import NoRoute, RunStatus
from app.ui.panel.run_view import RunView
from tests.journeys.conftest import Person
from tests.journeys.exact_hand import (
    CTRL,
    click_at,
    enter,
    pieces,
    put_away,
    rows_of,
    save_as,
    set_in_panel,
    set_option,
    set_setting,
)

BY_HAND_MM = [2_550, 7_000, 40_000, 3_000, 1_800, 800, 300, 3_000, 2_500]
INSTALLED_MM = 60_950


def undo(person: Person) -> None:
    person.press(Qt.Key.Key_Z, CTRL)


def line_from(person: Person, start: tuple[float, float], end: tuple[float, float]) -> str:
    """Draw a pathway of two points; gives its id."""
    before = set(person.workspace.session.project.pathways)
    click_at(person, *start)
    enter(person, f"x {end[0]:g} y {end[1]:g}")
    person.press(Qt.Key.Key_Return)
    (made,) = set(person.workspace.session.project.pathways) - before
    return made


def outlet_at(person: Person, x_m: float, y_m: float) -> Outlet:
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_O)
    click_at(person, x_m, y_m)
    put_away(person)
    outlet = list(person.workspace.session.project.outlets.values())[-1]
    assert (outlet.x_mm, outlet.y_mm) == (round(x_m * 1_000), round(y_m * 1_000))
    return outlet


def installed(person: Person, outlet: Outlet) -> list[int]:
    """The installed lengths of its runs, in mm."""
    runs = person.workspace.session.design.runs
    rows = [runs.row_of[p.id] for p in outlet.ports]
    assert all(runs.status[row] != RunStatus.NO_ROUTE for row in rows)
    return [int(runs.installed_mm[row]) for row in rows]


def shown(person: Person, outlet: Outlet) -> RunView:
    """The run as the panel tells it."""
    person.workspace.session.select([outlet.id])
    person.settle(120)
    (view,) = person.workspace.panel.findChildren(RunView)
    return view


def draw(person: Person) -> tuple[str, Outlet]:
    """The basket, the frame and the outlet; gives the basket's id and the outlet."""
    person.press(Qt.Key.Key_N, CTRL)
    person.settle(100)
    set_setting(person, "Lengths", "pull_head_mm", "0")
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_P)
    basket = line_from(person, (0, 12), (60, 12))
    put_away(person)
    person.press(Qt.Key.Key_F)
    click_at(person, 2, 15)
    outlet = outlet_at(person, 42, 5)
    project = person.workspace.session.project
    assert project.pathways[basket].vertices == ((0, 12_000, 3_000), (60_000, 12_000, 3_000))
    (frame,) = project.frames.values()
    assert (frame.x_mm, frame.y_mm, frame.ladder_height_mm) == (2_000, 15_000, None)
    return basket, outlet


def headless(path: Path, capsys: pytest.CaptureFixture[str]) -> list[dict[str, str]]:
    """The runs of a saved project, as the command line writes them."""
    capsys.readouterr()
    assert main(["runs", str(path), "--csv", "-"]) == 0
    return rows_of(capsys.readouterr().out)


def test_its_parts_and_the_same_headless(
    person: Person,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    _, outlet = draw(person)
    assert installed(person, outlet) == [INSTALLED_MM] * 2
    lines = shown(person, outlet).parts.lines
    total = next(i for i, line in enumerate(lines) if line.total)
    figures = [round(1_000 * float(line.figure.removesuffix(" m"))) for line in lines]
    assert sorted(figures[:total]) == sorted(BY_HAND_MM)
    assert lines[total].figure == "60.95 m"
    assert lines[-1].figure == "61.55 m"

    saved, book = tmp_path / "one cable.drawcord", tmp_path / "takeoff.xlsx"
    save_as(person, saved, monkeypatch)
    rows = headless(saved, capsys)
    assert len(rows) == 2
    for row in rows:
        assert row["installed_m"] == "60.950"
        assert row["margin_m"] == "29.050"
        assert row["cut_m"] == "61.550"
        assert row["status"] == "within"
    assert main(["takeoff", str(saved), "--out", str(book)]) == 0
    assert pieces(book)["Hook on a leg"] == 5
    heads, cable = list(openpyxl.load_workbook(book)["Cable"].iter_rows(values_only=True))[4:6]
    told = dict(zip(heads, cable, strict=True))
    assert (told["Runs"], told["Installed, m"], told["Cut, m"]) == (2, 121.9, 123.1)


def test_a_lower_basket_a_conduit_and_a_shaft(person: Person) -> None:
    basket, outlet = draw(person)
    session, canvas = person.workspace.session, person.workspace.canvas
    drawn = session.project
    session.select([basket])
    set_in_panel(person, "height_mm", "2.7")
    assert installed(person, outlet) == [60_350] * 2
    canvas.setFocus()
    undo(person)
    assert session.project == drawn
    assert installed(person, outlet) == [INSTALLED_MM] * 2

    # a conduit is entered at its ends and boxes only: 18 + 7 m to its end are too far
    session.select([basket])
    set_in_panel(person, "kind", "conduit")
    set_in_panel(person, "bore_mm", "27")
    conduit = session.project.pathways[basket]
    assert (conduit.kind, conduit.bore_mm) == (PathwayKind.CONDUIT, 27)
    runs = session.design.runs
    row = runs.row_of[outlet.ports[0].id]
    assert (runs.status[row], runs.reason[row]) == (RunStatus.NO_ROUTE, NoRoute.ONLY_PLACES)
    verdict = shown(person, outlet)._verdict.text()
    assert "ends and boxes" in verdict
    assert "25.0 m" in verdict
    assert "10.0 m" in verdict
    # a box at the outlet's foot, and one at the frame's: the conduit ends 2 m off it
    canvas.setFocus()
    person.press(Qt.Key.Key_X)
    click_at(person, 42, 12)
    click_at(person, 2, 12)
    put_away(person)
    assert installed(person, outlet) == [INSTALLED_MM] * 2
    while session.project != drawn:
        undo(person)

    # around a lift shaft to the west: more of leg, less of basket, the same 47 m
    person.press(Qt.Key.Key_A)
    set_option(person, "space_use", "lift shaft")
    click_at(person, 40, 7)
    enter(person, "4 by 3")
    put_away(person)
    (shaft,) = session.project.spaces.values()
    assert (shaft.outline[0], shaft.outline[2]) == ((40_000, 7_000), (44_000, 10_000))
    assert installed(person, outlet) == [INSTALLED_MM] * 2
    figures = {line.name: line.figure for line in shown(person, outlet).parts.lines}
    leg, along = (
        float(figures[name].removesuffix(" m")) for name in ("leg at the outlet", "basket B-01")
    )
    assert leg >= 7 + 2
    assert leg + along == 47


def test_a_second_basket_changes_nothing_before_a_drop_out(
    person: Person,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """By hand for an outlet at (24, 25) once they are joined: 2.95 up, leg 4.00, 13.00 along the
    upper basket, 0.40 down, 18.00 along the lower one, 3.00 + 1.80 + 0.80 at the frame, slack
    3.30, allowance 0.05 × 38.00 = 1.90: 49.15 m.
    """
    _, outlet = draw(person)
    session = person.workspace.session
    person.workspace.canvas.setFocus()
    person.press(Qt.Key.Key_P)
    set_option(person, "pathway.height_mm", "3.4")
    upper = line_from(person, (20, 2), (20, 30))
    put_away(person)
    heights = {z for _, _, z in session.project.pathways[upper].vertices}
    assert heights == {3_400}
    assert installed(person, outlet) == [INSTALLED_MM] * 2
    other = outlet_at(person, 24, 25)
    runs = session.design.runs
    assert runs.reason[runs.row_of[other.ports[0].id]] == NoRoute.NOT_JOINED
    person.press(Qt.Key.Key_D)
    click_at(person, 20, 12)
    put_away(person)
    assert len(session.project.drop_outs) == 1
    assert installed(person, outlet) == [INSTALLED_MM] * 2
    assert installed(person, other) == [49_150] * 2

    saved = tmp_path / "two baskets.drawcord"
    save_as(person, saved, monkeypatch)
    lengths = {row["outlet"]: row["installed_m"] for row in headless(saved, capsys)}
    assert lengths == {outlet.number: "60.950", other.number: "49.150"}
