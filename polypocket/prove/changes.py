"""Changes to a job that need less room: what to write in its file, and the job that comes of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from polypocket.model.cutter import Cutter
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
    write = {cutter.place_of("approach"): "above" for cutter in job.cutters if cutter.cut.approach != "above"}
    if write:
        text = "come down onto each pass from above, not round the outside"
        yield Change("approach", text, dict(write), _at(job, swivel, _each(job, approach="above")))


def cutters(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield smaller cutters that still reach down, the largest first; the width of a pass goes down with them.

    Where a job has several, the largest of them is the one that needs room.
    """
    now = max(job.cutters, key=lambda cutter: cutter.diameter)
    deepest = max(section.depth for section in job.sections if job.cutter(section.cutter) == now)
    for diameter in _DIAMETERS_MM if job.units == "mm" else _DIAMETERS_INCH:
        if diameter >= now.diameter - 1e-6 or deepest > _SLENDEREST * diameter:
            continue
        flutes = min(now.flute_length, _SLENDEREST * diameter)
        stepover = min(now.cut.stepover, diameter / 2.0)
        stepdown = None if now.cut.stepdown is None else min(now.cut.stepdown, flutes)
        cut = now.cut.model_copy(
            update={"stepover": stepover, "stepdown": stepdown, "size_from_control": False}
        )
        update = {"diameter": diameter, "measured": None, "flute_length": flutes, "cut": cut}
        write: dict[str, object] = {f"{now.place}.diameter": format_length(diameter, job.units)}
        if flutes != now.flute_length:
            write[f"{now.place}.flute_length"] = format_length(flutes, job.units)
        for name, value, before in (
            ("stepover", stepover, now.cut.stepover),
            ("stepdown", stepdown, now.cut.stepdown),
        ):
            if value != before and value is not None:
                write[_own_place(job, now, name)] = format_length(value, job.units)
        if now.cut.size_from_control:
            write[_own_place(job, now, "size_from_control")] = False
        which = "a cutter" if len(job.cutters) == 1 else f"a cutter {now.number}"
        text = f"take {which} of {format_length(diameter, job.units)}, and look up its speed and feed"
        changed = tuple(each.model_copy(update=update) if each == now else each for each in job.cutters)
        yield Change("cutter", text, write, _at(job, swivel, changed))


def clearances(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield smaller clearances beside the material, the largest first."""
    for clearance in _CLEARANCES:
        length = format_length(clearance, job.units)
        write = {
            cutter.place_of("clearance"): length for cutter in job.cutters if clearance < cutter.cut.clearance
        }
        if write:
            text = f"keep {length} from the material beside the cutter, and be sure of the stock's size"
            least = tuple(
                cutter.cutting(clearance=min(clearance, cutter.cut.clearance)) for cutter in job.cutters
            )
            yield Change("clearance", text, dict(write), _at(job, swivel, least))


def together(job: BlockJob, swivel: float) -> Iterator[Change]:
    """Yield everything but another setting at once, with the largest of the smaller cutters first."""
    rest = [*approaches(job, swivel), *list(clearances(job, swivel))[-1:]]
    for smaller in cutters(job, swivel):
        changed, write, texts = smaller.job, dict(smaller.write), [smaller.text]
        for change in rest:
            values = [
                {name: value for name, value in now.cut if value != getattr(before.cut, name)}
                for now, before in zip(change.job.cutters, job.cutters, strict=True)
            ]
            pairs = zip(changed.cutters, values, strict=True)
            changed = _at(changed, swivel, tuple(cutter.cutting(**value) for cutter, value in pairs))
            write |= change.write
            texts.append(change.text)
        yield Change("together", "; ".join(texts), write, changed)


def _own_place(job: BlockJob, cutter: Cutter, key: str) -> str:
    """Return where to write what is to hold for one cutter alone."""
    return cutter.place_of(key) if len(job.cutters) == 1 else f"{cutter.place}.cut.{key}"


def _each(job: BlockJob, **cut: object) -> tuple[Cutter, ...]:
    return tuple(cutter.cutting(**cut) for cutter in job.cutters)


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


def _at(job: BlockJob, swivel: float, cutters: tuple[Cutter, ...] | None = None) -> BlockJob:
    """Return a job at one setting, with other cutters where they are given."""
    clamping = job.clamping.model_copy(update={"swivel_settings": (swivel,)})
    return job.model_copy(update={"clamping": clamping, "cutters": cutters or job.cutters})
