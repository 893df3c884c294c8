"""Damage done to drawings on purpose, the same for the same seed."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

NUMBERS = (
    b"nan",
    b"inf",
    b"-inf",
    b"1e308",
    b"-1e308",
    b"1e-320",
    b"99999999999999999999",
    b"-1",
    b"0",
    b"2147483648",
    b"0x10",
    b"",
    b"abc",
)
CODES = (
    b"0",
    b"2",
    b"5",
    b"8",
    b"10",
    b"20",
    b"40",
    b"66",
    b"70",
    b"90",
    b"100",
    b"330",
    b"999",
    b"-5",
    b"5000",
)
WORDS = (
    b"SECTION", b"ENDSEC", b"BLOCK", b"ENDBLK", b"TABLE", b"ENDTAB", b"EOF", b"INSERT", b"LINE",
    b"ARC", b"SPLINE", b"HATCH", b"POLYLINE", b"VERTEX", b"SEQEND", b"DIMENSION", b"MTEXT",
    b"VIEWPORT", b"LAYER", b"IMAGE", b"ACAD_TABLE",
)  # fmt: skip


def _flip_bytes(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    changed = bytearray(data)
    for _ in range(rng.choice((1, 1, 3, 20, 200))):
        changed[rng.randrange(len(changed))] = rng.randrange(256)
    return bytes(changed)


def _cut_tail(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    return data[: rng.randrange(1, len(data))]


def _cut_piece(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    start = rng.randrange(len(data))
    return data[:start] + data[start + rng.choice((1, 10, 100, 5_000)) :]


def _repeat_piece(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    start = rng.randrange(len(data))
    piece = data[start : start + rng.choice((4, 60, 2_000))]
    return data[:start] + piece * rng.choice((2, 5, 30)) + data[start:]


def _change_lines(data: bytes, rng: random.Random, choices: Sequence[bytes], parity: int) -> bytes:
    lines = data.split(b"\n")
    for _ in range(rng.choice((1, 2, 10, 50))):
        number = rng.randrange(len(lines) // 2) * 2 + parity
        if number < len(lines):
            lines[number] = rng.choice(choices)
    return b"\n".join(lines)


def _change_values(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    return _change_lines(data, rng, NUMBERS, 1)


def _change_codes(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    return _change_lines(data, rng, CODES, 0)


def _change_words(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    return _change_lines(data, rng, WORDS, 1)


def _swap_lines(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    lines = data.split(b"\n")
    for _ in range(rng.choice((1, 5, 50))):
        a, b = rng.randrange(len(lines)), rng.randrange(len(lines))
        lines[a], lines[b] = lines[b], lines[a]
    return b"\n".join(lines)


def _numbers_only(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    """Every coordinate line has a chance to become a wild number."""
    lines = data.split(b"\n")
    share = rng.choice((0.001, 0.01, 0.2))
    for number in range(1, len(lines), 2):
        if b"." in lines[number] and rng.random() < share:
            lines[number] = rng.choice(NUMBERS)
    return b"\n".join(lines)


def _cross_names(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    """Names after code 2 change places, so that blocks come to contain one another."""
    lines = data.split(b"\n")
    rows = [n + 1 for n in range(0, len(lines) - 1, 2) if lines[n].strip() == b"2"]
    rng.shuffle(rows)
    for a, b in zip(rows[::2], rows[1::2], strict=False):
        if rng.random() < 0.3:
            lines[a], lines[b] = lines[b], lines[a]
    return b"\n".join(lines)


def _splice(data: bytes, rng: random.Random, others: Sequence[bytes]) -> bytes:
    other = rng.choice(others)
    return data[: rng.randrange(len(data))] + other[rng.randrange(len(other)) :]


MUTATIONS: tuple[Callable[[bytes, random.Random, Sequence[bytes]], bytes], ...] = (
    _flip_bytes,
    _cut_tail,
    _cut_piece,
    _repeat_piece,
    _change_values,
    _change_codes,
    _change_words,
    _swap_lines,
    _numbers_only,
    _cross_names,
    _splice,
)


def mutated(seed: int, sources: Sequence[bytes]) -> tuple[str, bytes]:
    """What was done, and the damaged bytes, of the source and damage that a seed chooses."""
    rng = random.Random(seed)
    data = rng.choice(sources)
    names = []
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        change = rng.choice(MUTATIONS)
        names.append(change.__name__.strip("_"))
        data = change(data, rng, sources) or b"0"
    return "+".join(names), data
