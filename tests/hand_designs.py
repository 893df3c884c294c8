"""Designs whose runs are given by hand, so that what is counted from them can be foretold."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from app.checks.served import (
    areas_served_m2,
    placed_outlets,
    ports_at_frames,
    space_area_m2,
)
from app.design import evaluate
from app.design.design import Design, Summary
from app.model.entities import (
    Building,
    CableType,
    Entity,
    Floor,
    Frame,
    Outlet,
    OutletKind,
    Port,
    PortTemplate,
    Space,
)
from app.model.project import Project
from app.model.rooms import asked_for
from app.model.settings import Settings
from app.model.vocabulary import Fixture, State, Termination, WayDown
from app.routing.results import BackboneRoute, Fill, NoRoute, Runs, RunStatus
from app.standards import load_rules

CABLE = "cable-type-00000001"
DATA = "outlet-kind-00000001"
ACCESS_POINT = "outlet-kind-00000002"
FLOOR = "floor-00000001"
FRAME = "frame-00000001"
SPACE = "space-00000001"


def code(number: int) -> str:
    """Eight characters of an id."""
    return f"{number:08d}"


@dataclass(frozen=True, kw_only=True)
class HandRun:
    """What is given of one run."""

    frame: str | None = FRAME
    installed_mm: int = 50_000
    cut_mm: int | None = None
    leg_mm: int = 0
    limit_mm: int = 90_000
    near_mm: int = 5_000
    counted: bool = True
    third_floor: bool = False
    reason: NoRoute = NoRoute.NONE


def base(settings: Settings | None = None) -> list[Entity]:
    """A building of one floor with a frame, a cable type and two kinds of outlet."""
    return [
        settings or Settings(id="settings"),
        Building(id="building-00000001", name="Harbour office"),
        Floor(id=FLOOR, building="building-00000001", name="0", level_mm=0),
        CableType(id=CABLE, name="Cat 6A U/UTP", category="6A", od_mm=7.5),
        OutletKind(id=DATA, name="Data", ports=(PortTemplate(cable_type=CABLE),) * 2),
        OutletKind(
            id=ACCESS_POINT,
            name="Access point",
            height_mm=None,
            way_down=WayDown.CEILING,
            fixture=Fixture.SURFACE_BOX,
            ports=(PortTemplate(cable_type=CABLE),) * 2,
        ),
        Frame(id=FRAME, floor=FLOOR, name="T1", x_mm=0, y_mm=0),
        Space(
            id=SPACE,
            floor=FLOOR,
            number="0.01",
            name="Office",
            outline=((0, 0), (12_000, 0), (12_000, 9_500), (0, 9_500)),
        ),
    ]


def outlet(
    number: int,
    *,
    ports: int = 2,
    kind: str = DATA,
    state: State = State.NEW,
    termination: Termination = Termination.JACK,
    floor: str = FLOOR,
    cable: str = CABLE,
    named: str | None = None,
    way_down: WayDown | None = None,
) -> Outlet:
    """One outlet at (number, 1) metres."""
    return Outlet(
        id=f"outlet-{code(number)}",
        floor=floor,
        kind=kind,
        x_mm=1_000 * (number % 12),
        y_mm=1_000,
        number=f"0-{number:03d}" if named is None else named,
        state=state,
        way_down=way_down,
        ports=tuple(
            Port(
                id=f"port-{number:06d}{i:02d}",
                label=chr(ord("a") + i),
                cable_type=cable,
                termination=termination,
            )
            for i in range(ports)
        ),
    )


def runs_of(project: Project, given: Mapping[str, HandRun] | None = None) -> Runs:
    """The runs of a project; `given` by outlet or port id, else as `HandRun` has it."""
    given = given or {}
    outlets = [(o.id, p.id) for o in project.outlets.values() for p in o.ports]
    hand = [given.get(p, given.get(o, HandRun())) for o, p in outlets]
    frames = tuple(project.frames)
    routed = [h.frame is not None for h in hand]

    def column(values: Iterable[int]) -> np.ndarray:
        pairs = zip(values, routed, strict=True)
        return np.array([v if r else 0 for v, r in pairs], dtype=np.int64)

    slack = column(3_300 for _ in hand)
    allowance = column(h.installed_mm // 25 for h in hand)
    installed = column(h.installed_mm for h in hand)
    vertical = column(4_000 for _ in hand)
    return Runs(
        port_ids=tuple(p for _, p in outlets),
        outlet_ids=tuple(o for o, _ in outlets),
        row_of={p: i for i, (_, p) in enumerate(outlets)},
        frame_ids=frames,
        frame_index=np.array(
            [-1 if h.frame is None else frames.index(h.frame) for h in hand], dtype=np.int32
        ),
        horizontal_mm=installed - vertical - slack - allowance,
        vertical_mm=vertical,
        allowance_mm=allowance,
        slack_mm=slack,
        added_mm=column(0 for _ in hand),
        installed_mm=installed,
        cut_mm=column(h.installed_mm + 600 if h.cut_mm is None else h.cut_mm for h in hand),
        limit_mm=np.array([h.limit_mm for h in hand], dtype=np.int64),
        leg_mm=column(h.leg_mm for h in hand),
        frame_leg_mm=column(0 for _ in hand),
        estimated=np.zeros(len(hand), dtype=bool),
        status=np.array([_status(h) for h in hand], dtype=np.int8),
        reason=np.array([h.reason for h in hand], dtype=np.int8),
        counted=np.array([h.counted for h in hand], dtype=np.bool_),
        third_floor=np.array([h.third_floor for h in hand], dtype=np.bool_),
    )


def design_of(
    entities: Sequence[Entity],
    given: Mapping[str, HandRun] | None = None,
    *,
    fills: Mapping[str, Fill] | None = None,
    backbone: Mapping[str, BackboneRoute] | None = None,
    space: str | None = SPACE,
) -> Design:
    """A design of these things, all outlets in one space."""
    project = Project(entities)
    runs, space_of = runs_of(project, given), dict.fromkeys(project.outlets, space)
    fields = Design.__dataclass_fields__
    known = {
        "project": project,
        "space_of": space_of,
        "runs": runs,
        "fills": fills or {},
        "passing": {},
        "workings": evaluate(project).workings,
        "backbone": backbone or {},
        "findings": (),
        "summary": Summary(),
        "rules": load_rules(),
        "areas_m2": areas_by_hand(runs, project, space_of),
        "placed": placed_outlets(project, space_of),
        "required": asked_for(project).by_space,
    }
    return Design(**{name: known.get(name) for name in fields})  # type: ignore[arg-type]


def areas_by_hand(
    runs: Runs, project: Project, space_of: Mapping[str, str | None]
) -> dict[str, float]:
    """The area each frame serves, from a table of runs made by hand."""
    numbers = {space: k for k, space in enumerate(project.spaces)}
    rooms = [numbers.get(space_of[o] or "", -1) for o in runs.outlet_ids]
    areas = np.array([space_area_m2(s) for s in project.spaces.values()])
    served = areas_served_m2(
        np.array(rooms, dtype=np.int32), runs.frame_index, areas, len(runs.frame_ids)
    )
    return dict(zip(runs.frame_ids, served.tolist(), strict=True))


def ports_by_hand(runs: Runs, project: Project) -> dict[str, int]:
    """The ports ended at each frame, from a table of runs made by hand."""
    states = [
        o.state if p.state is None else p.state for o in project.outlets.values() for p in o.ports
    ]
    stays = np.array([s not in (State.TO_REMOVE, State.FUTURE) for s in states], dtype=bool)
    ports = ports_at_frames(runs.frame_index, stays, len(runs.frame_ids))
    return dict(zip(runs.frame_ids, ports.tolist(), strict=True))


def office(settings: Settings | None = None) -> list[Entity]:
    """Twelve data outlets and one access point, two ports each."""
    return [
        *base(settings),
        *(outlet(i) for i in range(1, 13)),
        outlet(13, kind=ACCESS_POINT),
    ]


def with_findings(design: Design, findings: tuple) -> Design:  # type: ignore[type-arg]
    """The design with these findings."""
    return replace(design, findings=findings)


def _status(hand: HandRun) -> RunStatus:
    if hand.frame is None:
        return RunStatus.NO_ROUTE
    if hand.installed_mm > hand.limit_mm:
        return RunStatus.OVER
    return RunStatus.NEAR if hand.installed_mm > hand.limit_mm - hand.near_mm else RunStatus.WITHIN
