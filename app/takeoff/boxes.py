"""Boxes to order: cut without joins, and apart from them the mishaps and the spare."""

from dataclasses import dataclass

from app.model.entities import CableType
from app.model.project import Project
from app.model.vocabulary import ProvidedBy
from app.routing.results import IntArray, Runs
from app.sizing.panels import share_of
from app.takeoff.cutting import Cutting, cut_from_boxes


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """One box and the ports whose runs are cut from it."""

    ports: tuple[str, ...]
    cut_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxLine:
    """Boxes of one cable type from one party.

    `bound` boxes are needed by any plan; `repull_boxes` come on top for runs pulled again,
    each taken as the mean; `spare_boxes` lie on site. Runs in `too_long` fit no box.
    """

    cable_type: str
    provided_by: ProvidedBy
    box_mm: int
    usable_mm: int
    runs: int
    cut_mm: int
    plan: tuple[Box, ...]
    bound: int
    repull_runs: int
    repull_boxes: int
    spare_boxes: int
    too_long: tuple[str, ...]

    @property
    def proven(self) -> bool:
        """Whether no plan does with fewer boxes."""
        return len(self.plan) == self.bound

    @property
    def total(self) -> int:
        """Boxes to order."""
        return len(self.plan) + self.repull_boxes + self.spare_boxes

    @property
    def offcut_mm(self) -> int:
        """What stays in the boxes of the plan, of their usable length."""
        return len(self.plan) * self.usable_mm - sum(b.cut_mm for b in self.plan)


def box_lines(project: Project, runs: Runs, routed: IntArray) -> tuple[BoxLine, ...]:
    """One line for each cable type and provider, in the project's order of types.

    Source: supply.repull, supply.spare_boxes, box_sizes.*.usable_mm.
    """
    groups: dict[tuple[str, ProvidedBy], list[int]] = {}
    ports = {p.id: p for o in project.outlets.values() for p in o.ports}
    for row in routed.tolist():
        outlet = project.outlets[runs.outlet_ids[row]]
        key = (ports[runs.port_ids[row]].cable_type, outlet.provided_by)
        groups.setdefault(key, []).append(row)
    places = {t: i for i, t in enumerate(project.cable_types)}
    ordered = sorted(groups, key=lambda g: (places[g[0]], g[1].value))
    return tuple(_line(project, runs, project.cable_types[g[0]], g[1], groups[g]) for g in ordered)


def _line(
    project: Project, runs: Runs, cable: CableType, provided_by: ProvidedBy, rows: list[int]
) -> BoxLine:
    lengths: list[int] = runs.cut_mm[rows].tolist()
    usable_mm = min(cable.box_usable_mm or cable.box_mm, cable.box_mm)
    settings = project.settings
    if usable_mm > 0:
        cutting = cut_from_boxes(lengths, usable_mm=usable_mm)
    else:
        cutting = Cutting(boxes=(), bound=0, too_long=tuple(range(len(lengths))))
    boxed = sum(len(box) for box in cutting.boxes)
    again = share_of(count=boxed, percent=settings.repull_percent)
    return BoxLine(
        cable_type=cable.id,
        provided_by=provided_by,
        box_mm=cable.box_mm,
        usable_mm=usable_mm,
        runs=len(rows),
        cut_mm=sum(lengths),
        plan=tuple(
            Box(
                ports=tuple(runs.port_ids[rows[i]] for i in box),
                cut_mm=sum(lengths[i] for i in box),
            )
            for box in cutting.boxes
        ),
        bound=cutting.bound,
        repull_runs=again,
        repull_boxes=_more_boxes(cutting, lengths, again, usable_mm=usable_mm),
        spare_boxes=settings.spare_boxes if boxed else 0,
        too_long=tuple(runs.port_ids[rows[i]] for i in cutting.too_long),
    )


def _more_boxes(cutting: Cutting, lengths: list[int], again: int, *, usable_mm: int) -> int:
    """Boxes beyond the plan for so many more runs of the mean length.

    They go first into what the plan leaves in its boxes.
    """
    if again == 0:
        return 0
    total = sum(lengths[i] for box in cutting.boxes for i in box)
    mean_mm = -(-total // sum(len(box) for box in cutting.boxes))
    rooms = (usable_mm - sum(lengths[i] for i in box) for box in cutting.boxes)
    left = max(0, again - sum(room // mean_mm for room in rooms))
    return -(-left // (usable_mm // mean_mm))
