"""Which flats can be cut at a setting of the swivel base, were there travel enough."""

from __future__ import annotations

import math
from collections.abc import Sequence

from polypocket.errors import InputError
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.model.settings import degrees_text
from polypocket.plan.one_axis import parallel_flats

__all__ = ["Flat", "reachable", "require_parallel"]

#: A section's number and a flat's.
Flat = tuple[int, int]
_QUARTER = math.pi / 2.0


def reachable(job: BlockJob, mill: Mill, swivel: float, flats: frozenset[Flat]) -> frozenset[Flat]:
    """Return those flats that can be cut at a setting, were there travel enough."""
    return flats if mill.axis_by_hand is None else flats & parallel_flats(job, mill, swivel)


def require_parallel(job: BlockJob, mill: Mill, settings: Sequence[float], every: frozenset[Flat]) -> None:
    """Make sure that each flat is parallel to the one axis that is driven at one of the settings.

    Raises:
        InputError: one is not.
    """
    driven, across = ("Y", 0.0) if mill.axis_by_hand == 0 else ("X", _QUARTER)
    left = every.difference(*(parallel_flats(job, mill, swivel) for swivel in settings))
    if left:
        section, flat = min(left)
        facing = job.sections[section - 1].polygon().direction(flat)
        ways = sorted(
            (math.remainder(across + half - facing, math.tau) for half in (0.0, math.pi)),
            key=lambda angle: (abs(angle), -angle),
        )
        raise InputError(
            f"clamping.swivel_settings: none brings flat {flat} of section {section} parallel to {driven}, the one "
            f"axis that is driven, and {'that flat wants' if len(left) == 1 else f'{len(left)} flats want one'}: "
            f"allow {' or '.join(f'{degrees_text(angle)}°' for angle in ways)}"
        )
