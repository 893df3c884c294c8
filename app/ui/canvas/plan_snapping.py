"""The lines of plans as something that catches the pointer, indexed in a worker."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from PySide6.QtCore import QObject, QTimer, Signal

from app.drawing.snap import SnapIndex
from app.editor.plan_catcher import PlanCatcher
from app.editor.snapping import PlanSnapper
from app.ui.canvas.plan_scene import PlanScene, SceneSheet

INDEXES_KEPT = 8
AFTER_MS = 300
"""Indexes are built when the plans have been painted: building one holds the interpreter."""


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
        self._closed = False
        self._built.connect(self._hand_out)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(AFTER_MS)
        self._later.timeout.connect(self._build_wanted)

    def show(self, floor_id: str, scene: PlanScene) -> None:
        """Catch on these plans, as soon as their indexes are built; nothing once closed."""
        if self._closed:
            return
        sheets = tuple(s for s in scene.sheets if s.plan.snap and s.plan.floor == floor_id)
        self._wanted = (floor_id, sheets)
        self._hand_out(None, floor_id)
        self._later.start()

    def _build_wanted(self) -> None:
        if self._wanted is not None:
            for sheet in self._wanted[1]:
                self._index(sheet)

    def close(self) -> None:
        """End the worker."""
        self._closed = True
        self._wanted = None
        self._later.stop()
        self._worker.shutdown(wait=True, cancel_futures=True)

    def _index(self, sheet: SceneSheet) -> Future[SnapIndex]:
        key = _key(sheet)
        known = self._kept.pop(key, None)
        is_new = known is None
        if known is None:
            known = self._worker.submit(_build, sheet)
        self._kept[key] = known
        if is_new:  # the callback may be called at once, and looks among those kept
            known.add_done_callback(self._teller())
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
            PlanCatcher(sheet.plan, sheet.drawing, future.result())
            for sheet in self._wanted[1]
            if (future := self._kept.get(_key(sheet))) is not None
            and future.done()
            and not future.cancelled()
        ]
        self.ready.emit(floor_id, snappers)


def _key(sheet: SceneSheet) -> Hashable:
    return sheet.sha256, sheet.plan.hidden_layers


def _build(sheet: SceneSheet) -> SnapIndex:
    index = SnapIndex(sheet.drawing, hidden_layers=sheet.plan.hidden_layers)
    index.build()
    return index
