"""Whole programs with radius compensation through the dry run. Worked by hand."""

from __future__ import annotations

import math

import pytest

from polypocket.dryrun import dry_run, seconds_of
from polypocket.reader import read
from tests.dryrun.conftest import Shop
from tests.dryrun.contours import (
    DIALECT,
    OUTSIDE,
    track_of,
)


def compensated(program: str, flat: str) -> str:
    """The shop's program with each pass come upon under G42, along ``flat`` instead of 23, and left under G40."""
    lines = program.splitlines()
    for first, away in ((7, "X40. Y40."), (12, "X-40. Y40."), (17, "X-40. Y-40."), (22, "X40. Y-40.")):
        lines[first - 1] = f"G42 D1 {lines[first - 1].replace('23', flat)}"
        lines[first] += f"\nG40\nG1 {away}"
    return "\n".join(lines) + "\n"


def test_a_part_cut_along_its_own_contour(shop: Shop) -> None:
    # The block's flats are at ±18, and the register holds the cutter's radius of 5.
    text = compensated(shop.program, "18")
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    result = shop.run(text, shop.job(), mill)
    assert [(f.code, f.line, f.message) for f in result.findings] == []
    assert result.as_cut[0].across_flats == pytest.approx((36.0,) * 4, abs=0.01)
    # 0.05 more in the register leaves 0.05 more on every flat; without the register nobody knows
    larger = shop.run(text, shop.job(tolerance__size=0.2), shop.mill(cutter_registers={"radius": {1: 5.05}}))
    assert larger.as_cut[0].across_flats == pytest.approx((36.1,) * 4, abs=0.01)
    unknown = shop.run(text, shop.job())
    assert ("compensation", 7) in [(finding.code, finding.line) for finding in unknown.findings]
    assert not unknown.ok
    plain = shop.run(text, shop.job(), shop.mill(cutter_registers={"radius": {1: 0.0}}))
    assert "gouge" in {finding.code for finding in plain.findings}


def test_a_path_that_carries_the_cutter_s_nominal_radius(shop: Shop) -> None:
    # The path lies at 18 + 5. With the cutter as the job wants it the register holds nothing; one that was ground
    # down by 0.05 in radius wants −0.05, and the size is right again.
    text = compensated(shop.program, "23")
    for diameter, register, across in (
        (10.0, 0.0, 36.0),
        (9.9, 0.0, 36.1),
        (9.9, -0.05, 36.0),
        (10.0, 0.05, 36.1),
    ):
        named = text.replace("DIAMETER 10.000", f"DIAMETER {diameter:.3f}")
        job = shop.job(cutter__diameter=diameter, tolerance__size=0.2)
        result = shop.run(named, job, shop.mill(cutter_registers={"radius": {1: register}}))
        assert result.as_cut[0].across_flats == pytest.approx((across,) * 4, abs=0.01)
        expected = {"left-standing"} if across > 36.05 else set()
        assert {finding.code for finding in result.findings} == expected, result.findings


def test_travel_times_and_lengths_are_the_centre_s(shop: Shop) -> None:
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    track = track_of(OUTSIDE + "\nG0 Z0")
    result = dry_run([track], mill, None)
    assert (result.travel["x"].low, result.travel["x"].high) == pytest.approx((380.0 - 25.0, 380.0 + 25.0))
    assert result.feed_length == pytest.approx(15.0 + 160.0 + 10.0 * math.pi + 15.0)
    assert result.seconds == pytest.approx(seconds_of(track, mill))
    assert result.seconds > seconds_of(track, shop.mill(cutter_registers={"radius": {1: 0.0}}))


def test_a_program_that_ends_by_its_percent_with_compensation_on(shop: Shop) -> None:
    text = f"%\nG21 G17 G90 G94 S500 M3\nF100 {OUTSIDE.split('G40')[0]}M5\n%\n"
    mill = shop.mill(cutter_registers={"radius": {1: 5.0}})
    result = dry_run([read(text, DIALECT, name="test")], mill, None)
    assert [(f.code, f.message) for f in result.findings] == [
        ("compensation", "the program ends with radius compensation on")
    ]
