"""Changes of the cutter: where, in which state, and as few as there can be."""

from __future__ import annotations

from pathlib import Path

import pytest

from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.surroundings import TableTop
from polypocket.plan import plan_block, program_of, strokes_of
from polypocket.plan.changes import change_of_cutter, change_seconds, first_cutter, highest_tip
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


def changed(
    mill: Mill, at: tuple[float, float, float] | None, z: tuple[float, float], **changes: object
) -> Mill:
    """The mill with another place of the cutter change and another travel in Z."""
    ends = {"z": mill.axes.z.model_copy(update={"low": z[0], "high": z[1]})}
    axes = mill.axes.model_copy(update=ends)
    place = mill.tool_change.model_copy(update={"at": at})
    return mill.model_copy(update={"axes": axes, "tool_change": place, **changes})


def test_how_high_a_tip_can_be(key: BlockJob, changer: Mill) -> None:
    """Z from -180 to 20, the zero at -95: 115 for cutter 1, and 6 less for cutter 2.

    Where the zero is not known, or means nothing, 200 of travel less 10 to the deepest floor, with the spindle 6 higher
    for cutter 2 there: 184. On a table at -200 the jaws' top is 120 above it, and 24 - 10 of the stock above that: the
    zero is at -66, and 86 are left.
    """
    mill = changed(changer, None, (-180.0, 20.0))
    one, two = key.cutters
    assert [highest_tip(key, each, mill) for each in (one, two)] == [115.0, 109.0]
    adrift, unhomed = mill.model_copy(update={"work_offsets": {}}), mill.model_copy(update={"homed": False})
    for each in (adrift, unhomed):
        assert [highest_tip(key, cutter, each) for cutter in (one, two)] == [184.0, 184.0]
    in_vise = key.model_copy(
        update={"clamping": key.clamping.model_copy(update={"grip": "vise", "held": 10.0})}
    )
    table = TableTop(x=(0.0, 760.0), y=(-360.0, 0.0), z=-200.0)
    on_table = adrift.model_copy(update={"table": table})
    assert [highest_tip(in_vise, each, on_table) for each in (one, two)] == [86.0, 80.0]
    assert (
        highest_tip(in_vise, one, mill.model_copy(update={"table": table})) == 115.0
    )  # what is set goes first


@pytest.mark.parametrize(
    ("at", "z", "high"),
    [
        ((380.0, -20.0, -30.0), (-180.0, 0.0), 65.0),  # 95 - 30
        ((380.0, -20.0, -30.0), (-180.0, 20.0), 65.0),  # the same place, whatever is left above it
        ((380.0, -20.0, -90.0), (-180.0, 0.0), 31.0),  # 5 over the zero is too low for the next cutter
        (None, (-180.0, 0.0), 95.0),
        (None, (-180.0, -70.0), 31.0),  # Z goes up to 25 only: then the dry run says that there is no room
    ],
)
def test_how_far_up_for_a_change(
    key: BlockJob, changer: Mill, at: tuple[float, float, float] | None, z: tuple[float, float], high: float
) -> None:
    """From cutter 1 to cutter 2: as high as the mill file says, yet so high that the longer one is at 25 then."""
    one, two = key.cutters
    across = () if at is None else (Rapid(Point(0.0, 160.0)),)
    assert list(change_of_cutter(key, one, two, changed(changer, at, z), 2.0, 25.0)) == [
        Link((Rapid(Point(z=high)), *across)),
        Spindle(0.0),
        UseCutter(2, 8.0, 2, by_hand=False, touch_off=False),
        Spindle(1500.0),
    ]


@pytest.mark.parametrize(
    "unknown", [{"work_offsets": {}}, {"homed": False}, {"work_offsets": {}, "homed": False}]
)
def test_straight_up_where_nobody_knows_where_the_zero_is(
    key: BlockJob, changer: Mill, unknown: dict[str, object]
) -> None:
    """So high that the new cutter is at 25: 31 for the one that is 6 longer, 19 for the shorter one; 30 to cross."""
    mill = changer.model_copy(update=unknown)
    one, two = key.cutters

    def ways(before: int, after: int, crossing: float) -> Item:
        cutters = {1: one, 2: two}
        return next(iter(change_of_cutter(key, cutters[before], cutters[after], mill, crossing, 25.0)))

    assert ways(1, 2, 2.0) == Link((Rapid(Point(z=31.0)),))
    assert ways(2, 1, 2.0) == Link((Rapid(Point(z=19.0)),))
    assert ways(2, 1, 30.0) == Link((Rapid(Point(z=30.0)),))


@pytest.mark.parametrize("automatic", [False, True])
@pytest.mark.parametrize("keeps_lengths", [False, True])
@pytest.mark.parametrize("cutters", [1, 2])
def test_how_the_first_cutter_comes_in(
    key: BlockJob, changer: Mill, automatic: bool, keeps_lengths: bool, cutters: int
) -> None:
    """One of several is touched off where no lengths are kept; a changer that knows the only one's height goes up."""
    change = changer.tool_change.model_copy(update={"automatic": automatic})
    mill = changer.model_copy(update={"tool_change": change, "length_offset": keeps_lengths})
    job = key.model_copy(update={"cutters": key.cutters[:cutters]})
    up = Link((Rapid(Point(z=25.0)),))
    touch_off = cutters == 2 and not keeps_lengths
    use = UseCutter(1, 12.0, 1 if keeps_lengths else None, by_hand=not automatic, touch_off=touch_off)
    before = [up] if automatic and not keeps_lengths and cutters == 1 else []
    after = [up] if touch_off else []
    found = list(first_cutter(job, job.cutters[0], mill, 25.0))
    assert found == [*before, use, *after, Spindle(3000.0)]


def test_a_person_takes_longer_than_a_changer(knee_mill: Mill, changer: Mill) -> None:
    assert 0.0 < change_seconds(changer) < change_seconds(knee_mill)
