"""The kit in hand: one click a stamp, turned by keys and walls, mirrored, undone one by one."""

from msgspec.structs import replace

from app.editor.commands.kits import make_kit
from app.editor.tools.tool import Key
from app.model.entities import Pathway
from app.model.project import adding
from tests.editor.scripted import Script
from tests.editor.small_building import (
    CONDUIT,
    DATA,
    GROUND,
    OUTLET_1,
    OUTLET_2,
    TRAY,
    building,
    source,
)


def _script(*ids):
    project = building()
    patch = make_kit(project, ids, name="Door", source=source())
    return Script("kit", project=project.apply(patch))


def _new(script):
    return [o for o in script.project.outlets.values() if o.id not in script.first.outlets]


def test_five_clicks_are_five_stamps_and_as_many_steps_back():
    script = _script(OUTLET_1, OUTLET_2)
    for k in range(5):
        script.click(8_000 + 1_000 * k, 8_000, alt=True)
    assert len(_new(script)) == 10
    assert script.hand.tool.name == "Kit"
    numbers = [o.number for o in _new(script)]
    assert numbers == [f"0-{n:02d}" for n in range(4, 14)]
    for left in (8, 6, 4, 2, 0):
        script.document.undo()
        assert len(_new(script)) == left
    assert script.project == script.first


def test_a_wall_turns_it_and_keeps_its_first_outlet_in_the_room():
    script = _script(OUTLET_1, OUTLET_2)
    script.click(19_980, 4_000)  # the wall at x = 20 m, from within
    first, second = _new(script)
    assert (first.x_mm, first.y_mm, first.rotation_mdeg) == (19_990, 4_000, 90_000)
    assert (second.x_mm, second.y_mm) == (19_990, 6_000)


def test_arrows_turn_and_mirror_it_and_a_typed_angle_sets_it():
    script = _script(OUTLET_1, OUTLET_2)
    script.move(10_000, 8_000, alt=True)
    script.key(Key.LEFT)
    script.click(10_000, 8_000, alt=True)
    assert [(o.x_mm, o.y_mm) for o in _new(script)] == [(10_000, 8_000), (10_000, 10_000)]
    script.key(Key.RIGHT)
    script.key(Key.UP)
    script.click(14_000, 8_000, alt=True)
    assert [(o.x_mm, o.y_mm) for o in _new(script)[2:]] == [(14_000, 8_000), (12_000, 8_000)]
    script.key(Key.UP)
    script.key(Key.LEFT, shift=True)
    assert script.hand.tool._turn_mdeg == 15_000
    script.type("90°")
    script.key(Key.ENTER)
    script.click(15_000, 5_500, alt=True)
    assert [(o.x_mm, o.y_mm) for o in _new(script)[4:]] == [(15_000, 5_500), (15_000, 7_500)]


def test_escape_first_turns_it_back_and_then_puts_it_away():
    script = _script(OUTLET_1)
    script.move(10_000, 8_000)
    script.key(Key.LEFT)
    script.key(Key.ESCAPE)
    assert script.hand.tool.name == "Kit"
    script.key(Key.ESCAPE)
    assert script.hand.tool.name == "Select"


def test_what_is_shown_under_the_pointer_is_what_a_click_makes():
    script = _script(OUTLET_1, OUTLET_2, CONDUIT)
    script.move(10_000, 8_000, alt=True)
    script.key(Key.UP)
    script.move(10_000, 8_500, alt=True)
    shown = [g.thing for g in script.overlay.ghosts]
    script.click(10_000, 8_500, alt=True)
    made = script.last.patch.changes
    assert [type(t) for t in shown] == [type(c.after) for c in made]
    for ghost, change in zip(shown, made, strict=True):
        if isinstance(ghost, Pathway):
            assert ghost.vertices == change.after.vertices
        else:
            assert (ghost.x_mm, ghost.y_mm) == (change.after.x_mm, change.after.y_mm)
        assert ghost.floor == change.after.floor == GROUND


def test_outlets_alone_are_rehearsed_with_their_lengths_and_pathways_are_not():
    script = _script(OUTLET_1, OUTLET_2)
    script.move(10_000, 8_000, alt=True)
    patch = script.hand.preview_patch()
    assert len(patch.changes) == 2
    assert script.document.preview(patch).design is not None
    script = _script(OUTLET_1, TRAY)
    script.move(10_000, 8_000, alt=True)
    assert script.hand.preview_patch() is None


def test_a_very_large_kit_shows_its_outline():
    project = building()
    outlet = project.outlets[OUTLET_1]
    many = [
        replace(outlet, id=f"outlet-9{k:07d}", x_mm=k * 10, number="", ports=()) for k in range(301)
    ]
    project = project.apply(adding("", many))
    patch = make_kit(project, [o.id for o in many], name="Many", source=source())
    script = Script("kit", project=project.apply(patch))
    script.move(10_000, 8_000, alt=True)
    assert script.overlay.ghosts == ()
    assert len(script.overlay.lines) == 1
    assert many[0].kind == DATA


def test_without_a_kit_it_says_how_to_make_one():
    script = Script("kit")
    assert "make" in script.hand.hint()
    assert "make" in script.click(10_000, 8_000).message
