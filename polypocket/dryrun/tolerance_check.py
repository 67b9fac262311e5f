"""Whether the part as cut is within the job's tolerances."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence

from polypocket.dryrun.as_cut import AsCut
from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.tolerances import ROUNDING

__all__ = ["tolerance_faults"]


def tolerance_faults(
    context: Context, measured: Sequence[Sequence[AsCut]], line: int, left: Container[str] = ()
) -> Iterator[Fault]:
    """Yield a fault for each flat out of size and each pair of neighbours out of angle.

    Args:
        context: program, mill and job.
        measured: sections in the order of the job, each once for every slab of it.
        line: the program's last.
        left: names of the flats on which material is left standing: that these cannot be found is no news.
    """
    for section, slabs in zip(context.job.sections, measured, strict=True):
        for as_cut in slabs:
            yield from _sizes(context, as_cut, section.across_flats, line, left)
            yield from _angles(context, as_cut, line)


def _sizes(
    context: Context, as_cut: AsCut, nominal: float, line: int, left: Container[str]
) -> Iterator[Fault]:
    allowed = context.job.tolerance.size
    for flat, size in enumerate(as_cut.across_flats, start=1):
        if flat in as_cut.not_cut:
            continue
        where = f"flat {flat} of {as_cut.feature}"
        if size is None:
            if where not in left:
                yield _not_found(context, where, line)
        elif abs(size - nominal) > allowed + ROUNDING:
            yield context.fault(
                "size",
                line,
                f"{where} measures {context.text(size)} across flats (twice its distance from the centre), "
                f"not {context.text(nominal)} ± {context.text(allowed)}",
                "correct the path, or the cutter's radius that it was made for",
                key=where,
                amount=abs(size - nominal),
            )


def _not_found(context: Context, where: str, line: int) -> Fault:
    return context.fault(
        "size",
        line,
        f"{where} cannot be found on what is left",
        "look at the other findings first: it was cut away or never cut",
        key=where,
    )


def _angles(context: Context, as_cut: AsCut, line: int) -> Iterator[Fault]:
    step, allowed = math.tau / as_cut.sides, context.job.tolerance.angle
    normals = as_cut.normals
    for flat, (normal, following) in enumerate(zip(normals, normals[1:] + normals[:1], strict=True), start=1):
        after = flat % as_cut.sides + 1
        if normal is None or following is None or {flat, after} <= set(as_cut.not_cut):
            continue
        error = math.remainder(following - normal - step, math.tau)
        if abs(error) > allowed + ROUNDING:
            where = f"flats {flat} and {after} of {as_cut.feature}"
            yield context.fault(
                "angle",
                line,
                f"{where} stand at {math.degrees(step + error):.4f}°, not {math.degrees(step):.4f}° "
                f"± {math.degrees(allowed):.4f}°",
                "write the points with more decimals, or correct the path",
                key=where,
                amount=abs(error),
            )
