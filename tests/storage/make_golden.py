"""Makes the file and the shape of the present schema: `python -m tests.storage.make_golden`.

Only while the schema has not been released; from then on its file is what old files are.
"""

import json

from app.storage.project_file import save_project
from app.storage.schema import SCHEMA
from tests.storage.samples import saved_sample
from tests.storage.test_schema import GOLDEN, shape_of_the_model


def main() -> None:
    save_project(GOLDEN / f"schema-{SCHEMA}.drawcord", saved_sample())
    known = GOLDEN / "shapes.json"
    shapes = json.loads(known.read_text(encoding="utf-8")) | {str(SCHEMA): shape_of_the_model()}
    known.write_text(json.dumps(shapes, indent=1) + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
