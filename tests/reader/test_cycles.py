"""Drilling cycles: NISTIR 6556, section 3.5.16, in part from memory."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TypeAlias

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.reader import Dialect, Kind, Track, read
from polypocket.units import MM_PER_INCH

Places: TypeAlias = Callable[..., list[tuple[int, int, str]]]
TrackOf: TypeAlias = Callable[..., Track]
Move: TypeAlias = tuple[str, float, float, float]

PLAIN = Dialect("plain")
INCHES = "G20 G90 G17\nF10\nG0 X1 Y2 Z3\n"


def moves(track: Track) -> list[Move]:
    """The rows between the first and the last."""
    rows = zip(track.kind.tolist(), track.x.tolist(), track.y.tolist(), track.z.tolist(), strict=True)
    return [(Kind(kind).name, x, y, z) for kind, x, y, z in rows][1:-1]


def assert_moves(track: Track, expected: list[Move]) -> None:
    assert track.complaints == ()
    found = moves(track)
    assert [move[0] for move in found] == [move[0] for move in expected]
    np.testing.assert_allclose([m[1:] for m in found], [m[1:] for m in expected], rtol=0, atol=1e-9)


def test_published_example_absolute(track_of: TrackOf) -> None:
    # NISTIR 6556 3.5.16.2, from (1, 2, 3).
    track = track_of("G90 G81 G98 X4 Y5 Z1.5 R2.8")
    assert_moves(
        track,
        [("RAPID", 4, 5, 3), ("RAPID", 4, 5, 2.8), ("FEED", 4, 5, 1.5), ("RAPID", 4, 5, 3)],
    )
    assert track.line.tolist() == [3, 4, 4, 4, 4, 5]
    assert track.feed.tolist() == [100.0] * 6


def test_published_example_incremental_and_repeated(track_of: TrackOf) -> None:
    # NISTIR 6556 3.5.16.2, from (1, 2, 3): R 4.8, bottom 4.2; it rises to R once, before anything else.
    assert_moves(
        track_of("G91 G81 G98 X4 Y5 Z-0.6 R1.8 L3"),
        [
            ("RAPID", 1, 2, 4.8),
            ("RAPID", 5, 7, 4.8),
            ("FEED", 5, 7, 4.2),
            ("RAPID", 5, 7, 4.8),
            ("RAPID", 9, 12, 4.8),
            ("FEED", 9, 12, 4.2),
            ("RAPID", 9, 12, 4.8),
            ("RAPID", 13, 17, 4.8),
            ("FEED", 13, 17, 4.2),
            ("RAPID", 13, 17, 4.8),
        ],
    )


def test_g99_returns_to_r_only(track_of: TrackOf) -> None:
    assert_moves(
        track_of("G81 G99 X4 Y5 Z1.5 R2.8\nX6\nG80\nG0 X7"),
        [
            ("RAPID", 4, 5, 3),
            ("RAPID", 4, 5, 2.8),
            ("FEED", 4, 5, 1.5),
            ("RAPID", 4, 5, 2.8),
            ("RAPID", 6, 5, 2.8),
            ("FEED", 6, 5, 1.5),
            ("RAPID", 6, 5, 2.8),
            ("RAPID", 7, 5, 2.8),
        ],
    )


def test_g82_waits_at_the_bottom(track_of: TrackOf) -> None:
    track = track_of("G82 G99 X4 Y5 Z1 R2 P0.5\nX6")
    assert_moves(
        track,
        [
            ("RAPID", 4, 5, 3),
            ("RAPID", 4, 5, 2),
            ("FEED", 4, 5, 1),
            ("DWELL", 4, 5, 1),
            ("RAPID", 4, 5, 2),
            ("RAPID", 6, 5, 2),
            ("FEED", 6, 5, 1),
            ("DWELL", 6, 5, 1),
            ("RAPID", 6, 5, 2),
        ],
    )
    assert track.dwell.tolist() == [0, 0, 0, 0, 0.5, 0, 0, 0, 0.5, 0, 0]


@pytest.mark.parametrize(
    ("before", "scale"), [("G21 G90 G17\nF100\nG0 X1 Y2 Z3\n", 1.0), (INCHES, MM_PER_INCH)]
)
def test_g83_pecks(track_of: TrackOf, before: str, scale: float) -> None:
    # NISTIR 6556 3.5.16.4, from memory: out to R after each peck, back to 0.010 in above it.
    track = track_of("G83 G98 X1 Y2 Z-2 R2 Q1.5", before=before)
    above = 0.010 * MM_PER_INCH
    expected = [
        ("RAPID", 2 * scale),
        ("FEED", 0.5 * scale),
        ("RAPID", 2 * scale),
        ("RAPID", 0.5 * scale + above),
        ("FEED", -1 * scale),
        ("RAPID", 2 * scale),
        ("RAPID", -1 * scale + above),
        ("FEED", -2 * scale),
        ("RAPID", 3 * scale),
    ]
    assert_moves(track, [(kind, scale, 2 * scale, z) for kind, z in expected])


@pytest.mark.parametrize("peck", ["3", "3.0001", "10"])
def test_a_peck_to_the_bottom_is_the_only_one(track_of: TrackOf, peck: str) -> None:
    assert_moves(
        track_of(f"G83 G99 X1 Z-1 R2 Q{peck}"),
        [("RAPID", 1, 2, 2), ("FEED", 1, 2, -1), ("RAPID", 1, 2, 2)],
    )


def test_pecks_that_divide_the_depth_but_for_a_rounding_end_at_the_bottom(track_of: TrackOf) -> None:
    # 3 · 0.1 is more than 0.3 in binary.
    track = track_of("G83 G99 X1 Z0 R0.3 Q0.1")
    assert [z for kind, _, _, z in moves(track) if kind == "FEED"] == pytest.approx(
        [0.2, 0.1, 0.0], abs=1e-12
    )


def test_a_peck_of_less_than_the_clearance_never_rises_above_r(track_of: TrackOf) -> None:
    track = track_of("G83 G99 X1 Z1.6 R2 Q0.2")
    assert track.complaints == ()
    assert max(z for _, _, _, z in moves(track)) == 2.0


def test_below_r_it_rises_first_and_only_once(track_of: TrackOf) -> None:
    assert_moves(
        track_of("G81 G98 X4 Z1 R5"),
        [("RAPID", 1, 2, 5), ("RAPID", 4, 2, 5), ("FEED", 4, 2, 1), ("RAPID", 4, 2, 5)],
    )


def test_what_a_line_leaves_out_stays(track_of: TrackOf) -> None:
    whole = "G83 G99 X4 Y5 Z1 R2 Q0.7\nG83 X5 Y5 Z1 R2 Q0.7\nG83 X5 Y6 Z1.5 R2.5 Q0.7\nG81 X6 Y6 Z0 R2.5"
    short = "G83 G99 X4 Y5 Z1 R2 Q0.7\nX5\nY6 Z1.5 R2.5\nG81 X6 Z0"  # R stays from one cycle to another
    assert_moves(track_of(short), moves(track_of(whole)))


def test_in_g91_r_counts_on_every_line_from_where_it_stands(track_of: TrackOf) -> None:
    # NISTIR 6556 3.5.16, from memory: the numbers stay, and each line adds them to the position that it finds.
    assert_moves(
        track_of("G91 G81 G99 X1 Z-1 R1\nX1"),
        [
            ("RAPID", 1, 2, 4),
            ("RAPID", 2, 2, 4),
            ("FEED", 2, 2, 3),
            ("RAPID", 2, 2, 4),
            ("RAPID", 2, 2, 5),
            ("RAPID", 3, 2, 5),
            ("FEED", 3, 2, 4),
            ("RAPID", 3, 2, 5),
        ],
    )


def test_l_is_for_its_line_only(track_of: TrackOf) -> None:
    track = track_of("G91 G81 G99 X1 Z-1 R0 L2\nX1")
    assert [x for kind, x, _, _ in moves(track) if kind == "FEED"] == [2.0, 3.0, 4.0]


def test_l_in_absolute_drills_the_same_hole_again(track_of: TrackOf) -> None:
    track = track_of("G81 G99 X4 Z1 R2 L2")
    assert [(x, z) for kind, x, _, z in moves(track) if kind == "FEED"] == [(4.0, 1.0)] * 2


@pytest.mark.parametrize("line", ["F50", "M8", "G4 P1", "(CHIPS?)", "G98", "G80", "S500"])
def test_a_line_without_axis_words_drills_nothing(track_of: TrackOf, line: str) -> None:
    track = track_of(f"G81 G99 X4 Z1 R2\n{line}")
    assert track.complaints == ()
    assert [kind for kind in track.kind.tolist() if kind == Kind.FEED] == [Kind.FEED]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "G18 G81 G99 X4 Z5 Y-1 R1",
            [("RAPID", 4, 2, 5), ("RAPID", 4, 1, 5), ("FEED", 4, -1, 5), ("RAPID", 4, 1, 5)],
        ),
        (
            "G19 G81 G98 Y4 Z5 X0 R0.5",
            [("RAPID", 1, 4, 5), ("RAPID", 0.5, 4, 5), ("FEED", 0, 4, 5), ("RAPID", 1, 4, 5)],
        ),
    ],
)
def test_in_other_planes_the_upright_axis_is_drilled(
    track_of: TrackOf, line: str, expected: list[Move]
) -> None:
    assert_moves(track_of(line), expected)


def test_seconds_of_waiting_are_no_lengths(track_of: TrackOf) -> None:
    track = track_of("G82 G99 X4 Z1 R2 P0.5\nX5", before=INCHES)
    assert track.dwell[track.dwell != 0.0].tolist() == [0.5, 0.5]


def test_a_peck_that_would_be_a_rounding_is_none(track_of: TrackOf) -> None:
    """2.1 / 0.7 is more than 3 in binary: the third peck is the bottom, and is gone to once."""
    found = moves(track_of("G83 G99 X1 Z0 R2.1 Q0.7"))
    assert [z for kind, _, _, z in found if kind == "FEED"] == pytest.approx([1.4, 0.7, 0.0], abs=1e-12)
    assert found[-1] == ("RAPID", 1.0, 2.0, 2.1)
    assert found[-2][0] == "FEED"


# Against a table of what each cycle does, evaluated over decimal fractions.

TENTHS = st.integers(-40, 40)
ABOVE = 0.254


def by_the_table(
    cycle: int, here: list[float], step: tuple[float, float], heights: tuple[float, float, float], times: int
) -> Iterator[Move]:
    """Yield the moves of an incremental cycle, as the standard's steps tell them, standing still or not."""
    clear, bottom, back = heights
    x, y = here[0], here[1]
    yield "RAPID", x, y, max(here[2], clear)
    for number in range(1, times + 1):
        x, y = here[0] + number * step[0], here[1] + number * step[1]
        yield "RAPID", x, y, math.nan  # whatever height it has
        yield "RAPID", x, y, clear
        if cycle == 83:
            depth = clear - 0.5
            while depth > bottom + 1e-6:
                yield "FEED", x, y, depth
                yield "RAPID", x, y, clear
                yield "RAPID", x, y, depth + ABOVE
                depth -= 0.5
        yield "FEED", x, y, bottom
        if cycle == 82:
            yield "DWELL", x, y, bottom
        yield "RAPID", x, y, back


def that_go_somewhere(steps: Iterator[Move], here: list[float]) -> list[Move]:
    done: list[Move] = []
    x, y, z = here
    for kind, to_x, to_y, to_z in steps:
        to_z = z if math.isnan(to_z) else to_z
        if kind == "DWELL" or max(abs(to_x - x), abs(to_y - y), abs(to_z - z)) > 1e-6:
            done.append((kind, to_x, to_y, to_z))
        x, y, z = to_x, to_y, to_z
    return done


@given(
    st.sampled_from([81, 82, 83]),
    st.sampled_from([98, 99]),
    st.tuples(TENTHS, TENTHS),
    TENTHS,
    st.integers(0, 40),
    st.integers(1, 4),
    st.sampled_from(["G90", "G91"]),
)
@settings(max_examples=150)
def test_cycles_do_what_the_table_says(
    cycle: int, mode: int, step: tuple[int, int], rise: int, depth: int, times: int, distance: str
) -> None:
    here = [1.0, 2.0, 3.0]
    dx, dy = (value / 10 for value in step)
    clear = here[2] + rise / 10
    bottom = clear - depth / 10
    back = max(clear, here[2]) if mode == 98 else clear
    more = {81: "", 82: " P1", 83: " Q0.5"}[cycle]
    begin = "G21 G90 G17\nF100\nG0 X1 Y2 Z3\n"
    if distance == "G91":
        line = f"G91 G{cycle} G{mode} X{dx:.1f} Y{dy:.1f} Z{-depth / 10:.1f} R{rise / 10:.1f} L{times}{more}"
        expected = by_the_table(cycle, here, (dx, dy), (clear, bottom, back), times)
    else:  # one hole a line; what stays is left out
        first = f"G90 G{cycle} G{mode} X{1 + dx:.1f} Y{2 + dy:.1f} Z{bottom:.1f} R{clear:.1f}{more}\n"
        # In G98 the height before the cycle is, from the second line on, the one to which the first returned.
        line = first + "".join(
            f"X{1 + number * dx:.1f} Y{2 + number * dy:.1f}\n" for number in range(2, times + 1)
        )
        expected = by_the_table(cycle, here, (dx, dy), (clear, bottom, back), times)
    track = read(f"{begin}{line}\nM30\n", PLAIN)
    assert_moves(track, that_go_somewhere(expected, here))
