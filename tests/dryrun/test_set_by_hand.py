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


def test_a_flat_may_be_out_by_half_a_step(shop: Shop) -> None:
    """A readout of 0.02 mm: 0.01 mm too deep is the nearest that a person can set; 0.02 mm is not."""
    coarse = mill_of(shop).model_copy(update={"readout": 0.02})
    for y, wrong in (("-22.990", False), ("-22.970", True)):
        text = PROGRAM.replace("SET Y -23.000", f"SET Y {y}")
        codes = {each.code for each in shop.run(text, shop.job(), coarse).findings}
        assert ("gouge" in codes) == wrong
