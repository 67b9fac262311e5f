"""Stops while the spindle turns. Line 8 of the square's program cuts from Y −30 to Y 30; the block ends at Y ±20.5.

The first side's pass goes along X 23 with a radius of 5. At Y 0 it has cut half of its way; at Y 30 the last material,
at Y 20.5, is 9.5 mm behind the centre.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop


def found(shop: Shop, **lines: str) -> list[tuple[str, int]]:
    result = shop.run(shop.lines(**lines), shop.job())
    return [(each.code, each.line) for each in result.findings if each.severity == "error"]


@pytest.mark.parametrize("stop", ["M0", "M1"])
def test_no_stop_in_the_cut(shop: Shop, stop: str) -> None:
    assert found(shop, l8=f"G1 Y0. {stop}\nS3000 M3\nG1 Y30.") == [("spindle-stopped", 8)]
    assert found(shop, l8=f"G1 Y0.\n(LOOK)\n{stop}\nS3000 M3\nG1 Y30.") == [("spindle-stopped", 10)]


def test_a_wall_that_was_just_cut_is_rubbed_on(shop: Shop) -> None:
    """At Y 18 in line 8 the cutter has the wall at X 18 beside it and the last of the block before it."""
    assert found(shop, l8="G1 Y18.\nM0\nS3000 M3\nG1 Y30.") == [("spindle-stopped", 9)]
    assert found(shop, l8="G1 Y30.\nM0\nS3000 M3") == []
    # Where it has come out to X 23.1 at Y 26 it is beside the corner at (18.0, 20.5): 7.5 away, 2.5 clear of it.
    assert found(shop, l8="G1 Y26.\nM0\nS3000 M3\nG1 Y30.") == []


def test_a_person_may_be_asked_in_the_air(shop: Shop) -> None:
    assert found(shop, l9="G0 Z10.\nM5\n(LOOK AT IT) M0\nS3000 M3") == []


def test_a_cutter_is_not_started_in_the_cut(shop: Shop) -> None:
    assert found(shop, l8="G1 Y0.\nM5\nM0\nS3000 M3\nG1 Y30.") == [("spindle-stopped", 11)]
    assert found(shop, l8="G1 Y30.\nM5\nM0\nS3000 M3") == []


@pytest.mark.parametrize(
    ("behind", "expected"),
    [
        ("", [("spindle-stopped", 9)]),
        ("S3000 M3", []),
        ("G0 X40. Y40.\nS3000 M3", []),
        ("S3000", [("spindle-stopped", 9)]),
    ],
)
def test_what_is_not_started_again_may_stand(
    shop: Shop, behind: str, expected: list[tuple[str, int]]
) -> None:
    """Common to controls by ISO 6983-1 (from memory): M0 cancels the spindle; line 11 goes down, line 12 cuts."""
    assert found(shop, l9=f"G0 Z10. M0\n{behind}") == expected
    without_job = shop.run(shop.lines(l9=f"G0 Z10. M0\n{behind}"), None)
    assert [(each.code, each.line) for each in without_job.findings] == expected


def test_what_a_person_starts_at_the_stop_turns_behind_it(shop: Shop) -> None:
    assert found(shop, l3="(START SPINDLE 3000 CLOCKWISE) M0") == []
    by_hand = shop.mill(spindle__controlled=False)
    text = shop.lines(
        l3="(START SPINDLE 3000 CLOCKWISE) M0", l9="G0 Z10.\n(LOOK)\nM0", l25="(STOP SPINDLE)\nM0"
    )
    # A control that cannot stop the spindle does not stop it.
    assert shop.run(text, shop.job(), by_hand).findings == ()
    again = text.replace("G0 Z10.\n(LOOK)", "(LOOK)").replace("G1 Y30.", "G1 Y0.", 1)
    assert "spindle-stopped" in {each.code for each in shop.run(again, shop.job(), by_hand).findings}


def test_it_turns_till_the_person_who_is_asked_has_stopped_it(shop: Shop) -> None:
    mill = shop.mill().model_copy(
        update={"spindle": shop.mill().spindle.model_copy(update={"controlled": False})}
    )

    def found_by_hand(**lines: str) -> list[tuple[str, int]]:
        text = shop.lines(l3="(START SPINDLE 3000 CLOCKWISE) M0", **lines)
        result = shop.run(text.replace("M5\n", "(STOP SPINDLE)\nM0\n"), shop.job(), mill)
        return [(each.code, each.line) for each in result.findings if each.code == "spindle-stopped"]

    again = "(START SPINDLE 3000 CLOCKWISE)\nM0"
    assert found_by_hand(l8=f"G1 Y30.\n(STOP SPINDLE)\n{again}") == []
    assert found_by_hand(l8=f"G1 Y0.\n(STOP SPINDLE)\n{again}\nG1 Y30.") == [("spindle-stopped", 9)]
