"""Taking up backlash: worked by hand, and by a screw and nut that are followed step by step."""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.plan.cuts import Cut, beginning, cut_along, mirrored
from polypocket.plan.take_up import take_up_from
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.stroke import Line

SQUARE = rectangle_outline(40.0, 40.0)
RADIUS = 5.0


@dataclass
class Nut:
    """A nut on a screw with play: it stays where it is until the screw has crossed the gap."""

    gap: float
    at: float = 0.0

    def drive(self, screw: float) -> None:
        self.at = min(max(self.at, screw - self.gap), screw)

    def lag(self, screw: float) -> float:
        return screw - self.at


def cut_of(direction: float, climb: bool) -> Cut:
    """Two millimetres off a square, wherever it is furthest out."""
    cut = cut_along(1, 1, Line(direction, SQUARE.support(direction) - 2.0), SQUARE, RADIUS)
    return mirrored(cut) if climb else cut


def test_worked_by_hand() -> None:
    """Along X23 towards +Y: Y arrives from below by twice its play, X from the outside, which is +X."""
    cut = cut_of(0.0, climb=False)
    approach, _ = beginning(cut, RADIUS)
    x, y = take_up_from(cut, approach, (0.05, 0.1))
    assert x == pytest.approx(approach[0] + 0.1)
    assert y == pytest.approx(approach[1] - 0.2)


def test_no_play_no_detour() -> None:
    cut = cut_of(0.7, climb=True)
    approach, _ = beginning(cut, RADIUS)
    assert take_up_from(cut, approach, (0.0, 0.0)) == approach


@given(
    direction=st.floats(0.0, math.tau) | st.sampled_from([k * math.pi / 2.0 for k in range(4)]),
    play=st.tuples(st.floats(0.001, 0.3), st.floats(0.001, 0.3)),
    climb=st.booleans(),
    before=st.tuples(st.floats(-1.0, 2.0), st.floats(-1.0, 2.0)),
)
def test_both_screws_lie_on_one_flank_during_the_cut(
    direction: float, play: tuple[float, float], climb: bool, before: tuple[float, float]
) -> None:
    cut = cut_of(direction, climb)
    approach, start = beginning(cut, RADIUS)
    first = take_up_from(cut, approach, play)
    for axis in (0, 1):
        # Wherever in its play the nut was on arriving at the first point.
        lag = min(max(before[axis], 0.0), 1.0) * play[axis]
        nut = Nut(play[axis], first[axis] - lag)
        lags = []
        for point in (approach, start, cut.contact, cut.path[0].to):
            nut.drive(point[axis])
            lags.append(nut.lag(point[axis]))
        moves = cut.path[0].to[axis] - cut.contact[axis]
        facing = -(math.cos(direction), math.sin(direction) * (-1.0 if climb else 1.0))[axis]
        towards = moves if abs(moves) > 0.01 else facing
        assert lags[2:] == pytest.approx([play[axis] if towards > 0.0 else 0.0] * 2, abs=1e-9)
