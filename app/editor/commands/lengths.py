"""An added or a known length of whole runs and backbone cables, with its reason in one edit."""

from collections.abc import Iterable
from typing import Any

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.fields import checked, label_of, said_value
from app.editor.commands.telling import outlets_with
from app.editor.wording import counted, number
from app.model.entities import BackboneCable, Entity, Port
from app.model.project import Patch, Project, changing

WANT_A_REASON = frozenset({"added_mm", "replaced_mm"})


def set_walked(
    project: Project, ids: Iterable[str], field: str, value: object, reason: str
) -> Patch:
    """Set the added or known length of these runs (ports) or backbone cables, and say why.

    Without a length left, the reason goes too. Raises InputProblem where no reason is given.
    """
    wanted = list(ids)
    units = project.settings.units
    gone = value is None or value == 0
    if not gone and not reason.strip():
        raise InputProblem("A length that was walked or measured wants its reason.")

    def walked(thing: Any, kind: type[Any]) -> Any:
        after = replace(thing, **{field: checked(kind, field, value, units)})
        kept = after.added_mm != 0 or after.replaced_mm is not None
        said = reason.strip() if not gone else thing.length_reason if kept else ""
        return replace(after, length_reason=said)

    cables = [project.backbone_cables[i] for i in wanted if i in project.backbone_cables]
    said = said_value(field, value, units)
    if cables:
        pairs: list[tuple[Entity, Entity]] = [(c, walked(c, BackboneCable)) for c in cables]
        return changing(f"Set {label_of(field)} of {counted(cables)}{said}", pairs)
    outlets, meant = outlets_with(project, wanted)
    pairs = [
        (o, replace(o, ports=tuple(walked(p, Port) if p.id in meant else p for p in o.ports)))
        for o in outlets
    ]
    return changing(f"Set {label_of(field)} of {number(len(meant), 'port')}{said}", pairs)
