"""The setting of the swivel base that the text asks for turns stock, jaws, body and part; worked out by hand."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import pytest
import shapely

from polypocket.dryrun import DryRun, dry_run
from polypocket.dryrun.fixture import obstacles_of
from polypocket.model.surroundings import Column, KeepOut
from polypocket.reader import Dialect, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

ASK = "(SET SWIVEL {}) M0"


def codes(result: DryRun) -> set[str]:
    return {finding.code for finding in result.findings}


def asked(text: str, setting: str) -> str:
    """The text with a setting asked for in its second line."""
    first, rest = text.split("\n", 1)
    return "\n".join((first, ASK.format(setting), rest))


def turned(text: str, degrees: float) -> str:
    """A program whose motions all name both X and Y, turned about the zero."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def word(found: re.Match[str]) -> str:
        x, y = float(found[1]), float(found[2])
        return f"X{x * c - y * s:.3f} Y{x * s + y * c:.3f}"

    return re.sub(r"X(-?[\d.]+) Y(-?[\d.]+)", word, text)


def both_axes(text: str) -> str:
    """A program with X and Y in every motion that has one of them."""
    at = {"X": "0.", "Y": "0."}
    lines = []
    for line in text.splitlines():
        words = line.split()
        for word in words:
            if word[0] in at:
                at[word[0]] = word[1:]
        if any(word[0] in at for word in words):
            rest = [word for word in words if word[0] not in at]
            words = [rest[0], f"X{at['X']}", f"Y{at['Y']}", *rest[1:]]
        lines.append(" ".join(words))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    ("before", "too_low"),
    [("", True), ("(SET Z 0.)\n", True), ("(SET Z -4.)\n", True), ("(SET Z 10.)\n", False)],
)
def test_a_height_set_by_hand_is_set_before_the_work_is_turned(
    shop: Shop, before: str, too_low: bool
) -> None:
    """The program before may have left the cutter beside the work, at depth."""
    mill = shop.mill(axes__z={**shop.mill().axes.z.model_dump(), "driven": False})
    head, rest = "G21 G17 G90 G94 G40 G49 G54\n", "(CUTTER 1 DIAMETER 10.000)\n(SET Z 10.)\nM0\nM30\n"
    found = shop.run(f"{head}{before}(SET SWIVEL 0)\n{rest}", None, mill).findings
    assert [each.line for each in found if "before the height" in each.message] == [
        2 + bool(before)
    ] * too_low
    driven = shop.run(f"{head}{before}(SET SWIVEL 0)\n{rest}", None, shop.mill()).findings
    assert not [each for each in driven if "before the height" in each.message]


@pytest.mark.parametrize(
    ("told", "setting", "wrong"),
    [
        ("SWIVEL BASE AT 30 DEG ANTICLOCKWISE SEEN FROM ABOVE, SET IT FIRST", "30", False),
        ("SWIVEL BASE AT 30 DEG CLOCKWISE SEEN FROM ABOVE, SET IT FIRST", "-30", False),
        ("SWIVEL BASE AT 30 DEG)\n(- CLOCKWISE SEEN FROM ABOVE", "-30", False),
        ("SWIVEL BASE AT 0 DEG, SET IT FIRST", "0", False),
        ("SWIVEL BASE AT 30 DEG CLOCKWISE SEEN FROM ABOVE", "30", True),
        ("SWIVEL BASE AT 30 DEG)\n(- CLOCKWISE SEEN FROM ABOVE", "30", True),
        ("SWIVEL BASE AT 30 DEG ANTICLOCKWISE SEEN FROM ABOVE", "-30", True),
        ("SWIVEL BASE AT 30 DEG, SET IT FIRST", "0", True),
    ],
)
def test_the_head_tells_the_same_setting(shop: Shop, told: str, setting: str, wrong: bool) -> None:
    text = f"({told})\n{asked(shop.program, setting)}"
    found = shop.run(text, None).findings
    assert [each.line for each in found if "the comment tells of" in each.message] == [1] * wrong


def test_the_square_turned_by_an_eighth(shop: Shop) -> None:
    """(40, −30) is turned to ((40 + 30)/√2, (40 − 30)/√2) = (49.497, 7.071)."""
    text = asked(turned(both_axes(shop.program), 45.0), "45")
    assert "X49.497 Y7.071" in text
    job = shop.job(clamping__swivel_settings=[math.radians(45.0)])
    result = shop.run(text, job)
    assert result.findings == ()
    # Where each face is, is told on the part, which was not turned on its jaws.
    assert result.as_cut[0].normals == pytest.approx([i * math.pi / 2.0 for i in range(4)], abs=1e-4)
    assert result.as_cut[0].across_flats == pytest.approx([36.0] * 4, abs=2e-3)


@pytest.mark.parametrize("setting", ["44", "-45.5", "0"])
def test_believes_the_text_and_nothing_else(shop: Shop, setting: str) -> None:
    text = asked(turned(both_axes(shop.program), 45.0), setting)
    every = [math.radians(degrees) for degrees in (45.0, float(setting))]
    found = codes(shop.run(text, shop.job(clamping__swivel_settings=every)))
    assert {"gouge", "left-standing"} <= found


def test_a_flat_keeps_its_number(shop: Shop) -> None:
    """Line 14 to 18 cut the face towards −X, which a quarter turn has brought there from the part's +Y: flat 2."""
    lines = asked(shop.program, "90").splitlines()
    text = "\n".join([*lines[:15], *lines[20:]])
    result = shop.run(text, shop.job(clamping__swivel_settings=[math.pi / 2.0]))
    assert [finding.code for finding in result.findings] == ["left-standing"]
    assert "flat 2" in result.findings[0].message


def test_jaws_and_bed_turn(shop: Shop) -> None:
    job, mill = shop.job(), shop.mill()

    def at(degrees: float, x: float, y: float) -> set[str]:
        every = obstacles_of(job, mill, math.radians(degrees))
        return {each.name for each in every if each.area.contains(shapely.Point(x, y))}

    assert at(0.0, 0.0, 50.0) == {"a vise jaw", "the vise's body"}
    assert at(0.0, 50.0, 0.0) == {"the vise's body"}
    assert at(90.0, 0.0, 50.0) == {"the vise's body"}
    assert at(90.0, -50.0, 0.0) == {"a vise jaw", "the vise's body"}
    # The jaws end 75 mm from the middle: (74, 60), turned by 30°, is at (34.09, 88.96); turned back at (94.09, 14.96).
    assert at(30.0, 34.09, 88.96) == {"a vise jaw", "the vise's body"}
    # (90, 60) turned back by −30° is at (47.94, 96.96), between the jaws' ends; by 30° at (107.94, 6.96), beyond them.
    assert at(-30.0, 90.0, 60.0) == {"a vise jaw", "the vise's body"}
    assert at(30.0, 90.0, 60.0) == {"the vise's body"}
    # Body 400 by 220: its corner (199, 109), turned by a quarter, is at (−109, 199).
    assert at(90.0, -109.0, 199.0) == {"the vise's body"}
    assert at(0.0, -109.0, 199.0) == set()


@pytest.mark.parametrize(("degrees", "back"), [(0.0, 110.0), (90.0, 200.0), (45.0, 310.0 / math.sqrt(2.0))])
def test_the_body_turns_towards_the_column(shop: Shop, degrees: float, back: float) -> None:
    """The program's lowest Y is −40 where it is not turned: the body's back is ``back``, the column at throat − 40."""
    text = asked(shop.program, f"{degrees:g}")
    job = shop.job(clamping__swivel_settings=[math.radians(degrees)])
    for throat, expected in ((back + 40.0 + 0.05, False), (back + 40.0 - 0.05, True)):
        result = shop.run(text, job, shop.mill(column=Column(throat=throat)))
        assert ("fixture-contact" in codes(result)) == expected


def test_set_once_before_anything_moves(shop: Shop) -> None:
    job = shop.job(clamping__swivel_settings=[0.0, math.pi / 2.0])
    late = shop.lines(
        l9="G0 Z10.\nM5\n(SET SWIVEL 90) M0\nM3", l2="(CUTTER 1 DIAMETER 10.000) M0\n(SET SWIVEL 0) M0"
    )
    assert [(f.code, f.line) for f in shop.run(late, job).findings] == [("unread", 12)]
    again = late.replace("SWIVEL 90", "SWIVEL 0")
    assert shop.run(again, job).findings == ()
    # Said for the first time behind motions, it is said too late for them.
    assert codes(shop.run(again.replace("(SET SWIVEL 0) M0\n", "", 1), job)) == {"swivel"}


def test_what_is_said_again_turns_nothing(shop: Shop) -> None:
    """Nor does it move a screw: Y stays taken up where X goes on alone behind it (0.07 mm of backlash)."""
    job = shop.job(clamping__swivel_settings=[0.0, math.pi / 2.0])
    text = shop.lines(l2="(CUTTER 1 DIAMETER 10.000) M0\n(SET SWIVEL 0) M0")
    lines = text.splitlines()
    for number in range(6, len(lines) - 1):
        again = [*lines[:number], "M5", "(SET SWIVEL 0) M0", "S3000 M3", *lines[number:]]
        found = shop.run("\n".join(again), job)
        assert codes(found) <= {"spindle-stopped"}, number  # where it is started in the cut


def test_each_program_of_a_block_has_its_setting(shop: Shop) -> None:
    """At 0 the second half goes round the faces that it would have cut at 90, and leaves two of them."""
    lines = shop.program.splitlines()
    job = shop.job(clamping__swivel_settings=[0.0, math.pi / 2.0])
    for second, expected in (("90", set()), ("0", {"left-standing"})):
        texts = [
            asked("\n".join([*lines[:14], "M5", "M30"]), "90"),
            asked("\n".join([*lines[:4], "F300.", *lines[14:]]), second),
        ]
        tracks = [read(text, Dialect(name="test"), name=f"part-{i}") for i, text in enumerate(texts, 1)]
        assert codes(dry_run(tracks, shop.mill(), job)) == expected


def test_the_setting_of_the_program_before_is_no_choice(shop: Shop) -> None:
    """The second half at 90 as before is what should be cut; but nobody says so."""
    lines = shop.program.splitlines()
    first = asked("\n".join([*lines[:14], "M5", "M30"]), "90")
    second = "\n".join([*lines[:4], "F300.", *lines[14:]])
    for job, settings in ((True, [0.0, math.pi / 2.0]), (True, [math.pi / 2.0]), (False, [])):
        tracks = [
            read(text, Dialect(name="test"), name=f"part-{i}") for i, text in enumerate((first, second), 1)
        ]
        its = shop.job(clamping__swivel_settings=settings) if job else None
        found = dry_run(tracks, shop.mill(), its).findings
        assert [(each.code, each.program) for each in found] == [("swivel", "part-2")]


def test_the_same_motions_twice(shop: Shop) -> None:
    """Programs that announce no passes: the second cuts air, and somebody has taken the wrong one."""
    other = shop.program.replace("G0 Z10.\nG0 X40", "(ANOTHER NAME)\nG0 Z10.\nG0 X40", 1)
    tracks = [
        read(text, Dialect(name="test"), name=f"part-{i}") for i, text in enumerate((shop.program, other), 1)
    ]
    found = dry_run(tracks, shop.mill(), shop.job()).findings
    assert [(each.code, each.program) for each in found] == [("unread", "part-2")]
    once = dry_run(tracks[:1], shop.mill(), shop.job())
    assert once.findings == ()


def test_what_job_and_mill_do_not_have(shop: Shop) -> None:
    quarter = math.pi / 2.0
    square = asked(shop.program, "90")
    assert codes(shop.run(square, shop.job())) == {"swivel"}
    assert codes(shop.run(square, shop.job(clamping__swivel_settings=[quarter]))) == set()
    fixed = shop.mill(vise__swivel_base=False)
    assert codes(shop.run(square, shop.job(clamping__swivel_settings=[quarter]), fixed)) == {"swivel"}
    # Where the job leaves a choice the program must say it, and where it does not allow 0 that must not be taken.
    assert codes(shop.run(shop.program, shop.job(clamping__swivel_settings=[0.0, quarter]))) == {"swivel"}
    assert codes(shop.run(shop.program, shop.job(clamping__swivel_settings=[quarter]))) == {"swivel"}
    assert codes(shop.run(square, None)) == set()


def test_it_waits_for_the_person(shop: Shop) -> None:
    text = asked(shop.program, "90").replace("(SET SWIVEL 90) M0", "(SET SWIVEL 90)")
    text = text.replace("(CUTTER 1 DIAMETER 10.000) M0", "(CUTTER 1 DIAMETER 10.000)\nG4 P1.\nM0")
    found = shop.run(text, shop.job(clamping__swivel_settings=[math.pi / 2.0])).findings
    assert ("unread", 2) in [(finding.code, finding.line) for finding in found]


@pytest.mark.parametrize("degrees", [0.0, 90.0])
@pytest.mark.parametrize(
    ("x1", "y1", "y2", "met"),
    [
        (27.5, -10.0, 10.0, True),  # flat 1 is cut along X 23 with a radius of 5: half a millimetre into it
        (28.5, -10.0, 10.0, False),
        (27.5, 20.0, 40.0, True),
        (27.5, 50.0, 60.0, False),  # the next pass comes down at (30, 40)
    ],
)
def test_what_is_on_the_vise_turns_with_it(
    shop: Shop, degrees: float, x1: float, y1: float, y2: float, met: bool
) -> None:
    """The square's program looks the same from all four sides, and so does a stop that has turned with the work."""
    stop = KeepOut(name="stop", x=(x1, 60.0), y=(y1, y2), z=(-20.0, -1.0), on_vise=True)
    text, mill = asked(shop.program, f"{degrees:g}"), shop.mill(keep_out=(stop,))
    expected = {"keep-out"} if met else set[str]()
    assert (
        codes(shop.run(text, shop.job(clamping__swivel_settings=[math.radians(degrees)]), mill)) == expected
    )
    assert codes(shop.run(text, None, mill)) == expected


def test_a_stop_that_is_passed_at_0_is_met_when_it_is_turned(shop: Shop) -> None:
    """At 0 it stands in front, Y −60 to −50 and X −5 to 5, where the cutter goes no further than Y −40 at a height.

    Turned by −135° its middle, (0, −55), is at (−38.9, 38.9): under (−40, 30), where flat 3's pass comes down.
    """
    stop = KeepOut(name="stop", x=(-5.0, 5.0), y=(-60.0, -50.0), z=(-20.0, -1.0), on_vise=True)
    mill = shop.mill(keep_out=(stop,))
    for degrees, expected in ((0.0, set[str]()), (-135.0, {"keep-out"})):
        text = asked(shop.program, f"{degrees:g}")
        found = codes(shop.run(text, None, mill))
        assert found == expected
    high = shop.mill(keep_out=(stop.model_copy(update={"z": (-20.0, 12.0)}),))
    # Where the cutter comes from is not known, so that nothing may stand higher than where it comes in.
    job = shop.job(clamping__swivel_settings=[0.0])
    assert "keep-out" in codes(shop.run(asked(shop.program, "0"), job, high))


def test_the_body_must_clear_the_column_where_the_cutter_is_changed(shop: Shop) -> None:
    """Zero at Y −150, changed at Y −190, that is 40 before it: the column is at 150.05 − 40, the body's back at 110."""
    for at_y, expected in ((-20.0, set[str]()), (-189.9, set[str]()), (-190.1, {"fixture-contact"})):
        mill = shop.mill(column=Column(throat=150.05), tool_change={"at": (380.0, at_y, 0.0)})
        assert codes(shop.run(shop.program, shop.job(), mill)) == expected
