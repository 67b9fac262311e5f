"""Both dialects from one neutral program, word for word."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from polypocket.errors import DialectError, InputError
from polypocket.post import Post, comments, post_named, posts
from polypocket.program import (
    Arc,
    Ask,
    Coolant,
    Drill,
    Dwell,
    Feed,
    Item,
    Link,
    Pass,
    Point,
    Program,
    Rapid,
    Setup,
    Spindle,
    UseCutter,
)
from polypocket.reader import read
from polypocket.reader.track import Kind

PASS = Pass(
    number=1,
    feature="section 1",
    flat=2,
    last_flat=3,
    level=-1.5,
    index=1,
    role="rough",
    side="left",
    size_register=None,
    lead_in=(Feed(Point(10.0, 0.0, -1.5), 480.0),),
    cut=(Arc(Point(0.0, 10.0, -1.5), (0.0, 0.0), clockwise=False, turns=0, rate=480.0),),
    lead_out=(Feed(Point(-1.0, 10.0, -1.5), 1524.0),),
)
ITEMS: tuple[Item, ...] = (
    UseCutter(1, 12.0, None, by_hand=True),
    Spindle(4000.0),
    Link((Rapid(Point(z=25.0)), Rapid(Point(11.0, 0.0)), Rapid(Point(z=-1.5)))),
    PASS,
    Link((Rapid(Point(z=25.0)),)),
    Spindle(0.0),
)


def program(*items: Item, units: str = "mm") -> Program:
    return Program("a part", units, (Setup(1, 0.0, 0.0, "G54", "centre", items),))  # type: ignore[arg-type]


def test_rs274ngc_word_for_word() -> None:
    text = post_named("rs274ngc").write(program(*ITEMS), ["Ø 12 (new)"])
    assert text.splitlines() == [
        "%",
        "(DIA  12 [NEW])",
        "G17 G21 G40 G49 G54 G61 G80 G90 G94",
        "(CUTTER 1 DIAMETER 12.000)",
        "M0",
        "S4000 M3",
        "G0 Z25",
        "G0 X11 Y0",
        "G0 Z-1.5",
        "(PASS 1 SECTION 1 FLATS 2 TO 3 AT Z-1.5 ROUGH STRIP 1)",
        "G1 X10 F480",
        "G3 X0 Y10 I-10 J0",
        "G1 X-1 F1524",
        "G0 Z25",
        "M5",
        "M30",
        "%",
    ]


def test_iso6983_in_inches_word_for_word() -> None:
    text = post_named("iso6983").write(program(*ITEMS, units="inch"), [])
    assert text.splitlines() == [
        "%",
        ":1",
        "N10 G17 G40 G49 G54 G70 G80 G90 G94",
        "N20 (CUTTER 1 DIAMETER 0.4724)",
        "N30 M0",
        "N40 S4000 M3",
        "N50 G0 Z0.9843",
        "N60 G0 X0.4331 Y0.",
        "N70 G0 Z-0.0591",
        "N80 (PASS 1 SECTION 1 FLATS 2 TO 3 AT Z-0.0591 ROUGH STRIP 1)",
        "N90 G1 X0.3937 F18.89",
        "N100 G3 X0. Y0.3937 I-0.3937 J0.",
        "N110 G1 X-0.0394 F60.",
        "N120 G0 Z0.9843",
        "N130 M5",
        "N140 M30",
        "%",
    ]


@pytest.mark.parametrize("name", ["rs274ngc", "iso6983"])
@pytest.mark.parametrize("units", ["mm", "inch"])
def test_the_reader_takes_every_item(name: str, units: str) -> None:
    post = post_named(name)
    items = (
        *ITEMS[:2],
        Coolant(on=True),
        Ask("note", None, "look"),
        *ITEMS[2:4],
        Link((Dwell(1.5),)),
        *ITEMS[4:],
    )
    track = read(post.write(program(*items, units=units), ["HEAD"]), post.dialect)
    assert track.complaints == ()
    assert track.units == units
    assert Kind.DWELL in track.kind.tolist()
    arc = track.kind.tolist().index(Kind.ARC_ANTICLOCKWISE)
    assert track.pass_number[arc] == 1
    assert (track.x[arc], track.y[arc], track.z[arc]) == pytest.approx((0.0, 10.0, -1.5), abs=0.002)
    assert (track.centre_x[arc], track.centre_y[arc]) == pytest.approx((0.0, 0.0), abs=0.002)


def test_one_more_decimal_only_where_an_angle_needs_it_and_the_dialect_allows() -> None:
    item = Link((Rapid(Point(1.23456, 0.0)),))
    assert "X1.2346" in post_named("rs274ngc").write(program(item), [], resolution=1e-4)
    assert "X1.235 " in post_named("rs274ngc").write(program(item), [], resolution=1e-3)
    assert "X1.235 " in post_named("iso6983").write(program(item), [], resolution=1e-4)


@pytest.mark.parametrize("units", ["mm", "inch"])
def test_rounding_never_pulls_an_arcs_radii_apart(units: str) -> None:
    """NISTIR 6556: radii may differ by 0.002 mm, 0.0002 in (from memory); the reader complains beyond."""
    post = post_named("rs274ngc")
    for i in range(400):
        a, b = 0.37 * i, 0.37 * i + 0.05 + 0.011 * i
        radius, centre = 1.0 + 0.7131 * i, (0.31 * i, -0.173 * i)
        ends = [
            Point(centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t), 0.0) for t in (a, b)
        ]
        arc = Arc(ends[1], centre, clockwise=i % 2 == 0, turns=0, rate=100.0)
        text = post.write(program(Link((Rapid(Point(z=0.0)), Rapid(ends[0]), arc))), [])
        assert read(text, post.dialect).complaints == ()


@pytest.mark.parametrize("end", [(10.0, 1e-5), (10.0, 0.0)])
def test_an_arc_that_could_be_taken_for_a_full_circle_is_refused(end: tuple[float, float]) -> None:
    arc = Arc(Point(*end, 0.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0)
    with pytest.raises(DialectError, match="full circle"):
        post_named("rs274ngc").write(program(Link((Rapid(Point(10.0, 0.0, 0.0)), arc))), [])


@pytest.mark.parametrize("name", ["rs274ngc", "iso6983"])
def test_what_cannot_be_said_is_a_named_error(name: str) -> None:
    post = post_named(name)
    start = Link((Rapid(Point(10.0, 0.0, 0.0)),))
    for item in (
        Link((Drill((0.0, 0.0), 1.0, -5.0, 0.0, 0.0, 100.0),)),
        Link((Arc(Point(0.0, 10.0, 0.0), (0.0, 0.0), clockwise=False, turns=1, rate=100.0),)),
        Link((Arc(Point(0.0, 11.0, 0.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0),)),
        UseCutter(1, 12.0, 1, by_hand=True),
    ):
        with pytest.raises(DialectError, match=f"^{name}: "):
            post.write(program(start, item), [])
    turned = program(start)
    with pytest.raises(DialectError, match=f"^{name}: a turned clamping"):
        post.write(replace(turned, setups=(replace(turned.setups[0], swivel=0.5),)), [])


def test_line_numbers_keep_to_five_digits() -> None:
    post = post_named("iso6983")

    def moves(count: int) -> Link:
        return Link(tuple(Rapid(Point(x=float(i % 2))) for i in range(count)))

    assert "N10001 " in post.write(program(moves(10_000)), [])
    assert max(map(len, post.write(program(moves(10_000)), []).split())) <= 6
    with pytest.raises(DialectError, match="more blocks"):
        post.write(program(moves(100_000)), [])


def test_comments_are_plain_and_ask_for_nothing_when_they_go_on() -> None:
    folded = list(comments("x" * 66 + " SET Z -10.5 (°é\n\0" + "y" * 100))
    assert folded[1].startswith("(- SET Z -10.5 [")
    assert all(line.isascii() and line.isprintable() and len(line) <= 72 for line in folded)
    assert all(line.count("(") == line.count(")") == 1 for line in folded)


def test_every_flag_has_two_users() -> None:
    """A capability of the base class is one in which at least two dialects differ."""
    found = list(posts().values())
    flags = ["unit_words", "safe_words", "finer_decimals", "numbered", "always_point", "program_number"]
    for flag in flags:
        assert len({str(getattr(post, flag)) for post in found}) > 1, flag


def test_posts_are_found_by_name() -> None:
    assert {"iso6983", "rs274ngc"} <= set(posts())
    assert all(post.name == name and post.title and post.traits for name, post in posts().items())
    assert isinstance(post_named("iso6983"), Post)
    with pytest.raises(InputError, match='no dialect is called "rs274"; there are iso6983, rs274ngc'):
        post_named("rs274")
