"""A small invented building for the editor's tests: two floors and all sorts of things."""

from hashlib import sha256

from app.editor.commands.catalogue import cable_type_of, outlet_kind_of
from app.model.entities import (
    AccessPoint,
    BackboneCable,
    Break,
    Building,
    Candidate,
    Demarcation,
    DropOut,
    Floor,
    Frame,
    OutdoorDuct,
    Outlet,
    Pathway,
    Plan,
    Port,
    Riser,
    Space,
    Waiver,
)
from app.model.ids import counting_source
from app.model.project import Project
from app.model.vocabulary import FrameKind, PathwayKind, SpaceUse
from app.standards import load_rules

RULES = load_rules()
PLAN_SOURCE, PLAN_DRAWING = b"the plan as it came", b"the plan as it is drawn"
CABLE = "cable-type-00000001"
DATA = "outlet-kind-00000001"
CEILING = "outlet-kind-00000002"
GROUND, UPPER = "floor-00000001", "floor-00000002"
OFFICE, HALL = "space-00000001", "space-00000002"
TRAY, HOOKS, CONDUIT = "pathway-00000001", "pathway-00000002", "pathway-00000003"
BOX, DROP_OUT, BREAK = "access-point-00000001", "drop-out-00000001", "break-00000001"
MAIN, SECOND = "frame-00000001", "frame-00000002"
PLACE, CARRIER = "candidate-00000001", "demarcation-00000001"
BACKBONE, RISER, DUCT = "backbone-cable-00000001", "riser-00000001", "outdoor-duct-00000001"
OUTLET_1, OUTLET_2, OUTLET_3 = "outlet-00000001", "outlet-00000002", "outlet-00000003"
PLAN, WAIVER = "plan-00000001", "waiver-00000001"


def source():
    """Ids that nothing in the building has."""
    return counting_source(1_000)


def _outlet(outlet_id: str, number: str, x: int, y: int, frame: str | None = None) -> Outlet:
    tail = outlet_id[-8:-1]
    return Outlet(
        id=outlet_id,
        floor=GROUND,
        kind=DATA,
        x_mm=x,
        y_mm=y,
        number=number,
        ports=tuple(
            Port(id=f"port-{tail}{c}", cable_type=CABLE, frame=frame, label=f"{number}{c}")
            for c in ("ab" if outlet_id == OUTLET_1 else "cd" if outlet_id == OUTLET_2 else "ef")
        ),
    )


def building() -> Project:
    """20 x 10 m. Tray along y = 5 m at 3.0 m, hooks across it at x = 8 m and 3.6 m, joined by
    a drop-out; a conduit along y = 2 m with a pull box, kept apart from the hooks."""
    cable = cable_type_of(RULES, "cat6a_u", cable_id=CABLE)
    data = outlet_kind_of(RULES, "data", kind_id=DATA, cable_type=CABLE)
    ceiling = outlet_kind_of(RULES, "access_point", kind_id=CEILING, cable_type=CABLE)
    return Project(
        [
            cable,
            data,
            ceiling,
            Building(id="building-00000001", name="Quay house"),
            Floor(id=GROUND, building="building-00000001", name="0", level_mm=0),
            Floor(id=UPPER, building="building-00000001", name="1", level_mm=3_600),
            Plan(
                id=PLAN,
                floor=GROUND,
                name="Ground",
                source_name="ground.dxf",
                source_sha256=sha256(PLAN_SOURCE).hexdigest(),
                drawing_sha256=sha256(PLAN_DRAWING).hexdigest(),
                mm_per_unit=1.0,
            ),
            Space(
                id=OFFICE,
                floor=GROUND,
                outline=((0, 0), (6_000, 0), (6_000, 4_000), (0, 4_000)),
                number="0.01",
                use=SpaceUse.OFFICE,
            ),
            Space(
                id=HALL,
                floor=GROUND,
                outline=((6_000, 0), (20_000, 0), (20_000, 10_000), (6_000, 10_000)),
                number="0.02",
                use=SpaceUse.HALL,
            ),
            _outlet(OUTLET_1, "0-01", 1_000, 10, frame=MAIN),
            _outlet(OUTLET_2, "0-02", 3_000, 10),
            _outlet(OUTLET_3, "0-03", 12_000, 7_000, frame=SECOND),
            Frame(
                id=MAIN,
                floor=GROUND,
                name="M1",
                kind=FrameKind.MAIN,
                x_mm=18_000,
                y_mm=5_000,
                entry=(17_000, 5_000),
            ),
            Frame(id=SECOND, floor=UPPER, name="1-F1", x_mm=18_000, y_mm=5_000),
            Candidate(id=PLACE, floor=GROUND, name="Place 1", x_mm=15_000, y_mm=8_000),
            Demarcation(id=CARRIER, floor=GROUND, name="DP1", x_mm=500, y_mm=9_000),
            BackboneCable(id=BACKBONE, name="BB-01", from_id=MAIN, to_id=SECOND, cable_type=CABLE),
            Pathway(
                id=TRAY,
                floor=GROUND,
                kind=PathwayKind.BASKET,
                number="B-01",
                vertices=((1_000, 5_000, 3_000), (10_000, 5_000, 3_000), (17_000, 5_000, 3_000)),
                width_mm=300.0,
                depth_mm=60.0,
            ),
            Pathway(
                id=HOOKS,
                floor=GROUND,
                kind=PathwayKind.HOOKS,
                number="H-01",
                vertices=((8_000, 1_000, 3_600), (8_000, 9_000, 3_600)),
            ),
            Pathway(
                id=CONDUIT,
                floor=GROUND,
                kind=PathwayKind.CONDUIT,
                number="C-01",
                vertices=((1_000, 2_000, 3_600), (12_000, 2_000, 3_600)),
                bore_mm=27.0,
            ),
            AccessPoint(
                id=BOX, floor=GROUND, pathway=CONDUIT, x_mm=4_000, y_mm=2_000, number="PB-01"
            ),
            DropOut(
                id=DROP_OUT,
                floor=GROUND,
                pathway_a=TRAY,
                pathway_b=HOOKS,
                x_mm=8_000,
                y_mm=5_000,
            ),
            Break(
                id=BREAK,
                floor=GROUND,
                pathway_a=HOOKS,
                pathway_b=CONDUIT,
                x_mm=8_000,
                y_mm=2_000,
            ),
            Riser(
                id=RISER,
                number="R1",
                lower_floor=GROUND,
                upper_floor=UPPER,
                lower=(16_000, 5_500),
                upper=(16_000, 5_500),
                count=3,
            ),
            OutdoorDuct(
                id=DUCT,
                number="D1",
                from_floor=GROUND,
                to_floor=GROUND,
                vertices=((-5_000, 9_000, -800), (500, 9_000, -800)),
            ),
            Waiver(id=WAIVER, finding=f"run_length:{OUTLET_1}", reason="agreed", by="A. Client"),
        ]
    )
