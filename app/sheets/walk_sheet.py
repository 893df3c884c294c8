"""Walk sheets: a floor on paper for the first evening, with blank cells to write in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from app.design.design import Design
from app.drawing.plan_drawing import PlanDrawing
from app.drawing.primitives import Bounds, Primitive
from app.model.entities import Floor, Outlet, Plan
from app.model.project import floors_from_below
from app.model.vocabulary import ScaledBy
from app.progress import Progress, Silent
from app.sheets.around_drawing import (
    caution_line,
    foot_drawing,
    foot_lines,
    match_line_drawing,
    not_scaled_drawing,
    nothing_drawn_yet,
)
from app.sheets.floor_on_paper import FloorOnPaper, floor_on_paper
from app.sheets.legend import COLUMN_MM, LegendItem, legend_drawing, legend_of, legend_size
from app.sheets.page import PAPERS, Page, frame_of
from app.sheets.plan_on_paper import PlanOnSite
from app.sheets.standing import standing_on
from app.sheets.title_block import WIDTH_MM, TitleBlock, sheet_frame, title_block
from app.sheets.viewport import Viewport, turned
from app.sheets.walk_layout import (
    GAP_MM,
    LEAST_LIST_MM,
    Layout,
    free_below,
    layouts,
    strip_of,
    viewport_of,
)
from app.sheets.walk_rows import Row, column_boxes, column_widths, fill_column, walk_rows
from app.sheets.words import SCALED_WORDS

TITLE = "Walk sheet"
FITS = None
CROWDED_SHARE = 0.03
"""Where more outlets' numbers than this share find no room, a larger scale is taken."""
_BLANK_MM = (-10_000.0, -6_000.0, 10_000.0, 6_000.0)
"""What a floor without anything is drawn as: room for a sketch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkWishes:
    """What a user wants of walk sheets. `denominator` None: the scale that fits. `date` is
    printed as it is given."""

    paper: str = "A3"
    denominator: int | None = FITS
    date: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Draft:
    """A page without its number."""

    width_mm: float
    height_mm: float
    title: str
    primitives: tuple[Primitive, ...]
    block: TitleBlock
    title_right: float
    title_bottom: float


def floors_in_order(design: Design) -> tuple[Floor, ...]:
    """All floors, building by building, from below."""
    project = design.project
    return tuple(f for b in project.buildings for f in floors_from_below(project, b))


def walk_sheets(
    design: Design,
    drawings: Mapping[str, PlanDrawing],
    wishes: WalkWishes,
    *,
    floors: Sequence[str] | None = None,
    progress: Progress | None = None,
) -> tuple[Page, ...]:
    """The sheets of these floors (None: of all). `drawings` are by hash; one that is missing
    leaves its floor without that plan. Raises Cancelled.
    """
    watch = Silent() if progress is None else progress
    chosen = [f for f in floors_in_order(design) if floors is None or f.id in floors]
    drafts: list[_Draft] = []
    for number, floor in enumerate(chosen):
        watch.check()
        watch.report(number / len(chosen), f"Drawing floor {floor.name}")
        drafts += _of_floor(design, floor, drawings, wishes, watch)
    count = len(drafts)
    return tuple(_finished(draft, number, count) for number, draft in enumerate(drafts, start=1))


def _finished(draft: _Draft, number: int, count: int) -> Page:
    block = title_block(
        draft.block, right=draft.title_right, bottom=draft.title_bottom, number=number, count=count
    )
    return Page(
        width_mm=draft.width_mm,
        height_mm=draft.height_mm,
        group=draft.block.floor,
        title=f"{draft.title}, sheet {number}",
        primitives=(
            *draft.primitives,
            *sheet_frame(draft.width_mm, draft.height_mm),
            *block,
        ),
    )


# --- one floor ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Floor:
    """What the sheets of a floor are made of."""

    design: Design
    floor: Floor
    plans: tuple[PlanOnSite, ...]
    turn_deg: float
    legend: tuple[LegendItem, ...]
    cautions: str
    block: TitleBlock


def _of_floor(
    design: Design,
    floor: Floor,
    drawings: Mapping[str, PlanDrawing],
    wishes: WalkWishes,
    watch: Progress,
) -> list[_Draft]:
    project = design.project
    own = sorted((p for p in project.plans.values() if p.floor == floor.id), key=lambda p: p.order)
    shown = [p for p in own if p.visible and p.drawing_sha256 in drawings]
    whole = _Floor(
        design=design,
        floor=floor,
        plans=tuple(PlanOnSite(p, drawings[p.drawing_sha256]) for p in shown),
        turn_deg=_straight_deg(floor),
        legend=legend_of(design, floor.id),
        cautions=caution_line(project),
        block=_block(design, floor, own, wishes),
    )
    extent = _extent(whole) or _BLANK_MM
    layout, views, parts = _laid(whole, extent, wishes, watch)
    rows = walk_rows(design, floor.id)
    made, at = [], 0
    for tile, (view, part) in enumerate(zip(views, parts, strict=True)):
        draft, at = _plan_sheet(whole, layout, tile, view, part, rows, at)
        made.append(draft)
    has_legend = layout.strip.legend is not None or _legend_below(whole, layout, views[0])[0]
    legend = () if has_legend else whole.legend
    while at < len(rows) or legend:
        watch.check()
        draft, at = _list_sheet(whole, layout, rows, at, legend)
        made.append(draft)
        legend = ()
    return made


def _laid(
    whole: _Floor, extent: Bounds, wishes: WalkWishes, watch: Progress
) -> tuple[Layout, list[Viewport], list[FloorOnPaper]]:
    """The best layout at which the numbers find room, with what is drawn by it."""
    found: tuple[Layout, list[Viewport], list[FloorOnPaper]] | None = None
    for layout in layouts(
        extent,
        wishes.paper,
        legend_items=len(whole.legend),
        caution_lines=_foot_lines(whole.cautions, wishes.paper),
        denominator=wishes.denominator,
    ):
        views, parts = [], []
        for tile in range(layout.sheets):
            watch.check()
            view = viewport_of(layout, tile, turn_deg=whole.turn_deg)
            views.append(view)
            parts.append(floor_on_paper(whole.design, whole.floor.id, whole.plans, view))
        lost = sum(len(p.without_room) for p in parts)
        told = sum(len(p.told) for p in parts)
        if found is None or lost < sum(len(p.without_room) for p in found[2]):
            found = layout, views, parts
        if lost <= told * CROWDED_SHARE:
            break
    assert found is not None
    return found


def _plan_sheet(
    whole: _Floor,
    layout: Layout,
    tile: int,
    view: Viewport,
    part: FloorOnPaper,
    rows: Sequence[Row],
    at: int,
) -> tuple[_Draft, int]:
    made: list[Primitive] = [*part.primitives, *match_line_drawing(layout, tile, view)]
    if not whole.block.scaled:
        made += not_scaled_drawing(view)
    if not part.primitives:
        made += nothing_drawn_yet(view)
    legend = layout.strip.legend
    room = free_below(layout, view)
    if legend is None:
        legend, room = _legend_below(whole, layout, view)
    if room is not None and at < len(rows) and room[3] - room[1] >= LEAST_LIST_MM:
        made_rows, at = _list_in(room, rows, at)
        made += made_rows
    sheets = layout.sheets
    if legend is not None:
        made += legend_drawing(whole.legend, legend)
    text = f"{_said_of(part, pointed=legend is None)}{whole.cautions}"
    made += foot_drawing(text, width_mm=layout.width_mm, top=layout.strip.cautions_top)
    name = "Plan" if sheets == 1 else f"Plan, part {tile + 1} of {sheets}"
    block = replace(
        whole.block,
        title=TITLE if sheets == 1 else f"{TITLE}, part {tile + 1} of {sheets}",
        denominator=layout.denominator,
        turn_deg=whole.turn_deg,
        tiles=layout.tiles if sheets > 1 else (),
        tile=tile,
    )
    return _draft(layout, name, made, block), at


def _legend_below(
    whole: _Floor, layout: Layout, view: Viewport
) -> tuple[Bounds | None, Bounds | None]:
    """A place for a legend that is too high for the title block's side, and what is left for
    the list: the whole width under the drawing, else beside the title block and above that."""
    room = free_below(layout, view)
    if room is None or not whole.legend:
        return None, room
    x0, y0, x1, y1 = room
    count, foot = len(whole.legend), layout.strip.title_bottom
    _, tall = legend_size(count, width_mm=x1 - x0)
    if tall <= y1 - y0:
        return (x0, y0, x1, y0 + tall), (x0, y0 + tall + GAP_MM, x1, y1)
    beside = layout.strip.title_right - WIDTH_MM - GAP_MM
    _, tall = legend_size(count, width_mm=max(beside - x0, 1.0))
    if beside - x0 < COLUMN_MM or tall > y1 - foot:
        return None, room
    return (x0, foot, beside, foot + tall), (x0, foot + tall + GAP_MM, x1, y1)


def _said_of(part: FloorOnPaper, *, pointed: bool) -> str:
    """What must be looked up on another sheet; `pointed`: the legend too."""
    lost = len(part.without_room)
    numbers = "1 number" if lost == 1 else f"{lost} numbers"
    said = f"{numbers} found no room here: see the list. " if lost else ""
    if pointed:
        said += "The legend is on the first sheet of outlets by room. "
    return said


def _list_sheet(
    whole: _Floor, layout: Layout, rows: Sequence[Row], at: int, legend: Sequence[LegendItem]
) -> tuple[_Draft, int]:
    """A page of the list alone, with the legend that had no room beside the drawing."""
    width, height = layout.width_mm, layout.height_mm
    lines = len(foot_lines(whole.cautions, width_mm=width))
    strip = strip_of(width, height, len(legend), lines, over=True)
    x0, y0, x1, y1 = frame_of(width, height)
    room = (x0 + GAP_MM, y0 + strip.height_mm + GAP_MM, x1 - GAP_MM, y1 - GAP_MM)
    made, at = _list_in(room, rows, at)
    if legend and strip.legend is not None:
        made += legend_drawing(legend, strip.legend)
    made += foot_drawing(whole.cautions, width_mm=width, top=strip.cautions_top)
    block = replace(whole.block, title=f"{TITLE}, outlets by room")
    return _draft(replace(layout, strip=strip), "Outlets by room", made, block), at


def _draft(layout: Layout, name: str, primitives: Sequence[Primitive], block: TitleBlock) -> _Draft:
    return _Draft(
        width_mm=layout.width_mm,
        height_mm=layout.height_mm,
        title=name,
        primitives=tuple(primitives),
        block=block,
        title_right=layout.strip.title_right,
        title_bottom=layout.strip.title_bottom,
    )


def _list_in(room: Bounds, rows: Sequence[Row], at: int) -> tuple[list[Primitive], int]:
    made: list[Primitive] = []
    boxes = column_boxes(room)
    widths = column_widths(rows, boxes[0][2] - boxes[0][0])
    for box in boxes:
        if at >= len(rows):
            break
        more, at = fill_column(rows, at, box, widths)
        made += more
    return made, at


def _foot_lines(cautions: str, paper: str) -> int:
    """As many as the narrower way of the paper needs, and one for what else is said there."""
    return len(foot_lines(cautions, width_mm=PAPERS[paper][0])) + 1


def _straight_deg(floor: Floor) -> float:
    """How far a floor is turned so that its grid lies along the paper: 45° at most."""
    return -((floor.grid_angle_mdeg / 1_000 + 45.0) % 90.0 - 45.0)


def _extent(whole: _Floor) -> Bounds | None:
    """What the sheets must show, in the axes of the paper."""
    design, floor, turn = whole.design, whole.floor.id, whole.turn_deg
    boxes = [b for p in whole.plans if (b := p.bounds_mm(turn)) is not None]
    points = [turned(*p, turn) for p in _points_of(design, floor)]
    if points:
        us, vs = zip(*points, strict=True)
        boxes.append((min(us), min(vs), max(us), max(vs)))
    if not boxes:
        return None
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def _points_of(design: Design, floor_id: str) -> list[tuple[float, float]]:
    project = design.project
    outlets: list[Outlet] = [o for o in project.outlets.values() if o.floor == floor_id]
    points = [(float(o.x_mm), float(o.y_mm)) for o in outlets]
    points += [p for s in project.spaces.values() if s.floor == floor_id for p in s.outline]
    for pathway in project.pathways.values():
        if pathway.floor == floor_id:
            points += [(float(x), float(y)) for x, y, _ in pathway.vertices]
    points += [s.at_mm for s in standing_on(project, floor_id)]
    return points


def _block(design: Design, floor: Floor, plans: Sequence[Plan], wishes: WalkWishes) -> TitleBlock:
    project = design.project
    site, building = project.site, project.buildings[floor.building]
    return TitleBlock(
        project=site.name,
        client=site.client,
        building=building.name,
        floor=_floor_words(floor.name),
        title=TITLE,
        date=wishes.date,
        revision=site.revision,
        drawn_by=site.drawn_by,
        checked_by=site.checked_by,
        scaled_by=_how_scaled(plans),
        scaled=all(p.scaled_by is not ScaledBy.NOT_SCALED for p in plans),
        units=project.settings.units,
    )


def _floor_words(name: str) -> str:
    return name if name.lower().startswith(("floor", "level")) else f"Floor {name}"


def _how_scaled(plans: Sequence[Plan]) -> str:
    if not plans:
        return "No plan; drawn by its own measures."
    said = []
    for plan in plans:
        # The rest of the note is evidence; on paper its first sentence will do.
        note = f" ({plan.scale_note.split('. ')[0].rstrip('.')})" if plan.scale_note else ""
        said.append(f"{plan.name}: {SCALED_WORDS[plan.scaled_by]}{note}")
    return f"Scale of {'; '.join(said)}"
