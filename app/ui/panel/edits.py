"""What becomes of a field that is edited in the panel."""

from typing import Any

from PySide6.QtWidgets import QWidget

from app.editor.asking import Outcome
from app.editor.commands.fields import set_fields, set_port_fields
from app.editor.commands.lengths import WANT_A_REASON, set_walked
from app.editor.commands.relocating import asked_where_existing
from app.editor.commands.states import set_state
from app.model.entities import Entity, WalkedLength
from app.model.vocabulary import State
from app.ui.fields.spec import Field
from app.ui.panel.telling_view import ask_reason
from app.ui.session import Session


def edit_field(
    session: Session, parent: QWidget, field: Field, value: Any, things: tuple[Entity, ...]
) -> bool:
    """Set a field of these things, or of their ports; whether it was done."""
    if field.key in WANT_A_REASON and not isinstance(things[0], WalkedLength):
        return _set_walked(session, parent, field, value, things)
    retired = session.document.retired_numbers
    ids = [t.id for t in things]
    if field.ports_of is not None:
        ports = [p for t in things for p in field.ports_of(t)]
        return session.do(
            lambda: set_port_fields(session.project, ports, field.key, value, retired=retired)
        )
    rules = session.rules
    return session.do(lambda: _set(session, ids, field.key, value, rules=rules, retired=retired))


def _set(session: Session, ids: list[str], key: str, value: Any, **more: Any) -> Outcome:
    """A state goes to the ports too; a place typed for what exists is asked about."""
    project, runs = session.project, session.design.runs
    if key == "state":
        return set_state(project, ids, State(value), runs=runs)
    return asked_where_existing(set_fields(project, ids, key, value, **more), runs)


def _set_walked(
    session: Session, parent: QWidget, field: Field, value: Any, things: tuple[Entity, ...]
) -> bool:
    """An added or a known length is never set without saying why."""
    ids = [t.id for t in things]
    if field.ports_of is not None:
        ids = [p for t in things for p in field.ports_of(t)]
    held: list[Any] = [p for t in things for p in getattr(t, "ports", (t,)) if p.id in ids]
    reason = next((p.length_reason for p in held if p.length_reason), "")
    if value:
        asked = ask_reason(parent, reason)
        if asked is None:
            return False
        reason = asked
    return session.do(lambda: set_walked(session.project, ids, field.key, value, reason))
