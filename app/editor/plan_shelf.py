"""The bytes that an open document holds beside its tables, by hash: plans' originals and
flattened drawings, and the states that restore points come back to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from app.model.entities import Entity, Plan, RestorePoint
from app.model.project import Patch, PatchRefused, Project
from app.storage.journal import Journal
from app.storage.packed import PackedSource, pack_source, sha256_of
from app.storage.project_file import named_hashes


class PlanShelf:
    """Bytes are added, never changed."""

    def __init__(
        self,
        sources: Mapping[str, PackedSource] | None = None,
        drawings: Mapping[str, bytes] | None = None,
    ) -> None:
        self._sources = dict(sources or {})
        self._drawings = dict(drawings or {})
        self._in_file: frozenset[str] = frozenset()
        self._lost: frozenset[str] = frozenset()

    @property
    def sources(self) -> Mapping[str, PackedSource]:
        """Originals of plans and states of restore points."""
        return self._sources

    @property
    def drawings(self) -> Mapping[str, bytes]:
        return self._drawings

    def add(self, source: bytes | PackedSource, drawing: bytes) -> tuple[str, str]:
        """Put a plan's original and its encoded drawing on the shelf; gives their hashes."""
        packed = pack_source(source) if isinstance(source, bytes) else source
        drawing_sha256 = sha256_of(drawing)
        self._sources[packed.sha256] = packed
        self._drawings[drawing_sha256] = drawing
        return packed.sha256, drawing_sha256

    def add_state(self, state: PackedSource) -> None:
        """Put the state of a restore point on the shelf."""
        self._sources[state.sha256] = state

    def begin_with(self, project: Project) -> None:
        """Bytes that a project comes without may stay missing."""
        self._lost = named_hashes(project) - set(self._sources) - set(self._drawings)

    def now_in_file(self, sources: Iterable[str], drawings: Iterable[str]) -> None:
        """The saved file holds these hashes, and no other."""
        self._in_file = frozenset(sources) | frozenset(drawings)

    def make_safe(self, patch: Patch, journal: Journal | None) -> None:
        """Let the bytes of everything that the patch names lie beside the journal.

        Raises PatchRefused where what is new to the project has none, and OSError.
        """
        for change in patch.changes:
            if isinstance(change.after, Plan):
                plan = change.after
                self._make_safe(plan, plan.source_sha256, "source", journal)
                self._make_safe(plan, plan.drawing_sha256, "drawing", journal)
            elif isinstance(change.after, RestorePoint):
                point = change.after
                self._make_safe(point, point.state_sha256, "source", journal)
                for sha256 in point.plan_hashes:
                    for sort in ("source", "drawing"):
                        if sha256 in self._shelf(sort):
                            self._make_safe(point, sha256, sort, journal)

    def _shelf(self, sort: str) -> Mapping[str, bytes | PackedSource]:
        return self._sources if sort == "source" else self._drawings

    def _make_safe(self, thing: Entity, sha256: str, sort: str, journal: Journal | None) -> None:
        if sha256 in self._in_file:
            return
        held = self._shelf(sort).get(sha256)
        if held is None:
            if sha256 in self._lost:
                return
            raise PatchRefused(_not_here(thing))
        name = f"{sha256}.{sort}"
        if journal is not None and not journal.has_plan(name):
            journal.keep_plan(name, held.data if isinstance(held, PackedSource) else held)


def _not_here(thing: Entity) -> str:
    if isinstance(thing, Plan):
        return (
            f"The drawing of the plan “{thing.name}” is not in this project; import the plan again."
        )
    return "The state that the restore point keeps is not in this project; make the point anew."
