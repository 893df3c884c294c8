"""A plan's drawing: pens, dashes, texts, bounds, storage and snapping."""

from __future__ import annotations

import math
import zlib
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from app.drawing import plan_codec
from app.drawing.plan_bounds import core_bounds, core_segments, full_bounds
from app.drawing.plan_codec import PlanDrawingError, decode_drawing, encode_drawing
from app.drawing.plan_drawing import INK, PlanDrawing, PlanLayer, PlanText
from app.drawing.plan_lines import dashed, line_groups
from app.drawing.snap import SnapIndex


def indices(*values: int) -> np.ndarray:
    return np.array(values, dtype=np.int32)


def layer_of(segments: object, name: str = "0", **others: object) -> PlanLayer:
    rows = np.array(segments, dtype=np.float64).reshape(-1, 4)
    none = np.zeros(len(rows), dtype=np.int32)
    given_fields = {"segment_colours": none, "segment_weights": none, "segment_dashes": none}
    return PlanLayer(name=name, segments=rows, **(given_fields | others))  # type: ignore[arg-type]


def drawing_of(*layers: PlanLayer) -> PlanDrawing:
    return PlanDrawing(
        origin=(100.0, -5.5),
        layers=layers,
        colours=(INK, 0xFF0000),
        lineweights_mm=(0.25, 0.5),
        dash_patterns=((), (6.0, 4.0)),
        bounds=core_bounds(layers),
        raw_bounds=full_bounds(layers),
    )


@pytest.fixture
def small() -> PlanDrawing:
    return drawing_of(
        layer_of(
            [(0, 0, 10, 0), (10, 0, 10, 5), (10, 5, 0, 0), (2, 2, 2, 2)],
            name="WÄNDE",
            segment_colours=indices(0, 1, 0, 0),
            segment_dashes=indices(0, 1, 0, 0),
            outlines=np.array([[0, 3]], dtype=np.int32),
            arcs=np.array([[3.0, 4.0, 2.0, 350.0, 90.0]]),
            hatch_lines=np.array([[0.0, 0.0, 1.0, 1.0]]),
            hatch_colours=indices(1),
            hatch_weights=indices(1),
            fill_points=np.array(
                [(0, 0), (4, 0), (4, 4), (1, 1), (2, 1), (2, 2), (9, 9), (8, 9), (8, 8)],
                dtype=float,
            ),
            fill_rings=indices(0, 3, 6, 9),
            fill_paths=indices(0, 2, 3),
            fill_colours=indices(1, 0),
            texts=(PlanText(text="HALL\n12 m²", position=(1, 2), height=2, width=9, line_step=3),),
        ),
        layer_of([], name="EMPTY", is_frozen=True),
    )


def same(one: PlanDrawing, other: PlanDrawing) -> bool:
    """Whether two drawings are equal in every field and every number."""
    fields = [name for name in PlanDrawing.__slots__ if name != "layers"]
    if any(getattr(one, name) != getattr(other, name) for name in fields):
        return False
    for a, b in zip(one.layers, other.layers, strict=True):
        for name in PlanLayer.__slots__:
            x, y = getattr(a, name), getattr(b, name)
            if isinstance(x, np.ndarray):
                if x.dtype != y.dtype or x.shape != y.shape or not (x == y).all():
                    return False
            elif x != y:
                return False
    return True


# Reading a drawing


def test_arrays_are_read_only(small: PlanDrawing) -> None:
    with pytest.raises(ValueError, match="read-only"):
        small.layers[0].segments[0, 0] = 1.0


def test_fills_and_outlines_are_found(small: PlanDrawing) -> None:
    layer = small.layer("WÄNDE")
    fills = list(layer.fills())
    assert [(len(rings), colour) for rings, colour in fills] == [(2, 1), (1, 0)]
    assert fills[0][0][1].tolist() == [[1, 1], [2, 1], [2, 2]]
    (outline,) = layer.closed_outlines()
    assert outline.tolist() == [[0, 0], [10, 0], [10, 5]]
    with pytest.raises(KeyError):
        small.layer("none such")


def test_a_text_block_takes_the_height_of_its_lines() -> None:
    text = PlanText(
        text="A\nB\nC", position=(10, 20), height=2, width=8, line_step=3, vertical="top"
    )
    assert text.block_height == 8
    assert text.box == (0, -8, 8, 0)
    turned = replace(text, rotation_deg=90, horizontal="center", vertical="middle")
    assert np.array(turned.corners) == pytest.approx(
        np.array([(14, 16), (14, 24), (6, 24), (6, 16)])
    )


# Pens and dashes


def test_lines_come_by_layer_and_pen(small: PlanDrawing) -> None:
    groups = [
        (g.layer, g.colour, g.width_mm, g.is_hatch, len(g.segments)) for g in line_groups(small)
    ]
    assert groups == [
        ("WÄNDE", 0xFF0000, 0.5, True, 1),
        ("WÄNDE", INK, 0.25, False, 3),
        ("WÄNDE", 0xFF0000, 0.25, False, 1),
    ]


def test_a_line_breaks_into_dashes() -> None:
    pieces = dashed(np.array([[0.0, 0.0, 25.0, 0.0]]), (6.0, 4.0))
    assert sorted(pieces.tolist()) == [[0, 0, 6, 0], [10, 0, 16, 0], [20, 0, 25, 0]]


def test_dashes_run_on_along_a_chain_and_begin_anew_elsewhere() -> None:
    chain = np.array([[0.0, 0, 3, 0], [3, 0, 3, 5], [3, 5, 10, 5], [50, 0, 60, 0]])
    pieces = dashed(chain, (4.0, 2.0))
    on = [(a, b, c, d) for a, b, c, d in sorted(pieces.tolist())]
    assert on == [
        (0, 0, 3, 0), (3, 0, 3, 1), (3, 3, 3, 5), (3, 5, 5, 5), (7, 5, 10, 5),
        (50, 0, 54, 0), (56, 0, 60, 0),
    ]  # fmt: skip


@given(
    lengths=st.lists(st.floats(0.01, 50), min_size=2, max_size=6).filter(lambda x: len(x) % 2 == 0),
    line=st.floats(0.1, 300),
    phase=st.floats(-100, 100),
)
def test_dashes_agree_with_a_walk_along_the_line(
    lengths: list[float], line: float, phase: float
) -> None:
    pieces = dashed(np.array([[0, 0, line, 0]]), tuple(lengths), phase=np.array([phase]))
    period = sum(lengths)
    edges = np.cumsum([0.0, *lengths])
    expected = 0.0
    turn = math.floor(phase / period)
    while turn * period - phase < line:
        for number in range(0, len(lengths), 2):
            start = turn * period - phase + edges[number]
            end = turn * period - phase + edges[number + 1]
            expected += max(min(end, line) - max(start, 0.0), 0.0)
        turn += 1
    found = float((pieces[:, 2] - pieces[:, 0]).sum())
    assert found == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_dots_are_points_and_senseless_patterns_stay_solid() -> None:
    dots = dashed(np.array([[0.0, 0.0, 10.0, 0.0]]), (0.0, 5.0))
    assert sorted(dots.tolist()) == [[0, 0, 0, 0], [5, 0, 5, 0], [10, 0, 10, 0]]
    line = np.array([[0.0, 0.0, 1e6, 0.0]])
    assert dashed(line, (1e-6, 1e-6)).tolist() == line.tolist()
    assert dashed(line, ()).tolist() == line.tolist()


# Bounds


def test_bounds_leave_out_hidden_layers_and_stray_lines() -> None:
    rng = np.random.default_rng(7)
    starts = rng.uniform(0, 50, (500, 2))
    plan = np.hstack((starts, starts + rng.uniform(-5, 5, (500, 2))))
    stray = np.array([[9_000.0, 9_000.0, 9_001.0, 9_000.0]])
    hidden = layer_of([(0, 0, 1e6, 1e6)], name="H", is_on=False)
    layers = (layer_of(plan), layer_of(stray, name="S"), hidden)
    bounds, raw = core_bounds(layers), full_bounds(layers)
    assert bounds == pytest.approx(
        (*plan.reshape(-1, 2).min(axis=0), *plan.reshape(-1, 2).max(axis=0))
    )
    assert raw is not None
    assert raw[2] == 9_001


def test_two_storeys_side_by_side_are_both_the_plan() -> None:
    storey = [(0, 0, 40, 0), (40, 0, 40, 20), (40, 20, 0, 20), (0, 20, 0, 0)]
    second = [(a + 70, b, c + 70, d) for a, b, c, d in storey]
    assert core_segments(np.array(storey + second, dtype=float)).all()


@pytest.mark.parametrize("rows", [[], [(1, 1, 1, 1)], [(0, 0, 0, 0), (0, 0, 0, 0)]])
def test_bounds_of_next_to_nothing(rows: list[tuple[float, ...]]) -> None:
    assert core_segments(np.array(rows, dtype=float).reshape(-1, 4)).all()


# Storage


def test_a_drawing_survives_storage(small: PlanDrawing) -> None:
    data = encode_drawing(small)
    assert same(decode_drawing(data), small)
    assert encode_drawing(decode_drawing(data)) == data


@given(
    rows=st.lists(st.tuples(*[st.floats(-1e12, 1e12)] * 4), max_size=30),
    words=st.text(max_size=50).filter(lambda t: all(not 0xD800 <= ord(c) < 0xE000 for c in t)),
)
def test_any_lines_and_words_survive_storage(rows: list[tuple[float, ...]], words: str) -> None:
    text = PlanText(text=words, position=(0.1, 0.2), height=1 / 3, width=2)
    drawing = replace(drawing_of(layer_of(rows, texts=(text,))), bounds=None, raw_bounds=None)
    assert same(decode_drawing(encode_drawing(drawing)), drawing)


@given(seed=st.integers(0, 100_000))
@settings(max_examples=400, deadline=None)
def test_damaged_bytes_are_refused(seed: int) -> None:
    layer = layer_of([(0, 0, 1, 1), (1, 1, 2, 0)], outlines=np.array([[0, 2]], dtype=np.int32))
    whole = encode_drawing(drawing_of(layer))
    rng = np.random.default_rng(seed)
    inner = bytearray(zlib.decompress(whole[len(plan_codec.MAGIC) :]))
    for _ in range(rng.integers(1, 5)):
        inner[rng.integers(len(inner))] = rng.integers(256)
    if rng.random() < 0.3:
        inner = inner[: rng.integers(len(inner))]
    try:
        found = decode_drawing(plan_codec.MAGIC + zlib.compress(bytes(inner)))
    except PlanDrawingError:
        return
    for decoded in found.layers:
        assert np.isfinite(decoded.segments).all()
        assert len(decoded.segment_colours) == len(decoded.segments)
        assert all(len(outline) for outline in decoded.closed_outlines())
        list(decoded.fills())
    list(line_groups(found))


@pytest.mark.parametrize("data", [b"", b"nothing", plan_codec.MAGIC, plan_codec.MAGIC + b"xx"])
def test_other_bytes_are_refused(data: bytes) -> None:
    with pytest.raises(PlanDrawingError):
        decode_drawing(data)


def test_a_drawing_cut_short_is_refused(small: PlanDrawing) -> None:
    data = encode_drawing(small)
    for end in range(len(data)):
        with pytest.raises(PlanDrawingError):
            decode_drawing(data[:end])


def test_a_drawing_that_inflates_without_end_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(plan_codec, "MOST_BYTES", 1_000_000)
    bomb = plan_codec.MAGIC + zlib.compress(bytes(50_000_000))
    with pytest.raises(PlanDrawingError, match="larger than Drawcord reads"):
        decode_drawing(bomb)


@pytest.mark.parametrize(
    "change",
    [
        {"segment_colours": indices(2)},
        {"segment_colours": indices(-1)},
        {"segment_dashes": indices(9)},
        {"segment_weights": indices(0, 0)},
        {"outlines": np.array([[0, 2]], dtype=np.int32)},
        {"fill_paths": indices(0, 5)},
        {"fill_rings": indices(0, 3)},
        {"segments": np.array([[np.nan, 0, 0, 0]])},
        {"texts": (PlanText(text="x", position=(0, 0), height=1, width=1, colour=7),)},
    ],
)
def test_indices_that_find_nothing_are_refused(change: dict[str, object]) -> None:
    layer = layer_of([(0, 0, 1, 1)])
    bad = replace(layer, **change)  # type: ignore[arg-type]
    with pytest.raises(PlanDrawingError, match="damaged in the"):
        decode_drawing(encode_drawing(replace(drawing_of(layer), layers=(bad,))))


# Snapping


def test_ends_crossings_middles_and_centres_are_caught() -> None:
    circle = np.array([[50.0, 50.0, 5.0, 0.0, 360.0]])
    index = SnapIndex(drawing_of(layer_of([(0, 0, 100, 0), (30, -20, 30, 40)], arcs=circle)))
    caught = {
        name: index.nearest_snap(place, 3.0)
        for name, place in {
            "end": (99, 1), "crossing": (31, 1), "middle": (51, 1), "center": (49, 51),
            "nothing": (70, 20),
        }.items()
    }  # fmt: skip
    assert caught.pop("nothing") is None
    points = {"end": (100, 0), "crossing": (30, 0), "middle": (50, 0), "center": (50, 50)}
    for kind, snap in caught.items():
        assert snap is not None
        assert snap.kind == kind
        assert snap.point == pytest.approx(points[kind])


def test_hidden_layers_are_not_caught() -> None:
    drawing = drawing_of(
        layer_of([(0, 0, 1, 0)], name="A"),
        layer_of([(5, 0, 6, 0)], name="B"),
        layer_of([(9, 0, 10, 0)], name="C", is_on=False),
    )
    index = SnapIndex(drawing, hidden_layers=["B"])
    assert index.nearest_snap((0, 0), 0.1) is not None
    assert index.nearest_snap((5, 0), 0.1) is None
    # what the file hides is only a proposal: the plan's own list decides
    assert index.nearest_snap((9, 0), 0.1) is not None


@given(seed=st.integers(0, 10_000))
@settings(max_examples=60, deadline=None)
def test_the_nearest_end_or_crossing_is_found_as_by_hand(seed: int) -> None:
    rng = np.random.default_rng(seed)
    segments = rng.uniform(0, 100, (40, 4))
    point = tuple(rng.uniform(0, 100, 2))
    radius = float(rng.uniform(1, 15))
    snap = SnapIndex(drawing_of(layer_of(segments))).nearest_snap(point, radius)
    lines = shapely.linestrings(segments.reshape(-1, 2, 2))
    exact = [shapely.Point(p) for p in segments.reshape(-1, 2)]
    exact += [
        crossing
        for i in range(40)
        for j in range(i)
        if not (crossing := lines[i].intersection(lines[j])).is_empty
    ]
    middles = [line.interpolate(0.5, normalized=True) for line in lines]
    here = shapely.Point(point)
    best_exact = min(here.distance(p) for p in exact)
    best_middle = min(here.distance(p) for p in middles)
    if min(best_exact, best_middle) > radius:
        assert snap is None
    elif best_exact <= radius and best_exact <= best_middle:
        assert snap is not None
        assert snap.kind in ("end", "crossing")
        assert snap.distance == pytest.approx(best_exact, abs=1e-6)
    else:
        assert snap is not None
        assert snap.distance <= radius


def test_an_empty_drawing_catches_nothing() -> None:
    assert SnapIndex(drawing_of()).nearest_snap((0, 0), 10) is None
    assert SnapIndex(drawing_of(layer_of([(0, 0, 1, 0)]))).nearest_snap((0, 0), 0) is None
