"""Where a job fits on a mill, on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from polypocket.errors import called, with_numbers
from polypocket.model.settings import degrees_text
from polypocket.plan.extent import Step
from polypocket.plan.region import Misfit
from polypocket.prove.fitting import Fitting
from polypocket.prove.header import with_cutter_in_words
from polypocket.prove.indicator import Indicator, indicator_for
from polypocket.prove.remedies import Remedy
from polypocket.screen.columns import columns, duration
from polypocket.screen.grip import grip_lines
from polypocket.screen.lengths import Lengths
from polypocket.screen.verdict import findings_lines
from polypocket.units import MM_PER_INCH

__all__ = ["place_lines", "step_text"]


def place_lines(fitting: Fitting) -> Iterator[str]:
    """Yield the settings, the best place or why there is none, and what to do.

    All lengths are in the job's units, as they are in findings and in the program, also those of the machine.
    """
    lengths = Lengths(fitting.job.units)
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
        yield (
            f"Best: {at}, work zero at {where} {lengths.unit} of the machine{with_cutter_in_words(fitting.job)}, "
            f"{spare} {lengths.unit} to spare"
        )
        if mill.units != fitting.job.units:
            yield f"  in the mill file: {mill.work_offset} = [{_with_units(zero, lengths)}]"
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
        yield f"The mill file sets {mill.work_offset} at {where} {lengths.unit}: the program {fits}"


def _with_units(zero: Sequence[float], lengths: Lengths) -> str:
    """Return a place as a file in whichever units may have it."""
    return ", ".join(f'"{lengths.text(value)} {lengths.unit}"' for value in zero)


def _how_to_set(indicator: Indicator | None, lengths: Lengths) -> Iterator[str]:
    if indicator is None:
        return
    # The indicator is worked out over 100 mm; in inches it is told over 4 of them.
    over, stretch = (1.0, "100 mm") if lengths.units == "mm" else (4.0 * MM_PER_INCH / 100.0, "4 in")
    yield (
        f"  an indicator on the fixed jaw changes by {lengths.text(abs(indicator.rise) * over)} {lengths.unit} over "
        f"{stretch} of {indicator.axis.upper()} travel;"
    )
    yield (
        f"  one line of the scale misread turns the work by {degrees_text(indicator.misread)}° and changes that by "
        f"{lengths.text(indicator.misread_rise * over)} {lengths.unit}"
    )


def _misfits(fitting: Fitting, lengths: Lengths) -> Iterator[str]:
    yield "It does not fit"
    nearest = max(fitting.places, key=lambda place: place.margin)
    for misfit in nearest.misfits:
        yield from f"  at {degrees_text(nearest.swivel)}°: {_misfit(misfit, lengths)}".split("\n")


def _misfit(misfit: Misfit, lengths: Lengths) -> str:
    over, axis = f"{lengths.text(misfit.over, fewer=1)} {lengths.unit}", misfit.axis.upper()
    ends = f"{step_text(misfit.low)}\n    to {step_text(misfit.high)}"
    match misfit.what:
        case "travel":
            return f"{axis} needs {over} more than its travel,\n    from {ends}"
        case "column":
            return f"stock or vise go {over} into the column, in {step_text(misfit.low)}"
        case "cutter change":
            return f"at the place of the cutter change stock or vise go {over} into the column"
        case "table":
            return f"on the table the work zero is {over} outside of what {axis} can reach, in {step_text(misfit.low)}"
        case "on vise":
            return f"a keep-out on the vise is in the way of {step_text(misfit.low)}"
        case _:
            return "the keep-outs leave no place for it"


def step_text(step: Step) -> str:
    """Return whose move a step is, such as ``the cut of pass 3 (section 1, flat 2)``."""
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
    found, tried, clampings = fitting.remedies
    yield ""
    if found or clampings:
        yield "What helps, each planned and dry-run:"
    else:
        yield "Nothing that was tried helps: take another mill, or make the block in other stock"
    for number, remedy in enumerate(found, start=1):
        yield f"  {number}. {remedy.change.text}"
        written = ", ".join(
            f"{place} = {_toml(value)}{called(place)}" for place, value in remedy.change.write.items()
        )
        yield f"     in the job: {written}"
        yield f"     {_where(remedy, fitting, lengths)}; {duration(remedy.seconds)} at the mill"
        yield from (f"   {line}" for line in _how_to_set(remedy.indicator, lengths))
    if clampings:
        zero = " with no work zero in the mill file" if fitting.set_zero is not None else ""
        yield f"  {len(found) + 1}. make it in {clampings} clampings, as polypocket write does{zero}"
    if tried:
        yield ""
        yield "Tried, and not enough:"
        yield from (f"  {each.change.text}: {with_numbers(each.why)}" for each in tried)


def _where(remedy: Remedy, fitting: Fitting, lengths: Lengths) -> str:
    spare = f"{lengths.text(remedy.place.margin, fewer=1)} {lengths.unit} to spare"
    if remedy.place.zero is None:
        return spare
    at = ", ".join(f"{axis} {lengths.text(v)}" for axis, v in zip("XYZ", remedy.place.zero, strict=True))
    return f"{fitting.mill.work_offset} at {at} {lengths.unit}, {spare}"


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)
