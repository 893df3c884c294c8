"""Any script of events on a real document: never a broken project, and all of it undone."""

from hypothesis import given, settings
from hypothesis import strategies as st

from app.design.evaluate import evaluate
from app.editor.tools.next_drawn import NextPathway, NextRiser, NextRow
from app.editor.tools.tool import Key
from app.editor.tools.toolbox import TOOLS
from app.model.integrity import check_project
from app.model.vocabulary import PathwayKind
from tests.editor.scripted import Script
from tests.editor.small_building import GROUND, UPPER
from tests.effort import examples

SPOTS = [
    (1_000, 10),
    (3_000, 10),
    (12_000, 7_000),
    (18_000, 5_000),
    (8_000, 5_000),
    (8_000, 2_000),
    (8_000, 7_000),
    (8_000, 9_000),
    (10_000, 5_000),
    (13_500, 5_000),
    (4_000, 2_000),
    (16_000, 5_500),
    (500, 9_000),
    (4_500, 3_000),
    (6_000, 4_000),
    (0, 0),
]
ENTRIES = [
    "7.25",
    "2 east",
    "1 right 2 up",
    "30°",
    "3 45°",
    "x 3 y 4",
    "height 2.4",
    "slope 4",
    "4.5 by 3.2",
    "8 outlets",
    "every 2 m",
    "12'6\"",
    "nonsense",
    "+4 round the duct",
    "5 by tape",
    "-4",
    "0",
]

at = st.one_of(
    st.sampled_from(SPOTS),
    st.tuples(st.integers(-3_000, 22_000), st.integers(-3_000, 13_000)),
)
held = st.fixed_dictionaries({}, optional={k: st.just(True) for k in ("shift", "ctrl", "alt")})
event = st.one_of(
    st.tuples(st.just("take"), st.sampled_from(list(TOOLS))),
    st.tuples(st.sampled_from(["click", "press", "move", "release", "double_click"]), at, held),
    st.tuples(st.just("drag"), at, at, held),
    st.tuples(
        st.just("draw"),
        st.sampled_from(list(TOOLS)),
        st.lists(at, min_size=1, max_size=5),
        st.sampled_from(ENTRIES),
        held,
    ),
    st.tuples(st.just("pull"), st.integers(0, 40), at, at),
    st.tuples(st.just("type"), st.sampled_from(ENTRIES)),
    st.tuples(st.just("key"), st.sampled_from(list(Key)), held),
    st.tuples(st.just("floor"), st.sampled_from([GROUND, UPPER])),
    st.tuples(st.just("answer"), st.integers(0, 2)),
    st.tuples(st.sampled_from(["undo", "redo"])),
    st.tuples(st.just("select"), st.integers(0, 40)),
)
draws = st.fixed_dictionaries(
    {
        "pathway": st.sampled_from([NextPathway(kind=k) for k in PathwayKind]),
        "riser": st.sampled_from([NextRiser(), NextRiser(straight_up=False)]),
        "row": st.sampled_from([NextRow(), NextRow(count=3)]),
        "square": st.booleans(),
        "from_list": st.sampled_from([False, False, True]),
        "number_pattern": st.sampled_from(["{floor}-{nn}", "{nnn}", "{floor}"]),
    }
)


def _select(s: Script, index: int) -> None:
    things = [e.id for e in s.project.entities()]
    s.selection.set((things[index % len(things)],))


def _draw(s: Script, tool: str, points: list, entry: str, held: dict) -> None:
    """Take a tool, click, type something, and end it."""
    s.take(tool)
    for point in points:
        s.click(*point, **held)
    if s.hand.takes(entry[0]):
        s.type(entry)
        if s.hand.entry:
            s.key(Key.ESCAPE)
    s.double_click(points[0][0] + 1_500, points[0][1] + 2_500, **held)


def _do(s: Script, what: tuple) -> None:
    name = what[0]
    if name in ("click", "press", "move", "release", "double_click"):
        getattr(s, name)(*what[1], **what[2])
    elif name == "drag":
        s.drag(what[1], what[2], **what[3])
    elif name == "draw":
        _draw(s, *what[1:])
    elif name == "pull":
        s.take("select")
        _select(s, what[1])
        s.drag(what[2], what[3])
    elif name == "type":
        if s.hand.takes(what[1][0]):
            s.type(what[1])
    elif name == "key":
        s.key(what[1], **what[2])
    elif name == "answer":
        if s.last.question is not None:
            s.answer(min(what[1], len(s.last.question.answers) - 1))
    elif name in ("undo", "redo"):
        getattr(s.document, name)()
    elif name == "select":
        _select(s, what[1])
    else:
        getattr(s, name)(what[1])


@settings(max_examples=examples(60), deadline=None)
@given(draws=draws, events=st.lists(event, max_size=25))
def test_any_script_keeps_the_project_whole_and_can_be_undone(draws, events):
    s = Script(**draws)
    for what in events:
        _do(s, what)
        assert isinstance(s.hand.hint(), str)
        assert s.overlay is not None
        patch = s.hand.preview_patch()
        if patch is not None and patch.changes:
            s.document.preview(patch)
    check_project(s.project)
    assert s.document.design.summary == evaluate(s.project).summary
    while s.document.undo() is not None:
        check_project(s.project)
    assert s.project == s.first
    while s.document.redo() is not None:
        check_project(s.project)
