"""The layout of a block on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.layout import Corner, Mark, SectionLayout
from polypocket.screen.columns import columns
from polypocket.screen.lengths import Lengths
from polypocket.units import Units

__all__ = ["layout_lines"]


def layout_lines(layouts: Sequence[SectionLayout], units: Units) -> Iterator[str]:
    """Yield what a person scribes, in the job's units."""
    lengths = Lengths(units)
    yield f"To scribe, {lengths.unit}, on stock of nominal size"
    for layout in layouts:
        yield ""
        yield f"  Section {layout.section}: {layout.sides} sides, floor {lengths.text(layout.depth)} below the top"
        yield from columns(_sizes(layout, lengths), indent="    ", head=False)
        yield ""
        yield from columns(_corners(layout.corners, lengths), indent="    ")
        if layout.marks:
            yield ""
            yield from columns(_marks(layout.marks, lengths), indent="    ")


def _sizes(layout: SectionLayout, lengths: Lengths) -> list[list[str]]:
    rows = [
        ["across flats (twice centre to flat)", lengths.text(layout.across_flats)],
        ["across corners (twice centre to corner)", lengths.text(layout.across_corners)],
        ["side, and setting of the dividers", lengths.text(layout.side)],
    ]
    if layout.flat_to_corner is None:
        rows.append(["micrometer, flat to flat", lengths.text(layout.across_flats)])
    else:
        rows.append(["micrometer, flat to opposite corner", lengths.text(layout.flat_to_corner)])
    return rows


def _corners(corners: Sequence[Corner], lengths: Lengths) -> list[list[str]]:
    head = [
        "corner between flats",
        "X from centre",
        "Y from centre",
        "height on -X face",
        "height on -Y face",
    ]
    count = len(corners)
    return [
        head,
        *(
            [
                f"{corner.after_flat} and {corner.after_flat % count + 1}",
                *(
                    lengths.text(value)
                    for value in (corner.x, corner.y, corner.above_x_face, corner.above_y_face)
                ),
            ]
            for corner in corners
        ),
    ]


def _marks(marks: Sequence[Mark], lengths: Lengths) -> list[list[str]]:
    head = ["line of flat", "meets the face", "from its end at", "distance"]
    return [head, *([str(mark.flat), mark.face, mark.corner, lengths.text(mark.distance)] for mark in marks)]
