"""Stock, sections and clamping in words, for headers and screens; lengths in the job's units."""

from __future__ import annotations

import math
from collections.abc import Callable

from polypocket.model.clamping import Clamping
from polypocket.model.job import BlockJob, Section, flats_left
from polypocket.model.stock import Stock
from polypocket.units import Units, format_length

__all__ = ["clamping_in_words", "lengths_in", "section_in_words", "stock_in_words"]


def lengths_in(units: Units) -> Callable[[float], str]:
    """Return a function from mm to text with its unit."""
    return lambda mm: format_length(mm, units)


def stock_in_words(stock: Stock, units: Units) -> str:
    """Return what the block is cut from, such as ``square 130.000 mm, 34.000 mm thick``."""
    length = lengths_in(units)
    match stock.shape:
        case "square":
            shape = f"square {length(stock.width or 0.0)}"
        case "rectangle":
            shape = f"rectangle {length(stock.width or 0.0)} along X, {length(stock.length or 0.0)} along Y"
        case "round":
            shape = f"round, diameter {length(stock.diameter or 0.0)}"
        case "polygon":
            shape = f"{stock.sides} sides, {length(stock.across_flats or 0.0)} across flats"
    oversize = f", up to {length(stock.oversize)} over size" if stock.oversize else ""
    return f"{shape}, {length(stock.thickness)} thick{oversize}"


def section_in_words(job: BlockJob, section: Section) -> str:
    """Return a section's size, depth and direction, and which of its flats stay as the stock has them."""
    length = lengths_in(job.units)
    left = sorted(flats_left(job, section))
    kept = f", flats {', '.join(map(str, left))} are the stock's own and not cut" if left else ""
    return (
        f"{section.sides} sides, {length(section.across_flats)} across flats, down to {length(section.depth)}, "
        f"flat 1 faces {math.degrees(section.first_flat):.6g}°{kept}"
    )


def clamping_in_words(clamping: Clamping, units: Units) -> str:
    """Return how the stock is held."""
    length = lengths_in(units)
    if clamping.grip == "vise":
        return (
            f"vise, jaws along {clamping.jaws_along.upper()}, {length(clamping.held)} of the thickness held"
        )
    above = f", clamps up to {length(clamping.clamp_height)} above it" if clamping.clamp_height else ""
    return f"clamped down on a plate, nothing above the stock's top{above or ' at all'}"
