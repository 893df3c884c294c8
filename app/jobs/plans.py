"""Plans brought in: read, scaled as well as the file tells, and laid under floors."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from msgspec.structs import replace

from app.drawing.plan_codec import encode_drawing
from app.drawing.plan_drawing import PlanDrawing
from app.drawing.primitives import Bounds
from app.geometry.similarity import to_mm
from app.jobs.progress_parts import Part
from app.jobs.starting import new_project
from app.model.entities import Floor, Plan
from app.model.ids import Source, new_id, random_characters
from app.model.project import adding
from app.model.vocabulary import ScaledBy, Units
from app.plans.byte_stream import read_bytes
from app.plans.imported import ImportedPlan, PlanImportError
from app.plans.read_plan import read_plan
from app.plans.units import HEADER_SAYS, MM_PER_UNIT, PLAN_SIZE_M, UNITS_IN_WORDS, plain
from app.progress import Progress, Silent
from app.standards import RuleSet
from app.storage import bounds
from app.storage.packed import PackedSource, pack_source, sha256_of
from app.storage.project_file import SavedProject

_NAME_MOST = 200
SAME_PLACE_SHARE = 0.5
"""Two plans whose extents overlap by more than this lie in one set of axes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadyPlan:
    """A plan that was read, with its bytes as they will be kept."""

    imported: ImportedPlan
    source: PackedSource
    drawing: bytes
    drawing_sha256: str


def ready_plan(path: Path, *, progress: Progress | None = None) -> ReadyPlan:
    """Read a plan and pack it, in any thread. Raises PlanImportError, and Cancelled."""
    watch = Silent() if progress is None else progress
    original = read_bytes(path, name=path.name, progress=Silent())
    imported = read_plan(original, name=path.name, progress=Part(watch, 0.0, 0.9))
    watch.report(0.9, f"Packing {path.name}")
    drawing = encode_drawing(imported.drawing)
    watch.check()
    source = pack_source(original)
    if max(len(drawing), len(source.data)) > bounds.LARGEST_PLAN_BYTES:
        raise PlanImportError(
            f"“{path.name}” holds more than a project file can keep of one plan "
            f"({bounds.LARGEST_PLAN_BYTES / 2**20:,.0f} MiB); save it with fewer layers."
        )
    return ReadyPlan(
        imported=imported,
        source=source,
        drawing=drawing,
        drawing_sha256=sha256_of(drawing),
    )


def plan_of(
    ready: ReadyPlan,
    *,
    floor: str,
    plan_id: str,
    unit: str | None = None,
    beside: Plan | None = None,
    beside_extent: Bounds | None = None,
) -> Plan:
    """The plan as a thing of a project, its lower left corner in the site's zero.

    `unit` overrules what the file says. Where it was drawn in the axes of another plan (`beside`,
    with its extent in mm in the site's axes), it is laid over that one.
    """
    imported = ready.imported
    mm_per_unit, scaled_by, note = _scale(imported, unit)
    plan = Plan(
        id=plan_id,
        floor=floor,
        name=Path(imported.source_name).stem[:_NAME_MOST],
        source_name=imported.source_name[-_NAME_MOST:],
        source_sha256=ready.source.sha256,
        drawing_sha256=ready.drawing_sha256,
        mm_per_unit=mm_per_unit,
        scaled_by=scaled_by,
        scale_note=note,
        hidden_layers=hidden_by_file(imported.drawing),
    )
    if beside is not None and beside_extent is not None:
        laid = replace(plan, x_mm=beside.x_mm, y_mm=beside.y_mm)
        extent = extent_of(laid, imported.drawing)
        if extent is not None and _overlap_share(extent, beside_extent) > SAME_PLACE_SHARE:
            return laid
    extent = extent_of(plan, imported.drawing)
    if extent is None:
        return plan
    return replace(plan, x_mm=to_mm(-extent[0]), y_mm=to_mm(-extent[1]))


def hidden_by_file(drawing: PlanDrawing) -> tuple[str, ...]:
    """The layers that the file itself hides; the user may show them."""
    return tuple(sorted(layer.name for layer in drawing.layers if not layer.is_visible))


def extent_of(plan: Plan, drawing: PlanDrawing) -> Bounds | None:
    """Where an unturned plan lies, in mm in the site's axes."""
    bounds = drawing.bounds
    if bounds is None:
        return None
    (u, v), mm = drawing.origin, plan.mm_per_unit
    x0, y0, x1, y1 = bounds
    return (
        (x0 + u) * mm + plan.x_mm,
        (y0 + v) * mm + plan.y_mm,
        (x1 + u) * mm + plan.x_mm,
        (y1 + v) * mm + plan.y_mm,
    )


def import_plans(
    paths: Sequence[Path],
    *,
    floor_height_mm: int | None = None,
    unit: str | None = None,
    trust_unit: bool = False,
    name: str = "",
    rules: RuleSet | None = None,
    source: Source = random_characters,
    progress: Progress | None = None,
) -> SavedProject:
    """A new project with a floor for each plan, the first at level 0; notes say what was lost.

    A `unit` that makes a plan of no likely size, and is not what the plan says itself, is taken
    only with `trust_unit`. Raises PlanImportError for that, and for the first plan that cannot
    be read, and Cancelled.
    """
    watch = Silent() if progress is None else progress
    ready = [
        ready_plan(path, progress=Part(watch, at / len(paths), (at + 1) / len(paths)))
        for at, path in enumerate(paths)
    ]
    if unit is not None and not trust_unit:
        for one in ready:
            _check_unit(one.imported, unit)
    units = Units.METRIC
    if all(_scale(r.imported, unit)[0] in _US_UNITS_MM for r in ready):
        units = Units.US
    project = new_project(
        name=name,
        floors=len(ready),
        floor_height_mm=floor_height_mm,
        units=units,
        rules=rules,
        source=source,
    )
    floors = sorted(project.table(Floor).values(), key=lambda f: f.level_mm)
    plans = _laid_plans(ready, floors, unit=unit, source=source)
    project = project.apply(adding("Import plans", plans))
    return SavedProject(
        project=project,
        plan_sources={r.source.sha256: r.source for r in ready},
        plan_drawings={r.drawing_sha256: r.drawing for r in ready},
        notes=tuple(note for r, p in zip(ready, plans, strict=True) for note in notes_of(r, p)),
    )


def notes_of(ready: ReadyPlan, plan: Plan) -> list[str]:
    """What to know of a plan that was read: its scale, and what was lost."""
    name = ready.imported.source_name
    notes = [f"{name}: {plan.scale_note}"]
    notes += (f"{name}: {note.text}" for note in ready.imported.report)
    return notes


_US_UNITS_MM = frozenset({MM_PER_UNIT["in"], MM_PER_UNIT["ft"]})
_UNIT_NAMES = {
    "mm": "millimetre",
    "cm": "centimetre",
    "dm": "decimetre",
    "m": "metre",
    "km": "kilometre",
    "in": "inch",
    "ft": "foot",
    "yd": "yard",
}


def _laid_plans(
    ready: Sequence[ReadyPlan], floors: Sequence[Floor], *, unit: str | None, source: Source
) -> list[Plan]:
    plans: list[Plan] = []
    first_extent: Bounds | None = None
    for one, floor in zip(ready, floors, strict=True):
        plan = plan_of(
            one,
            floor=floor.id,
            plan_id=new_id("plan", {p.id for p in plans}, source),
            unit=unit,
            beside=plans[0] if plans else None,
            beside_extent=first_extent,
        )
        if not plans:
            first_extent = extent_of(plan, one.imported.drawing)
        plans.append(plan)
    return plans


def _scale(imported: ImportedPlan, unit: str | None) -> tuple[float, ScaledBy, str]:
    """Millimetres a unit, on whose authority, and that in words."""
    if unit is not None:
        said = _said_otherwise(imported, unit)
        note = f"One unit is one {_UNIT_NAMES[unit]}, as told"
        if said is not None:
            across_m, up_m = _size_m(imported, unit)
            note += f", though {said}. Extent {plain(across_m)} × {plain(up_m)} m"
        return MM_PER_UNIT[unit], ScaledBy.USER_UNIT, f"{note}."
    likely = imported.proposals[0]
    called = _UNIT_NAMES[likely.unit]
    if imported.is_unscaled:
        return (
            likely.mm_per_unit,
            ScaledBy.NOT_SCALED,
            f"Not scaled: the file does not say its unit; one {called} is a guess. "
            "Calibrate it by a known distance.",
        )
    by_header = _header_unit(imported) == likely.unit
    return (
        likely.mm_per_unit,
        ScaledBy.FILE_HEADER if by_header else ScaledBy.EVIDENCE,
        f"One unit is one {called}. {' '.join(likely.reasons)}".strip(),
    )


def _check_unit(imported: ImportedPlan, unit: str) -> None:
    """Raise PlanImportError for a unit that gives no likely size and that the file does not say."""
    across_m, up_m = _size_m(imported, unit)
    least_m, most_m = PLAN_SIZE_M
    if least_m <= max(across_m, up_m) <= most_m or _header_unit(imported) == unit:
        return
    said = _said_otherwise(imported, unit) or "no plan of a floor has that size"
    raise PlanImportError(
        f"{imported.source_name} would be {plain(across_m)} × {plain(up_m)} m; {said}. "
        "Add --trust-unit to go on."
    )


def _size_m(imported: ImportedPlan, unit: str) -> tuple[float, float]:
    x0, y0, x1, y1 = imported.drawing.bounds or (0.0, 0.0, 0.0, 0.0)
    m_per_unit = MM_PER_UNIT[unit] / 1000
    return (x1 - x0) * m_per_unit, (y1 - y0) * m_per_unit


def _header_unit(imported: ImportedPlan) -> str | None:
    """The unit that the file's header names."""
    return next(
        (p.unit for p in imported.proposals if any(r.startswith(HEADER_SAYS) for r in p.reasons)),
        None,
    )


def _said_otherwise(imported: ImportedPlan, unit: str) -> str | None:
    """What of the file contradicts a unit, as a clause; None where nothing does."""
    header, likely = _header_unit(imported), imported.proposals[0].unit
    if header is not None and header != unit:
        return f"the file's header says {UNITS_IN_WORDS[header]}"
    if header is None and not imported.is_unscaled and likely != unit:
        return f"what is drawn says {UNITS_IN_WORDS[likely]}"
    return None


def _overlap_share(one: Bounds, other: Bounds) -> float:
    """The area two extents share, as a share of the lesser's."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    up = min(one[3], other[3]) - max(one[1], other[1])
    areas = [(b[2] - b[0]) * (b[3] - b[1]) for b in (one, other)]
    if across <= 0 or up <= 0 or min(areas) <= 0:
        return 0.0
    return across * up / min(areas)
