"""Which things are selected: one set for the canvas, the panel and the tables."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from app.editor.document import Document, DocumentChanged

SelectionCallback = Callable[[tuple[str, ...]], None]


class Selection:
    """The ids of the selected things, in the order of selecting, each once.

    Given a document, it lets go of things that an edit removes.
    """

    def __init__(self, document: Document | None = None) -> None:
        self._ids: tuple[str, ...] = ()
        self._known: frozenset[str] = frozenset()
        self._callbacks: list[SelectionCallback] = []
        if document is not None:
            document.subscribe(self._drop_removed)

    @property
    def ids(self) -> tuple[str, ...]:
        return self._ids

    def __contains__(self, thing_id: object) -> bool:
        return thing_id in self._known

    def __len__(self) -> int:
        return len(self._ids)

    def set(self, ids: Iterable[str]) -> None:
        """Select exactly these."""
        wanted = tuple(dict.fromkeys(ids))
        if wanted == self._ids:
            return
        self._ids, self._known = wanted, frozenset(wanted)
        for callback in tuple(self._callbacks):
            callback(wanted)

    def add(self, ids: Iterable[str]) -> None:
        """Select these too."""
        self.set((*self._ids, *ids))

    def toggle(self, ids: Iterable[str]) -> None:
        """Select those of these that are not selected, and let go of those that are."""
        turned = dict.fromkeys(ids)
        kept = [i for i in self._ids if i not in turned]
        self.set((*kept, *(i for i in turned if i not in self._known)))

    def clear(self) -> None:
        """Select nothing."""
        self.set(())

    def subscribe(self, callback: SelectionCallback) -> Callable[[], None]:
        """Call back with the ids after every change; the result ends that."""
        self._callbacks.append(callback)
        return lambda: self._callbacks.remove(callback)

    def _drop_removed(self, changed: DocumentChanged) -> None:
        removed = {c.id for c in changed.patch.changes if c.after is None}
        if not removed.isdisjoint(self._known):
            self.set(i for i in self._ids if i not in removed)
