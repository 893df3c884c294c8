"""The panels of a frame: those that stand, and those that were named when ports were given."""

from collections.abc import Iterable

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.fields import checked, label_of
from app.editor.commands.kept_numbers import printed_words
from app.editor.commands.patterns import place_letter
from app.editor.wording import capital, name_of, number
from app.model.entities import Entity, Frame, Outlet, Panel
from app.model.project import Patch, Project, changing
from app.model.vocabulary import State

MOST_AT_ONCE = 200


def add_panels(
    project: Project,
    frame_id: str,
    *,
    cable_type: str,
    count: int = 1,
    port_count: int | None = None,
    state: State = State.EXISTING,
) -> Patch:
    """Add panels to a frame, named on from its last one: A, B, …"""
    frame = _frame(project, frame_id)
    if cable_type not in project.cable_types:
        raise InputProblem("Choose the type of cable that ends on the panel first.")
    if not 1 <= count <= MOST_AT_ONCE:
        raise InputProblem(f"Add 1 to {MOST_AT_ONCE} panels at once.")
    ports = project.settings.panel_ports if port_count is None else port_count
    size = checked(Panel, "port_count", ports, project.settings.units)
    names = {p.name for p in frame.panels} | set(runs_on_panels(project, frame))
    made = []
    for _ in range(count):
        name = next(n for i in range(len(names) + 1) if (n := place_letter(i).upper()) not in names)
        names.add(name)
        made.append(Panel(name=name, port_count=size, cable_type=cable_type, state=state))
    label = f"Add {number(count, 'panel')} to {name_of(frame)}"
    return changing(label, [(frame, replace(frame, panels=(*frame.panels, *made)))])


def change_panel(project: Project, frame_id: str, name: str, field: str, value: object) -> Patch:
    """Set one field of a panel; the runs on it follow its name, unless that is printed."""
    frame = _frame(project, frame_id)
    before = _panel(frame, name)
    if field not in Panel.__struct_fields__:
        raise InputProblem(f"A panel has no {label_of(field)} to be set.")
    value = value.strip() if isinstance(value, str) else value
    after = replace(before, **{field: checked(Panel, field, value, project.settings.units)})
    if not after.name or any(p.name == after.name for p in frame.panels if p is not before):
        raise InputProblem(
            f"Give the panel a name that no other panel of {name_of(frame)} has."
            if after.name
            else "A panel needs a name, such as A."
        )
    on_it = runs_on_panels(project, frame).get(name, [])
    highest = max((n for _, n in on_it), default=0)
    if after.port_count < highest:
        raise InputProblem(f"A run ends on port {highest} of panel {name}; it needs as many ports.")
    panels = tuple(after if p is before else p for p in frame.panels)
    pairs: list[tuple[Entity, Entity]] = [(frame, replace(frame, panels=panels))]
    if after.name != name:
        pairs += _renamed(frame, name, after.name, {o.id: o for o, _ in on_it}.values())
    return changing(f"Set {label_of(field)} of panel {name} of {name_of(frame)}", pairs)


def _renamed(
    frame: Frame, old: str, new: str, outlets: Iterable[Outlet]
) -> list[tuple[Entity, Entity]]:
    pairs: list[tuple[Entity, Entity]] = []
    printed = []
    for outlet in outlets:
        ports = []
        for port in outlet.ports:
            at = port.ends_at
            if at is not None and at.frame == frame.id and at.panel == old:
                if port.printed:
                    printed.append(outlet)
                port = replace(port, ends_at=replace(at, panel=new))
            ports.append(port)
        pairs.append((outlet, replace(outlet, ports=tuple(ports))))
    if printed:
        raise InputProblem(
            f"{printed_words(list(dict.fromkeys(printed)))}; release the numbers first."
        )
    return pairs


def remove_panel(project: Project, frame_id: str, name: str) -> Patch:
    """Take a panel away that no run ends on."""
    frame = _frame(project, frame_id)
    panel = _panel(frame, name)
    on_it = runs_on_panels(project, frame).get(name, [])
    if on_it:
        first = name_of(on_it[0][0])
        more = f" and {len(on_it) - 1} more" if len(on_it) > 1 else ""
        raise InputProblem(
            f"Panel {name} of {name_of(frame)} has a run of {first}{more} on it; take back their "
            "ports first."
        )
    panels = tuple(p for p in frame.panels if p is not panel)
    label = f"Remove panel {name} of {name_of(frame)}"
    return changing(label, [(frame, replace(frame, panels=panels))])


def runs_on_panels(project: Project, frame: Frame) -> dict[str, list[tuple[Outlet, int]]]:
    """The outlets whose runs end on each panel of a frame, by its name, with the ports."""
    found: dict[str, list[tuple[Outlet, int]]] = {}
    for outlet in project.outlets.values():
        for port in outlet.ports:
            if port.ends_at is not None and port.ends_at.frame == frame.id:
                found.setdefault(port.ends_at.panel, []).append((outlet, port.ends_at.port))
    return found


def _frame(project: Project, frame_id: str) -> Frame:
    frame = project.frames.get(frame_id)
    if frame is None:
        raise InputProblem("Select a frame first.")
    return frame


def _panel(frame: Frame, name: str) -> Panel:
    panel = next((p for p in frame.panels if p.name == name), None)
    if panel is None:
        raise InputProblem(f"{capital(name_of(frame))} has no panel {name}.")
    return panel
