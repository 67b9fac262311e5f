"""Pages as PDF, true to scale."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from polypocket.sheet.ink import Circle, Item, LineKind, Path, Point, Text
from polypocket.sheet.paper import Page
from polypocket.units import MM_PER_INCH

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

__all__ = ["pdf_of"]

#: Points, the unit of PDF (ISO 32000-1, 8.3.2.3), a millimetre.
_POINTS = 72.0 / MM_PER_INCH
#: Height of capitals of Helvetica in its size (Adobe font metrics: 718 of 1000).
_CAPITALS = 0.718
#: White round a label, mm. Common practice, no source.
_ROUND = 0.3


def pdf_of(pages: Sequence[Page], title: str) -> bytes:
    """Return pages as a PDF file; the same bytes whenever it is made."""
    from reportlab.pdfgen.canvas import Canvas  # late: nothing else needs it

    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1)
    canvas.setTitle(title)
    # Ask viewers not to fit the page to the paper (ISO 32000-1, 12.2).
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((page.width * _POINTS, page.height * _POINTS))
        for item in page.furniture:
            _draw(canvas, item, (0.0, 0.0))
        canvas.saveState()
        window = canvas.beginPath()
        left, bottom, right, top = (edge * _POINTS for edge in page.window)
        window.rect(left, bottom, right - left, top - bottom)
        canvas.clipPath(window, stroke=0, fill=0)
        for item in page.layout:
            _draw(canvas, item, page.shift)
        canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _draw(canvas: Canvas, item: Item, shift: Point) -> None:
    def place(point: Point) -> Point:
        return (point[0] + shift[0]) * _POINTS, (point[1] + shift[1]) * _POINTS

    match item:
        case Path(kind, points, closed):
            _pen(canvas, kind)
            path = canvas.beginPath()
            path.moveTo(*place(points[0]))
            for point in points[1:]:
                path.lineTo(*place(point))
            if closed:
                path.close()
            canvas.drawPath(path, stroke=int(kind is not LineKind.SOLID), fill=int(kind is LineKind.SOLID))
        case Circle(kind, centre, radius):
            _pen(canvas, kind)
            canvas.circle(*place(centre), radius * _POINTS)
        case Text(at, text, size, anchor, angle, mark):
            canvas.saveState()
            canvas.translate(*place(at))
            canvas.rotate(angle)
            canvas.setFont("Helvetica", size * _POINTS / _CAPITALS)
            if mark:  # the paper shows round a label of the layout, whatever runs there
                width = canvas.stringWidth(text)
                start = {"start": 0.0, "middle": -width / 2.0, "end": -width}[anchor]
                left, low = start - _ROUND * _POINTS, -_ROUND * _POINTS
                canvas.setFillGray(1.0)
                canvas.rect(
                    left, low, width - 2.0 * (left - start), size * _POINTS - 2.0 * low, stroke=0, fill=1
                )
                canvas.setFillGray(0.0)
            draw = {
                "start": canvas.drawString,
                "middle": canvas.drawCentredString,
                "end": canvas.drawRightString,
            }
            draw[anchor](0.0, 0.0, text)
            canvas.restoreState()


def _pen(canvas: Canvas, kind: LineKind) -> None:
    canvas.setLineWidth(kind.width * _POINTS)
    canvas.setDash([part * _POINTS for part in kind.dashes])
