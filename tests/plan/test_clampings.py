"""Several clampings: what each can reach, and the fewest against every way of sharing out the flats.

No source: the brute force knows nothing of windows or boxes; it plans and measures every set of flats at every setting.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from random import Random

import pytest

from polypocket.model.files import job_of_text, load_mill
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.plan.clampings import fewest_clampings, lines_up
from polypocket.plan.place import place_at
from polypocket.plan.some_flats import all_flats, strokes_of_some
from polypocket.plan.zero_again import touches
from tests.generation.small_block import small_block

SQUARE = small_block([6], None, 0.2, last_across=40.0)


def job_of(text: str, settings: str, **keys: object) -> BlockJob:
    """Return a job in a vise whose ways go over the top."""
    vise = f'grip = "vise"\njaws_along = "x"\nheld = 20.0\nswivel_settings = {settings}'
    text = text.replace('grip = "plate"', vise).replace(
        "stepover = 3.0", 'stepover = 3.0\napproach = "above"'
    )
    for key, value in keys.items():
        text = text.replace(f"{key} = ", f"{key} = {value} #", 1)
    return job_of_text(text, "job.toml")


def mill_of(x: float, y: float) -> Mill:
    """Return the bench mill with other lengths of travel and no work zero set."""
    mill = load_mill("bench-mill")
    axes = mill.axes.model_copy(
        update={
            "x": mill.axes.x.model_copy(update={"low": 0.0, "high": x}),
            "y": mill.axes.y.model_copy(update={"low": 0.0, "high": y}),
        }
    )
    return mill.model_copy(update={"axes": axes, "work_offsets": {}})


def least(job: BlockJob, mill: Mill) -> int | None:
    """Return the fewest clampings: step by step from the whole stock, every set of flats planned at every setting."""
    every = frozenset((section, flat) for section, flats in all_flats(job).items() for flat in flats)
    if any(fits(job, mill, swivel, every, frozenset()) for swivel in job.clamping.swivel_settings):
        return 1
    done = {frozenset[tuple[int, int]]()}
    for count in range(1, len(every) + 1):
        done = {
            before | frozenset(some)
            for before in done
            for some in subsets(every - before)
            for swivel in job.clamping.swivel_settings
            if fits(job, mill, swivel, frozenset(some), before, alone=False)
        }
        if every in done:
            return count
    return None


def subsets(flats: frozenset[tuple[int, int]]) -> Iterator[tuple[tuple[int, int], ...]]:
    for count in range(1, len(flats) + 1):
        yield from combinations(sorted(flats), count)


@cache
def by_section(flats: frozenset[tuple[int, int]]) -> dict[int, frozenset[int]]:
    return {number: frozenset(f for s, f in flats if s == number) for number in {s for s, _ in flats}}


def fits(
    job: BlockJob,
    mill: Mill,
    swivel: float,
    some: frozenset[tuple[int, int]],
    before: frozenset[tuple[int, int]],
    alone: bool = True,
) -> bool:
    strokes = strokes_of_some(job, mill, swivel, by_section(some), by_section(before))
    if not strokes:
        return False
    place = place_at(job, mill, swivel, strokes)
    found = touches(job, mill, swivel, place.zero, by_section(before))
    return place.fits and (alone or {touch.axis for touch in found} == {0, 1})


# 40 mm across of 50 mm, a cutter of 10 mm: a cut along a flat takes some 64 mm, from flat to flat across it is over 50.
@pytest.mark.parametrize("seed", range(14))
def test_no_way_has_fewer_clampings(seed: int) -> None:
    random = Random(seed)
    sides = random.choice((3, 4, 4, 5))
    across = {3: 20.0, 4: 40.0, 5: 38.0}[sides]
    job = job_of(SQUARE, random.choice(("[0]", "[0, 90]")), sides=sides, across_flats=across)
    mill = mill_of(random.uniform(60.0, 90.0), random.uniform(34.0, 80.0))
    wanted = least(job, mill)
    found = fewest_clampings(job, mill)
    count = None if found is None else len(found)
    if sides <= 4:
        assert count == wanted, (sides, mill.axes.x.high, mill.axes.y.high)
    else:  # not every way is tried: one more than the least is the worst that was seen
        assert wanted is None or count is not None
        assert count is None or (wanted is not None and wanted <= count <= wanted + 1)
    if found is not None:
        cut = [(s, f) for clamping in found for s, flats in clamping.flats.items() for f in flats]
        assert sorted(cut) == sorted((s, f) for s, flats in all_flats(job).items() for f in flats)


def test_every_number_of_clampings_occurs() -> None:
    job = job_of(SQUARE, "[0, 90]")
    counts = [len(fewest_clampings(job, mill_of(80.0, y)) or ()) for y in (70.0, 54.0, 40.0, 4.0)]
    assert counts[0] == 1 and counts[-1] == 0
    assert set(counts) >= {0, 1, 2}


def test_a_quarter_turn_instead_of_two_more_clampings() -> None:
    """Y is too short for a cut along it, and long enough for one flat each side: the vise is turned by a quarter.

    A flat that faces X is cut along Y, for which it takes 50 mm of stock, and 6 mm and more to come and go. With 40 mm
    only flats that face Y are cut, one a clamping; turned by 90° the two others.
    """
    job = job_of(SQUARE, "[0, 90]")
    found = fewest_clampings(job, mill_of(90.0, 40.0))
    assert found is not None
    assert {round(math.degrees(clamping.swivel)) for clamping in found} == {0, 90}
    for clamping in found:
        (flats,) = clamping.flats.values()
        turned = {round(math.degrees(clamping.swivel)) + 90 * (flat - 1) for flat in flats}
        assert turned <= {90, 270}
    assert fewest_clampings(job_of(SQUARE, "[0]"), mill_of(90.0, 40.0)) is None


def test_a_zero_that_is_set_stays() -> None:
    """With the zero in the middle of what is there, flats that reach too far one way are out of reach for good."""
    job = job_of(SQUARE, "[0, 90]")
    free = mill_of(90.0, 60.0)
    middle = free.model_copy(update={"work_offsets": {"G54": (45.0, 30.0, -100.0)}})
    assert fewest_clampings(job, free) is not None
    found = fewest_clampings(job, middle)
    assert found is None or all(clamping.place.region.holds((45.0, 30.0, -100.0)) for clamping in found)


@pytest.mark.parametrize(("held", "there"), [(27.9, True), (28.1, False)])
def test_a_face_is_touched_only_where_it_is_left(held: float, there: bool) -> None:
    """40 mm thick, flats 10 mm deep: 2.1 or 1.9 mm stand out between floor and jaws.

    Flat 1, towards +X, is cut: it can be touched itself, while the stock beyond it is left below it only. The sides
    that face ±Y still stand in the middle, up to the top.
    """
    job = job_of(small_block([10], 5, 0.0), "[0]")
    clamping = job.clamping.model_copy(update={"held": held})
    job = job.model_copy(update={"clamping": clamping})
    found = list(touches(job, mill_of(200.0, 200.0), 0.0, None, {1: frozenset((1,))}))
    assert {(touch.side, touch.flat) for touch in found} == {(0, 1), (1, None), (2, None), (3, None)} | (
        {(0, None)} if there else set()
    )


def test_settings_at_which_the_zero_can_be_found() -> None:
    square = job_of(SQUARE, "[0]")
    assert [lines_up(square, math.radians(degrees)) for degrees in (0, 90, -180, 30, 45)] == [
        True, True, True, False, False,
    ]  # fmt: skip
    text = SQUARE.replace('shape = "square"', 'shape = "round"').replace("width = 50.0", "diameter = 60.0")
    assert lines_up(job_of(text, "[0]"), math.radians(17.0))


def test_stock_is_what_the_clampings_before_have_left() -> None:
    """Flat 2 of a square from 50 mm: alone it is cut from end to end; with flat 1 gone its cuts begin 5 mm later."""
    job = job_of(SQUARE, "[0]")
    mill = mill_of(200.0, 200.0)
    whole = strokes_of_some(job, mill, 0.0, {1: frozenset((2,))}, {})
    after = strokes_of_some(job, mill, 0.0, {1: frozenset((2,))}, {1: frozenset((1,))})
    # Facing +Y it is cut towards −X, from the stock's edge at 25, or from where flat 1 has left 20.
    assert whole[0].cut.before.extents()[2] == pytest.approx(25.0)
    assert after[0].cut.before.extents()[2] == pytest.approx(20.0)
    assert whole[0].cut.contact[0] - after[0].cut.contact[0] == pytest.approx(5.0, abs=1e-6)


def test_levels_begin_at_the_top_beside_walls_that_still_stand() -> None:
    """Sections 4 and 8 mm deep in steps of 4: below a whole section one level, beside half of one two."""
    job = job_of(small_block([4, 8], 4, 0.0), "[0]")
    mill = mill_of(200.0, 200.0)
    every = frozenset((1, 2, 3, 4))

    def heights(wanted: dict[int, frozenset[int]], done: dict[int, frozenset[int]]) -> set[float]:
        strokes = strokes_of_some(job, mill, 0.0, wanted, done)
        return {stroke.level for stroke in strokes if stroke.feature == "section 2"}

    assert heights({2: every}, {1: every}) == {-8.0}
    assert heights({1: every, 2: every}, {}) == {-8.0}
    assert heights({2: frozenset((1,))}, {1: frozenset((1, 2))}) == {-4.0, -8.0}
