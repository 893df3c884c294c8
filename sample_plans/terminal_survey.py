"""What was found, told and agreed in the terminal, beside what was drawn.

Old outlets in the workshop, a reserved frame, the client's list, rated walls and what passes
them, a walked length, numbers that are printed, phases, kits. None of it changes where a new
run goes or how long it is.
"""

from datetime import date
from typing import Any

import terminal_building as building
from builder import mm
from msgspec.structs import replace
from terminal_rooms import MISTYPED

from app.design import evaluate
from app.editor.commands.client_list import read_in, set_room
from app.editor.commands.kits import make_kit
from app.editor.commands.outlets import OutletPlace, Standing, place_outlets
from app.editor.commands.panel_ports import give_ports
from app.editor.commands.penetrations import (
    Opening,
    accept_proposed,
    add_penetration,
    proposed,
)
from app.editor.commands.printing import mark_printed
from app.editor.room_lists.account import account_of
from app.editor.room_lists.made_out import make_out
from app.model.entities import (
    CableType,
    Entity,
    Frame,
    OldPlace,
    Outlet,
    OutletKind,
    Panel,
    PanelPort,
    Pathway,
    Penetration,
    Port,
    PortTemplate,
    Riser,
    Space,
    TesterRecord,
    WalkedLength,
)
from app.model.ids import Source, new_id
from app.model.project import Patch, Project, adding, changing
from app.model.vocabulary import Fixture, ProvidedBy, State
from app.standards import load_rules
from app.storage.list_rows import ListFile

SURVEYOR = "The surveyor (invented)"
READ_ON = date(2026, 10, 20)
PHASES = ("Building", "Extension")
EXTENSION_FROM_X_M = 101.5
TENANT = "Border police and customs"
TENANT_ROOMS = ("0.16", "0.17")
RATED, CLOSED_BY = "EI 60", "Fire-stop bags in a frame"
LEFT_OPEN = ("2", 101.5)
"""The rated wall that nobody has closed yet: its floor, and where."""
OLD_CABLES = (("old 1", 22.1, 31.6), ("old 2", 29.0, 31.6), ("old 3", 35.9, 31.6))
"""Names on the plates, and where they stand in the workshop."""


class Survey:
    """The project, as one thing after the other is added to it."""

    def __init__(self, things: list[Entity], source: Source) -> None:
        self.project = Project(things)
        self.source = source

    def add(self, patch: Patch) -> None:
        self.project = self.project.apply(patch)

    def new_id(self, tag: str) -> str:
        return new_id(tag, {e.id for e in self.project.entities()}, self.source)

    def outlet(self, number: str) -> Outlet:
        return next(o for o in self.project.outlets.values() if o.number == number)

    def frame(self, name: str) -> Frame:
        return next(f for f in self.project.frames.values() if f.name == name)

    def space(self, number: str) -> Space:
        return next(s for s in self.project.spaces.values() if s.number == number)

    def floor(self, name: str) -> str:
        return next(f.id for f in self.project.floors.values() if f.name == name)


def surveyed(things: list[Entity], source: Source, rooms: ListFile) -> list[Entity]:
    """Everything of the terminal with what was found there."""
    survey = Survey(things, source)
    for step in (_phases, _old_cables, _reserved_frame, _walked, _penetrations, _kits):
        step(survey)
    _client_list(survey, rooms)
    _numbers(survey)
    return list(survey.project.entities())


def _phases(survey: Survey) -> None:
    """The west is the building, whatever begins east of the bay line the extension."""
    project = survey.project
    pairs: list[tuple[Any, Any]] = [(project.settings, replace(project.settings, phases=PHASES))]
    for thing in project.entities():
        x_mm = _x_mm(thing)
        if x_mm is not None:
            pairs.append((thing, replace(thing, phase=1 + (x_mm > mm(EXTENSION_FROM_X_M)))))  # type: ignore[call-arg]
    survey.add(changing("Tell the phases", pairs))


def _x_mm(thing: Entity) -> int | None:
    match thing:
        case Outlet() | Frame():
            return thing.x_mm
        case Pathway():
            return min(x for x, *_ in thing.vertices)
        case Riser():
            return thing.lower[0]
    return None


def _old_cables(survey: Survey) -> None:
    """The workshop was cabled once: two outlets of it serve on, one of them elsewhere, and three
    of the telephones of that day are to be taken out."""
    frame = survey.frame("0A")
    old_cable = CableType(
        id=survey.new_id("cable-type"), name="Cat 5 U/UTP, old", category="5", od_mm=5.3
    )
    panels = (
        Panel(name="A", cable_type=_copper(survey).id, state=State.EXISTING),
        Panel(name="Z", cable_type=old_cable.id, state=State.TO_REMOVE),
    )
    survey.add(adding("Old cable", [old_cable]))
    standing = replace(frame, state=State.EXISTING, panels=panels)
    survey.add(changing("Frame 0A stands", [(frame, standing)]))
    room = survey.space("0.12")
    stays, moves = (o for o in _in_room(survey, room, "Data, wall")[:2])
    survey.add(
        changing("Old outlets", [(stays, _found(stays, frame)), (moves, _moved(moves, frame))])
    )
    kind = OutletKind(
        id=survey.new_id("outlet-kind"),
        name="Old telephone outlet",
        height_mm=1_200,
        ports=(PortTemplate(service="telephone", cable_type=old_cable.id),),
        fixture=Fixture.SURFACE_BOX,
    )
    survey.add(adding("Old kind", [kind]))
    for place, (name, x, y) in enumerate(OLD_CABLES, start=1):
        port = Port(
            id=survey.new_id("port"),
            service="telephone",
            cable_type=old_cable.id,
            cable_number=f"T{place:02d}",
            ends_at=PanelPort(frame=frame.id, panel="Z", port=place),
            frame=frame.id,
            lying_mm=None if place == 2 else 36_000 + 2_000 * place,
        )
        outlet = Outlet(
            id=survey.new_id("outlet"),
            floor=room.floor,
            kind=kind.id,
            number=name,
            number_printed=True,
            x_mm=mm(x),
            y_mm=mm(y),
            rotation_mdeg=270_000,
            ports=(port,),
            state=State.TO_REMOVE,
            phase=1,
            note="capped at both ends until it is pulled" if place == 2 else "",
        )
        survey.add(adding("Old outlet", [outlet]))


def _copper(survey: Survey) -> CableType:
    return next(c for c in survey.project.cable_types.values() if c.category == "6A")


def _in_room(survey: Survey, room: Space, kind: str) -> list[Outlet]:
    project = survey.project
    return [
        o
        for o in project.outlets.values()
        if project.outlet_kinds[o.kind].name == kind and _stands_in(o, room)
    ]


def _found(outlet: Outlet, frame: Frame) -> Outlet:
    """It stays where it is, with the tester's word for both its cables."""
    tests = (
        TesterRecord(passed=True, length_mm=length, date="2026-10-12")
        for length in (43_600, 43_700)
    )
    ports = tuple(
        replace(p, test=test, ends_at=PanelPort(frame=frame.id, panel="A", port=i))
        for i, (p, test) in enumerate(zip(outlet.ports, tests, strict=True), start=1)
    )
    return replace(outlet, state=State.EXISTING, ports=ports, note="as found")


def _moved(outlet: Outlet, frame: Frame) -> Outlet:
    """It comes from the corner by the frame, and its cables are too short for that."""
    ports = tuple(
        replace(p, lying_mm=31_000, ends_at=PanelPort(frame=frame.id, panel="A", port=i))
        for i, p in enumerate(outlet.ports, start=3)
    )
    place = OldPlace(floor=outlet.floor, x_mm=mm(35.0), y_mm=mm(16.65))
    return replace(
        outlet, state=State.TO_RELOCATE, was_at=place, ports=ports, note="from beside the door"
    )


def _reserved_frame(survey: Survey) -> None:
    """Border police and customs want a locked frame of their own, and have not ordered it yet:
    until it is new instead of future, their runs end at 1B in a locked panel."""
    project = survey.project
    frame = Frame(
        id=survey.new_id("frame"),
        floor=survey.floor("0"),
        name="0P",
        x_mm=mm(107.0),
        y_mm=mm(18.0),
        rotation_mdeg=90_000,
        reserved_tenant=TENANT,
        state=State.FUTURE,
        phase=2,
        provided_by=ProvidedBy.OTHERS,
        note="Locked, their own key. Their runs end at 1B in a locked panel until it is ordered.",
    )
    rooms = [s for s in project.spaces.values() if s.number in TENANT_ROOMS]
    survey.add(adding("Reserved frame", [frame]))
    survey.add(changing("Tenants", [(s, replace(s, tenant=TENANT)) for s in rooms]))


def _walked(survey: Survey) -> None:
    """What somebody walked and wrote down: the baskets of the inspection hall go round a duct
    that is in no drawing."""
    along = next(p for p in survey.project.pathways.values() if p.number == "H0-7.25n")
    walked = WalkedLength(
        id=survey.new_id("walked-length"),
        floor=along.floor,
        along=along.id,
        x_mm=mm(7.25),
        y_mm=mm(20.0),
        added_mm=1_500,
        reason="as walked: round the exhaust duct of the plant",
        by=SURVEYOR,
        date="2026-10-12",
    )
    survey.add(adding("Walked length", [walked]))


def _penetrations(survey: Survey) -> None:
    """The rated walls on every spine, the walls that branches pass, and the slabs of the risers."""
    for storey in building.STOREYS:
        spine = next(p for p in survey.project.pathways.values() if p.number == f"S{storey.name}")
        for x in building.RATED_WALLS_X:
            opening = Opening(
                width_mm=storey.spine_width_mm + 50,
                depth_mm=110,
                rating=RATED,
                barrier="" if (storey.name, x) == LEFT_OPEN else CLOSED_BY,
            )
            survey.add(
                add_penetration(
                    survey.project,
                    through_id=spine.id,
                    floor_id=spine.floor,
                    at=(mm(x), mm(building.SPINE_Y)),
                    opening=opening,
                    source=survey.source,
                )
            )
    survey.add(accept_proposed(survey.project, proposed(survey.project), source=survey.source))
    pairs = [(p, _inspected(p)) for p in survey.project.penetrations.values()]
    survey.add(changing("Inspected", [(a, b) for a, b in pairs if a != b]))


def _inspected(penetration: Penetration) -> Penetration:
    """Slabs are closed; what was looked at on site has its photographs."""
    phase = 1 + (penetration.x_mm > mm(EXTENSION_FROM_X_M))
    if penetration.rating == RATED and penetration.barrier:
        return replace(penetration, photograph=f"photo {penetration.number}", phase=phase)
    if penetration.rating.startswith("EI 90"):
        return replace(
            penetration,
            barrier="Fire-stop mortar",
            photograph=f"photo {penetration.number}",
            inspected_by=SURVEYOR,
            inspected_on="2026-10-12",
            phase=phase,
        )
    return replace(penetration, phase=phase)


def _kits(survey: Survey) -> None:
    """Sets that come again and again: two made of what stands, two laid out for it."""
    _door_kit(survey)
    _desks_kit(survey)
    for name, number, note in (
        ("Gate lounge", "1.16", "two desks, their signs, wireless and cameras; as in 1.16"),
        ("Ticket desks", "0.02", "three desks of four ports with wireless; as in 0.02"),
    ):
        ids = [o.id for o in survey.project.outlets.values() if _stands_in(o, survey.space(number))]
        kit = make_kit(survey.project, ids, name=name, note=note, source=survey.source)
        survey.add(kit)


def _stands_in(outlet: Outlet, room: Space) -> bool:
    xs, ys = ([p[i] for p in room.outline] for i in (0, 1))
    return (
        outlet.floor == room.floor
        and min(xs) < outlet.x_mm < max(xs)
        and min(ys) < outlet.y_mm < max(ys)
    )


def _door_kit(survey: Survey) -> None:
    """A controller with our one cable; reader and strike with two of others, which end at it."""
    kinds = []
    for name, height_mm in (("Card reader", 1_100), ("Door strike", 1_050)):
        kinds.append(
            OutletKind(
                id=survey.new_id("outlet-kind"),
                name=name,
                symbol="door",
                height_mm=height_mm,
                way_provided_by=ProvidedBy.OTHERS,
                ports=(),
                fixture=Fixture.NONE,
                note="by others, with their own cable to the door controller",
            )
        )
        survey.add(adding("Kind", kinds[-1:]))
    door = next(k for k in survey.project.outlet_kinds.values() if k.name == "Door controller")
    _laid_out_kit(
        survey,
        "Door",
        "controller, reader, strike: one cable by us, two by others",
        [(door, 0.0, 0.0, ProvidedBy.US)]
        + [(k, x, 0.0, ProvidedBy.OTHERS) for k, x in zip(kinds, (0.7, -0.6), strict=True)],
    )


def _desks_kit(survey: Survey) -> None:
    box = next(k for k in survey.project.outlet_kinds.values() if k.name == "Floor box")
    places = [(box, x, y, ProvidedBy.US) for y in (0.0, 1.6) for x in (0.0, 1.6)]
    _laid_out_kit(survey, "Desk of four", "four work places face to face", places)


def _laid_out_kit(
    survey: Survey,
    name: str,
    note: str,
    places: list[tuple[OutletKind, float, float, ProvidedBy]],
) -> None:
    """A kit of outlets that stand nowhere yet, at metres from where it is taken hold of."""
    project, floor, ids = survey.project, survey.floor("0"), []
    for kind, x, y, by in places:
        one = place_outlets(
            project,
            [OutletPlace(x_mm=mm(x), y_mm=mm(y))],
            floor_id=floor,
            kind_id=kind.id,
            standing=Standing(provided_by=by),
            source=survey.source,
        )
        ids += one.ids
        project = project.apply(one)
    survey.add(
        make_kit(project, ids, name=name, note=note, origin=((0, 0), 0), source=survey.source)
    )


def _client_list(survey: Survey, rooms: ListFile) -> None:
    """The list as the client sent it; what is mistyped in it, a person has set right."""
    project, rules = survey.project, load_rules()
    account = account_of(project, rules, rooms, make_out(project, rooms, {}).how)
    taken = read_in(
        project,
        account,
        name="Room schedule",
        source_name=rooms.source_name,
        today=READ_ON,
        source=survey.source,
    )
    survey.add(taken.patch)
    for number, typed in MISTYPED.items():
        lines = [r.id for r in survey.project.room_lines.values() if r.number == typed]
        survey.add(set_room(survey.project, lines, survey.space(number).id))


def _numbers(survey: Survey) -> None:
    """Frame 0A has its panel ports and its labels are printed; the others come later."""
    frame = survey.frame("0A")
    survey.add(give_ports(evaluate(survey.project), frame_ids=[frame.id]))
    printed = [
        o.id
        for o in survey.project.outlets.values()
        if all(p.ends_at is not None and p.ends_at.frame == frame.id for p in o.ports)
    ]
    survey.add(mark_printed(survey.project, printed))
