"""The numbers beside the bars of travel."""

from __future__ import annotations

from polypocket.dryrun import AxisTravel
from polypocket.sheet.bars import bars_of


def test_every_number_has_as_many_decimals_as_on_the_screen() -> None:
    travel = {"x": AxisTravel(353.095, 406.9, 0.0, 762.0)}
    (mm,) = bars_of(travel, "mm")
    assert (mm.used, mm.margins) == ("353.1 to 406.9", "353.1 and 355.1 to spare")
    (inch,) = bars_of(travel, "inch")
    assert (inch.used, inch.margins) == ("13.90 to 16.02", "13.90 and 13.98 to spare")


def test_room_is_no_travel() -> None:
    (bar,) = bars_of({"x": AxisTravel(-27.25, 26.9, None, None)}, "mm")
    assert (bar.bar, bar.used, bar.margins) == (None, "-27.2 to 26.9", "travel not known")
