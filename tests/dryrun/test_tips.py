"""By how much the cutter in force is longer, and what is not known after a change by hand: worked row by row."""

from __future__ import annotations

import math

import numpy as np
import pytest

from polypocket.dryrun.paths import Paths, paths_of
from polypocket.dryrun.tips import told_for
from polypocket.reader import Track, read
from tests.dryrun.conftest import DIALECT

NAN = math.nan
#: Cutter 2 stands out 10 mm further than cutter 1.
LONGER = {1: 0.0, 2: 10.0}


def track_of(*lines: str) -> Track:
    return read("\n".join(("G21 G17 G90 G94 G40 G49 G54", *lines, "M30", "")), DIALECT)


def lengths(*lines: str) -> dict[int, float]:
    """By how much the cutter is longer for which Z is told, on each line that has a row."""
    track = track_of(*lines)
    return dict(zip(track.line.tolist(), told_for(track, LONGER).tolist(), strict=True))


def test_by_the_register_in_force() -> None:
    """Rows without one count from the spindle as with the first cutter, whichever is in."""
    found = lengths("T2 M6", "G0 X1.", "G43 H2", "G0 Z10.", "T1 M6", "G0 Z20.", "G43 H1", "G0 Z10.")
    assert [found[line] for line in (3, 5, 7, 9)] == [0.0, 10.0, 10.0, 0.0]


@pytest.mark.parametrize(("first", "longer"), [(1, 0.0), (2, 10.0), (3, 0.0)])
def test_by_the_first_cutter(first: int, longer: float) -> None:
    """A person has set the zero with it; of one that is in no job nothing is known, and it is refused elsewhere."""
    found = lengths(f"(CUTTER {first} DIAMETER 6.0) M0", "G0 Z10.", "G0 X1.")
    assert (found[3], found[4]) == (longer, longer)
    found = lengths(f"T{first} M6", "T1 M6" if first == 2 else "T2 M6", "G0 Z10.")
    assert found[4] == longer


def test_by_the_one_touched_off_last_not_the_one_put_in_last() -> None:
    found = lengths(
        "(CUTTER 1 DIAMETER 10.0) M0",
        "G0 Z10.",
        "(CUTTER 2 DIAMETER 6.0)",
        "M0",
        "G0 Z11.",
        "(TOUCH OFF Z0 WITH CUTTER 2)",
        "M0",
        "G0 Z10.",
    )
    assert [found[line] for line in (3, 6, 9)] == [0.0, 0.0, 10.0]


def test_no_cutter_is_named_or_none_is_longer() -> None:
    track = track_of("G0 Z10.")
    for longer in (LONGER, {1: 10.0, 2: 0.0}):
        assert told_for(track, longer).tolist() == [0.0] * len(track)
    track = track_of("(CUTTER 2 DIAMETER 6.0) M0", "G0 Z10.")
    assert told_for(track, {1: 0.0, 2: 0.0}).tolist() == [0.0] * len(track)


def paths(*lines: str, first: str = "G21 G17 G90 G94 G40 G49 G54") -> Paths:
    track = read("\n".join((first, *lines, "M30", "")), DIALECT)
    return paths_of(track, "G54", {"G54": (0.0, 0.0, 0.0)})


def ends(found: Paths) -> list[list[float]]:
    return found.end.T.tolist()


PUT_IN = ("M5", "(CUTTER 2 DIAMETER 6.0)", "M0")
TOUCHED_OFF = ("M5", "(TOUCH OFF Z0 WITH CUTTER 2)", "M0")


@pytest.mark.parametrize("by_hand", [PUT_IN, TOUCHED_OFF, (*PUT_IN, *TOUCHED_OFF)])
def test_each_axis_is_lost_until_it_is_said_anew(by_hand: tuple[str, ...]) -> None:
    """So is where the motion begins by which it is said; what was said before the change counts up to it."""
    first = "G21 G17 G90 G94 G40 G49 G54 G0 X40. Y-30. Z10."  # the track's first row
    found = paths("G0 X41.", *by_hand, "G0 X1.", "G0 Y2.", "G0 Z3.", "G0 X4.", first=first)
    expected = [
        [40.0, -30.0, 10.0],
        [41.0, -30.0, 10.0],
        [1.0, NAN, NAN],
        [1.0, 2.0, NAN],
        [1.0, 2.0, 3.0],
        [4.0, 2.0, 3.0],
    ]
    np.testing.assert_array_equal(found.end.T, expected)
    begins = [[NAN] * 3, expected[0], [NAN] * 3, *expected[2:5]]
    np.testing.assert_array_equal(found.start.T, begins)


def test_lost_right_behind_the_first_row() -> None:
    found = paths(
        "(CUTTER 2 DIAMETER 6.0)", "M0", "G0 X4.", first="G21 G17 G90 G94 G40 G49 G54 G0 X1. Y2. Z3."
    )
    np.testing.assert_array_equal(found.end.T, [[1.0, 2.0, 3.0], [4.0, NAN, NAN]])


def test_what_the_mill_does_itself_loses_nothing() -> None:
    """Nor does what is said while the axes were last commanded in the machine's coordinates."""
    found = paths("G0 X1. Y2. Z3.", "M5", "T2 M6", "S2000 M3", "G0 X4.")
    assert ends(found) == [[1.0, 2.0, 3.0], [4.0, 2.0, 3.0]]
    found = paths("(CUTTER 1 DIAMETER 10.0) M0", "G53 G0 X1. Y2. Z3.", "M5", "M0", "S2000 M3", "G0 X4.")
    assert ends(found) == [[1.0, 2.0, 3.0], [4.0, 2.0, 3.0]]
    np.testing.assert_array_equal(found.start.T, [[NAN] * 3, [1.0, 2.0, 3.0]])
