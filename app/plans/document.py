"""Opens the bytes of a DXF file as a document of the library, strictly or by recovery."""

from __future__ import annotations

import io
import logging

from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.lldxf.tagger import binary_tags_loader
from ezdxf.lldxf.validator import dxf_info

from app.plans.byte_stream import CountingStream
from app.plans.cut_short import closed
from app.plans.imported import PlanImportError
from app.plans.limits import TooMuch
from app.plans.notes import Notes
from app.progress import Cancelled, Progress

BINARY_MARK = b"AutoCAD Binary DXF\r\n\x1a\x00"
UTF8_MARK = b"\xef\xbb\xbf"
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
FIRST_UTF8_VERSION = "AC1021"
HEADER_BYTES = 64 * 1024

logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def open_document(data: bytes, *, name: str, notes: Notes, progress: Progress) -> Drawing:
    """A document of the file's bytes. Raises PlanImportError and Cancelled."""
    data = _plain(data)
    try:
        return _read_strictly(data, notes, progress)
    except (Cancelled, MemoryError):
        raise
    except Exception as error:
        return _recovered(data, name, error, notes, progress)


def _plain(data: bytes) -> bytes:
    """The bytes without a mark of their encoding, which DXF does not know."""
    if data.startswith(UTF16_MARKS):
        return data.decode("utf-16", errors="replace").encode("utf-8")
    return data.removeprefix(UTF8_MARK)


def _read_strictly(data: bytes, notes: Notes, progress: Progress) -> Drawing:
    if data.startswith(BINARY_MARK):
        return Drawing.load(binary_tags_loader(data, errors="surrogateescape"))
    stream = io.TextIOWrapper(
        io.BufferedReader(CountingStream(data, progress)),
        encoding=_encoding(data, notes),
        errors="surrogateescape",
    )
    return Drawing.read(stream)


def _encoding(data: bytes, notes: Notes) -> str:
    """The encoding that the bytes are really in, as far as they tell."""
    head = data[:HEADER_BYTES].decode("utf-8", errors="ignore")
    info = dxf_info(io.StringIO(head))
    is_modern = info.version >= FIRST_UTF8_VERSION
    if data.isascii():
        return "utf-8" if is_modern else str(info.encoding)
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        if is_modern:
            notes.add("encoding", str(info.encoding))
        return str(info.encoding)
    if not is_modern:
        notes.add("encoding", "UTF-8")
    return "utf-8"


def _recovered(
    data: bytes, name: str, first: Exception, notes: Notes, progress: Progress
) -> Drawing:
    """The document that the library's recovery makes of damaged bytes."""
    try:
        stream = io.BufferedReader(CountingStream(closed(data), progress))
        doc, auditor = recover.read(stream)
    except (Cancelled, MemoryError, TooMuch):
        raise
    except Exception as second:
        raise PlanImportError(
            f"{name} is damaged and could not be recovered ({_reason(first, second)}). Open it "
            "in the program that made it, check and repair it there, and save it as DXF again."
        ) from second
    notes.add("recovered")
    if auditor.fixes:
        notes.add("repairs", count=len(auditor.fixes))
    return doc


def _reason(*errors: Exception) -> str:
    """What the library says of damage, shortened to what a person can use."""
    texts = [" ".join(str(error).split()) for error in errors]
    text = next((t for t in texts if "line" in t), next((t for t in texts if t), "no structure"))
    return text.removeprefix("DXFStructureError:").strip().rstrip(".")[:120]
