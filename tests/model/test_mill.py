"""What the mills that ship, and the example mills, mean."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from pydantic import ValidationError

from polypocket.errors import PolypocketError
from polypocket.model.files import load_mill, shipped_mills
from polypocket.model.mill import CutterRegisters, Mill, SpindleDrive
from polypocket.model.written_mill import WrittenMill

MILLS = Path(__file__).parents[2] / "fixtures" / "mills"


def mill_of_text(text: str) -> Mill:
    tables = tomllib.loads(text)
    return WrittenMill.model_validate(tables, context={"units": tables["units"]}).resolved()


def test_knee_mill_in_inches(knee_mill: Mill) -> None:
    assert (knee_mill.units, knee_mill.post, knee_mill.rapid_path) == ("inch", "rs274ngc", "independent")
    assert (knee_mill.homed, knee_mill.work_offset, knee_mill.length_offset) == (True, "G54", False)
    assert knee_mill.feed_max == pytest.approx(1524.0)
    x, y, z = knee_mill.axes.x, knee_mill.axes.y, knee_mill.axes.z
    assert (x.low, x.high) == pytest.approx((0.0, 762.0))
    assert (y.low, y.high) == pytest.approx((-304.8, 0.0))
    assert (z.low, z.high) == pytest.approx((-127.0, 0.0))
    assert (x.rapid, y.rapid, z.rapid) == pytest.approx((3048.0, 3048.0, 2032.0))
    assert (x.acceleration, x.acceleration_assumed) == (pytest.approx(203.2), False)
    assert (x.backlash, y.backlash, z.backlash) == pytest.approx((0.0508, 0.0762, 0.0))
    assert (x.driven, x.power_feed, y.power_feed) == (True, True, False)
    assert (knee_mill.spindle.rpm_low, knee_mill.spindle.rpm_high, knee_mill.spindle.speeds) == (
        60.0,
        4200.0,
        None,
    )
    assert knee_mill.spindle.power == pytest.approx(1491.4, rel=1e-5)
    assert (knee_mill.spindle.controlled, knee_mill.coolant.controlled) == (True, False)
    assert knee_mill.tool_change.automatic is False
    assert knee_mill.tool_change.at == pytest.approx((381.0, -25.4, 0.0))
    assert knee_mill.vise is not None
    vise = knee_mill.vise
    assert (vise.opening, vise.jaw_width, vise.jaw_height) == pytest.approx((152.4, 152.4, 44.45))
    assert vise.body == pytest.approx((406.4, 228.6, 114.3))
    assert knee_mill.work_offsets["G54"] == pytest.approx((381.0, -152.4, -76.2))


def test_the_shop_has_the_knee_mill_that_ships(knee_mill: Mill) -> None:
    assert load_mill(MILLS / "repair_shop_knee_mill.toml") == knee_mill


def test_what_stands_round_the_work_is_written_out_as_an_example() -> None:
    """The lines that the shipped file leaves as comments, taken out of them, in inches as the file is."""
    text = (MILLS / "repair_shop_knee_mill.toml").read_text(encoding="utf-8")
    plain, example = text.split("# [table]")
    mill = mill_of_text(plain + re.sub(r"(?m)^# ?", "", "# [table]" + example))
    assert mill.table is not None
    assert mill.table.x == pytest.approx((-152.4, 914.4))
    assert mill.table.z == pytest.approx(-215.9)
    assert mill.column is not None
    assert mill.column.throat == pytest.approx(304.8)
    (head,) = mill.keep_out
    assert head.name == "dividing head"
    assert (*head.x, *head.y, *head.z) == pytest.approx((609.6, 762.0, -228.6, -76.2, -215.9, -63.5))
    assert mill.model_copy(update={"table": None, "column": None, "keep_out": ()}) == mill_of_text(plain)


def test_lengths_of_what_stands_round_the_work_may_carry_their_unit() -> None:
    text = (
        (MILLS / "pulley_head.toml").read_text(encoding="utf-8")
        + "\n[column]\nthroat = '6 in'\n[[keep_out]]\nname = 'stop'\nx = [0, '1/2 in']\n"
        + "y = ['-1 in', 0]\nz = [-200, '-40 mm']\n"
    )
    mill = mill_of_text(text)
    assert mill.column is not None
    assert mill.column.throat == pytest.approx(152.4)
    assert (mill.keep_out[0].x, mill.keep_out[0].y, mill.keep_out[0].z) == (
        (0.0, pytest.approx(12.7)),
        (pytest.approx(-25.4), 0.0),
        (-200.0, -40.0),
    )


def test_a_mill_says_nothing_of_what_stands_round_the_work_unless_it_is_given(knee_mill: Mill) -> None:
    assert (knee_mill.table, knee_mill.column, knee_mill.keep_out) == (None, None, ())


def test_pulley_head_and_what_is_taken_where_a_file_says_nothing() -> None:
    mill = load_mill(str(MILLS / "pulley_head.toml"))
    assert mill.spindle.speeds == (80.0, 135.0, 210.0, 325.0, 660.0, 1115.0, 1750.0, 2720.0)
    assert (mill.spindle.rpm_low, mill.spindle.rpm_high, mill.spindle.power) == (80.0, 2720.0, 1500.0)
    assert mill.feed_max == pytest.approx(508.0)
    assert mill.axes.z.low == pytest.approx(-127.0)
    axes = (mill.axes.x, mill.axes.y, mill.axes.z)
    assert [(axis.acceleration, axis.acceleration_assumed) for axis in axes] == [(250.0, True)] * 3
    assert [axis.backlash for axis in axes] == [0.05, 0.05, 0.0]
    assert (mill.rapid_path, mill.length_offset) == ("independent", False)
    assert (mill.vise, mill.coolant.controlled, mill.tool_change.automatic) == (None, False, False)


def test_mills_that_ship() -> None:
    names = shipped_mills()
    assert {"bench-mill", "knee-mill-3-axis", "knee-mill-ballscrews", "knee-mill-by-hand"} <= set(names)
    assert list(names) == sorted(names)
    mills = {name: load_mill(name) for name in names}
    assert {mill.units for mill in mills.values()} == {"mm", "inch"}
    assert len({mill.name for mill in mills.values()}) == len(mills)
    for mill in mills.values():
        assert not mill.homed or mill.work_offset in mill.work_offsets
        for place in (*mill.work_offsets.values(), *mill.reference_points.values()):
            for axis, position in zip((mill.axes.x, mill.axes.y, mill.axes.z), place, strict=True):
                assert axis.low <= position <= axis.high


def _with_references(table: str) -> str:
    text = (MILLS / "pulley_head.toml").read_text(encoding="utf-8")
    return f"{text}\n[reference_points]\n{table}\n"


def test_reference_points_are_lengths_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "mill.toml"
    path.write_text(_with_references('G28 = [0.0, -10.0, "1 in"]\nG30 = [1, 2, 3]'), encoding="utf-8")
    mill = load_mill(str(path))
    scale = 25.4 if mill.units == "inch" else 1.0
    assert mill.reference_points["G28"] == pytest.approx((0.0, -10.0 * scale, 25.4))
    assert mill.reference_points["G30"] == pytest.approx((scale, 2.0 * scale, 3.0 * scale))


def test_a_mill_need_not_have_reference_points() -> None:
    assert load_mill("bench-mill").reference_points == {}
    assert load_mill("knee-mill-3-axis").reference_points["G28"] == pytest.approx((381.0, -25.4, 0.0))


@pytest.mark.parametrize(
    ("table", "text"),
    [
        (
            "G29 = [0.0, 0.0, 0.0]",
            'reference_points.G29: "G29" is not a reference point; they are G28 and G30',
        ),
        (
            "G28 = [0.0, 0.0]",
            "reference_points.G28: an array of 3 lengths, X, Y and Z, is wanted, not one of 2",
        ),
        ("G28 = 0.0", "reference_points.G28: 0.0 is not an array of lengths, X, Y and Z"),
    ],
)
def test_reference_points_that_are_wrong(tmp_path: Path, table: str, text: str) -> None:
    path = tmp_path / "mill.toml"
    path.write_text(_with_references(table), encoding="utf-8")
    with pytest.raises(PolypocketError) as caught:
        load_mill(str(path))
    assert text in str(caught.value)


def test_ballscrews_have_little_play() -> None:
    mill = load_mill("knee-mill-ballscrews")
    assert mill.post == "iso6983"
    assert max(mill.axes.x.backlash, mill.axes.y.backlash) <= 0.01


@pytest.mark.parametrize(
    ("rpm", "has"), [(60.0, True), (59.9, False), (4200.0, True), (4201.0, False), (1000.0, True)]
)
def test_adjustable_spindle(knee_mill: Mill, rpm: float, has: bool) -> None:
    assert knee_mill.spindle.has(rpm) is has


@pytest.mark.parametrize(("rpm", "has"), [(80.0, True), (81.0, False), (210.0, True), (100.0, False)])
def test_pulley_spindle(rpm: float, has: bool) -> None:
    spindle = SpindleDrive(rpm_low=80.0, rpm_high=210.0, speeds=(80.0, 135.0, 210.0), controlled=True)
    assert spindle.has(rpm) is has


def test_the_control_s_registers_are_in_the_file_s_units(tmp_path: Path) -> None:
    text = (MILLS / "repair_shop_knee_mill.toml").read_text(encoding="utf-8")
    path = tmp_path / "mill.toml"
    path.write_text(text, encoding="utf-8")
    assert load_mill(path).cutter_registers.radius == {}
    table = (
        '\n[cutter_registers]\nradius = { "1" = 0.0, "2" = 0.25, "99999" = "-0.05 mm", "3" = "3/16 in" }\n'
    )
    path.write_text(text + table, encoding="utf-8")
    radius = load_mill(path).cutter_registers.radius
    assert radius == pytest.approx({1: 0.0, 2: 6.35, 99999: -0.05, 3: 4.7625})


@pytest.mark.parametrize("number", [0, -1, True, 1.0, "x", "1 ", 100000])
def test_a_register_s_number_is_whole_and_from_1(number: object) -> None:
    with pytest.raises(ValidationError, match="is not a register's number"):
        CutterRegisters.model_validate({"radius": {number: 1.0}})


def test_a_mill_made_in_code_has_its_registers_by_number() -> None:
    assert CutterRegisters(radius={7: -0.5}).radius == {7: -0.5}
