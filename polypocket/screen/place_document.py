"""Where a job fits on a mill, as JSON."""

from __future__ import annotations

import math
from typing import Any

from polypocket.dryrun import as_json
from polypocket.plan.place import Place
from polypocket.prove.fitting import Fitting
from polypocket.prove.indicator import indicator_for
from polypocket.screen.grip import grip_document
from polypocket.screen.place import step_text

__all__ = ["place_document"]


def place_document(fitting: Fitting) -> dict[str, Any]:
    """Return the same as what ``json.dumps`` takes; lengths mm, angles degrees."""
    placed = fitting.best
    return {
        "job": fitting.job.name,
        "machine": fitting.mill.name,
        "ok": fitting.ok,
        "homed": fitting.mill.homed,
        "settings": [_place_document(place, fitting) for place in fitting.places],
        "best": _place_document(placed.place, fitting) if placed is not None and placed.place else None,
        "set": None
        if fitting.set_zero is None
        else {
            "zero": fitting.set_zero,
            "fits_at": [round(math.degrees(each), 9) for each in fitting.fits_set],
        },
        "remedies": [
            {
                "kind": each.change.kind,
                "text": each.change.text,
                "write": each.change.write,
                "seconds": each.seconds,
                **_place_document(each.place, fitting),
            }
            for each in fitting.remedies.found
        ],
        "tried": [
            {"kind": each.change.kind, "text": each.change.text, "why": each.why}
            for each in fitting.remedies.tried
        ],
        "clampings": fitting.remedies.clampings,
        "grip": grip_document(fitting.job, fitting.mill),
        "swivel_base_needless": fitting.swivel_base is not None,
        "dryrun": as_json(fitting.verdict) if fitting.verdict is not None else None,
    }


def _place_document(place: Place, fitting: Fitting) -> dict[str, Any]:
    homed = fitting.mill.homed
    indicator = indicator_for(place.swivel, fitting.job.clamping.jaws_along, fitting.mill)
    region = None
    if homed and place.fits:
        ends = zip("xyz", place.region.low, place.region.high, strict=True)
        region = {axis: {"low": low, "high": high} for axis, low, high in ends}
    rooms = zip("xyz", place.room.low, place.room.high, strict=True)
    return {
        "swivel": round(math.degrees(place.swivel), 9),
        "fits": place.fits,
        "room": {axis: {"low": low.at, "high": high.at} for axis, low, high in rooms},
        "region": region,
        "without_keep_outs": _outlines(place) if region is not None else None,
        "zero": place.zero,
        "margin": place.margin,
        "misfits": [
            {
                "axis": each.axis,
                "over": each.over,
                "what": each.what,
                "moves": [step_text(each.low), step_text(each.high)],
            }
            for each in place.misfits
        ],
        "indicator": None
        if indicator is None
        else {
            "axis": indicator.axis,
            "rise_over_100": indicator.rise,
            "misread_angle": math.degrees(indicator.misread),
            "misread_rise": indicator.misread_rise,
        },
    }


def _outlines(place: Place) -> list[list[list[tuple[float, float]]]] | None:
    """Return what keep-outs leave of the region in plan: polygons, each with its outer ring first, then its holes."""
    if place.region.area is None:
        return None
    import shapely

    return [
        [[(x, y) for x, y in ring.coords] for ring in (piece.exterior, *piece.interiors)]
        for piece in shapely.get_parts(place.region.area)
        if piece.geom_type == "Polygon"
    ]
