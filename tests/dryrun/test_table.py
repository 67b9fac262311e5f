"""Keep-outs, the table and the column, each beside the case that is just clear; worked by hand, no outside source.

The square's program, its zero at (380, −150, −70) of the machine, cutter 10 mm, holder 32 mm 30 mm above the tip. It
goes from X and Y −40 to 40, cuts at Z −6 and crosses at Z 10: machine X 340 to 420, Y −190 to −110, Z −76 and −60.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from polypocket.dryrun.motions import Motion
from polypocket.dryrun.rods import Block, Rod, entry
from polypocket.dryrun.tolerances import CONTACT, HEIGHT
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.reader.track import Kind

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

Range = tuple[float, float]
FAR: Range = (-200.0, 900.0)


def keeping_out(shop: Shop, x: Range, y: Range, z: Range, **changes: Any) -> Mill:  # noqa: ANN401
    return shop.mill(keep_out=({"name": "dividing head", "x": x, "y": y, "z": z},), **changes)


def found(shop: Shop, mill: Mill, job: BlockJob | None = None, **lines: str) -> list[tuple[str, int]]:
    result = shop.run(shop.lines(**lines), job, mill)
    assert all(finding.severity == "error" and finding.fix for finding in result.findings)
    return [(finding.code, finding.line) for finding in result.findings]


# The cutter goes up at X 40 (machine 420) at the furthest, so its side comes to X 425, and at Z −6 (machine −76) from
# line 6 to line 9. Nothing of it comes below, and the feed in line 7 goes away from there.
@pytest.mark.parametrize(
    ("x", "z", "expected"),
    [
        ((425.0, 500.0), (-200.0, -65.0), []),  # touches: 420 + 5 = 425
        ((424.0, 500.0), (-200.0, -65.0), [("keep-out", 6)]),  # 1 mm in, from the side
        ((424.0, 500.0), (-200.0, -76.0), []),  # the tip stands level with its top
        ((424.0, 500.0), (-200.0, -75.0), [("keep-out", 6)]),  # 1 mm below its top
        ((424.0, 500.0), (-90.0, -80.0), []),  # the tip stays above it
        (
            (424.0, 500.0),
            (-70.0, -65.0),
            [("keep-out", 6)],
        ),  # under it with the tip, and the cutter goes through
    ],
)
def test_the_cutter_in_a_keep_out(shop: Shop, x: Range, z: Range, expected: list[tuple[str, int]]) -> None:
    mill = keeping_out(shop, x, (-200.0, -170.0), z)
    assert found(shop, mill) == expected  # by (CUTTER 1 DIAMETER 10.000), without a job
    assert found(shop, mill, shop.job(cutter__holder_diameter=None)) == expected


@pytest.mark.parametrize(
    ("y", "expected"),
    [
        ((-105.0, 0.0), []),  # Y 40 is −110 of the machine, and the cutter 5 mm more
        ((-106.0, 0.0), [("keep-out", 11)]),
        ((-300.0, -195.0), []),  # Y −40 is −190
        ((-300.0, -194.0), [("keep-out", 21)]),
    ],
)
def test_before_the_block_and_behind_it(shop: Shop, y: Range, expected: list[tuple[str, int]]) -> None:
    assert found(shop, keeping_out(shop, (300.0, 500.0), y, (-200.0, -65.0))) == expected


def test_the_shorter_way_out_is_told(shop: Shop) -> None:
    """At 420, with the box from 421, 4 mm of the cutter are in from the side, but only 1 mm from above."""
    result = shop.run(
        shop.program, None, keeping_out(shop, (421.0, 500.0), (-200.0, -170.0), (-200.0, -75.0))
    )
    assert "goes up to 1.000 mm into" in result.findings[0].message


def test_what_is_said_of_it(shop: Shop) -> None:
    result = shop.run(
        shop.program, None, keeping_out(shop, (424.0, 500.0), (-200.0, -170.0), (-200.0, -65.0))
    )
    assert result.findings[0].message == (
        'the cutter goes up to 1.000 mm into the keep-out "dividing head", whose top is at Z -65.000 mm of the '
        "machine (2 lines like this)"
    )


def test_the_holder_in_a_keep_out(shop: Shop) -> None:
    """It is 16 mm thick and begins at −76 + 30 = −46 of the machine."""
    for x, top, expected in (
        ((435.0, 500.0), -45.0, [("keep-out", 6)]),  # 420 + 16 = 436 is 1 mm in; the cutter ends at 425
        ((436.0, 500.0), -45.0, []),
        ((435.0, 500.0), -46.0, []),  # its face stands level with the top
    ):
        # Below −60 + 30 the holder is in none of it where it crosses at Z 10.
        mill = keeping_out(shop, x, (-200.0, -150.0), (-200.0, top))
        assert found(shop, mill, shop.job(), l4="G53 G0 Z0.\nG0 X40. Y-30.\nG0 Z10.") == [
            (code, line + 2) for code, line in expected
        ]


def test_an_unknown_cutter_is_its_axis(shop: Shop) -> None:
    for x, expected in (((419.0, 500.0), [("keep-out", 6)]), ((420.5, 500.0), [])):
        mill = keeping_out(shop, x, (-200.0, -170.0), (-200.0, -65.0))
        assert found(shop, mill, l2="") == expected


def test_a_rapid_may_go_anywhere_in_its_box(shop: Shop) -> None:
    """From (40, −30) to (10, −60) at Z −6, machine (420, −180) to (390, −210): a box, or the line x − y = 600."""
    text = {"l7": "G0 X10. Y-60.\nG0 Z10.", "l8": "G1 Y30. F300."}
    # The corner (417, −207) is |417 + 207 − 600| / √2 = 16.97 mm from the line, and in the box.
    mill = keeping_out(shop, (416.0, 417.0), (-208.0, -207.0), (-200.0, -65.0))
    assert found(shop, mill, **text)[0] == ("keep-out", 7)
    # What comes after cuts at Z 10; nothing else goes there.
    straight = keeping_out(shop, (416.0, 417.0), (-208.0, -207.0), (-200.0, -65.0), rapid_path="straight")
    assert found(shop, straight, **text) == []


def test_arcs_by_their_true_extent(shop: Shop) -> None:
    """Line 7 a half turn from (40, −30) to (40, −90) round (40, −60), out to X 10 or X 70; the cutter 5 mm more."""
    for way, x, expected in (
        ("G2", (380.0, 390.0), []),  # clockwise from the upper end it goes out to +X
        ("G2", (454.0, 460.0), [("keep-out", 7)]),  # 380 + 70 + 5 = 455
        ("G2", (455.0, 460.0), []),
        ("G3", (380.0, 386.0), [("keep-out", 7)]),  # 380 + 10 − 5 = 385
        ("G3", (380.0, 385.0), []),
    ):
        mill = keeping_out(shop, x, (-211.0, -209.0), (-200.0, -65.0), rapid_path="straight")
        assert found(shop, mill, l7=f"{way} X40. Y-90. J-30. F300.\nG0 Z10.") == expected, (way, x)


def test_an_upright_arc_that_dips_between_its_ends(shop: Shop) -> None:
    """From X60 to X90 at Z20 it goes down by its radius to Z5, −65 of the machine, at X75, machine 455."""
    line = "G0 X60. Y0. Z20.\nG18 G2 X90. Z20. I15. K0. F300.\nG17"
    for top, expected in ((-66.0, []), (-64.0, [("keep-out", 25)])):
        mill = keeping_out(shop, (454.0, 456.0), (-151.0, -149.0), (-200.0, top))
        assert found(shop, mill, l24=line) == expected


def test_a_place_that_is_not_said(shop: Shop) -> None:
    """The first moves go to Z 10, machine −60, and from anywhere to the block: no keep-out may be higher."""
    for top, expected in ((-60.0, []), (-59.0, [("keep-out", 4)])):
        mill = keeping_out(shop, (0.0, 10.0), (-300.0, -299.0), (-200.0, top))
        assert found(shop, mill) == expected
    high = keeping_out(shop, (0.0, 10.0), (-300.0, -299.0), (-200.0, -1.0))
    assert found(shop, high, l4="G53 G0 Z0.\nG0 X40. Y-30.\nG0 Z10.") == []
    first_across = keeping_out(shop, (0.0, 10.0), (-300.0, -299.0), (-200.0, -100.0))
    assert found(shop, first_across, l4="G0 X40. Y-30.\nG0 Z10.") == [("keep-out", 4)]
    # One axis after the other at the top of the machine, where no keep-out is.
    assert found(shop, first_across, l4="G53 G0 Z0.\nG0 Y-30.\nG0 X40.\nG0 Z10.") == []


@pytest.mark.parametrize("changes", [{"work_offsets": {}}, {"homed": False}])
def test_where_nobody_can_tell_it_is_refused(shop: Shop, changes: dict[str, Any]) -> None:
    mill = keeping_out(shop, (0.0, 10.0), (-10.0, 0.0), (-200.0, -150.0), **changes)
    for job in (None, shop.job()):
        result = shop.run(shop.program, job, mill)
        assert ("keep-out", 1) in [(finding.code, finding.line) for finding in result.findings]
        assert not result.ok
    table = shop.mill(table={"x": FAR, "y": FAR, "z": -150.0}, **changes)
    assert ("fixture-contact", 1) in found(shop, table)


def test_another_offset_that_is_not_given_is_no_way_round_a_keep_out(shop: Shop) -> None:
    """From Z 10, above it, to nobody knows where in line 11, and on from there: one finding, at its beginning."""
    mill = keeping_out(shop, (0.0, 10.0), (-300.0, -299.0), (-200.0, -80.0))
    told = found(shop, mill, l10="G55\nG0 X100. Y0. Z-6.")
    assert [place for place in told if place[0] == "keep-out"] == [("keep-out", 11)]


def test_the_table(shop: Shop) -> None:
    """The tip comes to −76 and the holder's face to −46 of the machine."""
    where = {"x": (300.0, 500.0), "y": (-300.0, 0.0)}
    assert found(shop, shop.mill(table={**where, "z": -76.0})) == []
    assert found(shop, shop.mill(table={**where, "z": -75.0})) == [("fixture-contact", 6)]
    # Where there is no table there is nothing to meet: the tip's side comes to 425.
    assert found(shop, shop.mill(table={**where, "x": (425.0, 500.0), "z": -75.0})) == []
    # The holder's side comes to 436, below −45, and the cutter to 425.
    beside = {"x": (430.0, 500.0), "y": (-300.0, 0.0), "z": -45.0}
    clear = "G53 G0 Z0.\nG0 X40. Y-30.\nG0 Z10."
    assert found(shop, shop.mill(table=beside), shop.job(), l4=clear) == [("holder-contact", 8)]


def test_the_column(shop: Shop) -> None:
    """The spindle comes to Y −40 at the furthest, in line 20; the vise reaches back to 220 / 2 = 110."""
    for throat, expected in ((150.0, []), (149.0, [("fixture-contact", 20)])):
        assert found(shop, shop.mill(column={"throat": throat}), shop.job()) == expected
    # Turned by a quarter it reaches back to 400 / 2 = 200.
    turned = shop.job(clamping__jaws_along="y")
    for throat, expected in ((240.0, []), (239.0, [("fixture-contact", 20)])):
        assert found(shop, shop.mill(column={"throat": throat}), turned) == expected
    # On a plate there is the stock, which may reach back to 20.5.
    plate = shop.job(clamping={"grip": "plate"})
    for throat, expected in ((60.5, []), (60.0, [("fixture-contact", 20)])):
        assert found(shop, shop.mill(column={"throat": throat}), plate) == expected
    assert found(shop, shop.mill(column={"throat": 1.0})) == []  # what is held is not known


def motion(
    kind: Kind, start: tuple[float, ...], end: tuple[float, ...], centre: tuple[float, float]
) -> Motion:
    return Motion(0, 1, kind, start, end, centre, 0, 100.0, 1000.0, 1, compensated=False)  # type: ignore[arg-type]


HERE_NOT = math.nan, math.nan
#: Its top at Z 0, beside the axis along X.
STOP = Block((0.0, -5.0, 40.0, 5.0), 0.0)


def test_only_where_the_tip_is_below_the_top() -> None:
    """From Z 10 to Z −10 over 100 mm it is HEIGHT = 0.005 below Z 0 from X 50.025 on, 10.025 mm from the stop."""
    moved = motion(Kind.FEED, (0.0, 0.0, 10.0), (100.0, 0.0, -10.0), HERE_NOT)
    assert entry(moved, Rod("rod", 10.0, 0.0), STOP, independent=False) == 0.0
    assert entry(moved, Rod("rod", 12.0, 0.0), STOP, independent=False) == pytest.approx(1.975)
    # 5 mm above the tip it is below from X 75.025 on.
    assert entry(moved, Rod("rod", 35.0, 5.0), STOP, independent=False) == 0.0


@pytest.mark.parametrize(
    ("start", "end", "may"),
    [
        ((math.nan, 0.0, -10.0), (50.0, 0.0, 20.0), True),  # it starts low, somewhere along X
        ((math.nan, 6.0, -10.0), (50.0, 12.0, 20.0), True),  # 6 mm off at the nearest, with a cutter of 7
        ((math.nan, 13.0, -10.0), (50.0, 15.0, 20.0), False),  # 8 mm off
        ((math.nan, math.nan, math.nan), (50.0, 0.0, 20.0), True),  # nobody knows how low it starts
        (
            (math.nan, math.nan, math.nan),
            (math.nan, math.nan, 20.0),
            False,
        ),  # straight up or down, to above it
        ((math.nan, math.nan, math.nan), (math.nan, math.nan, -1.0), True),
        ((100.0, 0.0, math.nan), (100.0, 0.0, -1.0), False),  # far away
        ((40.0, 0.0, math.nan), (40.0, 0.0, -1.0), True),
        ((100.0, 0.0, 10.0), (math.nan, math.nan, math.nan), True),
    ],
)
def test_from_or_to_somewhere(start: tuple[float, ...], end: tuple[float, ...], may: bool) -> None:
    moved = motion(Kind.RAPID, start, end, HERE_NOT)
    deep = entry(moved, Rod("rod", 7.0, 0.0), STOP, independent=True)
    assert deep == (math.inf if may else 0.0)


coordinates = st.floats(-40.0, 40.0)
points = st.tuples(coordinates, coordinates, st.floats(-20.0, 20.0))


@st.composite
def motions(draw: st.DrawFn) -> Motion:
    start, end = draw(points), draw(points)
    kind = draw(st.sampled_from([Kind.RAPID, Kind.FEED, Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE]))
    centre = math.nan, math.nan
    if kind in (Kind.ARC_CLOCKWISE, Kind.ARC_ANTICLOCKWISE):
        radius, one, other = draw(st.floats(1.0, 40.0)), draw(st.floats(0.0, 6.0)), draw(st.floats(0.1, 6.0))
        centre = start[:2]
        start = centre[0] + radius * math.cos(one), centre[1] + radius * math.sin(one), start[2]
        end = centre[0] + radius * math.cos(one + other), centre[1] + radius * math.sin(one + other), end[2]
    return motion(kind, start, end, centre)


@settings(max_examples=200)  # the many discs take what time they take
@given(
    motions(), st.floats(0.5, 20.0), st.floats(0.0, 10.0), points, st.floats(0.5, 40.0), st.floats(0.5, 40.0)
)
def test_entry_is_what_many_discs_along_the_way_find(
    moved: Motion, radius: float, base: float, low: tuple[float, float, float], width: float, length: float
) -> None:
    """Discs at 1000 places of the path, each over the plan or not, and its face below the top or not.

    Between neighbours is at most 1 / 999 of a path of at most 250 mm and 40 mm of height: what is nearer to the
    block's sides or top than half of that and the tolerances together is not judged.
    """
    x, y, top = low
    plan = shapely.box(x, y, x + width, y + length)
    rod, block = Rod("rod", radius, base), Block((x, y, x + width, y + length), top)
    shares = [i / 999 for i in range(1000)]
    places = [moved.at(share) for share in shares]
    # Positive where a disc is in: the lesser of how far it is below the top and how far in from the side.
    depths = [
        min(top - z - base, radius - float(gap))
        for (_, _, z), gap in zip(
            places, shapely.distance(shapely.points([p[:2] for p in places]), plan), strict=True
        )
    ]
    slack = 0.13 + CONTACT + HEIGHT
    deep = entry(moved, rod, block, independent=False)
    if max(depths) > slack:
        assert deep > 0.0
        assert deep >= max(depths) - slack
    if max(depths) < -slack:
        assert deep == 0.0


@given(points, points, st.floats(0.5, 20.0), points)
def test_a_free_rapid_meets_all_that_any_way_between_its_ends_meets(
    start: tuple[float, float, float],
    end: tuple[float, float, float],
    radius: float,
    corner: tuple[float, ...],
) -> None:
    x, y, top = corner
    block = Block((x, y, x + 10.0, y + 10.0), top)
    box = shapely.box(*(min(start[i], end[i]) for i in (0, 1)), *(max(start[i], end[i]) for i in (0, 1)))
    away = float(box.distance(shapely.box(*block.plan)))
    below = top - min(start[2], end[2])
    moved = motion(Kind.RAPID, start, end, (math.nan, math.nan))
    deep = entry(moved, Rod("rod", radius, 0.0), block, independent=True)
    assert (deep > 0.0) == (below > HEIGHT and radius - away > CONTACT)
