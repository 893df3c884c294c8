"""What the standards data consist of: citations, values, tables, overrides and their error."""

from typing import Literal

import msgspec

Evidence = Literal["published", "memory", "practice"]
Scalar = int | float | str | bool
Cell = int | float | str | None

MM_PER_UNIT = {"mm": 1.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "U": 44.45}
"""Length units that the data may use, in millimetres. Source: racks.unit for U."""

RATIO_PER_UNIT = {"ratio": 1.0, "%": 0.01}


class StandardsDataError(Exception):
    """The standards data or a house override cannot be used; the message says what to mend."""


class Citation(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a value stands, and how sure we are of it.

    `published`: seen in the source named here. `memory`: from memory, to be verified.
    `practice`: common practice of the trade, no source.
    """

    document: str
    evidence: Evidence
    edition: str = ""
    clause: str = ""
    source: str = ""

    @property
    def text(self) -> str:
        """The citation as a finding prints it: `TIA-568.1 cl. 4 (memory)`."""
        words = " ".join(part for part in (self.document, self.clause) if part)
        return words if self.evidence == "published" else f"{words} ({self.evidence})"


class Override(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A house's own value for one key, with who decided it and why."""

    key: str
    value: Scalar
    by: str
    reason: str


class StandardValue(msgspec.Struct, frozen=True, kw_only=True):
    """One value with its unit, its authority and, if a house changed it, the override.

    `usual` is the range that is met in the trade. `shipped` is the value before overrides.
    """

    key: str
    value: Scalar
    unit: str
    citation: Citation
    label: str = ""
    usual: tuple[float, float] | None = None
    overridden_by: Override | None = None
    shipped: Scalar | None = None

    @property
    def evidence(self) -> Evidence:
        return self.citation.evidence

    @property
    def document(self) -> str:
        return self.citation.document

    @property
    def edition(self) -> str:
        return self.citation.edition

    @property
    def clause(self) -> str:
        return self.citation.clause

    @property
    def source(self) -> str:
        return self.citation.source

    @property
    def authority(self) -> str:
        """Who says so, as printed: the citation, or the house that overrode it."""
        if self.overridden_by is None:
            return self.citation.text
        was = f"{self.shipped} {self.unit}".strip()
        return f"house rule of {self.overridden_by.by} (instead of {was}, {self.citation.text})"


class StandardTable(msgspec.Struct, frozen=True, kw_only=True):
    """A published table: named columns with units, rows of cells, a citation for each cell.

    A cell is None where the table prints a dash.
    """

    key: str
    label: str
    columns: tuple[str, ...]
    units: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    citation: Citation
    cell_citations: dict[tuple[int, str], Citation] = {}

    def column(self, name: str) -> tuple[Cell, ...]:
        """All cells of one column; raises StandardsDataError for an unknown column."""
        if name not in self.columns:
            known = ", ".join(self.columns)
            raise StandardsDataError(f"{self.key}: there is no column {name!r}; it has {known}")
        index = self.columns.index(name)
        return tuple(row[index] for row in self.rows)

    def numbers(self, name: str) -> tuple[float, ...]:
        """One column as numbers; raises StandardsDataError where a cell is none."""
        cells = self.column(name)
        found = tuple(float(c) for c in cells if isinstance(c, int | float))
        if len(found) != len(cells):
            raise StandardsDataError(f"{self.key}: column {name} has cells that are no numbers")
        return found

    def cell_citation(self, *, row: int, column: str) -> Citation:
        """Where one cell stands: its own citation, else the table's."""
        return self.cell_citations.get((row, column), self.citation)


class InputRange(msgspec.Struct, frozen=True, kw_only=True):
    """What a person may type without being asked "really?"."""

    id: str
    low: float
    high: float
    unit: str
    label: str

    def asks_about(self, value: float) -> bool:
        """Whether a value, in the range's own unit, lies outside and deserves a question."""
        return not self.low <= value <= self.high
