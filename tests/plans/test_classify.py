"""Files that are no DXF are named, and the way out is told."""

from __future__ import annotations

import zipfile
from pathlib import Path

import ezdxf
import pytest

from app.plans.classify import classify_file
from app.plans.imported import PlanImportError
from app.plans.read_plan import read_plan

# Source: the magic numbers of the formats' own specifications.
OTHERS = {
    "plan.dwg": (b"AC1032\x00\x00\x00\x00" + bytes(200), "DWG"),
    "plan.pdf": (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "PDF"),
    "plan.png": (b"\x89PNG\r\n\x1a\n" + bytes(64), "PNG"),
    "plan.jpg": (b"\xff\xd8\xff\xe0\x00\x10JFIF" + bytes(64), "JPEG"),
    "plan.tif": (b"II*\x00" + bytes(64), "TIFF"),
    "house.ifc": (b"ISO-10303-21;\nHEADER;\n", "IFC"),
    "plan.zip": (b"PK\x03\x04" + bytes(64), "ZIP"),
    "plan.svg": (b'<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"/>', "SVG"),
    "page.html": (b"<!DOCTYPE html><html><body>not found</body></html>", "web page"),
    "notes.txt": (b"Dear Sir,\nplease find attached the plan.\n", "text"),
    "plan.bin": (bytes(range(256)) * 8, "Not a drawing"),
    "empty.dxf": (b"", "empty"),
}


@pytest.mark.parametrize("name", OTHERS)
def test_other_files_are_named(name: str, tmp_path: Path) -> None:
    data, word = OTHERS[name]
    path = tmp_path / name
    path.write_bytes(data)
    words = classify_file(path)
    assert words is not None
    assert word in words
    with pytest.raises(PlanImportError, match=word) as refusal:
        read_plan(path)
    assert str(refusal.value).startswith(name)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_drawings_pass(version: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.dxf"
    ezdxf.new(version).saveas(path)
    assert classify_file(path) is None
    ezdxf.new(version).saveas(path, fmt="bin")
    assert classify_file(path) is None


def test_a_comment_before_the_first_section_passes(tmp_path: Path) -> None:
    path = tmp_path / "plan.dxf"
    path.write_text("999\nmade by hand\n  0\nSECTION\n  2\nENTITIES\n", encoding="ascii")
    assert classify_file(path) is None


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ("project.json", "A project, not a drawing"),
        ("[Content_Types].xml", "office document"),
        ("plans/floor-1.dxf", "Unpack it"),
    ],
)
def test_archives_are_told_apart_by_what_lies_first_in_them(
    first: str, told: str, tmp_path: Path
) -> None:
    path = tmp_path / "some.file"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(first, "x" * 50)
    assert told in (classify_file(path) or "")


def test_a_project_among_the_plans_is_told_as_one() -> None:
    sample = Path(__file__).parents[2] / "sample_plans" / "small-office.drawcord"
    assert "A project, not a drawing" in (classify_file(sample) or "")


def test_missing_files_and_folders_are_told(tmp_path: Path) -> None:
    with pytest.raises(PlanImportError, match=r"gone\.dxf is not there"):
        read_plan(tmp_path / "gone.dxf")
    with pytest.raises(PlanImportError, match="is a folder"):
        read_plan(tmp_path)
