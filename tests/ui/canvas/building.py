"""Small projects and drawings for the canvas to show."""

import numpy as np

from app.drawing.plan_drawing import INK, PlanDrawing, PlanLayer
from app.editor.snapping import SnapWish
from app.editor.tools.overlay import NOTHING, Overlay
from app.editor.tools.tool import (
    NO_MODIFIERS,
    NOTHING_YET,
    Key,
    Modifiers,
    Pointer,
    ToolContext,
    ToolResult,
)
from app.model.entities import (
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
    Plan,
    Port,
    PortTemplate,
    Riser,
    Space,
)
from app.model.project import Project
from app.model.vocabulary import FrameKind, PathwayKind, ScaledBy, SpaceUse, State


class StillTool:
    """A tool that does nothing, for tests that look at the view alone."""

    name = "select"
    takes_text = False

    def __init__(self, context: ToolContext) -> None:
        self.context = context

    def hint(self) -> str:
        return "Nothing happens."

    def wish(self) -> SnapWish:
        return SnapWish(things=False, plan=False)

    def press(self, pointer: Pointer) -> ToolResult:
        return NOTHING_YET

    move = release = double_click = press

    def key(self, key: Key, modifiers: Modifiers = NO_MODIFIERS) -> ToolResult:
        return NOTHING_YET

    def type_text(self, text: str) -> ToolResult:
        return NOTHING_YET

    def cancel(self) -> bool:
        return False

    def refresh(self) -> None:
        pass

    def overlay(self) -> Overlay:
        return NOTHING

    def preview_patch(self) -> None:
        return None


GROUND = "floor-00000001"
UPPER = "floor-00000002"
CABLE = "cable-type-00000001"
DESK = "outlet-kind-00000001"
CAMERA = "outlet-kind-00000002"
SHA = "drawing"


def drawing_of(segments: np.ndarray, name: str = "walls") -> PlanDrawing:
    """A drawing of one layer, in millimetres."""
    count = len(segments)
    low = segments.reshape(-1, 2).min(axis=0)
    high = segments.reshape(-1, 2).max(axis=0)
    bounds = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    zeros = np.zeros(count, dtype=np.int32)
    return PlanDrawing(
        origin=(0.0, 0.0),
        layers=(
            PlanLayer(
                name=name,
                segments=segments,
                segment_colours=zeros,
                segment_weights=zeros,
                segment_dashes=zeros,
            ),
        ),
        colours=(INK,),
        lineweights_mm=(0.25,),
        dash_patterns=((),),
        bounds=bounds,
        raw_bounds=bounds,
    )


def many_walls(count: int, width_mm: float, depth_mm: float, seed: int = 1) -> np.ndarray:
    """Short and long pieces along two directions, as in a large furnished plan."""
    random = np.random.default_rng(seed)
    start = random.uniform((0, 0), (width_mm, depth_mm), (count, 2))
    length = random.lognormal(6.2, 0.9, count)
    angle = random.choice([0.0, np.pi / 2, np.pi / 4], count, p=[0.45, 0.45, 0.1])
    step = np.column_stack((np.cos(angle), np.sin(angle))) * length[:, None]
    return np.hstack((start, start + step))


def kinds() -> list[Entity]:
    desk = PortTemplate(cable_type=CABLE)
    return [
        CableType(id=CABLE, name="Cat 6A", od_mm=7.5),
        OutletKind(id=DESK, name="Desk", symbol="data", ports=(desk, desk)),
        OutletKind(id=CAMERA, name="Camera", symbol="camera", ports=(desk,)),
    ]


def floors() -> list[Entity]:
    return [
        Building(id="building-00000001", name="Terminal"),
        Floor(id=GROUND, building="building-00000001", name="0", level_mm=0),
        Floor(id=UPPER, building="building-00000001", name="1", level_mm=3_600),
    ]


def outlet(
    number: int,
    x_mm: int,
    y_mm: int,
    *,
    kind: str = DESK,
    ports: int = 2,
    floor: str = GROUND,
    state: State = State.NEW,
    turn_mdeg: int = 0,
) -> Outlet:
    return Outlet(
        id=f"outlet-{number:08d}",
        floor=floor,
        kind=kind,
        x_mm=x_mm,
        y_mm=y_mm,
        number=f"{floor[-1]}-{number:03d}",
        rotation_mdeg=turn_mdeg,
        state=state,
        ports=tuple(Port(id=f"port-{number * 10 + i:08d}", cable_type=CABLE) for i in range(ports)),
    )


def plan(**changes: object) -> Plan:
    fields: dict[str, object] = {
        "id": "plan-00000001",
        "floor": GROUND,
        "name": "Ground floor",
        "source_name": "ground.dxf",
        "source_sha256": "source",
        "drawing_sha256": SHA,
        "mm_per_unit": 1.0,
        "scaled_by": ScaledBy.FILE_HEADER,
    }
    return Plan(**(fields | changes))  # type: ignore[arg-type]


def small_office() -> Project:
    """Two floors: rooms and a corridor with a basket, a frame above, a riser between."""
    rooms = [
        Space(
            id=f"space-{i:08d}",
            floor=GROUND,
            number=f"0.{i + 1:02d}",
            name="Office",
            use=SpaceUse.OFFICE,
            outline=(
                (i * 6000, 0),
                (i * 6000 + 6000, 0),
                (i * 6000 + 6000, 5000),
                (i * 6000, 5000),
            ),
        )
        for i in range(4)
    ]
    corridor = Space(
        id="space-00000010",
        floor=GROUND,
        number="0.10",
        name="Corridor",
        use=SpaceUse.CORRIDOR,
        outline=((0, 5000), (24000, 5000), (24000, 7500), (0, 7500)),
    )
    shaft = Space(
        id="space-00000011",
        floor=GROUND,
        number="0.11",
        name="Lift",
        use=SpaceUse.LIFT_SHAFT,
        outline=((24000, 5000), (26500, 5000), (26500, 7500), (24000, 7500)),
    )
    basket = Pathway(
        id="pathway-00000001",
        floor=GROUND,
        kind=PathwayKind.BASKET,
        number="B-01",
        width_mm=300.0,
        depth_mm=60.0,
        vertices=((500, 6200, 3000), (23500, 6200, 3000)),
    )
    hooks = [
        Pathway(
            id=f"pathway-0000001{i}",
            floor=GROUND,
            kind=PathwayKind.HOOKS,
            number=f"H-{i + 1:02d}",
            vertices=((3000 + i * 6000, 6200, 3000), (3000 + i * 6000, 1000, 3000)),
        )
        for i in range(4)
    ]
    above = Pathway(
        id="pathway-00000020",
        floor=UPPER,
        kind=PathwayKind.LADDER,
        number="L-01",
        width_mm=300.0,
        depth_mm=60.0,
        vertices=((500, 6200, 3000), (8000, 6200, 3000)),
    )
    outlets = [
        outlet(
            i * 3 + j + 1,
            i * 6000 + 1200 + j * 1700,
            100,
            kind=CAMERA if j == 2 else DESK,
            ports=1 if j == 2 else 2,
        )
        for i in range(4)
        for j in range(3)
    ]
    others: list[Entity] = [
        Frame(
            id="frame-00000001",
            floor=UPPER,
            name="T1",
            kind=FrameKind.MAIN,
            x_mm=2500,
            y_mm=9000,
        ),
        Frame(id="frame-00000002", floor=GROUND, name="T0", x_mm=2500, y_mm=8600),
        Candidate(id="candidate-00000001", floor=GROUND, name="C0", x_mm=20000, y_mm=8600),
        Demarcation(id="demarcation-00000001", floor=GROUND, name="Carrier", x_mm=23000, y_mm=8600),
        Riser(
            id="riser-00000001",
            number="R1",
            lower_floor=GROUND,
            upper_floor=UPPER,
            lower=(6000, 6200),
            upper=(6000, 6200),
            count=3,
        ),
    ]
    return Project(
        [*floors(), *kinds(), *rooms, corridor, shaft, basket, *hooks, above, *outlets, *others]
    )
