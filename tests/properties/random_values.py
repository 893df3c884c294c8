"""Random values for the fields of entities, by the type that the model declares for each.

Numbers keep to the size of a building, and coordinates to a coarse lattice, so that things
meet, coincide and tie as they do in real drawings.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec.inspect import (
    BoolType,
    EnumType,
    FloatType,
    IntType,
    NoneType,
    StrType,
    Type,
    UnionType,
)

from app.model.entities import (
    Building,
    CableType,
    ClientList,
    Demarcation,
    Entity,
    Floor,
    Frame,
    OutdoorDuct,
    Pathway,
    Riser,
    Space,
)
from app.model.ids import tag_of_id
from app.model.project import Project

LAID: tuple[type[Entity], ...] = (Pathway, Riser, OutdoorDuct)
REFERENCES: dict[str, tuple[type[Entity], ...]] = {
    "building": (Building,),
    "floor": (Floor,),
    "lower_floor": (Floor,),
    "upper_floor": (Floor,),
    "from_floor": (Floor,),
    "to_floor": (Floor,),
    "cable_type": (CableType,),
    "frame": (Frame,),
    "from_id": (Frame, Demarcation),
    "to_id": (Frame, Demarcation),
    "pathway": (Pathway,),
    "pathway_a": (Pathway,),
    "pathway_b": (Pathway,),
    "along": LAID,
    "through": LAID,
    "client_list": (ClientList,),
    "space": (Space,),
}
"""Fields that refer to something, by name; `kind` refers to an outlet kind in two records."""

KIND_REFERENCES = frozenset({"Outlet", "Requirement"})

WIDE_MM, DEEP_MM, LATTICE_MM = 48_000, 24_000, 400
HEIGHTS_MM = (-600, -150, 0, 450, 1_100, 2_400, 2_700, 2_950, 3_000, 3_000, 3_000, 3_400)
LEVELS_MM = (-4_000, 0, 3_600, 5_400, 7_200, 9_000)
TEXTS = (
    "",
    "A-101",
    "2.017",
    "spare",
    "=1+1",
    'quote " and \\ and \n line',
    "Ölhafen · 港 · é",
    "@x",
    "-",
    " padded ",
)


def x_mm(rng: random.Random) -> int:
    return rng.randrange(0, WIDE_MM + 1, LATTICE_MM) + (rng.randrange(400) if odd(rng) else 0)


def y_mm(rng: random.Random) -> int:
    return rng.randrange(0, DEEP_MM + 1, LATTICE_MM) + (rng.randrange(400) if odd(rng) else 0)


def height_mm(rng: random.Random) -> int:
    return rng.choice(HEIGHTS_MM)


def odd(rng: random.Random) -> bool:
    """Now and then: off the lattice."""
    return rng.random() < 0.15


def point(rng: random.Random, project: Project) -> tuple[int, int]:
    """A place, a quarter of the time one where a pathway has a vertex."""
    if project.pathways and rng.random() < 0.25:
        x, y, _ = rng.choice(rng.choice(list(project.pathways.values())).vertices)
        return x, y
    return x_mm(rng), y_mm(rng)


def vertices(rng: random.Random, project: Project) -> tuple[tuple[int, int, int], ...]:
    """A line of two to five points, mostly level and square, sometimes sloped or dropping."""
    (x, y), h = point(rng, project), height_mm(rng)
    line = [(x, y, h)]
    for _ in range(rng.randrange(1, 5)):
        turn = rng.random()
        if turn < 0.45:
            x = x_mm(rng)
        elif turn < 0.85:
            y = y_mm(rng)
        elif turn < 0.93:
            h = height_mm(rng)
        else:
            x, y, h = x_mm(rng), y_mm(rng), height_mm(rng)
        if line[-1] != (x, y, h):
            line.append((x, y, h))
    return tuple(line) if len(line) > 1 else (line[0], (x + 4_000, y, h))


def ring(rng: random.Random) -> tuple[tuple[int, int], ...]:
    """A rectangle, or a rectangle with one corner cut, either way round."""
    x, y = x_mm(rng), y_mm(rng)
    w, d = rng.randrange(2_000, 14_000, 400), rng.randrange(2_000, 10_000, 400)
    corners = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
    if rng.random() < 0.3:
        corners[2:3] = [(x + w, y + d // 2), (x + w // 2, y + d)]
    return tuple(corners if rng.random() < 0.5 else corners[::-1])


def rings(rng: random.Random) -> tuple[tuple[tuple[int, int], ...], ...]:
    return tuple(ring(rng) for _ in range(rng.randrange(3)))


class NothingThere(Exception):
    """The project has nothing that the field could refer to."""


def reference(rng: random.Random, project: Project, owner: str, field: str) -> str:
    """The id of something that the field may refer to. Raises NothingThere."""
    if field == "kind" and owner in KIND_REFERENCES:
        targets: list[str] = list(project.outlet_kinds)
    else:
        targets = [i for t in REFERENCES[field] for i in project.table(t)]
    if not targets:
        raise NothingThere(f"{owner}.{field}")
    return rng.choice(targets)


def some_laid(rng: random.Random, project: Project) -> tuple[str, ...]:
    """None to two of the things that cable lies in."""
    laid = [i for t in LAID for i in project.table(t)]
    return tuple(rng.sample(laid, min(len(laid), rng.choice((0, 0, 1, 1, 2)))))


def may_be_none(declared: Type) -> bool:
    """Whether a field may be left empty."""
    return isinstance(declared, UnionType) and any(isinstance(t, NoneType) for t in declared.types)


def of_type(rng: random.Random, declared: Type, standing: Any, field: str) -> Any:
    """A value of the declared type, near the standing one where that is a number."""
    if isinstance(declared, UnionType):
        kinds = [t for t in declared.types if not isinstance(t, NoneType)]
        if rng.random() < 0.3:
            return None
        return of_type(rng, rng.choice(kinds), standing, field)
    if isinstance(declared, BoolType):
        return rng.random() < 0.5
    if isinstance(declared, EnumType):
        return rng.choice(list(declared.cls))
    if isinstance(declared, StrType):
        text = f"{rng.choice(TEXTS)}{rng.randrange(1_000) if rng.random() < 0.5 else ''}"
        return text[: declared.max_length]
    if isinstance(declared, IntType):
        return _integer(rng, declared, standing, field)
    if isinstance(declared, FloatType):
        return _float(rng, declared, standing)
    raise TypeError(f"{field}: no random value for {declared}")


def _integer(rng: random.Random, declared: IntType, standing: Any, field: str) -> int:
    if field.endswith("_mdeg"):
        return rng.choice((0, 0, 30_000, 45_000, 90_000, -12_345, rng.randrange(-180_000, 180_001)))
    if field == "x_mm":
        return x_mm(rng)
    if field == "y_mm":
        return y_mm(rng)
    if field == "level_mm":
        return rng.choice(LEVELS_MM)
    if (field == "height_mm" or field.endswith("_height_mm")) and declared.ge != 0:
        return height_mm(rng)
    least = declared.ge if declared.ge is not None else -1_000
    most = declared.le if declared.le is not None else 1_000
    near = standing if isinstance(standing, int) and standing > 0 else 20
    if most - least <= 100:
        return rng.randint(int(least), int(most))
    return rng.randint(int(max(least, near // 2 - 1)), int(min(most, near * 2 + 1)))


def _float(rng: random.Random, declared: FloatType, standing: Any) -> float:
    near = standing if isinstance(standing, float) and standing > 0 else 40.0
    most = declared.le if declared.le is not None else 1e6
    return float(min(round(near * rng.uniform(0.5, 2.0) + 0.001, 3), most))


def fields_of(record_type: type[msgspec.Struct]) -> Iterator[tuple[str, Type]]:
    """Name and declared type of every field but the id."""
    info = msgspec.inspect.type_info(record_type)
    assert isinstance(info, msgspec.inspect.StructType)
    for field in info.fields:
        if field.name != "id":
            yield field.name, field.type


def is_reference(owner: str, field: str) -> bool:
    return field in REFERENCES or (field == "kind" and owner in KIND_REFERENCES)


def port_ids(project: Project) -> set[str]:
    return {p.id for outlet in project.outlets.values() for p in outlet.ports}


def ids_of_tag(project: Project, tag: str) -> list[str]:
    return [e.id for e in project.entities() if tag_of_id(e.id) == tag]
