"""What joins what, rule by rule."""

from itertools import pairwise

import networkx as nx
import pytest

from app.model.vocabulary import PathwayKind
from app.routing.joints import Joints, build_joints
from tests.routing.buildings import Draft, made


def graph_of(joints: Joints) -> nx.MultiGraph:
    """The junctions and the pieces between them, made without the network's own code."""
    graph = nx.MultiGraph()
    cuts = list(
        zip(
            joints.cut_stretch.tolist(),
            joints.cut_offset.tolist(),
            joints.cut_group.tolist(),
            strict=True,
        )
    )
    for (s, a, one), (t, b, other) in pairwise(cuts):
        if s == t:
            thing = joints.stretches.things[joints.stretches.thing[s]]
            graph.add_edge(one, other, weight=b - a, thing=thing)
    for one, other, length in zip(
        joints.link_from.tolist(), joints.link_to.tolist(), joints.link_length.tolist(), strict=True
    ):
        graph.add_edge(one, other, weight=length, thing=None)
    return graph


def end_groups(joints: Joints, thing: str) -> tuple[int, int]:
    """The junctions at the two ends of a thing."""
    k = joints.stretches.things.index(thing)
    first, stop = joints.stretches.first_of_thing[k : k + 2]
    cuts = list(zip(joints.cut_stretch, joints.cut_offset, joints.cut_group, strict=True))
    start = next(g for s, o, g in cuts if s == first and o == 0)
    end = next(g for s, o, g in cuts if s == stop - 1 and o == joints.stretches.length[stop - 1])
    return int(start), int(end)


def way(draft: Draft, one: tuple[str, int], other: tuple[str, int]) -> float | None:
    """The shortest way between two ends of pathways, None if they are not joined."""
    joints = build_joints(draft.project())
    graph = graph_of(joints)
    a = end_groups(joints, made("pathway", one[0]))[one[1]]
    b = end_groups(joints, made("pathway", other[0]))[other[1]]
    try:
        return nx.shortest_path_length(graph, a, b, weight="weight")
    except nx.NetworkXNoPath:
        return None


def two(height: int, *, kind: PathwayKind = PathwayKind.BASKET, **settings: int) -> Draft:
    """A along y = 0 from x 0 to 10 m at 3.00; B crosses it at x = 4 m in the middle of both."""
    draft = Draft(**settings).pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    return draft.pathway("b", 0, [(4_000, -3_000, height), (4_000, 5_000, height)], kind)


def test_open_kinds_that_cross_at_the_same_height_are_joined():
    assert way(two(3_000), ("a", 0), ("b", 1)) == 4_000 + 5_000


def test_a_crossing_within_fifty_millimetres_of_height_joins_by_a_vertical_piece():
    assert way(two(3_050), ("a", 0), ("b", 1)) == 4_000 + 50 + 5_000
    assert way(two(3_051), ("a", 0), ("b", 1)) is None


def test_a_crossing_at_another_height_joins_by_a_drop_out_only():
    draft = two(3_400)
    assert way(draft, ("a", 0), ("b", 1)) is None
    assert way(draft.drop_out("d", 0, "b", "a", 4_000, 0), ("a", 0), ("b", 1)) == 9_400


def test_a_drop_out_that_lies_on_one_of_them_only_joins_nothing():
    draft = two(3_400).drop_out("d", 0, "a", "b", 4_100, 0)
    assert way(draft, ("a", 0), ("b", 1)) is None


def test_conduits_never_join_in_mid_length():
    draft = two(3_000, kind=PathwayKind.CONDUIT)
    assert way(draft, ("a", 0), ("b", 1)) is None


def test_a_drop_out_joins_a_conduit_at_its_box():
    draft = two(3_400, kind=PathwayKind.CONDUIT).drop_out("d", 0, "a", "b", 4_000, 0)
    assert way(draft, ("a", 0), ("b", 1)) is None
    assert way(draft.box("p", 0, "b", 4_000, 0), ("a", 0), ("b", 1)) == 9_400


def test_the_user_can_keep_a_crossing_apart():
    draft = two(3_000).kept_apart("k", 0, "b", "a", 4_000, 0)
    assert way(draft, ("a", 0), ("b", 1)) is None


def test_a_break_elsewhere_keeps_nothing_apart():
    draft = two(3_000).kept_apart("k", 0, "a", "b", 6_000, 0)
    assert way(draft, ("a", 0), ("b", 1)) == 9_000


@pytest.mark.parametrize(("away", "joined"), [(0, True), (20, True), (21, False)])
def test_an_end_joins_within_the_tolerance(away, joined):
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    draft.pathway("b", 0, [(4_000, away, 3_000), (4_000, 5_000, 3_000)])
    length = way(draft, ("a", 0), ("b", 1))
    assert (length is not None) is joined
    if joined:
        assert length == 4_000 + 5_000 - away


def test_an_end_joins_whatever_lies_under_it_by_a_vertical_piece():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    draft.pathway("b", 0, [(4_000, 0, 4_400), (4_000, 5_000, 4_400)])
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 1_400 + 5_000


def test_a_vertex_joins_as_an_end_does():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    draft.pathway("b", 0, [(2_000, 4_000, 3_500), (4_000, 0, 3_500), (6_000, 4_000, 3_500)])
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 500 + 4_472


def test_a_bend_of_a_conduit_is_no_place_to_join():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    bent = [(2_000, 4_000, 3_000), (4_000, 0, 3_000), (6_000, 4_000, 3_000)]
    assert way(draft.conduit("b", 0, bent), ("a", 0), ("b", 1)) is None
    assert way(draft.box("p", 0, "b", 4_000, 0), ("a", 0), ("b", 1)) == 4_000 + 4_472


def test_an_end_joins_a_conduit_at_its_ends_and_boxes_only():
    draft = Draft().conduit("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    draft.pathway("b", 0, [(4_000, 0, 3_000), (4_000, 5_000, 3_000)])
    assert way(draft, ("a", 0), ("b", 1)) is None
    assert way(draft.box("p", 0, "a", 4_000, 0), ("a", 0), ("b", 1)) == 9_000
    end_to_end = Draft().conduit("a", 0, [(0, 0, 3_000), (4_000, 0, 3_000)])
    end_to_end.conduit("b", 0, [(4_000, 0, 2_500), (4_000, 5_000, 2_500)])
    assert way(end_to_end, ("a", 0), ("b", 1)) == 4_000 + 500 + 5_000


def test_an_in_floor_duct_is_joined_at_its_inserts():
    draft = Draft().pathway(
        "a", 0, [(0, 0, -60), (10_000, 0, -60)], PathwayKind.IN_FLOOR_DUCT, insert_spacing_mm=2_000
    )
    draft.conduit("b", 0, [(4_000, 0, -60), (4_000, 5_000, -60)])
    draft.conduit("e", 0, [(5_000, 0, -60), (5_000, 5_000, -60)])
    assert way(draft, ("a", 0), ("b", 1)) == 9_000
    assert way(draft, ("a", 0), ("e", 1)) is None


def test_an_upright_stretch_is_joined_at_the_height_of_what_it_passes():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (10_000, 0, 3_000)])
    draft.pathway("b", 0, [(4_000, 0, 500), (4_000, 0, 4_000), (4_000, 5_000, 4_000)])
    assert way(draft, ("a", 0), ("b", 0)) == 4_000 + 2_500
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 1_000 + 5_000


def test_floors_are_joined_by_risers_only_pathway_level_to_pathway_level():
    draft = Draft(levels=(0, 5_400)).pathway("a", 0, [(0, 0, 3_100), (4_000, 0, 3_100)])
    draft.pathway("b", 1, [(4_000, 0, 3_300), (9_000, 0, 3_300)])
    assert way(draft, ("a", 0), ("b", 1)) is None
    draft.riser("r", 0, 1, (4_000, 0))
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 5_600 + 5_000


def test_a_riser_with_its_ends_apart_has_its_true_length():
    draft = Draft(levels=(0, 4_000)).pathway("a", 0, [(0, 0, 3_000), (4_000, 0, 3_000)])
    draft.pathway("b", 1, [(7_000, 0, 3_000), (9_000, 0, 3_000)])
    draft.riser("r", 0, 1, (4_000, 0), (7_000, 0))
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 5_000 + 2_000


def test_a_riser_serves_the_floors_it_passes():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (4_000, 0, 3_000)])
    draft.pathway("b", 1, [(4_000, 0, 2_500), (9_000, 0, 2_500)])
    draft.pathway("e", 2, [(4_000, 0, 3_000), (9_000, 0, 3_000)])
    draft.riser("r", 0, 2, (4_000, 0))
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 3_500 + 5_000
    assert way(draft, ("b", 1), ("e", 1)) == 5_000 + 4_500 + 5_000
    assert way(draft, ("a", 0), ("e", 1)) == 4_000 + 8_000 + 5_000


def test_a_conduit_that_passes_a_riser_does_not_meet_it():
    draft = Draft().pathway("a", 0, [(0, 0, 3_000), (4_000, 0, 3_000)])
    draft.conduit("b", 1, [(2_000, 0, 3_000), (9_000, 0, 3_000)])
    draft.riser("r", 0, 1, (4_000, 0))
    assert way(draft, ("a", 0), ("b", 1)) is None
    assert way(draft.box("p", 1, "b", 4_000, 0), ("a", 0), ("b", 1)) == 4_000 + 4_000 + 5_000


def test_an_outdoor_duct_is_joined_at_its_ends():
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, -800), (4_000, 0, -800)])
    draft.pathway("b", 0, [(30_000, 0, 200), (34_000, 0, 200)])
    draft.pathway("e", 0, [(15_000, 0, -800), (15_000, 5_000, -800)])
    draft.duct("d", 0, 0, [(4_000, 0, -800), (15_000, 0, -800), (30_000, 0, -800)])
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 26_000 + 1_000 + 4_000
    assert way(draft, ("a", 0), ("e", 1)) is None


def test_a_line_that_comes_back_to_its_first_point_is_a_ring():
    ring = [
        (0, 0, 3_000),
        (4_000, 0, 3_000),
        (4_000, 4_000, 3_000),
        (0, 4_000, 3_000),
        (0, 0, 3_000),
    ]
    draft = Draft().pathway("a", 0, ring).pathway("b", 0, [(0, 4_000, 3_000), (0, 9_000, 3_000)])
    assert way(draft, ("a", 0), ("b", 1)) == 4_000 + 5_000


def test_the_order_of_adding_changes_nothing():
    one = two(3_000)
    one.pathway("e", 0, [(10_000, 0, 3_000), (10_000, 7_000, 2_000)]).riser("r", 0, 1, (0, 0))
    one.pathway("g", 1, [(0, 0, 3_000), (6_000, 0, 3_000)])
    other = Draft()
    other.things = list(reversed(one.things))
    a, b = build_joints(one.project()), build_joints(other.project())
    assert a.stretches.things == b.stretches.things
    for name in ("cut_stretch", "cut_offset", "cut_group", "link_from", "link_to", "link_length"):
        assert getattr(a, name).tolist() == getattr(b, name).tolist()
