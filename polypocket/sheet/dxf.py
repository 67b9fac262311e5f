"""The layout as DXF, in the job's units, each section on a layer of its own."""

from __future__ import annotations

import io
import re

from polypocket.sheet.ink import Circle, Drawing, Path, Text
from polypocket.units import MM_PER_INCH, Units

__all__ = ["dxf_of", "layer_of"]

#: $INSUNITS of the DXF reference: 1 inches, 4 millimetres.
_UNITS: dict[Units, int] = {"inch": 1, "mm": 4}
_SECTION = re.compile(r"(section \d+) (flat|corner) \d+")


def layer_of(mark: str) -> str:
    """Return the layer of an item: ``STOCK``, ``CENTRE``, ``SECTION_1``, ``SECTION_1_CORNERS`` or ``TEXT``."""
    match = _SECTION.fullmatch(mark)
    if match:
        name = match[1].upper().replace(" ", "_")
        return name if match[2] == "flat" else f"{name}_CORNERS"
    return {"stock": "STOCK", "centre line": "CENTRE"}.get(mark, "TEXT")


def dxf_of(drawing: Drawing, units: Units) -> str:
    """Return a drawing in millimetres as a DXF file in ``units``."""
    from ezdxf.document import Drawing as Document  # late: nothing else needs it
    from ezdxf.enums import TextEntityAlignment
    from ezdxf.tools.standards import setup_linetypes

    factor = 1.0 if units == "mm" else 1.0 / MM_PER_INCH
    document = Document.new("R2010")
    setup_linetypes(document)
    document.header["$INSUNITS"] = _UNITS[units]
    document.header["$MEASUREMENT"] = int(units == "mm")
    space = document.modelspace()
    alignments = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }
    for item in drawing.items:
        layer = layer_of(item.mark)
        if layer not in document.layers:
            linetype = {"STOCK": "PHANTOM", "CENTRE": "CENTER"}.get(layer, "CONTINUOUS")
            document.layers.add(layer, linetype=linetype)
        attributes = {"layer": layer}
        match item:
            case Path(_, points, closed):
                scaled = [(x * factor, y * factor) for x, y in points]
                if len(scaled) == 2:
                    space.add_line(scaled[0], scaled[1], dxfattribs=attributes)
                else:
                    space.add_lwpolyline(scaled, close=closed, dxfattribs=attributes)
            case Circle(_, (x, y), radius):
                space.add_circle((x * factor, y * factor), radius * factor, dxfattribs=attributes)
            case Text((x, y), text, size, anchor, angle):
                entity = space.add_text(text, height=size * factor, rotation=angle, dxfattribs=attributes)
                entity.set_placement((x * factor, y * factor), align=alignments[anchor])
    buffer = io.StringIO()
    document.write(buffer)
    return buffer.getvalue()
