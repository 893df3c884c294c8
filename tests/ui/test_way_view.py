"""The way down of an outlet as the panel tells and draws it."""

from itertools import combinations, pairwise

import pytest
from msgspec.structs import replace
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from app.design import evaluate
from app.design.ways_down import OutletWay, way_down_of
from app.model.entities import Space
from app.model.project import adding, changing
from app.model.vocabulary import Ceiling, Units, WayDown
from app.ui import look
from app.ui.palette import current
from app.ui.panel.panel import Panel
from app.ui.panel.way_view import WayView, told
from app.ui.pictures.way_section import WaySection, label_texts, levels, scale_of, spread
from app.ui.pictures.way_strokes import UPRIGHT_EM
from app.ui.session import Session
from tests.routing.buildings import Draft, made


def story() -> OutletWay:
    draft = Draft().pathway("b", 0, [(0, 12_000, 3_000), (60_000, 12_000, 3_000)])
    draft.frame("f", 0, 2_000, 15_000).outlet("o", 0, 42_000, 5_000, height_mm=450, ports=2)
    design = evaluate(draft.project())
    return way_down_of(design, design.project.outlets[made("outlet", "o")])


def way(way_down: WayDown, **more: object) -> OutletWay:
    fields: dict[str, object] = {
        "way": way_down,
        "outlet_mm": 450,
        "ceiling_mm": 2_700,
        "hangs_on": made("floor", "0"),
        "pathway_mm": 3_000,
        "leg_mm": 5_000,
        "bends": 1,
        "in_conduit": False,
        "conduit": 27,
        "pieces": (),
    }
    return OutletWay(**(fields | more))  # type: ignore[arg-type]


def picture(shown: OutletWay) -> QImage:
    section = WaySection()
    section.resize(section.sizeHint())
    section.show_way(shown, Units.METRIC)
    return section.grab().toImage()


def test_the_story_in_one_line() -> None:
    # practice: from 0.45 m to 3.00; the stub ends 0.15 m over a ceiling of 2.70.
    assert told(story(), Units.METRIC) == (
        "Drop in the wall cavity 2.55 m. "
        "Single gang back box by others; stub Ø 27 2.40 m by others."
    )


def test_the_section_names_its_heights_from_above() -> None:
    assert label_texts(story(), Units.METRIC) == [
        "pathway 3.00 m",
        "ceiling 2.70 m",
        "outlet 0.45 m",
        "floor 0.00 m",
    ]
    ceiling = way(WayDown.CEILING, outlet_mm=2_700)
    assert label_texts(ceiling, Units.METRIC)[1] == "ceiling and outlet 2.70 m"
    box = way(WayDown.RAISED_FLOOR, outlet_mm=0, pathway_mm=-150, void_mm=300)
    assert label_texts(box, Units.METRIC) == [
        "floor and outlet 0.00 m",
        "pathway −0.15 m",
        "slab −0.30 m",
    ]


@pytest.mark.parametrize("way_down", list(WayDown))
@pytest.mark.parametrize("outlet_mm", [-100, 0, 50, 2_650])
@pytest.mark.parametrize("pathway_mm", [None, -300, 0, 2_690, 6_000])
def test_no_word_lies_on_another_or_beyond_the_picture(
    way_down: WayDown, outlet_mm: int, pathway_mm: int | None
) -> None:
    shown = way(way_down, outlet_mm=outlet_mm, pathway_mm=pathway_mm)
    y = scale_of(shown, top=14, room=115)
    at = [y(mm) for _, mm in levels(shown)]
    assert at == sorted(at)
    assert min(at) > 13
    assert max(at) < 130
    tops = spread([v - 9 for v in at], high=18, room=143)
    assert all(b - a >= 18 - 1e-9 for a, b in pairwise(tops))
    assert tops[0] >= 0
    assert tops[-1] <= 143 - 18


def test_every_way_down_has_a_picture_of_its_own(dressed: object, qtbot: QtBot) -> None:
    alike = {"outlet_mm": 2_700, "pathway_mm": 3_000}
    for one, other in combinations(WayDown, 2):
        assert picture(way(one, **alike)) != picture(way(other, **alike)), (one, other)
    assert picture(story()) != picture(way(WayDown.WALL_CAVITY)), "box and stub are drawn"


def test_a_pole_ends_at_the_ceiling(dressed: object, qtbot: QtBot) -> None:
    shown = way(WayDown.SERVICE_POLE, outlet_mm=100, pathway_mm=3_600)
    image = picture(shown)
    y = scale_of(shown, top=look.em(1.1), room=image.height() - look.em(2.2))
    column = range(look.em(UPRIGHT_EM - 0.35) - 1, look.em(UPRIGHT_EM - 0.35) + 2)
    plain = current().color("ground").rgb()

    def drawn(mm: int) -> bool:
        return any(image.pixelColor(x, round(y(mm))).rgb() != plain for x in column)

    assert drawn(1_500)
    assert drawn(2_500)
    assert not drawn(3_150)


def test_sentence_and_picture_follow_a_drag_and_come_back(qtbot: QtBot, session: Session) -> None:
    floor = next(iter(session.project.floors))
    near = Space(
        id="space-00000002",
        floor=floor,
        outline=((20_000, 0), (30_000, 0), (30_000, 20_000), (20_000, 20_000)),
        ceiling=Ceiling.OPEN,
    )
    old = session.project.spaces["space-00000001"]
    smaller = replace(old, outline=((0, 0), (20_000, 0), (20_000, 20_000), (0, 20_000)))
    session.do(lambda: adding("Add", [near]))
    session.do(lambda: changing("Change", [(old, smaller)]))
    panel = Panel(session)
    qtbot.addWidget(panel)
    outlet = next(iter(session.project.outlets.values()))
    session.select([outlet.id])
    panel.refresh()
    (view,) = panel.findChildren(WayView)
    stands, drawn = view.said, view.section.way
    assert "stub" in stands

    moved = replace(outlet, x_mm=25_000)
    preview = session.document.preview(changing("Move", [(outlet, moved)]))
    panel.show_preview(preview)
    qtbot.waitUntil(lambda: view.said != stands, timeout=5_000)
    assert view.said == told(way_down_of(preview.design, moved), Units.METRIC)
    assert view.section.way is not None
    assert view.section.way.ceiling_mm is None
    panel.show_preview(None)
    qtbot.waitUntil(lambda: view.said == stands, timeout=5_000)
    assert view.section.way == drawn
