"""The rule set: published values, tables and catalogues, with a house's overrides on top.

A rule set never changes and is handed to whatever computes with it; there is no current one.
"""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import cache
from typing import Any, TypeVar

import msgspec

from app.resource_files import read_resource, resource_names
from app.standards.catalogues import (
    BoxSize,
    CableTypeDefaults,
    OutletKindDefaults,
    PathwayKindDefaults,
    SpaceUseDefaults,
)
from app.standards.reading import (
    Record,
    check_scalar,
    read_citations,
    read_file,
    read_overrides,
)
from app.standards.records import (
    MM_PER_UNIT,
    RATIO_PER_UNIT,
    Cell,
    Citation,
    InputRange,
    Override,
    Scalar,
    StandardsDataError,
    StandardTable,
    StandardValue,
)

_FOLDER = "standards"
_CITATIONS = "citations.toml"

_Item = TypeVar("_Item")


class RuleSet:
    """Everything the rules say, immutable; two rule sets are the same only if they are one."""

    __slots__ = ("_catalogues", "_records", "_tables", "_values", "overrides")

    def __init__(
        self,
        *,
        values: Mapping[str, StandardValue],
        tables: Mapping[str, StandardTable],
        records: Mapping[str, Mapping[str, Record]],
        overrides: tuple[Override, ...] = (),
    ) -> None:
        self._values = dict(values)
        self._tables = dict(tables)
        self._records = {stem: dict(found) for stem, found in records.items()}
        self.overrides = overrides
        self._catalogues: dict[str, Mapping[str, Any]] = {
            stem: self._read_catalogue(stem, kind) for stem, kind in _CATALOGUES.items()
        }

    def value(self, key: str) -> StandardValue:
        """The value of one key such as `lengths.permanent_link`.

        Raises StandardsDataError for a key that nobody defined.
        """
        try:
            return self._values[key]
        except KeyError:
            raise StandardsDataError(_unknown("value", key, self._values)) from None

    def number(self, key: str) -> float:
        """The value of a key as a number in its own unit."""
        value = self.value(key)
        if isinstance(value.value, bool) or not isinstance(value.value, int | float):
            raise StandardsDataError(f"{key} is {value.value!r}; a number is needed here")
        return value.value

    def count(self, key: str) -> int:
        """The value of a key as a whole number."""
        number = self.number(key)
        if number != int(number):
            raise StandardsDataError(f"{key} is {number}; a whole number is needed here")
        return int(number)

    def text(self, key: str) -> str:
        """The value of a key as text."""
        return str(self.value(key).value)

    def mm(self, key: str) -> int:
        """A length in whole millimetres, half up, whatever unit the data use."""
        value = self.value(key)
        if value.unit not in MM_PER_UNIT:
            raise StandardsDataError(f"{key} has the unit {value.unit!r}; it is no length")
        return int((self.number(key) * MM_PER_UNIT[value.unit] + 0.5) // 1)

    def ratio(self, key: str) -> float:
        """A share as a ratio: 5 % is 0.05."""
        value = self.value(key)
        if value.unit not in RATIO_PER_UNIT:
            raise StandardsDataError(f"{key} has the unit {value.unit!r}; it is no ratio")
        return self.number(key) / 100 if value.unit == "%" else self.number(key)

    def ratio_per_degree(self, key: str) -> float:
        """A change with temperature as a ratio for one degree: 0.4 %/C is 0.004."""
        value = self.value(key)
        if value.unit != "%/C":
            raise StandardsDataError(f"{key} has the unit {value.unit!r}; %/C is needed here")
        return self.number(key) / 100

    def table(self, key: str) -> StandardTable:
        """One published table; raises StandardsDataError for an unknown key."""
        try:
            return self._tables[key]
        except KeyError:
            raise StandardsDataError(_unknown("table", key, self._tables)) from None

    def value_keys(self, prefix: str = "") -> tuple[str, ...]:
        """The keys of all values that begin with `prefix`, in the order of the data."""
        return tuple(key for key in self._values if key.startswith(prefix))

    def table_keys(self) -> tuple[str, ...]:
        """The keys of all tables, in the order of the data."""
        return tuple(self._tables)

    def overridden(self) -> tuple[StandardValue, ...]:
        """Every value that a house changed, for the report."""
        return tuple(v for v in self._values.values() if v.overridden_by is not None)

    def input_range(self, name: str) -> InputRange:
        """The range inside which typed input raises no question, such as `slack`."""
        ranges: Mapping[str, InputRange] = self._catalogues["ranges"]
        return _named("range", name, ranges)

    @property
    def outlet_kinds(self) -> Mapping[str, OutletKindDefaults]:
        """The kinds of outlet of the trade, by id, in the order menus show them."""
        return self._catalogues["outlet_kinds"]

    @property
    def cable_types(self) -> Mapping[str, CableTypeDefaults]:
        """The cable types by id."""
        return self._catalogues["cable_types"]

    @property
    def box_sizes(self) -> Mapping[str, BoxSize]:
        """Boxes and reels by id."""
        return self._catalogues["box_sizes"]

    @property
    def pathway_kinds(self) -> Mapping[str, PathwayKindDefaults]:
        """The kinds of pathway by id."""
        return self._catalogues["pathway_kinds"]

    @property
    def space_uses(self) -> Mapping[str, SpaceUseDefaults]:
        """The uses of spaces with the outlets they want, by id."""
        return self._catalogues["space_uses"]

    def _read_catalogue(self, stem: str, kind: type[_Item]) -> Mapping[str, _Item]:
        found: dict[str, _Item] = {}
        for name, record in self._records.get(stem, {}).items():
            prefix = f"{stem}.{name}."
            fields: dict[str, object] = {
                key.removeprefix(prefix): value.value
                for key, value in self._values.items()
                if key.startswith(prefix)
            }
            fields.update(self._resolved(fields))
            try:
                found[name] = msgspec.convert({"id": name, **fields, **record.lists}, kind)
            except msgspec.ValidationError as error:
                raise StandardsDataError(
                    f"{stem}.toml, records.{name}: {error}; correct that field"
                ) from error
        return found

    def _resolved(self, fields: Mapping[str, object]) -> dict[str, int]:
        """`height_key` names a value: its millimetres become `height_mm`."""
        return {
            name.removesuffix("_key") + "_mm": self.mm(str(key))
            for name, key in fields.items()
            if name.endswith("_key") and key
        }


def load_rules(overrides: Iterable[Override] | None = None) -> RuleSet:
    """The rule set that ships with the program, with a house's overrides on top.

    Raises StandardsDataError if the data or an override cannot be used.
    """
    base = _shipped_rules()
    wanted = tuple(overrides or ())
    if not wanted:
        return base
    values = {key: base.value(key) for key in base.value_keys()}
    for override in wanted:
        if values.get(override.key) is not base._values.get(override.key):
            raise StandardsDataError(
                f"the house overrides change {override.key} twice; keep the one that holds"
            )
        values[override.key] = _overridden(base, override)
    tables = {key: base.table(key) for key in base.table_keys()}
    return RuleSet(values=values, tables=tables, records=base._records, overrides=wanted)


def load_overrides(file_name: str, text: bytes) -> tuple[Override, ...]:
    """A house's overrides from the TOML text of a file, checked against the shipped rules."""
    overrides = read_overrides(file_name, text)
    load_rules(overrides)
    return overrides


@cache
def _shipped_rules() -> RuleSet:
    texts = {
        name: read_resource(f"{_FOLDER}/{name}") for name in resource_names(_FOLDER, suffix=".toml")
    }
    return read_rules(texts)


def read_rules(texts: Mapping[str, bytes]) -> RuleSet:
    """A rule set from the texts of its files by name, `citations.toml` among them."""
    if _CITATIONS not in texts:
        raise StandardsDataError(f"{_CITATIONS} is missing; every value needs its citation")
    citations = read_citations(_CITATIONS, texts[_CITATIONS])
    values: dict[str, StandardValue] = {}
    tables: dict[str, StandardTable] = {}
    records: dict[str, Mapping[str, Record]] = {}
    for name in sorted(texts):
        if name != _CITATIONS:
            contents = read_file(name, texts[name], citations)
            values.update(contents.values)
            tables.update(contents.tables)
            records[contents.stem] = contents.records
    return RuleSet(values=values, tables=tables, records=records)


def _overridden(base: RuleSet, override: Override) -> StandardValue:
    shipped = base.value(override.key)
    where = f"house override of {override.key}"
    if not override.by.strip() or not override.reason.strip():
        raise StandardsDataError(f"{where}: say who decided it (by) and why (reason)")
    check_scalar(where, override.value)
    if _sort_of(override.value) != _sort_of(shipped.value):
        raise StandardsDataError(
            f"{where}: {override.value!r} is {_sort_of(override.value)}, "
            f"but the value is {_sort_of(shipped.value)} ({shipped.value!r})"
        )
    return msgspec.structs.replace(
        shipped, value=override.value, overridden_by=override, shipped=shipped.value
    )


def _sort_of(value: Scalar) -> str:
    if isinstance(value, bool):
        return "yes or no"
    return "text" if isinstance(value, str) else "a number"


def _named(sort: str, name: str, found: Mapping[str, _Item]) -> _Item:
    if name not in found:
        raise StandardsDataError(_unknown(sort, name, found))
    return found[name]


def _unknown(sort: str, key: str, known: Iterable[str]) -> str:
    near = get_close_matches(key, list(known), n=1)
    hint = f"; did you mean {near[0]!r}?" if near else "; see resources/standards for the keys"
    return f"there is no standards {sort} {key!r}{hint}"


_CATALOGUES: dict[str, type[Any]] = {
    "outlet_kinds": OutletKindDefaults,
    "cable_types": CableTypeDefaults,
    "box_sizes": BoxSize,
    "pathway_kinds": PathwayKindDefaults,
    "space_uses": SpaceUseDefaults,
    "ranges": InputRange,
}

__all__ = ["Cell", "Citation", "RuleSet", "load_overrides", "load_rules", "read_rules"]
