"""The travel that a program uses, a bar for each axis."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import NamedTuple

from polypocket.dryrun import AxisTravel
from polypocket.screen.lengths import Lengths
from polypocket.sheet.hatching import hatched
from polypocket.sheet.ink import Drawing, Item, LineKind, Path, Text
from polypocket.sheet.sizes import size_text
from polypocket.units import Units

__all__ = ["AxisBar", "bars_of"]

#: Length and height of a bar, mm on paper.
_LENGTH, _HEIGHT = 84.0, 5.0


class AxisBar(NamedTuple):
    """One axis: its name, its bar if its travel is known, and its numbers in words."""

    axis: str
    bar: Drawing | None
    used: str
    margins: str


def bars_of(travel: Mapping[str, AxisTravel], units: Units) -> tuple[AxisBar, ...]:
    """Return each axis's travel in machine coordinates, the part that is used hatched; lengths in ``units``."""
    return tuple(_axis(axis.upper(), each, units) for axis, each in travel.items())


def _axis(axis: str, travel: AxisTravel, units: Units) -> AxisBar:
    low, high, least, most = travel.low, travel.high, travel.limit_low, travel.limit_high
    if low is None or high is None:
        return AxisBar(axis, None, "not known", "")
    text = partial(Lengths(units).text, fewer=2)  # as on the screen: each number with as many decimals
    used = f"{text(low)} to {text(high)}"
    if least is None or most is None:
        return AxisBar(axis, None, used, "travel not known")
    margins = f"{text(low - least)} and {text(most - high)} to spare"
    drawing = Drawing(
        f"{axis}: {used} of {size_text(least, units)} to {size_text(most, units)}",
        tuple(_bar(low, high, least, most, units)),
    )
    return AxisBar(axis, drawing, used, margins)


def _bar(low: float, high: float, least: float, most: float, units: Units) -> Iterator[Item]:
    left, right = min(low, least), max(high, most)

    def x(place: float) -> float:
        return _LENGTH * (place - left) / (right - left)

    used = ((x(low), 0.0), (x(high), 0.0), (x(high), _HEIGHT), (x(low), _HEIGHT))
    yield from hatched([used], 1.5)
    yield Path(LineKind.VISIBLE, used, closed=True, mark="used")
    whole = ((x(least), 0.0), (x(most), 0.0), (x(most), _HEIGHT), (x(least), _HEIGHT))
    yield Path(LineKind.NARROW, whole, closed=True, mark="travel")
    for place, anchor in ((least, "start"), (most, "end")):
        yield Path(LineKind.VISIBLE, ((x(place), -1.0), (x(place), _HEIGHT + 1.0)))
        yield Text((x(place), -4.0), size_text(place, units), 2.0, anchor)
