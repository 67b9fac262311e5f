"""The sceptical reader: a program's text into a track, as a strict control would carry it out.

``read`` takes the text and the traits of the control that reads it, and gives a ``Track``: the motions and
events row by row, beside them the comments, what they ask of a person, and the complaints. It shares
neither tables nor code with what writes programs, so that one mistake cannot cancel itself.

A control may start in any modal state, so nothing is taken for granted that a program can say: units,
absolute or incremental, the plane of an arc, the motion mode, the feed, the position of each axis. Only
G54, G94, G40, G49 and coordinates that G92 does not shift are taken as the state that the end of the program
before has left (NISTIR 6556 3.6.1, from memory).

The modules, in the order in which a line passes through them: ``words`` (characters), ``groups`` and
``block`` (modal groups), ``asks`` (comments), ``execution`` and ``motion`` (what the line does to the
``state``) with ``arc_motion``, ``cycles``, ``reference`` and ``shifts``, ``columns`` (the track). Source of
the rules: NISTIR 6556, the RS274/NGC interpreter, version 3, where nothing else is named.
"""

from polypocket.reader.dialect import Dialect
from polypocket.reader.read import read
from polypocket.reader.track import Asked, Comment, Complaint, Event, Frame, Kind, Track

__all__ = ["Asked", "Comment", "Complaint", "Dialect", "Event", "Frame", "Kind", "Track", "read"]
