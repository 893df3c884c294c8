"""What is put on pathways: boxes and inserts, drop-outs, keep-aparts."""

from app.editor.asking import InputProblem
from app.editor.commands.joining import split_pathway
from app.editor.commands.placing import add_access_point, add_break, add_drop_out
from app.editor.commands.shapes import flat
from app.editor.tools.one_click import OneClickTool
from app.editor.tools.overlay import NOTHING, Marker, MarkerShape, Overlay, Role, Tag
from app.editor.tools.tool import Pointer
from app.editor.wording import name_of
from app.geometry.along_lines import place_on
from app.model.entities import Pathway
from app.model.ids import Source
from app.model.project import Patch, Project
from app.model.vocabulary import OPEN_KINDS

PAIR = 2


def pathways_at(
    project: Project, floor_id: str, at: tuple[float, float], within_mm: float
) -> list[Pathway]:
    """The pathways of a floor that pass a point, the nearest first."""
    found = []
    for line in project.pathways.values():
        if line.floor == floor_id:
            distance = place_on(flat(line.vertices), at).distance
            if distance <= within_mm:
                found.append((distance, line.id, line))
    return [line for _, _, line in sorted(found, key=lambda f: f[:2])]


def _reach(pointer: Pointer) -> float:
    """How far a pathway may be from the pointer: what an eye takes for “on it”."""
    return 12.0 * pointer.mm_per_pixel


class PullBoxTool(OneClickTool):
    """One box or insert a click, on the closed pathway that is nearest."""

    name = "Pull box"

    def hint(self) -> str:
        return "Click on a conduit for a pull box, on a floor duct for an insert"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        near = pathways_at(self.context.project, self.context.floor_id, pointer.at, _reach(pointer))
        if not near:
            raise InputProblem("Click on the conduit or floor duct that gets the box.")
        line = next((p for p in near if p.kind not in OPEN_KINDS), near[0])
        draws = self.context.draws
        return add_access_point(
            self.context.project,
            pathway_id=line.id,
            at=pointer.at,
            state=draws.state,
            provided_by=draws.provided_by,
            retired=self.context.retired,
            source=source,
        )


class SplitTool(OneClickTool):
    """Cuts the pathway that is nearest in two."""

    name = "Split"

    def hint(self) -> str:
        return "Click on a pathway where it is to be cut in two"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        project = self.context.project
        near = pathways_at(project, self.context.floor_id, pointer.at, _reach(pointer))
        if not near:
            raise InputProblem("Click on the pathway that is to be cut in two.")
        retired = self.context.retired
        return split_pathway(project, near[0].id, at=pointer.at, retired=retired, source=source)

    def overlay(self) -> Overlay:
        patch = self.preview_patch()
        if patch is None:
            return NOTHING
        made = patch.changes[1].after
        if not isinstance(made, Pathway):
            return NOTHING
        x, y, _ = made.vertices[0]
        cut = Marker(role=Role.DRAFT, at=(x, y), shape=MarkerShape.CROSS)
        return Overlay(markers=(cut,), tags=(Tag(role=Role.DRAFT, at=(x, y), text=patch.label),))


class _CrossingTool(OneClickTool):
    """Works on the two pathways that cross at the pointer."""

    def _pair(self, pointer: Pointer) -> tuple[str, str]:
        project = self.context.project
        near = pathways_at(project, self.context.floor_id, pointer.at, _reach(pointer))
        if len(near) < PAIR:
            raise InputProblem("Click where two pathways cross.")
        return near[0].id, near[1].id

    def overlay(self) -> Overlay:
        """The crossing, and the two pathways by name; or why it cannot be here."""
        pointer = self._pointer
        if pointer is None:
            return NOTHING
        try:
            first, second = self._pair(pointer)
        except InputProblem:
            return NOTHING
        names = [name_of(self.context.project.pathways[i]) for i in (first, second)]
        patch = self.preview_patch()
        role = Role.REFUSED if patch is None else Role.DRAFT
        at = pointer.at
        if patch is not None:
            made = patch.changes[-1].after
            at = (made.x_mm, made.y_mm)  # type: ignore[union-attr]
        return Overlay(
            markers=(Marker(role=role, at=at, shape=MarkerShape.CROSS),),
            tags=(Tag(role=role, at=at, text=" and ".join(names)),),
        )


class DropOutTool(_CrossingTool):
    """One drop-out a click, where two pathways cross at different heights."""

    name = "Drop-out"

    def hint(self) -> str:
        return "Click where two open pathways cross, to let cable drop from one to the other"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        draws = self.context.draws
        return add_drop_out(
            self.context.project,
            pathway_ids=self._pair(pointer),
            at=pointer.at,
            state=draws.state,
            provided_by=draws.provided_by,
            source=source,
        )


class KeepApartTool(_CrossingTool):
    """One keep-apart a click, where two pathways meet and must not be joined."""

    name = "Keep apart"

    def hint(self) -> str:
        return "Click where two pathways meet, to keep them apart"

    def make(self, pointer: Pointer, source: Source) -> Patch:
        return add_break(
            self.context.project, pathway_ids=self._pair(pointer), at=pointer.at, source=source
        )
