"""Where a job fits on a mill, on the screen and as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from polypocket.dryrun import as_json
from polypocket.model.grip import grip_of
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.plan.extent import Step
from polypocket.plan.place import Place
from polypocket.plan.region import Misfit
from polypocket.prove.fitting import Fitting
from polypocket.prove.header import zero_in_words
from polypocket.prove.indicator import Indicator, indicator_for
from polypocket.prove.placing import Placed
from polypocket.prove.remedies import Remedy
from polypocket.screen.columns import columns, duration
from polypocket.screen.lengths import Lengths
from polypocket.screen.verdict import findings_lines

__all__ = ["grip_document", "grip_lines", "place_document", "place_lines", "placed_document", "placed_lines"]


def grip_lines(job: BlockJob, mill: Mill) -> Iterator[str]:
    """Yield how the vise holds the stock; nothing on a plate."""
    grip = grip_of(job, mill)
    if grip is None:
        return
    lengths = Lengths(job.units)

    def length(mm: float) -> str:
        return f"{lengths.text(mm)} {lengths.unit}"

    yield (
        f"Grip: {length(grip.across)} between jaws that open to {length(grip.opening)}; {length(grip.held)} held in "
        f"jaws {length(grip.jaw_height)} high, on parallels of {length(grip.parallels)}"
    )
    ends = f"{length(grip.overhang)} beyond each end" if grip.overhang > 0.0 else "nothing beyond their ends"
    yield (
        f"      {length(grip.above)} above the jaws, {ends}; the deepest floor is {length(grip.floor)} above them and "
        f"{length(grip.under)} above the stock's underside"
    )
    yield from (f"      caution: {caution}" for caution in grip.cautions)


def grip_document(job: BlockJob, mill: Mill) -> dict[str, Any] | None:
    """Return the same as ``json.dumps`` takes it; mm."""
    grip = grip_of(job, mill)
    return None if grip is None else grip._asdict()


def placed_lines(placed: Placed) -> Iterator[str]:
    """Yield what a person must set before a program is run that was made for a place chosen here."""
    if placed.swivel:
        yield f"Swivel base at {degrees_text(placed.swivel)}°"
    if placed.chosen or not placed.mill.homed:
        yield from zero_in_words(placed)


def placed_document(placed: Placed) -> dict[str, Any]:
    """Return the setting and the work zero that a program holds for, as ``json.dumps`` takes it; mm and degrees."""
    zero = placed.mill.work_offsets.get(placed.mill.work_offset) if placed.mill.homed else None
    return {"swivel": round(math.degrees(placed.swivel), 9), "zero": zero, "chosen": placed.chosen}


def place_lines(fitting: Fitting) -> Iterator[str]:
    """Yield the settings, the best place or why there is none, and what to do; lengths in the mill's units."""
    lengths = Lengths(fitting.mill.units)
    yield f"{fitting.job.name} on {fitting.mill.name}"
    yield ""
    yield from _settings(fitting, lengths)
    yield ""
    if fitting.best is None:
        yield from _misfits(fitting, lengths)
        yield from _remedies(fitting, lengths)
        return
    yield from _best(fitting, lengths)
    if fitting.verdict is not None:
        yield from findings_lines(fitting.verdict)


def _settings(fitting: Fitting, lengths: Lengths) -> Iterator[str]:
    homed = fitting.mill.homed
    what = "work zero" if homed else "room round the work zero"
    yield f"{what}, {'machine coordinates, ' if homed else ''}{lengths.unit}"
    rows = [["swivel", "X from", "to", "Y from", "to", "Z from", "to", "to spare", ""]]
    for place in fitting.places:
        if homed:
            pairs = list(zip(place.region.low, place.region.high, strict=True))
        else:
            pairs = [(low.at, high.at) for low, high in zip(place.room.low, place.room.high, strict=True)]
        shown = place.fits or not homed
        cells = [lengths.text(at if shown else None, fewer=2) for pair in pairs for at in pair]
        note = "" if place.fits else "does not fit"
        if place.fits and homed and place.region.area is not None:
            note = "not everywhere in it: keep-outs"
        rows.append(
            [
                f"{degrees_text(place.swivel)}°",
                *cells,
                lengths.text(place.margin if place.fits else None, fewer=2),
                note,
            ]
        )
    yield from columns(rows)


def _best(fitting: Fitting, lengths: Lengths) -> Iterator[str]:
    placed, mill = fitting.best, fitting.mill
    assert placed is not None and placed.place is not None
    at = f"swivel base at {degrees_text(placed.swivel)}°"
    if not mill.homed:
        yield f"Best: {at}. Before cutting jog from the work zero through all of that room."
    else:
        zero = placed.mill.work_offsets[mill.work_offset]
        where = ", ".join(f"{axis} {lengths.text(value)}" for axis, value in zip("XYZ", zero, strict=True))
        spare = lengths.text(placed.place.margin, fewer=2)
        yield f"Best: {at}, work zero at {where} {lengths.unit} of the machine, {spare} {lengths.unit} to spare"
    yield from _how_to_set(indicator_for(placed.swivel, fitting.job.clamping.jaws_along, mill), lengths)
    yield from grip_lines(fitting.job, mill)
    if (needless := fitting.swivel_base) is not None:
        yield needless
    if fitting.set_zero is not None:
        where = ", ".join(
            f"{axis} {lengths.text(value)}" for axis, value in zip("XYZ", fitting.set_zero, strict=True)
        )
        settings = ", ".join(f"{degrees_text(each)}°" for each in fitting.fits_set)
        fits = f"fits there with the swivel at {settings}" if settings else "does not fit there"
        yield f"The mill file sets {mill.work_offset} at {where}: the program {fits}"


def _how_to_set(indicator: Indicator | None, lengths: Lengths) -> Iterator[str]:
    if indicator is None:
        return
    yield (
        f"  an indicator on the fixed jaw changes by {abs(indicator.rise):.3f} mm over 100 mm of "
        f"{indicator.axis.upper()} travel; one line of the scale misread turns the work by "
        f"{degrees_text(indicator.misread)}° and makes {indicator.misread_rise:.3f} mm of difference"
    )


def _misfits(fitting: Fitting, lengths: Lengths) -> Iterator[str]:
    yield "It does not fit"
    nearest = max(fitting.places, key=lambda place: place.margin)
    for misfit in nearest.misfits:
        yield f"  at {degrees_text(nearest.swivel)}°: {_misfit(misfit, lengths)}"


def _misfit(misfit: Misfit, lengths: Lengths) -> str:
    over, axis = f"{lengths.text(misfit.over, fewer=1)} {lengths.unit}", misfit.axis.upper()
    ends = f"{_step(misfit.low)} to {_step(misfit.high)}"
    match misfit.what:
        case "travel":
            return f"{axis} needs {over} more than its travel, from {ends}"
        case "column":
            return f"stock or vise go {over} into the column, in {_step(misfit.low)}"
        case "cutter change":
            return f"at the place of the cutter change stock or vise go {over} into the column"
        case "table":
            return f"on the table the work zero is {over} outside of what {axis} can reach, in {_step(misfit.low)}"
        case _:
            return "the keep-outs leave no place for it"


def _step(step: Step) -> str:
    if not step.number:
        return "the way home"
    part = {
        "way": "the way to",
        "lead-in": "the lead in to",
        "lead-out": "the lead out of",
        "cut": "the cut of",
    }
    return f"{part[step.part]} pass {step.number} ({step.feature}, flat {step.flat})"


def _remedies(fitting: Fitting, lengths: Lengths) -> Iterator[str]:
    found, tried = fitting.remedies
    yield ""
    if found:
        yield "What helps, each planned and dry-run:"
    else:
        yield "Nothing that was tried helps: take another mill, or make the block in other stock"
    for number, remedy in enumerate(found, start=1):
        yield f"  {number}. {remedy.change.text}"
        written = ", ".join(f"{place} = {_toml(value)}" for place, value in remedy.change.write.items())
        yield f"     in the job: {written}"
        yield f"     {_where(remedy, fitting, lengths)}; {duration(remedy.seconds)} at the mill"
        yield from (f"   {line}" for line in _how_to_set(remedy.indicator, lengths))
    if tried:
        yield ""
        yield "Tried, and not enough:"
        yield from (f"  {each.change.text}: {each.why}" for each in tried)


def _where(remedy: Remedy, fitting: Fitting, lengths: Lengths) -> str:
    spare = f"{lengths.text(remedy.place.margin, fewer=1)} {lengths.unit} to spare"
    if remedy.place.zero is None:
        return spare
    at = ", ".join(f"{axis} {lengths.text(v)}" for axis, v in zip("XYZ", remedy.place.zero, strict=True))
    return f"{fitting.mill.work_offset} at {at}, {spare}"


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)


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
                "moves": [_step(each.low), _step(each.high)],
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
