"""An axis that a person sets where the program stops: judged as it stands in the text. Worked out by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from polypocket.model.mill import Mill
    from tests.dryrun.conftest import Shop

#: The two flats along X of the shop's square, 36 mm across, from stock of 40 mm and 0.5 mm over: one pass each, the
#: cutter's axis 18 + 5 mm from the middle. Y comes from outside inwards by more than its play of 0.07 mm.
PROGRAM = """\
G21 G17 G90 G94 G40 G49 G54
(CUTTER 1 DIAMETER 10.000) M0
G0 Z10.
(SET Y 23 FROM 24)
M0
S3000 M3
G0 X30.
G0 Z-6.
G1 X-30. F300.
G0 Z10.
M5
(SET Y -23.000 FROM -24)
M0
S3000 M3
G0 Z-6.
G1 X30.
G0 Z10.
M5
M30
"""


def mill_of(shop: Shop, **axes: bool) -> Mill:
    mill = shop.mill()
    driven = {"x": True, "y": False, "z": True} | axes
    changed = {
        name: getattr(mill.axes, name).model_copy(update={"driven": value}) for name, value in driven.items()
    }
    return mill.model_copy(update={"axes": mill.axes.model_copy(update=changed)})


def found(shop: Shop, text: str, **axes: bool) -> set[tuple[str, int]]:
    """Return what is found beside flats 1 and 3, which are left standing."""
    report = shop.run(text, shop.job(), mill_of(shop, **axes))
    return {(each.code, each.line) for each in report.findings if each.code != "left-standing"}


def test_a_dial_is_told_wherever_one_is_read(shop: Shop) -> None:
    """Whoever has no readout works by turns and divisions alone; what is asked twice is told once."""
    mill = mill_of(shop)
    y = mill.axes.y.model_copy(update={"dial_turn": 5.0, "dial_divisions": 200})
    mill = mill.model_copy(update={"axes": mill.axes.model_copy(update={"y": y})})
    first, second = "(SET Y 23 FROM 24)\n", "(SET Y -23.000 FROM -24)\n"
    told = PROGRAM.replace(first, f"{first}(Y 4 TURNS 120 DIVISIONS PLUS)\n")
    told = told.replace(second, f"{second}{second}(Y 4 TURNS 120 DIVISIONS MINUS)\n")

    def untold(text: str) -> list[int]:
        found = shop.run(text, shop.job(), mill).findings
        return [each.line for each in found if "no turns and divisions" in each.message]

    assert untold(told) == []
    assert untold(PROGRAM) == [4, 12]
    again = told.replace("M5\nM30", f"M5\n{second}(Y 4 TURNS 120 DIVISIONS MINUS)\nM0\nM30")
    assert untold(again) == []
    missing = again.replace(
        "(Y 4 TURNS 120 DIVISIONS MINUS)\n", "", 1
    )  # and the same place told at a later stop
    assert untold(missing) == [13, 14]
    assert untold(told.replace("(Y 4 TURNS 120 DIVISIONS PLUS)", "(Y +4 TURNS 120 DIVISIONS PLUS)")) == [4]


def test_a_screw_that_is_not_taken_up_may_reach_what_is_left_to_finish(shop: Shop) -> None:
    """0.3 mm outside the flat with 0.5 mm of play: the table may stand 0.2 mm inside it."""
    mill = mill_of(shop)
    loose = mill.axes.y.model_copy(update={"backlash": 0.5})
    mill = mill.model_copy(update={"axes": mill.axes.model_copy(update={"y": loose})})

    def found(y: str) -> set[int]:
        report = shop.run(PROGRAM.replace("SET Y 23 FROM 24", f"SET Y {y}"), shop.job(), mill)
        return {each.line for each in report.findings if each.code == "backlash" and each.line < 12}

    assert found("23.3 FROM 24.3") == set()
    assert found("23.3") == {9}
    assert found("23.6") == set()


def test_two_flats_are_cut(shop: Shop) -> None:
    report = shop.run(PROGRAM, shop.job(), mill_of(shop))
    assert {each.code for each in report.findings} == {"left-standing"}
    (square,) = report.as_cut
    assert square.across_flats[1] == pytest.approx(36.0)
    assert report.travel["y"].low == pytest.approx(-150.0 - 24.0)
    assert report.travel["y"].high == pytest.approx(-150.0 + 24.0)


@pytest.mark.parametrize(
    ("old", "new", "wrong"),
    [
        # The control has no drive to do this with.
        ("(SET Y 23 FROM 24)\nM0", "G0 Y23.", ("travel", 4)),
        ("G0 X30.\n", "G0 X30. Y23.5\n", ("travel", 7)),
        # It does not wait, or the spindle turns.
        ("(SET Y -23.000 FROM -24)\nM0", "(SET Y -23.000 FROM -24)", ("unread", 12)),
        ("M5\n(SET Y -23", "(SET Y -23", ("tool", 11)),
        # Through the block: the cutter is down.
        ("X-30. F300.\nG0 Z10.\nM5\n(SET Y -23.000 FROM -24)", "X-22. F300.\nM5\n(SET Y -23.000 FROM -24)",
         ("rapid-contact", 11)),
        # The screw pushes the other way, or is not known to.
        ("(SET Y -23.000 FROM -24)", "(SET Y -23.000)", ("backlash", 16)),
        ("(SET Y 23 FROM 24)", "(SET Y 23)", ("backlash", 9)),
        ("(SET Y 23 FROM 24)", "(SET Y 23 FROM 22)", ("backlash", 9)),
        # Half a millimetre into the part, or out of the travel on the way.
        ("(SET Y -23.000 FROM -24)", "(SET Y -22.500 FROM -24)", ("gouge", 16)),
        ("(SET Y -23.000 FROM -24)", "(SET Y -23.000 FROM -151)", ("travel", 12)),
        # Nobody has said where Y stands.
        ("(SET Y 23 FROM 24)\n", "", ("rapid-contact", 7)),
    ],
)  # fmt: skip
def test_what_a_person_must_not_be_asked(shop: Shop, old: str, new: str, wrong: tuple[str, int]) -> None:
    assert PROGRAM.count(old) == 1
    assert wrong in found(shop, PROGRAM.replace(old, new))


def test_an_axis_that_is_driven_is_moved_by_the_program(shop: Shop) -> None:
    assert ("travel", 4) in found(shop, PROGRAM, y=True)
    assert found(shop, PROGRAM, z=True) == set()


@pytest.mark.parametrize(
    ("told", "wrong"),
    [
        ("(Y 4 TURNS 120 DIVISIONS MINUS)", None),  # 4 x 5 mm and 120 x 0.025 mm: 23 mm
        ("(Y 4 TURNS 120 DIVISIONS PLUS)", "that is 23.000 mm"),
        ("(Y 4 TURNS 121 DIVISIONS MINUS)", "that is -23.025 mm"),
        ("(Y 3 TURNS 320 DIVISIONS MINUS)", "that is -23.000 mm"),  # more than there are on the dial
        ("(X 4 TURNS 120 DIVISIONS MINUS)", "X has no dial"),
    ],
)
def test_a_dial_says_the_same(shop: Shop, told: str, wrong: str | None) -> None:
    mill = mill_of(shop)
    y = mill.axes.y.model_copy(update={"dial_turn": 5.0, "dial_divisions": 200})
    mill = mill.model_copy(update={"axes": mill.axes.model_copy(update={"y": y})})
    ask = "(SET Y -23.000 FROM -24)\n"
    report = shop.run(PROGRAM.replace(ask, ask + told + "\n"), shop.job(), mill)
    said = [each.message for each in report.findings if each.code == "size" and "TURNS" in each.message]
    assert len(said) == (wrong is not None)
    assert wrong is None or wrong in said[0]
    alone = shop.run(PROGRAM.replace(ask, told + "\n" + ask), shop.job(), mill)
    assert any("is asked for right before it" in each.message or "has no dial" in each.message
               for each in alone.findings)  # fmt: skip
    for stop, right in (
        (f"M0 {told}", wrong is None),
        (f"M0\n{told}", False),
    ):  # on the stop's line it is read there
        behind = shop.run(PROGRAM.replace(f"{ask}M0", f"{ask}{stop}"), shop.job(), mill)
        assert any(each.code == "size" and "TURNS" in each.message for each in behind.findings) != right


def test_between_the_steps(shop: Shop) -> None:
    """On a readout of 0.01 mm nobody sets 23.005 mm: the error is 0.005 mm."""
    mill = mill_of(shop).model_copy(update={"readout": 0.01})
    text = PROGRAM.replace("(SET Y 23 FROM 24)", "(SET Y 23.005 FROM 24)")
    (fault,) = [each for each in shop.run(text, shop.job(), mill).findings if "cannot be set" in each.message]
    assert (fault.code, fault.line) == ("size", 4)


def test_a_flat_may_be_out_by_half_a_step(shop: Shop) -> None:
    """A readout of 0.04 mm: 23.00 mm is one of its steps, and 0.02 mm may be wrong; 22.96 mm is out by 0.04 mm."""
    coarse = mill_of(shop).model_copy(update={"readout": 0.04})
    for y, wrong in (("-23.000", False), ("-22.960", True)):
        text = PROGRAM.replace("SET Y -23.000", f"SET Y {y}")
        codes = {each.code for each in shop.run(text, shop.job(), coarse).findings}
        assert ("gouge" in codes) == wrong


def test_a_place_before_the_units_is_refused(shop: Shop) -> None:
    """Nobody knows how far that is: no step of a readout is looked for."""
    assert ("units", 3) in found(shop, PROGRAM.replace("G21 ", "").replace("G0 Z10.\n(SET", "(SET", 1))


def test_a_height_is_set_again_once_the_cutter_is_in(shop: Shop) -> None:
    """Whoever puts a cutter in may have moved the knee: asked for anew, the height is known, though it is the same."""
    by_hand = PROGRAM.replace("G0 Z10.\n(SET", "(SET", 1).replace("G0 Z10.\nM5\n(SET", "M5\n(SET")
    by_hand = by_hand.replace("G0 Z10.\nM5\nM30", "M5\nM30").replace("G0 Z-6.\n", "")
    down = by_hand.replace("G0 X30.\n", "G0 X30.\nM5\n(SET Z -6)\nM0\nS3000 M3\n")
    for asked in ("(SET Z 10)\nM0\n", "(SET Z 10) M0\n(CUTTER 1 DIAMETER 10.000)\n(SET Z 10)\nM0\n"):
        text = down.replace("(SET Y 23", f"{asked}(SET Y 23")
        assert not {code for code, _ in found(shop, text, z=False)} & {"travel", "rapid-contact"}, text
