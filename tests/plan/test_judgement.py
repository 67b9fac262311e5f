"""The second way itself: a plan that has been spoilt is told, and for what."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.program import Arc, Feed, Item, Link, Pass, Point, Program, Rapid
from tests.plan.judgement import faults_of

Planned = tuple[BlockJob, Mill, Program]

#: Spoils one item of a program.
Spoil = Callable[[Item], Item]


def kinds(planned: Planned, items: list[Item]) -> set[str]:
    job, mill, program = planned
    (setup,) = program.setups
    spoilt = program._replace(setups=(setup._replace(items=tuple(items)),))
    return {fault.split(":")[0] for fault in faults_of(spoilt, job, mill)}


def passes_at(planned: Planned, role: str) -> list[int]:
    return [
        i for i, item in enumerate(planned[2].setups[0].items) if isinstance(item, Pass) and item.role == role
    ]


def moved(to: Point, x: float, y: float) -> Point:
    return Point(None if to.x is None else to.x + x, None if to.y is None else to.y + y, to.z)


def test_a_pass_left_out(planned: Planned) -> None:
    items = list(planned[2].setups[0].items)
    del items[passes_at(planned, "finish")[-1]]
    assert "left" in kinds(planned, items)


@pytest.mark.parametrize("out", [-0.02, 0.02])
def test_a_pass_beside_its_line(planned: Planned, out: float) -> None:
    """The last finishing pass as a whole, moved towards the centre or away from it."""
    items = list(planned[2].setups[0].items)
    at = passes_at(planned, "finish")[-1]
    last = items[at]
    assert isinstance(last, Pass)
    to = last.cut[0].to if isinstance(last.cut[0], Feed | Arc) else Point()
    outwards = ((to.x or 0.0), (to.y or 0.0))
    size = (outwards[0] ** 2 + outwards[1] ** 2) ** 0.5
    x, y = outwards[0] * out / size, outwards[1] * out / size

    def shifted(move: Feed | Arc) -> Feed | Arc:
        if isinstance(move, Arc):
            return move._replace(to=moved(move.to, x, y), centre=(move.centre[0] + x, move.centre[1] + y))
        return move._replace(to=moved(move.to, x, y))

    items[at] = replace(
        last,
        lead_in=tuple(shifted(move) for move in last.lead_in if isinstance(move, Feed | Arc)),
        cut=tuple(shifted(move) for move in last.cut if isinstance(move, Feed | Arc)),
    )
    assert ("gouge" if out < 0.0 else "left") in kinds(planned, items)


def test_a_link_through_the_block(planned: Planned) -> None:
    items = list(planned[2].setups[0].items)
    at = passes_at(planned, "rough")[3]
    items.insert(at, Link((Rapid(Point(0.0, 0.0)),)))
    assert "contact" in kinds(planned, items)


def test_a_lead_in_that_begins_in_material(planned: Planned) -> None:
    items = list(planned[2].setups[0].items)
    at = passes_at(planned, "rough")[0]
    first = items[at]
    assert isinstance(first, Pass)
    items[at] = replace(first, lead_in=(*first.lead_in, *first.cut), cut=())
    assert "contact" in kinds(planned, items)


def test_the_wrong_side(planned: Planned) -> None:
    items = [
        replace(item, side="right" if item.side == "left" else "left") if isinstance(item, Pass) else item
        for item in planned[2].setups[0].items
    ]
    assert "side" in kinds(planned, items)


def test_a_strip_left_out_makes_the_next_one_too_wide(planned: Planned) -> None:
    """The first two strips, so that whatever comes next along a flat meets what they should have taken."""
    items = list(planned[2].setups[0].items)
    for at in passes_at(planned, "rough")[:2][::-1]:
        del items[at]
    assert kinds(planned, items) & {"width", "contact"}


def test_a_level_left_out_makes_the_next_one_too_high(planned: Planned) -> None:
    items = list(planned[2].setups[0].items)
    heights = [item.level for item in items if isinstance(item, Pass)]
    features = [item.feature for item in items if isinstance(item, Pass)]
    deep = [z for z, feature in zip(heights, features, strict=True) if feature == features[0]]
    assert min(deep) < max(deep), (
        "the section that is cut first has one level, so that this test is of no use"
    )
    kept = [item for item in items if not (isinstance(item, Pass) and item.level == max(deep))]
    assert kinds(planned, kept) & {"height", "contact", "levels"}


def test_a_number_twice(planned: Planned) -> None:
    items = list(planned[2].setups[0].items)
    at = passes_at(planned, "rough")[1]
    second = items[at]
    assert isinstance(second, Pass)
    items[at] = replace(second, number=1)
    assert "numbers" in kinds(planned, items)


def test_an_arc_that_is_no_circle(planned: Planned) -> None:
    job, mill, program = planned
    items = list(program.setups[0].items)
    at = passes_at(planned, "rough")[0]
    first = items[at]
    assert isinstance(first, Pass)
    to = first.cut[-1].to if isinstance(first.cut[-1], Feed | Arc) else Point()
    items[at] = replace(first, cut=(Arc(to, (0.0, 0.0), False, 0, 100.0),))
    with pytest.raises(AssertionError, match="no circle"):
        kinds((job, mill, program), items)
