"""The fewest heights that a person sets, against every way of setting them on small blocks.

No source: the brute force below knows nothing of the plan but the job's own rules.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise
from random import Random

import pytest

from polypocket.errors import MistakesError
from polypocket.model.files import job_of_text, load_mill
from polypocket.model.mill import Mill
from polypocket.model.surroundings import KeepOut
from polypocket.plan import plan_block, program_of, strokes_of
from polypocket.plan.heights import cut_sections
from polypocket.program import Ask, Link, Pass, Program, UseCutter
from polypocket.shape.outline import rectangle_outline
from polypocket.shape.polygon import RegularPolygon
from tests.generation.small_block import small_block

#: Heights tried, in mm: finer than any that the jobs below name.
GRID = 0.5


@pytest.fixture(scope="module")
def mill() -> Mill:
    driven = load_mill("knee-mill-3-axis")
    z = driven.axes.z.model_copy(update={"driven": False})
    return driven.model_copy(update={"axes": driven.axes.model_copy(update={"z": z})})


def least_heights(depths: list[int], stepdown: int | None, skin: bool) -> int:
    """Return the fewest heights that cut a block, found by trying all.

    The floor is zones, one outside each section's wall, the last one outside them all; each is a column that goes down
    to its own depth. At a height any of the columns may be cut that are not that deep and have no more than a stepdown
    above it. Where ``skin``, the last column is no thicker than the allowance, and one finishing cut takes it whole.
    """
    target = tuple(float(depth) for depth in depths)
    heights = [GRID * k for k in range(1, round(max(depths) / GRID) + 1)]
    reached: set[tuple[float, ...]] = {(0.0,) * len(depths)}
    count = 0
    while target not in reached:
        count += 1
        reached = {
            after
            for before in reached
            for height in heights
            for after in _cut(before, height, target, stepdown, skin)
        }
    return count


def _cut(
    before: tuple[float, ...], height: float, target: tuple[float, ...], stepdown: int | None, skin: bool
) -> Iterator[tuple[float, ...]]:
    """Yield what may come of a height: any of the columns that may be cut there are."""
    last = len(target) - 1
    may = [
        zone
        for zone in range(len(target))
        if before[zone] < height <= target[zone]
        and (stepdown is None or height - before[zone] <= stepdown or (skin and zone == last))
    ]
    for count in range(1, len(may) + 1):
        for chosen in combinations(may, count):
            yield tuple(height if zone in chosen else depth for zone, depth in enumerate(before))


def heights_set(program: Program) -> list[float]:
    """Return the heights below the stock's top that a program asks for, each time that it does."""
    return [
        item.value
        for item in program.setups[0].items
        if isinstance(item, Ask) and item.kind == "height" and item.value is not None and item.value < 0.0
    ]


@pytest.mark.parametrize("seed", range(40))
def test_no_way_has_fewer_heights(seed: int, mill: Mill) -> None:
    random = Random(seed)
    depths = sorted(random.sample(range(1, 10), random.choice((1, 2, 2, 3))))
    stepdown = random.choice((None, 1, 2, 3, 4, 5))
    program = plan_block(job_of_text(small_block(depths, stepdown, 0.2), "small.toml"), mill)
    found = heights_set(program)
    assert len(found) == least_heights(depths, stepdown, skin=False), (depths, stepdown, found)
    assert len(set(found)) == len(found)


@pytest.mark.parametrize(("depth", "stepdown"), [(9, 2), (7, 3), (5, None)])
def test_a_skin_is_taken_at_one_height(depth: int, stepdown: int | None, mill: Mill) -> None:
    """Of 0.1 mm on each side nothing is roughed where 0.2 mm is left for finishing."""
    program = plan_block(
        job_of_text(small_block([depth], stepdown, 0.2, last_across=49.8), "small.toml"), mill
    )
    assert len(heights_set(program)) == least_heights([depth], stepdown, skin=True) == 1


def test_sections_with_one_wall_are_cut_at_one_height(mill: Mill) -> None:
    """A square below one of the same size has no floor above it."""
    text = small_block([4, 9], None, 0.0)
    text = text.replace("across_flats = 34.0", "across_flats = 40.0")
    job = job_of_text(text, "small.toml")
    assert cut_sections(
        [section.polygon() for section in job.sections], [(1, 2, 3, 4)] * 2, rectangle_outline(50.0, 50.0)
    ) == (1,)
    assert heights_set(plan_block(job, mill)) == [-9.0]


@pytest.mark.parametrize(
    ("upper", "lower", "floors"),
    [
        ((34.0, (1, 2, 3, 4)), (40.0, (1, 2, 3, 4)), (0, 1)),
        ((40.0, (1, 2, 3, 4)), (40.0, (1, 2)), (0, 1)),  # flats 3 and 4 of the upper one stand on the stock
        ((40.0, (1, 2)), (40.0, (1, 2, 3, 4)), (1,)),
        (
            (40.0 - 0.00018, (1, 2, 3, 4)),
            (40.0, (1, 2, 3, 4)),
            (1,),
        ),  # less than 0.0001 to take off a flat is nothing
        ((40.0 - 0.00022, (1, 2, 3, 4)), (40.0, (1, 2, 3, 4)), (0, 1)),
        ((40.0, (1, 2, 3, 4)), (50.0, (1, 2, 3, 4)), (0,)),  # as large as the stock
    ],
)
def test_which_sections_have_a_floor(
    upper: tuple[float, tuple[int, ...]], lower: tuple[float, tuple[int, ...]], floors: tuple[int, ...]
) -> None:
    """Squares of some width in a square of 50 mm, and the flats that are cut of each."""
    polygons = [RegularPolygon.from_across_flats(4, across) for across, _ in (upper, lower)]
    stock = rectangle_outline(50.0, 50.0)
    assert cut_sections(polygons, [upper[1], lower[1]], stock) == floors


def test_a_worked_program(mill: Mill) -> None:
    """Sections 9 and 21 mm deep with steps of at most 10.5 mm: 9, then half way, then 21; worked by hand."""
    job = job_of_text(small_block([9, 21], 11, 0.2), "small.toml")
    program = plan_block(job, mill)
    assert heights_set(program) == [-9.0, -15.0, -21.0]
    finishes = [item for item in program.setups[0].items if isinstance(item, Pass) and item.role == "finish"]
    assert {(item.feature, item.level) for item in finishes} == {("section 1", -9.0), ("section 2", -21.0)}


def test_nothing_names_a_height_but_what_a_person_sets(mill: Mill) -> None:
    program = plan_block(job_of_text(small_block([3, 6], 2, 0.2), "small.toml"), mill)
    for item in program.setups[0].items:
        moves = (
            item.moves if isinstance(item, Link)
            else (*item.lead_in, *item.cut, *item.lead_out) if isinstance(item, Pass)
            else ()
        )  # fmt: skip
        assert all(move.to.z is None for move in moves)


def test_it_begins_above_everything_and_can_begin_at_any_pass(mill: Mill) -> None:
    job = job_of_text(small_block([3, 6], 2, 0.2), "small.toml")
    strokes = strokes_of(job, mill)
    for first in (1, len(strokes) // 2, len(strokes)):
        cutter, height, *_ = program_of(job, mill, strokes, range(first, len(strokes) + 1)).setups[0].items
        assert isinstance(cutter, UseCutter) and cutter.by_hand
        assert isinstance(height, Ask) and height.kind == "height" and height.value == 25.0


def test_over_the_top_where_there_is_no_way_round(mill: Mill) -> None:
    """A box beside each corner of the stock leaves no way from one flat to the next: raise, cross, set again."""
    job = job_of_text(small_block([5], None, 0.0), "small.toml")
    x, y, z = mill.work_offsets["G54"]
    spans = ((-60.0, -33.0), (33.0, 60.0))
    boxes = [
        KeepOut.model_construct(name="box", x=(x + a, x + b), y=(y + c, y + d), z=(z - 40.0, z + 1.0))
        for a, b in spans
        for c, d in spans
    ]
    free, shut = plan_block(job, mill), plan_block(job, mill.model_copy(update={"keep_out": tuple(boxes)}))
    assert len(heights_set(free)) == 1
    asked = [item.value for item in shut.setups[0].items if isinstance(item, Ask) and item.kind == "height"]
    # Where both flats beside a corner are cut the way is free again, and is taken.
    flats = [item.flat for item in shut.setups[0].items if isinstance(item, Pass)]
    changes = sum(a != b for a, b in pairwise(flats))
    assert 3 < len(heights_set(shut)) < 1 + changes
    assert asked == [25.0, -5.0] + [2.0, -5.0] * (len(heights_set(shut)) - 1)


def test_stock_that_has_every_section_already_wants_no_height(mill: Mill) -> None:
    """A square as large as its stock: there is nothing to cut, and nothing to set."""
    job = job_of_text(small_block([9], None, 0.0, last_across=49.0), "job.toml")
    (square,) = job.sections
    same = job.model_copy(update={"sections": (square.model_copy(update={"across_flats": 50.0}),)})
    assert strokes_of(same, mill) == ()
    with pytest.raises(MistakesError, match="there is nothing to cut"):
        job_of_text(small_block([9], None, 0.0, last_across=50.0), "job.toml")
