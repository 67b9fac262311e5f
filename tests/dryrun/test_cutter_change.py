"""What is told of changes of the cutter, message by message; a program's words are few and its faults known."""

from __future__ import annotations

import pytest

from polypocket.dryrun.cutter_change import change_faults, change_height_faults
from polypocket.dryrun.paths import paths_of
from polypocket.reader import Track, read
from tests.dryrun.conftest import DIALECT, Shop

PUT_IN = "the program does not stop for a person to put cutter {} in"
STOP = "the program does not stop for a person to touch off Z with cutter {}"
ASK = "nobody is asked to touch off Z with cutter {}, which is not as long as the one before"
TURNS = "the spindle turns while a person is to {}"
NAMED = "cutters {} are named at one change; which of them is in nobody can tell"
NO_CHANGER = "M6 on a mill whose file has no changer: a control may pass it over, or stop"

FIRST = "(CUTTER 1 DIAMETER 10.0) M0"
SECOND = "(CUTTER 2 DIAMETER 6.0)"
TOUCH = "(TOUCH OFF Z0 WITH CUTTER 2)"


def track_of(*lines: str, units: str = "G21") -> Track:
    return read("\n".join((f"{units} G17 G90 G94 G40 G49 G54", *lines, "M30", "")), DIALECT, name="test")


def told(shop: Shop, *lines: str, **mill: object) -> list[tuple[int, str]]:
    """What is wrong, with its line: the first one given is line 2."""
    return [(each.line, each.message) for each in change_faults(track_of(*lines), shop.mill(**mill))]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([FIRST, "S3000 M3", "G0 Z10."], []),
        (["(CUTTER 1 DIAMETER 10.0)", "S3000 M3", "G0 Z10.", "M0"], [(2, PUT_IN.format(1))]),
        (["(CUTTER 1 DIAMETER 10.0)", "G0 Z10.", "M0"], [(2, PUT_IN.format(1))]),
        (["M0 (CUTTER 1 DIAMETER 10.0)", "S3000 M3"], []),  # on one line either may stand first
        (["M0", "(CUTTER 1 DIAMETER 10.0)", "S3000 M3"], [(3, PUT_IN.format(1))]),
        (["S3000 M3", "(CUTTER 1 DIAMETER 10.0)", "M0"], [(3, TURNS.format("put cutter 1 in"))]),
        (["S3000 M3", "(CUTTER 1 DIAMETER 10.0)", "M5", "M0"], []),
        (["T1 M6", "G0 Z10."], [(2, NO_CHANGER)]),
        ([FIRST], []),  # and the program ends there
        (["(CUTTER 1 DIAMETER 10.0)"], [(2, PUT_IN.format(1))]),
    ],
)
def test_the_first_cutter(shop: Shop, lines: list[str], expected: list[tuple[int, str]]) -> None:
    assert told(shop, *lines) == expected


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        # Line 5 on.
        ([SECOND, TOUCH, "M0", "S2000 M3"], []),
        ([SECOND, f"{TOUCH} M0", "S2000 M3"], []),
        ([SECOND, f"M0 {TOUCH}", "S2000 M3"], []),  # on one line either may stand first
        ([SECOND, "M0", TOUCH, "S2000 M3"], [(5, ASK.format(2))]),
        ([SECOND, "M0", TOUCH, "M0", "S2000 M3"], []),  # the second stop is for that
        ([SECOND, "M0", "(TOUCH OFF Z0 WITH CUTTER 1)", "M0"], [(5, ASK.format(2))]),
        ([SECOND, "M0", "G0 Z10.", TOUCH, "M0"], [(5, ASK.format(2))]),  # it has moved before
        ([SECOND, TOUCH, "G0 Z10.", "M0"], [(5, PUT_IN.format(2)), (5, ASK.format(2))]),
        # The cutter that is in already needs no touching off.
        ([FIRST, "S3000 M3", "G0 Z10."], []),
        ([FIRST, "G0 Z5.", SECOND, TOUCH, "M0", "G0 Z5.", SECOND, "M0"], []),
        ([SECOND, TOUCH, "M0", "G0 Z5.", FIRST], [(9, ASK.format(1))]),
    ],
)
def test_another_cutter(shop: Shop, lines: list[str], expected: list[tuple[int, str]]) -> None:
    assert told(shop, FIRST, "G0 Z10.", "M5", *lines) == expected


@pytest.mark.parametrize(
    ("lines", "named"),
    [
        (["(CUTTER 3 DIAMETER 6.0)", "T1 M6"], "3 and 1"),  # in their order, whichever way they are named
        (["T3 M6", "(CUTTER 1 DIAMETER 10.0)"], "3 and 1"),
        (["T1 M6", "M5", "(CUTTER 2 DIAMETER 6.0)"], "1 and 2"),
        (["T1 M6", "T2 M6", "(CUTTER 3 DIAMETER 6.0)"], "1 and 2 and 3"),
        (["T1 M6", "(CUTTER 1 DIAMETER 10.0)"], None),
        (["T1 M6", "S3000 M3", "T2 M6"], None),  # the first has begun to turn
        (["T1 M6", "S3000 M4", "T2 M6"], None),
        (["T1 M6", "G4 P1", "T2 M6"], None),
    ],
)
def test_several_at_one_change(shop: Shop, lines: list[str], named: str | None) -> None:
    found = told(shop, *lines, "M0", "G0 Z10.", tool_change__automatic=True, length_offset=True)
    assert [message for _, message in found] == ([] if named is None else [NAMED.format(named)])


def test_the_last_of_several_counts_as_the_one_that_is_in(shop: Shop) -> None:
    both = ["T1 M6", SECOND, "M0", "G0 Z10."]
    changer = {"tool_change__automatic": True}
    again = told(shop, *both, "T2 M6", **changer)
    assert [message for _, message in again] == [NAMED.format("1 and 2")]
    back = told(shop, *both, "T1 M6", **changer)
    assert back == [(2, NAMED.format("1 and 2")), (6, STOP.format(1)), (6, ASK.format(1))]


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        # A person starts it once the cutter is in, so that the row before that counts.
        ([SECOND, TOUCH, "(START SPINDLE 2000 CLOCKWISE) M0"], []),
        ([SECOND, TOUCH, "(START SPINDLE 2000 ANTICLOCKWISE) M0"], []),
        (["(START SPINDLE 3000 CLOCKWISE) M0", SECOND, TOUCH, "M0"], [(6, TURNS.format("put cutter 2 in"))]),
        (["(START SPINDLE 3000 CLOCKWISE) M0", SECOND, TOUCH, "(STOP SPINDLE) M0"], []),
        (["(START SPINDLE 3000 CLOCKWISE) M0", SECOND, "(STOP SPINDLE)", "(START SPINDLE 2000 CLOCKWISE)",
          TOUCH, "M0"], []),
        (["(START SPINDLE 3000 CLOCKWISE) M0", SECOND, TOUCH, "(START SPINDLE 2000 CLOCKWISE) M0"],
         [(6, TURNS.format("put cutter 2 in"))]),
    ],
)  # fmt: skip
def test_a_spindle_that_a_person_starts(
    shop: Shop, lines: list[str], expected: list[tuple[int, str]]
) -> None:
    assert told(shop, FIRST, "G0 Z10.", "M5", *lines, spindle__controlled=False) == expected


def test_a_cutter_in_the_very_first_row(shop: Shop) -> None:
    track = read("T1 M6 (CUTTER 2 DIAMETER 6.0)\nG21 G17 G90 G94\nM30\n", DIALECT)
    found = [each.message for each in change_faults(track, shop.mill(tool_change__automatic=True))]
    assert NAMED.format("1 and 2") in found


def heights(top: float, *lines: str, units: str = "G21") -> list[tuple[int, str, str]]:
    track = track_of(*lines, units=units)
    found = change_height_faults(track, paths_of(track, "G54", {}), top)
    return [(each.line, each.message, each.fix) for each in found]


@pytest.mark.parametrize(
    ("z", "clean"), [("5.000", True), ("4.995", True), ("4.994", False), ("0.000", False), ("-6.000", False)]
)
def test_how_high_a_cutter_is_changed(z: str, clean: bool) -> None:
    """What stands highest is 5 mm over the zero; 0.005 mm are rounding."""
    said = (
        4,
        f"the cutter is changed at Z {z} mm, beside or in the work",
        "go up first, to Z 5.000 mm at least",
    )
    assert heights(5.0, FIRST, f"G0 Z{z}", SECOND, "M0", "G0 Z10.") == ([] if clean else [said])


def test_a_height_in_inches() -> None:
    ((line, message, _),) = heights(5.0, FIRST, "G0 Z0.1", SECOND, "M0", units="G20")
    assert (line, message) == (4, "the cutter is changed at Z 0.1000 in, beside or in the work")


def test_changed_at_a_height_that_nobody_knows() -> None:
    ((line, message, _),) = heights(0.0, FIRST, "G0 X50.", SECOND, "M0", "G0 Z10.")
    assert (line, message) == (
        4,
        "the cutter is changed at a height that is not known, beside or in the work",
    )


def test_the_first_one_is_put_in_before_the_program_has_moved() -> None:
    """Where it ends, at Z-6, is not where it begins."""
    assert heights(0.0, FIRST, "G0 Z10.", "G0 Z-6.") == []
