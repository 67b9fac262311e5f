"""Words without a decimal point, and arcs a quadrant at a time. Source: EIA RS-274-D (from memory)."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.reader import read
from polypocket.reader.dialect import Dialect, WordFormat
from polypocket.reader.quadrant import arc_by_distances, leaves_quadrant
from polypocket.reader.track import Kind

WORDS = WordFormat((3, 3), (2, 4), "leading", signed_centre=True, digits_feed=(4, 1))
TAPE = Dialect("tape", inch_word=70, millimetre_word=71, quadrant_arcs=True, words=WORDS, wants_words=True)


def told(dialect: Dialect, *lines: str) -> list[tuple[int, int, str]]:
    track = read("\n".join(["%", *lines, "M30", "%"]), dialect)
    return [(each.line - 1, each.column, each.text) for each in track.complaints]


def test_lengths_count_their_digits_from_the_end_where_leading_zeros_are_left_out() -> None:
    track = read("%\nG90 G71 G0 X12500 Y-5 Z0\nG1 X1000 F4800\nM30\n%", TAPE)
    assert track.complaints == ()
    assert (track.x[0], track.y[0], track.z[0]) == (12.5, -0.005, 0.0)
    assert (track.x[1], track.feed[1]) == (1.0, 480.0)


def test_from_the_beginning_where_trailing_zeros_are_left_out() -> None:
    """X0125 is 012.500 in the format 3.3; in inches X0125 is 01.2500 in the format 2.4."""
    dialect = TAPE._replace(words=WORDS._replace(zeros="trailing"))
    for units, meant in (("G71", 12.5), ("G70", 1.25 * 25.4)):
        track = read(f"%\nG90 {units} G0 X0125\nM30\n%", dialect)
        assert track.complaints == ()
        assert track.x[0] == pytest.approx(meant)


@pytest.mark.parametrize(
    ("zeros", "line", "column", "text"),
    [
        ("leading", "G90 G71 G0 X12.5", 12, "X12.5 has a decimal point; this control counts digits instead"),
        ("leading", "G90 G71 G0 X1234567", 12, "X1234567 has 7 digits; this control takes at most 6"),
        ("none", "G90 G71 G0 X12500", 12, "X12500 has 5 digits; this control wants 6"),
        ("leading", "G90 G71 G4 P500", 12, "how a wait is coded is not stated; none can be read"),
    ],
)
def test_what_is_not_coded_so_is_refused(zeros: str, line: str, column: int, text: str) -> None:
    dialect = TAPE._replace(words=WORDS._replace(zeros=zeros))
    assert told(dialect, line) == [(1, column, text)]


def test_spindle_codes() -> None:
    dialect = TAPE._replace(words=WORDS._replace(spindle_codes=((40, 80.0), (45, 135.0))))
    track = read("%\nG71 S45 M3\nM30\n%", dialect)
    assert track.complaints == ()
    assert track.rpm[0] == 135.0
    assert told(dialect, "G71 S46 M3") == [(1, 5, "S46 is none of the spindle's codes")]


def test_nothing_is_read_before_the_words_are_stated() -> None:
    complaints = told(TAPE._replace(words=None), "G90 G71 G0 X12500")
    assert complaints
    assert all("[words]" in text for _, _, text in complaints)


def test_words_that_the_control_does_not_know() -> None:
    plain = Dialect("plain", unknown=frozenset(("G43", "M6")))
    assert [text for _, _, text in told(plain, "G43 H1", "T1 M6")] == [
        "G43 is not known to the dialect plain",
        "M6 is not known to the dialect plain",
    ]


QUARTER = "G90 G71 G17 G0 X10000 Y0 Z0"


def test_an_arc_inside_its_quadrant() -> None:
    track = read(f"%\n{QUARTER}\nG3 X0 Y10000 I-10000 J0 F4800\nM30\n%", TAPE)
    assert track.complaints == ()
    assert (track.centre_x[1], track.centre_y[1]) == (0.0, 0.0)


@pytest.mark.parametrize(
    "arc",
    [
        "G3 X-10000 Y0 I-10000 J0",  # half way round
        "G2 X0 Y10000 I-10000 J0",  # three quarters
        "G3 X-7071 Y7071 I-10000 J0",  # past the Y axis
    ],
)
def test_an_arc_that_leaves_its_quadrant_is_refused(arc: str) -> None:
    (complaint,) = told(TAPE, QUARTER, f"{arc} F4800")
    assert "quadrant" in complaint[2]


def test_without_signs_the_quadrant_tells_the_centre() -> None:
    """From (10, 0) anticlockwise to (0, 10): the centre is the origin, though I10 J0 says no sign."""
    dialect = TAPE._replace(words=WORDS._replace(signed_centre=False))
    track = read(f"%\n{QUARTER}\nG3 X0 Y10000 I10000 J0 F4800\nM30\n%", dialect)
    assert track.complaints == ()
    assert track.kind[1] == Kind.ARC_ANTICLOCKWISE
    assert (track.centre_x[1], track.centre_y[1]) == (0.0, 0.0)
    (complaint,) = told(dialect, QUARTER, "G3 X0 Y10000 I-10000 J0 F4800")
    assert "sign" in complaint[2]


@given(
    centre=st.tuples(st.floats(-50.0, 50.0), st.floats(-50.0, 50.0)),
    radius=st.floats(1.0, 60.0),
    quadrant=st.integers(0, 3),
    begin=st.floats(0.0, 1.0),
    end=st.floats(0.0, 1.0),
)
def test_every_arc_of_a_quadrant_is_found_again_without_signs(
    centre: tuple[float, float], radius: float, quadrant: int, begin: float, end: float
) -> None:
    if abs(end - begin) < 0.05:
        return
    angles = [(quadrant + share) * math.pi / 2.0 for share in (begin, end)]
    first, last = (
        (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)) for angle in angles
    )
    distances = abs(centre[0] - first[0]), abs(centre[1] - first[1])
    arc = arc_by_distances(first, last, distances, end < begin, 0.002)
    assert arc.centre is not None
    assert math.dist(arc.centre, centre) < 1e-6
    assert not leaves_quadrant(first, last, centre, end < begin, 0.002)


def test_an_arc_along_an_axis_but_for_rounding() -> None:
    """Of a circle of 1000 mm the first millimetre from its top falls by 0.0005 mm, which no word can say."""
    arc = arc_by_distances((0.0, 1000.0), (-1.0, 1000.0), (0.0, 1000.0), False, 0.002)
    assert arc.centre == (0.0, 0.0)
    arc = arc_by_distances((1000.0, 0.0), (1000.0, 1.0), (1000.0, 0.0), False, 0.002)
    assert arc.centre == (0.0, 0.0)
    arc = arc_by_distances((0.0, 1000.0), (1.0, 1000.0), (0.0, 1000.0), True, 0.002)
    assert arc.centre == (0.0, 0.0)


def test_distances_that_fit_no_circle() -> None:
    """From (10, 0) to (0, 10) about the origin; 9 is not 10, and 10 with 5 has radii that differ."""
    for distances in ((9.0, 0.0), (10.0, 5.0)):
        arc = arc_by_distances((10.0, 0.0), (0.0, 10.0), distances, False, 0.002)
        assert arc.centre is None
        assert "radius" in arc.fault


def test_spindle_codes_are_for_s_alone() -> None:
    dialect = TAPE._replace(words=WORDS._replace(spindle_codes=((40, 80.0),)))
    track = read("%\nG90 G71 T3 M6\nS40 M3\nM30\n%", dialect)
    assert track.complaints == ()
    assert (track.tool[0], track.rpm[1]) == (3, 80.0)
