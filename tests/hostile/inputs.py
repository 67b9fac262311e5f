"""Files that nobody writes on purpose: by name, the bytes of each. All are smaller than a megabyte."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

__all__ = ["FOUND", "JOB", "JOBS", "MILL", "MILLS", "PROGRAM", "PROGRAMS"]

ROOT = Path(__file__).parents[2]
JOB = (ROOT / "fixtures" / "jobs" / "gate_key.toml").read_text(encoding="utf-8")
MILL = (ROOT / "shared" / "machines" / "knee-mill-3-axis.toml").read_text(encoding="utf-8")
PROGRAM = (ROOT / "fixtures" / "programs" / "gate_key.rs274ngc.nc").read_text(encoding="utf-8")

#: A little less than a megabyte.
_LONG = 999_000

#: Lines of the same kind: few enough to be read in a blink, enough for what grows with their square to be seen.
_LINES = 3_000


def _encodings(text: str) -> dict[str, bytes]:
    """Return a sound text as other programs save it, and as a disk or a line spoils it."""
    accented = text.replace("(JOB: GATE KEY)", "(JOB: GÄTE KEY)", 1).replace("gate key", "gäte key", 1)
    lines = text.splitlines()
    return {
        "empty": b"",
        "blank": b" \t\r\n\n",
        "byte order mark alone": b"\xef\xbb\xbf",
        "byte order mark": b"\xef\xbb\xbf" + text.encode(),
        "byte order mark twice": b"\xef\xbb\xbf\xef\xbb\xbf" + text.encode(),
        "byte order mark inside": text.encode().replace(b"\n", b"\n\xef\xbb\xbf", 3),
        "utf-16 with mark": text.encode("utf-16"),
        "utf-16 little": text.encode("utf-16-le"),
        "utf-16 big": text.encode("utf-16-be"),
        "utf-32": text.encode("utf-32"),
        "latin-1": accented.encode("latin-1", "replace") + "\n(Ø 6 mm, 30°)".encode("latin-1"),
        "lone surrogate": text.encode() + b"\n\xed\xa0\x80\n",
        "overlong slash": text.encode() + b"\n\xc0\xaf\n",
        "nul at the end": text.encode() + b"\0",
        "nul between": text.encode().replace(b" ", b" \0", 1),
        "zeros": bytes(_LONG),
        "cr": "\r".join(lines).encode(),
        "cr lf": "\r\n".join(lines).encode(),
        "mixed line ends": "".join(
            line + ("\n", "\r\n", "\r")[i % 3] for i, line in enumerate(lines)
        ).encode(),
        "cr cr lf": "\r\r\n".join(lines).encode(),
        "form feeds": "\f".join(lines).encode(),
        "other line ends": "\u2028".join(lines).encode(),
        "next line": "\u0085".join(lines).encode(),
        "end of file sign": text.encode() + b"\x1a",
        "terminal escapes": text.encode() + b"\n\x1b[2J\x1b]0;title\x07\n",
        "right to left": text.encode() + "\n\u202eX1\u202c\n".encode(),
        "cut in two": text.encode()[: len(text) // 2],
        "every byte": bytes(range(1, 256)),
        "newlines": b"\n" * _LONG,
        "blanks": b" " * _LONG,
        "crs": b"\r" * _LONG,
        "high bytes": b"\xff" * _LONG,
        "one letter": b"a" * _LONG,
        "digits": b"1" * _LONG,
        "open brackets": b"[" * _LONG,
        "open braces": b"{" * _LONG,
        "open parentheses": b"(" * _LONG,
        "quotation marks": b'"' * _LONG,
        "apostrophes": b"'" * _LONG,
        "points": b"." * _LONG,
        "equals signs": b"=" * _LONG,
        "hashes": b"#" * _LONG,
        "commas": b"," * _LONG,
        "percent signs": b"%" * _LONG,
        "percent lines": b"%\n" * (_LONG // 2),
    }


def _toml(text: str) -> dict[str, bytes]:
    """Return TOML, right or wrong, that is large or strange."""

    def put(old: str, new: str) -> bytes:
        assert old in text, old
        return text.replace(old, new, 1).encode()

    units = next(line for line in text.splitlines() if line.startswith("units"))
    name = next(line for line in text.splitlines() if line.startswith("name"))
    huge = "9" * 1000
    values = {
        "thousand digits": huge,
        "minus thousand digits": f"-{huge}",
        "thousand decimals": f"1.{huge}",
        "hundred thousand digits": "9" * 100_000,
        "hundred thousand decimals": "1." + "9" * 100_000,
        "hexadecimal of a thousand digits": "0x" + "f" * 1000,
        "hexadecimal of 100 000 digits": "0x" + "f" * 100_000,
        "binary of 100 000 digits": "0b" + "1" * 100_000,
        "1e308": "1e308",
        "1e309": "1e309",
        "1e-320": "1e-320",
        "1e999999999": "1e999999999",
        "nan": "nan",
        "minus nan": "-nan",
        "inf": "inf",
        "minus inf": "-inf",
        "zero": "0",
        "minus zero": "-0.0",
        "true": "true",
        "date": "1979-05-27T07:32:00Z",
        "time": "07:32:00",
        "empty text": '""',
        "long text": '"' + "x" * 900_000 + '"',
        "long blank text": '"' + " " * 900_000 + '"',
        "long text of digits": '"' + "1" * 900_000 + '"',
        "long text of digits and blanks": '"' + "1 " * 400_000 + '"',
        "blanks between digits": '"1' + " " * 400_000 + '2"',
        "blanks before a unit": '"1' + " " * 400_000 + 'q"',
        "dashes": '"1' + "-" * 400_000 + '2"',
        "fraction of long numbers": '"' + "1" * 400_000 + "/" + "3" * 400_000 + '"',
        "text of a long fraction's parts": '"'
        + "1" * 200_000
        + "-"
        + "1" * 200_000
        + "/"
        + "3" * 200_000
        + 'x"',
        "degrees of blanks": '"1' + " " * 400_000 + "° 6'" + '"',
        "per minute of blanks": '"1 mm' + " " * 400_000 + '/ min x"',
        "forty thousand blanks": '"1' + " " * 40_000 + 'q"',
        "forty thousand blanks between digits": '"1' + " " * 40_000 + '2"',
        "forty thousand digits": '"' + "1" * 40_000 + '"',
        "twenty thousand digits and blanks": '"' + "1 " * 20_000 + '"',
        "fraction of 20 000 digits": '"' + "1" * 20_000 + "/" + "3" * 20_000 + '"',
        "per minute of 40 000 blanks": '"1 mm' + " " * 40_000 + '/ min x"',
        "degrees of 40 000 blanks": '"1' + " " * 40_000 + "° 6'" + '"',
        "array of 20 000": "[" + "1," * 20_000 + "]",
        "array 20 000 deep": "[" * 20_000 + "]" * 20_000,
        "table 10 000 deep": "{a=" * 10_000 + "1" + "}" * 10_000,
        "table of 5 000 keys": "{" + ",".join(f"k{i}=1" for i in range(5_000)) + "}",
        "escapes": r'"\u001b[2J\u0000\u202e"',
        "surrogate escape": r'"\ud800"',
        "empty array": "[]",
        "array of 100 000": "[" + "1," * 100_000 + "]",
        "array of 100 000 texts": "[" + '"a",' * 100_000 + "]",
        "array of arrays": "[" * 100 + "]" * 100,
        "array 300 deep": "[" * 300 + "]" * 300,
        "array 100 000 deep": "[" * 100_000 + "]" * 100_000,
        "table 300 deep": "{a=" * 300 + "1" + "}" * 300,
        "table 100 000 deep": "{a=" * 100_000 + "1" + "}" * 100_000,
        "table of 50 000 keys": "{" + ",".join(f"k{i}=1" for i in range(50_000)) + "}",
    }
    measure = next(line for line in text.splitlines() if line.startswith(("diameter", "feed_max")))
    keys = {"name": name, "units": units, "measure": measure}
    changed = {
        f"{key} {what}": put(line, f"{key} = {value}")
        for what, value in values.items()
        for key, line in keys.items()
    }
    added = {
        "100 000 unknown keys": "\n".join(f"k{i}=1" for i in range(80_000)).encode() + b"\n" + text.encode(),
        "3 000 unknown tables": text.encode() + "".join(f"\n[t{i}]\n" for i in range(3_000)).encode(),
        "3 000 arrays of tables": text.encode() + "".join(f"\n[[t{i}]]\n" for i in range(3_000)).encode(),
        "100 000 tables in an array": text.encode() + b"\n[[new]]" * 100_000,
        "a key of a megabyte": b"k" * 900_000 + b" = 1\n" + text.encode(),
        "a quoted key of a megabyte": b'"' + b"\xc3\xa4 " * 300_000 + b'" = 1\n' + text.encode(),
        "key of underscores": b"_" * 900_000 + b" = 1\n" + text.encode(),
        "keys of dashes": "".join("-" * i + "a = 1\n" for i in range(1, 400)).encode() + text.encode(),
        "dotted key 300 deep": b".".join([b"a"] * 300) + b" = 1\n" + text.encode(),
        "dotted key 20 000 deep": b".".join([b"a"] * 20_000) + b" = 1\n" + text.encode(),
        "dotted key 400 000 deep": b".".join([b"a"] * 400_000) + b" = 1\n" + text.encode(),
        "header 20 000 deep": text.encode() + b"\n[" + b".".join([b"a"] * 20_000) + b"]\n",
        "dotted keys, 100 of 300": b"".join(b"a%d." % i + b"a." * 300 + b"a = 1\n" for i in range(100)) + text.encode(),
        "dotted keys of 8 parts": b"".join(b"a%d." % i + b"a." * 6 + b"a = 1\n" for i in range(2_000)) + text.encode(),
        "headers below each other": text.encode() + "".join(
            "\n[" + ".".join(["a"] * i) + "]" for i in range(1, 900)
        ).encode(),
        "comment of a megabyte": text.encode() + b"\n#" + b"x" * 900_000,
        "comments": text.encode() + b"\n#" * 400_000,
        "text not closed": b'a = "' + b"x" * 900_000,
        "long text not closed": b'a = """' + b"x\n" * 400_000,
        "escapes not closed": b'a = "' + b"\\" * 900_000,
        "array not closed": b"a = [" + b"1,\n" * 300_000,
        "empty key": b'"" = 1\n' + text.encode(),
        "keys of one letter's case": b"Name = 1\nNAME = 2\n" + text.encode(),
        "file twice": text.encode() + b"\n" + text.encode(),
    }  # fmt: skip
    return {**changed, **added}


def _jobs() -> dict[str, bytes]:
    section = JOB[JOB.index("[[sections]]") : JOB.index("[cutter]")]
    before, after = JOB.split(section)
    return {
        "1 000 sections": (before + section * 1000 + after).encode(),
        "300 sections": (before + section * 300 + after).encode(),
        "3 000 empty sections": (before + "[[sections]]\n" * 3000 + after).encode(),
        "50 000 empty sections": (before + "[[sections]]\n" * 50_000 + after).encode(),
        "sections of 10 000 numbers": (
            before.replace("[stock]", "sections = [" + "1," * 10_000 + "]\n[stock]", 1) + after
        ).encode(),
    }  # fmt: skip


def _mills() -> dict[str, bytes]:
    return {
        "3 000 work offsets": (
            MILL + "\n[work_offsets.more]\n" + "".join(f"G{i} = [1,2,3]\n" for i in range(3_000))
        ).encode(),
        "3 000 wrong work offsets": MILL.replace(
            "[work_offsets]", "[work_offsets]\n" + "".join(f"H{i} = [1,2,3]\n" for i in range(3_000)), 1
        ).encode(),
    }  # fmt: skip


def _programs() -> dict[str, bytes]:
    """Return programs that are large or strange."""

    def inside(body: str) -> bytes:
        return (
            f"%\nG17 G21 G40 G49 G80 G90 G94 G54\nS1000 M3\nG0 Z5 F100\nG0 X0 Y0\n{body}\nM30\n%\n".encode()
        )

    return {
        "body of a line of words": inside("X1" * 450_000),
        "body of a line of G words": inside("G1" * 450_000),
        "body of a line of letters": inside("X" * 900_000),
        "body of a line of numbers": inside("X" + "1" * 900_000),
        "body of signs": inside("X" + "-" * 900_000),
        "body of digits and blanks": inside("X" + "1 " * 450_000),
        "body of digits, blanks and a stray": inside("X" + "1 " * 450_000 + "$"),
        "body of blanks": inside("X" + " " * 900_000),
        "body of letters and blanks": inside("X 1 " * 220_000),
        "body of short comments": inside("(a)" * 300_000),
        "body of open comments": inside("(" * 900_000),
        "body of nested comments": inside("((" * 200_000 + "))" * 200_000),
        "body of one comment": inside("(" + "x" * 900_000 + ")"),
        "body of one comment of blanks": inside("(PASS " + " " * 900_000 + ")"),
        "body of one asking comment": inside("(SET Z " + "1" * 900_000 + ")"),
        "body of slashes": inside("/" * 900_000),
        "body of open brackets": inside("X[" * 450_000),
        "body of variables": inside("#1=2" * 220_000),
        "lines of faults": inside("$\n" * _LINES),
        "lines of refused words": inside("G41\n" * _LINES),
        "lines of two faults": inside("A1 B2\n" * _LINES),
        "lines of moves": inside("X1\nX2\n" * _LINES),
        "lines of arcs": inside("G3 X10 Y0 I5\nG3 X0 Y0 I-5\n" * _LINES),
        "lines of wrong arcs": inside("G2 X1 R.1\n" * _LINES),
        "lines of asks": inside("(SET Z 5)\n" * _LINES),
        "lines of wrong asks": inside("(SET Q 5)\n" * _LINES),
        "lines of comments": inside("(a)\n" * _LINES),
        "lines of unit changes": inside("G20\nG21\n" * _LINES),
        "lines of offsets": inside("G55\nG54\n" * _LINES),
        "lines of dwells": inside("G4 P1\n" * _LINES),
        "lines of dwells of ages": inside(f"G4 P{'9' * 30}\n" * _LINES),
        "lines of stops": inside("M0\n" * _LINES),
        "lines of cutters": inside("T1 M6\n" * _LINES),
        "lines of spindle turns": inside("M3\nM4\n" * _LINES),
        "lines of speeds": inside("".join(f"S{i}.5 M3\n" for i in range(5000, 5000 + _LINES))),
        "lines of cr": inside("X1\r" * _LINES),
        "move of thirty digits": inside("X" + "9" * 31),
        "move of 1e308": inside("X1e308"),
        "move of a thousand digits": inside("X" + "9" * 1000),
        "arc of thirty digits": inside("G2 X" + "9" * 31 + " I" + "9" * 31),
        "arc of thirty digits and a radius": inside("G2 X" + "9" * 31 + " R" + "9" * 31),
        "arc next to nothing": inside("G2 X" + "0." + "0" * 28 + "1 I" + "0." + "0" * 28 + "1"),
        "feed of thirty digits": inside("G1 X1 F" + "9" * 31),
        "feed next to nothing": inside("G1 X1 F." + "0" * 29 + "1"),
        "speed of thirty digits": inside("S" + "9" * 31),
        "tool of thirty digits": inside("T" + "9" * 31 + " M6"),
        "words of thirty digits": inside("G" + "9" * 31 + " M" + "9" * 31),
        "digits that are not ASCII": inside("X١٢٣ Y１２"),
        "letters that are not ASCII": inside("Ｘ1 Ⅹ2 ſ3 K4"),
        "long s and kelvin in an ask": inside("(\u017fET Z 5)(\u212a)"),
        "digits that are not ASCII in an ask": inside("(SET Z ١)(PASS ١)(CUTTER ² DIAMETER 6)"),
        "incremental without end": inside("G91\n" + "G1 X" + "9" * 31 + "\n" * 2 + "X" + "9" * 31),
    }  # fmt: skip


JOBS: Mapping[str, bytes] = MappingProxyType({**_encodings(JOB), **_toml(JOB), **_jobs()})
MILLS: Mapping[str, bytes] = MappingProxyType({**_encodings(MILL), **_toml(MILL), **_mills()})
PROGRAMS: Mapping[str, bytes] = MappingProxyType({**_encodings(PROGRAM), **_programs()})

#: Programs that broke the dry run against the gate key's job, as the fuzzing found them, made smaller.
FOUND: Mapping[str, bytes] = MappingProxyType(
    {
        "an arc that touches stock and removes none": (
            b"G0 Z-5.\nG1 X-27.254 Y2.994 F3000.\nG1 X-9.526\nG1 X-23.383 Y2.5\nG3 X-23.383 Y-2Z.5 I4.33 J-2.5"
        ),
    }
)
