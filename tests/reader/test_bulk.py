"""Many lines at a time give the track that line by line gives, to the last bit."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from polypocket.reader import Dialect, Track, bulk, read, tokens
from polypocket.reader.arcs import arc_by_radius
from polypocket.reader.state import State
from polypocket.reader.stretch import is_usual
from polypocket.reader.table import table_of, understands

FIXTURES = Path(__file__).parents[2] / "fixtures"
PROGRAMS = [path.read_text("utf-8") for path in sorted(FIXTURES.glob("*/*.nc"))]
PLAIN = Dialect("plain")
NUMBERED = Dialect(
    "numbered", 70, 71, line_numbers=True, decimal_point=True, line_length=40, program_number=True
)
INCH_OF_OLD = Dialect("old", 70, 71, arc_radius_mm=0.05)
DIALECTS = st.sampled_from([PLAIN, NUMBERED, INCH_OF_OLD])


@contextmanager
def sizes(least: int, table: int, shortest: int) -> Iterator[None]:
    """Let the fast way begin with ``least`` lines, with tables and stretches of other lengths."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(import_module("polypocket.reader.read"), "LEAST_LINES", least)
        patch.setattr(bulk, "TABLE_LINES", table)
        patch.setattr(bulk, "SHORTEST", shortest)
        yield


def bits(column: np.ndarray) -> tuple[str, bytes]:
    return str(column.dtype), np.ascontiguousarray(column).tobytes()


def assert_same(one: Track, other: Track) -> None:
    for name in Track.__slots__:
        mine, its = getattr(one, name), getattr(other, name)
        if isinstance(mine, np.ndarray):
            assert bits(mine) == bits(its), f"{name}: {mine} {its}"
        elif name == "asks":
            assert repr(mine) == repr(its)  # a value may be NaN
        else:
            assert mine == its, name


def check(text: str, dialect: Dialect = PLAIN, table: int = 5, shortest: int = 1) -> None:
    with sizes(10**9, 1, 1):
        line_by_line = read(text, dialect)
    for lines, least in ((table, shortest), (64, 4), (4096, 1)):
        with sizes(1, lines, least):
            assert_same(read(text, dialect), line_by_line)


def rows_in_bulk(text: str, dialect: Dialect = PLAIN) -> int:
    """How many lines are carried out many at a time."""
    lines = 0

    def counted(self: bulk.Bulk, *given: object) -> int:
        nonlocal lines
        done = plain(self, *given)
        lines += done
        return done

    plain = bulk.Bulk.carry_out
    with sizes(1, 4096, 1), pytest.MonkeyPatch.context() as patch:
        patch.setattr(bulk.Bulk, "carry_out", counted)
        read(text, dialect)
    return lines


@pytest.mark.parametrize("dialect", [PLAIN, NUMBERED, Dialect("strict", 70, 71, line_numbers=True)])
@pytest.mark.parametrize("text", PROGRAMS)
def test_programs_of_the_house(text: str, dialect: Dialect) -> None:
    check(text, dialect)


BEFORE = "G21 G90 G17 G94\nF100 S900\nM3\nG0 X1 Y2 Z3\n"


@pytest.mark.parametrize(
    "body",
    [
        "G1 X5\nY6\nZ-1.5\nX+2. Y.5 F250\nx7y8\nG0Z10",
        "G2 X3 Y2 I1\nG3 X1 Y2 I-1 J0\nX1 Y2 I5\nG2 X1 Y2 J-4\nG2 X4 R2\nG3 X1 R-2\nG2 X9 Y9 Z9 R40",
        "G91\nG1 X0.1\nX0.1\nX0.1\nX0.1 Y-0.7\nG2 X0.2 I0.1\nG90\nX1 Y2 I-1",
        "N10 G1 X1\nN20 Y-0.\nN30\nN99999 X-0\n(word) X3 (word)\n(PASS 3)\nX4\nX5 (PASS 4)\n(PASS 5) X6\n",
        "(PASS 7) (PASS 8)\nX9\n\n \n\t\nX\t10\nX 11",
        "G1 X1\n(SET Z 4)\nX2\nX3\n(CUTTER 2 DIAMETER 6)\nX4\n(SET it) X5\n(FLAT 1 TO FIXED JAW)",
        "G1 X1\r\nX2\r\nX3\r\r\nX4\rX5",
        "S100\nG1 X1\nS200 X2\nM4\nX3\nM5\nS300\nX4\nF0\nX5\nG0 X6\nG1 X7\nF9\nX8\nF0 X9",
        "G55\nX1\nG53 G0 X1\nY1\nG1 Y1\nX3\nG53 Z0\nG2 X5 I1\nG2 X5 Z4 I1\nG2 Z4",
        "T3 M6\nX1\nM8\nX2\nG64\nX3\nG18\nX4\nG2 X5 R4\nG17 G3 X6 R4\nG93\nX1 F3\nX2 F1",
        "X1\n/X2\nX3\n%\nX4",
        "X1\nM30\nX2\n(word)",
        "X1\n(word)(word)\n(a(b)c\nX2 (open\nX3 )\nX4 (é) Y1\nX5 é",
    ],
)
def test_what_lines_may_hold(body: str) -> None:
    check(BEFORE + body + "\nM30\n")
    check(BEFORE.replace("G21", "G20") + body + "\nM30\n")
    check("%\n" + BEFORE + body + "\nM30\n%\n")
    check(body)


@pytest.mark.parametrize(
    "line",
    [
        "G1(a)5", "G0 X1(a)5", "X1(a).5", "X(a)5", "X1(a)Y2(b)", "(a)N5 X1", "N5(a)X1", "N5 N6 X1", "X1 N5",
        "N123456 X1", "N1.5 X1", "N-1 X1", "N X1", "G01 X1", "G1. X1", "G+1 X1", "G-1 X1", "G-0 X1", "G1.1 X1",
        "G4 P1", "G1", "G2 X3", "G2 X3 I1 R1", "G2 Z3 I1", "X1 I1", "I1", "R1", "K1", "G2 X3 K1", "X1 X2",
        "G1 G1 X1", "G0 G1 X1", "X1. 5", "X1 . 5", "X--1", "X1-", "X1-2", "X+", "X.", "X", "X1.2.3", "X..",
        "X123456789012345", "X1234567890123456", "X0.00000000000000000001", "X0000000000000000000001",
        "X9007199254740993", "X123456789", "X12345678", "X12345678.12345678", "X.123456789", "X1.123456789",
        "X1e3", "F-1", "F-0", "S-1", "F+1 X1", "F1 F2", "O5", "X1 O5", "G2 X1.0005 Y2 I4",
        "G2 X1 Y2 R4", "G2 X1.0000000001 Y2 I4", "G2 X100 I1", "G2 X100 R1", "G2 X3 I1.001", "G2 X3 I1.004",
        "G2 X3 I0 J0", "G2 X3 R0", "G2 X3.0039 R1", "G2 X3.005 R1", "A5", "X1 U5", "M3 S5", "X" + "0" * 40, "%",
        "X1 " + " " * 300,
    ],
)  # fmt: skip
def test_what_is_odd_or_wrong(line: str) -> None:
    check(f"{BEFORE}X4\n{line}\nX5 Y6\nG1 X7\nM30\n")
    check(f"{BEFORE}G91\nX4\n{line}\nX5 Y6\nG1 X7\nM30\n", INCH_OF_OLD)
    numbered = f"{BEFORE}X4.\n{line}\nX5. Y6.\nG1 X7.\nM30".replace("G21", "G71").split("\n")
    check("%\n:1\n" + "\n".join(f"N{n} {each}" for n, each in enumerate(numbered)) + "\n%\n", NUMBERED)


NUMBER_TEXTS = st.from_regex(r"\A[-+]?(?:[0-9]{1,8}|[0-9]{1,7}\.[0-9]{0,8}|\.[0-9]{1,8})\Z")


@given(st.lists(NUMBER_TEXTS, min_size=1, max_size=20))
@example(["99999999", "9999999.99999999", "0.99999999", "-0", "+.00000001", "-1234567.12345", "00000000"])
@settings(max_examples=300)
def test_numbers_are_those_that_python_reads(texts: list[str]) -> None:
    # `float` rounds correctly (IEEE 754); the reference is Python's own.
    found = tokens.tokenise([f"X{text}" for text in texts])
    assert found.readable.all()
    assert bits(found.value) == bits(np.array([float(text) for text in texts]))


LETTERS = st.sampled_from("XYZXYZXYZIJRFSNGMTKP")
MIXED = st.one_of(
    st.builds("{}{}".format, LETTERS, st.integers(-30, 30).map(lambda n: f"{n / 4:g}")),
    st.builds("{}{}".format, LETTERS, NUMBER_TEXTS),
    st.sampled_from(["G0", "G1", "G2", "G3", "G90", "G91", "G17", "F100", "N5", "/", "M3", "G53", "G55"]),
    st.sampled_from(
        ["(a)", "(PASS 3)", "(SET Z 5)", "(SET Z)", "(CUTTER 2 DIAMETER 6)", "(", ")", "%", "M30"]
    ),
)
ARC = st.builds(
    lambda g, x, y, i, j: f"G{g} X{x / 10:g} Y{y / 10:g} I{i / 10:g} J{j / 10:g}",
    st.integers(2, 3), *(st.integers(-3, 3) for _ in range(4)),
)  # fmt: skip
ROUND = st.builds(
    lambda g, x, y, r: f"G{g} X{x / 10:g} Y{y / 10:g} R{r / 10:g}",
    st.integers(2, 3), *(st.integers(-3, 3) for _ in range(3)),
)  # fmt: skip
STRAIGHT = st.builds("X{0:.3f} Y{1:.3f}".format, *(st.floats(-99, 99, width=16) for _ in range(2)))
LINES = st.one_of(st.lists(MIXED, max_size=4).map(" ".join), ARC, ROUND, STRAIGHT, STRAIGHT)


@given(st.lists(LINES, max_size=25).map("\n".join), DIALECTS, st.integers(1, 9), st.integers(1, 4))
@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_lines_of_any_words(body: str, dialect: Dialect, table: int, shortest: int) -> None:
    units = "G71" if dialect.inch_word == 70 else "G20"
    check(f"{units} G90 G17\nF100\nG0 X1 Y2 Z3\n{body}\nM30\n", dialect, table, shortest)


LIKELY = st.text(alphabet="GXYZIJRFSN0123456789.+-()  \n\n", max_size=150)


@given(st.one_of(st.text(max_size=200), LIKELY), DIALECTS)
@settings(max_examples=200)
def test_any_text(text: str, dialect: Dialect) -> None:
    check(text, dialect)
    check(BEFORE + text, dialect)


def long_program(chance: random.Random, lines: int) -> str:
    """Write a program of lines and arcs in quarters of a millimetre, in stretches of either kind."""
    x = y = 0
    written = ["G21 G90 G17 G94", "S900 F100 M3", "G0 X0 Y0 Z5"]
    while len(written) < lines:
        kind = chance.randrange(12)
        to = (x + chance.randint(-8, 8), y + chance.randint(-8, 8))
        if kind == 0:
            written.append(
                chance.choice(["(word)", "(PASS 12)", "M5", "M3", "(SET Z 1)", "G91", "G90", "T2 M6", ""])
            )
            written.append("G90" if written[-1] != "G91" else "X0.1 Y0.3")
            continue
        if kind < 3 and to[0] != x:
            # Half a circle on the chord.
            i, j = (to[0] - x) / 8, (to[1] - y) / 8
            written.append(f"G{chance.choice('23')} X{to[0] / 4:.3f} Y{to[1] / 4:.3f} I{i:.4f} J{j:.4f}")
        elif kind < 5:
            written.append(f"G3X{to[0] / 4:.3f}Y{to[1] / 4:.3f}R{chance.choice([9, -9, 1])}")
        elif kind < 8:
            written.append(
                f"N{chance.randrange(99999)} G1 X{to[0] / 4:.3f} Y{to[1] / 4:.3f} F{chance.randint(1, 900)}"
            )
        else:
            written.append(
                f"{chance.choice(['', 'G0', 'G1'])} X{to[0] / 4:.3f} Z{chance.randint(-9, 9) / 10}"
            )
        x, y = to
    return "\n".join([*written, "M30", ""])


@pytest.mark.parametrize("seed", range(12))
def test_long_programs_sound_and_spoiled(seed: int) -> None:
    chance = random.Random(seed)
    text = long_program(chance, 600)
    check(text, table=chance.randint(1, 200), shortest=chance.randint(1, 40))
    characters = list(text)
    for _ in range(chance.randint(1, 40)):
        at = chance.randrange(len(characters))
        characters[at] = chance.choice(
            ["", "\n", "(", ")", "-", ".", "X", "G", "M", "%", "5", " ", "é", "\r", "/"]
        )
    check("".join(characters), table=chance.randint(1, 200), shortest=chance.randint(1, 40))


def test_most_of_a_long_program_is_carried_out_many_at_a_time() -> None:
    plain = "G1 X1 Y2 F300\nX3\nG2 X5 I1\n(word)\nG1 Z-1 (word)\nG3 X3 R1 (word)\nN70 G1 X6 Y7\n" * 50
    assert rows_in_bulk(BEFORE + plain + "M30\n") == 350
    assert rows_in_bulk(BEFORE + "G91\n" + "X0.1 Y0.2\nG3 X2 I1\nG1 Z1\n" * 50 + "M30\n") == 150
    assert rows_in_bulk(BEFORE + "G41 D1\n" + plain + "M30\n") == 0


def test_what_is_unusual_in_state_or_control_is_left_to_the_ordinary_reader() -> None:
    state = State(units="mm", motion=0, distance=900)
    assert is_usual(state)
    for name, value in (
        ("units", None), ("motion", None), ("motion", 810), ("distance", None), ("feed_mode", 93),
        ("compensation_side", 1), ("radius_register", 1), ("ended", True),
    ):  # fmt: skip
        other = State(units="mm", motion=0, distance=900)
        setattr(other, name, value)
        assert not is_usual(other), name
    assert understands(NUMBERED)


def test_a_table_tells_plain_lines() -> None:
    lines = ["X1", "M3", "(SET Z 1)", "(PASS 4)", "G2 X1 I1", "G2 Z1 I1", "", "(PASS 5) X1", "G4 X1"]
    assert table_of(lines, PLAIN).plain.tolist() == [
        True,
        False,
        False,
        True,
        True,
        False,
        True,
        False,
        False,
    ]


def test_the_centre_by_radius_is_that_of_the_ordinary_reader() -> None:
    text = BEFORE + "G2 X3.7 Y4.1 R2.9\n" + "M30"
    with sizes(1, 4096, 1):
        track = read(text, PLAIN)
    row = int(np.flatnonzero(~np.isnan(track.centre_x))[0])
    assert (track.centre_x[row], track.centre_y[row]) == arc_by_radius(
        (1.0, 2.0), (3.7, 4.1), 2.9, True, 0.002
    ).centre
