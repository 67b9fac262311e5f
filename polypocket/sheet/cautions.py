"""What a sheet tells a person to mind, and to do before and after: in our own words.

After OSHA 1910.212 and university shop rules. All of it gives way to the machine's manual, local rules and qualified
instruction, which the sheet says itself.
"""

from __future__ import annotations

__all__ = ["AFTER", "BEFORE", "BEFORE_AGAIN", "CAUTIONS", "DEFER"]

DEFER = (
    "The machine's manual, the rules of the place and a qualified person come before anything printed here. "
    "A clean dry run knows only what the job file and the mill file say; it judges neither speed and feed nor what "
    "cutter, spindle and grip bear."
)

CAUTIONS = (
    "Guard the cutter and the chips; protect your eyes.",
    "No gloves, rings or loose sleeves; hair tied back.",
    "Clamp work and cutter rigidly; nothing loose on the table.",
    "Check rotation and clearance before you start; prove a new program in the air first, without a cutter.",
    "Let everything stop before you measure or reach in.",
    "Brush chips away, never by hand.",
    "Power off to change cutters.",
    "Stay at a running machine, one hand near the stop.",
)

BEFORE = (
    "Deburr the stock, wipe jaws, parallels and stock: before every seating, again and again.",
    "Seat the stock with a soft hammer until no parallel can be moved.",
    "Indicate the fixed jaw and the stock's top; set the zero.",
    "Compare the checksum, or the program's first lines, with this sheet.",
)

#: Where the block has been cut already.
BEFORE_AGAIN = (
    "Spindle stopped; chips off with a brush, never by hand; deburr the edges that were cut.",
    "Do what this sheet says of this clamping: whether the block stays in the jaws, from what the zero is found again.",
    "Compare the checksum, or the program's first lines, with this sheet.",
)

AFTER = (
    "Measure as listed, before anything is unclamped. Then break the corners, deburr, wipe, and take the part out.",
)
