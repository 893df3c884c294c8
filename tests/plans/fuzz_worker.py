"""Reads damaged drawings one after the other, in a process of its own with bounded memory.

Run as `python -m tests.plans.fuzz_worker FIRST_SEED COUNT [FOLDER]`; a folder of DXF files gives
more drawings to damage. Prints a line before and after each, so that who watches can tell a
drawing that hangs; the last line is the greatest memory in MB.
"""

from __future__ import annotations

import gc
import io
import sys
import traceback
import warnings
from pathlib import Path

import ezdxf
from ezdxf.document import Drawing
from ezdxf.tools.standards import setup_linetypes

from app.drawing.plan_codec import decode_drawing, encode_drawing
from app.plans.imported import PlanImportError
from app.plans.read_plan import read_plan
from tests.plans.mutations import mutated

MOST_MEMORY = 3 * 1024**3
MOST_SOURCE_BYTES = 120_000


def furnish(doc: Drawing) -> None:
    """One of almost everything that a floor plan may contain."""
    setup_linetypes(doc)
    chair = doc.blocks.new("CHAIR")
    chair.add_polyline2d([(0, 0, 0.4), (400, 0, 0), (400, 400, 0)], format="xyb", close=True)
    chair.add_circle((200, 200), 90)
    chair.add_attdef("NO", (0, 0), height=50)
    desk = doc.blocks.new("DESK")
    desk.add_blockref("CHAIR", (300, 300), {"rotation": 30, "xscale": 1.5})
    desk.add_line((0, 0), (1_600, 0))
    msp = doc.modelspace()
    msp.add_polyline2d([(0, 0), (24_000, 0), (24_000, 12_000), (0, 12_000)], close=True)
    for number in range(4):
        reference = msp.add_blockref("DESK", (2_000 * number, 3_000), {"rotation": 45 * number})
        reference.add_attrib("NO", f"{number}", (2_000 * number, 3_000), {"height": 100})
    msp.add_blockref("CHAIR", (0, 0), {"row_count": 2, "column_count": 3, "row_spacing": 500})
    msp.add_arc((900, 0), 900, 0, 90)
    msp.add_text("ROOM 12", height=200).set_placement((500, 500))
    msp.add_polyline2d([(0, 0, 1), (500, 0, 0), (500, 500, 0)], format="xyb")
    msp.add_solid([(0, 0), (10, 0), (0, 10), (10, 10)])
    msp.add_point((5, 5))
    if doc.dxfversion > "AC1009":
        msp.add_lwpolyline([(0, 0, 1), (500, 0, 0), (500, 500, 0)], format="xyb", close=True)
        msp.add_mtext("HALL\\P{\\H1.5x;351.7 m2}", {"char_height": 200, "width": 900})
        msp.add_ellipse((3_000, 3_000), (700, 0), 0.4, 0, 3)
        msp.add_spline([(0, 0), (900, 500), (1_800, 0), (2_500, 900)])
        hatch = msp.add_hatch(dxfattribs={"hatch_style": 1})
        hatch.set_pattern_fill("ANSI31", scale=100)
        hatch.paths.add_polyline_path([(0, 0), (3_000, 0), (2_000, 2_500)], is_closed=True)
        edges = msp.add_hatch(color=3).paths.add_edge_path()
        edges.add_line((0, 0), (900, 0))
        edges.add_arc((450, 0), 450, 0, 180)
    msp.add_linear_dim(base=(0, -900), p1=(0, 0), p2=(24_000, 0)).render()
    msp.add_line((0, 0), (9_000, 0), {"linetype": "DASHED"})


def sources(folder: Path | None) -> list[bytes]:
    """The drawings that are damaged."""
    found = []
    for version in ("R12", "R2000", "R2010", "R2018"):
        doc = ezdxf.new(version)
        furnish(doc)
        stream = io.StringIO()
        doc.write(stream)
        found.append(doc.encode(stream.getvalue()))
    binary = io.BytesIO()
    doc = ezdxf.new("R2000")
    furnish(doc)
    doc.write(binary, fmt="bin")
    found.append(binary.getvalue())
    if folder is not None:
        paths = sorted(folder.rglob("*.dxf"))
        found += [p.read_bytes() for p in paths if p.stat().st_size <= MOST_SOURCE_BYTES]
    return found


def limit_memory() -> None:
    """Let the system refuse memory beyond the bound, where it can."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def greatest_memory_mb() -> float:
    try:
        import resource
    except ImportError:
        return 0.0
    per_mb = 1024**2 if sys.platform == "darwin" else 1024  # bytes there, kilobytes elsewhere
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / per_mb


def outcome(data: bytes) -> str:
    """What became of damaged bytes: opened, refused, or a bug with its traceback."""
    try:
        plan = read_plan(data, name="damaged.dxf")
        decode_drawing(encode_drawing(plan.drawing))
    except PlanImportError as refusal:
        return "refused" if str(refusal).startswith("damaged.dxf") else f"BUG {refusal!r}"
    except Exception:
        return "BUG " + traceback.format_exc()
    return "opened"


def main() -> None:
    warnings.simplefilter("error")
    first, count = int(sys.argv[1]), int(sys.argv[2])
    folder = Path(sys.argv[3]) if len(sys.argv) > 3 else None
    originals = sources(folder)
    limit_memory()
    for seed in range(first, first + count):
        print("begin", seed, flush=True)
        change, data = mutated(seed, originals)
        print("end", seed, change, outcome(data).replace("\n", " | "), flush=True)
        if seed % 50 == 0:
            gc.collect()
    print("memory", greatest_memory_mb(), flush=True)


if __name__ == "__main__":
    main()
