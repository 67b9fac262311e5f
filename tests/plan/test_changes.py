"""Changes of the cutter: where, in which state, and as few as there can be."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan import plan_block, program_of, strokes_of
from polypocket.program import Item, Link, Pass, Point, Rapid, Spindle, UseCutter

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "fixtures" / "jobs" / "sluice_key.toml").read_text(encoding="utf-8")


@pytest.fixture
def key() -> BlockJob:
    """The hexagon with cutter 1, and the square above it with cutter 2, which stands out 6 mm further."""
    return job_of_text(TEXT, "sluice_key")


@pytest.fixture
def knee_mill() -> Mill:
    return load_mill("knee-mill-3-axis")


@pytest.fixture
def changer() -> Mill:
    return load_mill(ROOT / "fixtures" / "mills" / "changer.toml")


def items(job: BlockJob, mill: Mill) -> tuple[Item, ...]:
    return plan_block(job, mill).setups[0].items


def around(found: tuple[Item, ...], number: int) -> tuple[Item, UseCutter, Item]:
    """What stands before a cutter, the cutter, and what stands after it."""
    at = next(i for i, item in enumerate(found) if isinstance(item, UseCutter) and item.number == number)
    cutter = found[at]
    assert isinstance(cutter, UseCutter)
    return found[at - 1], cutter, found[at + 1]


def test_by_hand_with_a_still_spindle_and_touched_off_anew(key: BlockJob, knee_mill: Mill) -> None:
    found = items(key, knee_mill)
    before, cutter, after = around(found, 2)
    assert before == Spindle(0.0)
    assert cutter == UseCutter(2, 8.0, None, by_hand=True, touch_off=True)
    assert after == Link((Rapid(Point(z=25.0)),))  # off the work before it turns
    assert found[found.index(cutter) + 2] == Spindle(1500.0)
    assert [item.number for item in found if isinstance(item, UseCutter)] == [1, 2]


def test_by_the_control_with_the_length_it_keeps(key: BlockJob, changer: Mill) -> None:
    _, cutter, _ = around(items(key, changer), 2)
    assert cutter == UseCutter(2, 8.0, 2, by_hand=False, touch_off=False)


def test_where_the_mill_file_says(key: BlockJob, changer: Mill) -> None:
    """At X380 Y-20 Z0 of the machine, from a work zero at X380 Y-180 Z-95 with cutter 1: 160 back and 95 up."""
    found = items(key, changer)
    at = found.index(next(item for item in found if isinstance(item, UseCutter) and item.number == 2))
    way = found[at - 2]
    assert way == Link((Rapid(Point(z=95.0)), Rapid(Point(0.0, 160.0))))


def test_straight_up_where_it_says_nothing(key: BlockJob, changer: Mill) -> None:
    changer = changer.model_copy(update={"tool_change": changer.tool_change.model_copy(update={"at": None})})
    found = items(key, changer)
    at = found.index(next(item for item in found if isinstance(item, UseCutter) and item.number == 2))
    assert found[at - 2] == Link((Rapid(Point(z=95.0)),))


def test_a_longer_cutter_comes_up_less_far(key: BlockJob, changer: Mill) -> None:
    """Cutter 2 stands out 6 mm further: with its tip on the zero the spindle is 6 mm higher, and 89 are left."""
    order = TEXT.replace("depth = 10.0", "depth = 4.5").replace("depth = 4.0", "depth = 10.0")
    order = order.replace("across_flats = 33.0", "across_flats = 19.0").replace(
        "across_flats = 20.0", "across_flats = 24.0"
    )
    found = items(job_of_text(order, "turned round"), changer)
    numbers = [item.number for item in found if isinstance(item, UseCutter)]
    ways = [
        item.moves[0] for item in found if isinstance(item, Link) and Rapid(Point(0.0, 160.0)) in item.moves
    ]
    heights = {1: 95.0, 2: 89.0}
    assert ways == [Rapid(Point(z=heights[numbers[0]]))]


def test_no_change_more_than_cutters(knee_mill: Mill) -> None:
    """Four sections, cutters taking turns: cut in any order but so that each cutter comes in once."""
    sections = "".join(
        f"[[sections]]\nsides = 4\nacross_flats = {27.0 - 2.0 * i}\ndepth = {8.0 - 2.0 * i}\ncutter = {1 + i % 2}\n\n"
        for i in range(4)
    )
    begin, end = TEXT.index("[[sections]]"), TEXT.index("[[cutters]]")
    job = job_of_text(TEXT[:begin] + sections + TEXT[end:], "four")
    numbers = [item.number for item in items(job, knee_mill) if isinstance(item, UseCutter)]
    assert sorted(numbers) == [1, 2]


def test_each_section_with_its_own(key: BlockJob, knee_mill: Mill) -> None:
    cutter = 0
    for item in items(key, knee_mill):
        if isinstance(item, UseCutter):
            cutter = item.number
        elif isinstance(item, Pass):
            assert cutter == {"section 1": 1, "section 2": 2}[item.feature]
            assert {move.rate for move in item.cut} == {{1: 300.0, 2: 120.0}[cutter]}  # type: ignore[union-attr]


def test_started_again_with_the_cutter_that_was_in(key: BlockJob, knee_mill: Mill) -> None:
    strokes = strokes_of(key, knee_mill)
    number = next(i for i, stroke in enumerate(strokes, start=1) if stroke.cutter == 2) + 1
    program = program_of(key, knee_mill, strokes, range(number, len(strokes) + 1))
    found = program.setups[0].items
    assert found[0] == UseCutter(2, 8.0, None, by_hand=True, touch_off=True)
    assert found[1:3] == (Link((Rapid(Point(z=25.0)),)), Spindle(1500.0))
    assert next(item.number for item in found if isinstance(item, Pass)) == number
