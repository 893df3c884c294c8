"""Why a run has no route, in words."""

from collections.abc import Callable

import numpy as np

from app.design.design import Design
from app.design.workings import Workings
from app.geometry.along_lines import foot_on_piece
from app.model.entities import FURTHEST_MM, Space
from app.model.project import Project
from app.model.vocabulary import INSERT_KINDS
from app.routing.belonging import takers
from app.routing.ground import closed_spaces_crossed
from app.routing.legs import find_legs
from app.routing.places import Ends
from app.routing.plates import NO_CEILING_MM
from app.routing.results import NoRoute, Runs
from app.routing.stretches import Entry, Stretches
from app.routing.told import ToldWay, Wish
from app.routing.tracing import PATHWAY_WORDS, thing_name

MM_PER_M = 1_000


def reason_of(design: Design, port_id: str) -> str:
    """Why a run has no route, as a sentence; empty where it has one."""
    return reasons_in_words(design.project, design.workings, design.runs)(port_id)


def reasons_in_words(project: Project, workings: Workings, runs: Runs) -> Callable[[str], str]:
    """A function from a port's id to the sentence."""

    def say(port_id: str) -> str:
        row = runs.row_of[port_id]
        reason = NoRoute(int(runs.reason[row]))
        return _SENTENCES[reason](project, workings, row)

    return say


def _far(project: Project) -> str:
    return f"{project.settings.reach_mm / MM_PER_M:.1f} m"


def _floor_name(project: Project, workings: Workings, row: int) -> str:
    plates = workings.plates
    outlet = project.outlets[plates.ids[int(plates.of[row])]]
    return project.floors[outlet.floor].name


def _no_frame(project: Project, workings: Workings, row: int) -> str:
    floor = _floor_name(project, workings, row)
    stands, plates = workings.base.stands, workings.plates
    taking, _ = takers(stands.keepers, int(plates.rule[row]))
    frames = [project.frames[stands.ids[k]] for k in np.flatnonzero(taking).tolist()]
    held = [f for f in frames if f.reserved_tenant or f.reserved_service]
    if held and len(held) == len(frames):
        names = ", ".join(f.name for f in held)
        return f"Its cables are reserved for frame {names}, which may not serve floor {floor}."
    on = workings.on_floors[int(plates.floor[plates.of[row]])]
    if on.serves.any():
        return f"The frames that may serve floor {floor} are reserved for others."
    return f"No frame may serve floor {floor}."


def _no_pathway(project: Project, workings: Workings, row: int) -> str:
    plates = workings.plates
    outlet = int(plates.of[row])
    ids = workings.base.joints.stretches.floor_ids
    floor = project.floors[ids[int(plates.ends.ground[outlet])]].name
    below = "under the raised floor of" if plates.ends.ceiling[outlet] < NO_CEILING_MM else "on"
    return f"No pathway {below} floor {floor} comes within the reach of {_far(project)}."


def _only_places(project: Project, workings: Workings, row: int) -> str:
    """Names the sort of the pathway that has the nearest place, and how far away that is."""
    far, base = _alone(workings, row), workings.base
    flat = base.joints.stretches
    wide = find_legs(base.joints, base.grounds, far, reach_mm=FURTHEST_MM, cuts=base.network.key)
    places = np.flatnonzero(flat.entry[wide.stretch] == Entry.PLACES)
    if not len(places):
        return f"A conduit is entered at its ends and boxes; the reach is {_far(project)}."
    kind = project.pathways[flat.things[int(flat.thing[wide.stretch[places[0]]])]].kind
    word = PATHWAY_WORDS[kind]
    article = "An" if word[0] in "aeiou" else "A"
    where = "ends, inserts and boxes" if kind in INSERT_KINDS else "ends and boxes"
    away = f"{int(wide.across[places[0]]) / MM_PER_M:.1f} m"
    return (
        f"{article} {word} is entered at its {where}; the nearest is {away} away, "
        f"the reach is {_far(project)}."
    )


def _alone(workings: Workings, row: int) -> Ends:
    plates = workings.plates
    return plates.ends.taken(np.array([int(plates.of[row])]))


def _crosses(project: Project, workings: Workings, row: int) -> str:
    """Names the closed spaces that the legs to the pathways within reach cross."""
    plates, base = workings.plates, workings.base
    outlet = int(plates.of[row])
    ends, ground = plates.ends, base.grounds[int(plates.ends.ground[outlet])]
    here = (float(ends.x[outlet]), float(ends.y[outlet]))
    cos, sin = float(ends.cos[outlet]), float(ends.sin[outlet])
    names: list[str] = []
    for stretch in ground.rows.tolist():
        foot = _foot(base.joints.stretches, stretch, here)
        dx, dy = foot[0] - here[0], foot[1] - here[1]
        u, v = dx * cos + dy * sin, dy * cos - dx * sin
        if abs(u) + abs(v) <= project.settings.reach_mm:
            for bend in ((u * cos, u * sin), (-v * sin, v * cos)):
                corner = (here[0] + bend[0], here[1] + bend[1])
                names += closed_spaces_crossed(ground, [here, corner, foot])
    said = ", ".join(_space_name(project.spaces[s]) for s in dict.fromkeys(names))
    return f"The leg crosses {said or 'a space closed to cable'}."


def _foot(flat: Stretches, stretch: int, at: tuple[float, float]) -> tuple[float, float]:
    """The point of a stretch that is nearest to another, in plan."""
    (x0, y0), (x1, y1) = flat.start[stretch, :2].tolist(), flat.end[stretch, :2].tolist()
    foot = foot_on_piece(at, (x0, y0), (x1, y1))
    return foot.x, foot.y


def _space_name(space: Space) -> str:
    use = space.use.value.replace("_", " ")
    return " ".join(w for w in (space.name.lower() if space.name else use, space.number) if w)


def _in_closed(project: Project, workings: Workings, row: int) -> str:
    plates = workings.plates
    space = plates.space[int(plates.of[row])]
    name = "a space" if space is None else _space_name(project.spaces[space])
    return f"It stands in {name}, which is closed to cable."


def _as_told(project: Project, workings: Workings, row: int) -> str:
    """Names what cannot be passed, or what is in the way for never being passed."""
    wish = workings.wishes[row]
    never = _listed(project, wish.never)
    for via in _in_order(project, wish.via):
        alone = Wish(frozenset((via,)), wish.never)
        if _way_as_told(project, workings, row, alone) is None:
            but = f" without {never}" if never else ""
            return f"Told to pass {_called(project, via)}, which cannot be reached{but}."
    if len(wish.via) > 1:
        but = f" without {never}" if never else ""
        return f"Told to pass {_listed(project, wish.via)}; no way passes all of them{but}."
    return f"Told never to pass {never}; no other way leads to its frame."


def _way_as_told(project: Project, workings: Workings, row: int, wish: Wish) -> ToldWay | None:
    base, plates = workings.base, workings.plates
    outlet = int(plates.of[row])
    floor = workings.floors[int(plates.floor[outlet])]
    frame = int(floor.options.on.frames[int(workings.columns[row])])
    place = floor.place(outlet)
    first, stop = floor.legs.first[place : place + 2].tolist()
    return base.search.way(frame, wish, floor.legs, floor.holds, (first, stop))


def _called(project: Project, thing: str) -> str:
    return str(getattr(project.get(thing), "number", "")) or thing_name(project, thing)


def _in_order(project: Project, things: frozenset[str]) -> list[str]:
    return sorted(things, key=lambda t: (_called(project, t), t))


def _listed(project: Project, things: frozenset[str]) -> str:
    return ", ".join(_called(project, t) for t in _in_order(project, things))


_SENTENCES: dict[NoRoute, Callable[[Project, Workings, int], str]] = {
    NoRoute.NONE: lambda p, w, r: "",
    NoRoute.NO_FRAME: _no_frame,
    NoRoute.NO_FLOOR_BELOW: lambda p, w, r: "A poke-through needs a floor below; there is none.",
    NoRoute.NO_PATHWAY: _no_pathway,
    NoRoute.ONLY_PLACES: _only_places,
    NoRoute.LEG_CROSSES: _crosses,
    NoRoute.STANDS_IN_CLOSED: _in_closed,
    NoRoute.NOT_JOINED: lambda p, w, r: (
        "The pathways within reach are joined to no frame that may serve it."
    ),
    NoRoute.AS_TOLD: _as_told,
    NoRoute.FRAME_NOT_JOINED: lambda p, w, r: (
        "The frame fixed for it is not joined to the pathways within reach."
    ),
}
