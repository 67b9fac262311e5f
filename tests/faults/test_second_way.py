"""The second way itself: it is silent about good programs and names what is wrong with bad ones, worked out by hand."""

from __future__ import annotations

import pytest

from polypocket.model.mill import Mill
from tests.dryrun.conftest import MILL, SQUARE_PROGRAM, Shop
from tests.faults.harms import Harms
from tests.faults.interpreter import interpret
from tests.faults.judge import judge
from tests.faults.motions import CONTROLS, Alarm, Beyond, Hands

RS274 = CONTROLS["rs274ngc"]


def harms(text: str) -> Harms:
    return judge(interpret(text, RS274), Shop().job(), Mill.model_validate(MILL))


def edited(old: str, new: str) -> str:
    assert SQUARE_PROGRAM.count(old) == 1
    return SQUARE_PROGRAM.replace(old, new)


def test_the_square_is_harmless() -> None:
    found = harms(SQUARE_PROGRAM)
    # Play that is taken up on a stroke before the cutter meets the flat is told as little.
    assert not found.sure and found.maybe.keys() <= {"play"}


@pytest.mark.parametrize(
    ("old", "new", "sure"),
    [
        ("X23. F300.", "X22.9 F300.", {"gouge", "width"}),
        ("X23. F300.", "X23.1 F300.", {"left standing"}),
        ("G1 X-30.\n", "G1 X-10.\n", {"left standing"}),
        ("G0 Z10.\nG0 X30. Y40.", "G0 X30. Y0.\nG0 X30. Y40.", set()),
        (
            "G1 Y30.\nG0 Z10.\nG0 X30. Y40.",
            "G1 Y30.\nG0 X-30. Y20.\nG0 Z10.\nG0 X30. Y40.",
            {"rapid contact"},
        ),
        ("G0 Z-6.\nG1 X-23.", "G0 Z-6.3\nG1 X-23.", {"gouge", "depth"}),
        ("G0 Z-6.\nG1 X-23.", "G0 Z-5.8\nG1 X-23.", {"left standing"}),
        ("G0 Z-6.\nG1 X-23.", "G0 Z-11.\nG1 X-23.", {"gouge", "depth", "fixture"}),
        ("S3000 M3", "S3000", {"spindle"}),
        ("S3000 M3", "S3000 M4", {"spindle", "direction"}),
        ("S3000 M3", "S300 M3", {"chip load"}),
        ("S3000 M3", "S4000 M3", {"speed"}),
        ("F300.", "F330.", {"feed", "chip load"}),
        ("G0 X40. Y-30.", "G0 X400. Y-30.", {"travel"}),
        ("G54", "G55", {"travel"}),
        ("CUTTER 1", "CUTTER 2", {"cutter"}),
        (
            "G0 X30. Y40.\nG0 Z-6.",
            "G0 X15. Y15.\nG1 Z-6.\nG0 Z10.\nG0 X30. Y40.\nG0 Z-6.",
            {"plunge", "gouge"},
        ),
        ("G0 X30. Y40.\nG0 Z-6.", "G0 X0. Y28.\nG0 Z-12.\nG0 Z10.\nG0 X30. Y40.\nG0 Z-6.", {"fixture"}),
        (") M0", ")", {"no stop"}),
        ("G0 Z10.\nG0 X40. Y-30.", "G0 X40. Y-30.\nG0 Z10.", {"from nowhere"}),
        # nobody knows where in its play the screw of X stands: it has never moved from one known place to another
        ("G0 X40. Y-30.\nG0 Z-6.\nG1 X23. F300.", "G0 X23. Y-30.\nG0 Z-6.\nF300.", {"play"}),
    ],
)
def test_what_is_wrong_is_named(old: str, new: str, sure: set[str]) -> None:
    assert harms(edited(old, new)).sure.keys() == sure


def test_a_stroke_the_other_way_is_named() -> None:
    turned = edited(
        "G0 X-30. Y-40.\nG0 Z-6.\nG1 Y-23.\nG1 X30.", "G0 X30. Y-40.\nG0 Z-6.\nG1 Y-23.\nG1 X-30."
    )
    assert harms(turned).sure.keys() == {"direction"}


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("G1 X1o", "word"),
        ("G1 X1,5", "word"),
        ("G1 X1 X2", "word"),
        ("G0 G1 X1", "word"),
        ("G21 G20", "word"),
        ("G77 X1", "word"),
        ("G1", "word"),
        ("X1 P2", "word"),
        ("(open", "word"),
        ("closed)", "word"),
        ("G2 X50. Y10. I5.", "arc"),
        ("G2 X50.", "arc"),
        ("G1 X1 F0", "feed"),
        ("G20", "units"),
        ("G41 D1", "compensation"),
        ("(CUTTER 1)", "word"),
    ],
)
def test_what_a_control_refuses_is_an_alarm(line: str, kind: str) -> None:
    with pytest.raises(Alarm) as alarm:
        interpret(edited("G0 X30. Y40.", line), RS274)
    assert (alarm.value.kind, alarm.value.line) == (kind, 10)


@pytest.mark.parametrize("line", ["G43 H1", "G81 X1 Y1 Z-2 R1", "G92 X0", "G2 X3 Y4 R5", "(SET Z 5)"])
def test_what_is_not_worked_out_is_said_so(line: str) -> None:
    with pytest.raises(Beyond):
        interpret(edited("G0 X30. Y40.", line), RS274)


@pytest.mark.parametrize(
    "line",
    ["g0x30y40", "G00 X+30.000 Y040.", "x30.y40.g0", "N7 G0 X3 0. Y 40", "(to flat 2) G0 X30. (next) Y40."],
)
def test_ways_of_writing_are_one(line: str) -> None:
    assert interpret(edited("G0 X30. Y40.", line), RS274) == interpret(SQUARE_PROGRAM, RS274)


def test_a_numbered_program_wants_its_numbers_points_and_end_word() -> None:
    lines = SQUARE_PROGRAM.replace("G21", "G71").splitlines()
    text = "\n".join(["%", ":1", *(f"N{number} {line}" for number, line in enumerate(lines)), "%"])
    control = CONTROLS["iso6983"]
    assert len(interpret(text, control).steps) == len(interpret(SQUARE_PROGRAM, RS274).steps)
    for old, new in (("N5 ", ""), ("X30. Y40.", "X30 Y40."), ("M30\n", "\n"), ("M30\n%", "M30")):
        assert old in text
        with pytest.raises(Alarm):
            interpret(text.replace(old, new, 1), control)


#: The square with the height set by hand: at 10 mm, then at the floor, and M5 and M3 about each stop behind the first.
BY_HAND = """\
G21 G17 G90 G94 G40 G49 G54
(CUTTER 1 DIAMETER 10.000)
(SET Z 10.)
M0
G0 X40. Y-30.
(SET Z -6.000)
M0
S3000 M3
G1 X23. F300.
G1 Y30.
M5
M30
"""


def harms_by_hand(old: str, new: str) -> set[str]:
    """Return what is wrong beside three flats that are left, and the play of a screw at the first one."""
    assert BY_HAND.count(old) == 1
    mill = Mill.model_validate(MILL)
    axes = mill.axes.model_copy(update={"z": mill.axes.z.model_copy(update={"driven": False})})
    reading = interpret(BY_HAND.replace(old, new), RS274, Hands(frozenset({2})))
    sure = judge(reading, Shop().job(), mill.model_copy(update={"axes": axes})).sure
    return sure.keys() - {"left standing", "play"}


@pytest.mark.parametrize(
    ("old", "new", "sure"),
    [
        ("(SET Z 10.)", "(SET Z 10.)", set()),
        ("(SET Z -6.000)\nM0", "(SET Z -6.000)", {"not waited for"}),
        ("(SET Z -6.000)\nM0", "(SET Z -6.000)\nM1", {"not waited for"}),
        ("(SET Z -6.000)", "(SET Z -6.000)\n(SET Z -5.000)", {"disputed"}),
        (
            "(SET Z -6.000)",
            "(SET Z -6.003)",
            set(),
        ),  # the middle of two steps of 0.005 mm is 0.0025 mm from both
        ("(SET Z -6.000)", "(SET Z -6.300)", {"gouge", "depth"}),
        ("(SET Z -6.000)", "S3000 M3\n(SET Z -6.000)\nM0", {"no stop"}),
        # into the middle of the block, and out of it in a slot, which has as much on its left as on its right
        ("G0 X40. Y-30.", "G0 X0. Y0.", {"rapid contact", "in the cut", "width", "gouge"}),
        ("(SET Z 10.)\n", "", {"from nowhere"}),
    ],
)
def test_what_is_wrong_with_what_a_person_is_asked(old: str, new: str, sure: set[str]) -> None:
    assert harms_by_hand(old, new) == sure


def test_words_of_what_has_no_drive_are_alarms() -> None:
    with pytest.raises(Alarm) as alarm:
        harms_by_hand("G1 Y30.", "G1 Y30. Z-6.")
    assert (alarm.value.kind, alarm.value.line) == ("undriven", 10)
    with pytest.raises(Alarm) as alarm:
        harms_by_hand("(SET Z 10.)", "(SET Y 10.)")
    assert alarm.value.kind == "driven"
