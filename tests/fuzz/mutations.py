"""Damage bytes the way disks, radios and hostile people do."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence

INTERESTING = (
    b"\x00",
    b"\xff",
    b"\x7f",
    b"\x80",
    b"\xff\xff\xff\xff",
    b"\x00\x00\x00\x80",
    b"\xfe\xff\xff\xff",
)
WORDS = (
    b"<", b">", b"&", b"&amp;", b"&#0;", b"&#x110000;", b"]]>", b"<![CDATA[", b"<!--", b"<?", b"nan", b"inf",
    b"-1e308", b"1e999", b"9999-12-31T23:59:59Z", b"0001-01-01T00:00:00+23:59", b"2085-01-01T00:00:00Z",
    b"</trkpt>", b"<trkpt>", b"<trk>", b"</trkseg>", b"<Lap>", b"<Activity>", b"</Track>", b'lat="', b"\xc3",
    b"<!DOCTYPE x [", b'<!ENTITY a "b">', b"_", b".FIT", b"\x40", b"\x60\x00\x00\x14\x00",
)  # fmt: skip
"""Pieces of the formats' own grammar, put where they do not belong."""

Dice = random.Random


def flip(data: bytearray, dice: Dice) -> None:
    for _ in range(dice.randint(1, 8)):
        data[dice.randrange(len(data))] ^= 1 << dice.randrange(8)


def overwrite(data: bytearray, dice: Dice) -> None:
    piece = dice.choice(INTERESTING + WORDS)
    at = dice.randrange(len(data))
    data[at : at + len(piece)] = piece


def insert(data: bytearray, dice: Dice) -> None:
    at = dice.randrange(len(data))
    data[at:at] = dice.choice(INTERESTING + WORDS)


def cut_out(data: bytearray, dice: Dice) -> None:
    at = dice.randrange(len(data))
    del data[at : at + dice.randint(1, max(1, len(data) // 4))]


def double(data: bytearray, dice: Dice) -> None:
    at = dice.randrange(len(data))
    piece = data[at : at + dice.randint(1, 400)]
    where = dice.randrange(len(data))
    data[where:where] = piece


def cut_end(data: bytearray, dice: Dice) -> None:
    del data[dice.randrange(1, len(data) + 1) :]


def number(data: bytearray, dice: Dice) -> None:
    """Change a digit of text, or a byte where there is none near."""
    at = dice.randrange(len(data))
    for i in range(at, min(at + 40, len(data))):
        if 0x30 <= data[i] <= 0x39:
            data[i] = dice.choice(b"0123456789-+.eE")
            return
    data[at] = dice.randrange(256)


WAYS: Sequence[Callable[[bytearray, Dice], None]] = (
    flip,
    overwrite,
    insert,
    cut_out,
    double,
    cut_end,
    number,
)


def mutated(data: bytes, dice: Dice) -> bytes:
    """A copy with one to six damages; the header of a FIT file is mostly spared, so that more is reached."""
    out = bytearray(data)
    for _ in range(dice.randint(1, 6)):
        if not out:
            break
        dice.choice(WAYS)(out, dice)
    if data[8:12] == b".FIT" and dice.random() < 0.7:
        out[: min(14, len(out))] = data[: min(14, len(out))]
    return bytes(out)
