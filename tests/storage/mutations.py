"""Project files as they come out of bad disks, bad mails and bad intentions."""

from __future__ import annotations

import copy
import io
import json
import random
import zipfile
from collections.abc import Callable, Iterator
from typing import Any

Mutation = Callable[[bytes, random.Random], bytes]


def flipped(data: bytes, rng: random.Random) -> bytes:
    """A few bytes changed anywhere."""
    out = bytearray(data)
    for _ in range(rng.choice((1, 1, 2, 8, 64))):
        out[rng.randrange(len(out))] = rng.randrange(256)
    return bytes(out)


def cut(data: bytes, rng: random.Random) -> bytes:
    return data[: rng.randrange(len(data))]


def shuffled(data: bytes, rng: random.Random) -> bytes:
    """A stretch left out, doubled, or put elsewhere."""
    a, b = sorted(rng.randrange(len(data)) for _ in "ab")
    piece, rest = data[a:b], data[:a] + data[b:]
    if rng.random() < 0.3:
        return rest
    at = rng.randrange(len(rest) + 1)
    return (rest if rng.random() < 0.5 else data)[:at] + piece + rest[at:]


def padded(data: bytes, rng: random.Random) -> bytes:
    filling = rng.randbytes(rng.randrange(1, 2_000))
    return filling + data if rng.random() < 0.5 else data + filling


def headers(data: bytes, rng: random.Random) -> bytes:
    """Bytes changed in the zip's own records, where sizes and offsets stand."""
    out = bytearray(data)
    marks = [i for m in (b"PK\x01\x02", b"PK\x03\x04", b"PK\x05\x06") for i in _all(data, m)]
    for _ in range(rng.randrange(1, 4)):
        at = rng.choice(marks) + rng.randrange(4, 46)
        if at < len(out):
            out[at] = rng.choice((0, 1, 0x7F, 0x80, 0xFF, rng.randrange(256)))
    return bytes(out)


def retold(data: bytes, rng: random.Random) -> bytes:
    """A sound archive whose JSON says something else: another value, type, key or shape."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        entries = {n: archive.read(n) for n in archive.namelist()}
    document = json.loads(entries["project.json"])
    for _ in range(rng.randrange(1, 4)):
        _change_somewhere(document, rng)
    entries["project.json"] = json.dumps(document, allow_nan=True).encode("utf-8", "surrogatepass")
    return _zipped(entries)


def text_changed(data: bytes, rng: random.Random) -> bytes:
    """A sound archive whose texts are damaged as texts."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        entries = {n: archive.read(n) for n in archive.namelist()}
    name = rng.choice(["project.json", "history.jsonl"])
    entries[name] = rng.choice((flipped, cut, shuffled))(entries[name], rng)
    return _zipped(entries)


def entries_changed(data: bytes, rng: random.Random) -> bytes:
    """A sound archive with entries missing, renamed, emptied or filled with something else."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        entries = {n: archive.read(n) for n in archive.namelist()}
    name = rng.choice(list(entries))
    content = entries.pop(name)
    turn = rng.randrange(5)
    if turn == 1:
        entries[rng.choice(("../" + name, "/" + name, name.upper(), "a\\" + name))] = content
    elif turn == 2:
        entries[name] = b""
    elif turn == 3:
        entries[name] = rng.randbytes(rng.randrange(3_000))
    elif turn == 4:
        entries[name] = bytes(rng.randrange(2**22))
    return _zipped(entries)


STRANGE: tuple[Any, ...] = (
    None,
    True,
    0,
    -1,
    1.5,
    2**63,
    -(2**80),
    float("inf"),
    float("nan"),
    "",
    "x" * 5_000,
    "floor-00000001",
    "\ud800",
    [],
    {},
    [[[]]],
    {"entity": "floor"},
)

MUTATIONS: tuple[Mutation, ...] = (
    flipped,
    cut,
    shuffled,
    padded,
    headers,
    retold,
    retold,
    text_changed,
    entries_changed,
)


def mutated(data: bytes, count: int, *, seed: int) -> Iterator[tuple[str, bytes]]:
    """So many mutations of a project file, each with the name of what was done to it."""
    rng = random.Random(seed)
    for number in range(count):
        mutation = MUTATIONS[number % len(MUTATIONS)]
        yield f"{mutation.__name__} {number}", mutation(data, rng)


def _zipped(entries: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries.items():
            archive.writestr(name, content)
    return out.getvalue()


def _all(data: bytes, mark: bytes) -> list[int]:
    found, at = [], data.find(mark)
    while at >= 0:
        found.append(at)
        at = data.find(mark, at + 1)
    return found


def _change_somewhere(document: Any, rng: random.Random) -> None:
    """Change one value, or a whole branch, at a random depth."""
    here = document
    while True:
        keys: list[Any] = list(here) if isinstance(here, dict) else list(range(len(here)))
        if not keys:
            return
        key = rng.choice(keys)
        below = here[key]
        if not isinstance(below, dict | list) or not below or rng.random() < 0.1:
            break
        here = below
    turn = rng.randrange(5)
    if turn == 0:
        del here[key]
    elif turn == 1 and isinstance(here, dict):
        here[rng.choice(("surprise", "id", "floor", "entity"))] = copy.deepcopy(below)
    elif turn == 2 and isinstance(here, list):
        here.append(copy.deepcopy(below))
    else:
        here[key] = copy.deepcopy(rng.choice((*STRANGE, below)))
