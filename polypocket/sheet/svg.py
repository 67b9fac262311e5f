"""A drawing as SVG, text that a page can hold or a file of its own."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from polypocket.sheet.ink import Box, Circle, Drawing, Item, LineKind, Path, Text

__all__ = ["svg_file", "svg_of"]

#: White round a drawing, mm.
_MARGIN = 1.5
#: Lettering of the drawings: any plain face; sizes are the same in all.
_FACE = "'Liberation Sans', Arial, Helvetica, sans-serif"
#: Height of capitals of such faces in their size; no source, measured on several.
_CAPITALS = 0.73
#: White round letters, half of it outside of them, as a share of their size. Common practice, no source.
_HALO = 0.4


def svg_of(drawing: Drawing, frame: Box | None = None) -> str:
    """Return a drawing as an ``svg`` element of its size on paper; ``frame`` is what it shows, all if left out."""
    box = frame or drawing.box().grown(_MARGIN)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{box.width:.3f}mm" height="{box.height:.3f}mm" '
        f'viewBox="0 0 {box.width:.3f} {box.height:.3f}" fill="none" stroke="currentColor" '
        f'stroke-linecap="butt" stroke-linejoin="round" font-family="{_FACE}">'
    )
    parts = (line for item in drawing.items for line in _item(item, box))
    return "\n".join([head, f"<title>{escape(drawing.title)}</title>", *parts, "</svg>"])


def svg_file(drawing: Drawing) -> str:
    """Return a drawing as a file of its own, true to scale."""
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{svg_of(drawing)}\n'.replace("currentColor", "#000")


def _item(item: Item, box: Box) -> Iterator[str]:
    def place(point: tuple[float, float]) -> tuple[str, str]:
        return _number(point[0] - box.left), _number(box.top - point[1])

    match item:
        case Path(kind, points, closed, mark):
            data = "M" + "L".join(" ".join(place(point)) for point in points) + ("Z" if closed else "")
            yield f'<path d="{data}"{_stroke(kind)}{_mark(mark)}/>'
        case Circle(kind, centre, radius, mark):
            x, y = place(centre)
            yield f'<circle cx="{x}" cy="{y}" r="{_number(radius)}"{_stroke(kind)}{_mark(mark)}/>'
        case Text(at, text, size, anchor, angle, mark, bold):
            x, y = place(at)
            turn = f' transform="rotate({_number(-angle)} {x} {y})"' if angle else ""
            # The paper shows round the letters where lines would run through them.
            halo = f'stroke="#fff" stroke-width="{_number(_HALO * size)}" paint-order="stroke"'
            weight = ' font-weight="bold"' if bold else ""
            yield (
                f'<text x="{x}" y="{y}" font-size="{_number(size / _CAPITALS)}" text-anchor="{anchor}" '
                f'fill="currentColor" {halo}{weight}{turn}{_mark(mark)}>{escape(text)}</text>'
            )


def _stroke(kind: LineKind) -> str:
    if kind is LineKind.SOLID:
        return ' fill="currentColor" stroke="none"'
    dashes = f' stroke-dasharray="{" ".join(map(_number, kind.dashes))}"' if kind.dashes else ""
    return f' stroke-width="{_number(kind.width)}"{dashes}'


def _mark(mark: str) -> str:
    return f' data-mark="{escape(mark)}"' if mark else ""


def _number(value: float) -> str:
    text = f"{value:z.3f}".rstrip("0").rstrip(".")
    return text or "0"
