"""Changes to a job that need less room: what to write in its file, and the job that comes of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.plan.place import Place
from polypocket.prove.indicator import graduation_of
from polypocket.units import MM_PER_INCH, format_length

__all__ = ["Change", "approaches", "clearances", "cutters", "settings", "together"]

#: Settings that are looked at go so far each way, radians: further round, the same axes come again.
_FURTHEST = math.pi / 2.0
#: Of the settings that look as if they fit, so many are planned. No source.
_MOST_PLANNED = 6
#: By how much the estimate of a setting may be out, mm: the leads of another plan. No source.
_DOUBT = 4.0
#: Diameters of end mills: mm as ISO 1641-1 has them (from memory), and common fractions of an inch (common practice, no
#: source).
_DIAMETERS_MM = (25.0, 20.0, 16.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0)
_DIAMETERS_INCH = tuple(MM_PER_INCH * n / 16.0 for n in (16, 14, 12, 10, 8, 6, 5, 4, 3, 2))
#: An end mill may have flutes of at most so many diameters. Common practice, no source.
_SLENDEREST = 5.0
#: Clearances that are tried, mm. Common practice, no source.
_CLEARANCES = (0.5, 0.25)


class Change(NamedTuple):
    """One change.

    Attributes:
        kind: ``setting``, ``approach``, ``cutter``, ``clearance`` or ``together``.
        text: what to do.
        write: what to write in the job's file, by its place.
        job: so changed.
    """

    kind: str
    text: str
    write: dict[str, object]
    job: BlockJob


def settings(job: BlockJob, mill: Mill, nearest: Place) -> Iterator[Change]:
    """Yield whole graduations that the job does not list, those that look best first.

    A plan at another setting is near to the one there is, turned: good enough to choose what is worth planning.
    """
    vise = mill.vise
    if vise is None or job.clamping.grip != "vise" or not vise.swivel_base:
        return
    graduation = graduation_of(mill)
    steps = math.floor(_FURTHEST / graduation + 1e-9)
    spare = _estimate(nearest, mill)
    looks: list[tuple[float, float]] = []
    for step in range(-steps, steps + 1):
        setting = step * graduation
        if not any(abs(setting - listed) < 1e-9 for listed in job.clamping.swivel_settings):
            looks.append((spare(setting), setting))
    looks.sort(key=lambda look: (-round(look[0]), _oddness(look[1]), abs(look[1]), look[1] < 0.0))
    for spared, setting in looks[:_MOST_PLANNED]:
        if spared > -_DOUBT:
            degrees = degrees_text(setting)
            write: dict[str, object] = {"clamping.swivel_settings": [float(degrees)]}
            yield Change("setting", f"turn the vise to {degrees}°", write, _at(job, setting))


def approaches(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield the other way to get from pass to pass, if it needs less room."""
    if job.cut.approach != "above":
        cut = job.cut.model_copy(update={"approach": "above"})
        text = "come down onto each pass from above, not round the outside"
        yield Change("approach", text, {"cut.approach": "above"}, _at(job, swivel, cut=cut))


def cutters(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield smaller cutters that still reach down, the largest first; the width of a pass goes down with them."""
    deepest = max(section.depth for section in job.sections)
    for diameter in _DIAMETERS_MM if job.units == "mm" else _DIAMETERS_INCH:
        if diameter >= job.cutter.diameter - 1e-6 or deepest > _SLENDEREST * diameter:
            continue
        flutes = min(job.cutter.flute_length, _SLENDEREST * diameter)
        stepover = min(job.cut.stepover, diameter / 2.0)
        stepdown = None if job.cut.stepdown is None else min(job.cut.stepdown, flutes)
        update = {"diameter": diameter, "measured": None, "flute_length": flutes}
        cutter = job.cutter.model_copy(update=update)
        cut = job.cut.model_copy(
            update={"stepover": stepover, "stepdown": stepdown, "size_from_control": False}
        )
        write: dict[str, object] = {"cutter.diameter": format_length(diameter, job.units)}
        if flutes != job.cutter.flute_length:
            write["cutter.flute_length"] = format_length(flutes, job.units)
        for name, now, before in (
            ("stepover", stepover, job.cut.stepover),
            ("stepdown", stepdown, job.cut.stepdown),
        ):
            if now != before and now is not None:
                write[f"cut.{name}"] = format_length(now, job.units)
        if job.cut.size_from_control:
            write["cut.size_from_control"] = False
        text = f"take a cutter of {format_length(diameter, job.units)}, and look up its speed and feed"
        yield Change("cutter", text, write, _at(job, swivel, cutter=cutter, cut=cut))


def clearances(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield smaller clearances beside the material, the largest first."""
    for clearance in _CLEARANCES:
        if clearance < job.cut.clearance:
            cut = job.cut.model_copy(update={"clearance": clearance})
            length = format_length(clearance, job.units)
            text = f"keep {length} from the material beside the cutter, and be sure of the stock's size"
            yield Change("clearance", text, {"cut.clearance": length}, _at(job, swivel, cut=cut))


def together(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield everything but another setting at once, with the largest of the smaller cutters first."""
    rest = [*approaches(job, swivel), *list(clearances(job, swivel))[-1:]]
    cut = job.cut.model_copy(
        update={
            name: value
            for change in rest
            for name, value in change.job.cut
            if value != getattr(job.cut, name)
        }
    )
    others = {key: value for change in rest for key, value in change.write.items()}
    for smaller in cutters(job, swivel):
        own = {name: getattr(smaller.job.cut, name) for name in ("stepover", "stepdown", "size_from_control")}
        changed = smaller.job.model_copy(update={"cut": cut.model_copy(update=own)})
        text = "; ".join(change.text for change in (smaller, *rest))
        yield Change("together", text, {**smaller.write, **others}, changed)


def _oddness(setting: float) -> int:
    """Return how odd a setting is: of those that are alike to the millimetre a person would rather set a plain one."""
    degrees = abs(math.degrees(setting))
    return next(
        (i for i, step in enumerate((90.0, 45.0, 15.0, 5.0)) if abs(math.remainder(degrees, step)) < 1e-6), 4
    )


def _estimate(place: Place, mill: Mill) -> Callable[[float], float]:
    """Return the travel left over on the worse of X and Y, mm, if the plan were turned to a setting."""
    points = [
        point
        for stroke in place.strokes
        for point in (
            stroke.cut.contact,
            stroke.cut.leave,
            stroke.comes_down,
            *stroke.arrivals,
            *(stretch.to for stretch in stroke.cut.path),
        )
    ]
    axes = (mill.axes.x, mill.axes.y)

    def spare(setting: float) -> float:
        c, s = math.cos(setting - place.swivel), math.sin(setting - place.swivel)
        turned = ([x * c - y * s for x, y in points], [x * s + y * c for x, y in points])
        ends = zip(axes, turned, strict=True)
        return min(axis.high - axis.low - (max(along) - min(along)) for axis, along in ends)

    return spare


def _at(job: BlockJob, swivel: float, **changes: object) -> BlockJob:
    """Return a job with parts changed, at one setting."""
    clamping = job.clamping.model_copy(update={"swivel_settings": (swivel,)})
    return job.model_copy(update={"clamping": clamping, **changes})
