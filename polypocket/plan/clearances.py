"""How far the cutter keeps from what it must not touch, mm. Common practice, no source."""

__all__ = ["ABOVE", "LEAST_GAP", "OVERRUN", "SAFE", "SIDE"]

#: Beside the material, between passes and where the cutter comes down.
SIDE = 1.0
#: Above whatever stands highest, when the cutter crosses over the work.
ABOVE = 2.0
#: Above the stock's top at the start and at the end of a program, where the travel allows it.
SAFE = 25.0
#: Between cutter and material, square to it, where the working feed begins at the latest.
LEAST_GAP = 0.1
#: By how much a pass runs on after the last material is behind the cutter, so that rounding leaves no sliver.
OVERRUN = 0.05
