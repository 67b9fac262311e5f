"""How long moves take, worked out from the trapezoid of speed: D/v + v/a, or 2·√(D/a) on short ways.

Formula: motion-profile textbook; the numbers are worked here by hand.
"""

from __future__ import annotations

import math

import pytest

from polypocket.cutting.time import Kinematics
from polypocket.plan.timing import items_seconds, seconds
from polypocket.program import Arc, Drill, Dwell, Feed, Link, Move, Point, Rapid, Spindle

INDEPENDENT = Kinematics((6000.0, 3000.0, 3000.0), (100.0, 100.0, 100.0), True, 1200.0)
STRAIGHT = Kinematics((6000.0, 3000.0, 3000.0), (100.0, 100.0, 100.0), False, 1200.0)
ORIGIN = (0.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("kinematics", "move", "expected"),
    [
        # X: 200 mm at 100 mm/s, 2 + 1 s. Y: 100 mm at 50 mm/s, 2 + 0.5 s; the axes need not arrive together.
        (INDEPENDENT, Rapid(Point(200.0, 100.0)), 3.0),
        # Straight: √5 · 100 mm, Y allows √5 · 50 mm/s along it, X an acceleration of √5/2 · 100 mm/s².
        (STRAIGHT, Rapid(Point(200.0, 100.0)), 2.0 + 1.0),
        # 20 mm/s is reached after 2 mm: 100/20 + 20/100.
        (INDEPENDENT, Feed(Point(100.0), 1200.0), 5.2),
        # 1 mm is too short to reach it: 2 · √(1/100).
        (INDEPENDENT, Feed(Point(1.0), 1200.0), 0.2),
        # A quarter of a circle of 10 mm: 15.708 mm at 10 mm/s, and 10/100.
        (INDEPENDENT, Arc(Point(10.0, 10.0), (0.0, 10.0), False, 0, 600.0), 5.0 * math.pi / 10.0 + 0.1),
        # The other way round it is three quarters.
        (INDEPENDENT, Arc(Point(10.0, 10.0), (0.0, 10.0), True, 0, 600.0), 15.0 * math.pi / 10.0 + 0.1),
        (INDEPENDENT, Dwell(1.5), 1.5),
        (INDEPENDENT, Rapid(Point()), 0.0),
    ],
)
def test_one_move(kinematics: Kinematics, move: Move, expected: float) -> None:
    assert seconds([move], ORIGIN, kinematics) == pytest.approx(expected)


def test_a_hole_is_pecked() -> None:
    """Two pecks of 2 mm at 1 mm/s (0.01 s of ramps each), the second from 0.254 mm above the first; 0.5 s below.

    At rapid up by 2 mm, back down by 1.746 mm, up by 4 mm; NISTIR 6556 (from memory) for the 0.254 mm.
    """
    hole = Drill((0.0, 0.0), 0.0, -4.0, 2.0, 0.5, 60.0)
    rapids = sum(2.0 * math.sqrt(length / 100.0) for length in (2.0, 1.746, 4.0))
    assert seconds([hole], ORIGIN, INDEPENDENT) == pytest.approx(2.01 + 2.264 + rapids + 0.5)


def test_items_go_on_from_where_the_last_one_ended() -> None:
    there, back = Feed(Point(100.0), 1200.0), Feed(Point(0.0), 1200.0)
    items = [Link((there,)), Spindle(0.0), Link((back, back))]
    assert items_seconds(items, ORIGIN, INDEPENDENT) == pytest.approx(2.0 * 5.2)
