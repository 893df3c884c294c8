"""The ferry terminal as a project: its entities, from the plain tables beside this file."""

from collections import Counter

import terminal_building as building
from builder import Builder, mm
from outlet_kinds import KINDS, add_kinds
from terminal_outlets import Place, outlets

from app.model.entities import (
    BackboneCable,
    Building,
    CableType,
    Candidate,
    Demarcation,
    Entity,
    Floor,
    Frame,
    Outlet,
    OutletKind,
    Pathway,
    Port,
    Riser,
    Site,
    Space,
)
from app.model.ids import Source
from app.model.settings import Settings
from app.model.vocabulary import (
    Ceiling,
    FrameKind,
    FrameRole,
    Medium,
    PathwayKind,
    Serves,
    SpaceUse,
)

FACING_MDEG = {"n": 270_000, "s": 90_000, "e": 180_000, "w": 0, "-": 90_000}
"""Where an outlet looks, by the wall it sits on."""


def terminal_settings() -> Settings:
    """The defaults, but for the reach of halls and frames that serve the floors beside theirs."""
    return Settings(
        id="settings", reach_mm=12_000, serves=Serves.NEXT, outlet_pattern="{floor}-{nnn}"
    )


def terminal_entities(source: Source) -> list[Entity]:
    """Everything in the terminal but its plans."""
    made = Builder(source)
    made.add(
        Site(
            id="site",
            name="Ferry terminal (invented sample)",
            client="The invented port",
            revision="A",
            note="An invented building. Every name, number and price in it is made up. Desks, "
            "tills and kiosks in the halls are fed by service poles; the floor boxes of the "
            "open-plan office by baskets under its raised floor.",
        )
    )
    made.add(terminal_settings())
    house = made.add(Building(id=made.id("building"), name="Terminal"))
    floors = [
        made.add(
            Floor(
                id=made.id("floor"),
                building=house,
                name=storey.name,
                level_mm=mm(storey.level_m),
                floor_to_floor_mm=mm(storey.floor_to_floor_m),
                note=storey.title,
            )
        )
        for storey in building.STOREYS
    ]
    copper, fibre, pairs = _add_cable_types(made)
    kinds = add_kinds(made, copper)
    _add_spaces(made, floors)
    _add_pathways(made, floors)
    frames = _add_frames(made, floors)
    _add_outlets(made, floors, kinds, copper)
    _add_backbone(made, floors, frames, fibre, pairs)
    _add_underfloor(made, floors)
    return made.entities


def _add_cable_types(made: Builder) -> tuple[str, str, str]:
    copper = CableType(
        id=made.id("cable-type"),
        name="Cat 6A U/UTP",
        category="6A",
        od_mm=7.5,
        weight_g_per_m=60.0,
        flame_class="Cca-s1b,d1,a1",
    )
    fibre = CableType(
        id=made.id("cable-type"),
        name="Single-mode OS2, 24 strands",
        medium=Medium.FIBRE,
        category="OS2",
        od_mm=9.5,
        weight_g_per_m=85.0,
        flame_class="Cca-s1b,d1,a1",
        limit_mm=3_000_000,
        limit_source="lengths.backbone_single_mode",
        box_mm=1_000_000,
        box_usable_mm=1_000_000,
    )
    pairs = CableType(
        id=made.id("cable-type"),
        name="25 pairs Cat 3",
        category="3",
        od_mm=13.5,
        weight_g_per_m=210.0,
        flame_class="Cca-s1b,d1,a1",
        limit_mm=800_000,
        limit_source="lengths.backbone_voice",
        box_mm=500_000,
        box_usable_mm=500_000,
    )
    return made.add(copper), made.add(fibre), made.add(pairs)


def _ring(room: building.Room) -> tuple[tuple[int, int], ...]:
    x0, x1, y0, y1 = mm(room.x0), mm(room.x1), mm(room.y0), mm(room.y1)
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def _inside(inner: building.Room, outer: building.Room) -> bool:
    return (
        inner.floor == outer.floor
        and inner != outer
        and outer.x0 <= inner.x0
        and inner.x1 <= outer.x1
        and outer.y0 <= inner.y0
        and inner.y1 <= outer.y1
    )


def _add_spaces(made: Builder, floors: list[str]) -> None:
    islands = (*building.CLOSETS, *building.SHAFTS)
    for room in (*building.ROOMS, *building.CORE_ROOMS, *islands):
        made.add(
            Space(
                id=made.id("space"),
                floor=floors[room.floor],
                outline=_ring(room),
                holes=tuple(_ring(i) for i in islands if _inside(i, room)),
                number=room.number,
                name=room.name,
                use=SpaceUse(room.use),
                ceiling=Ceiling(room.ceiling),
                ceiling_height_mm=mm(room.ceiling_m),
                raised_floor_mm=(
                    mm(building.RAISED_FLOOR_M) if room.number in building.RAISED_FLOORS else 0
                ),
            )
        )
    for floor, name in ((0, "Quay edge"), (1, "Gangway landing")):
        edge = building.Room(floor, f"{floor}.Q", name, 0, 145, 32, 36, "outside")
        made.add(
            Space(
                id=made.id("space"),
                floor=floors[floor],
                outline=_ring(edge),
                number=edge.number,
                name=name,
                use=SpaceUse.OUTSIDE,
                ceiling=Ceiling.NONE,
                closed_to_cable=False,
            )
        )


def _pathway(
    made: Builder,
    floor: str,
    kind: str,
    points: tuple[tuple[float, float], ...],
    height_m: float,
    number: str,
    size: tuple[float, float] | None = None,
    **more: object,
) -> str:
    return made.add(
        Pathway(
            id=made.id("pathway"),
            floor=floor,
            kind=PathwayKind(kind),
            vertices=tuple((mm(x), mm(y), mm(height_m)) for x, y in points),
            number=number,
            width_mm=None if size is None else size[0],
            depth_mm=None if size is None else size[1],
            **more,  # type: ignore[arg-type]
        )
    )


def _add_pathways(made: Builder, floors: list[str]) -> None:
    y = building.SPINE_Y
    for storey, floor in zip(building.STOREYS, floors, strict=True):
        ends = ((storey.spine_from_x, y), (building.SPINE_TO_X, y))
        size = (storey.spine_width_mm, 60.0)
        _pathway(made, floor, "basket", ends, storey.spine_height_m, f"S{storey.name}", size)
    for stub in building.STUBS:
        height = building.STOREYS[stub.floor].spine_height_m
        ends = ((stub.x, y), (stub.x, stub.to_y))
        number = f"{'L' if stub.kind == 'ladder' else 'T'}{stub.floor}-{stub.x:g}"
        _pathway(made, floors[stub.floor], stub.kind, ends, height, number, (300.0, 60.0))
    for branch in building.BRANCHES:
        number = f"{'H' if branch.kind == 'hooks' else 'B'}{branch.floor}-{branch.x:g}"
        number += "s" if branch.to_y < y else "n"
        size = (100.0, 60.0) if branch.kind == "basket" else None
        ends = ((branch.x, y), (branch.x, branch.to_y))
        floor = floors[branch.floor]
        _pathway(made, floor, branch.kind, ends, branch.height_m, number, size)
    points = building.ENTRANCE_CONDUITS
    height = building.STOREYS[0].spine_height_m
    _pathway(made, floors[0], "conduit", points, height, "C0-entrance", bore_mm=103.0, count=2)
    for name, x, at in building.RISERS:
        made.add(
            Riser(
                id=made.id("riser"),
                number=name,
                lower_floor=floors[0],
                upper_floor=floors[2],
                lower=(mm(x), mm(at)),
                upper=(mm(x), mm(at)),
                bore_mm=103.0,
                count=3,
                fire_rating="EI 90",
            )
        )


def _add_underfloor(made: Builder, floors: list[str]) -> None:
    """Baskets from the ceiling of the open-plan office down into its raised floor."""
    top, under = mm(building.STOREYS[2].spine_height_m), mm(building.UNDERFLOOR_M)
    start, end = mm(building.UNDERFLOOR_FROM_Y), mm(building.UNDERFLOOR_TO_Y)
    for x in building.UNDERFLOOR_X:
        at = mm(x)
        made.add(
            Pathway(
                id=made.id("pathway"),
                floor=floors[2],
                kind=PathwayKind.BASKET,
                vertices=((at, start, top), (at, start, under), (at, end, under)),
                number=f"U2-{x:g}",
                width_mm=100.0,
                depth_mm=60.0,
                note="down the corridor wall and under the raised floor",
            )
        )


def _add_frames(made: Builder, floors: list[str]) -> dict[str, str]:
    ids = {}
    for name, floor, kind, x, y in building.FRAMES:
        main = kind == "main"
        roles = (FrameRole.BUILDING, FrameRole.FLOOR) if main else (FrameRole.FLOOR,)
        ids[name] = made.add(
            Frame(
                id=made.id("frame"),
                floor=floors[floor],
                name=name,
                kind=FrameKind(kind),
                roles=roles,
                x_mm=mm(x),
                y_mm=mm(y),
                rotation_mdeg=270_000,
                racks=2 if main or name == "1B" else 1,
            )
        )
    for name, floor, x, y, against in building.CANDIDATES:
        made.add(
            Candidate(
                id=made.id("candidate"),
                floor=floors[floor],
                name=name,
                x_mm=mm(x),
                y_mm=mm(y),
                reason_against=against,
            )
        )
    return ids


def _add_outlets(made: Builder, floors: list[str], kinds: dict[str, str], copper: str) -> None:
    counted: Counter[int] = Counter()
    for place in outlets():
        counted[place.floor] += 1
        number = f"{place.floor}-{counted[place.floor]:03d}"
        made.add(_outlet(made, place, floors, kinds, copper, number))


def _outlet(
    made: Builder, place: Place, floors: list[str], kinds: dict[str, str], copper: str, number: str
) -> Outlet:
    kind = KINDS[place.kind]
    template = next(e for e in made.of("outlet-kind") if e.id == kinds[place.kind])
    assert isinstance(template, OutletKind)
    ports = tuple(
        Port(
            id=made.id("port"),
            label=str(i + 1),
            service=t.service,
            cable_type=copper,
            cable_number=f"{number}-{i + 1}",
            power_class=t.power_class,
            termination=t.termination,
            added_mm=mm(place.added_m),
            length_reason=place.why,
        )
        for i, t in enumerate(template.ports)
    )
    height = place.height_m if place.height_m is not None else kind.height_m
    own = place.height_m is not None
    return Outlet(
        id=made.id("outlet"),
        floor=floors[place.floor],
        kind=kinds[place.kind],
        number=number,
        x_mm=mm(place.x),
        y_mm=mm(place.y),
        rotation_mdeg=FACING_MDEG[place.facing],
        height_mm=mm(height) if own and height is not None else None,
        ports=ports,
        note=place.name,
    )


def _add_backbone(
    made: Builder, floors: list[str], frames: dict[str, str], fibre: str, pairs: str
) -> None:
    x, y = building.DEMARCATION
    demarcation = made.add(
        Demarcation(
            id=made.id("demarcation"),
            floor=floors[0],
            name="Carriers' hand-over",
            x_mm=mm(x),
            y_mm=mm(y),
            carrier="(invented)",
        )
    )
    made.add(
        BackboneCable(
            id=made.id("backbone-cable"),
            name="Demarcation extension",
            from_id=demarcation,
            to_id=frames["M"],
            cable_type=fibre,
            strands=24,
            slack_from_mm=3_000,
            slack_to_mm=3_000,
        )
    )
    for name in ("0A", "1B"):
        for cable_type, words, strands in ((fibre, "fibre", 24), (pairs, "pairs", 25)):
            made.add(
                BackboneCable(
                    id=made.id("backbone-cable"),
                    name=f"M–{name} {words}",
                    from_id=frames["M"],
                    to_id=frames[name],
                    cable_type=cable_type,
                    strands=strands,
                )
            )
