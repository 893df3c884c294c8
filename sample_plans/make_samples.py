"""Makes the samples beside this file anew: `python sample_plans/make_samples.py [FOLDER]`.

The DXF plans are drawn, read as any plan is read, and laid under the floors of the projects.
The same script gives the same bytes. With `as-designed` after the folder, the terminal is made
without what was found, told and agreed in it.
"""

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

import architect  # noqa: E402
from sheets_of_samples import office_sheet, terminal_sheet  # noqa: E402
from small_office import office_entities  # noqa: E402
from terminal_building import STOREYS  # noqa: E402
from terminal_project import terminal_entities  # noqa: E402
from terminal_rooms import FILE_NAME, rooms_csv  # noqa: E402
from terminal_survey import surveyed  # noqa: E402

from app.design import evaluate  # noqa: E402
from app.drawing.plan_codec import encode_drawing  # noqa: E402
from app.editor.commands.restore_points import make_restore_point  # noqa: E402
from app.jobs.plans import hidden_by_file  # noqa: E402
from app.model.entities import Entity, Floor, Plan  # noqa: E402
from app.model.ids import counting_source, new_id  # noqa: E402
from app.model.integrity import check_project  # noqa: E402
from app.model.project import Project  # noqa: E402
from app.model.vocabulary import ScaledBy  # noqa: E402
from app.plans.read_plan import read_plan  # noqa: E402
from app.storage.lists import read_list  # noqa: E402
from app.storage.packed import pack_source, sha256_of  # noqa: E402
from app.storage.project_file import SavedProject, save_project  # noqa: E402
from app.storage.states import pack_state  # noqa: E402

TERMINAL_IDS_FROM = 1
SENT_AS, SENT_ON = "as sent to client, rev A", "2026-11-02"
SENT_BY = "The designer (invented)"
OFFICE_IDS_FROM = 1_000_000


AS_DESIGNED = "as-designed"


def main(folder: Path = HERE, *, as_designed: bool = False) -> None:
    """Make all samples into a folder that is there."""
    source = counting_source(TERMINAL_IDS_FROM)
    sheets = [
        (f"ferry-terminal-floor-{storey.name}.dxf", terminal_sheet(i))
        for i, storey in enumerate(STOREYS)
    ]
    (folder / FILE_NAME).write_text(rooms_csv(), encoding="utf-8", newline="\n")
    things = terminal_entities(source)
    if not as_designed:
        things = surveyed(things, source, read_list(folder / FILE_NAME))
    make(folder, "ferry-terminal", things, sheets, sent_as="" if as_designed else SENT_AS)
    source = counting_source(OFFICE_IDS_FROM)
    sheets = [("small-office.dxf", office_sheet())]
    make(folder, "small-office", office_entities(source), sheets)


def make(
    folder: Path,
    name: str,
    entities: list[Entity],
    sheets: list[tuple[str, architect.Sheet]],
    *,
    sent_as: str = "",
) -> None:
    """Draw the sheets, one a floor, and save the project that stands on them.

    `sent_as`: the name of a restore point of what is saved.
    """
    floors = [e for e in entities if isinstance(e, Floor)]
    ids = counting_source(10_000_000)
    sources, drawings = {}, {}
    for floor, (file_name, sheet) in zip(floors, sheets, strict=True):
        path = folder / file_name
        path.write_text(architect.draw_floor(sheet), encoding="utf-8", newline="\n")
        data = path.read_bytes()
        imported = read_plan(path, name=file_name)
        drawing = encode_drawing(imported.drawing)
        packed = pack_source(data)
        sources[imported.sha256] = packed
        drawing_hash = sha256_of(drawing)
        drawings[drawing_hash] = drawing
        best = imported.proposals[0]
        entities.append(
            Plan(
                id=new_id("plan", (), ids),
                floor=floor.id,
                name=f"Architect, floor {floor.name}",
                source_name=file_name,
                source_sha256=imported.sha256,
                drawing_sha256=drawing_hash,
                mm_per_unit=best.mm_per_unit,
                scaled_by=ScaledBy.FILE_HEADER,
                scale_note=" ".join(best.reasons),
                hidden_layers=hidden_by_file(imported.drawing),
            )
        )
    project = Project(entities)
    if sent_as:
        state = pack_state(project)
        sources[state.sha256] = state
        project = project.apply(
            make_restore_point(
                evaluate(project),
                name=sent_as,
                state_sha256=state.sha256,
                made_on=SENT_ON,
                by=SENT_BY,
                source=ids,
            )
        )
    check_project(project)
    saved = SavedProject(project=project, plan_sources=sources, plan_drawings=drawings)
    save_project(folder / f"{name}.drawcord", saved)
    print(f"{name}: {len(project.outlets)} outlets")


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:2]), as_designed=AS_DESIGNED in sys.argv[2:])
