"""Where a person's hands are wanted: the program stops for them, and the spindle stands. Worked out by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

CUTTER = "(CUTTER 1 DIAMETER 10.000)"


def found(shop: Shop, *, changer: bool = False, **lines: str) -> list[tuple[str, int]]:
    mill = shop.mill(tool_change__automatic=changer, length_offset=False)
    return [(each.code, each.line) for each in shop.run(shop.lines(**lines), None, mill).findings]


@pytest.mark.parametrize(
    "line",
    [
        f"{CUTTER} M0",
        f"M0 {CUTTER}",
        f"{CUTTER}\nM0",
        f"{CUTTER}\n(SET Z 20)\nM0",
        f"T1 M6\n{CUTTER}",
        "M0 (SET Z 20)",
    ],
)
def test_a_program_that_stops_for_a_person_is_clean(shop: Shop, line: str) -> None:
    assert found(shop, changer="M6" in line, l2=line) == []


def test_without_a_changer_a_person_puts_it_in(shop: Shop) -> None:
    assert found(shop, l2=f"T1 M6\n{CUTTER}") == [("tool", 2)]
    assert found(shop, l2="T1 M6") == [("tool", 2)]
    assert found(shop, l2=f"T1 M6\n{CUTTER} M0") == [("tool", 2)]
    assert found(shop, l2=f"T1\n{CUTTER} M0") == []


@pytest.mark.parametrize(
    ("line", "code"),
    [
        (CUTTER, "tool"),
        (f"{CUTTER} M1", "tool"),
        (f"{CUTTER}\nS3000 M3\nM0", "tool"),
        (f"{CUTTER}\nG4 P1\nM0", "tool"),
        (f"{CUTTER}\nG0 Z10.\nM0", "tool"),
        (f"T2 M6\n{CUTTER}", "tool"),
        ("(SET Z 20)", "unread"),
        ("(START SPINDLE 500 CLOCKWISE)", "unread"),
    ],
)
def test_a_program_that_does_not_wait_is_refused(shop: Shop, line: str, code: str) -> None:
    assert found(shop, changer=True, l2=line) == [(code, 2)]


def test_each_cutter_that_the_mill_changes_is_looked_at_by_itself(shop: Shop) -> None:
    """Two in one standstill are one too many; what is asked after them is still looked at."""
    assert found(shop, changer=True, l2=f"T1 M6\n{CUTTER}\nT2 M6\n(CUTTER 2 DIAMETER 6.000)") == [("tool", 2)]
    assert found(shop, changer=True, l2=f"T1 M6\n{CUTTER}\n(SET Z 20)") == [("unread", 4)]


def test_a_stop_after_which_nothing_comes(shop: Shop) -> None:
    """The program is cut short, which is told; the person was waited for."""
    assert found(shop, l26=f"{CUTTER}\nM0") == [("end", 27)]


@pytest.mark.parametrize("line", [f"S3000 M3\n{CUTTER} M0", f"S3000 M3\nM0 {CUTTER}"])
def test_no_hands_at_a_cutter_that_turns(shop: Shop, line: str) -> None:
    assert found(shop, l2=line) == [("tool", 3)]


def test_no_hands_at_the_same_cutter_again_while_it_turns(shop: Shop) -> None:
    assert found(shop, l8=f"G1 Y0.\n{CUTTER} M0\nS3000 M3\nG1 Y30.") == [("tool", 9)]


def test_no_height_is_set_by_hand_while_the_spindle_turns(shop: Shop) -> None:
    assert found(shop, l4="(SET Z 10.)\nM0\nS3000 M3") == [("tool", 4)]
    assert found(shop, l3="(SET Z 10.)\nM0\nS3000 M3", l4="G0 Z10.") == []


def test_a_program_does_not_end_while_the_spindle_turns(shop: Shop) -> None:
    lines = shop.program.splitlines()
    text = "\n".join(["%", *(line for line in lines if line not in ("M5", "M30")), "%"])
    assert [each.code for each in shop.run(text, None).findings] == ["end"]
    never = text.replace("%\nG21", "%\nM5\nG21").replace("S3000 M3", "S3000")
    assert [each.code for each in shop.run(never, None).findings] == ["spindle-stopped"]


@pytest.mark.parametrize(
    ("asks", "second"),
    [
        ("(SET Z 10.)\n(SET Z 12.)\nM0", 3),
        ("(SET Z 10.) (SET Z -6.) M0", 2),
        ("M0 (SET Z 10.)\n(SET SWIVEL 0)\nM0", None),
        ("(SET Z 10.)\n(SET Z 10.000)\nM0", None),  # said twice, and the same
        ("(SET Z 12.) M0\n(SET Z 10.) M0", None),  # one after the other
        ("(SET SWIVEL 0)\n(SET SWIVEL 30)\nM0", 3),
        ("(SET SWIVEL 0)\n(SET Z 10.)\n(SET SWIVEL 0.5)\nM0", 4),
        ("(START SPINDLE 3000 CLOCKWISE)\n(STOP SPINDLE)\nM0", 3),
        ("(START SPINDLE 3000 CLOCKWISE)\n(START SPINDLE 3000 ANTICLOCKWISE)\nM0", 3),
        ("(START SPINDLE 3000 CLOCKWISE)\n(START SPINDLE 300 CLOCKWISE)\nM0", 3),
        ("(STOP SPINDLE)\n(SET Z 10.)\n(START SPINDLE 3000 CLOCKWISE)\nM0", None),
        ("(STOP SPINDLE)\n(START SPINDLE 3000 CLOCKWISE)\n(STOP SPINDLE)\nM0", 4),
        (f"{CUTTER}\n(CUTTER 1 DIAMETER 8.000)\nM0", 3),
    ],
)
def test_what_contradicts_itself_at_one_stop(shop: Shop, asks: str, second: int | None) -> None:
    """What a person would do of two things, nobody knows: the later one counted, and nothing was said."""
    lines = asks if CUTTER in asks else f"{asks}\n(STOP SPINDLE)\n{CUTTER} M0"
    assert found(shop, l2=lines) == ([] if second is None else [("unread", second)])
