"""Opens the bytes of a DXF file as a document of the library, strictly or by recovery."""

from __future__ import annotations

import io
import logging
from collections.abc import Sequence

from ezdxf import recover
from ezdxf.document import Drawing
from ezdxf.lldxf.tagger import binary_tags_loader
from ezdxf.lldxf.validator import dxf_info

from app.plans.byte_stream import CountingStream
from app.plans.classify import BINARY_DXF
from app.plans.cut_short import closed
from app.plans.imported import PlanImportError
from app.plans.notes import Notes
from app.plans.salvage import salvaged
from app.progress import Progress

UTF8_MARK = b"\xef\xbb\xbf"
UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
FIRST_UTF8_VERSION = "AC1021"
HEADER_BYTES = 64 * 1024
MOST_REASON = 120

logging.getLogger("ezdxf").addHandler(logging.NullHandler())


def plain(data: bytes) -> bytes:
    """The bytes without a mark of their encoding, which DXF does not know."""
    if data.startswith(UTF16_MARKS):
        return data.decode("utf-16", errors="replace").encode("utf-8")
    return data.removeprefix(UTF8_MARK)


def read_strictly(data: bytes, notes: Notes, progress: Progress) -> Drawing:
    """The document of well-formed bytes; raises whatever the library does of others."""
    if data.startswith(BINARY_DXF):
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


def pieced_together(data: bytes, notes: Notes, progress: Progress) -> Drawing:
    """The document of the sound entities in badly damaged bytes; raises what the library raises."""
    sound, dropped = salvaged(data)
    doc = recovered(sound, notes, progress)
    if dropped:
        notes.add("entities-dropped", count=dropped)
    return doc


def recovered(data: bytes, notes: Notes, progress: Progress) -> Drawing:
    """The document that the library's recovery makes of damaged bytes; raises what it raises."""
    stream = io.BufferedReader(CountingStream(closed(data), progress))
    doc, auditor = recover.read(stream)
    notes.add("recovered")
    if auditor.fixes:
        notes.add("repairs", count=len(auditor.fixes))
    return doc


def damaged(name: str, errors: Sequence[Exception]) -> PlanImportError:
    """What to say of a file that neither reading nor recovery could make anything of."""
    texts = [" ".join(str(error).split()) for error in errors]
    words = next((text for text in texts if "line" in text), next(filter(None, texts), ""))
    reason = words.removeprefix("DXFStructureError:").strip().rstrip(".")[:MOST_REASON]
    return PlanImportError(
        f"{name} is damaged and could not be recovered ({reason or 'no structure'}). Open it in "
        "the program that made it, check and repair it there, and save it as DXF again."
    )
