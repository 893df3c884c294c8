"""What the window's tables and bars cost when one outlet of 5,000 is moved.

A screen frame of 16.7 ms is the reference for the window as a whole; the tables by
themselves are held to one millisecond, printed, and fail only beyond twice.
"""

import time

import pytest
from msgspec.structs import replace
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.editor.document import Document
from app.model.project import changing
from app.standards import load_rules
from app.ui import look
from app.ui.session import Session
from app.ui.tables.drawer import Drawer
from tests.benchmarks.large_building import large_building

TABLE_MS = 1.0
ROUNDS = 15


@pytest.mark.benchmark
def test_sorted_tables_follow_a_moved_outlet(qtbot: QtBot, qapp: QApplication) -> None:
    look.dress(qapp, scheme="light", scale=1.0, screen_height=800)
    session = Session(
        Document(large_building(floors=10, outlets=5_000, frames=25)), rules=load_rules()
    )
    drawer = Drawer(session)
    qtbot.addWidget(drawer)
    drawer.resize(900, 400)
    drawer.show()
    costs: list[str] = []
    worst = 0.0
    for key, sorted_by in (("outlets", "longest"), ("runs", "installed"), ("pathways", "fill")):
        view = drawer.open_table(key)
        view.sort_by(sorted_by, descending=True)
        spent = [_one_move(session, drawer, n) for n in range(ROUNDS)]
        best = min(spent) * 1e3
        costs.append(f"{key} {best:.2f} ms")
        worst = max(worst, best)
        rows = [view.model.row_id(i) for i in range(view.model.rowCount())]
        view.model.sort(*_sorting(view))
        assert rows == [view.model.row_id(i) for i in range(view.model.rowCount())]
    print("tables after one moved outlet: " + ", ".join(costs))
    assert worst < 2 * TABLE_MS
    session.close()


def _sorting(view: object) -> tuple[int, object]:
    from PySide6.QtCore import Qt

    column, descending = view.model.sorted_by  # type: ignore[attr-defined]
    order = Qt.SortOrder.DescendingOrder if descending else Qt.SortOrder.AscendingOrder
    return column, order


def _one_move(session: Session, drawer: Drawer, n: int) -> float:
    """Seconds that the drawer takes to follow one moved outlet."""
    outlets = list(session.project.outlets.values())
    outlet = outlets[(n * 331) % len(outlets)]
    moved = replace(outlet, x_mm=outlet.x_mm + 137 + n)
    events: list[object] = []
    end = session.document.subscribe(events.append)
    session.changed.disconnect(drawer._document_changed)
    session.document.commit(changing("Move", [(outlet, moved)]))
    end()
    started = time.perf_counter()
    drawer._document_changed(events[0])  # type: ignore[arg-type]
    spent = time.perf_counter() - started
    session.changed.connect(drawer._document_changed)
    return spent
