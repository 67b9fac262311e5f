"""What is removed, against another library for polygons and against plain arithmetic."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import pyclipper
import pytest

from polypocket.dryrun.material import heights_of, meets, remove, start
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import paths_of
from polypocket.dryrun.sweeps import Sweeper, share_below, sweep
from polypocket.dryrun.tiles import whole
from polypocket.dryrun.tolerances import HEIGHT
from polypocket.reader import Dialect, Kind, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

#: Units of the integers that pyclipper works in: 0.1 µm.
SCALE = 1e4


def motion(
    kind: Kind, begin: tuple[float, float, float], end: tuple[float, float, float], **other: object
) -> Motion:
    given = {"centre": (math.nan, math.nan), "turns": 0, "rate": 300.0, "rpm": 3000.0, "tool": 1}
    return Motion(0, 1, kind, begin, end, compensated=False, **given | other)


def left_by_pyclipper(text: str, half: float, radius: float) -> float:
    """Area of a square stock less what the feed moves at depth sweep, mm², by integer clipping."""
    offsets = pyclipper.PyclipperOffset(arc_tolerance=0.0002 * SCALE)
    track = read(text, Dialect(name="test"))
    for each in motions_of(paths_of(track, "G54", {"G54": (0.0, 0.0, 0.0)})):
        if each.kind == Kind.FEED and each.lowest < 0.0:
            line = [(round(x * SCALE), round(y * SCALE)) for x, y in (each.start[:2], each.end[:2])]
            offsets.AddPath(line, pyclipper.JT_ROUND, pyclipper.ET_OPENROUND)
    clipper = pyclipper.Pyclipper()
    corner = round(half * SCALE)
    square = [(corner, corner), (-corner, corner), (-corner, -corner), (corner, -corner)]
    clipper.AddPath(square, pyclipper.PT_SUBJECT, True)
    clipper.AddPaths(offsets.Execute(radius * SCALE), pyclipper.PT_CLIP, True)
    rest = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return sum(pyclipper.Area(path) for path in rest) / SCALE**2


@pytest.mark.parametrize("seed", range(5))
def test_what_is_left_agrees_with_pyclipper(shop: Shop, seed: int) -> None:
    points = np.random.default_rng(seed).uniform(-30.0, 30.0, (12, 2))
    moves = "\n".join(f"G1 X{x:.3f} Y{y:.3f}" for x, y in points)
    text = f"G21 G90\nG0 X40. Y40.\nG0 Z-3.\nF100.\n{moves}\nM30\n"
    job = shop.job()
    motions = motions_of(paths_of(read(text, Dialect(name="test")), "G54", {}))
    material = start(job, motions)
    for each in motions:
        if each.kind == Kind.FEED:
            material = remove(material, each, Sweeper(each, 5.0))
    by_height = {(slab.low, slab.high): whole(slab.standing).area for slab in material.slabs}
    assert list(by_height) == [(-3.0, 0.0), (-6.0, -3.0), (-20.0, -6.0)]
    # rims of 12 strokes stand back 1 µm at most, over less than 1000 mm
    assert by_height[-3.0, 0.0] == pytest.approx(left_by_pyclipper(text, 20.5, 5.0), abs=0.5)
    assert by_height[-6.0, -3.0] == by_height[-20.0, -6.0] == pytest.approx(41.0**2, abs=1e-9)


def test_the_square_loses_the_volume_of_its_frame(shop: Shop) -> None:
    motions = motions_of(paths_of(read(shop.program, Dialect(name="test")), "G54", {}))
    material = start(shop.job(), motions)
    for each in motions:
        if each.kind == Kind.FEED:
            material = remove(material, each, Sweeper(each, 5.0))
    volume = sum(whole(slab.standing).area * (slab.high - slab.low) for slab in material.slabs)
    assert volume == pytest.approx(36.0**2 * 6.0 + 41.0**2 * 14.0, abs=1e-6)


@pytest.mark.parametrize("depth", [3.0, 4.0, 6.0, 8.999])
def test_a_tip_that_is_on_a_floor_but_for_rounding_does_not_meet_what_is_below(
    shop: Shop, depth: float
) -> None:
    """At exactly the difference that still counts as rounding the height is the floor's, and so is what is met."""
    low = -depth - HEIGHT
    path = motion(Kind.FEED, (-30.0, 19.0, low), (30.0, 19.0, low))
    down = motion(Kind.FEED, (-30.0, 19.0, 1.0), (-30.0, 19.0, -depth))
    material = start(shop.job(), [down, path])
    met = meets(material, path, Sweeper(path, 5.0), anywhere=True)
    assert met[-1].low == -depth


def test_heights_that_rounding_parts_are_one() -> None:
    assert heights_of([0.0, -9.0, -34.0], [-8.9992, -4.5, -4.5013, -33.9]) == (0.0, -4.5, -9.0, -33.9, -34.0)


@pytest.mark.parametrize(
    ("begin", "end", "height", "share"),
    [(0.0, -4.0, -1.0, (0.25, 1.0)), (-4.0, 0.0, -1.0, (0.0, 0.75)), (-2.0, -2.0, -1.0, (0.0, 1.0))],
)
def test_the_share_below_a_height(
    begin: float, end: float, height: float, share: tuple[float, float]
) -> None:
    each = motion(Kind.FEED, (0.0, 0.0, begin), (10.0, 0.0, end))
    assert share_below(each, height) == pytest.approx(share)


def test_the_share_below_a_height_that_is_not_reached() -> None:
    assert share_below(motion(Kind.FEED, (0.0, 0.0, 0.0), (10.0, 0.0, -4.0)), -4.5) is None


def test_a_ramp_surely_removes_less_than_it_may(shop: Shop) -> None:
    ramp = motion(Kind.FEED, (-10.0, 0.0, 0.0), (10.0, 0.0, -4.0))
    material = start(shop.job(), [ramp])
    swept = Sweeper(ramp, 5.0)
    may = meets(material, ramp, swept, anywhere=True)
    surely = meets(material, ramp, swept, anywhere=False)
    assert [piece.low for piece in may] == [piece.low for piece in surely] == [-4.0]
    # at its end only is the tip on the slab's floor: a disc; nearly all the way it is below the slab's top
    assert surely[0].region.area == pytest.approx(math.pi * 25.0, rel=0.02)
    assert may[0].region.area == pytest.approx(math.pi * 25.0 + 200.0, rel=0.01)


def test_a_helix_sweeps_the_ring_below_a_height(shop: Shop) -> None:
    # two turns from 0 to -4: below -2 it is the second turn, a whole ring between 5 and 15 mm
    helix = motion(Kind.ARC_ANTICLOCKWISE, (10.0, 0.0, 0.0), (10.0, 0.0, -4.0), centre=(0.0, 0.0), turns=1)
    share = share_below(helix, -2.0)
    assert share == pytest.approx((0.5, 1.0))
    assert share is not None
    assert sweep(helix, share, 5.0).area == pytest.approx(math.pi * (15.0**2 - 5.0**2), abs=0.2)
    assert helix.length == pytest.approx(math.hypot(2.0 * math.tau * 10.0, 4.0))


@pytest.mark.parametrize(("depth", "hits"), [(0.004, False), (0.02, True)])
def test_contact_begins_between_rounding_and_two_hundredths(shop: Shop, depth: float, hits: bool) -> None:
    y = 20.5 + 5.0 - depth
    along = motion(Kind.RAPID, (-30.0, y, -3.0), (30.0, y, -3.0))
    assert bool(meets(start(shop.job(), []), along, Sweeper(along, 5.0), anywhere=True)) == hits
    down = motion(Kind.RAPID, (0.0, y, 10.0), (0.0, y, -3.0))
    assert bool(meets(start(shop.job(), []), down, Sweeper(down, 5.0), anywhere=True)) == hits
