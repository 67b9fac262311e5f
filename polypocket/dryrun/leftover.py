"""What a job's programs leave standing that should be gone."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.context import Context
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.material import Material, Slab
from polypocket.dryrun.overlay import thick_part, without
from polypocket.dryrun.part import Flat, Level, beyond
from polypocket.dryrun.tiles import whole
from polypocket.dryrun.tolerances import CONTACT, LEFT
from polypocket.shape.swept import outline_area

__all__ = ["leftovers"]


def leftovers(context: Context, material: Material, line: int) -> Iterator[Fault]:
    """Yield a fault for each flat on which material stands at the end, at ``line``, the program's last."""
    for slab in material.slabs:
        level = context.level_at(slab.low)
        allowed = outline_area(level.allowed.grown(LEFT + context.slack))
        left = without(whole(slab.standing), allowed)
        if level.section is None or thick_part(left).is_empty:
            continue
        thick = shapely.geometrycollections(
            [part for part in shapely.get_parts(left) if not thick_part(part).is_empty]
        )
        for flat, amount in _by_flat(level, thick, LEFT + context.slack):
            yield _left(context, level, slab, flat, amount, line)


def _by_flat(level: Level, left: BaseGeometry, allowed: float) -> list[tuple[Flat, float]]:
    """By how much material stands beyond flats, each corner counted to the one that it is most beyond."""
    amounts: dict[Flat, float] = {}
    cut = [flat for flat in level.flats if flat.is_cut]
    for x, y in shapely.get_coordinates(left):
        flat = max(cut, key=lambda each: beyond(each, x, y))
        amounts[flat] = max(amounts.get(flat, 0.0), beyond(flat, x, y))
    clear = [(flat, amount) for flat, amount in amounts.items() if amount > allowed + CONTACT]
    return clear or [max(amounts.items(), key=lambda item: item[1])]


def _left(context: Context, level: Level, slab: Slab, flat: Flat, amount: float, line: int) -> Fault:
    where = f"flat {flat.number} of {level.feature}"
    return context.fault(
        "left-standing",
        line,
        f"{context.text(amount)} is left standing on {where}, "
        f"from Z {context.text(slab.low)} to Z {context.text(slab.high)}",
        "add the passes that are missing there, or bring them in to the flat",
        key=where,
        amount=amount,
    )
