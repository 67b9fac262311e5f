"""Both dialects from one neutral program, word for word."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from polypocket.errors import DialectError, InputError
from polypocket.post import Post, post_named, posts
from polypocket.post.lines import comments, folded
from polypocket.post.manner import Manner
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
from polypocket.reader.dialect import WordFormat
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


WORDS = WordFormat((3, 3), (2, 4), "leading", signed_centre=False, digits_feed=(4, 1))


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


def text_of(name: str, *items: Item, units: str = "mm") -> list[str]:
    """Return the blocks of items that start at X10 Y0 Z0, without what stands at a program's ends."""
    start = Link((Rapid(Point(10.0, 0.0, 0.0)),))
    return post_named(name).write(program(start, *items, units=units), []).splitlines()[3:-2]


def test_an_arc_too_short_to_be_told_from_a_full_circle_is_a_straight_move() -> None:
    """0.0005 mm of a circle of 10 mm is as straight as can be written; a control could go all the way round."""
    arc = Arc(Point(10.0, 1.4e-3, 0.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0)
    assert text_of("rs274ngc", Link((arc,))) == ["G1 Y0.001 F100"]


def test_an_arc_that_is_all_but_a_full_circle_is_refused() -> None:
    arc = Arc(Point(10.0, -1e-5, 0.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0)
    with pytest.raises(DialectError, match="full circle"):
        text_of("rs274ngc", Link((arc,)))


def test_a_full_circle_goes_once_round_where_the_dialect_can_say_so() -> None:
    circle = Arc(Point(10.0, 0.0, 0.0), (0.0, 0.0), clockwise=True, turns=0, rate=100.0)
    assert text_of("rs274ngc", Link((circle,))) == ["G2 X10 Y0 I-10 J0 F100"]
    assert text_of("posts/lean.py", Link((circle,))) == ["G2 X-10 Y0 I-10 J0 F100", "G2 X10 Y0 I10 J0"]


def test_a_helix_of_two_turns_and_a_half() -> None:
    """2.5 turns down 5 mm: 2 mm a turn; the last half turn ends opposite, at X-10."""
    helix = Arc(Point(-10.0, 0.0, -5.0), (0.0, 0.0), clockwise=False, turns=2, rate=100.0)
    lines = text_of("posts/lean.py", Link((helix,)))
    assert [line.split("I")[0].strip() for line in lines] == [
        "G3 X-10 Y0 Z-1",
        "G3 X10 Y0 Z-2",
        "G3 X-10 Y0 Z-3",
        "G3 X10 Y0 Z-4",
        "G3 X-10 Y0 Z-5",
    ]


HOLE = Drill((4.0, 5.0), 2.0, -7.0, 0.0, 0.0, 60.0)


def test_holes_as_cycles() -> None:
    """G81 feeds to the bottom, G82 waits there, G83 goes in pecks; G99 returns to R (NISTIR 6556 3.5.16)."""
    plain, waits, pecks = HOLE, HOLE._replace(dwell=0.5), HOLE._replace(peck=4.0)
    assert text_of("rs274ngc", Link((plain,))) == ["G0 X4 Y5", "G0 Z2", "G99 G81 X4 Y5 Z-7 R2 F60", "G80"]
    assert text_of("rs274ngc", Link((waits,)))[2] == "G99 G82 X4 Y5 Z-7 R2 P0.5 F60"
    assert text_of("rs274ngc", Link((pecks,)))[2] == "G99 G83 X4 Y5 Z-7 R2 Q4 F60"
    with pytest.raises(DialectError, match="no cycle both pecks and waits"):
        text_of("rs274ngc", Link((pecks._replace(dwell=0.5),)))


def test_holes_stroke_by_stroke() -> None:
    """Pecks of 4 mm from Z2: to -2, -6 and -7; each begins 0.254 mm (0.010 in) above the last depth."""
    lines = text_of("posts/lean.py", Link((HOLE._replace(peck=4.0, dwell=0.5),)))
    assert lines == [
        "G0 X4 Y5",
        "G0 Z2",
        "G1 Z-2 F60",
        "G0 Z2",
        "G0 Z-1.746",
        "G1 Z-6",
        "G0 Z2",
        "G0 Z-5.746",
        "G1 Z-7",
        "G4 P0.5",
        "G0 Z2",
    ]


def test_the_length_of_a_cutter_is_taken_up_where_the_control_keeps_it() -> None:
    cutter = UseCutter(2, 12.0, 2, by_hand=False)
    assert text_of("rs274ngc", cutter) == ["T2 M6", "(CUTTER 2 DIAMETER 12.000)", "G43 H2"]


def test_the_size_of_a_cutter_is_left_to_the_control_where_the_job_wants_it() -> None:
    """The material is on the left, the cutter on the right of its path: G42; on and off in the straight leads."""
    lead = replace(PASS, size_register=1, level=0.0, lead_in=(Feed(Point(9.0, 0.0, 0.0), 480.0),))
    cut = (Feed(Point(5.0, 0.0, 0.0), 480.0),)
    item = replace(lead, cut=cut, lead_out=(Feed(Point(5.0, 1.0, 0.0), 1524.0),))
    assert text_of("rs274ngc", item)[1:] == ["G42 D1 G1 X9 Y0 F480", "G1 X5", "G40 G1 X5 Y1 F1524"]


@pytest.mark.parametrize("name", ["rs274ngc", "iso6983", "posts/lean.py"])
def test_what_no_dialect_can_say_is_a_named_error(name: str) -> None:
    post = post_named(name)
    arc = Arc(Point(0.0, 11.0, 0.0), (0.0, 0.0), clockwise=False, turns=0, rate=100.0)
    for item in (Link((arc,)), Link((Feed(Point(20.0), 1e-3),))):
        with pytest.raises(DialectError, match=f"^{post.name}: "):
            text_of(name, item)
    turned = program(Link(()))
    with pytest.raises(DialectError, match=f"^{post.name}: a turned clamping"):
        post.write(turned._replace(setups=(turned.setups[0]._replace(swivel=0.5),)), [])


@pytest.mark.parametrize(
    ("item", "text"),
    [
        (UseCutter(1, 12.0, 1, by_hand=True), "keeps no cutter lengths"),
        (UseCutter(1, 12.0, None, by_hand=False), "changes no cutters"),
        (replace(PASS, size_register=1), "keeps no cutter sizes"),
    ],
)
def test_what_a_plain_control_lacks_is_a_named_error(item: Item, text: str) -> None:
    with pytest.raises(DialectError, match=f"^lean: .*{text}"):
        text_of("posts/lean.py", item)


def test_short_lines() -> None:
    """Modal words go ahead on lines of their own; comments are folded; what must stand together is refused."""
    room = 40
    assert list(folded("G17 G21 G40 G54 G80 G90 G94 G61 G99 S12000 M3", room, "d")) == [
        "G17 G21 G40 G54 G80 G90 G94 G61 G99",
        "S12000 M3",
    ]
    assert list(folded("G3 X-123.456 Y-123.456 I-12.3456 J-12.3456 F1234.5", 44, "d")) == [
        "F1234.5",
        "G3 X-123.456 Y-123.456 I-12.3456 J-12.3456",
    ]
    with pytest.raises(DialectError, match="longer than the control's lines"):
        list(folded("G3 X-123.4567 Y-123.4567 I-123.4567 J-123.4567", room, "d"))
    text = post_named("posts/lean.py").write(
        program(*ITEMS), ["A header line that has no end in sight at all"]
    )
    assert max(map(len, text.splitlines())) <= room


def test_line_numbers_keep_to_five_digits() -> None:
    post = post_named("iso6983")

    def moves(count: int) -> Link:
        return Link(tuple(Rapid(Point(x=float(i % 2))) for i in range(count)))

    assert "N10001 " in post.write(program(moves(10_000)), [])
    assert max(map(len, post.write(program(moves(10_000)), []).split())) <= 6
    with pytest.raises(DialectError, match="more blocks"):
        post.write(program(moves(100_000)), [])


def test_comments_are_plain_and_ask_for_nothing_when_they_go_on() -> None:
    lines = list(comments("x" * 66 + " SET Z -10.5 (°é\n\0" + "y" * 100, 70))
    assert lines[1].startswith("(- SET Z -10.5 [")
    assert all(line.isascii() and line.isprintable() and len(line) <= 70 for line in lines)
    assert all(line.count("(") == line.count(")") == 1 for line in lines)


def _is_flag(name: str, value: object) -> bool:
    return not name.startswith("_") and not isinstance(value, property)


def test_every_flag_has_two_users() -> None:
    """A capability of the base class is one in which at least two dialects differ."""
    found = [post.for_words(WORDS) for post in posts().values()]
    flags = [name for name, value in vars(Manner).items() if not callable(value) and _is_flag(name, value)]
    assert len(flags) > 12
    for flag in flags:
        assert len({str(getattr(post, flag)) for post in found}) > 1, flag


def test_posts_are_found_by_name() -> None:
    assert {"iso6983", "rs274ngc"} <= set(posts())
    assert all(post.name == name and post.title and post.traits for name, post in posts().items())
    assert isinstance(post_named("iso6983"), Post)
    with pytest.raises(
        InputError, match='no dialect is called "rs274"; there are handwheel, iso6983, lean, rs274d, rs274ngc'
    ):
        post_named("rs274")
