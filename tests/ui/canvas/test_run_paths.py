"""The ways of runs on one floor: split by state, each stretch drawn once."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest

from app.design import evaluate
from app.model.entities import Outlet
from app.model.project import Project
from app.routing.results import RouteLine, RunStatus
from app.ui.canvas.floor_painter import FloorPainter
from app.ui.canvas.floor_picture import FloorPicture
from app.ui.canvas.run_painter import RunPaths, _once
from app.ui.canvas.runs_shown import chosen_runs
from app.ui.canvas.signs import run_pen
from app.ui.palette import DARK, LIGHT, Palette
from tests.ui.canvas.building import GROUND, UPPER, outlet, small_office
from tests.ui.canvas.conftest import MakeView
from tests.ui.canvas.test_tools_on_canvas import drag


def design(statuses: list[int]) -> Any:
    project = small_office()
    ports = [(p.id, o.id) for o in project.outlets.values() for p in o.ports]
    status = np.array((statuses + [0] * len(ports))[: len(ports)], dtype=np.int8)
    return SimpleNamespace(
        runs=SimpleNamespace(
            row_of={p: i for i, (p, _) in enumerate(ports)},
            port_ids=tuple(p for p, _ in ports),
            outlet_ids=tuple(o for _, o in ports),
            status=status,
            frame_ids=("frame-00000001",),
            frame_index=np.where(status == RunStatus.NO_ROUTE, -1, 0),
        ),
        space_of={o: "space-00000000" for _, o in ports[:5]},
    )


def along_the_basket(_design: Any, _port: str) -> tuple[RouteLine, ...]:
    return (
        RouteLine(GROUND, ((0, 0, 0), (5_000, 0, 0)), "pathway-00000001"),
        RouteLine(None, ((5_000, 0, 0), (5_000, 0, 3_600)), "riser-00000001"),
        RouteLine(UPPER, ((5_000, 0, 3_600), (0, 0, 3_600)), None),
    )


def elements(paths: RunPaths) -> dict[int, int]:
    return {status: path.elementCount() for status, path in paths.paths()}


def test_a_stretch_that_many_runs_share_is_drawn_once() -> None:
    project = small_office()
    paths = RunPaths(GROUND)
    paths.add(design([]), list(project.outlets.values()), None, along_the_basket)
    assert elements(paths) == {int(RunStatus.WITHIN): 2}


def test_only_this_floor_and_only_the_named_ports() -> None:
    project = small_office()
    port = project.outlets["outlet-00000001"].ports[0].id
    paths = RunPaths(UPPER)
    paths.add(design([]), list(project.outlets.values()), {port}, along_the_basket)
    assert paths.ports == {port}
    assert elements(paths) == {int(RunStatus.WITHIN): 2}


def test_no_route_is_a_leg_to_nowhere_at_the_outlet() -> None:
    project = small_office()
    paths = RunPaths(GROUND)
    first = project.outlets["outlet-00000001"]
    paths.add(design([int(RunStatus.NO_ROUTE)]), [first], None, along_the_basket)
    counted = elements(paths)
    assert counted[int(RunStatus.NO_ROUTE)] == 2
    assert counted[int(RunStatus.WITHIN)] == 2


@pytest.mark.parametrize("palette", [LIGHT, DARK])
def test_states_differ_in_width_and_dashes_too(palette: Palette) -> None:
    looks = {
        (run_pen(palette, int(s)).widthF(), tuple(run_pen(palette, int(s)).dashPattern()))
        for s in RunStatus
    }
    assert len(looks) == len(RunStatus)


@pytest.mark.parametrize(
    ("chosen", "outlets"),
    [
        (["outlet-00000001"], 1),
        (["frame-00000001"], 12),
        (["space-00000000"], 3),
        (["pathway-00000001"], 0),
    ],
)
def test_what_a_selection_means(chosen: list[str], outlets: int) -> None:
    found, ports = chosen_runs(small_office(), design([]), chosen)
    assert len(found) == outlets
    assert len(ports) >= outlets


def test_a_port_means_its_own_run() -> None:
    project = small_office()
    port = project.outlets["outlet-00000002"].ports[1].id
    found, ports = chosen_runs(project, design([]), [port])
    assert [o.id for o in found] == ["outlet-00000002"]
    assert ports == {port}


grid = st.integers(0, 12).map(float)
steps = st.lists(st.tuples(grid, grid, grid, st.booleans()), min_size=1, max_size=40)


@given(steps)
def test_joined_stretches_cover_the_same_ground(drawn: list[tuple[float, ...]]) -> None:
    """Source: shapely's union of the same lines."""
    pieces = np.array(
        [(a, c, b, c) if level else (c, a, c, b) for a, b, c, level in drawn], dtype=np.float64
    )
    joined = _once(pieces)
    before = shapely.union_all(shapely.linestrings(pieces.reshape(-1, 2, 2)))
    after = shapely.union_all(shapely.linestrings(joined.reshape(-1, 2, 2)))
    assert shapely.length(after) == pytest.approx(shapely.length(before))
    assert shapely.length(shapely.difference(before, after)) == pytest.approx(0)
    along = np.abs(joined[:, 2:] - joined[:, :2]).sum()
    assert along == pytest.approx(shapely.length(before))


def test_slanting_pieces_are_drawn_once() -> None:
    pieces = np.array([[0.0, 0.0, 3.0, 4.0], [3.0, 4.0, 0.0, 0.0], [0.0, 0.0, 1.0, 1.0]])
    assert len(_once(pieces)) == 2


def test_all_runs_of_a_floor_are_those_that_pass_through_it_too(qapp: object) -> None:
    """Every port is fixed to the frame above, and the upper floor has no outlet."""
    project = Project(
        replace(e, y_mm=6_500)
        if e.id == "frame-00000001"
        else replace(e, ports=tuple(replace(p, frame="frame-00000001") for p in e.ports))
        if isinstance(e, Outlet)
        else e
        for e in small_office().entities()
    )
    design = evaluate(project)
    assert RunStatus.NO_ROUTE not in design.runs.status.tolist()
    painter = FloorPainter(FloorPicture(project, design, UPPER), QFont())
    assert not painter.picture.outlets.ids
    while painter.gather_runs(5):
        pass
    every = painter._all_runs
    assert every is not None
    assert every.ports == set(design.runs.port_ids)
    assert elements(every)


def test_a_frame_in_hand_says_how_many_of_its_ways_are_drawn(make_view: MakeView) -> None:
    office = small_office()
    many = [outlet(100 + i, 1_000 + i * 200, 4_900) for i in range(90)]
    view = make_view(Project([*office.entities(), *many]))
    frame = office.frames["frame-00000002"]
    drag(view, (frame.x_mm, frame.y_mm), (5_000, 9_000), let_go=False)
    view.grab()
    floor = view._floor._floor
    assert floor is not None
    assert floor.ways_told == "ways of 80 of 102 outlets drawn"
    QTest.keyClick(view, Qt.Key.Key_Escape)
    view.grab()
    assert floor.ways_told == ""
