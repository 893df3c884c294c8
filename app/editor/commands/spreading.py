"""Outlets spread over a room for a first count: along its walls, or over its area in rows."""

from collections.abc import Callable, Mapping, Sequence

from app.editor.commands.filling import ON_THE_FLOOR_OR_CEILING, standing_in
from app.editor.commands.outlets import OutletPlace
from app.geometry.polygons import contains
from app.geometry.similarity import to_mm
from app.geometry.walls import OFF_WALL_MM, Triangle, Turned, along_walls, over_area
from app.model.entities import OutletKind, Space
from app.model.project import Project

OFF_THE_WALL_MM = 100.0
"""How far into its room a spread outlet stands: off the plaster that the plan leaves out."""
OFF_CORNERS_MM = 300.0
"""Nothing is spread nearer to a corner, where furniture and trunking are. practice"""


DoorsIn = Callable[[Space], Sequence[Triangle]]
"""Gives the leaves of the doors of a space, as far as they are known."""


def no_doors(_space: Space) -> tuple[Triangle, ...]:
    """Where no plan shows any."""
    return ()


def spread(
    project: Project,
    space: Space,
    counts: Mapping[str, int],
    *,
    doors: Sequence[Triangle] = (),
) -> list[OutletPlace]:
    """Places for so many outlets of each kind in a room.

    Those at walls stand evenly along them, turned to their wall, off corners, doors and what
    stands there; each kind is spread round the whole room. Those of floor and ceiling stand in
    rows over the area.
    """
    grid = space.grid_angle_mdeg
    grid = project.floors[space.floor].grid_angle_mdeg if grid is None else grid
    out: list[OutletPlace] = []
    at_walls: dict[str, int] = {}
    for kind_id, count in counts.items():
        if is_over_area(project.outlet_kinds[kind_id]):
            spots = over_area(space.outline, count, grid_mdeg=grid, holes=space.holes)
            out += [_place(spot, kind_id) for spot in spots]
        else:
            at_walls[kind_id] = count
    kinds = _round_the_room(at_walls)
    taken = [(o.x_mm, o.y_mm) for o in standing_in(project, space)]
    walls = _along_the_walls(space, len(kinds), doors, taken)
    return [*(_place(spot, kind) for spot, kind in zip(walls, kinds, strict=True)), *out]


def is_over_area(kind: OutletKind) -> bool:
    """Whether outlets of a kind stand over the area of a room, not at its walls."""
    return kind.height_mm is None or kind.way_down in ON_THE_FLOOR_OR_CEILING


def _round_the_room(counts: Mapping[str, int]) -> list[str]:
    """The kinds in the order in which they stand round the room: each evenly among the others."""
    turns = (
        ((i + 0.5) / count, order, kind)
        for order, (kind, count) in enumerate(counts.items())
        for i in range(count)
    )
    return [kind for _, _, kind in sorted(turns)]


def _along_the_walls(
    space: Space, count: int, doors: Sequence[Triangle], taken: Sequence[tuple[int, int]]
) -> list[Turned]:
    """Places along the walls; nearer to the wall where a room is too narrow for more."""
    if not count:
        return []

    def places(off_mm: float) -> list[Turned]:
        return along_walls(
            space.outline,
            count,
            keep_off=doors,
            off_mm=off_mm,
            corner_mm=OFF_CORNERS_MM,
            taken=taken,
        )

    pairs = zip(places(OFF_THE_WALL_MM), places(OFF_WALL_MM), strict=True)
    return [far if contains(space.outline, (far.x, far.y)) else near for far, near in pairs]


def _place(spot: Turned, kind_id: str) -> OutletPlace:
    return OutletPlace(
        x_mm=to_mm(spot.x), y_mm=to_mm(spot.y), rotation_mdeg=spot.rotation_mdeg, kind=kind_id
    )
