"""Say in words why a file is no plan that this version opens."""

from __future__ import annotations

from pathlib import Path

HEAD_BYTES = 4096
BINARY_DXF = b"AutoCAD Binary DXF\r\n\x1a\x00"
"""The mark that the format prescribes. Source: DXF reference, binary files."""
SAVE_AS_DXF = "Save or export the drawing as DXF and open that."

_FIRST_IN_ARCHIVE: tuple[tuple[bytes, str], ...] = (
    (b"project.json", "A project, not a drawing. Open it as a project."),
    (b"[Content_Types].xml", "An office document. Ask for the drawing as DXF."),
)
_NAME_IN_ZIP = 30
"""Where the name of the first file begins. Source: ZIP file format specification, 4.3.7."""

_MARKS: tuple[tuple[bytes, str], ...] = (
    (b"AC10", f"DWG: this version reads DXF only. {SAVE_AS_DXF}"),
    (b"%PDF", f"PDF: this version reads DXF only. {SAVE_AS_DXF}"),
    (b"\x89PNG", "PNG: a picture, which this version cannot open. Ask for the drawing as DXF."),
    (b"\xff\xd8\xff", "JPEG: a picture, which this version cannot open. Ask for a DXF."),
    (b"GIF8", "GIF: a picture, which this version cannot open. Ask for the drawing as DXF."),
    (b"BM", "BMP: a picture, which this version cannot open. Ask for the drawing as DXF."),
    (b"II*\x00", "TIFF: a picture, which this version cannot open. Ask for a DXF."),
    (b"MM\x00*", "TIFF: a picture, which this version cannot open. Ask for a DXF."),
    (b"ISO-10303-21", "IFC: a building model, which this version cannot open. Export the floor "
     "plan as DXF and open that."),
    (b"PK\x03\x04", "ZIP: an archive. Unpack it and open the DXF file in it."),
    (b"\x1f\x8b", "GZIP: a compressed file. Unpack it and open the DXF file in it."),
    (b"7z\xbc\xaf", "7Z: an archive. Unpack it and open the DXF file in it."),
    (b"Rar!", "RAR: an archive. Unpack it and open the DXF file in it."),
    (b"\xd0\xcf\x11\xe0", "An office document of an older kind. Ask for the drawing as DXF."),
    (b"(DWF V", f"DWF: this version reads DXF only. {SAVE_AS_DXF}"),
)  # fmt: skip
_TEXT_MARKS: tuple[tuple[str, str], ...] = (
    ("<svg", f"SVG: this version reads DXF only. {SAVE_AS_DXF}"),
    ("<!doctype html", "A web page. Download the drawing itself and open that."),
    ("<html", "A web page. Download the drawing itself and open that."),
    ("<?xml", "XML: not a drawing that this version reads. Ask for the drawing as DXF."),
    ("{", "JSON: not a drawing that this version reads. Ask for the drawing as DXF."),
)


def classify_file(path: Path) -> str | None:
    """None if the file looks like a DXF, else one sentence: what it is and what to do.

    Raises OSError where the file cannot be read.
    """
    with path.open("rb") as file:
        return classify_bytes(file.read(HEAD_BYTES))


def classify_bytes(head: bytes) -> str | None:
    """None if a file that begins so looks like a DXF, else what it is and what to do."""
    if head.startswith(BINARY_DXF):
        return None
    if not head.strip():
        return "The file is empty. Save the drawing again and open that."
    marked = _marked(head)
    if marked is not None:
        return marked
    text = _as_text(head)
    if text is None:
        return f"Not a drawing that this version knows. {SAVE_AS_DXF}"
    if _looks_like_dxf(text):
        return None
    start = text.lstrip().lower()
    for word, words in _TEXT_MARKS:
        if start.startswith(word) or (word == "<svg" and word in start):
            return words
    return f"A text, not a drawing. {SAVE_AS_DXF}"


def _marked(head: bytes) -> str | None:
    """What a file with a mark of its format at its beginning is, None where there is none."""
    if head.startswith(b"PK\x03\x04"):
        for name, words in _FIRST_IN_ARCHIVE:
            if head.startswith(name, _NAME_IN_ZIP):
                return words
    return next((words for mark, words in _MARKS if head.startswith(mark)), None)


def _as_text(head: bytes) -> str | None:
    """The head as text, or None if it is binary."""
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return head.decode("utf-16", errors="replace")
    printable = sum(byte >= ord(" ") or byte in b"\t\r\n\x0c\x1a" for byte in head)
    if printable < 0.95 * len(head):
        return None
    return head.decode("utf-8-sig", errors="replace")


def _looks_like_dxf(text: str) -> bool:
    """Whether lines alternate between group codes and values, as far as the first section."""
    lines = [line.strip() for line in text.splitlines()]
    if any(line.upper() in ("SECTION", "$ACADVER") for line in lines):
        return True
    codes = lines[0:20:2]
    return len(codes) > 2 and all(code.isdigit() for code in codes)  # noqa: PLR2004
