"""Lines of a takeoff, and the tally that gathers them."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum

from app.model.vocabulary import ProvidedBy


class Section(StrEnum):
    """The parts of a takeoff, in their order."""

    OUTLETS = "outlets"
    TERMINATION = "termination"
    FRAMES = "frames"
    PATHWAYS = "pathways"
    SUPPORTS = "supports"
    RISERS = "risers"
    WORK = "work"
    RELOCATION = "relocation"
    REMOVAL = "removal"


class Unit(StrEnum):
    """What a quantity counts: pieces, or integer millimetres read as a length."""

    PIECE = "pcs"
    LENGTH = "length"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing to order or to do.

    `floor` and `frame` are ids where the line is for one of them. `things` are the ids of what
    it counts (ports are counted by port id). `basis` says how the quantity came about. A line
    that is not `billed` is a measure beside others that are, such as metres beside lengths.
    """

    section: Section
    item: str
    unit: Unit
    quantity: int
    provided_by: ProvidedBy
    floor: str | None
    frame: str | None
    things: tuple[str, ...]
    basis: str
    billed: bool = True

    @property
    def key(self) -> str:
        """What makes the line itself, whatever its quantity."""
        place = self.frame or self.floor or ""
        return f"{self.section.value}|{self.item}|{self.provided_by.value}|{place}"


@dataclass
class _Gathered:
    quantity: int = 0
    things: dict[str, None] = field(default_factory=dict)


class Tally:
    """Adds up what is counted, line by line; quantities of nothing make no line."""

    def __init__(self) -> None:
        self._lines: dict[
            tuple[Section, str, Unit, ProvidedBy, str | None, str | None, str, bool], _Gathered
        ] = {}

    def add(
        self,
        section: Section,
        item: str,
        quantity: int,
        *,
        things: Iterable[str],
        provided_by: ProvidedBy,
        unit: Unit = Unit.PIECE,
        floor: str | None = None,
        frame: str | None = None,
        basis: str = "",
        billed: bool = True,
    ) -> None:
        """Count some more of an item."""
        if quantity == 0:
            return
        key = (section, item, unit, provided_by, floor, frame, basis, billed)
        gathered = self._lines.setdefault(key, _Gathered())
        gathered.quantity += quantity
        gathered.things.update(dict.fromkeys(things))

    def lines(self) -> tuple[Line, ...]:
        """The lines in the order of the sections, those of one item together.

        Items stand as they were first counted, and their lines so too.
        """
        order = list(Section)
        first: dict[tuple[str, ProvidedBy], int] = {}
        for _, item, _, provided_by, *_ in self._lines:
            first.setdefault((item, provided_by), len(first))
        made = [
            Line(
                section=section,
                item=item,
                unit=unit,
                quantity=gathered.quantity,
                provided_by=provided_by,
                floor=floor,
                frame=frame,
                things=tuple(gathered.things),
                basis=basis,
                billed=billed,
            )
            for (section, item, unit, provided_by, floor, frame, basis, billed), gathered in (
                self._lines.items()
            )
        ]
        return tuple(
            sorted(
                made,
                key=lambda x: (order.index(x.section), first[x.item, x.provided_by]),
            )
        )
