"""The bill of quantities: each item once, with a number that its lines carry in every part."""

from collections.abc import Sequence

from app.design.design import Design
from app.model.vocabulary import ProvidedBy
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import word
from app.takeoff.lines import Line, Section, Unit
from app.takeoff.naming import length_words
from app.takeoff.takeoff import Takeoff

COLUMNS: tuple[Column, ...] = (
    Column("no", "No.", width=7),
    Column("item", "Item", width=52),
    Column("pieces", "Pieces", ColumnKind.COUNT, 10),
    Column("length", "Length", ColumnKind.LENGTH, 12),
    Column("provided_by", "Provided by", width=12),
    Column("part", "Part", width=14),
)
BOXES_TITLE = "Boxes"
BACKBONE_TITLE = "Backbone"
SECTION_TITLES = {
    Section.OUTLETS: "Outlets",
    Section.TERMINATION: "Termination",
    Section.FRAMES: "Frames",
    Section.PATHWAYS: "Pathways",
    Section.SUPPORTS: "Supports",
    Section.RISERS: "Risers",
    Section.WORK: "Work",
    Section.RELOCATION: "Relocation",
    Section.REMOVAL: "Removal",
}
SECTION_LETTERS = {
    Section.OUTLETS: "O",
    Section.TERMINATION: "T",
    Section.FRAMES: "F",
    Section.PATHWAYS: "P",
    Section.SUPPORTS: "S",
    Section.RISERS: "R",
    Section.WORK: "W",
    Section.RELOCATION: "M",
    Section.REMOVAL: "X",
}

Item = tuple[Section, str, Unit, ProvidedBy]
"""What makes lines one item."""


def item_of(line: Line) -> Item:
    """The item a line counts, whatever its floor or frame."""
    return line.section, line.item, line.unit, line.provided_by


def item_numbers(takeoff: Takeoff) -> dict[Item, str]:
    """The number of each billed item: the letter of its part and a count, as the lines come."""
    numbers: dict[Item, str] = {}
    counts: dict[Section, int] = {}
    for line in takeoff.lines:
        item = item_of(line)
        if line.billed and item not in numbers:
            counts[line.section] = counts.get(line.section, 0) + 1
            numbers[item] = f"{SECTION_LETTERS[line.section]}{counts[line.section]:02d}"
    return numbers


def box_number(index: int) -> str:
    """The number of the boxes of one cable type."""
    return f"C{index + 1:02d}"


def backbone_numbers(takeoff: Takeoff) -> dict[tuple[str, ProvidedBy], str]:
    """The number of each backbone cable type and provider."""
    keys = dict.fromkeys((line.cable_type, line.provided_by) for line in takeoff.backbone)
    return {key: f"B{i:02d}" for i, key in enumerate(keys, start=1)}


def bill_table(design: Design, takeoff: Takeoff) -> Table:
    """Boxes, backbone cable, and every item added up over floors and frames."""
    rows, things = [], []
    for row, of in (*_boxes(design, takeoff), *_backbone(design, takeoff), *_items(takeoff)):
        rows.append(row)
        things.append(of)
    return part_table(design, "bill", "Bill of quantities", COLUMNS, rows, things)


_Counted = tuple[Row, tuple[str, ...]]


def _boxes(design: Design, takeoff: Takeoff) -> list[_Counted]:
    units = design.project.settings.units
    found: list[_Counted] = []
    for i, line in enumerate(takeoff.boxes):
        cable = design.project.cable_types[line.cable_type]
        item = f"{cable.name}, box of {length_words(line.box_mm, units)}"
        row = (box_number(i), item, line.total, None, word(line.provided_by), BOXES_TITLE)
        found.append((row, tuple(p for box in line.plan for p in box.ports)))
    return found


def _backbone(design: Design, takeoff: Takeoff) -> list[_Counted]:
    found: list[_Counted] = []
    for (cable_type, by), number in backbone_numbers(takeoff).items():
        lines = [
            line
            for line in takeoff.backbone
            if (line.cable_type, line.provided_by) == (cable_type, by)
        ]
        name = f"{design.project.cable_types[cable_type].name}, cut to order"
        cut_mm = sum(line.cut_mm for line in lines)
        row = (number, name, None, cut_mm, word(by), BACKBONE_TITLE)
        found.append((row, tuple(line.cable for line in lines)))
    return found


def _items(takeoff: Takeoff) -> list[_Counted]:
    quantities: dict[Item, int] = {}
    things: dict[Item, dict[str, None]] = {}
    for line in takeoff.lines:
        item = item_of(line)
        quantities[item] = quantities.get(item, 0) + line.quantity
        things.setdefault(item, {}).update(dict.fromkeys(line.things))
    found: list[_Counted] = []
    for item, number in item_numbers(takeoff).items():
        section, name, unit, by = item
        pieces = quantities[item] if unit is Unit.PIECE else None
        length = quantities[item] if unit is Unit.LENGTH else None
        row = (number, name, pieces, length, word(by), SECTION_TITLES[section])
        found.append((row, tuple(things[item])))
    return found


def part_table(
    design: Design,
    key: str,
    title: str,
    columns: tuple[Column, ...],
    rows: Sequence[Row],
    things: Sequence[tuple[str, ...]],
    note: str = "",
) -> Table:
    """One part of a takeoff as a table; rows are named by their place in it."""
    return Table(
        key=key,
        title=title,
        columns=columns,
        ids=tuple(f"{key}-{i}" for i in range(1, len(rows) + 1)),
        rows=tuple(rows),
        things=tuple(things),
        units=design.project.settings.units,
        note=note,
    )
