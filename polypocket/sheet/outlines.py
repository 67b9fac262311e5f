"""Outlines of stock and part as drawings show them: round stock as a circle, whatever polygon stands in for it."""

from __future__ import annotations

from collections.abc import Iterator

from polypocket.model.stock import Stock
from polypocket.shape.outline import Outline
from polypocket.sheet.ink import Circle, Item, LineKind, Path, Place, Point

__all__ = ["centre_lines", "reach", "span_at", "stock_item"]


def stock_item(stock: Stock, place: Place, kind: LineKind) -> Item:
    """Return the stock's nominal outline seen from above."""
    if stock.diameter is not None:
        return Circle(kind, place((0.0, 0.0)), place.scale * stock.diameter / 2.0, "stock")
    return Path(kind, place.all(stock.outline().vertices), closed=True, mark="stock")


def reach(stock: Stock) -> tuple[float, float]:
    """Return how far the stock reaches from its centre along X and along Y, mm."""
    if stock.diameter is not None:
        return stock.diameter / 2.0, stock.diameter / 2.0
    left, bottom, right, top = stock.outline().extents()
    return max(-left, right), max(-bottom, top)


def centre_lines(half_x: float, half_y: float, place: Place, beyond: float = 3.0) -> Iterator[Path]:
    """Yield the two centre lines of a view that reaches so far from the origin, ``beyond`` paper mm further."""
    x, y = place((0.0, 0.0))
    across, up = place.scale * half_x + beyond, place.scale * half_y + beyond
    yield Path(LineKind.CENTRE, ((x - across, y), (x + across, y)), mark="centre line")
    yield Path(LineKind.CENTRE, ((x, y - up), (x, y + up)), mark="centre line")


def span_at(outline: Outline, y: float) -> Point:
    """Return where a line at ``y`` (mm) enters and leaves a convex outline.

    Raises:
        ValueError: it does not meet it.
    """
    crossings = []
    for (x1, y1), (x2, y2) in outline.edges():
        if min(y1, y2) <= y <= max(y1, y2):
            if y1 == y2:
                crossings += [x1, x2]
            else:
                crossings.append(x1 + (y - y1) / (y2 - y1) * (x2 - x1))
    return min(crossings), max(crossings)
