"""What a program may not do on this mill, whatever the job."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from polypocket.dryrun.findings import Fault, rate_text
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.tolerances import FEED_RATIO, SPEED_RATIO
from polypocket.model.mill import Mill
from polypocket.reader.track import Event, Track

__all__ = ["limit_faults"]

_INVERSE_TIME = 93


def limit_faults(track: Track, motions: Sequence[Motion], mill: Mill) -> Iterator[Fault]:
    """Yield what is wrong with units, feeds, speeds and modes, but not again what the reader tells."""
    codes = {complaint.code for complaint in track.complaints}
    if track.units is None and "units" not in codes:
        yield Fault(
            "units", track.name, 1, "the program never says whether it is in inches or millimetres",
            "say so in its first lines, before any length",
        )  # fmt: skip
    for motion in motions:
        if not motion.is_rapid:
            yield from _feed(track, motion, mill, told="no-feed" in codes)
    yield from _speeds(track, mill)
    yield from _unclear(track)
    before_end = np.flatnonzero(track.event != Event.END)[-1:]
    if track.compensation_side[before_end].any() and "compensation" not in codes:
        yield Fault(
            "compensation", track.name, int(track.line[before_end[0]]),
            "the program ends with radius compensation on", "take it out (G40) before the end", key="end",
        )  # fmt: skip


def _feed(track: Track, motion: Motion, mill: Mill, *, told: bool) -> Iterator[Fault]:
    in_time = track.feed_mode[motion.row] == _INVERSE_TIME and track.feed[motion.row] > 0.0
    if in_time and math.isnan(motion.length):
        yield Fault(
            "no-feed", track.name, motion.line,
            "how fast this feeds is not known: G93 gives the time of a move, and nobody can tell its length",
            "go to a known place first, or feed by the minute (G94)", key="time",
        )  # fmt: skip
    elif not motion.rate > 0.0:
        if not told and not (in_time and motion.length == 0.0):
            yield Fault(
                "no-feed", track.name, motion.line, "a feed move without a feed", "give a feed (F) before it"
            )
    elif motion.rate > mill.feed_max * (1.0 + FEED_RATIO):
        yield Fault(
            "feed-limit",
            track.name,
            motion.line,
            f"feeds at {rate_text(motion.rate, track.units)}; "
            f"the mill's highest feed is {rate_text(mill.feed_max, track.units)}",
            "feed more slowly, or use a rapid where nothing is in the way",
            key="mill",
            amount=motion.rate,
        )


def _speeds(track: Track, mill: Mill) -> Iterator[Fault]:
    spindle = mill.spindle
    for row, line in _new_speeds(track):
        rpm = abs(float(track.rpm[row]))
        if spindle.speeds is not None:
            if not any(abs(rpm - speed) <= speed * SPEED_RATIO for speed in spindle.speeds):
                listed = ", ".join(f"{speed:.0f}" for speed in spindle.speeds)
                yield _speed(track, line, rpm, f"the mill has the speeds {listed}")
        elif not spindle.rpm_low * (1.0 - SPEED_RATIO) <= rpm <= spindle.rpm_high * (1.0 + SPEED_RATIO):
            yield _speed(
                track, line, rpm, f"the mill turns from {spindle.rpm_low:.0f} to {spindle.rpm_high:.0f} rpm"
            )


def _new_speeds(track: Track) -> Iterator[tuple[int, int]]:
    """Rows, and their lines, in which the spindle takes up another speed."""
    before = np.concatenate(((0.0,), track.rpm))[:-1]
    changes = ~np.isnan(track.rpm) & (track.rpm != before) & (track.rpm != 0.0)
    for row in np.flatnonzero(changes).tolist():
        yield row, int(track.line[row])


def _speed(track: Track, line: int, rpm: float, why: str) -> Fault:
    return Fault(
        "over-speed", track.name, line, f"turns at {rpm:.0f} rpm; {why}", "give a speed that the mill has",
        key=f"{rpm:.0f}", amount=rpm,
    )  # fmt: skip


def _unclear(track: Track) -> Iterator[Fault]:
    """Yield what has no one meaning, or none that is followed here."""
    for row in np.flatnonzero(track.optional).tolist():
        yield Fault(
            "unread", track.name, int(track.line[row]),
            "a line with / is done or not as a switch on the control stands",
            "take out the / or the line", key="optional",
        )  # fmt: skip
    for asked in track.asks:
        if asked.kind == "flat" or (asked.kind == "swivel" and asked.value != 0.0):
            yield Fault(
                "unread", track.name, asked.line, f"({asked.text}): turned work is not followed here",
                "clamp the work once, as the job file has it", key=asked.text,
            )  # fmt: skip
