"""The project's own card: names that stand on every sheet."""

from PySide6.QtWidgets import QWidget

from app.editor.commands.fields import set_fields
from app.ui.dialogs.dialog import Dialog
from app.ui.fields.form import Form
from app.ui.fields.spec import Field, Sort
from app.ui.session import Session

SITE = (
    Field(key="name", label="Site", sort=Sort.TEXT),
    Field(key="client", label="Client", sort=Sort.TEXT),
    Field(key="address", label="Address", sort=Sort.NOTE),
    Field(key="drawn_by", label="Drawn by", sort=Sort.TEXT),
    Field(key="checked_by", label="Checked by", sort=Sort.TEXT),
    Field(key="revision", label="Revision", sort=Sort.TEXT),
    Field(key="note", label="Note", sort=Sort.NOTE),
)


class SiteDialog(Dialog):
    """Every field is an edit of its own and can be undone."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("Site card", "It stands on every takeoff and sheet.", parent, wide=38)
        self.form = Form(SITE, session.project, self)
        self.form.show_things(session.project, [session.project.site])
        self.form.edited.connect(
            lambda field, value: session.do(
                lambda: set_fields(session.project, ["site"], field.key, value, rules=session.rules)
            )
        )
        self.column.addWidget(self.form)
        self.column.addStretch(1)
        self.finish(cancel="Close")
