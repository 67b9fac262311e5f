"""Faults of who changes what is cut: passes, strokes, depths and cutters."""

from __future__ import annotations

import re
from random import Random

from tests.faults.places import Plant, Planted, number_text, put, words_in
from tests.faults.programs import Good

__all__ = [
    "cutter_said",
    "depth",
    "other_cutter",
    "pass_missing",
    "pass_reversed",
    "passes_exchanged",
    "retract_missing",
]


def _pass_ranges(text: str) -> list[tuple[int, int]]:
    lines = text.split("\n")
    heads = [i for i, line in enumerate(lines) if "(PASS " in line]
    if not heads:
        return []
    ends = [i for i, line in enumerate(lines) if re.search(r"G0 Z|M5|STOP SPINDLE", line)]
    lasts = [*heads[1:], max(ends, default=0)]
    return [(begin, end) for begin, end in zip(heads, lasts, strict=True) if end > begin]


def pass_missing(good: Good, random: Random) -> str | None:
    ranges = _pass_ranges(good.text)
    if not ranges:
        return None
    begin, end = random.choice(ranges)
    lines = good.text.split("\n")
    return "\n".join([*lines[:begin], *lines[end:]])


def passes_exchanged(good: Good, random: Random) -> str | None:
    ranges = _pass_ranges(good.text)
    if len(ranges) < 2:
        return None
    at = random.randrange(len(ranges) - 1)
    (a, b), (_, c) = ranges[at], ranges[at + 1]
    lines = good.text.split("\n")
    return "\n".join([*lines[:a], *lines[b:c], *lines[a:b], *lines[c:]])


def pass_reversed(good: Good, random: Random) -> str | None:
    """Go along one stroke the other way: first to its end, then back to its beginning."""
    if good.hands.axes:
        return None  # it would take more words than one fault has
    strokes = [step for step in good.reading.steps if step.kind == "feed" and step.start[2] == step.end[2]]
    allowed = good.job.cutters[0].cut.feed * 1.01
    strokes = [step for step in strokes if step.feed <= allowed and None not in step.start]
    if not strokes:
        return None
    step = random.choice(strokes)
    lines = good.text.split("\n")
    line = lines[step.line - 1]
    number = (re.match(r"N\d+ ", line) or [""])[0]
    unit = 25.4 if good.job.units == "inch" else 1.0
    feed = (re.search(r"F[\d.]+", line) or [""])[0]
    there = (
        f"{number}G1 X{number_text(step.end[0] / unit)} Y{number_text(step.end[1] / unit)} {feed}".rstrip()
    )  # type: ignore[operator]
    back = f"{number}G1 X{number_text(step.start[0] / unit)} Y{number_text(step.start[1] / unit)}"  # type: ignore[operator]
    # The beginning is come to through the air, above the work.
    high = f"{number}G0 Z{number_text((good.job.clamping.clamp_height + 2.0) / unit)}"
    low = f"{number}G0 Z{number_text(step.start[2] / unit)}"  # type: ignore[operator]
    quick = there.replace("G1", "G0").split(" F")[0]
    return "\n".join(
        [*lines[: step.line - 1], high, quick, low, f"{back} {feed}".rstrip(), *lines[step.line :]]
    )


def retract_missing(good: Good, random: Random) -> str | None:
    places = [place for place in words_in(good.text, "Z") if not place.number.startswith("-")]
    if not places:
        return None
    lines = good.text.split("\n")
    del lines[random.choice(places).line]
    return "\n".join(lines)


def depth(factor: float, *, everywhere: bool) -> Plant:
    def plant(good: Good, random: Random) -> str | None:
        places = [place for place in words_in(good.text, "Z") if place.number.startswith("-")]
        if not places:
            return None
        text = good.text
        for place in reversed(places) if everywhere else [random.choice(places)]:
            text = put(text, place, f"Z{number_text(float(place.number) * factor)}")
        return text

    return plant


def other_cutter(good: Good, random: Random) -> Planted | None:
    """Put another cutter in: the job says so and so does the program, but its path was made for the old one."""
    if good.done:
        return None  # with which the programs before it were run
    old = good.job.cutters[0].diameter
    unit = 25.4 if good.job.units == "inch" else 1.0
    new = round((old + random.choice((-2.0, -0.5, -0.1, 0.1, 0.5, 2.0))) / unit, 4) * unit
    cutters = tuple(each.model_copy(update={"diameter": new}) for each in good.job.cutters)
    job = good.job.model_copy(update={"cutters": cutters})
    text = re.sub(r"DIAMETER [\d.]+\)", f"DIAMETER {new / unit:.4f})", good.text)
    return Planted(text, job)


def cutter_said(good: Good, random: Random) -> str | None:
    """Change the cutter that a comment asks for."""
    found = list(re.finditer(r"\(CUTTER (\d+) DIAMETER ([\d.]+)\)", good.text))
    if not found:
        return None
    said = random.choice(found)
    number, diameter = int(said[1]), float(said[2])
    new = random.choice(
        (
            f"(CUTTER {number + 1} DIAMETER {diameter})",
            f"(CUTTER {number} DIAMETER {diameter * 1.1:.4f})",
            f"(CUTTER {number} DIAMETER {diameter * 10:.4f})",
            f"(CUTTER {number} DIAMETR {diameter})",
            f"(CUTTER {number})",
            f"(CUTTER DIAMETER {diameter})",
        )
    )
    return good.text[: said.start()] + new + good.text[said.end() :]
