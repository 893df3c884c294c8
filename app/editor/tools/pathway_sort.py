"""The sort of pathway that is drawn next: its height, its sizes, and what is alike."""

from msgspec.structs import replace

from app.editor.commands.pathway_kinds import sizes_of
from app.editor.tools.tool import ToolContext
from app.model.entities import Pathway, Vertex
from app.model.vocabulary import PathwayKind

HANGING_KINDS = frozenset({PathwayKind.TRAY, PathwayKind.BASKET, PathwayKind.CONDUIT})
DRAFT_ID = "pathway-00000000"


def height_of(context: ToolContext) -> int:
    """The height chosen, else the settings' for hanging kinds, else the rules' for the kind."""
    chosen = context.draws.pathway
    if chosen.height_mm is not None:
        return chosen.height_mm
    settings = context.project.settings
    if chosen.kind in HANGING_KINDS:
        return settings.tray_height_mm
    if chosen.kind is PathwayKind.HOOKS:
        return settings.hooks_height_mm
    return context.rules.pathway_kinds[chosen.kind].height_mm


def drawn_pathway(context: ToolContext, floor_id: str, vertices: tuple[Vertex, ...]) -> Pathway:
    """A pathway of the sort drawn next; it has only the sizes that its kind has."""
    chosen, draws = context.draws.pathway, context.draws
    line = Pathway(
        id=DRAFT_ID,
        floor=floor_id,
        kind=chosen.kind,
        vertices=vertices,
        count=chosen.count,
        state=draws.state,
        phase=draws.phase,
        provided_by=draws.provided_by,
    )
    return replace(line, **sizes_of(chosen.kind, chosen))


def same_sort(context: ToolContext, line: Pathway) -> bool:
    """Whether a standing pathway is of the sort drawn next, so that drawing continues it."""
    model = drawn_pathway(context, line.floor, line.vertices)
    if line.floor != context.floor_id:
        return False
    fields = ("kind", "width_mm", "depth_mm", "bore_mm", "opening_mm2", "count", "state", "phase")
    return all(getattr(model, f) == getattr(line, f) for f in fields)
