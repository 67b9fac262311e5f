"""Returns to reference points on mills that give them, and on mills that do not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from polypocket.dryrun import DryRun, dry_run, seconds_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.reader import Dialect, read

if TYPE_CHECKING:
    from tests.dryrun.conftest import Shop

DIALECT = Dialect("test", reference_all_axes=True)


def run(shop: Shop, text: str, mill: Mill, job: BlockJob | None = None) -> DryRun:
    return dry_run([read(text, DIALECT, name="test")], mill, job)


def test_a_return_to_a_place_in_the_mill_file_is_clean(shop: Shop) -> None:
    mill = shop.mill(reference_points={"G28": (0.0, 0.0, 0.0), "G30": (380.0, 0.0, 0.0)})
    result = run(shop, shop.lines(l24="G91 G28 Z50.\nG30\nG90"), mill, shop.job())
    assert result.findings == ()
    assert (result.travel["z"].high, result.travel["x"].low, result.travel["y"].high) == (0.0, 0.0, 0.0)


def test_a_place_that_the_mill_file_does_not_give_is_an_error(shop: Shop) -> None:
    text = "G21 G90\nG0 X0 Y0 Z10.\nG28 Z20.\nG30 Z20.\nG0 Z10.\nG28\nM30\n"
    result = run(shop, text, shop.mill(reference_points={"G30": (0.0, 0.0, 0.0)}))
    assert [(f.code, f.severity, f.line) for f in result.findings] == [("unread", "error", 3)]
    assert "G28 = [X, Y, Z]" in result.findings[0].fix
    assert "[reference_points]" in result.findings[0].fix


def test_nobody_knows_what_stands_in_the_way_there_and_back(shop: Shop) -> None:
    text = shop.lines(l9="G0 Z10.\nG28")
    result = run(shop, text, shop.mill(), shop.job())
    assert ("unread", 10) in [(f.code, f.line) for f in result.findings]
    assert ("rapid-contact", 10) in [(f.code, f.line) for f in result.findings]


def test_a_place_beyond_the_travel_is_an_error(shop: Shop) -> None:
    mill = shop.mill(reference_points={"G28": (0.0, 0.0, 5.0)})
    result = run(shop, "G21 G90\nG0 X0 Y0 Z10.\nG28\nM30\n", mill)
    assert [(f.code, f.line) for f in result.findings] == [("travel", 3)]


def test_the_way_to_a_place_may_not_lead_through_the_work(shop: Shop) -> None:
    mill = shop.mill(reference_points={"G28": (0.0, 0.0, 0.0)}, rapid_path="straight")
    # From Z -6 on the far side of the block, first at that height to beyond the other side.
    text = shop.lines(l9="G28 X-60. Y0. Z-6.")
    assert ("rapid-contact", 9) in [(f.code, f.line) for f in run(shop, text, mill, shop.job()).findings]


def test_without_home_switches_there_is_no_such_place(shop: Shop) -> None:
    mill = shop.mill(homed=False, reference_points={"G28": (0.0, 0.0, 0.0)})
    result = run(shop, "G21 G90\nG0 X0 Y0 Z10.\nG28\nM30\n", mill)
    assert [(f.code, f.line) for f in result.findings] == [("travel", 3)]


def test_the_way_there_takes_its_time(shop: Shop) -> None:
    mill = shop.mill(reference_points={"G28": (0.0, 0.0, 0.0)})
    begin, end = "G21 G90\nG0 X0 Y0 Z10.\n", "\nM30\n"
    there = run(shop, f"{begin}G28{end}", mill)
    by_machine_coordinates = run(shop, f"{begin}G53 G0 X0 Y0 Z0{end}", mill)
    assert there.seconds == by_machine_coordinates.seconds > 1.0
    assert there.rapid_length == by_machine_coordinates.rapid_length
    assert seconds_of(read(f"{begin}G28{end}", DIALECT), mill) == there.seconds
