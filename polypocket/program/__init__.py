"""The neutral program: what the machine and the person are to do, before any dialect.

Frozen values, and what they come to stroke by stroke. Lengths in millimetres, feeds in millimetres a minute, angles in
radians, time in seconds. Positions are those of the cutter's tip centre in the frame of the setup's work zero.
"""

from polypocket.program.hole import hole_strokes
from polypocket.program.items import Ask, Coolant, Item, Link, Pass, Spindle, TouchOff, UseCutter
from polypocket.program.moves import Arc, Drill, Dwell, Feed, Move, Point, Rapid
from polypocket.program.program import Program
from polypocket.program.scale import Scale
from polypocket.program.setup import Setup
from polypocket.program.stops import asks_a_person, stops_of
from polypocket.program.straight import without_stops

__all__ = [
    "Arc",
    "Ask",
    "Coolant",
    "Drill",
    "Dwell",
    "Feed",
    "Item",
    "Link",
    "Move",
    "Pass",
    "Point",
    "Program",
    "Rapid",
    "Scale",
    "Setup",
    "Spindle",
    "TouchOff",
    "UseCutter",
    "asks_a_person",
    "hole_strokes",
    "stops_of",
    "without_stops",
]
