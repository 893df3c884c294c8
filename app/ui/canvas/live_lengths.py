"""The words beside the pointer while something is moved: lengths before and after."""

from __future__ import annotations

from typing import Any

import numpy as np

from app.editor.document import Preview
from app.editor.measures import MM_PER_FOOT
from app.model.vocabulary import Units
from app.routing.results import RunStatus
from app.ui.canvas.signs import STATUS_ROLES

Line = tuple[str, str]
"""Text and the role of its colour."""


def tenths(mm: int, units: Units) -> str:
    """A length to a tenth of a metre or a whole foot, as in lists of runs."""
    if units is Units.US:
        return f"{float(mm / MM_PER_FOOT):.0f} ft"
    return f"{mm / 1000:.1f} m"


def live_lines(before: Any, preview: Preview | None) -> list[Line]:
    """What a preview would make of lengths; nothing where no run changes."""
    if preview is None or preview.change is None or before is None:
        return []
    after, change = preview.design, preview.change
    units = preview.project.settings.units
    ports = after.runs.port_ids if change.everything else change.ports
    known = [p for p in ports if p in before.runs.row_of and p in after.runs.row_of]
    rows = _changed_rows(before.runs, after.runs, known)
    if len(rows):
        outlets = {before.runs.outlet_ids[a] for a in rows[:, 0].tolist()}
        one = len(outlets) == 1
        first = (_one_outlet if one else _many)(before.runs, after.runs, rows, units)
        return [first, *_counts(before, after)]
    new = [p for p in ports if p not in before.runs.row_of and p in after.runs.row_of]
    return [_new_runs(after.runs, new, units)] if new else []


def _changed_rows(before: Any, after: Any, ports: list[str]) -> np.ndarray:
    """Pairs of rows (before, after) of those ports whose length or status differs."""
    if not ports:
        return np.zeros((0, 2), dtype=np.int64)
    pairs = np.array([(before.row_of[p], after.row_of[p]) for p in ports], dtype=np.int64)
    a, b = pairs[:, 0], pairs[:, 1]
    differs = (before.installed_mm[a] != after.installed_mm[b]) | (
        before.status[a] != after.status[b]
    )
    changed: np.ndarray = pairs[differs]
    return changed


def _new_runs(runs: Any, ports: list[str], units: Units) -> Line:
    """The longest run of what would be placed; of several outlets, that it is the longest."""
    rows = [runs.row_of[p] for p in ports]
    worst = max(rows, key=lambda row: (int(runs.status[row]), int(runs.installed_mm[row])))
    status = int(runs.status[worst])
    text = _length(runs, worst, units)
    if len({runs.outlet_ids[row] for row in rows}) > 1:
        alike = sum(int(runs.status[row]) == status for row in rows)
        said = {
            RunStatus.NO_ROUTE: f"{alike} without a route",
            RunStatus.OVER: f"{alike} over the limit, longest {text}",
        }
        text = f"{len(rows)} runs, {said.get(RunStatus(status), f'longest {text}')}"
    return text, _role(status)


def _role(status: int) -> str:
    return "ink" if status == RunStatus.WITHIN else f"{STATUS_ROLES[status]}_text"


def _one_outlet(before: Any, after: Any, rows: np.ndarray, units: Units) -> Line:
    """The longest of its runs: "61.0 m → 58.4 m"."""
    worst = rows[int(np.argmax(after.installed_mm[rows[:, 1]]))]
    status = int(after.status[worst[1]])
    text = f"{_length(before, worst[0], units)} → {_length(after, worst[1], units)}"
    if status == RunStatus.OVER:
        over = int(after.installed_mm[worst[1]] - after.limit_mm[worst[1]])
        text += f"   {tenths(over, units)} over"
    return text, _role(status)


def _length(runs: Any, row: int, units: Units) -> str:
    if int(runs.status[row]) == RunStatus.NO_ROUTE:
        return "no route"
    return tenths(int(runs.installed_mm[row]), units)


def _many(before: Any, after: Any, rows: np.ndarray, units: Units) -> Line:
    """How many runs, and the longest of them."""
    was = int(before.installed_mm[rows[:, 0]].max())
    will = int(after.installed_mm[rows[:, 1]].max())
    return f"{len(rows)} runs, longest {tenths(was, units)} → {tenths(will, units)}", "ink"


def _counts(before: Any, after: Any) -> list[Line]:
    """How many are over, near or without a route in the whole project, where that changes."""
    lines: list[Line] = []
    for words, field, role in (
        ("over the limit", "over", "over_text"),
        ("without a route", "no_route", "no_route_text"),
        ("near the limit", "near", "near_text"),
    ):
        was, will = getattr(before.summary, field), getattr(after.summary, field)
        if was != will:
            lines.append((f"{words} {was} → {will}", role))
    return lines
