"""What holds the work and what stands in the holder's way, each beside the case just clear; worked by hand, no source.

The square's stock, 40 mm that may be 41 (±20.5), reaches from Z 0 to −20 and is held 10 mm deep by jaws 150 mm wide
and 45 mm high, on a body of 400 by 220 mm: jaws beyond Y ±20 and within X ±75 up to Z −10, the body within X ±200 and
Y ±110 up to Z −10 − 45 = −55. The cutter is 10 mm thick; 30 mm above its tip is the holder, 32 mm thick.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from polypocket.dryrun.context import Context
from polypocket.dryrun.fixture import fixture_faults, obstacles_of
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.part import levels_of
from polypocket.dryrun.sweeps import Sweeper
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.model.job import BlockJob
from polypocket.reader.track import Kind

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

Place = tuple[float, float, float]


def after_the_square(shop: Shop, place: Place, job: BlockJob, how: str = "G0") -> list[tuple[str, int]]:
    """Go down at a place when the square is cut: over it in line 25, down in line 26, up in line 27."""
    x, y, z = place
    text = shop.lines(l24=f"G0 Z10.\nG0 X{x} Y{y}\n{how} Z{z}\nG0 Z10.")
    result = shop.run(text, job)
    assert all(finding.severity == "error" and finding.fix for finding in result.findings)
    return [(finding.code, finding.line) for finding in result.findings]


@pytest.mark.parametrize("how", ["G0", "G1"])
@pytest.mark.parametrize(
    ("place", "meets"),
    [
        ((0.0, -40.0, -10.0), False),  # level with the jaws' top
        ((0.0, -40.0, -10.1), True),
        ((0.0, 40.0, -35.0), True),  # the other jaw; flutes, shank and all are one finding
        ((80.0, -40.0, -11.0), False),  # beside the jaw: 75 + 5 = 80
        ((79.9, -40.0, -11.0), True),
        ((26.0, 0.0, -19.0), False),  # between the jaws, beside the stock: 20.5 + 5 = 25.5, and Y ±5
        ((26.0, 15.0, -19.0), False),  # 15 + 5 = 20, along the jaw's face
        ((26.0, 15.1, -19.0), True),
        ((80.0, -40.0, -55.0), False),  # level with the body's top
        ((80.0, -40.0, -55.1), True),
        ((205.0, -40.0, -56.0), False),  # beside the body: 200 + 5
        ((204.9, -40.0, -56.0), True),
        ((90.0, -115.0, -56.0), False),  # before it: −110 − 5
        ((90.0, -114.9, -56.0), True),
    ],
)
def test_the_cutter_and_the_vise(shop: Shop, place: Place, meets: bool, how: str) -> None:
    job = shop.job(cutter__holder_diameter=None)
    assert after_the_square(shop, place, job, how) == ([("fixture-contact", 26)] if meets else [])


@pytest.mark.parametrize(
    ("place", "meets"),
    [
        ((0.0, 80.0, -11.0), False),
        ((-40.0, 79.9, -11.0), True),
        ((115.0, -80.0, -56.0), False),  # the body's 220 mm now lie along X: 110 + 5
        ((114.9, -80.0, -56.0), True),
    ],
)
def test_jaws_along_y(shop: Shop, place: Place, meets: bool) -> None:
    job = shop.job(cutter__holder_diameter=None, clamping__jaws_along="y")
    assert after_the_square(shop, place, job) == ([("fixture-contact", 26)] if meets else [])


@pytest.mark.parametrize("how", ["G0", "G1"])
@pytest.mark.parametrize(
    ("place", "meets"),
    [
        ((90.0, -40.0, -40.0), False),  # its face is level with the jaws' top: −40 + 30 = −10
        ((90.0, -40.0, -41.0), True),  # 1 mm below, and 90 − 16 = 74 is 1 mm in; the cutter's side is at 85
        ((91.0, -40.0, -41.0), False),  # 75 + 16
        ((36.0, 0.0, -36.0), False),  # its face is level with the floor that has been cut, −6
        (
            (36.0, 0.0, -37.0),
            True,
        ),  # 36 − 16 = 20 is in the stock below that floor, ±20.5; the cutter at 31 is not
        ((36.5, 0.0, -37.0), False),  # 20.5 + 16
    ],
)
def test_the_holder_and_stock_or_jaws(shop: Shop, place: Place, meets: bool, how: str) -> None:
    assert after_the_square(shop, place, shop.job(), how) == ([("holder-contact", 26)] if meets else [])


@pytest.mark.parametrize(
    ("place", "code"),
    [
        ((0.0, 0.0, 5.0), None),  # level with the clamps' top, 5 mm above the stock, over the square's ±18
        ((0.0, 0.0, 4.9), "fixture-contact"),
        (
            (33.9, 0.0, -10.1),
            "holder-contact",
        ),  # its side at 17.9, its face at 4.9; the cutter's side is at 28.9
        ((33.9, 0.0, -10.0), None),
        ((34.0, 0.0, -10.1), None),
    ],
)
def test_clamps_on_a_plate(shop: Shop, place: Place, code: str | None) -> None:
    how = {"cutter__stick_out": 15.0, "cutter__flute_length": 12.0}
    job = shop.job(clamping={"grip": "plate", "clamp_height": 5.0}, **how)
    # The square is cut with its cutter crossing at Z 10, above the clamps.
    assert after_the_square(shop, place, job) == ([(code, 26)] if code else [])


def test_an_arc_beside_the_jaw(shop: Shop) -> None:
    """A half turn from (100, −40) round (100, −60) bulges to X 80, its cutter to 75; one of 21 mm bulges to X 79."""
    for radius, expected in ((20, []), (21, [("fixture-contact", 27)])):
        arc = f"G3 X100. Y{-40 - 2 * radius}. J-{radius}. F300."
        text = shop.lines(l24=f"G0 Z10.\nG0 X100. Y-40.\nG0 Z-11.\n{arc}\nG0 Z10.")
        result = shop.run(text, shop.job())
        assert [(finding.code, finding.line) for finding in result.findings] == expected


def test_what_is_said_of_body_and_holder(shop: Shop) -> None:
    text = shop.lines(l24="G0 Z10.\nG0 X80. Y-40.\nG0 Z-56.\nG0 Z10.")
    said = [finding.message for finding in shop.run(text, shop.job()).findings]
    assert said == [
        "the cutter goes into the vise's body, whose top is at Z -55.000 mm, with the tip at Z -56.000 mm "
        "(2 lines like this)",
        "the holder goes into a vise jaw, whose top is at Z -10.000 mm, with the tip at Z -56.000 mm "
        "(2 lines like this)",
    ]


@st.composite
def tip_motions(draw: st.DrawFn) -> Motion:
    """Draw a straight move or an arc over the vise and round it, high or low."""
    across, heights = st.integers(-2200, 2200).map(lambda n: n / 10.0), st.integers(-900, 50)
    x1, y1, x2, y2 = draw(across), draw(across), draw(across), draw(across)
    z1, z2 = draw(heights) / 10.0, draw(heights) / 10.0
    if draw(st.booleans()):
        return _motion(Kind.FEED, (x1, y1, z1), (x2, y2, z2), (math.nan, math.nan))
    radius, begin, sweep = draw(st.floats(1.0, 100.0)), draw(st.floats(0.0, 6.0)), draw(st.floats(0.1, 6.0))
    start, end = (
        (x1 + radius * math.cos(angle), y1 + radius * math.sin(angle), z)
        for angle, z in ((begin, z1), (begin + sweep, z2))
    )
    return _motion(Kind.ARC_ANTICLOCKWISE, start, end, (x1, y1))


def _motion(kind: Kind, start: Place, end: Place, centre: tuple[float, float]) -> Motion:
    return Motion(0, 1, kind, start, end, centre, 0, 100.0, 1000.0, 1, compensated=False)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(tip_motions())
def test_contact_is_what_many_discs_along_the_way_find(shop: Shop, moved: Motion) -> None:
    """Discs at 500 places of the path against the boxes of the first lines of this file.

    Between neighbours is at most 1 / 499 of a path of at most 700 mm: what is within half of that and the tolerances
    of just touching is not judged.
    """
    job, mill = shop.job(), shop.mill()
    context = Context("test", "mm", mill, job, levels_of(job))
    cutter, holder = Sweeper(moved, 5.0), Sweeper(moved, 16.0)
    faults = fixture_faults(context, obstacles_of(job, mill), moved, cutter, holder)
    said = {(fault.code, fault.message.split(", whose")[0]) for fault in faults}
    places = [moved.at(i / 499) for i in range(500)]
    points = shapely.points([place[:2] for place in places])
    for name, top, plan in (
        ("a vise jaw", -10.0, shapely.union(shapely.box(-75, 20, 75, 1e3), shapely.box(-75, -1e3, 75, -20))),
        ("the vise's body", -55.0, shapely.box(-200, -110, 200, 110) - shapely.box(-20.5, -20.5, 20.5, 20.5)),
        ("what the block lies on", -20.0, shapely.box(-20.5, -20.5, 20.5, 20.5)),
    ):
        gaps = shapely.distance(points, plan).tolist()
        for body, code, radius, base in (
            ("the cutter", "fixture-contact", 5.0, 0.0),
            ("the holder", "holder-contact", 16.0, 30.0),
        ):
            deepest = max(
                min(top - z - base, radius - gap) for (_, _, z), gap in zip(places, gaps, strict=True)
            )
            if abs(deepest) > 0.7 + CONTACT + HEIGHT:
                assert ((code, f"{body} goes into {name}") in said) == (deepest > 0.0), (body, name, deepest)
