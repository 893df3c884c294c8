"""Making things: outlets, frames, pathways, boxes, risers, ducts, spaces."""

from collections.abc import Collection, Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.numbering import Retired, none_retired, numbered
from app.editor.commands.outlets import NEW, Standing, need_floor
from app.editor.commands.riser_stubs import stubs_of
from app.editor.commands.shapes import flat
from app.editor.commands.vertices import outline_problem, without_repeats
from app.editor.wording import counted, name_of, noun
from app.geometry.along_lines import crossings, place_on
from app.geometry.similarity import to_mm
from app.model.entities import (
    AccessPoint,
    Break,
    Candidate,
    Demarcation,
    DropOut,
    Entity,
    Frame,
    OutdoorDuct,
    Pathway,
    Point,
    Riser,
    Space,
    tag_of,
)
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding
from app.model.vocabulary import (
    INSERT_KINDS,
    OPEN_KINDS,
    AccessKind,
    FrameKind,
    FrameRole,
    ProvidedBy,
    SpaceUse,
    State,
)

LEAST_VERTICES = 2


def place_frame(
    project: Project,
    *,
    floor_id: str,
    at: Point,
    kind: FrameKind | None = None,
    rotation_mdeg: int = 0,
    standing: Standing = NEW,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A frame; a main one plays the building's and the floor's distributor.

    Without a `kind` it is a main one where the project has none as yet.
    """
    need_floor(project, floor_id)
    kind = next_frame_kind(project) if kind is None else kind
    roles: tuple[FrameRole, ...] = (FrameRole.FLOOR,)
    if kind is FrameKind.MAIN:
        roles = (FrameRole.BUILDING, FrameRole.FLOOR)
    frame = Frame(
        id=new_id("frame", project.frames, source),
        floor=floor_id,
        name="",
        kind=kind,
        roles=roles,
        x_mm=at[0],
        y_mm=at[1],
        rotation_mdeg=rotation_mdeg,
        state=standing.state,
        phase=standing.phase,
        provided_by=standing.provided_by,
    )
    return _made(project, frame, "Place", retired)


def next_frame_kind(project: Project) -> FrameKind:
    """Main while the project has no main frame, then intermediate."""
    has_main = any(f.kind is FrameKind.MAIN for f in project.frames.values())
    return FrameKind.INTERMEDIATE if has_main else FrameKind.MAIN


def place_candidate(
    project: Project,
    *,
    floor_id: str,
    at: Point,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A place where a frame could stand."""
    need_floor(project, floor_id)
    candidate = Candidate(
        id=new_id("candidate", project.candidates, source),
        floor=floor_id,
        name="",
        x_mm=at[0],
        y_mm=at[1],
    )
    return _made(project, candidate, "Mark", retired)


def place_demarcation(
    project: Project,
    *,
    floor_id: str,
    at: Point,
    carrier: str = "",
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """The point where a carrier's property ends; it stands and is by others."""
    need_floor(project, floor_id)
    point = Demarcation(
        id=new_id("demarcation", project.demarcations, source),
        floor=floor_id,
        name="",
        x_mm=at[0],
        y_mm=at[1],
        carrier=carrier,
    )
    return _made(project, point, "Place", retired)


def add_pathway(
    project: Project,
    pathway: Pathway,
    *,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A pathway as drawn; its id and number are given here."""
    need_floor(project, pathway.floor)
    return _drawn(project, pathway, retired, source)


def add_access_point(
    project: Project,
    *,
    pathway_id: str,
    at: Point,
    state: State = State.NEW,
    provided_by: ProvidedBy = ProvidedBy.US,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A pull box on a conduit, or an insert on a floor duct, at the nearest point of it."""
    pathway = project.pathways.get(pathway_id)
    if pathway is None:
        raise InputProblem("Click on the conduit or floor duct that gets the box.")
    if pathway.kind in OPEN_KINDS:
        raise InputProblem(
            f"Cable enters {name_of(pathway)} anywhere, so it needs no box; "
            "boxes belong on conduits, inserts on floor ducts."
        )
    kind = AccessKind.INSERT if pathway.kind in INSERT_KINDS else AccessKind.PULL_BOX
    place = place_on(flat(pathway.vertices), at)
    here = (to_mm(place.x), to_mm(place.y))
    if any(
        a.pathway == pathway_id and (a.x_mm, a.y_mm) == here for a in project.access_points.values()
    ):
        raise InputProblem(f"There is a box or insert of {name_of(pathway)} here already.")
    box = AccessPoint(
        id=new_id("access-point", project.access_points, source),
        floor=pathway.floor,
        pathway=pathway.id,
        x_mm=here[0],
        y_mm=here[1],
        kind=kind,
        state=state,
        provided_by=provided_by,
    )
    return _made(project, box, "Place", retired)


def add_drop_out(
    project: Project,
    *,
    pathway_ids: tuple[str, str],
    at: Point,
    state: State = State.NEW,
    provided_by: ProvidedBy = ProvidedBy.US,
    source: Source = random_characters,
) -> Patch:
    """A fitting that joins two pathways where they cross at different heights."""
    first, second, here = _crossing_at(project, pathway_ids, at)
    for closed in (p for p in (first, second) if p.kind not in OPEN_KINDS):
        raise InputProblem(
            f"No cable drops out of {name_of(closed)} in mid-length; place a box on it instead."
        )
    _refuse_second(project.drop_outs.values(), pathway_ids, here, "a drop-out")
    made = DropOut(
        id=new_id("drop-out", project.drop_outs, source),
        floor=first.floor,
        pathway_a=first.id,
        pathway_b=second.id,
        x_mm=here[0],
        y_mm=here[1],
        state=state,
        provided_by=provided_by,
    )
    return adding(f"Drop out from {name_of(first)} to {name_of(second)}", [made])


def add_break(
    project: Project,
    *,
    pathway_ids: tuple[str, str],
    at: Point,
    source: Source = random_characters,
) -> Patch:
    """Keep two pathways apart that meet here."""
    first, second, here = _crossing_at(project, pathway_ids, at)
    _refuse_second(project.breaks.values(), pathway_ids, here, "a keep-apart")
    made = Break(
        id=new_id("break", project.breaks, source),
        floor=first.floor,
        pathway_a=first.id,
        pathway_b=second.id,
        x_mm=here[0],
        y_mm=here[1],
    )
    return adding(f"Keep {name_of(first)} and {name_of(second)} apart", [made])


def _crossing_at(
    project: Project, ids: tuple[str, str], at: Point
) -> tuple[Pathway, Pathway, Point]:
    """The two pathways, and their crossing that is nearest to `at`."""
    found = [project.pathways[i] for i in ids if i in project.pathways]
    if len({p.id for p in found}) != len(ids):
        raise InputProblem("Click where two pathways cross.")
    first, second = found
    if first.floor != second.floor:
        raise InputProblem("Pathways of two floors meet in a riser only.")
    tolerance = project.settings.join_tolerance_mm
    points = list(crossings(flat(first.vertices), flat(second.vertices), reach=tolerance))
    if not points:
        raise InputProblem(f"{name_of(first)} and {name_of(second)} do not cross.")
    x, y = min(points, key=lambda p: (abs(p[0] - at[0]) + abs(p[1] - at[1]), p))
    return first, second, (to_mm(x), to_mm(y))


def _refuse_second(
    standing: Collection[DropOut] | Collection[Break], ids: tuple[str, str], at: Point, what: str
) -> None:
    for thing in standing:
        if {thing.pathway_a, thing.pathway_b} == set(ids) and (thing.x_mm, thing.y_mm) == at:
            raise InputProblem(f"There is {what} here already.")


def add_riser(
    project: Project,
    riser: Riser,
    *,
    stubs: bool = False,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """A riser as drawn; its id and number are given here.

    With `stubs` it is joined to the nearest pathway of each floor that it passes.
    """
    lower, upper = need_floor(project, riser.lower_floor), need_floor(project, riser.upper_floor)
    if lower.building != upper.building:
        raise InputProblem("A riser joins floors of one building; draw an outdoor duct instead.")
    if lower.level_mm >= upper.level_mm:
        raise InputProblem(f"Floor {upper.name} does not lie above floor {lower.name}.")
    placed = replace(riser, id=new_id("riser", project.risers, source))
    joined = stubs_of(project, placed, source) if stubs else []
    things = numbered(project, [placed, *joined], "", retired=retired)
    label = f"Place {counted(things[:1])}"
    if joined:
        label += f" with {len(joined)} stub{'s' if len(joined) > 1 else ''}"
    return adding(label, things)


def add_outdoor_duct(
    project: Project,
    duct: OutdoorDuct,
    *,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Patch:
    """An outdoor duct as drawn; its id and number are given here."""
    need_floor(project, duct.from_floor)
    need_floor(project, duct.to_floor)
    return _drawn(project, duct, retired, source)


def _drawn(
    project: Project, line: Pathway | OutdoorDuct, retired: Retired, source: Source
) -> Patch:
    """A line under an id and number of its own. Raises InputProblem where it has no length."""
    vertices = without_repeats(line.vertices)
    if len(vertices) < LEAST_VERTICES:
        raise InputProblem(f"The {noun(line)} needs two points; click another one.")
    taken = project.table(type(line))
    made = replace(line, id=new_id(tag_of(type(line).__name__), taken, source), vertices=vertices)
    return _made(project, made, "Draw", retired)


def add_space(
    project: Project,
    outline: Sequence[Point],
    *,
    floor_id: str,
    use: SpaceUse = SpaceUse.UNKNOWN,
    source: Source = random_characters,
) -> Patch:
    """A room or corridor with these corners."""
    need_floor(project, floor_id)
    problem = outline_problem(outline)
    if problem is not None:
        raise InputProblem(f"This makes no room: {problem}")
    space = Space(
        id=new_id("space", project.spaces, source),
        floor=floor_id,
        outline=tuple(outline),
        use=use,
    )
    return adding("Draw a space", [space])


def _made(project: Project, thing: Entity, verb: str, retired: Retired) -> Patch:
    [made] = numbered(project, [thing], "", retired=retired)
    return adding(f"{verb} {counted([made])}", [made])
