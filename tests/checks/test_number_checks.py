"""What files may hold that no command would make: numbers and ports carried twice or nowhere."""

from msgspec.structs import replace

from app.checks.every_check import check_floor_outlets, check_numbers, check_outlets
from app.checks.finding import Severity
from app.model.entities import CableType, Entity, Frame, Outlet, Panel, PanelPort
from app.model.vocabulary import State
from tests.checks.test_every_check import facts
from tests.hand_designs import CABLE, FLOOR, FRAME, HandRun, base, code, outlet

PANEL = Panel(name="A", cable_type=CABLE, port_count=24)
AWAY = Frame(id="frame-00000002", floor=FLOOR, name="M", x_mm=9_000, y_mm=0)


def ending(made: Outlet, *ports: int, panel: str = "A", frame: str = FRAME, **more) -> Outlet:
    """The outlet with its first runs on these ports."""
    ends = [PanelPort(frame=frame, panel=panel, port=n) for n in ports]
    own = [replace(p, ends_at=e, **more) for p, e in zip(made.ports, ends, strict=False)] + list(
        made.ports[len(ports) :]
    )
    return replace(made, ports=tuple(own))


def things(*more: Entity) -> list[Entity]:
    return [
        *(replace(e, panels=(PANEL,)) if isinstance(e, Frame) else e for e in base()),
        AWAY,
        *more,
    ]


def name_of_frame() -> str:
    return next(e.name for e in base() if isinstance(e, Frame))


def rules_of(found) -> list[str]:
    return [f.rule for f in found]


def test_two_runs_on_one_port_are_told_with_both_names():
    given = facts(things(ending(outlet(1), 7), ending(outlet(2), 8, 7), outlet(3)))
    found = [f for f in check_numbers(given) if f.rule == "port_twice"]
    assert [f.text for f in found] == [
        f"Outlet 0-001 and outlet 0-002: more than one run ends on {name_of_frame()}-A07; "
        "give each its own."
    ]
    assert found[0].things == (f"outlet-{code(1)}", f"outlet-{code(2)}")


def test_every_shared_port_and_number_is_a_finding_of_its_own():
    same = [ending(outlet(n), 7, 8, cable_number="K1") for n in (1, 2)]
    given = facts(things(*same))
    found = [f for f in check_numbers(given) if f.rule in ("port_twice", "number_twice")]
    assert len({f.key for f in found}) == len(found) == 3
    assert all(t in given.project.outlets for f in found for t in f.things)
    assert "Outlet 0-001 and outlet 0-002: 4 cables carry the number K1; give each its own." in {
        f.text for f in found
    }


def test_numbers_carried_twice_are_told_whatever_the_file_says():
    given = facts(things(outlet(1), outlet(2, named="0-001"), outlet(3)))
    [found] = [f for f in check_numbers(given) if f.rule == "number_twice"]
    assert "0-001 is carried by 2 outlets" in found.text


def test_a_run_to_another_frame_than_its_port():
    runs = {f"outlet-{code(1)}": HandRun(frame=AWAY.id)}
    given = facts(things(ending(outlet(1), 7, 8), ending(outlet(2), 9)), runs)
    [found] = check_outlets(given, given.project.outlets)
    own = name_of_frame()
    assert found.text == (
        f"Outlet 0-001: given {own}-A07 and {own}-A08, but runs to frame M; take back its ports "
        f"and give them anew, or fix the frame to {own}."
    )
    assert found.severity is Severity.NOTE
    held = facts(things(ending(outlet(1), 7, printed=True)), runs)
    [grave] = check_outlets(held, held.project.outlets)
    assert grave.severity is Severity.WARN
    assert "release its numbers, take back its port" in grave.text
    gone = facts(things(replace(ending(outlet(1), 7), state=State.TO_REMOVE)), runs)
    assert check_outlets(gone, gone.project.outlets) == []


def test_ports_that_cannot_be():
    shielded = CableType(id="cable-type-00000009", name="F/UTP", shielded=True, od_mm=8.0)
    made = [
        ending(outlet(1), 7, panel="C"),
        ending(outlet(2), 25),
        ending(outlet(3, cable=shielded.id), 3),
        ending(outlet(4), 24),
    ]
    given = facts([*things(*made), shielded])
    found = check_outlets(given, given.project.outlets)
    assert rules_of(found) == ["port_not_on_panel"] * 3
    own = name_of_frame()
    assert f"{own}-C07, but frame {own} has no panel C" in found[0].text
    assert f"{own}-A25, but panel A has 24 ports" in found[1].text
    assert "panel A is for" in found[2].text


def test_existing_runs_that_do_not_say_where_they_end():
    standing = replace(PANEL, state=State.EXISTING)
    frames = [
        *(replace(e, panels=(standing,)) if isinstance(e, Frame) else e for e in base()),
        ending(outlet(1, state=State.EXISTING), 1),
        outlet(2),
    ]
    given = facts(frames)
    [found] = [f for f in check_floor_outlets(given, [FLOOR]) if f.rule == "existing_ports_unknown"]
    assert "1 existing run on" in found.text
    assert "until it does, new runs of their cable get no port" in found.text
    unsaid = facts(things(outlet(1, state=State.EXISTING)))
    assert "existing_ports_unknown" not in rules_of(check_floor_outlets(unsaid, [FLOOR]))


def test_new_runs_left_out_are_told_once_giving_has_begun():
    none_yet = facts(things(outlet(1), outlet(2)))
    assert "ports_not_given" not in rules_of(check_floor_outlets(none_yet, [FLOOR]))
    begun = facts(things(ending(outlet(1), 1), outlet(2), outlet(3, state=State.EXISTING)))
    [found] = [f for f in check_floor_outlets(begun, [FLOOR]) if f.rule == "ports_not_given"]
    assert found.text.startswith("3 new runs on ")
    assert found.things == (FLOOR, f"outlet-{code(1)}", f"outlet-{code(2)}")
    every = facts(things(ending(outlet(1), 1, 2), outlet(3, state=State.EXISTING)))
    assert "ports_not_given" not in rules_of(check_floor_outlets(every, [FLOOR]))
