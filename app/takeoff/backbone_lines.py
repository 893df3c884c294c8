"""Backbone cable by entry: count, installed and cut metres, cut to order."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.model.project import Project
from app.model.vocabulary import ProvidedBy, State
from app.routing.results import BackboneRoute, RunStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class BackboneLine:
    """New cables of one backbone entry; lengths of one and of all of them."""

    cable: str
    cable_type: str
    provided_by: ProvidedBy
    count: int
    each_installed_mm: int
    each_cut_mm: int

    @property
    def installed_mm(self) -> int:
        return self.count * self.each_installed_mm

    @property
    def cut_mm(self) -> int:
        return self.count * self.each_cut_mm


def backbone_lines(
    project: Project, routes: Mapping[str, BackboneRoute]
) -> tuple[BackboneLine, ...]:
    """The new backbone cables that have a route, by cable type and then as in the project."""
    lines = []
    for cable in project.backbone_cables.values():
        route = routes.get(cable.id)
        if cable.state is not State.NEW or route is None or route.status is RunStatus.NO_ROUTE:
            continue
        lines.append(
            BackboneLine(
                cable=cable.id,
                cable_type=cable.cable_type,
                provided_by=cable.provided_by,
                count=cable.count,
                each_installed_mm=route.installed_mm,
                each_cut_mm=route.cut_mm,
            )
        )
    places = {t: i for i, t in enumerate(project.cable_types)}
    return tuple(sorted(lines, key=lambda line: places[line.cable_type]))
