"""Lengths, rates, angles and powers as a person writes them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from polypocket.units import (
    MM_PER_INCH,
    Units,
    format_length,
    parse_acceleration,
    parse_angle,
    parse_direction,
    parse_length,
    parse_power,
    parse_rate,
    shown,
)

UNITS: tuple[Units, ...] = ("mm", "inch")


# Millimetre equivalents of fractions of an inch: Machinery's Handbook (from memory).
@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1/64 in", 0.396875),
        ("1/32 in", 0.79375),
        ("1/16 in", 1.5875),
        ("3/8 in", 9.525),
        ("17/64 in", 6.746875),
        ("1/2 in", 12.7),
        ("63/64 in", 25.003125),
    ],
)
def test_fractions_of_an_inch(text: str, mm: float) -> None:
    assert parse_length(text, "mm") == pytest.approx(mm, rel=1e-15)
    assert parse_length(text.removesuffix(" in"), "inch") == pytest.approx(mm, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12 mm", 12.0),
        ("12.5mm", 12.5),
        (".5 MM", 0.5),
        ("5. mm", 5.0),
        ("1/2 mm", 0.5),
        ("1 in", 25.4),
        ("2 inch", 50.8),
        ("2 inches", 50.8),
        ('1/2"', 12.7),
        ("1/2″", 12.7),
        ("1-1/2 in", 38.1),
        ("1 1/2 in", 38.1),
        ("1 - 1/2 in", 38.1),
        ("-1-1/2 in", -38.1),
        ("+3 mm", 3.0),
        ("40 thou", 1.016),
        ("0.5 thou", 0.0127),
        ("  7 mm ", 7.0),
    ],
)
@pytest.mark.parametrize("units", UNITS)
def test_text_with_its_unit_is_the_same_in_every_file(text: str, mm: float, units: Units) -> None:
    assert parse_length(text, units) == pytest.approx(mm, rel=1e-14)


@pytest.mark.parametrize(("units", "mm"), [("mm", 3.0), ("inch", 76.2)])
def test_numbers_are_in_the_units_of_the_file(units: Units, mm: float) -> None:
    assert parse_length(3, units) == pytest.approx(mm, rel=1e-15)
    assert parse_length(3.0, units) == pytest.approx(mm, rel=1e-15)


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("5", '"5" has no unit; write "5 mm", or a number without quotation marks'),
        ("1/2", '"1/2" has no unit and the file is in mm; write "1/2 in"'),
        ("1/0 in", '"1/0 in" divides by zero'),
        ("3 furlongs", '"3 furlongs": "furlongs" is not a unit known here; use mm, in or thou'),
        ("1-2 mm", '"1-2 mm" is not a length; write for example "12 mm", "1/2 in" or "40 thou"'),
        (
            "12,5 mm",
            '"12,5 mm" is not a length; write for example "12 mm", "1/2 in" or "40 thou"; '
            "write decimals with a point",
        ),
        ("", '"" is not a length; write for example "12 mm", "1/2 in" or "40 thou"'),
        ("1e3 mm", '"1e3 mm" is not a length; write for example "12 mm", "1/2 in" or "40 thou"'),
        ("٣ mm", '"٣ mm" is not a length; write for example "12 mm", "1/2 in" or "40 thou"'),
        ("1 mm\n", None),
        (math.nan, "nan is not a finite number"),
        (-math.inf, "-inf is not a finite number"),
        (10**400, "a number of more than 20 digits is not a finite number"),
        (1e6, "1000000.0 is larger than anything that makes sense on a mill"),
        ("9" * 400 + " mm", '"' + "9" * 40 + '…" is not a finite number'),
        ("9" * 400 + "/" + "9" * 400 + " mm", '"' + "9" * 40 + '…" is not a finite number'),
        (True, 'true is not a length: a number, or text such as "12 mm"'),
        ([1.0], 'an array is not a length: a number, or text such as "12 mm"'),
        ({}, 'a table is not a length: a number, or text such as "12 mm"'),
    ],
)
def test_lengths_that_are_none(value: object, message: str | None) -> None:
    if message is None:  # white space round a length does not matter
        assert parse_length(value, "mm") == 1.0
        return
    with pytest.raises(ValueError) as caught:
        parse_length(value, "mm")
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("value", "degrees"),
    [
        (30, 30.0),
        (-22.5, -22.5),
        ("30 deg", 30.0),
        ("30°", 30.0),
        ("-30°", -30.0),
        ("0° 6'", 0.1),
        ("0° 6′", 0.1),
        ("6'", 0.1),
        ("0° 6' 30\"", 390.0 / 3600.0),
        ("90'", 1.5),
        ('36"', 0.01),
        ("1°30'", 1.5),
        ("1° 7.5'", 1.125),
    ],
)
def test_angles(value: object, degrees: float) -> None:
    assert parse_angle(value) == pytest.approx(math.radians(degrees), rel=1e-14)


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("30", '"30" is not an angle; write degrees as a number, or text such as "0° 6\'"'),
        ("", '"" is not an angle; write degrees as a number, or text such as "0° 6\'"'),
        ("-", '"-" is not an angle; write degrees as a number, or text such as "0° 6\'"'),
        ("6' 0°", '"6\' 0°" is not an angle; write degrees as a number, or text such as "0° 6\'"'),
        ("0° 60'", '"0° 60\'": 60 minutes are a whole degree or more'),
        ("1' 60\"", '"1\' 60"": 60 seconds are a whole minute or more'),
        ("0.5° 6'", '"0.5° 6\'": only the last part of an angle may have decimals'),
        (361, "361 is larger than anything that makes sense on a mill"),
        (math.nan, "nan is not a finite number"),
        (False, 'false is not an angle: a number of degrees, or text such as "0° 6\'"'),
    ],
)
def test_angles_that_are_none(value: object, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        parse_angle(value)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("value", "degrees"), [("+x", 0), ("+y", 90), ("-x", 180), ("-Y", 270), (15.0, 15.0), ("15°", 15.0)]
)
def test_directions(value: object, degrees: float) -> None:
    assert parse_direction(value) == pytest.approx(math.radians(degrees), abs=1e-15)


@pytest.mark.parametrize("value", ["x", "+z", "north", "", True])
def test_directions_that_are_none(value: object) -> None:
    with pytest.raises(ValueError, match=r"is not an? (direction|angle)"):
        parse_direction(value)


# NIST SP 811 (2008), appendix B.8: horsepower (550 ft·lbf/s) = 7.456 999 E+02 W.
@pytest.mark.parametrize(
    ("value", "watts"), [("1 hp", 745.6999), ("2 HP", 1491.3998), ("1.5 kW", 1500), (250, 250)]
)
def test_powers(value: object, watts: float) -> None:
    assert parse_power(value) == pytest.approx(watts, rel=1e-6)


@pytest.mark.parametrize("value", ["2", "2 PS", "hp", True, math.inf, 1e9])
def test_powers_that_are_none(value: object) -> None:
    with pytest.raises(ValueError):
        parse_power(value)


def test_rates_and_accelerations() -> None:
    assert parse_rate(20.0, "inch") == pytest.approx(508.0)
    assert parse_rate("20 in/min", "mm") == pytest.approx(508.0)
    assert parse_rate("480 mm / min", "inch") == 480.0
    assert parse_acceleration("8 in/s²", "mm") == parse_acceleration(8, "inch") == pytest.approx(203.2)
    assert parse_acceleration("250 mm/s^2", "inch") == parse_acceleration("250mm/s2", "mm") == 250.0


@pytest.mark.parametrize("value", ["480 mm", "480", "8 mm/s", "/min", 1e7])
def test_rates_that_are_none(value: object) -> None:
    with pytest.raises(ValueError):
        parse_rate(value, "mm")


@pytest.mark.parametrize(
    ("mm", "units", "decimals", "text"),
    [
        (12.5, "mm", None, "12.500 mm"),
        (12.5, "inch", None, "0.4921 in"),
        (12.5, "inch", 2, "0.49 in"),
        (-0.0001, "mm", 3, "0.000 mm"),
        (-25.4, "inch", 1, "-1.0 in"),
    ],
)
def test_format_length(mm: float, units: Units, decimals: int | None, text: str) -> None:
    assert format_length(mm, units, decimals) == text


def test_format_length_refuses_what_is_not_finite() -> None:
    with pytest.raises(ValueError, match="not a finite length"):
        format_length(math.nan, "mm")


@given(st.floats(-9e4, 9e4), st.sampled_from(UNITS), st.sampled_from(UNITS), st.integers(0, 6))
def test_a_formatted_length_reads_as_what_it_was(
    mm: float, units: Units, other: Units, decimals: int
) -> None:
    half_digit = 0.5 * 10.0**-decimals * (MM_PER_INCH if units == "inch" else 1.0)
    assert parse_length(format_length(mm, units, decimals), other) == pytest.approx(
        mm, abs=half_digit * 1.000001 + 1e-9
    )


@given(st.integers(0, 99), st.integers(0, 127), st.sampled_from([2, 4, 8, 16, 32, 64, 128]))
def test_whole_and_fraction_add_up(whole: int, top: int, bottom: int) -> None:
    assert parse_length(f"{whole}-{top}/{bottom}", "inch") == pytest.approx(
        (whole + top / bottom) * MM_PER_INCH
    )


@given(st.integers(0, 359), st.integers(0, 59), st.integers(0, 59))
def test_degrees_minutes_and_seconds_add_up(degrees: int, minutes: int, seconds: int) -> None:
    whole = (degrees * 60 + minutes) * 60 + seconds
    assert parse_angle(f"{degrees}° {minutes}' {seconds}\"") == pytest.approx(math.radians(whole / 3600.0))


@given(st.text())
def test_any_text_is_read_or_refused_in_one_printable_line(text: str) -> None:
    for read in (parse_angle, parse_direction, parse_power, lambda value: parse_length(value, "inch")):
        try:
            assert math.isfinite(read(text))
        except ValueError as error:
            assert str(error).isprintable()


def test_shown_leaves_nothing_for_a_terminal_to_act_on() -> None:
    assert shown("a\x1b[2Jb\u202e") == '"a\\x1b[2Jb\\u202e"'
    assert shown("x" * 50) == f'"{"x" * 40}…"'
