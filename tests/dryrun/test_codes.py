"""One fault seeded for each finding code: the code and the line are found, and nothing else.

The clean programs and what is wrong with each changed one were worked out by hand; no outside source.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from polypocket.dryrun import DryRun, dry_run
from polypocket.reader import Dialect, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop


def found(result: DryRun) -> list[tuple[str, int]]:
    return [(finding.code, finding.line) for finding in result.findings]


def test_the_square_is_clean(shop: Shop) -> None:
    result = shop.run(shop.program, shop.job())
    assert result.findings == ()
    assert result.ok


def test_the_hexagon_is_clean(shop: Shop) -> None:
    assert shop.run(shop.hexagon_program(), shop.hexagon()).findings == ()


def test_the_square_in_inches_is_clean(shop: Shop) -> None:
    lines = []
    for line in shop.program.splitlines():
        words = []
        for word in line.split():
            rounded = word[0] in "XYZF" and line[0] == "G" and "G21" not in line
            words.append(f"{word[0]}{float(word[1:]) / 25.4:.4f}" if rounded else word)
        lines.append(" ".join(words))
    text = "\n".join(lines).replace("G21", "G20").replace("DIAMETER 10.000", "DIAMETER 0.3937")
    assert "X0.9055" in text
    assert shop.run(text, shop.job(cut__stepdown=6.0)).findings == ()


def test_one_block_in_two_programs_is_clean(shop: Shop) -> None:
    lines = shop.program.splitlines()
    halves = ["\n".join([*lines[:14], "M30"]), "\n".join([*lines[:4], "F300.", *lines[14:]])]
    tracks = [read(text, Dialect(name="test"), name=f"part-{i}") for i, text in enumerate(halves, 1)]
    result = dry_run(tracks, shop.mill(), shop.job())
    assert result.findings == ()
    assert result.programs == ("part-1", "part-2")


@pytest.mark.parametrize(
    ("words", "warned"),
    [
        ("G61", []),
        ("G61.1", []),
        ("G64", [("corner-rounding", 2, "warning")]),
        ("G64\nG61", []),
        ("G61\nG64", [("corner-rounding", 3, "warning")]),
    ],
)
def test_corners_that_may_be_rounded_off_are_a_warning(
    shop: Shop, words: str, warned: list[tuple[str, int, str]]
) -> None:
    """In continuous mode the control keeps its feed up and may round corners: NISTIR 6556 2.1.2.16 (from memory)."""
    lines = shop.program.splitlines()
    result = shop.run("\n".join([lines[0], words, *lines[1:]]), shop.job())
    assert [(each.code, each.line, each.severity) for each in result.findings] == warned
    assert result.ok


@pytest.mark.parametrize("line", ["/F150.", "/G90", "/S1000", "/(SET Y 5.)", "/M8", "/ G4 P1"])
def test_a_line_with_a_switch_is_refused_whatever_it_leaves(shop: Shop, line: str) -> None:
    lines = shop.program.splitlines()
    result = shop.run("\n".join([*lines[:6], line, *lines[6:]]), shop.job())
    assert ("unread", 7) in found(result)
    assert any("a switch on the control" in each.message for each in result.findings)


def test_corners_that_are_not_fed_round_are_as_they_are(shop: Shop) -> None:
    *lines, end = shop.program.splitlines()
    assert shop.run("\n".join([*lines, "G64", "G0 Z30.", end]), shop.job()).findings == ()


# Each row: what is changed in the program's lines, in the job, in the mill; and what is to be found.
SEEDED: dict[str, tuple[dict[str, str], dict[str, object], dict[str, object], list[tuple[str, int]]]] = {
    "x past its end": ({}, {}, {"axes__x__high": 415.0}, [("travel", 5)]),
    "z past its end": ({}, {}, {"axes__z__low": -75.5}, [("travel", 6)]),
    "work offset not in the mill file": ({}, {}, {"work_offsets": {}}, [("travel", 5 - 1)]),
    "machine coordinates without home": (
        {"l4": "G53 G0 Z0.\nG0 Z10."},
        {},
        {"homed": False},
        [("travel", 4)],
    ),
    "flat cut 0.02 mm too deep": ({"l17": "G1 X-22.98"}, {"cut__stepover": 2.6}, {}, [("gouge", 18)]),
    "floor cut 0.3 mm too deep": ({"l16": "G0 Z-6.3"}, {"cut__stepdown": 7.0}, {}, [("gouge", 18)]),
    "flat left 0.02 mm too high": ({"l17": "G1 X-23.02"}, {}, {}, [("left-standing", 26)]),
    "floor left 0.02 mm too high": ({"l16": "G0 Z-5.98"}, {}, {}, [("left-standing", 26)]),
    "rapid 0.02 mm into the stock": (
        {"l9": "G0 X25.48\nG0 Y-15.\nG0 X30.\nG0 Y30.\nG0 Z10."},
        {},
        {},
        [],
    ),
    "rapid 0.02 mm into the stock that stands": (
        {"l14": "G0 X-25.48\nG0 Y-15.\nG0 X-40.\nG0 Z10."},
        {},
        {},
        [("rapid-contact", 15)],
    ),
    "rapid across the corner": ({"l9": "G0 X15. Y24.\nG0 Z10."}, {}, {}, [("rapid-contact", 9)]),
    "rapid down into the top": (
        {"l9": "G0 Z10.\nG0 X0. Y0.\nG0 Z-1.\nG0 Z10."},
        {},
        {},
        [("rapid-contact", 11)],
    ),
    "start at a height that is not known": ({"l4": "G0 X40. Y-30.\nG0 Z10."}, {}, {}, [("rapid-contact", 4)]),
    "plunge into waste": (
        {"l5": "G0 X23.5 Y0.\nG1 Z-6. F300.\nG0 Z10.\nG0 X40. Y-30."},
        {},
        {},
        [("plunge", 6)],
    ),
    "jaws too high": ({}, {"clamping__held": 15.0}, {}, [("fixture-contact", 6)]),
    "down beside the block into the plate": (
        {"l6": "G0 Z-20.02\nG0 Z-6."},
        {"clamping": {"grip": "plate"}},
        {},
        [("fixture-contact", 6)],
    ),
    "down beside the block onto the plate": (
        {"l6": "G0 Z-20.\nG0 Z-6."},
        {"clamping": {"grip": "plate"}},
        {},
        [],
    ),
    "across the clamps": (
        {"l9": "G0 Z3.\nG0 X0. Y0.\nG0 X30. Y40."},
        {"clamping": {"grip": "plate", "clamp_height": 5.0}},
        {},
        [("fixture-contact", 10)],
    ),
    "climb wanted": ({}, {"cut__direction": "climb"}, {}, [("direction", 8)]),
    "one flat the other way": (
        {"l15": "G0 X-40. Y-30.", "l18": "G1 Y30."},
        {},
        {},
        [("direction", 18)],
    ),
    "too wide": ({}, {"cut__stepover": 2.4}, {}, [("engagement", 8)]),
    "too deep": ({}, {"cut__stepdown": 3.0}, {}, [("depth-of-cut", 8)]),
    "finishing at full depth": ({}, {"cut__stepdown": 3.0, "cut__finish_allowance": 2.5}, {}, []),
    "flutes too short": ({}, {"cutter__flute_length": 5.0}, {}, [("flute-length", 8)]),
    "shank rubs on the wall": (
        {"l7": "G1 X40. F300.\nG1 Z-3.\nG1 X23.\nG1 Y30.\nG1 X40.\nG1 Y-30.\nG1 Z-6.\nG1 X23."},
        {"cutter__flute_length": 4.0},
        {},
        [
            ("flute-length", 15),
        ],
    ),
    "holder too low": ({}, {"cutter__stick_out": 4.0}, {}, [("holder-contact", 7)]),
    "spindle never started": ({"l3": "S3000"}, {}, {}, [("spindle-stopped", 8)]),
    "spindle without a speed": ({"l3": "M3"}, {}, {}, [("spindle-stopped", 8)]),
    "spindle backwards": ({"l3": "S3000 M4"}, {}, {}, [("spindle-stopped", 8), ("direction", 8)]),
    "no feed": ({"l7": "G1 X23."}, {}, {}, [("no-feed", 7)]),
    "feed above the mill's": ({}, {}, {"feed_max": 250.0}, [("feed-limit", 7)]),
    "feed above the job's": ({"l7": "G1 X23. F310."}, {}, {}, [("feed-limit", 8)]),
    "speed above the job's": ({"l3": "S3100 M3"}, {}, {}, [("over-speed", 3)]),
    # at 2985 rpm a tooth takes 1.005 of the job's chip, which rounding may make
    "spindle too slow for the feed": ({"l3": "S2900 M3"}, {}, {}, [("feed-limit", 8)]),
    "spindle hardly too slow for the feed": ({"l3": "S2985 M3"}, {}, {}, []),
    "spindle slow and feed slow": ({"l3": "S300 M3", "l7": "G1 X23. F30."}, {}, {}, []),
    "speed above the mill's": ({}, {}, {"spindle__rpm_high": 2500.0}, [("over-speed", 3)]),
    "speed below the mill's": ({}, {}, {"spindle__rpm_low": 3500.0}, [("over-speed", 3)]),
    "speed that the pulleys lack": ({}, {}, {"spindle__speeds": (2200.0, 4200.0)}, [("over-speed", 3)]),
    "speed that the pulleys have": ({}, {}, {"spindle__speeds": (2200.0, 3010.0)}, []),
    "another cutter": ({"l2": "(CUTTER 2 DIAMETER 10.000) M0"}, {}, {}, [("tool", 2)]),
    "another diameter": ({"l2": "(CUTTER 1 DIAMETER 9.950) M0"}, {}, {}, [("tool", 2)]),
    "cutter of the job in other words": ({"l2": "T1 M6"}, {}, {"tool_change__automatic": True}, []),
    "no cutter named": ({"l2": ""}, {}, {}, [("tool", 1)]),
    # the cutter meets the stock 0.05 mm after this start: at Y −20.5 − √(5² − 2.5²) = −24.830
    "short lead": ({"l5": "G0 X40. Y-24.88"}, {}, {}, [("backlash", 8)]),
    "short lead on ball screws": (
        {"l5": "G0 X40. Y-24.88"},
        {},
        {"axes__x__backlash": 0.01, "axes__y__backlash": 0.01},
        [],
    ),
    "come upon from the inside": ({"l5": "G0 X10. Y-40."}, {}, {}, [("backlash", 8)]),
    "no end": ({"l26": ""}, {}, {}, [("end", 25)]),
    "units not said": ({"l1": "G17 G90 G94 G40 G49 G54"}, {}, {}, [("units", 2), ("units", 4)]),
    # Nobody knows where the cutter goes, and it is never taken back: three rapids go across, and the end comes.
    "compensation by a register that is not known": (
        {"l7": "G41 D1\nG1 X23. F300."},
        {},
        {},
        [
            ("compensation", 8),
            ("rapid-contact", 8),
            *(("compensation", line) for line in (11, 16, 21, 27)),
            *[("left-standing", 27)] * 3,
            ("size", 27),
        ],
    ),
    "an arc that does not close": (
        {"l9": "G3 X22. Y31. I-1. J0.1\nG0 Z10."},
        {},
        {},
        [("arc-radius", 9)],
    ),
    "a line that may be skipped": ({"l9": "/G0 Z10."}, {}, {}, [("unread", 9)]),
    "swivel": ({"l2": "(CUTTER 1 DIAMETER 10.000)(SET SWIVEL 90) M0"}, {}, {}, [("swivel", 2)]),
}


@pytest.mark.parametrize(("lines", "job", "mill", "expected"), SEEDED.values(), ids=SEEDED)
def test_seeded(
    shop: Shop,
    lines: dict[str, str],
    job: dict[str, object],
    mill: dict[str, object],
    expected: list[tuple[str, int]],
) -> None:
    result = shop.run(shop.lines(**lines), shop.job(**job), shop.mill(**mill))
    assert found(result) == expected, "\n".join(f"{f.code} {f.line}: {f.message}" for f in result.findings)
    assert result.ok == (not expected or expected == [("tool", 1)])
    assert all(finding.fix and finding.column >= 1 for finding in result.findings)


def test_a_rapid_on_a_straight_path_may_pass_a_corner(shop: Shop) -> None:
    text = shop.lines(l9="G0 X15. Y33.\nG0 Z10.")
    assert shop.run(text, shop.job(), shop.mill(rapid_path="straight")).findings == ()


def test_a_flat_that_is_turned_is_out_of_angle(shop: Shop) -> None:
    text = shop.hexagon_program(turned=lambda flat: 0.15 if flat == 3 else 0.0)
    result = shop.run(text, shop.hexagon(tolerance__angle=math.radians(0.1)))
    assert {finding.code for finding in result.findings} == {
        "gouge",
        "left-standing",
        "angle",
        "engagement",
    } - (set() if any(f.code == "engagement" for f in result.findings) else {"engagement"})
    assert [f.line for f in result.findings if f.code == "angle"] == [36, 36]
    assert result.as_cut[0].worst_angle_error == pytest.approx(math.radians(0.15), abs=3e-5)


def test_rounding_can_be_too_coarse_for_the_angle_alone(shop: Shop) -> None:
    result = shop.run(shop.hexagon_program(), shop.hexagon(tolerance__angle=5e-6))
    assert {code for code, _ in found(result)} == {"angle"}


def test_rounding_can_be_too_coarse_for_the_size_alone(shop: Shop) -> None:
    result = shop.run(shop.hexagon_program(), shop.hexagon(tolerance__size=0.0003))
    assert {code for code, _ in found(result)} == {"size"}


def test_a_flat_that_cannot_be_found_is_told(shop: Shop) -> None:
    text = shop.hexagon_program(distance=8.0)
    result = shop.run(text, shop.hexagon())
    assert result.as_cut[0].across_flats == (None,) * 6
    assert "size" in {finding.code for finding in result.findings}
    assert result.as_cut[0].worst_angle_error is None


def test_a_pass_that_is_missing_leaves_its_flat(shop: Shop) -> None:
    lines = shop.program.splitlines()
    text = "\n".join([*lines[:14], *lines[19:]])
    result = shop.run(text, shop.job())
    assert [finding.code for finding in result.findings] == ["left-standing"]
    assert "flat 3" in result.findings[0].message
    assert "2.500 mm" in result.findings[0].message


def test_messages_are_in_the_units_of_the_program(shop: Shop) -> None:
    text = shop.lines(
        l1="G20 G17 G90 G94 G40 G49 G54", l2="", l4="G0 Z0.4", l5="G0 X1.6 Y-1.2", l6="G0 Z-0.04\nM5\nM30"
    )
    result = shop.run(text, shop.job(), shop.mill(axes__x__high=415.0))
    message = next(finding.message for finding in result.findings if finding.code == "travel")
    assert "16.5606 in" in message  # (380 + 1.6 · 25.4) / 25.4
    assert "0.2220 in" in message


def test_without_a_job_only_what_needs_none_is_judged(shop: Shop) -> None:
    text = shop.lines(l2="", l5="G0 X10. Y-10.", l18="G1 Y30. F2000.")
    result = shop.run(text, None, shop.mill(axes__y__low=-180.0))
    assert found(result) == [("feed-limit", 18), ("travel", 20)]
    assert result.as_cut == ()


def test_compensation_that_a_reader_lets_through_needs_a_register_and_an_end(shop: Shop) -> None:
    track = read(shop.program, Dialect(name="test"), name="test")
    track = replace(track, compensation_side=np.ones(len(track), dtype=np.int64))
    result = dry_run([track], shop.mill(), None)
    assert found(result) == [("compensation", 4), ("compensation", 25)]
    assert "in a register that is not known" in result.findings[0].message


def test_faults_alike_are_one_finding_that_tells_how_many(shop: Shop) -> None:
    finding = shop.run(shop.program, shop.job(cut__stepover=2.4)).findings[0]
    assert finding.message.endswith("(4 lines like this)")
