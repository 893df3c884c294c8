"""The sample's takeoff, routed by the program, against the figures of its hand-made model.

The hand model has every outlet by itself at its nearest frame and no rooms; what is drawn
differs from it by some metres. Counts of ports, panels and overlong runs do not. One outlet of
the workshop stands already: two of the 626 runs are not ordered, nor is the panel they end on.
"""

from itertools import pairwise

import pytest

from app.design import route_of
from app.design.design import Design
from app.design.evaluate import evaluate
from app.model.vocabulary import PathwayKind
from app.resource_files import sample_path
from app.sheets.tables import TABLES, row_of, table_of
from app.storage.project_file import load_project
from app.takeoff.lines import Section
from app.takeoff.takeoff import Takeoff, take_off
from app.takeoff.warning_line import warnings_of

STANDING = 2
"""Runs of the outlet in the workshop that stands and stays."""


@pytest.fixture(scope="module")
def design() -> Design:
    return evaluate(load_project(sample_path("ferry-terminal.drawcord")).project)


@pytest.fixture(scope="module")
def takeoff(design: Design) -> Takeoff:
    return take_off(design)


def test_panels_of_the_three_frames(design: Design, takeoff: Takeoff) -> None:
    # practice, worked by hand: 6, 9 and 20 panels of 24 with 25 % growth.
    name = {f.id: f.name for f in design.project.frames.values()}
    needs = {name[p.frame]: p.need for p in takeoff.panels if p.need.ports}
    panels = {frame: need.standing + need.new for frame, need in needs.items()}
    assert panels == {"0A": 6, "M": 9, "1B": 20}
    assert {frame: need.standing for frame, need in needs.items()} == {"0A": 1, "M": 0, "1B": 0}


def test_metres_and_boxes_near_the_hand_model(takeoff: Takeoff) -> None:
    # practice, computed: 626 runs, 34.2 km, mean 54.7 m; cut plan 116 boxes, bound 115.
    assert sum(c.runs for c in takeoff.cable) == 626 - STANDING
    metres = sum(c.installed_mm for c in takeoff.cable) / 1000
    assert metres == pytest.approx(34_200, rel=0.06)
    (boxes,) = takeoff.boxes
    assert boxes.proven
    assert len(boxes.plan) == pytest.approx(116, rel=0.06)
    assert len(boxes.plan) * boxes.usable_mm >= boxes.cut_mm


def test_sums_by_floor_frame_and_type_are_those_of_the_runs(
    design: Design, takeoff: Takeoff
) -> None:
    runs, project = design.runs, design.project
    rows = [runs.row_of[p] for line in takeoff.cable for p in line.things]
    assert len(set(rows)) == len(rows) == 626 - STANDING
    for line in takeoff.cable:
        own = [runs.row_of[p] for p in line.things]
        assert {project.outlets[runs.outlet_ids[r]].floor for r in own} == {line.floor}
        assert {runs.frame_of(r) for r in own} == {line.frame}
        assert sum(int(runs.installed_mm[r]) for r in own) == line.installed_mm
        assert sum(int(runs.cut_mm[r]) for r in own) == line.cut_mm


def test_lines_of_one_item_stand_together(takeoff: Takeoff) -> None:
    items = [(x.section, x.item, x.unit, x.provided_by) for x in takeoff.lines]
    changes = sum(a != b for a, b in pairwise(items))
    assert changes == len(set(items)) - 1


def test_what_is_counted_is_there_once(design: Design, takeoff: Takeoff) -> None:
    """Plates against outlets, sleeves against risers: each thing in one line of its kind."""
    project = design.project
    plates = [
        t for line in takeoff.section(Section.OUTLETS) if "port" in line.item for t in line.things
    ]
    assert len(plates) == len(set(plates))
    # practice, worked by hand: two risers of three sleeves, each through two floors.
    sleeves = [x for x in takeoff.section(Section.RISERS) if x.item.startswith("Sleeve")]
    assert sum(x.quantity for x in sleeves if x.item.endswith("through a floor")) == 12
    openings = [t for line in takeoff.section(Section.RISERS) for t in line.things]
    assert set(openings) <= set(project.penetrations)
    assert set(plates) <= set(project.outlets)


def test_one_number_has_one_value(design: Design, takeoff: Takeoff) -> None:
    """Whatever follows the cable counts the 626 runs with a route; outlets are 629 ports; two
    runs of each stand already."""
    quantity: dict[str, int] = {}
    for line in takeoff.lines:
        if "backbone" not in line.basis:
            quantity[line.item] = quantity.get(line.item, 0) + line.quantity
    jack = "Jack, Cat 6A unshielded"
    assert sum(p.need.ports for p in takeoff.panels) == 626
    assert quantity[f"{jack}, at the frame"] == 626 - STANDING
    assert quantity["Label at a port, at the frame"] == 626 - STANDING
    assert quantity["Label on a cable"] == 2 * (626 - STANDING)
    assert quantity["Test of a link, Cat 6A unshielded"] == 626 - STANDING
    assert quantity["Label at a port, at the outlet"] == 629 - STANDING
    plugs = quantity["Field plug, Cat 6A unshielded"]
    assert quantity[f"{jack}, at the outlet"] + plugs == 629 - STANDING
    # practice, worked by hand: 12 outlets with 23 runs over, 2 outlets with 3 runs out of reach.
    assert warnings_of(design) == (
        "23 runs over their limit, 3 runs without a route (their cable is not counted)."
    )


def test_floor_boxes_are_fed_from_below(design: Design, takeoff: Takeoff) -> None:
    """No floor box wants a pole; its runs go down into the raised floor and count as before."""
    project = design.project
    boxes = {o.id for o in project.outlets.values() if project.outlet_kinds[o.kind].height_mm == 0}
    poles = [x for x in takeoff.lines if x.item.startswith("Service pole")]
    (upstairs,) = (x for x in poles if x.floor in _top(design))
    assert len(boxes) == 30
    assert not any(boxes & set(line.things) for line in poles)
    assert upstairs.item == "Service pole, 2.7 m"
    under = {w.id for w in project.pathways.values() if min(v[2] for v in w.vertices) < 0}
    for port in (p.id for o in boxes for p in project.outlets[o].ports):
        assert under & {line.thing for line in route_of(design, port)}


def _top(design: Design) -> set[str]:
    floors = design.project.floors.values()
    return {max(floors, key=lambda f: f.level_mm).id}


def test_every_end_of_the_backbone_is_fitted(design: Design, takeoff: Takeoff) -> None:
    # practice, worked by hand: fibre of 24 from the hand-over and to both frames, 25 pairs to both.
    frames = {f.id: f.name for f in design.project.frames.values()} | {None: "hand-over"}
    found = {
        (line.item.partition(",")[0], frames[line.frame]): line.quantity
        for line in takeoff.lines
        if "backbone" in f"{line.item} {line.basis}" and line.section is not Section.WORK
    }
    assert found == {
        ("Fibre connector", "hand-over"): 24,
        ("Fibre connector", "M"): 72,
        ("Fibre connector", "0A"): 24,
        ("Fibre connector", "1B"): 24,
        ("Panel for fibre", "hand-over"): 1,
        ("Panel for fibre", "M"): 3,
        ("Panel for fibre", "0A"): 1,
        ("Panel for fibre", "1B"): 1,
        ("Panel for pairs", "M"): 2,
        ("Panel for pairs", "0A"): 1,
        ("Panel for pairs", "1B"): 1,
    }


@pytest.mark.parametrize("key", list(TABLES))
def test_every_row_alone_is_its_row_in_the_table(design: Design, key: str) -> None:
    table = table_of(design, key)
    for row_id, row in list(zip(table.ids, table.rows, strict=True))[::25]:
        assert row_of(design, key, row_id) == row


def test_fill_in_words_of_the_trade(design: Design) -> None:
    # practice, worked by hand: the ladder into 1B about 90 % full, overfull.
    table = table_of(design, "pathways")
    fullest = max(table.rows, key=lambda row: row[table.column_of["fill"]] or 0)  # type: ignore[return-value, arg-type]
    assert fullest[table.column_of["kind"]] == "ladder"
    assert fullest[table.column_of["fill"]] == pytest.approx(0.90, abs=0.03)
    assert "too many at 50 %" in str(fullest[table.column_of["room"]])


def test_findings_of_the_sample(design: Design) -> None:
    # practice, worked by hand: 12 outlets over, 2 without reach; spine between R2 and 1B 54 %,
    # stub to R2 on floor 1 66 %, ladder into 1B 90 %: three trays overfull; and the hook line
    # of customs at x = 101.5 holds more than a medium hook should.
    rules = [f.rule for f in design.findings]
    assert rules.count("run_over_limit") == 12
    assert rules.count("run_without_route") == 2
    overfull = [
        design.project.pathways[f.things[0]] for f in design.findings if f.rule == "fill_over_limit"
    ]
    hooks = [p.number for p in overfull if p.kind is PathwayKind.HOOKS]
    assert len(overfull) - len(hooks) == 3
    assert all("101.5" in number for number in hooks)
