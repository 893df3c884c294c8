"""Collects the things of a sample project, and gives them ids."""

from collections.abc import Iterator

from app.model.entities import Entity
from app.model.ids import Source, new_id, tag_of_id


def mm(metres: float) -> int:
    return round(metres * 1000)


class Builder:
    """Collects entities and gives ids; `source` makes the ids' characters."""

    def __init__(self, source: Source) -> None:
        self.entities: list[Entity] = []
        self._source = source
        self._taken: set[str] = set()

    def id(self, tag: str) -> str:
        made = new_id(tag, self._taken, self._source)
        self._taken.add(made)
        return made

    def add(self, entity: Entity) -> str:
        self.entities.append(entity)
        return entity.id

    def of(self, tag: str) -> Iterator[Entity]:
        return (e for e in self.entities if tag_of_id(e.id) == tag)
