"""Whether a mill is of a size that mills have: what a file in the wrong units betrays itself by."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from polypocket.errors import Mistake
from polypocket.model.mill import Mill
from polypocket.units import Units, format_length

__all__ = ["mistakes_of_size", "mistakes_of_units", "other_units"]

#: Least and most that mills have, mm: travel of table and saddle, of the height, and sizes of a vise. They are so far
#: apart that they know a mill from none, and inches from millimetres. Common practice, no source.
_TRAVEL: Final = {"x": (50.0, 5000.0), "y": (50.0, 5000.0), "z": (4.0, 5000.0)}
_VISE: Final = {"opening": (15.0, 1000.0), "jaw_width": (25.0, 1000.0), "jaw_height": (5.0, 300.0)}

#: The same for the fastest feed and for rapid, mm/min; a person at a handwheel is quicker than the least.
#: Common practice, no source.
_FEED_MAX: Final = (100.0, 60_000.0)
_RAPID: Final = (100.0, 150_000.0)


def other_units(units: Units) -> Units:
    """Return the units that a file in ``units`` may have been meant in."""
    return "inch" if units == "mm" else "mm"


def mistakes_of_size(mill: Mill) -> tuple[Mistake, ...]:
    """Return each figure of a mill that no mill has, at its place in the mill's file."""
    return tuple(_mistakes_of_size(mill))


def mistakes_of_units(mill: Mill, in_other_units: Mill | None) -> tuple[Mistake, ...]:
    """Return what is wrong with a mill's sizes; one mistake where they all come of the wrong units.

    Args:
        mill: as the file has it.
        in_other_units: what the same file means with its plain numbers in the other units; ``None`` where that
            cannot be.
    """
    mistakes = mistakes_of_size(mill)
    if not mistakes or in_other_units is None or mistakes_of_size(in_other_units):
        return mistakes
    others = f" (and {len(mistakes) - 1} more figures)" if len(mistakes) > 1 else ""
    message = (
        f'"{mill.units}" cannot be right: {mistakes[0].place} would be {_figure(mistakes[0])}{others}; with '
        f'"{in_other_units.units}" all numbers are such as mills have; look at them, and put the units right'
    )
    return (Mistake("units", message),)


def _figure(mistake: Mistake) -> str:
    return mistake.message.partition(";")[0]


def _mistakes_of_size(mill: Mill) -> Iterator[Mistake]:
    units = mill.units
    axes = (("x", mill.axes.x), ("y", mill.axes.y), ("z", mill.axes.z))
    for name, axis in axes:
        yield from _outside(f"axes.{name}.travel", axis.high - axis.low, _TRAVEL[name], units, " long")
    for name, axis in axes:
        yield from _outside(f"axes.{name}.rapid", axis.rapid, _RAPID, units, " a minute")
    yield from _outside("feed_max", mill.feed_max, _FEED_MAX, units, " a minute")
    if mill.vise is not None:
        for key, limits in _VISE.items():
            yield from _outside(f"vise.{key}", getattr(mill.vise, key), limits, units)


def _outside(
    place: str, value: float, limits: tuple[float, float], units: Units, per: str = ""
) -> Iterator[Mistake]:
    """Yield the mistake of a figure that is outside of what mills have."""
    low, high = limits
    if low <= value <= high:
        return
    than = f"less than {format_length(low, units, 1)}"
    if value > high:
        than = f"more than {format_length(high, units, 1)}"
    message = (
        f"{format_length(value, units)}{per}, and no mill has {than}{per}; plain numbers of this file are taken as "
        f'{units}, since it says units = "{units}"'
    )
    yield Mistake(place, message)
