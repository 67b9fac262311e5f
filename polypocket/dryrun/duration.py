"""How long a program takes and how far it goes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from polypocket.cutting.time import Kinematics
from polypocket.dryrun.compensation import centre_path
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.model.mill import Mill
from polypocket.reader.track import Track

__all__ = ["Lengths", "lengths_of", "moving_seconds", "seconds_of"]


@dataclass(frozen=True, slots=True)
class Lengths:
    """Lengths of path, mm."""

    feed: float
    rapid: float


def lengths_of(motions: Iterable[Motion]) -> Lengths:
    """Return how far the motions go; those from or to a place that is not known are left out."""
    known = [motion for motion in motions if motion.is_known]
    feed = sum(motion.length for motion in known if not motion.is_rapid)
    return Lengths(feed, sum(motion.length for motion in known if motion.is_rapid))


def seconds_of(track: Track, mill: Mill) -> float:
    """Return how many seconds a program takes, waiting (G4) and all, without what a person does meanwhile.

    Moves from or to a place that is not known, and feed moves without a feed, take no time here: nobody
    knows it.
    """
    motions = motions_of(track, mill.work_offset, mill.work_offsets, mill.reference_points)
    motions = centre_path(track, motions, mill.cutter_registers.radius).motions
    return moving_seconds(motions, mill) + float(track.dwell.sum())


def moving_seconds(motions: Iterable[Motion], mill: Mill) -> float:
    """Return how many seconds motions take, each from rest to rest."""
    kinematics = Kinematics.of(mill)
    return sum(_seconds(motion, kinematics) for motion in motions if motion.is_known)


def _seconds(motion: Motion, kinematics: Kinematics) -> float:
    x, y, z = (b - a for a, b in zip(motion.start, motion.end, strict=True))
    if motion.is_rapid:
        return kinematics.rapid_time((x, y, z))
    if not motion.rate > 0.0 or math.isinf(motion.rate):
        return 0.0
    rate = min(motion.rate, kinematics.feed_max)
    return (
        kinematics.arc_time(motion.length, rate) if motion.is_arc else kinematics.feed_time((x, y, z), rate)
    )
