"""One field of many things set at once: typed, within bounds, and “really?” where unusual."""

from collections.abc import Iterable, Sequence
from typing import Any

import msgspec
from msgspec import inspect
from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.attached import with_followers
from app.editor.commands.field_ranges import question_about
from app.editor.commands.floors import set_level
from app.editor.commands.kept_numbers import refuse_frozen, refuse_taken, told_again
from app.editor.commands.numbering import Retired, none_retired
from app.editor.commands.panel_places import place_typed
from app.editor.commands.pathway_kinds import change_pathway_kind
from app.editor.commands.patterns import cable_pattern, outlet_pattern
from app.editor.commands.ports import change_kind
from app.editor.commands.vertices import set_pathway_height
from app.editor.measures import format_length
from app.editor.wording import counted, noun, number, words
from app.model.entities import Entity, Floor, Outlet, Pathway, Port
from app.model.ids import Source, random_characters
from app.model.project import Patch, Project, changing, floors_from_below
from app.model.vocabulary import Units, WayDown
from app.standards import RuleSet

DRAWN = frozenset(
    {
        "id",
        "floor",
        "building",
        "vertices",
        "outline",
        "holes",
        "ports",
        "lower",
        "upper",
        "pathway",
        "pathway_a",
        "pathway_b",
        "source_sha256",
        "drawing_sha256",
        "mm_per_unit",
        "scaled_by",
    }
)
"""Fields that are drawn or have commands of their own, and are never typed in."""

_SUFFIXES = ("_mm2", "_mm", "_m2", "_mdeg", "_percent", "_permille")
NUMBERS = frozenset({"number", "name"})
PATTERNS = {"outlet_pattern": outlet_pattern, "cable_pattern": cable_pattern}
"""Settings that are patterns, and what reads them."""
_LABELS = {
    "ends_at": "port at the frame",
    "x_mm": "place east",
    "y_mm": "place north",
    "provided_by": "provider",
    "way_provided_by": "provider of the way down",
    "racks": "number of racks",
    "od_mm": "diameter",
    "rotation_mdeg": "turn",
    "ports_max": "most ports",
    "area_max_m2": "most area",
    "use": "use",
}
_WORDS = frozenset(
    {"state", "provided_by", "way_provided_by", "way_down", "use", "ceiling", "kind", "serves"}
)
"""Fields whose value is one of a few words, and is said."""


def label_of(field: str) -> str:
    """A field as it is said in a sentence: `height_mm` -> “height”."""
    if field in _LABELS:
        return _LABELS[field]
    for suffix in _SUFFIXES:
        if field.endswith(suffix):
            return field.removesuffix(suffix).replace("_", " ")
    return field.replace("_", " ")


def set_fields(
    project: Project,
    ids: Sequence[str],
    field: str,
    value: object,
    *,
    rules: RuleSet,
    retired: Retired = none_retired,
    source: Source = random_characters,
) -> Outcome:
    """Set one field of all things among these that have it.

    A value of the wrong type or beyond its bounds raises InputProblem, and so does a number
    that another thing carries or that would change though it is printed; a value outside what
    is met in the trade, or the number of something removed, gives a question. An outlet's
    `kind` remakes its ports; a pathway's `height_mm` is that of all its points.
    """
    things = _having(project, ids, field)
    question = question_about(things, field, value, rules=rules, units=project.settings.units)
    if field in NUMBERS:
        question = told_again(retired(type(things[0])), str(value), f"{_a(things[0])}")
    outcome = _set(project, things, field, value, source)
    if question is None or not isinstance(outcome, Patch):
        return outcome
    return _really(question, outcome)


def _having(project: Project, ids: Iterable[str], field: str) -> list[Entity]:
    if field in DRAWN:
        raise InputProblem(f"The {label_of(field)} is changed on the plan, not typed in.")
    found = [t for i in dict.fromkeys(ids) if (t := project.get(i)) is not None]
    things = [t for t in found if _has(t, field)]
    if not things:
        raise InputProblem(f"Nothing that is selected has a {label_of(field)}.")
    return things


def _has(thing: Entity, field: str) -> bool:
    return field in thing.__struct_fields__ or (isinstance(thing, Pathway) and field == "height_mm")


def _set(
    project: Project, things: list[Entity], field: str, value: object, source: Source
) -> Outcome:
    lines = [t for t in things if isinstance(t, Pathway)]
    if field == "height_mm" and lines:
        return _set_heights(project, things, lines, value)
    if field == "kind" and isinstance(things[0], Outlet):
        outlets = [t.id for t in things if isinstance(t, Outlet)]
        return change_kind(project, outlets, str(value), source=source)
    units = project.settings.units
    if field == "way_down" and value == WayDown.POKE_THROUGH:
        _refuse_lowest(project, things)
    if field in PATTERNS:
        PATTERNS[field](str(value))
    if field == "kind" and lines:
        kind = checked(Pathway, field, value, units)
        return change_pathway_kind(project, [t.id for t in lines], kind)
    if field == "level_mm" and isinstance(things[0], Floor):
        if len(things) > 1:
            raise InputProblem("Floors lie at levels of their own; set one at a time.")
        return set_level(project, things[0].id, checked(Floor, field, value, units))
    pairs = [(t, replace(t, **{field: checked(type(t), field, value, units)})) for t in things]
    if field in NUMBERS:
        refuse_frozen(project, pairs)
        refuse_taken(project, pairs)
    return with_followers(project, set_label(things, field, value, units), pairs)


def _refuse_lowest(project: Project, things: Iterable[Entity]) -> None:
    """A poke-through hangs on the floor below; on the lowest floor there is none."""
    for building in project.buildings:
        lowest = floors_from_below(project, building)[:1]
        found = [t for t in things if isinstance(t, Outlet) and t.floor in {f.id for f in lowest}]
        if found:
            raise InputProblem(
                f"There is no floor below floor {lowest[0].name} for a poke-through to come from; "
                f"take another way down for {counted(found)}."
            )


def _set_heights(
    project: Project, things: list[Entity], lines: list[Pathway], value: object
) -> Outcome:
    units = project.settings.units
    height = checked(Floor, "level_mm", value, units)
    first = set_pathway_height(project, [t.id for t in lines], height_mm=height)
    others = [t for t in things if not isinstance(t, Pathway)]
    if not others or not isinstance(first, Patch):
        return first
    pairs = [(t, replace(t, height_mm=height)) for t in others]
    label = set_label(things, "height_mm", value, units)
    return first.squash(changing(label, pairs), label)


def _a(thing: Entity) -> str:
    kind = noun(thing)
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def set_port_fields(
    project: Project,
    ports: Iterable[str],
    field: str,
    value: object,
    *,
    retired: Retired = none_retired,
) -> Outcome:
    """Set one field of all these ports; where one ends may be typed, as `1B-A07`.

    Refuses what another cable carries and what is printed; asks before the number of a cable
    that has been removed is carried again.
    """
    if field == "id" or field not in Port.__struct_fields__:
        raise InputProblem(f"A port has no {label_of(field)} to be set.")
    wanted = set(ports)
    units = project.settings.units
    if field == "ends_at" and isinstance(value, str):
        value = place_typed(project, value)
    pairs: list[tuple[Entity, Entity]] = []
    for outlet in project.outlets.values():
        if any(p.id in wanted for p in outlet.ports):
            after = (
                replace(p, **{field: checked(Port, field, value, units)}) if p.id in wanted else p
                for p in outlet.ports
            )
            pairs.append((outlet, replace(outlet, ports=tuple(after))))
    known = {p.id for o, _ in pairs if isinstance(o, Outlet) for p in o.ports}
    count = len(wanted & known)
    if count == 0:
        raise InputProblem("Select a port first.")
    said = said_value(field, value, units)
    patch = changing(f"Set {label_of(field)} of {number(count, 'port')}{said}", pairs)
    if field not in ("cable_number", "ends_at"):
        return patch
    refuse_frozen(project, pairs)
    refuse_taken(project, pairs)
    again = told_again(retired(Port), str(value), "a cable") if field == "cable_number" else None
    return patch if again is None else _really(again, patch)


def _really(text: str, patch: Patch) -> Question:
    answers = (Answer(label="Leave it as it was"), Answer(label="Set it anyway", patch=patch))
    return Question(text=text, answers=answers)


def checked(kind: type[msgspec.Struct], field: str, value: object, units: Units) -> Any:
    """The value as the field's own type. Raises InputProblem with the field's bounds."""
    wanted = next(f.type for f in msgspec.structs.fields(kind) if f.name == field)
    try:
        return msgspec.convert(value, wanted)
    except msgspec.ValidationError:
        bounds = _bounds(inspect.type_info(wanted), field, units)
        raise InputProblem(f"The {label_of(field)} must be {bounds}.") from None


def _bounds(info: inspect.Type, field: str, units: Units) -> str:
    """What a field may hold, in words."""
    match info:
        case inspect.UnionType():
            real = [t for t in info.types if not isinstance(t, inspect.NoneType)]
            empty = ", or empty" if len(real) < len(info.types) else ""
            return _bounds(real[0], field, units) + empty
        case inspect.IntType() if field.endswith("_mm"):
            least, most = (format_length(int(b or 0), units) for b in (info.ge, info.le))
            return f"a length from {least} to {most}"
        case inspect.IntType():
            return f"a whole number from {info.ge} to {info.le}"
        case inspect.FloatType():
            least = f"above {info.gt:g}" if info.gt is not None else f"from {info.ge or 0:g}"
            return f"a number {least} up to {info.le:g}"
        case inspect.StrType():
            return f"a text of at most {info.max_length} characters"
        case inspect.EnumType():
            return "one of " + ", ".join(words(str(v.value)) for v in info.cls)
        case inspect.BoolType():
            return "yes or no"
    return "of another form"


def set_label(things: Sequence[Entity], field: str, value: object, units: Units) -> str:
    return f"Set {label_of(field)} of {counted(things)}{said_value(field, value, units)}"


def said_value(field: str, value: object, units: Units) -> str:
    """“ to 3.00 m”, “ to existing”; nothing for texts, references and lists."""
    if value is None:
        return " to its default"
    if field.endswith("_mm") and isinstance(value, int):
        return f" to {format_length(value, units)}"
    if isinstance(value, bool):
        return f" to {'yes' if value else 'no'}"
    if field in _WORDS:
        return f" to {words(str(value))}"
    if field == "phase":
        return f" to {value}"
    return ""
