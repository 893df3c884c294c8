"""Many short conduits of one size: their lengths, couplings, straps and pull boxes."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.model.project import Project
from app.model.vocabulary import ProvidedBy
from app.sizing.supports import couplings, supports_on_line
from app.sizing.way_parts import pull_points
from app.standards import RuleSet
from app.takeoff.cutting import cut_from_boxes
from app.takeoff.lines import Section, Tally, Unit
from app.takeoff.naming import length_words


@dataclass(frozen=True, slots=True)
class Stretch:
    """One conduit to an outlet: its length, and its turns of 90°."""

    outlet: str
    length_mm: int
    bends: int = 0


def conduit_item(what: str, size: int | None) -> str:
    """`Stub conduit Ø 27`."""
    return f"{what}, size not given" if size is None else f"{what} Ø {size}"


def lengths_cut(pieces_mm: Sequence[int], *, straight_mm: int) -> int:
    """Whole lengths for many short pieces: their ends are cut from common lengths."""
    whole = sum(piece // straight_mm for piece in pieces_mm)
    ends = [piece % straight_mm for piece in pieces_mm]
    return whole + len(cut_from_boxes(ends, usable_mm=straight_mm).boxes)


def count_conduits(
    project: Project,
    floor: str,
    by: ProvidedBy,
    name: str,
    stretches: Sequence[Stretch],
    rules: RuleSet,
    tally: Tally,
    *,
    why: str,
) -> None:
    """The conduits of one size and provider on a floor; `why` is the basis of their metres.

    Source: pathways.conduit_length, pathways.conduit_strap_spacing, pathways.conduit_section.
    """
    units, straight_mm = project.settings.units, project.settings.conduit_length_mm
    strap_mm = rules.mm("pathways.conduit_strap_spacing")
    lengths_mm = [s.length_mm for s in stretches]
    joints = sum(couplings(length_mm=m, straight_mm=straight_mm) for m in lengths_mm)
    straps = sum(supports_on_line(length_mm=m, spacing_mm=strap_mm) for m in lengths_mm)
    boxes = sum(pull_points(length_mm=s.length_mm, bends=s.bends, rules=rules) for s in stretches)
    section_mm = rules.mm("pathways.conduit_section")
    bought = lengths_cut(lengths_mm, straight_mm=straight_mm)
    every = f"one every {length_words(strap_mm, units)} and one at the end"
    pulled = f"after {length_words(section_mm, units)} or two bends of 90°"
    for section, item, quantity, unit, basis in (
        (Section.PATHWAYS, name, sum(lengths_mm), Unit.LENGTH, why),
        (
            Section.PATHWAYS,
            f"{name}, length of {length_words(straight_mm, units)}",
            bought,
            Unit.PIECE,
            "short ends are cut from common lengths",
        ),
        (Section.PATHWAYS, f"{name}, coupling", joints, Unit.PIECE, why),
        (Section.PATHWAYS, f"{name}, pull box", boxes, Unit.PIECE, pulled),
        (Section.SUPPORTS, f"{name}, strap", straps, Unit.PIECE, every),
    ):
        tally.add(
            section,
            item,
            quantity,
            unit=unit,
            things=[s.outlet for s in stretches],
            provided_by=by,
            floor=floor,
            basis=basis,
            billed=unit is Unit.PIECE,
        )
