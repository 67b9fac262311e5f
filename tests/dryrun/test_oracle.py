"""Gouges and leftovers against points near the flats: whether any stroke comes within the radius of them.

The points know nothing of polygons, slabs or tolerances. The place of one stroke is changed at random.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import numpy as np
import pytest
from numpy.typing import NDArray

from polypocket.dryrun.motions import motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.reader import Dialect, Kind, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

RADIUS = 5.0
CLEAR, TINY = 0.02, 0.001


def points_beside_the_flats(out: float) -> NDArray[np.float64]:
    """Points along the four flats of the square, ``out`` mm outside of them (inside where negative)."""
    along = np.linspace(-18.0 - out, 18.0 + out, 400)
    beyond = np.full_like(along, 18.0 + out)
    right = np.column_stack((beyond, along))
    top = np.column_stack((along, beyond))
    return np.concatenate((right, -right, top, -top))


def cut(points: NDArray[np.float64], text: str) -> NDArray[np.bool_]:
    """Which points are within the cutter's radius of a feed move at depth."""
    away = np.full(len(points), np.inf)
    for motion in motions_of(paths_of(read(text, Dialect(name="test")), "G54", {})):
        if motion.kind != Kind.FEED or motion.lowest >= 0.0:
            continue
        begin, end = np.array(motion.start[:2]), np.array(motion.end[:2])
        way = end - begin
        share = np.clip((points - begin) @ way / max(way @ way, 1e-12), 0.0, 1.0)
        away = np.minimum(away, np.hypot(*(points - begin - share[:, None] * way).T))
    return away < RADIUS


@pytest.mark.parametrize("seed", range(40))
def test_a_number_changed_at_random_is_judged_as_the_points_judge_it(shop: Shop, seed: int) -> None:
    random = np.random.default_rng(seed)
    words = list(re.finditer(r"(?<=^G1 )([XY])(-?23)\.", shop.program, re.MULTILINE))
    word = words[random.integers(len(words))]
    changed = float(word[2]) + random.choice([-1.0, 1.0]) * 10.0 ** random.uniform(-3.5, 0.5)
    text = f"{shop.program[: word.start()]}{word[1]}{changed:.4f}{shop.program[word.end() :]}"
    codes = {finding.code for finding in shop.run(text, shop.job()).findings}
    if cut(points_beside_the_flats(-CLEAR), text).any():
        assert "gouge" in codes
    if not cut(points_beside_the_flats(-TINY), text).any():
        assert "gouge" not in codes
    if not cut(points_beside_the_flats(CLEAR), text).all():
        assert "left-standing" in codes
    if cut(points_beside_the_flats(TINY), text).all():
        assert "left-standing" not in codes


def test_the_points_agree_with_the_clean_program(shop: Shop) -> None:
    assert cut(points_beside_the_flats(TINY), shop.program).all()
    assert not cut(points_beside_the_flats(-TINY), shop.program).any()
