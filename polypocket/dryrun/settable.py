"""Whether heights that a person is to set can be set: a readout or a dial has steps, and nothing between them."""

from __future__ import annotations

from collections.abc import Iterator

from polypocket.dryrun.findings import Fault, length_text
from polypocket.dryrun.tolerances import SETTING
from polypocket.model.mill import Mill
from polypocket.model.settable import height_step
from polypocket.reader.track import Track

__all__ = ["setting_faults"]


def setting_faults(track: Track, mill: Mill) -> Iterator[Fault]:
    """Yield a fault for each height below the work zero that a person can only set so nearly.

    Above it, in the air, it does not matter.
    """
    step = height_step(mill, "inch" if (track.units or mill.units) == "inch" else "mm")
    for asked in track.asks:
        if asked.kind != "height" or not asked.value < 0.0:
            continue
        nearest = round(asked.value / step) * step
        if abs(nearest - asked.value) > SETTING:
            yield Fault(
                "size", track.name, asked.line,
                f"Z {length_text(asked.value, track.units)} cannot be set, where Z goes in steps of "
                f"{length_text(step, track.units)}: whoever sets the nearest is out by "
                f"{length_text(abs(nearest - asked.value), track.units)}",
                f"ask for {length_text(nearest, track.units)}, and plan the depth for it",
                key=f"height {asked.line}", amount=abs(nearest - asked.value),
            )  # fmt: skip
