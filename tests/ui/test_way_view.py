"""The way down of an outlet as the panel tells it."""

from app.design import evaluate
from app.design.ways_down import way_down_of
from app.model.vocabulary import Units
from app.ui.panel.way_view import told
from tests.routing.buildings import Draft, made


def test_the_story_in_one_line() -> None:
    # practice: from 0.45 m to 3.00; the stub ends 0.15 m over a ceiling of 2.70.
    draft = Draft().pathway("b", 0, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
    draft.frame("f", 0, 2_000, 15_000).outlet("o", 0, 42_000, 5_000, height_mm=450, ports=2)
    design = evaluate(draft.project())
    way = way_down_of(design, design.project.outlets[made("outlet", "o")])
    assert told(way, Units.METRIC) == (
        "Drop in the wall cavity 2.55 m. "
        "Single gang back box by others; stub Ø 27 2.40 m by others."
    )
