"""A small block of squares that stand inside one another. All numbers are invented."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["small_block"]


def small_block(
    depths: Sequence[float], stepdown: int | None, allowance: float, last_across: float = 40.0
) -> str:
    """Return a job of squares that stand inside one another, each with room for a floor, the deepest one last."""
    count = len(depths)
    sections = "\n".join(
        f"[[sections]]\nsides = 4\nacross_flats = {last_across - 6.0 * (count - 1 - i)}\ndepth = {depth}"
        for i, depth in enumerate(depths)
    )
    step = "" if stepdown is None else f"stepdown = {stepdown}"
    return f"""
kind = "block"
name = "small block"
units = "mm"
{sections}
[stock]
shape = "square"
width = 50.0
thickness = 40.0
material = "brass"
[cutter]
number = 1
diameter = 10.0
flutes = 3
flute_length = 25.0
stick_out = 30.0
material = "carbide"
centre_cutting = true
[cut]
direction = "conventional"
stepover = 3.0
{step}
finish_allowance = {allowance}
spindle_rpm = 1000
feed = 200.0
[clamping]
grip = "plate"
[tolerance]
angle = 0.1
"""
