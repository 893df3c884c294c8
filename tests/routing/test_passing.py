"""Cables through penetrations, counted again from the drawn route of every run."""

import math
from itertools import pairwise

import pytest
from msgspec.structs import replace

from app.design import backbone_route, evaluate, recalculate, route_of
from app.editor.commands.penetrations import accept_proposed, proposed
from app.geometry.along_lines import foot_on_piece
from app.model.entities import Penetration
from app.model.project import adding, changing, removing
from app.model.vocabulary import Crossed, State
from app.resource_files import sample_path
from app.routing.passing import slab_level_mm
from app.sizing.fill import cable_area_mm2
from app.storage.project_file import load_project
from tests.editor.small_building import (
    CONDUIT,
    GROUND,
    OUTLET_3,
    RISER,
    TRAY,
    UPPER,
    building,
)

NEAR_MM = 2.0


def _terminal():
    return load_project(sample_path("ferry-terminal.drawcord")).project


@pytest.fixture(scope="module")
def designed():
    """The terminal with a penetration at every crossing, as proposed, everything in it new."""
    project = _terminal()
    project = project.apply(removing("", list(project.penetrations.values())))
    outlets = [
        (o, replace(o, state=State.NEW, was_at=None, ports=_plain(o.ports)))
        for o in project.outlets.values()
    ]
    project = project.apply(changing("", outlets))
    return evaluate(project.apply(accept_proposed(project, proposed(project))))


def _plain(ports):
    return tuple(replace(p, state=None) for p in ports)


def _lines(design):
    """All lines of all cables, with how many cables lie there."""
    for port in design.runs.port_ids:
        yield route_of(design, port), 1
    for cable in design.project.backbone_cables.values():
        yield backbone_route(design, cable.id), cable.count


def _passes(line, at, z):
    """Whether a line passes a place in plan, or a height."""
    for (x0, y0, z0), (x1, y1, z1) in pairwise(line.points):
        if z is not None and min(z0, z1) < z < max(z0, z1):
            return True
        if z is None and foot_on_piece(at, (x0, y0), (x1, y1)).distance <= NEAR_MM:
            return True
    return False


def _spots(design, penetration):
    """Just before and just after the place."""
    if penetration.crossed is Crossed.FLOOR:
        z = design.project.floors[penetration.floor].level_mm
        return [(None, z - 1)]
    cos = math.cos(math.radians((penetration.rotation_mdeg - 90_000) / 1000))
    sin = math.sin(math.radians((penetration.rotation_mdeg - 90_000) / 1000))
    x, y = penetration.x_mm, penetration.y_mm
    return [((x + s * 4 * cos, y + s * 4 * sin), None) for s in (-1, 1)]


def test_every_wall_and_slab_of_the_terminal_counts_what_is_drawn_through_it(designed):
    lines = [(line, n) for route, n in _lines(designed) for line in route]
    openings = designed.project.penetrations.values()
    assert len(openings) > 20
    busy = 0
    for opening in openings:
        own = [(line, n) for line, n in lines if line.thing == opening.through]
        drawn = max(
            sum(n for line, n in own if _passes(line, at, z)) for at, z in _spots(designed, opening)
        )
        assert designed.passing[opening.id].cables == drawn, opening
        busy += drawn > 0
    assert busy > 10


def _one(through=TRAY, x=9_000, y=5_000, floor=GROUND, **more):
    return Penetration(
        id="penetration-00000001", floor=floor, through=through, x_mm=x, y_mm=y, **more
    )


def _with(opening):
    return evaluate(building().apply(adding("", [opening])))


def _findings(design, rule):
    return [f.text for f in design.findings if f.rule == rule]


def test_sleeves_are_filled_by_the_share_of_a_sleeve():
    design = _with(_one(x=15_000, bore_mm=20.0, count=1))
    fill = design.passing["penetration-00000001"]
    cable = next(iter(design.project.cable_types.values()))
    inside = cable_area_mm2(od_mm=20.0)
    assert fill.cables > 0
    assert fill.limit_ratio == pytest.approx(0.40)  # practice: the most of a sleeve
    assert fill.ratio == pytest.approx(fill.cables * cable_area_mm2(od_mm=cable.od_mm) / inside)


def test_an_opening_is_its_width_by_its_height():
    fill = _with(_one(width_mm=200.0, depth_mm=100.0, count=2)).passing["penetration-00000001"]
    assert fill.inside_mm2 == 40_000


def test_cables_counted_by_hand_go_before_the_routed_ones():
    design = _with(_one(bore_mm=53.0, cables_by_hand=31))
    assert design.passing["penetration-00000001"].cables == 31
    [text] = _findings(design, "penetration_overfull")
    assert "31 cables" in text
    assert "40 %" in text


def test_few_cables_in_a_large_sleeve_say_nothing():
    assert _findings(_with(_one(bore_mm=103.0)), "penetration_overfull") == []


def test_a_rated_wall_wants_a_barrier():
    assert _findings(_with(_one(rating="EI 60")), "penetration_without_barrier")
    assert not _findings(_with(_one(rating="EI 60", barrier="x")), "penetration_without_barrier")
    assert not _findings(_with(_one()), "penetration_without_barrier")


def test_an_opening_for_nothing_is_told_until_somebody_has_counted():
    assert _findings(_with(_one(through=None)), "penetration_empty")
    assert not _findings(_with(_one(through=None, cables_by_hand=0)), "penetration_empty")


def test_one_number_twice_is_told():
    project = building().apply(
        adding(
            "", [_one(number="FS-01"), replace(_one(), id="penetration-00000002", number="FS-01")]
        )
    )
    assert any("FS-01" in t for t in _findings(evaluate(project), "number_twice"))


def test_a_slab_under_a_raised_floor_lies_below_its_void():
    opening = _one(through=RISER, floor=UPPER, x=16_000, y=5_500, crossed=Crossed.FLOOR)
    project = building().apply(adding("", [opening]))
    assert slab_level_mm(project, opening) == 3_600
    hall = next(s for s in project.spaces.values() if s.number == "0.02")
    raised = replace(hall, id="space-90000000", floor=UPPER, raised_floor_mm=400)
    assert slab_level_mm(project.apply(adding("", [raised])), opening) == 3_200


def test_moving_an_outlet_counts_again_and_equals_counting_anew():
    project = building().apply(adding("", [_one(x=10_500), _one_more()]))
    design = evaluate(project)
    outlet = project.outlets[OUTLET_3]
    for x in (9_500, 11_000, 14_000, 4_000):
        patch = changing("", [(outlet, replace(outlet, x_mm=x))])
        project = project.apply(patch)
        design, _ = recalculate(design, project, patch)
        assert design == evaluate(project)
        assert design.passing == evaluate(project).passing
        outlet = project.outlets[OUTLET_3]


def _one_more():
    return replace(_one(through=CONDUIT, x=6_000, y=2_000), id="penetration-00000002")
