"""Who serves: fixed, reserved for a tenant, for a service, by a zone, by the space's rule."""

from app.design import evaluate, reason_of
from app.design.alternatives import why_this_frame
from app.model.entities import ServingZone
from app.model.vocabulary import SpaceUse, State
from tests.routing.buildings import Draft, made


def hall(*, space=None, port=None, a=None, b=None, c=None) -> Draft:
    """A hall with a basket, an outlet at x = 5, and frames A, B, C at 10, 20 and 30 m."""
    draft = Draft(levels=(0,), allowance_permille=0)
    draft.space("h", 0, 0, 0, 40_000, 9_000, **({"use": SpaceUse.HALL} | (space or {})))
    draft.pathway("p", 0, [(0, 8_000, 3_000), (40_000, 8_000, 3_000)])
    for name, x, more in (("a", 10_000, a), ("b", 20_000, b), ("c", 30_000, c)):
        draft.frame(name, 0, x, 9_500, **(more or {}))
    return draft.outlet("o", 0, 5_000, 5_000, port=port)


def zone(draft: Draft, name: str, frame: str, x0: int, x1: int) -> Draft:
    return draft.add(
        ServingZone(
            id=made("serving-zone", name),
            floor=made("floor", "0"),
            outline=((x0, 0), (x1, 0), (x1, 9_000), (x0, 9_000)),
            frame=made("frame", frame),
        )
    )


def served_by(draft: Draft) -> str | None:
    runs = evaluate(draft.project()).runs
    frame = runs.frame_of(0)
    return None if frame is None else frame[-1]


def test_without_more_the_nearest_serves():
    assert served_by(hall()) == "a"


def test_a_zone_sends_its_outlets_to_its_frame_and_the_smallest_counts():
    draft = zone(hall(), "z", "b", 0, 20_000)
    assert served_by(draft) == "b"
    assert why_this_frame(evaluate(draft.project()), made("port", "o1")) == (
        "It stands in a serving zone of this frame."
    )
    assert served_by(zone(draft, "y", "c", 0, 9_000)) == "c"
    assert served_by(zone(hall(), "z", "b", 6_000, 20_000)) == "a"


def test_a_zone_does_not_cut_a_space_that_is_served_whole():
    assert served_by(zone(hall(space={"divisible": False}), "z", "b", 0, 20_000)) == "a"


def test_a_zone_of_a_frame_that_goes_or_is_yet_to_come_says_nothing():
    assert served_by(zone(hall(b={"state": State.FUTURE}), "z", "b", 0, 20_000)) == "a"


def test_a_tenant_goes_to_the_frame_reserved_for_it_and_nobody_else_does():
    reserved = {"reserved_tenant": "customs"}
    assert served_by(hall(space={"tenant": "customs"}, b=reserved)) == "b"
    assert served_by(hall(space={"tenant": "kiosk"}, a=reserved)) == "b"
    assert served_by(hall(a=reserved)) == "b"
    assert served_by(hall(space={"tenant": "customs"})) == "a"


def test_a_service_goes_to_the_frame_reserved_for_it_and_nothing_else_does():
    reserved = {"reserved_service": "cctv"}
    assert served_by(hall(port={"service": "cctv"}, c=reserved)) == "c"
    assert served_by(hall(port={"service": "data"}, a=reserved)) == "b"


def test_the_tenant_goes_before_the_service_and_both_before_the_zone():
    tenant, service = {"reserved_tenant": "customs"}, {"reserved_service": "cctv"}
    both = hall(space={"tenant": "customs"}, port={"service": "cctv"}, b=tenant, c=service)
    assert served_by(both) == "b"
    assert served_by(zone(both, "z", "a", 0, 20_000)) == "b"
    fixed = {"service": "cctv", "frame": made("frame", "a")}
    assert served_by(hall(space={"tenant": "customs"}, port=fixed, b=tenant, c=service)) == "a"


def test_a_reserved_frame_that_may_not_serve_the_floor_is_named():
    draft = Draft(levels=(0, 4_000))
    draft.space("r", 0, 0, 0, 9_000, 9_000, tenant="customs")
    draft.frame("a", 0, 1_000, 1_000).frame("b", 1, 1_000, 1_000, reserved_tenant="customs")
    design = evaluate(draft.outlet("o", 0, 5_000, 5_000).project())
    assert design.runs.frame_of(0) is None
    assert reason_of(design, made("port", "o1")) == (
        "Its cables are reserved for frame B, which may not serve floor 0."
    )


def test_where_all_frames_are_reserved_for_others_that_is_said():
    held = {"reserved_tenant": "customs"}
    design = evaluate(hall(a=held, b=held, c=held).project())
    assert reason_of(design, made("port", "o1")) == (
        "The frames that may serve floor 0 are reserved for others."
    )


def test_ports_of_one_room_to_which_other_frames_are_open_go_apart():
    draft = hall(
        space={"divisible": False}, port={"service": "cctv"}, c={"reserved_service": "cctv"}
    )
    draft.outlet("q", 0, 6_000, 5_000)
    runs = evaluate(draft.project()).runs
    assert [str(runs.frame_of(r))[-1] for r in range(2)] == ["c", "a"]
