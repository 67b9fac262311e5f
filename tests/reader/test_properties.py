"""What holds for every program: nothing raises, and what does not matter to a control changes nothing."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.reader import Dialect, Event, Kind, Track, read

FOLDER = Path(__file__).parents[2] / "fixtures" / "reader"
PROGRAMS = [path.read_text("utf-8") for path in sorted(FOLDER.glob("*.nc"))]
PLAIN = Dialect("plain")
STRICT = Dialect("strict", 70, 71, line_numbers=True, decimal_point=True, line_length=40, program_number=True)
CODES = {"unread", "units", "end", "arc-radius", "no-feed", "tool", "compensation"}
COLUMNS = [name for name in Track.__slots__ if isinstance(getattr(read("", PLAIN), name), np.ndarray)]


def check(text: str, dialect: Dialect) -> None:
    """Read a text, and check what holds for every track."""
    track = read(text, dialect)
    count = len(track)
    lines = text.split("\n")
    assert all(len(getattr(track, column)) == count for column in COLUMNS)
    assert list(track.line) == sorted(track.line)
    assert track.units in (None, "mm", "inch")
    places = [(c.line, c.column) for c in track.complaints]
    assert places == sorted(places)
    for complaint in track.complaints:
        assert complaint.code in CODES
        assert complaint.text
        assert 1 <= complaint.line <= len(lines)
        assert 1 <= complaint.column <= max(1, len(lines[complaint.line - 1]))
    for comment in track.comments:
        line = lines[comment.line - 1]
        assert line[comment.column - 1 :].startswith(f"({comment.text})")
    for ask in track.asks:
        assert track.line[ask.row] == ask.line
        assert track.event[ask.row] in (Event.ASK, Event.CUTTER)
    assert np.all((track.kind == Kind.EVENT) == (track.event != Event.NONE))
    arcs = np.isin(track.kind, (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE))
    for column, upright in (("centre_x", 19), ("centre_y", 18), ("centre_z", 17)):
        assert np.all(np.isnan(getattr(track, column)) == ~(arcs & (track.plane != upright)))
    assert np.all(np.isin(track.reference, (0, 28, 30)))
    assert np.all(track.kind[track.reference != 0] == Kind.RAPID)


DIALECTS = st.sampled_from([PLAIN, STRICT])
LIKELY = st.text(alphabet="GMXYZIJRFSTNPO0123456789.+-()%/:#[] \t\r\n", max_size=120)


@given(st.one_of(st.text(max_size=200), LIKELY), DIALECTS)
@settings(max_examples=120)
def test_no_text_raises(text: str, dialect: Dialect) -> None:
    check(text, dialect)


@given(st.binary(max_size=200), DIALECTS)
@settings(max_examples=80)
def test_no_bytes_raise(data: bytes, dialect: Dialect) -> None:
    check(data.decode("latin-1"), dialect)


WORDS = st.one_of(
    st.builds(
        "{}{}".format,
        st.sampled_from("GMXYZIJKRFSTPHDLQNABCO"),
        st.one_of(
            st.integers(-5, 100),
            st.sampled_from(["0", "1", "2", "3", "53", "59.1", "90", "91", "1e3", "", "9" * 40]),
            st.sampled_from(["18", "28", "30", "43", "49", "81", "82", "83", "92", "92.2", "92.3", "93"]),
            st.floats(-1e6, 1e6, allow_nan=False).map("{:.4f}".format),
        ),
    ),
    st.sampled_from(["G81 X4 Z1 R2", "G83 X4 Z1 R2 Q1", "G82 X4 Z1 R2 P1", "G99", "G92 Z1", "G28", "G93"]),
    st.sampled_from(["(SET Z 5)", "(SET Z)", "(PASS 3)", "(CUTTER 2 DIAMETER 6)", "(", ")", "#1", "%"]),
)


@given(st.lists(st.lists(WORDS, max_size=6).map(" ".join), max_size=12).map("\n".join), DIALECTS)
@settings(max_examples=120)
def test_no_lines_of_words_raise(body: str, dialect: Dialect) -> None:
    check(f"G21 G90 G17\nF100\nG0 X1 Y2 Z3\n{body}\nM30\n", dialect)


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """Draw a sound program with a few characters struck out, put in or exchanged."""
    text = draw(st.sampled_from(PROGRAMS))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(text)))
        text = text[:at] + draw(st.text(max_size=2)) + text[at + draw(st.integers(0, 2)) :]
    return text


@given(damaged(), DIALECTS)
@settings(max_examples=120)
def test_no_damaged_program_raises(text: str, dialect: Dialect) -> None:
    check(text, dialect)


NUMBERS = st.integers(-99_999, 99_999).map(lambda n: f"{n / 1000:.3f}")
AXIS_WORDS = st.lists(st.sampled_from("XYZ"), min_size=1, max_size=3, unique=True)


@st.composite
def sound_lines(draw: st.DrawFn) -> list[list[str]]:
    """Draw lines of words, one list a line, that a control carries out without complaint."""
    lines = [["G21", "G90", "G17", "G40"], ["F250.5", "S900"], ["G0", "X0", "Y0", "Z5"]]
    for _ in range(draw(st.integers(1, 12))):
        axes = [letter + draw(NUMBERS) for letter in draw(AXIS_WORDS)]
        radius = draw(st.integers(1, 50))
        line = draw(
            st.sampled_from(
                [
                    ["G90", "G0", *axes],
                    ["G90", "G1", *axes],
                    ["G90", "G1", f"F{radius}", *axes],
                    ["G91", "G1", *axes],
                    ["G91", "G2", f"X{2 * radius}", "Y0", f"I{radius}"],
                    ["G91", "G3", f"X{radius}", f"Y{radius}", f"R{radius}"],
                    ["G91", "G2", "X0", "Y0", f"J{radius}"],
                    ["G18", "G91", "G2", f"X{2 * radius}", "Z0", f"I{radius}", "Y1"],
                    ["G19", "G91", "G3", f"Y{radius}", f"Z{radius}", f"R{radius}"],
                    ["G91", "G98", "G81", *axes, "R2", "Z-3"] if "Z" not in "".join(axes) else ["M1"],
                    ["G17", "G90", "G99", "G83", "X4", "R2", f"Z-{radius}", "Q60"],
                    ["G17", "G90", "G99", "G82", "Y4", "R2", f"Z-{radius}", "P0.5"],
                    ["G92", "X7", "Z-1"],
                    ["G92.2"],
                    ["G90", "G28", "X1", "Y2", "Z3"],
                    ["G30"],
                    ["G43", "H4"],
                    ["G49"],
                    ["G4", f"P{radius}"],
                    ["M3", "S450", "M8"],
                    ["T4", "M6"],
                    ["M0"],
                    ["G55"],
                    ["G90", "G53", "G0", "Z0"],
                    ["G90", "G0", "X1", "Y2", "Z3"],
                ]
            )
        )
        # Where an axis may not be known, it is commanded first.
        if {"G91", "G2", "G3", "G81", "G82", "G83", "G92"} & set(line):
            lines.append(["G17", "G90", "G0", "X1", "Y2", "Z3"])
        lines.append(line)
    return [*lines, ["M30"]]


def written(lines: list[list[str]]) -> str:
    return "\n".join(" ".join(line) for line in lines)


def assert_same(one: Track, other: Track) -> None:
    assert one.complaints == other.complaints == ()
    for column in COLUMNS:
        np.testing.assert_array_equal(getattr(one, column), getattr(other, column), err_msg=column)


@given(sound_lines(), st.randoms(use_true_random=False))
@settings(max_examples=40)
def test_what_does_not_matter_changes_nothing(lines: list[list[str]], chance: random.Random) -> None:
    plain = read(written(lines), PLAIN)

    shuffled = [chance.sample(line, len(line)) for line in lines]
    assert_same(plain, read(written(shuffled), PLAIN))

    numbered = [[f"N{chance.randrange(100_000)}", *line] for line in lines]
    assert_same(plain, read(written(numbered), PLAIN))

    signed = [[w if "-" in w else f"{w[0]}+{w[1:]}" for w in line] for line in lines]
    assert_same(plain, read(written(signed), PLAIN))

    def spread(character: str) -> str:
        return character + " \t"[chance.randrange(2)] * chance.randrange(3)

    spaced = "\n".join("".join(map(spread, " ".join(line)))[:256] for line in lines)
    assert_same(plain, read(spaced.swapcase(), PLAIN))

    assert_same(plain, read("\n".join("".join(line) for line in lines), PLAIN))

    commented = "\n".join("(a)" + "(b)".join(line) + "(c)" for line in lines)
    assert_same(plain, read(commented, PLAIN))


@given(sound_lines())
@settings(max_examples=50)
def test_inches_are_25_4_times_as_long(lines: list[list[str]]) -> None:
    inches = [["G20", *line[1:]] if line[0] == "G21" else line for line in lines]
    one, other = read(written(lines), PLAIN), read(written(inches), PLAIN)
    assert one.complaints == other.complaints == ()
    for column in (
        "x",
        "y",
        "z",
        "centre_x",
        "centre_y",
        "centre_z",
        "shift_x",
        "shift_y",
        "shift_z",
        "feed",
    ):
        np.testing.assert_allclose(getattr(other, column), getattr(one, column) * 25.4, rtol=1e-12, atol=1e-9)


@given(sound_lines(), st.integers(0, 200))
@settings(max_examples=50)
def test_a_program_cut_short_has_no_end(lines: list[list[str]], keep: int) -> None:
    text = written(lines)[: -len("M30")][: keep + 1]
    assert "end" in {complaint.code for complaint in read(text, PLAIN).complaints}


@given(sound_lines())
@settings(max_examples=50)
def test_arcs_keep_their_radius(lines: list[list[str]]) -> None:
    track = read(written(lines), PLAIN)
    for row in np.flatnonzero(np.isin(track.kind, (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE))):
        centre = np.array([track.centre_x[row], track.centre_y[row], track.centre_z[row]])
        start, end = (np.array([track.x[i], track.y[i], track.z[i]]) for i in (row - 1, row))
        start, end = np.sqrt(np.nansum((start - centre) ** 2)), np.sqrt(np.nansum((end - centre) ** 2))
        assert abs(start - end) <= 0.002 + 1e-9
