"""The family of symbols: every name can be drawn, told apart, turned, and read."""

import math

import pytest

from app.drawing import primitives as pr
from app.drawing.primitives import Arc, FilledPath, Line, Polyline, Text
from app.drawing.states import RELOCATED
from app.drawing.symbol_marks import Mark, outlet_drawings, state_looks, thing_drawings
from app.drawing.symbols import (
    GRID,
    outlet_label,
    outlet_symbol,
    outlet_symbol_names,
    placed,
    readable_deg,
    riser_kinds,
    riser_symbol,
    run_sign,
    thing_label,
    thing_symbol,
    thing_symbol_names,
    way_sign,
)
from app.model import vocabulary
from app.standards import load_rules

STATES = [state.value for state in vocabulary.State]
SIGNS = ("near", "over", "no_route")
DIRECTIONS = ("up", "down", "through")


def every_symbol(state="new"):
    for name in outlet_symbol_names():
        yield f"outlet {name}", outlet_symbol(name, ports=24, state=state)
    for name in thing_symbol_names():
        yield f"thing {name}", thing_symbol(name, state=state)
    for kind in riser_kinds():
        for direction in DIRECTIONS:
            yield (
                f"riser {kind} {direction}",
                riser_symbol(kind, direction=direction, state=state),
            )


def all_marks():
    outlets, things = outlet_drawings(), thing_drawings()
    groups = (outlets.kinds, things.things, things.risers, things.arrows, things.signs)
    for group in groups:
        for name, drawing in group.items():
            for mark in drawing.marks:
                yield name, mark


def strokes(primitives):
    return [p.stroke for p in primitives if isinstance(p, Line | Polyline | Arc)]


def test_each_mark_is_one_shape_of_whole_points():
    for name, mark in all_marks():
        shapes = [getattr(mark, f) for f in Mark.__struct_fields__ if f != "bold"]
        assert sum(bool(s) for s in shapes) == 1, name
        assert len(mark.line) % 2 == len(mark.area) % 2 == 0, name
        assert len(mark.line) == 0 or len(mark.line) >= 4, name
        assert len(mark.area) == 0 or len(mark.area) >= 6, name


def test_every_state_of_the_model_has_a_look():
    assert set(state_looks()) == {*STATES, RELOCATED}


def test_every_riser_kind_of_the_model_has_an_outline():
    assert set(riser_kinds()) == {kind.value for kind in vocabulary.RiserKind}


def test_frames_and_access_points_of_the_model_have_symbols():
    wanted = {f"frame_{kind.value}" for kind in vocabulary.FrameKind}
    wanted |= {kind.value for kind in vocabulary.AccessKind}
    assert wanted <= set(thing_symbol_names())


def test_every_outlet_kind_of_the_rules_has_a_symbol():
    used = {kind.symbol for kind in load_rules().outlet_kinds.values()}
    assert used <= set(outlet_symbol_names())


@pytest.mark.parametrize("state", STATES)
def test_every_symbol_stays_near_its_grid(state):
    for name, primitives in every_symbol(state):
        left, bottom, right, top = pr.bounds(primitives)
        assert right - left <= GRID + 1, name
        assert top - bottom <= GRID, name
        assert max(right, -left) <= GRID / 2 + 1, name


def test_no_two_symbols_are_drawn_alike():
    drawings = {}
    for name, primitives in every_symbol():
        assert drawings.setdefault(primitives, name) == name
    assert len(drawings) > 30


@pytest.mark.parametrize("name", [n for n in outlet_symbol_names() if n != "data"])
def test_marks_lie_inside_the_triangle(name):
    # Left and right sides run from (±11, 0) to (0, 18); 0.9 is half the widest mark.
    for mark in outlet_symbol(name)[1:]:
        points = list(pr._extremes(mark))
        for x, y in points:
            assert y > 1.0, name
            assert abs(x) <= 11 * (1 - y / 18) - 0.9, (name, x, y)


@pytest.mark.parametrize("ports", [1, 4, 24])
def test_the_count_stands_clear_of_the_triangle_and_of_the_strokes(ports):
    for state in STATES:
        symbol = outlet_symbol("camera", ports=ports, state=state)
        (text,) = [p for p in symbol if isinstance(p, Text)]
        assert text.text == str(ports)
        corners = pr.text_corners(text)
        left, bottom = corners[0]
        assert left > 11 * (1 - bottom / 18) + 1.0
        for line in (p for p in symbol if isinstance(p, Line)):
            assert max(line.start[1], line.end[1]) < bottom


def test_an_outlet_without_count_has_no_text():
    assert not [p for p in outlet_symbol("data") if isinstance(p, Text)]


def test_an_unknown_outlet_is_drawn_as_a_generic_one():
    assert outlet_symbol("no such mark", ports=2) == outlet_symbol("generic", ports=2)
    assert outlet_label("no such mark") == outlet_label("generic")
    with pytest.raises(KeyError):
        thing_symbol("no such thing")


def test_states_differ_in_weight_and_dash_never_by_colour_alone():
    new, existing, removed, relocated, future = (
        outlet_symbol("camera", state=s)
        for s in ("new", "existing", "to_remove", "to_relocate", "future")
    )
    assert strokes(new)[0].width_mm >= 2 * strokes(existing)[0].width_mm
    assert len([p for p in removed if isinstance(p, Line)]) == 2
    assert len([p for p in relocated if isinstance(p, Line)]) == 1
    assert strokes(future)[0].dashes_mm
    assert not any(s.dashes_mm for s in strokes(future)[1:])
    assert not any(s.dashes_mm for s in strokes(new) + strokes(existing))


def test_a_frame_is_marked_at_its_front_and_a_main_one_is_full():
    main = [p for p in thing_symbol("frame_main") if isinstance(p, FilledPath)]
    intermediate = [p for p in thing_symbol("frame_intermediate") if isinstance(p, FilledPath)]
    assert len(main) == len(intermediate) + 1
    assert all(y <= -6 for _, y in intermediate[0].rings[0])


@pytest.mark.parametrize("sign", SIGNS)
def test_signs_of_runs_have_the_ink_of_their_state_and_differ_in_shape(sign):
    drawn = run_sign(sign)
    inks = {s.ink for s in strokes(drawn)} | {p.ink for p in drawn if isinstance(p, FilledPath)}
    assert inks == {sign}
    shapes = {s: [type(p).__name__ for p in run_sign(s)] for s in SIGNS}
    assert [s for s in SIGNS if shapes[s] == shapes[sign]] == [sign]


def test_every_way_down_has_a_sign_of_its_own_within_its_casing():
    signs = {way: way_sign(way.value) for way in vocabulary.WayDown}
    assert set(thing_drawings().ways) == {way.value for way in signs}
    assert len(set(signs.values())) == len(signs)
    for sign in signs.values():
        points = [p for mark in sign for p in getattr(mark, "points", ())]
        points += [p for mark in sign for ring in getattr(mark, "rings", ()) for p in ring]
        assert all(abs(x) <= 6.5 and abs(y) <= 6.5 for x, y in points)


@pytest.mark.parametrize("turn", [0, 30, 90, 135, 180, 270, 359])
def test_placing_turns_and_scales_about_the_origin(turn):
    symbol = outlet_symbol("door", ports=2, state="future")
    moved = placed(symbol, x=100.0, y=50.0, size=48.0, rotation_deg=turn)
    # The triangle's point stands 18 units, here 36, from the wall, straight into the room.
    body = moved[0]
    tip = body.points[2]
    up = math.radians(90 + turn)
    assert tip == pytest.approx((100 + 36 * math.cos(up), 50 + 36 * math.sin(up)))
    assert body.stroke.width_mm == pytest.approx(2 * symbol[0].stroke.width_mm)
    assert body.stroke.dashes_mm == tuple(2 * d for d in symbol[0].stroke.dashes_mm)
    (arc,) = [p for p in moved if isinstance(p, Arc)]
    (before,) = [p for p in symbol if isinstance(p, Arc)]
    assert arc.radius == pytest.approx(2 * before.radius)
    assert pr.arc_point(arc, arc.start_deg) == pytest.approx(
        placed(
            [Line(layer="x", start=pr.arc_point(before, before.start_deg), end=(0, 0))],
            x=100,
            y=50,
            size=48,
            rotation_deg=turn,
        )[0].start
    )
    (text,) = [p for p in moved if isinstance(p, Text)]
    assert -90 < text.rotation_deg <= 90


@pytest.mark.parametrize(
    ("turn", "readable"),
    [(0, 0), (90, 90), (-90, 90), (91, -89), (180, 0), (270, 90), (45, 45), (225, 45)],
)
def test_text_is_read_from_below_or_from_the_right(turn, readable):
    assert readable_deg(turn) == readable


def test_every_symbol_has_words_for_the_legend():
    labels = [outlet_label(n) for n in outlet_symbol_names()]
    labels += [thing_label(n) for n in thing_symbol_names()]
    assert all(labels)
    assert len(set(labels)) == len(labels)
