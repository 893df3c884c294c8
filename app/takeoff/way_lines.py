"""What ways down are made of: boxes, stubs, raceway, poles, fittings, conduit, by provider."""

from collections.abc import Iterable

from app.design.design import Design
from app.design.ways_down import OutletWay, WayPiece, way_down_of
from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import Fixture, ProvidedBy, WayPart
from app.standards import RuleSet
from app.takeoff.conduit_lines import Stretch, conduit_item, count_conduits, lengths_cut
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import length_words
from app.takeoff.states import PULLED

Group = tuple[str, ProvidedBy, str]
"""Floor, who provides it, and what it is called."""
Way = tuple[Outlet, OutletWay]
RACEWAY = "Surface raceway of a drop"
STUB = "Stub conduit"
GANGS = {1: "Back box, single gang", 2: "Back box, double gang"}


def new_ways(design: Design, rules: RuleSet) -> list[Way]:
    """The ways down of the outlets that are new, or come to another place."""
    outlets = design.project.outlets.values()
    return [(o, way_down_of(design, o, rules=rules)) for o in outlets if o.state in PULLED]


def count_ways(project: Project, ways: Iterable[Way], rules: RuleSet, tally: Tally) -> None:
    """The parts of new ways down; stubs, raceway and outdoor conduit by length too."""
    by_length: dict[Group, list[Stretch]] = {}
    for outlet, way in ways:
        for piece in way.pieces:
            name = _name_by_length(piece)
            if name is None:
                _count_piece(project, outlet, way, piece, tally)
            elif way.pathway_mm is None and piece.part is not WayPart.STUB:
                _add(tally, outlet, piece, f"{name}, length not known", basis="it has no route")
            elif piece.length_mm:
                bends = way.bends if piece.part is WayPart.CONDUIT else 0
                key = outlet.floor, piece.provided_by, name
                by_length.setdefault(key, []).append(Stretch(outlet.id, piece.length_mm, bends))
    for (floor, by, name), stretches in by_length.items():
        if name == RACEWAY:
            _count_raceway(project, floor, by, name, stretches, tally)
        elif name.startswith(STUB):
            why = _why_stub(project)
            count_conduits(project, floor, by, name, stretches, rules, tally, why=why)
            _count_bushings(floor, by, name, stretches, tally)
        else:
            why = "drop and leg as routed"
            count_conduits(project, floor, by, name, stretches, rules, tally, why=why)


def _name_by_length(piece: WayPiece) -> str | None:
    """What a part is called that is counted by its length; None for any other."""
    if piece.part is WayPart.STUB:
        return conduit_item(STUB, piece.conduit)
    if piece.part is WayPart.CONDUIT:
        return conduit_item("Outdoor conduit", piece.conduit)
    return RACEWAY if piece.part is WayPart.RACEWAY else None


def _why_stub(project: Project) -> str:
    settings = project.settings
    over = length_words(settings.stub_over_ceiling_mm, settings.units)
    return f"ends {over} over the ceiling; to the pathway where it is hard or there is none"


def _count_piece(
    project: Project, outlet: Outlet, way: OutletWay, piece: WayPiece, tally: Tally
) -> None:
    """A part that is counted by the piece."""
    settings = project.settings
    ports = f"{len(outlet.ports)} port{'' if len(outlet.ports) == 1 else 's'}"
    match piece.part:
        case WayPart.BACK_BOX:
            basis = f"single gang up to {settings.single_gang_ports} ports"
            _add(tally, outlet, piece, GANGS[piece.gangs], basis=basis)
        case WayPart.MOUNTING_BOX:
            _add(tally, outlet, piece, "Surface box behind a faceplate")
        case WayPart.POLE:
            high = f", {length_words(piece.length_mm, settings.units)}" if piece.length_mm else ""
            basis = "to the pathway" if way.ceiling_mm is None else "floor to ceiling"
            _add(tally, outlet, piece, f"Service pole{high}", basis=basis if high else "")
        case WayPart.POKE_THROUGH_FITTING:
            _add(tally, outlet, piece, f"Poke-through fitting for {ports}")
        case WayPart.CORED_HOLE:
            basis = "structural consent and a scan before it is drilled"
            _add(tally, outlet, piece, "Hole cored for a poke-through fitting", basis=basis)
        case WayPart.FLOOR_BOX if project.outlet_kinds[outlet.kind].fixture is not _FLOOR_BOX:
            _add(tally, outlet, piece, f"Floor box for {ports}")


_FLOOR_BOX = Fixture.FLOOR_BOX
"""An outlet of this fixture has its floor box counted as its plate."""


def _add(tally: Tally, outlet: Outlet, piece: WayPiece, item: str, *, basis: str = "") -> None:
    tally.add(
        Section.OUTLETS,
        item,
        1,
        things=[outlet.id],
        provided_by=piece.provided_by,
        floor=outlet.floor,
        basis=basis,
    )


def _count_bushings(
    floor: str, by: ProvidedBy, name: str, stretches: list[Stretch], tally: Tally
) -> None:
    tally.add(
        Section.PATHWAYS,
        f"{name}, bushing",
        len(stretches),
        things=[s.outlet for s in stretches],
        provided_by=by,
        floor=floor,
        basis="one at the open end",
    )


def _count_raceway(
    project: Project,
    floor: str,
    by: ProvidedBy,
    name: str,
    stretches: list[Stretch],
    tally: Tally,
) -> None:
    settings = project.settings
    straight_mm = settings.straight_length_mm
    lengths_mm = [s.length_mm for s in stretches]
    things = [s.outlet for s in stretches]
    tally.add(
        Section.PATHWAYS,
        name,
        sum(lengths_mm),
        unit=Unit.LENGTH,
        things=things,
        provided_by=by,
        floor=floor,
        basis="from the plate to the pathway",
        billed=False,
    )
    tally.add(
        Section.PATHWAYS,
        f"{name}, length of {length_words(straight_mm, settings.units)}",
        lengths_cut(lengths_mm, straight_mm=straight_mm),
        things=things,
        provided_by=by,
        floor=floor,
        basis="short ends are cut from common lengths",
    )
