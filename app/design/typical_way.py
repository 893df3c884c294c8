"""The way down of a kind of outlet, before any of it stands: as in a room of the settings."""

from app.design.ways_down import OutletWay, conduit_of, with_pieces
from app.model.cabling import Outlet, OutletKind, Port
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import WayDown
from app.model.ways_down import height_of
from app.standards import RuleSet


def typical_way(project: Project, kind: OutletKind, rules: RuleSet) -> OutletWay:
    """Under an accessible ceiling and a tray at the heights of the settings; a raised floor's
    pathway lies as deep as usual, and that of a poke-through one storey lower.

    The leg is left out, for it is a matter of place. Source: heights.underfloor.
    """
    settings = project.settings
    outlet = _placed(kind)
    bare = OutletWay(
        way=kind.way_down,
        outlet_mm=height_of(outlet, kind, None, settings),
        ceiling_mm=_ceiling_mm(kind.way_down, settings),
        hangs_on=None,
        pathway_mm=_pathway_mm(kind.way_down, settings, rules),
        leg_mm=0,
        bends=0,
        in_conduit=False,
        conduit=conduit_of(project, outlet, rules),
        pieces=(),
    )
    return with_pieces(settings, outlet, kind, bare)


def _ceiling_mm(way: WayDown, settings: Settings) -> int | None:
    return None if way is WayDown.OUTDOOR_CONDUIT else settings.ceiling_height_mm


def _pathway_mm(way: WayDown, settings: Settings, rules: RuleSet) -> int:
    if way is WayDown.RAISED_FLOOR:
        return rules.mm("heights.underfloor")
    if way is WayDown.POKE_THROUGH:
        return settings.tray_height_mm - settings.floor_to_floor_mm
    return settings.tray_height_mm


def _placed(kind: OutletKind) -> Outlet:
    """An outlet of this kind as it is placed; it belongs to no project."""
    ports = (
        Port(id=f"port-{n:08}", cable_type=port.cable_type) for n, port in enumerate(kind.ports)
    )
    return Outlet(
        id="outlet-00000000",
        floor="floor-00000000",
        kind=kind.id,
        x_mm=0,
        y_mm=0,
        ports=tuple(ports),
    )
