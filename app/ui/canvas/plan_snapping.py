"""The lines of plans as something that catches the pointer, indexed in a worker."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from PySide6.QtCore import QObject, QPointF, Signal
from PySide6.QtGui import QTransform

from app.drawing.snap import SnapIndex
from app.editor.snapping import PlanSnapper, Snap, SnapKind
from app.ui.canvas.plan_scene import PlanScene, SceneSheet

INDEXES_KEPT = 8

_KINDS: dict[str, tuple[SnapKind, str]] = {
    "end": (SnapKind.PLAN_END, "end of a plan line"),
    "crossing": (SnapKind.PLAN_CROSSING, "crossing on the plan"),
    "middle": (SnapKind.PLAN_MIDDLE, "middle of a plan line"),
    "center": (SnapKind.PLAN_CENTRE, "centre on the plan"),
}


class PlanLines:
    """One plan's index, asked and answering in the site's axes."""

    def __init__(self, index: SnapIndex, to_site: QTransform, mm_per_unit: float) -> None:
        self._index = index
        self._to_site = to_site
        self._to_plan = to_site.inverted()[0]
        self._mm_per_unit = mm_per_unit

    def nearest_point(self, at: tuple[float, float], radius_mm: float) -> Snap | None:
        """An end, crossing, middle or centre of plan lines."""
        local = _mapped(self._to_plan, at)
        caught = self._index.nearest_snap(local, radius_mm / self._mm_per_unit)
        if caught is None:
            return None
        kind, name = _KINDS[caught.kind]
        x, y = _mapped(self._to_site, caught.point)
        return Snap(kind=kind, name=name, x_mm=round(x), y_mm=round(y))

    def nearest_line(self, at: tuple[float, float], radius_mm: float) -> Snap | None:
        """The foot on the nearest line, and the line, so that an outlet turns to its wall."""
        local = _mapped(self._to_plan, at)
        line = self._index.nearest_line(local, radius_mm / self._mm_per_unit)
        if line is None:
            return None
        start, end = _mapped(self._to_site, line[0]), _mapped(self._to_site, line[1])
        along = (end[0] - start[0], end[1] - start[1])
        square = along[0] ** 2 + along[1] ** 2
        if square == 0:
            return None
        share = ((at[0] - start[0]) * along[0] + (at[1] - start[1]) * along[1]) / square
        share = min(1.0, max(0.0, share))
        return Snap(
            kind=SnapKind.PLAN_LINE,
            name="plan line",
            x_mm=round(start[0] + share * along[0]),
            y_mm=round(start[1] + share * along[1]),
            line=(start, end),
        )


class PlanSnapping(QObject):
    """Builds the indexes of the plans in sight, and hands them out when they are ready."""

    ready = Signal(str, object)
    """Floor id and its snappers."""

    _built = Signal(object, str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = ThreadPoolExecutor(max_workers=1, thread_name_prefix="plan index")
        self._kept: dict[Hashable, Future[SnapIndex]] = {}
        self._wanted: tuple[str, tuple[SceneSheet, ...]] | None = None
        self._built.connect(self._hand_out)

    def show(self, floor_id: str, scene: PlanScene) -> None:
        """Catch on these plans, as soon as their indexes are built."""
        sheets = tuple(s for s in scene.sheets if s.snaps)
        self._wanted = (floor_id, sheets)
        for sheet in sheets:
            self._index(sheet)
        self._hand_out(None, floor_id)

    def close(self) -> None:
        """End the worker."""
        self._wanted = None
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _index(self, sheet: SceneSheet) -> Future[SnapIndex]:
        key = (sheet.sha256, sheet.hidden)
        known = self._kept.pop(key, None)
        if known is None:
            known = self._worker.submit(_build, sheet)
            known.add_done_callback(self._teller())
        self._kept[key] = known
        while len(self._kept) > INDEXES_KEPT:
            del self._kept[next(iter(self._kept))]
        return known

    def _teller(self) -> Callable[[Future[SnapIndex]], None]:
        floor_id = "" if self._wanted is None else self._wanted[0]

        def tell(future: Future[SnapIndex]) -> None:
            try:
                self._built.emit(future, floor_id)
            except RuntimeError:  # the window has gone meanwhile
                return

        return tell

    def _hand_out(self, _future: object, floor_id: str) -> None:
        if self._wanted is None or self._wanted[0] != floor_id:
            return
        snappers: Sequence[PlanSnapper] = [
            PlanLines(future.result(), sheet.to_site, sheet.mm_per_unit)
            for sheet in self._wanted[1]
            if (future := self._index(sheet)).done() and not future.cancelled()
        ]
        self.ready.emit(floor_id, snappers)


def _mapped(transform: QTransform, at: tuple[float, float]) -> tuple[float, float]:
    point = transform.map(QPointF(*at))
    return point.x(), point.y()


def _build(sheet: SceneSheet) -> SnapIndex:
    index = SnapIndex(sheet.drawing, hidden_layers=sheet.hidden)
    index.build()
    return index
