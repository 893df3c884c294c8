"""Reads the TOML files of the standards data and says precisely what is wrong with them.

A file holds `[values]` (one line each), `[tables]` (published tables) and at most one
catalogue: `[columns]` with unit and citation of each field, `[records]` with the things
themselves. Citations stand once, in `citations.toml`, and are referred to by name.
"""

import math
from collections.abc import Mapping
from typing import TypeVar

import msgspec

from app.standards.records import (
    MM_PER_UNIT,
    RATIO_PER_UNIT,
    Cell,
    Citation,
    Override,
    Scalar,
    StandardsDataError,
    StandardTable,
    StandardValue,
)

DASH = "-"

_LENGTHS_AND_RATIOS = " ".join([*MM_PER_UNIT, *RATIO_PER_UNIT])
_OTHER_UNITS = (
    "m2 mm2 W V A ohm ohm/100m C %/C g/m kg N kPa lx h dB dB/km MHz MHz.km nm min deg kVA "
    "cables ports outlets runs boxes people bends circuits weight xOD xID mm2/m2"
)
UNITS = frozenset(["", *_LENGTHS_AND_RATIOS.split(), *_OTHER_UNITS.split()])
"""Every unit the data may use; the empty one is for counts and plain words."""

T = TypeVar("T")


class _ValueLine(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    value: Scalar
    cite: str
    unit: str = ""
    label: str = ""
    usual: tuple[float, float] | None = None


class _CellCite(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    row: int
    column: str
    cite: str


class _TableBlock(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    cite: str
    columns: dict[str, str]
    rows: list[list[int | float | str]]
    label: str = ""
    cell_cites: list[_CellCite] = []


class _Column(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    cite: str
    unit: str = ""


class _File(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    title: str
    values: dict[str, _ValueLine] = {}
    tables: dict[str, _TableBlock] = {}
    columns: dict[str, _Column] = {}
    records: dict[str, dict[str, Scalar | list[str] | dict[str, str]]] = {}


class Record(msgspec.Struct, frozen=True, kw_only=True):
    """One thing of a catalogue: its plain fields, of which the scalar ones are also values."""

    name: str
    lists: dict[str, tuple[str, ...]]


class FileContents(msgspec.Struct, frozen=True, kw_only=True):
    """What one file of the standards data holds, with citations resolved and checked."""

    stem: str
    values: dict[str, StandardValue]
    tables: dict[str, StandardTable]
    records: dict[str, Record]


def read_citations(file_name: str, text: bytes) -> dict[str, Citation]:
    """All citations by name. Raises StandardsDataError."""
    citations = _decode(file_name, text, dict[str, Citation])
    for name, citation in citations.items():
        if citation.evidence == "published" and not citation.source:
            raise StandardsDataError(
                f"{file_name}, {name}: evidence is published but no source is named; "
                "name the public source or mark it memory"
            )
    return citations


def read_overrides(file_name: str, text: bytes) -> tuple[Override, ...]:
    """House overrides from TOML: `[[override]]` with key, value, by and reason."""
    return tuple(_decode(file_name, text, dict[str, list[Override]]).get("override", []))


def read_file(file_name: str, text: bytes, citations: Mapping[str, Citation]) -> FileContents:
    """One standards file, checked. Raises StandardsDataError naming file, key and cure."""
    stem = file_name.removesuffix(".toml")
    found = _decode(file_name, text, _File)
    reader = _Reader(file_name, stem, citations)
    values = {f"{stem}.{name}": reader.value(name, line) for name, line in found.values.items()}
    records = {}
    for name, fields in found.records.items():
        record, record_values = reader.record(name, fields, found.columns)
        records[name] = record
        values.update(record_values)
    tables = {f"{stem}.{name}": reader.table(name, block) for name, block in found.tables.items()}
    return FileContents(stem=stem, values=values, tables=tables, records=records)


def check_scalar(where: str, value: Scalar) -> None:
    """Refuses a number that is not finite; raises StandardsDataError."""
    if isinstance(value, float) and not math.isfinite(value):
        raise StandardsDataError(f"{where}: {value} is no usable number; give a finite one")


class _Reader:
    """Resolves citations and checks units for one file."""

    def __init__(self, file_name: str, stem: str, citations: Mapping[str, Citation]) -> None:
        self.file_name = file_name
        self.stem = stem
        self.citations = citations

    def value(self, name: str, line: _ValueLine) -> StandardValue:
        where = f"{self.file_name}, values.{name}"
        check_scalar(where, line.value)
        if line.usual is not None and line.usual[0] > line.usual[1]:
            raise StandardsDataError(f"{where}: usual runs from high to low; swap the two numbers")
        return StandardValue(
            key=f"{self.stem}.{name}",
            value=line.value,
            unit=self._unit(where, line.unit),
            citation=self._citation(where, line.cite),
            label=line.label,
            usual=line.usual,
        )

    def table(self, name: str, block: _TableBlock) -> StandardTable:
        where = f"{self.file_name}, tables.{name}"
        width = len(block.columns)
        for index, row in enumerate(block.rows):
            if len(row) != width:
                raise StandardsDataError(
                    f"{where}: row {index + 1} has {len(row)} cells for {width} columns; "
                    'write "-" where the table has none'
                )
        for cite in block.cell_cites:
            if cite.column not in block.columns or not 0 <= cite.row < len(block.rows):
                raise StandardsDataError(
                    f"{where}: cell_cites names row {cite.row}, column {cite.column}, "
                    "which the table does not have (rows count from 0)"
                )
        return StandardTable(
            key=f"{self.stem}.{name}",
            label=block.label,
            columns=tuple(block.columns),
            units=tuple(self._unit(where, unit) for unit in block.columns.values()),
            rows=tuple(tuple(_cell(cell) for cell in row) for row in block.rows),
            citation=self._citation(where, block.cite),
            cell_citations={
                (c.row, c.column): self._citation(where, c.cite) for c in block.cell_cites
            },
        )

    def record(
        self,
        name: str,
        fields: Mapping[str, Scalar | list[str] | dict[str, str]],
        columns: Mapping[str, _Column],
    ) -> tuple[Record, dict[str, StandardValue]]:
        where = f"{self.file_name}, records.{name}"
        own_cites = fields.get("cites", {})
        if not isinstance(own_cites, dict):
            raise StandardsDataError(f"{where}: cites must be a table of field = citation")
        lists: dict[str, tuple[str, ...]] = {}
        values: dict[str, StandardValue] = {}
        for field, content in fields.items():
            if field == "cites":
                continue
            if field not in columns:
                raise StandardsDataError(
                    f"{where}: field {field} has no [columns.{field}]; "
                    "add one with its unit and citation"
                )
            if isinstance(content, list):
                lists[field] = tuple(content)
            elif isinstance(content, dict):
                raise StandardsDataError(f"{where}: field {field} cannot be a table")
            else:
                check_scalar(f"{where}.{field}", content)
                values[f"{self.stem}.{name}.{field}"] = StandardValue(
                    key=f"{self.stem}.{name}.{field}",
                    value=content,
                    unit=self._unit(where, columns[field].unit),
                    citation=self._citation(where, own_cites.get(field, columns[field].cite)),
                )
        return Record(name=name, lists=lists), values

    def _citation(self, where: str, name: str) -> Citation:
        if name not in self.citations:
            raise StandardsDataError(
                f"{where}: there is no citation {name!r}; add it to citations.toml"
            )
        return self.citations[name]

    def _unit(self, where: str, unit: str) -> str:
        if unit not in UNITS:
            raise StandardsDataError(
                f"{where}: unit {unit!r} is not known; use one of "
                + ", ".join(sorted(u for u in UNITS if u))
            )
        return unit


def _cell(cell: int | float | str) -> Cell:
    return None if cell == DASH else cell


def _decode(file_name: str, text: bytes, kind: type[T]) -> T:
    try:
        return msgspec.toml.decode(text, type=kind)
    except msgspec.ValidationError as error:
        raise StandardsDataError(f"{file_name}: {error}; correct that entry") from error
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise StandardsDataError(f"{file_name}: this is no valid TOML: {error}") from error
