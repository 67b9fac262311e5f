"""Positions, offsets, travel and times."""

from __future__ import annotations

import json
import math
from typing import TYPE_CHECKING

import pytest

from polypocket.dryrun import as_json, seconds_of
from polypocket.dryrun.motions import motions_of
from polypocket.dryrun.paths import offset_word, paths_of
from polypocket.reader import Dialect, Track, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop


def track(text: str) -> Track:
    return read(text, Dialect(name="test"), name="test")


def test_offsets_are_named_as_in_the_mill_file() -> None:
    assert [offset_word(offset) for offset in (54.0, 59.0, 59.3)] == ["G54", "G59", "G59.3"]


def test_moves_in_the_machine_frame_and_in_another_offset_are_brought_to_the_work_zero() -> None:
    offsets = {"G54": (100.0, -50.0, -70.0), "G55": (130.0, -50.0, -70.0)}
    text = "G21 G90\nG53 G0 Z0.\nG0 X1. Y2.\nG0 Z5.\nG53 G0 X90.\nG55\nG0 X0. Y0. Z5.\nM30\n"
    ends = [motion.end for motion in motions_of(paths_of(track(text), "G54", offsets))]
    assert ends[1:] == [(1.0, 2.0, 70.0), (1.0, 2.0, 5.0), (-10.0, 2.0, 5.0), (30.0, 0.0, 5.0)]
    assert ends[0][2] == 70.0
    assert math.isnan(ends[0][0])


def test_a_move_in_an_offset_that_is_not_known_leads_nobody_knows_where() -> None:
    text = "G21 G90 G54\nG0 Z5.\nG0 X1. Y2.\nG55\nG0 X0. Y0. Z5.\nM30\n"
    last = motions_of(paths_of(track(text), "G54", {"G54": (100.0, -50.0, -70.0)}))[-1]
    assert all(math.isnan(value) for value in last.end)
    assert last.start == (1.0, 2.0, 5.0)


def test_a_height_set_by_hand_is_a_motion(shop: Shop) -> None:
    text = shop.lines(l6="M5\n(SET Z -6.000)\nM0\nM3")
    assert shop.run(text, shop.job()).findings == ()
    into = shop.run(shop.lines(l9="G0 Z10.\nG0 X0. Y0.\nM5\n(SET Z -1.000)\nM0\nG0 Z10.\nM3"), shop.job())
    assert [(finding.code, finding.line) for finding in into.findings] == [("rapid-contact", 12)]


def test_retreat_to_the_top_of_the_machine_is_clean(shop: Shop) -> None:
    result = shop.run(shop.lines(l4="G53 G0 Z0.", l24="G53 G0 Z0."), shop.job())
    assert result.findings == ()
    assert result.travel["z"].high == 0.0


def test_another_offset_cuts_elsewhere(shop: Shop) -> None:
    moved = {"work_offsets": {"G54": (380.0, -150.0, -70.0), "G55": (380.02, -150.0, -70.0)}}
    result = shop.run(
        shop.lines(l1="G21 G17 G90 G94 G40 G49 G55"), shop.job(cut__stepover=2.6), shop.mill(**moved)
    )
    assert [finding.code for finding in result.findings] == ["gouge", "left-standing"]


def test_without_home_switches_the_room_from_the_work_zero_is_told(shop: Shop) -> None:
    result = shop.run(shop.program, shop.job(), shop.mill(homed=False, work_offsets={}))
    assert result.findings == ()
    x = result.travel["x"]
    assert (x.low, x.high, x.limit_low, x.limit_high) == (-40.0, 40.0, None, None)


def test_without_home_switches_there_must_still_be_room_enough(shop: Shop) -> None:
    result = shop.run(shop.program, shop.job(), shop.mill(homed=False, axes__x__low=681.0))
    assert [(finding.code, finding.line) for finding in result.findings] == [("travel", 5)]
    assert "80.000 mm of travel; the mill has 79.000 mm" in result.findings[0].message


def test_times_are_trapezoids_from_rest_to_rest(shop: Shop) -> None:
    # T = D/v + v/a (D ≥ v²/a), else 2·√(D/a): a motion-profile textbook. Rapids 50 mm/s, 200 mm/s²: v²/a is
    # 12.5 mm.
    text = "G21 G90 G94\nG0 X0. Y0. Z10.\nG0 X100. Y8.\nG1 X100. Y38. F300.\nG4 P2.5\nG0 Y30.\nM30\n"
    rapid = 100.0 / 50.0 + 50.0 / 200.0
    feed = 30.0 / 5.0 + 5.0 / 200.0
    short = 2.0 * math.sqrt(8.0 / 200.0)
    assert seconds_of(track(text), shop.mill()) == pytest.approx(rapid + feed + 2.5 + short)
    result = shop.run(text, None)
    assert result.seconds == pytest.approx(rapid + feed + 2.5 + short)
    assert result.feed_length == pytest.approx(30.0)
    assert result.rapid_length == pytest.approx(math.hypot(100.0, 8.0) + 8.0)


def test_a_half_circle_is_as_long_as_it_is(shop: Shop) -> None:
    text = "G21 G90 G94 G17\nG0 X10. Y0. Z10.\nG3 X-10. Y0. I-10. J0. F300.\nM30\n"
    assert shop.run(text, None).feed_length == pytest.approx(math.pi * 10.0)


def test_inverse_time_feeds_are_turned_into_feeds_along_the_path() -> None:
    text = "G21 G90 G93\nG0 X0. Y0. Z0.\nG1 X30. F10.\nM30\n"
    moves = motions_of(paths_of(track(text), "G54", {}))
    assert moves[-1].rate == pytest.approx(300.0)


def test_the_json_document_has_the_keys_of_the_design(shop: Shop) -> None:
    result = shop.run(shop.lines(l18="G1 Y-30. F2000."), shop.job())
    document = as_json(result)
    assert json.loads(json.dumps(document, allow_nan=False)) == document
    assert list(document) == [
        "programs",
        "ok",
        "findings",
        "travel",
        "seconds",
        "feed_length",
        "rapid_length",
        "as_cut",
    ]
    assert document["programs"] == ["test"]
    assert document["ok"] is False
    assert list(document["findings"][0]) == [
        "code",
        "severity",
        "program",
        "line",
        "column",
        "message",
        "fix",
    ]
    assert document["travel"]["x"] == {"low": 340.0, "high": 420.0, "limit_low": 0.0, "limit_high": 760.0}
    assert document["as_cut"] == [
        {
            "feature": "section 1",
            "sides": 4,
            "across_flats": [pytest.approx(36.0)] * 4,
            "normals": pytest.approx([0.0, 90.0, 180.0, 270.0]),
            "not_cut": [],
            "worst_angle_error": pytest.approx(0.0, abs=1e-9),
        }
    ]


def test_what_is_not_known_is_null(shop: Shop) -> None:
    document = as_json(shop.run("G21 G90\nG0 Z10.\nM30\n", shop.job(), shop.mill(work_offsets={})))
    assert document["travel"]["x"] == {"low": None, "high": None, "limit_low": 0.0, "limit_high": 760.0}
    assert document["as_cut"][0]["across_flats"] == [None] * 4
    assert document["as_cut"][0]["worst_angle_error"] is None
