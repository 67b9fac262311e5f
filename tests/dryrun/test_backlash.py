"""Screws with play against the usual definition of a play operator (control textbooks, from memory)."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from polypocket.dryrun import backlash
from polypocket.dryrun.backlash import Play, moved, screws_of
from polypocket.dryrun.motions import Motion
from polypocket.reader import Kind

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

moves = st.lists(st.floats(-0.2, 0.2), max_size=20)


@given(moves, st.floats(0.0, 0.1))
def test_what_is_known_of_a_screw_holds_for_wherever_it_began(distances: list[float], begin: float) -> None:
    play = Play(0.1, 0.0, 0.1)
    for distance in distances:
        play = play.moved(distance)
        begin = min(max(begin + distance, 0.0), 0.1)
    assert play.low - 1e-12 <= begin <= play.high + 1e-12


def test_a_screw_is_taken_up_after_its_backlash_and_not_before() -> None:
    play = Play(0.1, 0.0, 0.1)
    assert not play.taken_up(1.0)
    assert not play.moved(0.09).taken_up(1.0)
    assert play.moved(0.1).taken_up(1.0)
    assert not play.moved(0.1).moved(-0.05).taken_up(1.0)
    assert not play.moved(0.1).moved(-0.05).taken_up(-1.0)
    assert play.moved(0.1).moved(-0.1).taken_up(-1.0)


def test_a_line_along_an_axis_may_lean_by_rounding(shop: Shop) -> None:
    # up along X 23 to X 23.008: X has been taken up inwards and does not have to turn round for some micrometres
    assert shop.run(shop.lines(l8="G1 X23.002 Y30."), shop.job()).findings == ()
    assert shop.run(shop.lines(l8="G1 X23.008 Y30."), shop.job()).findings == ()
    leaning = shop.run(shop.lines(l8="G1 X23.012 Y30."), shop.job())
    assert {finding.code for finding in leaning.findings} == {"backlash"}


def test_an_arc_turns_a_screw_round_at_its_quadrant() -> None:
    # half a turn from (10, 0) over (0, 10) to (-10, 0): Y goes up and comes down, X goes down all the way
    arc = Motion(
        0, 1, Kind.ARC_ANTICLOCKWISE, (10.0, 0.0, 0.0), (-10.0, 0.0, 0.0), (0.0, 0.0), 0, 100.0, 0.0, 1, False
    )
    after = moved(screws_of(0.1, 0.1), arc)
    assert after[0].taken_up(-1.0)
    assert after[1].taken_up(-1.0)
    assert moved(screws_of(0.1, 0.1), arc, 0.0, 0.5)[1].taken_up(1.0)


@given(
    st.lists(st.tuples(st.floats(-0.2, 0.2), st.floats(-0.2, 0.2)), max_size=4),
    st.tuples(st.floats(-0.3, 0.3), st.floats(-0.3, 0.3)),
    st.floats(-math.pi, math.pi),
    st.lists(st.floats(0.0, 1.0), min_size=3, max_size=3).map(sorted),
)
def test_what_does_not_lag_at_two_places_of_a_line_does_not_in_between(
    moves: list[tuple[float, float]], way: tuple[float, float], facing: float, shares: list[float]
) -> None:
    screws = screws_of(0.1, 0.05)
    for x, y in moves:
        screws = screws[0].moved(x), screws[1].moved(y)
    line = Motion(
        0, 1, Kind.FEED, (0.0, 0.0, 0.0), (*way, 0.0), (math.nan, math.nan), 0, 100.0, 0.0, 1, False
    )
    inwards = math.cos(facing), math.sin(facing)
    before, between, after = shares
    if backlash._does_not_lag(screws, line, inwards, before, after):
        play = moved(screws, line, 0.0, between)
        for axis in (0, 1):
            wanted = backlash._wanted(way[axis] - line.at(between)[axis], inwards[axis])
            assert not wanted or any(map(play[axis].taken_up, wanted.values()))


def test_a_place_that_is_not_known_takes_nothing_up() -> None:
    unknown = Motion(
        0, 1, Kind.RAPID, (math.nan,) * 3, (5.0, 5.0, 5.0), (math.nan, math.nan), 0, math.nan, 0.0, 1, False
    )
    assert moved(screws_of(0.1, 0.1), unknown) == screws_of(0.1, 0.1)


def test_the_message_names_flat_screw_and_backlash(shop: Shop) -> None:
    result = shop.run(shop.lines(l5="G0 X10. Y-40."), shop.job())
    assert [finding.code for finding in result.findings] == ["backlash"]
    assert result.findings[0].message == (
        "meets flat 1 of section 1 with the screw of X (0.050 mm of backlash) "
        "not taken up from the outside inwards"
    )
