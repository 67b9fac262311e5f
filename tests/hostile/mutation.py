"""Spoiling a sound file: a few changes of characters, words and lines."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from types import MappingProxyType

from tests.hostile.inputs import JOB, MILL

__all__ = ["SEEDS", "mutated"]

ROOT = Path(__file__).parents[2]

#: By target, the sound and the wrong files to begin with.
SEEDS: Mapping[str, tuple[bytes, ...]] = MappingProxyType(
    {
        "reader": tuple(
            path.read_bytes()[:3000]
            for folder in ("reader", "programs")
            for path in sorted((ROOT / "fixtures" / folder).glob("*.nc"))
        ),
        "job": (
            JOB.encode(),
            *(path.read_bytes() for path in sorted((ROOT / "shared" / "jobs").glob("*.toml"))),
            *(path.read_bytes() for path in sorted((ROOT / "fixtures" / "wrong").glob("job*.toml"))),
        ),
        "mill": (
            MILL.encode(),
            *(path.read_bytes() for path in sorted((ROOT / "shared" / "machines").glob("*.toml"))),
            *(path.read_bytes() for path in sorted((ROOT / "fixtures" / "wrong").glob("mill*.toml"))),
        ),
    }
)

_VALUES = (
    b'nan inf -inf 0 -0.0 1e308 -1e308 1e-320 5e-324 true [] {} "" "1/0" "1/2 in" "-0" "stock" "+x" "0\xc2\xb0 6\'" '
    b'1979-05-27 07:32:00 [[]] [0] [nan,nan] "1e5 mm" 99999999999999999999 0x7f 1e5 360 1e-9 "1 thou" "\\u001b[2J"'
).split(b" ")
_WORDS = (
    b"G0 G1 G2 G3 G17 G18 G20 G21 G28 G40 G41 G43 G53 G54 G55 G70 G80 G81 G90 G91 G92 G93 G94 M0 M2 M3 M30 M6 M98 "
    b"T1 X0 Y1. Z-1 I0 J1 R1 R-1 F0 F1 S0 S1 P1 K1 D1 H1 N1 O1 A1 / % ( ) ; # [ ] : X99999999999999999999999999999999 "
    b"X.00000000000000000000000000001 F9e9 (SET_Z_5) (CUTTER_1_DIAMETER_6) (PASS_1) \r \xef\xbb\xbf \xe2\x80\xa8 \x00"
).replace(b"_", b" ").split(b" ")  # fmt: skip
_TOKEN = re.compile(rb'"[^"\n]*"|[-+.\w]+|\s+|.', re.DOTALL)


def mutated(data: bytes, chance: random.Random, target: str) -> bytes:
    """Return the bytes with one to five changes."""
    pieces = _WORDS if target == "reader" else _VALUES
    for _ in range(chance.randint(1, 5)):
        data = chance.choice(_CHANGES)(data, chance, pieces)
    return data[:100_000]


Change = Callable[[bytes, random.Random, tuple[bytes, ...] | list[bytes]], bytes]


def _byte(data: bytes, chance: random.Random, pieces: object) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + bytes([chance.randrange(256)]) + data[at + chance.randint(0, 1) :]


def _cut(data: bytes, chance: random.Random, pieces: object) -> bytes:
    at, until = sorted((chance.randint(0, len(data)), chance.randint(0, len(data))))
    return data[:at] + data[min(until, at + 200) :]


def _token(data: bytes, chance: random.Random, pieces: tuple[bytes, ...]) -> bytes:
    """Put a telling piece in the place of a word or value."""
    tokens = list(_TOKEN.finditer(data))
    if not tokens:
        return chance.choice(pieces)
    token = chance.choice(tokens)
    return data[: token.start()] + chance.choice(pieces) + data[token.end() :]


def _insert(data: bytes, chance: random.Random, pieces: tuple[bytes, ...]) -> bytes:
    at = chance.randint(0, len(data))
    return data[:at] + chance.choice(pieces) * chance.choice((1, 1, 1, 2, 50)) + data[at:]


def _lines(data: bytes, chance: random.Random, pieces: object) -> bytes:
    """Strike a line out, say it again or put it elsewhere."""
    lines = data.split(b"\n")
    line = lines.pop(chance.randrange(len(lines)))
    for _ in range(chance.choice((0, 1, 2))):
        lines.insert(chance.randint(0, len(lines)), line)
    return b"\n".join(lines)


_CHANGES: tuple[Change, ...] = (_byte, _cut, _token, _token, _token, _insert, _lines)
