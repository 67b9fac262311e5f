"""Every tolerance of the dry run, with its reason.

Two errors are in every honest program. Words are rounded: to 0.001 mm, or to 0.0001 in (0.00254 mm), so
that a position is off by at most 0.0005 mm or 0.00127 mm an axis, 0.0018 mm across the path at the worst.
And the swept areas stand back from their circles by at most 0.001 mm (``shape.swept.CHORD_ERROR``). Two
surfaces that are meant to be one can so lie 2 × 0.0018 + 0.001 = 0.0046 mm apart. What is meant to be
somewhere else is hundredths away.
"""

from __future__ import annotations

__all__ = [
    "BARELY",
    "BORDER",
    "CONTACT",
    "DIAMETER",
    "ENGAGEMENT",
    "FEED_RATIO",
    "GOUGE",
    "HEIGHT",
    "LEFT",
    "ROUNDING",
    "SETTING",
    "SMALL_BACKLASH",
    "SPEED_RATIO",
    "STILL",
    "TRAVEL",
]

#: Slack for binary fractions, mm or radians: values that are equal on paper.
ROUNDING = 1e-9

#: Material thinner than this is not met, mm: the 0.0046 mm above, rounded up. A cutter that slides along a
#: flat that it has finished makes no contact; one that goes 0.02 mm in does.
CONTACT = 0.005

#: Heights nearer to each other than this are one height, mm: rounding along Z is at most 0.0013 mm.
HEIGHT = 0.005

#: What a person sets may differ from what is told by this, mm: what is one height, less the rounding of a text.
SETTING = 0.0045

#: A cut into the part less deep than this is rounding, mm.
GOUGE = 0.005

#: Material left on the part less thick than this is rounding, mm.
LEFT = 0.005

#: Widths of cut may exceed the job's by this, mm: two paths rounded apart, and the thickness that contact
#: ignores.
ENGAGEMENT = 0.01

#: What is cut within this of a flat's line makes that flat, mm: above rounding and contact, below any
#: allowance.
BORDER = 0.015

#: An axis that moves less than this between two positions stands still, mm: each may be rounded by 0.0013 mm, so that
#: a line along an axis may lean by 0.0026 mm. A screw that lacks no more than this is taken up.
STILL = 0.003
#: An axis that moves no more than this barely moves, mm: three times what rounding alone may make of standing still.
BARELY = 0.009

#: Travel may be exceeded by this, mm: one rounding.
TRAVEL = 0.0015

#: Share by which a feed may exceed the job's: F words are rounded to whole or tenth units.
FEED_RATIO = 0.005

#: Share by which a speed may exceed the job's or miss a pulley's: S words are rounded to whole turns.
SPEED_RATIO = 0.005

#: A cutter's diameter may differ from the job's by this, mm: comments give 0.001 in at least.
DIAMETER = 0.01

#: Up to this backlash, mm, on X and Y alike, a mill may go round a block without taking it up at every
#: flat: ball screws; the house's own limit, common practice, no source.
SMALL_BACKLASH = 0.01
