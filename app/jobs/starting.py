"""A new project: one building with its floors, and the cables and outlets of the trade."""

from __future__ import annotations

from app.editor.commands.catalogue import cable_type_of, outlet_kind_of
from app.model.entities import Building, Entity, Floor, Site
from app.model.ids import LENGTH, Source, random_characters
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import Units
from app.standards import RuleSet, load_rules

RUN_CABLE = "cat6a_u"
"""What the rules call the cable that new outlets are run with."""


def new_project(
    *,
    name: str = "",
    floors: int = 1,
    floor_height_mm: int | None = None,
    units: Units = Units.METRIC,
    rules: RuleSet | None = None,
    source: Source = random_characters,
) -> Project:
    """A project to begin with; floors stand one on another from level 0.

    Kinds and cable types keep the order of the rules when sorted by id.
    """
    rules = load_rules() if rules is None else rules
    settings = Settings(id="settings", units=units)
    height_mm = settings.floor_to_floor_mm if floor_height_mm is None else floor_height_mm
    building = Building(id=f"building-{source()}", name="Building")
    made: list[Entity] = [Site(id="site", name=name), settings, building]
    for number, floor_id in enumerate(_ids("floor", floors, source)):
        made.append(
            Floor(
                id=floor_id,
                building=building.id,
                name=str(number),
                level_mm=number * height_mm,
                floor_to_floor_mm=height_mm,
            )
        )
    cable_ids = dict(
        zip(rules.cable_types, _ids("cable-type", len(rules.cable_types), source), strict=True)
    )
    made += (cable_type_of(rules, named, cable_id=cable_ids[named]) for named in rules.cable_types)
    kind_ids = _ids("outlet-kind", len(rules.outlet_kinds), source)
    made += (
        outlet_kind_of(rules, named, kind_id=kind_id, cable_type=cable_ids[RUN_CABLE])
        for named, kind_id in zip(rules.outlet_kinds, kind_ids, strict=True)
    )
    return Project(made)


def _ids(tag: str, count: int, source: Source) -> list[str]:
    """So many ids of a tag, rising."""
    characters: set[str] = set()
    while len(characters) < count:
        drawn = source()
        assert len(drawn) == LENGTH
        characters.add(drawn)
    return [f"{tag}-{c}" for c in sorted(characters)]
