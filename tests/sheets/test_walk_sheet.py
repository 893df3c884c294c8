"""Walk sheets as primitives: what stands on them, where, how large, and never over another."""

import itertools
import math

import numpy as np
import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.drawing.occupied import overlap
from app.drawing.primitives import Arc, FilledPath, Line, Polyline, Text, bounds
from app.exports.pdf_file import grey_of
from app.jobs.walking import read_to_draw
from app.model.entities import (
    Building,
    Floor,
    OldPlace,
    Penetration,
    Riser,
    ServingZone,
    Site,
    WalkedLength,
)
from app.model.project import Project, adding, changing, removing
from app.model.vocabulary import Crossed, ScaledBy, State, Units
from app.progress import Cancelled
from app.resource_files import sample_path
from app.sheets.legend import legend_of
from app.sheets.page import PAPERS, SCALES, frame_of
from app.sheets.paper_labels import PAD_MM
from app.sheets.plan_on_paper import LEAST_TEXT_MM, cut
from app.sheets.title_block import NOT_SCALED
from app.sheets.walk_layout import MOST_SHEETS, READABLE, layouts, viewport_of
from app.sheets.walk_rows import OutletRow, RoomRow, height_words, walk_rows
from app.sheets.walk_sheet import WalkWishes, walk_sheets
from app.sheets.zones_on_paper import zone_lines

LABELS = ("outlet labels", "space labels", "place labels", "pathway labels", "zone labels")


@pytest.fixture(scope="module")
def terminal():
    read, drawings = read_to_draw(sample_path("ferry-terminal.drawcord"))
    return read.design, drawings


@pytest.fixture(scope="module")
def office():
    read, drawings = read_to_draw(sample_path("small-office.drawcord"))
    return read.design, drawings


def sheets(shown, paper="A3", **wishes):
    return walk_sheets(*shown, WalkWishes(paper=paper, date="2026-11-25", **wishes))


def texts(page, *layers):
    return [p for p in page.primitives if isinstance(p, Text) and (not layers or p.layer in layers)]


def words(page, *layers):
    return [t.text for t in texts(page, *layers)]


def label_grounds(page):
    """The white boxes under labels: what each of them has taken."""
    return [
        bounds((p,)) for p in page.primitives if isinstance(p, FilledPath) and p.layer in LABELS
    ]


def edited(shown, *patches):
    design, drawings = shown
    project = design.project
    for patch in patches:
        project = project.apply(patch)
    return evaluate(project, rules=design.rules), drawings


def replacing(things, **fields):
    return changing("Change", [(t, replace(t, **fields)) for t in things])


@pytest.mark.parametrize("paper", PAPERS)
def test_no_label_lies_over_another_and_all_stay_in_the_frame(terminal, paper):
    for page in sheets(terminal, paper):
        boxes = label_grounds(page)
        assert not any(overlap(a, b) for a, b in itertools.combinations(boxes, 2))
        x0, y0, x1, y1 = frame_of(page.width_mm, page.height_mm)
        for text in texts(page):
            left, low, right, high = bounds((text,))
            assert min(left - x0, low - y0, x1 - right, y1 - high) >= -0.01, text


@pytest.mark.parametrize("paper", PAPERS)
def test_no_label_lies_over_a_symbol(terminal, paper):
    for page in sheets(terminal, paper):
        bodies = [bounds((p,)) for p in page.primitives if _is_filled(p) and p.layer == "symbols"]
        labels = label_grounds(page)
        assert not any(overlap(a, b) for a, b in itertools.product(labels, bodies))


@pytest.mark.parametrize("paper", PAPERS)
def test_every_text_can_be_read_at_full_size(terminal, paper):
    for page in sheets(terminal, paper):
        for text in texts(page):
            assert text.height >= LEAST_TEXT_MM - 1e-9, text
        for text in texts(page, *LABELS):
            assert text.height >= 2.5


@pytest.mark.parametrize("paper", PAPERS)
def test_every_outlet_is_told_once_on_the_plan_and_once_in_the_list(terminal, paper):
    design, _ = terminal
    pages = sheets(terminal, paper)
    numbers = sorted(o.number for o in design.project.outlets.values())
    listed = [w for page in pages for w in words(page, "list")]
    assert sorted(w for w in listed if w in set(numbers)) == numbers
    told = [w for page in pages for w in words(page, "outlet labels")]
    assert len(told) == len(set(told))
    said_lost = sum(
        int(t.split()[0]) for page in pages for t in words(page) if "found no room here" in t
    )
    assert len(told) + said_lost == len(numbers)
    assert len(told) >= 0.97 * len(numbers)


def test_symbols_stand_at_true_scale(terminal):
    """Two outlets are so far apart on paper as in the building, over the denominator."""
    design, _ = terminal
    pages = sheets(terminal, "A1", denominator=200)
    page = pages[0]
    assert "Scale 1:200" in words(page)
    floor = next(f for f in design.project.floors.values() if f.name == "0")
    spaces = [s for s in design.project.spaces.values() if s.floor == floor.id]
    walls = [p for p in page.primitives if isinstance(p, Polyline) and p.layer == "spaces"]
    x0 = min(x for s in spaces for x, _ in s.outline)
    x1 = max(x for s in spaces for x, _ in s.outline)
    on_paper = [x for w in walls for x, _ in w.points]
    assert max(on_paper) - min(on_paper) == pytest.approx((x1 - x0) / 200, abs=0.01)


def test_the_scale_bar_measures_what_it_says(office):
    page = sheets(office, "A3", denominator=100)[0]
    bars = [p for p in page.primitives if isinstance(p, Polyline) and p.closed]
    (label,) = (t for t in texts(page, "sheet") if t.text.endswith(" m") and t.height < 2)
    length_mm = float(label.text.removesuffix(" m")) * 1_000 / 100
    start = min(t.position[0] for t in texts(page, "sheet") if t.text == "0" and t.height < 2)
    assert label.position[0] - start == pytest.approx(length_mm)
    assert any(
        b.points[0][0] == pytest.approx(start)
        and abs(b.points[2][1] - b.points[0][1]) == pytest.approx(1.6)
        for b in bars
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_sheets_have_their_paper_and_number(terminal, paper):
    pages = sheets(terminal, paper)
    for number, page in enumerate(pages, start=1):
        assert sorted((page.width_mm, page.height_mm)) == list(PAPERS[paper])
        assert f"{number} of {len(pages)}" in words(page)


def test_the_title_block_says_whose_what_and_of_when(terminal):
    design, _ = terminal
    card = replace(design.project.site, drawn_by="A. Drawer", checked_by="C. Hecker", revision="B")
    shown = edited(terminal, changing("Card", [(design.project.site, card)]))
    for page in sheets(shown):
        said = words(page)
        for wanted in (card.name, f"Client: {card.client}", "Terminal", "B", "A. Drawer"):
            assert wanted in said
        assert "C. Hecker" in said
        assert "2026-11-25" in said
        assert any(s.startswith("Scale of Architect") for s in said)
        assert any(s.startswith("Mind: Power") for s in said)
    plan, *_ = sheets(shown)
    assert "Plan north" in words(plan)


def test_a_long_floor_is_parted_at_match_lines_with_a_key_plan(terminal):
    pages = [p for p in sheets(terminal, "A3") if p.group == "Floor 0" and "part" in p.title]
    assert len(pages) == 2
    assert words(pages[0], "match lines") == ["Match line, see part 2"]
    assert words(pages[1], "match lines") == ["Match line, see part 1"]
    assert words(pages[0], "key plan") == ["1", "2"]
    dark = [
        [bounds((p,)) for p in page.primitives if p.layer == "key plan" and _is_filled(p)]
        for page in pages
    ]
    assert dark[0][0][0] < dark[1][0][0]


def _is_filled(primitive):
    return isinstance(primitive, FilledPath)


def test_the_halves_of_a_parted_floor_meet(terminal):
    extent = (0.0, 0.0, 145_000.0, 30_000.0)
    layout = next(layouts(extent, "A3", legend_items=10, caution_lines=2, denominator=None))
    assert layout.sheets > 1
    views = [viewport_of(layout, t, turn_deg=0) for t in range(layout.sheets)]
    for one, other in itertools.pairwise(views):
        edge = layout.tiles[views.index(one)][2]
        assert one.at(edge, 0)[0] == pytest.approx(one.core[2])
        assert other.at(edge, 0)[0] == pytest.approx(other.core[0])


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size_m", [(8, 6), (40, 25), (145, 30), (30, 145), (400, 300), (9e3, 9e3)])
def test_the_chosen_scale_is_a_standard_one_and_the_floor_fits(paper, size_m):
    extent = (0.0, 0.0, size_m[0] * 1_000, size_m[1] * 1_000)
    best, *larger = layouts(extent, paper, legend_items=12, caution_lines=2, denominator=None)
    assert best.denominator in SCALES
    assert all(x.denominator < best.denominator for x in larger)
    if best.denominator <= READABLE:
        assert best.sheets <= MOST_SHEETS
    for tile in range(min(best.sheets, 30)):
        view = viewport_of(best, tile, turn_deg=0)
        assert view.box[0] >= best.area[0] - 1e-6
        assert view.box[1] >= best.area[1] - 1e-6
        assert view.box[2] <= best.area[2] + 1e-6


def test_the_largest_scale_is_taken_that_fits_on_one_sheet():
    extent = (0.0, 0.0, 30_000.0, 20_000.0)
    best = next(layouts(extent, "A1", legend_items=12, caution_lines=2, denominator=None))
    assert best.sheets == 1
    nearer = SCALES[SCALES.index(best.denominator) - 1]
    closer = next(layouts(extent, "A1", legend_items=12, caution_lines=2, denominator=nearer))
    assert closer.sheets > 1


def test_a_plan_without_scale_says_so_large(office):
    plans = office[0].project.plans.values()
    shown = edited(office, replacing(plans, scaled_by=ScaledBy.NOT_SCALED))
    page = sheets(shown)[0]
    said = [t for t in texts(page) if t.text == NOT_SCALED]
    assert max(t.height for t in said) >= 7
    assert len(said) == 2
    assert not any(t.text.startswith("Scale 1:") for t in texts(page))
    assert not any(t.text.endswith(" m") and t.height < 2 for t in texts(page, "sheet"))
    assert NOT_SCALED not in words(sheets(office)[0])


def test_an_empty_floor_is_a_sheet_for_a_sketch():
    hall = Building(id="building-00000001", name="Hall")
    floor = Floor(id="floor-00000001", building=hall.id, name="Level B", level_mm=0)
    design = evaluate(Project([Site(id="site"), hall, floor]))
    (page,) = walk_sheets(design, {}, WalkWishes(paper="A4"))
    assert page.group == "Level B"
    assert "Nothing is drawn on this floor yet: room for a sketch." in words(page)
    assert "No plan; drawn by its own measures." in words(page)
    assert "Project without a name" in words(page)


def test_states_are_told_apart_in_symbol_number_list_and_legend(office):
    design, _ = office
    outlets = list(design.project.outlets.values())
    states = [State.EXISTING, State.TO_REMOVE, State.FUTURE, State.TO_RELOCATE, State.NEW]
    pairs = [(o, replace(o, state=s)) for o, s in zip(outlets, states, strict=False)]
    moved = outlets[5]
    was = OldPlace(floor=moved.floor, x_mm=moved.x_mm + 3_000, y_mm=moved.y_mm + 3_000)
    pairs.append((moved, replace(moved, state=State.TO_RELOCATE, was_at=was)))
    shown = edited(office, changing("States", pairs))
    pages = sheets(shown, "A3")
    legend = [w for page in pages for w in words(page, "legend")]
    for state in ("existing", "new", "to remove", "future", "to relocate, new place"):
        assert any(f"State: {state}" in w for w in legend), state
    inks = {t.text: (t.ink, t.bold) for t in texts(pages[0], "outlet labels")}
    assert inks[outlets[0].number] == ("existing", False)
    assert inks[outlets[4].number] == ("new", True)
    listed = [w for page in pages for w in words(page, "list")]
    assert "to remove" in listed
    assert any(p.layer == "relocations" for p in pages[0].primitives)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_plan_has_its_legend_or_says_where_it_is(terminal, paper):
    pages = sheets(terminal, paper)
    by_floor = itertools.groupby(pages, key=lambda p: p.group)
    for _, of_floor in by_floor:
        own = list(of_floor)
        assert any("Legend" in words(p, "legend") for p in own)
        for page in own:
            has = "Legend" in words(page, "legend")
            pointed = any("The legend is on" in w for w in words(page))
            assert has or pointed or page.title.startswith("Outlets by room")


def test_a_phase_is_told_by_its_name(office):
    design, _ = office
    settings = design.project.settings
    first = next(iter(design.project.outlets.values()))
    shown = edited(
        office,
        changing("Phases", [(settings, replace(settings, phases=("west wing",)))]),
        changing("Phase", [(first, replace(first, phase=1))]),
    )
    listed = [w for page in sheets(shown) for w in words(page, "list")]
    assert any(w.startswith("new, west") for w in listed)


@pytest.mark.parametrize("paper", PAPERS)
def test_state_and_phase_are_written_out_and_the_notes_keep_room(terminal, paper):
    design, _ = terminal
    pages = sheets(terminal, paper)
    listed = [w for page in pages for w in words(page, "list")]
    assert not [w for w in listed if "…" in w]
    states = {row.cells[4] for f in design.project.floors for row in of_outlets(design, f)}
    assert len(states) > 4
    assert states <= set(listed)
    for page in pages:
        for heading in texts(page, "list"):
            if heading.text == "Notes":
                edges = [p.points[1][0] for p in page.primitives if is_frame_of_list(p)]
                right = min(x for x in edges if x > heading.position[0])
                assert right - heading.position[0] >= 30


def of_outlets(design, floor):
    return [r for r in walk_rows(design, floor) if isinstance(r, OutletRow) and r.outlet]


def is_frame_of_list(primitive):
    return isinstance(primitive, Polyline) and primitive.layer == "list" and primitive.closed


@pytest.mark.parametrize("paper", PAPERS)
def test_a_long_phase_is_folded_between_the_lines_of_its_row(office, paper):
    design, _ = office
    settings = design.project.settings
    outlets = list(design.project.outlets.values())
    phase = "west wing, second stage after the tenants have moved out of the upper floor"
    shown = edited(
        office,
        changing("Phases", [(settings, replace(settings, phases=(phase,)))]),
        replacing(outlets[:3], phase=1),
    )
    pages = sheets(shown, paper)
    listed = [t for page in pages for t in texts(page, "list")]
    told = " ".join(t.text for t in listed)
    assert told.count("new, west wing,") == 3
    assert "…" not in told
    for page in pages:
        rules = [p for p in page.primitives if is_level_rule(p)]
        for text in texts(page, "list"):
            (x, low), high = text.position, text.position[1] + text.height
            here = [r.start[1] for r in rules if r.start[0] <= x <= r.end[0]]
            assert not [y for y in here if low < y < high]


def is_level_rule(primitive):
    listed = isinstance(primitive, Line) and primitive.layer == "list"
    return listed and primitive.start[1] == primitive.end[1]


STROKED = (Line, Polyline, Arc)
HALF = 0.5
LEAST_HALF_SIZE_MM = 0.09
"""What a copier still prints (practice); hatches of the plan may go."""


@pytest.mark.parametrize("paper", PAPERS)
def test_every_line_and_word_survives_a_copy_at_half_size(terminal, paper):
    for page in sheets(terminal, paper):
        for p in page.primitives:
            if isinstance(p, STROKED):
                at_half = p.stroke.width_mm * HALF
                assert at_half >= (0.06 if p.layer == "plan" else LEAST_HALF_SIZE_MM) - 1e-9, p
                assert grey_of(p.stroke.ink) <= 0.55, p
                gaps = p.stroke.dashes_mm[1::2]
                assert all(gap >= p.stroke.width_mm + 0.5 for gap in gaps), p
            elif isinstance(p, Text) and p.ink != "paper":  # on black
                assert grey_of(p.ink) <= 0.55, p


def test_what_is_new_is_twice_as_heavy_as_what_is_there_and_all_of_it_prints(terminal):
    for page in sheets(terminal, "A3"):
        outlines = {
            ink: [s.width_mm for s in outlines_of(page, ink)]
            for ink in ("new", "existing", "to_remove")
        }
        if outlines["existing"]:
            assert min(outlines["new"]) >= 2 * max(outlines["existing"])
        for widths in outlines.values():
            assert min(widths, default=1) >= 0.25


def outlines_of(page, ink):
    """The strokes of the outlets' triangles, which are closed and of three corners."""
    return [
        p.stroke
        for p in page.primitives
        if isinstance(p, Polyline) and p.layer == "outlets" and p.closed and len(p.points) == 3
        if p.stroke.ink == ink
    ]


def test_the_legend_shows_things_as_new_whatever_state_the_last_of_them_has(terminal):
    design, _ = terminal
    project = design.project
    as_they_are = {f.id: legend_of(design, f.id) for f in project.floors.values()}
    frames, risers = list(project.frames.values()), list(project.risers.values())
    shown = edited(terminal, replacing([*frames, *risers], state=State.TO_REMOVE))
    for floor, items in as_they_are.items():
        before = {i.text: i.mark for i in items if "State" not in i.text}
        after = {i.text: i.mark for i in legend_of(shown[0], floor) if "State" not in i.text}
        assert before == after
        assert any("Riser" in text for text in before)


@pytest.fixture(scope="module")
def zoned(terminal):
    """Floor 0 with a wide zone and one too narrow for its words, and lengths that were walked."""
    project = terminal[0].project
    floor = next(f for f in project.floors.values() if f.name == "0").id
    frame = next(f for f in project.frames.values() if f.floor == floor)
    pathway = next(p for p in project.pathways.values() if p.number == "H0-79.75s")
    (x0, y0, _), (x1, y1, _) = pathway.vertices
    along = {"floor": floor, "along": pathway.id, "x_mm": (x0 + x1) // 2}
    made = (
        zone(1, floor, frame.id, 31_000, 1_000, 50_000, 11_000),
        zone(2, floor, frame.id, 60_000, 1_000, 63_000, 11_000, name="Shop units by the quay"),
        WalkedLength(
            id="walked-length-00000001",
            added_mm=4_000,
            reason="round the duct",
            y_mm=(y0 + y1) // 2,
            **along,
        ),
        WalkedLength(
            id="walked-length-00000002",
            replaced_mm=61_200,
            reason="by tape",
            y_mm=(y0 + 3 * y1) // 4,
            **along,
        ),
    )
    return edited(terminal, adding("Zones", made)), frame


def zone(n, floor, frame, x0, y0, x1, y1, **more):
    outline = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return ServingZone(
        id=f"serving-zone-0000000{n}", floor=floor, outline=outline, frame=frame, **more
    )


@pytest.mark.parametrize("paper", PAPERS)
def test_zones_and_walked_lengths_are_drawn_told_and_in_the_legend(zoned, paper):
    shown, frame = zoned
    pages = [p for p in sheets(shown, paper) if p.group == "Floor 0"]
    borders = [p for page in pages for p in page.primitives if p.layer == "zones"]
    assert borders
    assert all(p.stroke.dashes_mm for p in borders)
    told = [w for page in pages for w in words(page, "zone labels")]
    assert sorted(set(told)) == ["Shop units by the quay", f"served by {frame.name}"]
    assert told.count(f"served by {frame.name}") == 2
    beside = " ".join(w for page in pages for w in words(page, "place labels"))
    for said in ("+4 m", "round the duct", "61.2 m measured", "by tape"):
        assert said in beside
    legend = [w for page in pages for w in words(page, "legend")]
    assert "Serving zone" in legend
    assert any(w.startswith("Walked length") for w in legend)
    assert not any("…" in w for w in legend)
    for page in pages:
        boxes = label_grounds(page)
        assert not any(overlap(a, b) for a, b in itertools.combinations(boxes, 2))


def test_a_zone_that_is_called_as_its_frame_says_so_once(zoned):
    (design, _), frame = zoned
    named = replace(next(iter(design.project.serving_zones.values())), name=frame.name)
    assert zone_lines(design.project, named) == (f"served by {frame.name}",)


def test_a_border_of_a_zone_is_at_scale(zoned):
    shown, _ = zoned
    page = next(p for p in sheets(shown, "A1", denominator=200) if p.group == "Floor 0")
    xs = [x for p in page.primitives if p.layer == "zones" for x, _ in p.points]
    assert max(xs) - min(xs) == pytest.approx((63_000 - 31_000) / 200, abs=0.01)


def test_rooms_come_by_number_with_a_blank_row_and_what_is_outside_comes_last(office):
    design, _ = office
    outlet = next(iter(design.project.outlets.values()))
    far = replace(outlet, x_mm=outlet.x_mm - 90_000)
    design, _ = edited(office, changing("Out", [(outlet, far)]))
    floor = next(iter(design.project.floors))
    rows = walk_rows(design, floor)
    rooms = [r.text for r in rows if isinstance(r, RoomRow)]
    assert rooms[-1] == "Outside every space"
    assert rooms[:2] == ["01 Reception", "02 Office"]
    assert {r.outlet for r in rows if isinstance(r, OutletRow)} - {None} == set(
        design.project.outlets
    )
    for row, below in itertools.pairwise(rows):
        if isinstance(below, RoomRow):
            assert row == OutletRow(outlet=None)


def test_heights_are_told_as_a_crew_measures_them():
    assert height_words(450, Units.METRIC) == "0.45 m"
    assert height_words(457, Units.US) == "18 in"


def test_the_same_project_gives_the_same_pages(office):
    assert sheets(office) == sheets(office)


def test_only_the_floors_asked_for_are_drawn(terminal):
    design, drawings = terminal
    second = next(f for f in design.project.floors.values() if f.name == "2")
    pages = walk_sheets(design, drawings, WalkWishes(paper="A1"), floors=[second.id])
    assert {p.group for p in pages} == {"Floor 2"}


def test_a_turned_building_lies_along_the_paper_and_north_turns_with_it(office):
    design, _ = office
    project = design.project
    angle = math.radians(30)

    def turn(x, y):
        return (
            round(x * math.cos(angle) - y * math.sin(angle)),
            round(x * math.sin(angle) + y * math.cos(angle)),
        )

    spaces = [
        (s, replace(s, outline=tuple(turn(*p) for p in s.outline))) for s in project.spaces.values()
    ]
    floors = [(f, replace(f, grid_angle_mdeg=30_000)) for f in project.floors.values()]
    alone = edited(
        office,
        removing("Bare", [*project.plans.values(), *project.outlets.values()]),
        removing("Bare", [*project.access_points.values(), *project.pathways.values()]),
        removing("Bare", list(project.backbone_cables.values())),
        removing("Bare", [*project.frames.values(), *project.demarcations.values()]),
        changing("Turn", [*spaces, *floors]),
    )
    page = sheets(alone)[0]
    for wall in page.primitives:
        if isinstance(wall, Polyline) and wall.layer == "spaces":
            for (x0, y0), (x1, y1) in itertools.pairwise(wall.points):
                assert min(abs(x1 - x0), abs(y1 - y0)) < 0.05
    straight = sheets(office)[0]
    assert [t.position for t in texts(page) if t.text == "Plan north"] == [
        t.position for t in texts(straight) if t.text == "Plan north"
    ]


def test_thousands_of_outlets_are_drawn_in_seconds_and_may_be_cancelled(office):
    design, _ = office
    project = design.project
    first = next(iter(project.outlets.values()))
    many = [
        replace(
            first,
            id=f"outlet-{n:08d}",
            number=f"N{n}",
            x_mm=(n % 80) * 1_500,
            y_mm=(n // 80) * 1_500,
            ports=tuple(replace(p, id=f"port-{n:06d}{i:02d}") for i, p in enumerate(first.ports)),
        )
        for n in range(4_000)
    ]
    shown = edited(office, adding("Many", many))
    pages = sheets(shown, "A1")
    listed = {w for page in pages for w in words(page, "list")}
    assert {o.number for o in many} <= listed
    for page in pages:
        boxes = np.array(label_grounds(page))
        order = boxes[np.argsort(boxes[:, 0])] if len(boxes) else boxes
        for one, other in itertools.pairwise(order.tolist()):
            assert not overlap(tuple(one), tuple(other))

    class Stopped:
        def report(self, fraction, words):
            pass

        def check(self):
            raise Cancelled

    with pytest.raises(Cancelled):
        walk_sheets(*shown, WalkWishes(), progress=Stopped())


@pytest.mark.parametrize(
    ("segment", "kept"),
    [
        ((-5, 5, 15, 5), (0, 5, 10, 5)),
        ((2, 2, 8, 8), (2, 2, 8, 8)),
        ((5, -5, 5, 3), (5, 0, 5, 3)),
        ((-5, -5, 15, 15), (0, 0, 10, 10)),
        ((-5, 20, 15, 20), None),
        ((-5, 4, -1, 4), None),
    ],
)
def test_lines_are_cut_at_the_viewport(segment, kept):
    found = cut(np.array([segment], dtype=float), (0, 0, 10, 10)).tolist()
    assert found == ([] if kept is None else [list(map(float, kept))])


def test_a_penetration_of_a_floor_does_not_hide_the_riser_in_it(office):
    design, _ = office
    project = design.project
    ground = next(iter(project.floors.values()))
    upper = Floor(
        id="floor-0000zzzz", building=ground.building, name="1", level_mm=ground.level_mm + 4_000
    )
    at = {"x_mm": 9_000, "y_mm": 6_000}
    riser = Riser(
        id="riser-0000zzzz",
        number="R9",
        lower_floor=ground.id,
        upper_floor=upper.id,
        lower=(9_000, 6_000),
        upper=(9_000, 6_000),
    )
    hole = Penetration(
        id="penetration-0000zzzz", floor=ground.id, crossed=Crossed.FLOOR, number="F9", **at
    )
    shown = edited(office, adding("Upper", [upper]), adding("Riser", [riser, hole]))
    page = sheets(shown)[0]
    assert "F9" in words(page, "place labels")
    drawn = list(page.primitives)
    # The first is the one on the plan; another stands in the legend.
    start = next(n for n, p in enumerate(drawn) if p.layer == "risers")
    own = list(itertools.takewhile(lambda p: p.layer == "risers", drawn[start:]))
    box, above = bounds(own), drawn[start + len(own) :]
    later = [bounds((p,)) for p in above if _is_filled(p) and p.ink == "paper"]
    assert not any(overlap(box, other) for other in later)


def test_labels_keep_a_margin(office):
    page = sheets(office)[0]
    grounds = label_grounds(page)
    for text in texts(page, "outlet labels"):
        own = bounds((text,))
        assert any(
            g[0] <= own[0] - PAD_MM + 0.02 and own[2] + PAD_MM - 0.02 <= g[2] for g in grounds
        )
