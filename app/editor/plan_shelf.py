"""The plans' bytes that an open document holds: originals and flattened drawings, by hash."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from app.model.entities import Plan
from app.model.project import Patch, PatchRefused
from app.storage.journal import Journal
from app.storage.packed import PackedSource, pack_source, sha256_of


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

    def begin_with(self, plans: Iterable[Plan]) -> None:
        """A project comes with these plans; bytes that are missing now may stay so."""
        named = {h for p in plans for h in (p.source_sha256, p.drawing_sha256)}
        self._lost = frozenset(named - set(self._sources) - set(self._drawings))

    def now_in_file(self, sources: Iterable[str], drawings: Iterable[str]) -> None:
        """The saved file holds these hashes, and no other."""
        self._in_file = frozenset(sources) | frozenset(drawings)

    def make_safe(self, patch: Patch, journal: Journal | None) -> None:
        """Let the bytes of every plan that the patch names lie beside the journal.

        Raises PatchRefused where a plan that is new to the project has none, and OSError.
        """
        for change in patch.changes:
            if isinstance(change.after, Plan):
                self._make_plan_safe(change.after, journal)

    def _make_plan_safe(self, plan: Plan, journal: Journal | None) -> None:
        shelves: tuple[tuple[str, Mapping[str, bytes | PackedSource], str], ...] = (
            (plan.source_sha256, self._sources, "source"),
            (plan.drawing_sha256, self._drawings, "drawing"),
        )
        for sha256, shelf, sort in shelves:
            if sha256 in self._in_file:
                continue
            held = shelf.get(sha256)
            if held is None:
                if sha256 in self._lost:
                    continue
                raise PatchRefused(
                    f"The drawing of the plan “{plan.name}” is not in this project; "
                    "import the plan again."
                )
            name = f"{sha256}.{sort}"
            if journal is not None and not journal.has_plan(name):
                journal.keep_plan(name, held.data if isinstance(held, PackedSource) else held)
