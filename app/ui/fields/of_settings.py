"""The settings of a project, grouped, each with the rule that its default comes from."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from app.editor.commands.field_ranges import range_of
from app.editor.commands.number_samples import cable_sample_words, next_outlet_words
from app.editor.commands.patterns import CABLE_WORDS, COUNTS, OUTLET_WORDS
from app.editor.measures import format_length
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PanelKind, Serves, Units
from app.standards import RuleSet
from app.ui.fields.spec import Field, Sort, all_of
from app.ui.words import word


@dataclass(frozen=True, slots=True)
class Setting:
    """A field of the settings and the key of the rule behind its default (empty: none)."""

    field: Field
    rule: str = ""
    sample: Callable[[Project, str], str] | None = None
    """What a pattern gives, in words, while it is typed."""
    told: str = ""
    """What stands under the field where no rule is behind it."""


def _length(key: str, label: str, rule: str = "", tip: str = "") -> Setting:
    return Setting(Field(key=key, label=label, sort=Sort.LENGTH, tip=tip), rule)


def _percent(key: str, label: str, rule: str = "", tip: str = "", most: float = 1_000) -> Setting:
    field = Field(key=key, label=label, sort=Sort.NUMBER, unit="%", most=most, tip=tip, whole=False)
    return Setting(field, rule)


def _count(key: str, label: str, unit: str, rule: str = "", least: int = 0) -> Setting:
    field = Field(key=key, label=label, sort=Sort.COUNT, unit=unit, least=least)
    return Setting(field, rule)


def _words_told(known: Mapping[str, str]) -> str:
    said = "; ".join("{" + w + "} " + says for w, says in known.items())
    return f"{said}; {{nn}} {COUNTS}"


ALLOWANCE = Setting(
    Field(
        key="allowance_permille",
        label="Allowance on horizontals",
        sort=Sort.NUMBER,
        unit="%",
        most=100,
        whole=False,
        tip="For snaking, sag and obstacles; never on verticals or slack",
        get=lambda s: s.allowance_permille / 10,
    ),
    "lengths.allowance",
)

WAYS_GROUP = "Ways down"
"""The group under which the parts of every way down are set too."""

GROUPS: tuple[tuple[str, str, tuple[Setting, ...]], ...] = (
    (
        "Units",
        "How lengths are shown and read. A number typed without a unit is metres or feet.",
        (Setting(Field(key="units", label="Units", sort=Sort.CHOICE, options=all_of(Units))),),
    ),
    (
        "Lengths",
        "Installed = verticals + horizontals with allowance + slack. Cut = installed + trim at "
        "both ends + pull head.",
        (
            ALLOWANCE,
            _length("near_limit_mm", "Near the limit", "lengths.near_limit"),
            _length("trim_mm", "Trim at each end", "lengths.trim"),
            _length("pull_head_mm", "Pull head of a run", "lengths.pull_head"),
            _length("panel_height_mm", "Mean panel height", "lengths.panel_height"),
            _length("dressing_mm", "Dressing in the rack", "lengths.dressing"),
        ),
    ),
    (
        "Routing",
        "Cable goes to the nearest pathway and stays on it. The weight decides where it "
        "leaves; the length told is always the true one.",
        (
            _length("reach_mm", "Reach of a leg", "lengths.reach"),
            Setting(
                Field(
                    key="leg_weight",
                    label="Weight of a leg",
                    sort=Sort.COUNT,
                    least=1,
                    most=100,
                    unit="times",
                ),
                "lengths.leg_weight",
            ),
            _length("leg_advised_mm", "Advise a branch from", "lengths.leg_advised"),
            Setting(
                Field(
                    key="serves", label="A frame serves", sort=Sort.CHOICE, options=all_of(Serves)
                )
            ),
            _length("join_tolerance_mm", "Ends join within"),
            _length("same_height_mm", "Same height within"),
            _length("riser_offset_told_mm", "Tell a riser's offset from"),
        ),
    ),
    (
        "Heights",
        "Of what is drawn next, above the finished floor.",
        (
            _length("ceiling_height_mm", "Ceiling", "heights.ceiling"),
            _length("tray_height_mm", "Tray and basket", "heights.tray"),
            _length("hooks_height_mm", "Hooks", "heights.hooks"),
            _length("floor_to_floor_mm", "Floor to floor", "heights.floor_to_floor"),
            _length("outdoor_duct_height_mm", "Outdoor duct", "heights.outdoor_duct"),
        ),
    ),
    (
        "Fill",
        "A tray at a calculated fill of one half is full: cables lie at random.",
        (
            _percent("tray_fill_planned_percent", "Tray, planned"),
            _percent("tray_fill_warn_percent", "Tray, warned from"),
            _percent("tray_fill_most_percent", "Tray, most"),
            Setting(
                Field(
                    key="hook_opening_mm2",
                    label="Opening of a hook",
                    sort=Sort.NUMBER,
                    unit="mm²",
                    least=1,
                    whole=False,
                )
            ),
            _percent("hook_fill_most_percent", "Hook, most", "pathways.hook_fill"),
            _percent("sleeve_fill_most_percent", "Sleeve, most", "penetrations.sleeve_fill"),
        ),
    ),
    (
        WAYS_GROUP,
        "A stub is the conduit that rises from a back box in the wall.",
        (
            _length("stub_over_ceiling_mm", "Stub over the ceiling", "ways.stub_over_ceiling"),
            _length("stub_least_mm", "No stub below", "ways.stub_least"),
            _count("single_gang_ports", "Single gang up to", "ports", "ways.single_gang_ports", 1),
        ),
    ),
    (
        "Supports",
        "What cable hangs on. The maker's load table wins.",
        (
            _length("hook_spacing_mm", "Hook spacing", "pathways.hook_spacing"),
            _length("hook_spacing_most_mm", "Hook spacing, most", "pathways.hook_spacing_most"),
            _length("leg_hooks_from_mm", "Hooks for legs from", "lengths.leg_hooks_from"),
            _length("tray_support_mm", "Basket support", "pathways.support_basket"),
            _length("ladder_support_mm", "Ladder support", "pathways.support_ladder"),
        ),
    ),
    (
        "Frames",
        "Growth belongs to ports, racks and fill, never to metres.",
        (
            _percent("growth_percent", "Growth", "supply.growth_ports"),
            _count("panel_ports", "Ports of a panel", "ports", "supply.panel_ports", 1),
            Setting(
                Field(
                    key="panel_kind",
                    label="Panels come",
                    sort=Sort.CHOICE,
                    options=all_of(PanelKind),
                )
            ),
            _count("ports_warned", "Warn from", "ports", "frames.ports_warned"),
            _count("area_served_warned_m2", "Warn from", "m²", "frames.area_served"),
        ),
    ),
    (
        "Order",
        "Waste is the ends of boxes; only mishaps are added.",
        (
            _percent("repull_percent", "Runs pulled again", "supply.repull"),
            _count("spare_boxes", "Spare boxes a type", "boxes", "supply.spare_boxes"),
            _percent("patched_percent", "Patched at hand-over", "supply.patched"),
            _length("straight_length_mm", "Straight of tray", "pathways.straight_length"),
            _length("conduit_length_mm", "Length of conduit", "pathways.conduit_length"),
        ),
    ),
    (
        "Numbers",
        "Plain words in braces stand for what a thing is or where it stands; a row of n counts.",
        (
            Setting(
                Field(key="outlet_pattern", label="Outlets", sort=Sort.TEXT),
                sample=lambda project, text: next_outlet_words(
                    project, text, floor_id=next(iter(project.floors), None)
                ),
                told=_words_told(OUTLET_WORDS),
            ),
            Setting(
                Field(key="cable_pattern", label="Cables", sort=Sort.TEXT),
                sample=cable_sample_words,
                told=_words_told(CABLE_WORDS),
            ),
        ),
    ),
    (
        "Drawing",
        "",
        (
            Setting(
                Field(
                    key="symbol_size_mm",
                    label="Size of symbols",
                    sort=Sort.NUMBER,
                    unit="mm",
                    least=1,
                    most=10_000,
                    whole=False,
                )
            ),
            Setting(
                Field(
                    key="author",
                    label="Your name",
                    sort=Sort.TEXT,
                    tip="Stands in the history of edits and on waivers",
                )
            ),
        ),
    ),
)


def default_of(setting: Setting) -> Any:
    """The value a new project has."""
    return setting.field.value(Settings(id="settings"))


def told(setting: Setting, value: Any, units: Units) -> str:
    """A value of a setting in words."""
    sort = setting.field.sort
    if sort is Sort.LENGTH:
        return format_length(value, units)
    if sort is Sort.CHOICE:
        return word(value)
    if sort is Sort.TEXT:
        return value or "none"
    return f"{value:g} {setting.field.unit}".strip()


def authority_words(setting: Setting, rules: RuleSet, units: Units) -> str:
    """Default, authority and usual range, in one sentence."""
    if setting.told:
        return f"Default {told(setting, default_of(setting), units)}. {setting.told}."
    words = [f"Default {told(setting, default_of(setting), units)}"]
    if setting.rule:
        words.append(rules.value(setting.rule).authority)
    usual = range_of("settings", setting.field.key, rules)
    if usual is not None:
        words.append(f"usual {usual.low:g} to {usual.high:g} {usual.unit}")
    return "; ".join(words) + "."
