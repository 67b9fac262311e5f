"""What a program may not do on this mill, whatever the job."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from polypocket.dryrun.findings import Fault, rate_text
from polypocket.dryrun.paths import Paths
from polypocket.dryrun.tolerances import FEED_RATIO, SPEED_RATIO
from polypocket.model.mill import Mill
from polypocket.reader.track import Event, Track

__all__ = ["limit_faults"]

_INVERSE_TIME = 93


def limit_faults(track: Track, paths: Paths, mill: Mill) -> Iterator[Fault]:
    """Yield what is wrong with units, feeds, speeds and modes, but not again what the reader tells."""
    codes = {complaint.code for complaint in track.complaints}
    if track.units is None and "units" not in codes:
        yield Fault(
            "units", track.name, 1, "the program never says whether it is in inches or millimetres",
            "say so in its first lines, before any length",
        )  # fmt: skip
    yield from _feeds(track, paths, mill, told="no-feed" in codes)
    yield from _speeds(track, mill)
    yield from _unclear(track)
    before_end = np.flatnonzero(track.event != Event.END)[-1:]
    if track.compensation_side[before_end].any() and "compensation" not in codes:
        yield Fault(
            "compensation", track.name, int(track.line[before_end[0]]),
            "the program ends with radius compensation on", "take it out (G40) before the end", key="end",
        )  # fmt: skip


def _feeds(track: Track, paths: Paths, mill: Mill, *, told: bool) -> Iterator[Fault]:
    fed = ~paths.is_rapid
    without = fed & ~(paths.rate > 0.0)
    if without.any():
        # Where a feed is a time, none is known for a path whose length is not, and none is needed where nothing moves.
        in_time = (track.feed_mode[paths.row] == _INVERSE_TIME) & (track.feed[paths.row] > 0.0)
        if lines := _lines(paths.line[without & in_time & np.isnan(paths.length)]):
            yield Fault(
                "no-feed", track.name, lines[0],
                "how fast this feeds is not known: G93 gives the time of a move, and nobody can tell its length",
                "go to a known place first, or feed by the minute (G94)", key="time", lines=lines,
            )  # fmt: skip
        if not told and (lines := _lines(paths.line[without & ~in_time])):
            yield Fault(
                "no-feed", track.name, lines[0], "a feed move without a feed", "give a feed (F) before it",
                lines=lines,
            )  # fmt: skip
    over = np.flatnonzero(fed & (paths.rate > mill.feed_max * (1.0 + FEED_RATIO)))
    if len(over):
        worst = over[np.argmax(paths.rate[over])]
        rate = float(paths.rate[worst])
        yield Fault(
            "feed-limit",
            track.name,
            int(paths.line[worst]),
            f"feeds at {rate_text(rate, track.units)}; "
            f"the mill's highest feed is {rate_text(mill.feed_max, track.units)}",
            "feed more slowly, or use a rapid where nothing is in the way",
            key="mill",
            amount=rate,
            lines=_lines(paths.line[over]),
        )


def _lines(lines: NDArray[np.int64]) -> tuple[int, ...]:
    """Return each line once; rows come in the order of the lines."""
    return tuple(dict.fromkeys(lines.tolist()))


def _speeds(track: Track, mill: Mill) -> Iterator[Fault]:
    spindle = mill.spindle
    before = np.concatenate(((0.0,), track.rpm))[:-1]
    rows = np.flatnonzero(~np.isnan(track.rpm) & (track.rpm != before) & (track.rpm != 0.0))
    speeds = np.abs(track.rpm[rows])
    for rpm in sorted(set(speeds.tolist())):
        if spindle.speeds is not None:
            if any(abs(rpm - speed) <= speed * SPEED_RATIO for speed in spindle.speeds):
                continue
            why = "the mill has the speeds " + ", ".join(f"{speed:.0f}" for speed in spindle.speeds)
        elif spindle.rpm_low * (1.0 - SPEED_RATIO) <= rpm <= spindle.rpm_high * (1.0 + SPEED_RATIO):
            continue
        else:
            why = f"the mill turns from {spindle.rpm_low:.0f} to {spindle.rpm_high:.0f} rpm"
        yield _speed(track, _lines(track.line[rows[speeds == rpm]]), rpm, why)


def _speed(track: Track, lines: tuple[int, ...], rpm: float, why: str) -> Fault:
    return Fault(
        "over-speed", track.name, lines[0], f"turns at {rpm:.0f} rpm; {why}", "give a speed that the mill has",
        key=f"{rpm:.0f}", amount=rpm, lines=lines,
    )  # fmt: skip


def _unclear(track: Track) -> Iterator[Fault]:
    """Yield what has no one meaning, or none that is followed here."""
    if optional := track.switched:
        yield Fault(
            "unread", track.name, optional[0], "a line with / is done or not as a switch on the control stands",
            "take out the / or the line", key="optional", lines=optional,
        )  # fmt: skip
    for asked in track.asks:
        if asked.kind == "flat":
            yield Fault(
                "unread", track.name, asked.line, f"({asked.text}): work on another flat is not followed here",
                "clamp the work once, as the job file has it", key=asked.text,
            )  # fmt: skip
