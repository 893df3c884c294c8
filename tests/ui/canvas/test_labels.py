"""Labels give way to one another, and are where they are however the paper is moved."""

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF

from app.ui.canvas.label_placer import Label, Occupied, PlacedLabel, place_labels


def label(key: str, x_mm: float, y_mm: float, rank: int = 0, wide: float = 40.0) -> Label:
    return Label(
        key=key,
        text=(key,),
        x_mm=x_mm,
        y_mm=y_mm,
        width_px=wide,
        height_px=14.0,
        spots=((6.0, -7.0), (-wide - 6.0, -7.0), (-wide / 2, 6.0), (-wide / 2, -20.0)),
        rank=rank,
    )


def box(placed: PlacedLabel, scale: float) -> QRectF:
    lab = placed.label
    return QRectF(
        lab.x_mm * scale + placed.dx_px,
        -lab.y_mm * scale + placed.dy_px,
        lab.width_px,
        lab.height_px,
    )


spots = st.lists(
    st.tuples(st.integers(0, 4000), st.integers(0, 4000), st.integers(0, 3)), max_size=60
)


@given(spots, st.sampled_from([0.02, 0.1, 0.4]))
def test_no_label_lies_on_another(places: list[tuple[int, int, int]], scale: float) -> None:
    labels = [label(f"{i:03d}", x, y, rank) for i, (x, y, rank) in enumerate(places)]
    placed = place_labels(labels, Occupied(), scale)
    boxes = [box(p, scale) for p in placed]
    assert not any(a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i])


@given(spots)
def test_the_order_of_asking_changes_nothing(places: list[tuple[int, int, int]]) -> None:
    labels = [label(f"{i:03d}", x, y, rank) for i, (x, y, rank) in enumerate(places)]
    one = place_labels(labels, Occupied(), 0.1)
    other = place_labels(labels[::-1], Occupied(), 0.1)
    assert one == other


def test_the_more_important_one_stands() -> None:
    outlet = label("a", 0, 0, rank=3)
    frame = label("z", 5, 0, rank=0)
    placed = place_labels([outlet, frame], Occupied(), 0.01)
    assert placed[0].label is frame
    assert placed[0].dx_px == 6.0
    assert placed[1].dx_px != 6.0


def test_a_label_keeps_off_symbols() -> None:
    occupied = Occupied()
    occupied.take(QRectF(0, -10, 60, 20))
    (placed,) = place_labels([label("a", 0, 0)], occupied, 1.0)
    assert placed.dx_px == -46.0


def test_a_label_lies_on_a_line_only_where_nothing_else_is_free() -> None:
    occupied = Occupied()
    occupied.avoid(QRectF(0, -10, 60, 20))
    (beside,) = place_labels([label("a", 0, 0)], occupied, 1.0)
    assert beside.dx_px == -46.0
    occupied.take(QRectF(-60, -40, 60, 80))
    occupied.take(QRectF(0, 8, 60, 40))
    occupied.take(QRectF(0, -40, 60, 30))
    (upon,) = place_labels([label("b", 0, 0)], occupied, 1.0)
    assert upon.dx_px == 6.0


def test_of_labels_with_one_key_the_first_that_fits_is_taken() -> None:
    long, short = label("a", 0, 0, wide=90.0), label("a", 0, 0, wide=30.0)
    assert [p.label for p in place_labels([long, short], Occupied(), 1.0)] == [long]
    narrow = Occupied()
    for side in (QRectF(50, -100, 500, 200), QRectF(-540, -100, 500, 200)):
        narrow.take(side)
    assert [p.label for p in place_labels([long, short], narrow, 1.0)] == [short]
