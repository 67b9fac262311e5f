"""In which order sections are cut where a person sets each height: the one with the fewest heights.

From the top down every height is visited once: at each, all that stands outside the smallest section that reaches so
deep goes, down to the allowance, and at a section's floor its flats are finished too. Fewer will not do. The tip must
be at each floor that there is, so floors are heights. A column of material that no finishing cut takes is gone in bites
of at most a stepdown, so that no two heights above its foot are further apart; and what is outside the allowance of a
section is so for every shallower one, which stands inside. Both together: between one floor and the next as many
heights as the stepdown asks for where anything is roughed, else the floor alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from polypocket.model.job import NOTHING_LEFT
from polypocket.shape.outline import Outline
from polypocket.shape.polygon import RegularPolygon

__all__ = ["cut_sections", "fewest_heights"]

T = TypeVar("T")


def fewest_heights(sections: Sequence[int], stage: Callable[[int, int | None, int | None], T]) -> list[T]:
    """Return the stages of sections from the shallowest down, each begun at the floor of the one above.

    Args:
        sections: those that have a floor, from the shallowest down (``cut_sections``).
        stage: makes the stage of a section, given the section done above and the one done below it.
    """
    above = [None, *sections][: len(sections)]  # none where the stock has all sections already
    return [stage(section, upper, None) for section, upper in zip(sections, above, strict=True)]


def cut_sections(
    polygons: Sequence[RegularPolygon], flats: Sequence[Sequence[int]], stock: Outline
) -> tuple[int, ...]:
    """Return the sections, by index, that have a floor of their own: others go down with the next deeper one.

    Args:
        polygons: of the sections, from the shallowest down.
        flats: numbers of the flats to be cut of each.
        stock: as large as it may be.
    """
    kept: list[int] = []
    standing = stock
    for index in reversed(range(len(polygons))):
        polygon = polygons[index]
        lines = [(polygon.direction(flat), polygon.inradius) for flat in flats[index]]
        if any(standing.support(facing) > distance + NOTHING_LEFT for facing, distance in lines):
            kept.append(index)
        for facing, distance in lines:
            standing = standing.clip(facing, distance)
    return tuple(reversed(kept))
