"""Which rows of which table an edit touches."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.editor.document import DocumentChanged
from app.model.entities import Outlet
from app.model.ids import tag_of_id

ROWS_OF_OWN = {
    "outlets": frozenset({"outlet"}),
    "runs": frozenset({"outlet"}),
    "pathways": frozenset({"pathway"}),
    "risers": frozenset({"riser", "outdoor-duct"}),
    "penetrations": frozenset({"penetration"}),
    "frames": frozenset({"frame"}),
    "backbone": frozenset({"backbone-cable"}),
}
NAMED_IN = {
    "outlets": frozenset({"outlet-kind", "floor", "space", "frame", "settings", "site"}),
    "runs": frozenset({"outlet-kind", "cable-type", "floor", "space", "frame", "settings"}),
    "pathways": frozenset({"floor", "settings", "cable-type"}),
    "risers": frozenset({"floor", "settings", "cable-type"}),
    "penetrations": frozenset(
        {"floor", "space", "settings", "cable-type", "pathway", "riser", "outdoor-duct"}
    ),
    "frames": frozenset({"floor", "space", "settings", "cable-type"}),
    "backbone": frozenset({"frame", "demarcation", "cable-type", "settings", "floor"}),
}
"""Things whose words stand in rows of others: a table is made anew when one changes."""
FEW_ROWS = 400


@dataclass(frozen=True, slots=True)
class Touched:
    """Rows to look at again; `anew` says that the whole table is to be made anew."""

    anew: bool
    rows: frozenset[str] = frozenset()


NOTHING = Touched(False)
ANEW = Touched(True)


def touched_rows(key: str, changed: DocumentChanged, outlet_of: Mapping[str, str]) -> Touched:
    """What an edit means for a table. `outlet_of` gives the outlet of a port that stands."""
    change = changed.design_change
    tags = {tag_of_id(i) for i in changed.patch.ids}
    if key == "findings":
        quiet = change is not None and not change.everything and not change.findings
        return NOTHING if quiet and "waiver" not in tags and "floor" not in tags else ANEW
    if change is None or change.everything or tags & NAMED_IN.get(key, tags):
        return ANEW
    own = ROWS_OF_OWN.get(key)
    if own is None:
        return ANEW
    rows = _rows(key, own, changed, outlet_of)
    return ANEW if len(rows) > FEW_ROWS else Touched(False, rows)


def _rows(
    key: str, own: frozenset[str], changed: DocumentChanged, outlet_of: Mapping[str, str]
) -> frozenset[str]:
    change = changed.design_change
    edited = frozenset(i for i in changed.patch.ids if tag_of_id(i) in own)
    if key == "outlets":
        of_ports = frozenset(outlet_of[p] for p in change.ports if p in outlet_of)
        return edited | change.outlets | of_ports
    if key == "runs":
        ports = set(change.ports)
        for one in changed.patch.changes:
            for side in (one.before, one.after):
                if isinstance(side, Outlet):
                    ports |= {p.id for p in side.ports}
        return frozenset(ports)
    if key in ("pathways", "risers"):
        return edited | frozenset(i for i in change.pathways if tag_of_id(i) in own)
    if key == "penetrations":
        return edited | change.penetrations
    if key == "frames":
        return edited | change.frames
    return edited | change.backbone
