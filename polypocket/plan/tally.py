"""What a program's passes add up to."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from polypocket.program import Arc, Feed, Move, Pass, Program

__all__ = ["Tally", "tally_of"]


class Tally(NamedTuple):
    """The passes of one feature and role.

    Attributes:
        feature: such as ``section 1``.
        role: ``rough`` or ``finish``.
        first, last: numbers of its first and last pass; sections may take turns, so that others' lie between.
        passes: how many.
        levels: their depths below the stock's top, mm, from the first down.
        cut_length: path from first contact to the end of each, mm.
        runs: first and last number of each run of passes that follow each other.
    """

    feature: str
    role: str
    first: int
    last: int
    passes: int
    levels: tuple[float, ...]
    cut_length: float
    runs: tuple[tuple[int, int], ...]


def tally_of(programs: Sequence[Program]) -> tuple[Tally, ...]:
    """Return the tallies of the passes of programs that follow each other, in the order in which they begin."""
    groups: dict[tuple[str, str], list[Pass]] = {}
    for program in programs:
        for setup in program.setups:
            for item in setup.items:
                if isinstance(item, Pass):
                    groups.setdefault((item.feature, item.role), []).append(item)
    return tuple(
        Tally(
            feature,
            role,
            passes[0].number,
            passes[-1].number,
            len(passes),
            tuple(sorted({-each.level for each in passes})),
            sum(_cut_length(each) for each in passes),
            tuple(_runs([each.number for each in passes])),
        )
        for (feature, role), passes in groups.items()
    )


def _runs(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield the first and last of each run of numbers without a gap."""
    first = last = numbers[0]
    for number in numbers[1:]:
        if number != last + 1:
            yield first, last
            first = number
        last = number
    yield first, last


def _cut_length(each: Pass) -> float:
    total, here = 0.0, _place(each.lead_in[-1])
    for move in each.cut:
        there = _place(move)
        if isinstance(move, Arc):
            radius = math.dist(here, move.centre)
            begin = math.atan2(here[1] - move.centre[1], here[0] - move.centre[0])
            end = math.atan2(there[1] - move.centre[1], there[0] - move.centre[0])
            total += radius * ((begin - end if move.clockwise else end - begin) % math.tau)
        else:
            total += math.dist(here, there)
        here = there
    return total


def _place(move: Move) -> tuple[float, float]:
    """Return where a move of a pass ends; an axis that a person has set stands still, and counts as 0."""
    if not isinstance(move, Feed | Arc) or move.to.x is move.to.y is None:
        raise ValueError(f"a pass of a block moves in X or Y, not by {move}")
    return move.to.x or 0.0, move.to.y or 0.0
