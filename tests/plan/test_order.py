"""The order of sections against trying every one of them."""

from __future__ import annotations

from itertools import permutations
from random import Random

import pytest

from polypocket.plan.order import MOST_COMPARED, quickest_order

#: A stage that is known by what it depends on: the section, the one done above it and the one done below it.
Key = tuple[int, int | None, int | None]


def stages_of(order: tuple[int, ...]) -> list[Key]:
    stages: list[Key] = []
    for i, section in enumerate(order):
        above = [other for other in order[:i] if other < section]
        below = [other for other in order[:i] if other > section]
        stages.append((section, max(above, default=None), min(below, default=None)))
    return stages


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("seed", range(10))
def test_no_order_is_quicker(count: int, seed: int) -> None:
    random = Random(f"{count}/{seed}")
    cost: dict[Key, float] = {}

    def seconds(key: Key) -> float:
        return cost.setdefault(key, random.uniform(1.0, 100.0))

    chosen = quickest_order(list(range(count)), lambda *key: key, seconds)
    totals = {order: sum(map(seconds, stages_of(order))) for order in permutations(range(count))}
    taken = tuple(section for section, _, _ in chosen)
    assert chosen == stages_of(taken)
    assert totals[taken] == pytest.approx(min(totals.values()))


def test_many_sections_are_cut_from_one_end() -> None:
    count = MOST_COMPARED + 2
    for deepest_first in (True, False):
        chosen = quickest_order(
            list(range(count)),
            lambda *key: key,
            lambda key, deep=deepest_first: 1.0 if (key[2] is None) != deep else 2.0,
        )
        taken = [section for section, _, _ in chosen]
        assert taken == sorted(taken, reverse=deepest_first)
