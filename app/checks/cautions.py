"""The usual cautions, in one place: what can hurt someone, and who decides.

The program advises; local code, the site's rules and licensed practice decide. Evidence:
practice.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from app.model.entities import Outlet
from app.model.project import Project
from app.model.vocabulary import Ceiling, Medium, SpaceUse, State, WayDown

HIGH_MM = 3_500
"""From this height a ladder is no place to work from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """One caution; `applies` says of a project whether it is wanted there."""

    key: str
    title: str
    text: str
    applies: Callable[[Project], bool]


def cautions_of(project: Project) -> tuple[Caution, ...]:
    """The cautions that concern a project, in the order of the catalogue."""
    return tuple(c for c in CAUTIONS if c.applies(project))


def _always(_: Project) -> bool:
    return True


def _work_overhead(project: Project) -> bool:
    """New outlets or pathways where there is a ceiling to open or a wall to drill."""
    new = any(o.state is State.NEW for o in project.outlets.values())
    return new or any(p.state is State.NEW for p in project.pathways.values())


def _new_openings(project: Project) -> bool:
    risers, openings = project.risers.values(), project.penetrations.values()
    if any(r.state is State.NEW for r in risers) or any(p.state is State.NEW for p in openings):
        return True
    new = (o for o in project.outlets.values() if o.state is State.NEW)
    return any(_way(project, o) is WayDown.POKE_THROUGH for o in new)


def _works_high(project: Project) -> bool:
    pathways = project.pathways.values()
    outlets = project.outlets.values()
    return any(
        p.state is State.NEW and max(v[2] for v in p.vertices) >= HIGH_MM for p in pathways
    ) or (any(o.height_mm is not None and o.height_mm >= HIGH_MM for o in outlets))


def _outdoors(project: Project) -> bool:
    return any(_way(project, o) is WayDown.OUTDOOR_CONDUIT for o in project.outlets.values())


def _way(project: Project, outlet: Outlet) -> WayDown:
    kind = project.outlet_kinds[outlet.kind]
    return kind.way_down if outlet.way_down is None else outlet.way_down


def _powered(project: Project) -> bool:
    return any(p.power_class > 0 for o in project.outlets.values() for p in o.ports)


def _media(project: Project) -> Iterator[Medium]:
    for cable in project.backbone_cables.values():
        yield project.cable_types[cable.cable_type].medium
    for outlet in project.outlets.values():
        for port in outlet.ports:
            yield project.cable_types[port.cable_type].medium


def _has_use(*uses: SpaceUse) -> Callable[[Project], bool]:
    return lambda project: any(s.use in uses for s in project.spaces.values())


def _old_cable(project: Project) -> bool:
    old = {State.EXISTING, State.TO_REMOVE, State.TO_RELOCATE}
    return any(o.state in old for o in project.outlets.values())


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        key="power",
        title="Power",
        text="Keep the separation from power that the chosen edition and local code ask for. "
        "Panels, switchboards and anything live are opened by licensed people only.",
        applies=_always,
    ),
    Caution(
        key="fire_barriers",
        title="Fire barriers",
        text="Seal every opening in a rated wall or floor with a tested system, and close it "
        "every night while work goes on. Ratings come from the fire plan, not from this program.",
        applies=_always,
    ),
    Caution(
        key="asbestos",
        title="Asbestos",
        text="See the asbestos register before a tile is lifted or a wall is drilled. Where there "
        "is none, ask for a survey first.",
        applies=_work_overhead,
    ),
    Caution(
        key="coring",
        title="Coring",
        text="A hole through a slab or a bearing wall wants structural consent and a scan for "
        "reinforcement, pipes and cables before it is drilled.",
        applies=_new_openings,
    ),
    Caution(
        key="height",
        title="Work at height",
        text="In halls and above 3.5 m work from towers or platforms by trained people, with the "
        "floor below closed off.",
        applies=lambda p: _works_high(p) or _has_use(SpaceUse.HALL)(p),
    ),
    Caution(
        key="hard_ceilings",
        title="Hard ceilings",
        text="Above a hard ceiling only the hatches give access; agree any new hatch with the "
        "building's owner.",
        applies=lambda p: any(s.ceiling is Ceiling.HARD for s in p.spaces.values()),
    ),
    Caution(
        key="heat_in_bundles",
        title="Heat in bundles",
        text="Cables that carry power warm one another. Keep bundles small and look up what the "
        "code allows for the current, the cable and the temperature.",
        applies=_powered,
    ),
    Caution(
        key="powered_plugs",
        title="Powered plugs",
        text="Do not pull plugs that feed a powered device: switch the port off first.",
        applies=_powered,
    ),
    Caution(
        key="live_fibre",
        title="Live fibre",
        text="Never look into a fibre or a port. Keep ends capped, and collect the splinters.",
        applies=lambda p: any(m is Medium.FIBRE for m in _media(p)),
    ),
    Caution(
        key="lift_shafts",
        title="Lift shafts",
        text="No cable and no pathway in a lift shaft, and nobody enters one but the lift's own "
        "engineers.",
        applies=_has_use(SpaceUse.LIFT_SHAFT),
    ),
    Caution(
        key="surge_and_lightning",
        title="Lightning and surge",
        text="Outlets outdoors and on masts want surge protection and bonding where the cable "
        "enters the building, by qualified people. No work on a mast when a storm is near.",
        applies=_outdoors,
    ),
    Caution(
        key="beside_water",
        title="Beside water",
        text="On quays, bridges and roofs work in pairs, with the edge guarded or a line and a "
        "life jacket worn.",
        applies=_outdoors,
    ),
    Caution(
        key="ducts_and_manholes",
        title="Ducts and manholes",
        text="A manhole may hold gas, water or no air. It is a confined space: test it, air it, "
        "keep somebody above, and follow the permit.",
        applies=lambda p: bool(p.outdoor_ducts),
    ),
    Caution(
        key="hazardous_zones",
        title="Hazardous zones",
        text="Fuel, gas, battery and plant rooms may be hazardous zones: ask for the plan of "
        "zones before anything is drilled or switched.",
        applies=_has_use(SpaceUse.PLANT, SpaceUse.LOW_VOLTAGE, SpaceUse.WORKSHOP),
    ),
    Caution(
        key="heavy_reels",
        title="Heavy reels",
        text="A reel weighs 50 to 300 kg: lift it with a jack or two people and a plan, and chock "
        "it where it stands.",
        applies=lambda p: any(c.state is State.NEW for c in p.backbone_cables.values()),
    ),
    Caution(
        key="abandoned_cable",
        title="Abandoned cable",
        text="Trace a cable at both ends before it is cut: what looks dead may be an alarm. "
        "Abandoned cable is fire load and takes room; many codes want it out.",
        applies=_old_cable,
    ),
    Caution(
        key="security_zones",
        title="Security zones",
        text="In border, customs and security areas work with an escort and by the area's rules; "
        "tools and photographs may need leave.",
        applies=_has_use(SpaceUse.SECURITY),
    ),
)
