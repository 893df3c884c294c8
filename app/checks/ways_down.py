"""Ways down that do not fit their room: no raised floor, no ceiling, above it, no hatch."""

from collections.abc import Mapping, Sequence

from app.checks.finding import Finding, Severity, authority, finding
from app.checks.wording import floor_phrase, length_text, many, outlet_name, space_name
from app.model.entities import Floor, Outlet, OutletKind, Space
from app.model.settings import Settings
from app.model.vocabulary import Ceiling, State, WayDown
from app.model.ways_down import FROM_ABOVE, ceiling_of, height_of, way_of
from app.standards import RuleSet

NO_RAISED_FLOOR = "way_no_raised_floor"
NO_CEILING = "way_no_ceiling"
OVER_CEILING = "outlet_over_ceiling"
NO_HATCH = "hard_ceiling_no_hatch"
WORKED_ON = frozenset({State.NEW, State.TO_RELOCATE})
MOST_NAMED = 3

Standing = tuple[Outlet, Space, WayDown, int]
"""An outlet, its space, its way down and its height."""


def check_ways(
    floor: Floor,
    outlets: Sequence[Outlet],
    kinds: Mapping[str, OutletKind],
    spaces: Mapping[str, Space],
    space_of: Mapping[str, str | None],
    settings: Settings,
    rules: RuleSet,
) -> list[Finding]:
    """At most one finding of each rule for a floor, naming all its outlets that it concerns."""
    bare: list[Standing] = []
    free: list[Standing] = []
    over: list[Standing] = []
    shut: list[Standing] = []
    for outlet in outlets:
        space_id = space_of.get(outlet.id)
        if space_id is None or outlet.state is State.TO_REMOVE:
            continue
        kind, space = kinds[outlet.kind], spaces[space_id]
        way = way_of(outlet, kind)
        height_mm = height_of(outlet, kind, space, settings)
        standing = outlet, space, way, height_mm
        ceiling_mm = ceiling_of(space, settings)
        if way is WayDown.RAISED_FLOOR and space.raised_floor_mm == 0:
            bare.append(standing)
        if way not in FROM_ABOVE:
            continue
        if ceiling_mm is not None and height_mm > ceiling_mm:
            over.append(standing)
        if space.ceiling is Ceiling.HARD and not space.ceiling_hatches:
            shut.append(standing)
        if way is WayDown.CEILING and ceiling_mm is None and _is_guessed(outlet, kind, space):
            free.append(standing)
    return [
        *_no_raised_floor(floor, bare),
        *_no_ceiling(floor, free, settings),
        *_over_ceiling(floor, over, settings, rules),
        *_no_hatch(floor, [s for s in shut if s[0].state in WORKED_ON]),
    ]


def _is_guessed(outlet: Outlet, kind: OutletKind, space: Space) -> bool:
    """Whether nobody has said how high an outlet hangs."""
    return outlet.height_mm is None and kind.height_mm is None and space.ceiling_height_mm is None


def _no_raised_floor(floor: Floor, found: Sequence[Standing]) -> list[Finding]:
    verb = "is" if len(found) == 1 else "are"
    text = (
        f"{many(len(found), 'outlet')} on {floor_phrase(floor)} {verb} fed from under a raised "
        f"floor where there is none: {_rooms(found)}. Say how high it is, or take another way down."
    )
    return _told(NO_RAISED_FLOOR, Severity.WARN, text, floor, found)


def _no_ceiling(floor: Floor, found: Sequence[Standing], settings: Settings) -> list[Finding]:
    height = length_text(settings.ceiling_height_mm, settings.units, places=2)
    verb = "hangs" if len(found) == 1 else "hang"
    text = (
        f"{many(len(found), 'outlet')} on {floor_phrase(floor)} {verb} at a ceiling where there "
        f"is none, at {height} as the settings have it: {_rooms(found)}. Give the height."
    )
    return _told(NO_CEILING, Severity.NOTE, text, floor, found)


def _over_ceiling(
    floor: Floor, found: Sequence[Standing], settings: Settings, rules: RuleSet
) -> list[Finding]:
    if not found:
        return []

    def above_mm(standing: Standing) -> int:
        return standing[3] - (ceiling_of(standing[1], settings) or 0)

    worst = max(found, key=lambda s: (above_mm(s), s[0].id))
    height = length_text(worst[3], settings.units, places=2)
    ceiling = length_text(worst[3] - above_mm(worst), settings.units, places=2)
    name = outlet_name(worst[0], floor)
    stands = f"{name} at {height} in {space_name(worst[1])}, whose ceiling is at {ceiling}"
    if len(found) == 1:
        text = f"{stands}: the outlet is above its ceiling."
    else:
        text = (
            f"{many(len(found), 'outlet')} on {floor_phrase(floor)} are above their ceilings: "
            f"{stands}, the farthest."
        )
    return [
        finding(
            rule=OVER_CEILING,
            severity=Severity.NOTE,
            text=text,
            things=(floor.id, *_ids(found)),
            floor=floor.id,
            authority=authority(rules, "heights.ceiling"),
            excess=above_mm(worst),
        )
    ]


def _no_hatch(floor: Floor, found: Sequence[Standing]) -> list[Finding]:
    text = (
        f"{many(len(found), 'outlet')} on {floor_phrase(floor)} have their legs in conduit above "
        f"a hard ceiling without an access hatch: {_rooms(found)}. Say how many hatches there are, "
        "or ask for one near each place where cable is drawn in."
    )
    if len(found) == 1:
        text = text.replace(" have their legs ", " has its leg ")
    return _told(NO_HATCH, Severity.NOTE, text, floor, found)


def _rooms(found: Sequence[Standing]) -> str:
    """The rooms of these outlets, the first few by name."""
    names = sorted({space_name(space) for _, space, _, _ in found})
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {many(more, 'other room')}" if more > 0 else "")


def _ids(found: Sequence[Standing]) -> tuple[str, ...]:
    return tuple(o.id for o, *_ in sorted(found, key=lambda s: (s[0].number, s[0].id)))


def _told(
    rule: str, severity: Severity, text: str, floor: Floor, found: Sequence[Standing]
) -> list[Finding]:
    if not found:
        return []
    return [
        finding(
            rule=rule,
            severity=severity,
            text=text,
            things=(floor.id, *_ids(found)),
            floor=floor.id,
            excess=len(found),
        )
    ]
