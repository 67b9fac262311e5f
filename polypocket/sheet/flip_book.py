"""The passes one by one, as compact data that a page draws one at a time.

Whatever many passes have in common is kept once: outlines of what stands are numbered, and a pass names only the slabs
that it changes. Lengths are whole hundredths of a millimetre, points after the first of a ring the steps from the one
before; positions are the reader's own, in whole steps of the job's units.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, TypeAlias

import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun import Finding
from polypocket.dryrun.material import Material
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import together, without
from polypocket.dryrun.tiles import whole
from polypocket.model.job import BlockJob
from polypocket.program import Pass
from polypocket.prove import Proof
from polypocket.reader.track import Track
from polypocket.screen.lengths import Lengths
from polypocket.sheet.recorder import Recorder, SeenPass
from polypocket.units import MM_PER_INCH, Units

__all__ = ["STEPS_PER_MM", "decimals_of", "flip_book", "pass_at"]

#: Steps of the drawings: a hundredth of a millimetre is far finer than their lines.
STEPS_PER_MM = 100
#: Outlines are drawn without corners that matter less than this, mm: one step.
_SIMPLER = 1.0 / STEPS_PER_MM
#: A strip smaller than this is rounding, mm².
_NOTHING = 1e-3
#: An arc of a path is drawn in straight lines of at most this angle, radians.
_ARC_STEP = math.radians(7.5)

Ring: TypeAlias = list[int]


def decimals_of(units: Units) -> int:
    """Return with how many decimals positions are shown: 0.001 mm, 0.0001 in."""
    return 3 if units == "mm" else 4


def flip_book(job: BlockJob, proof: Proof, recorder: Recorder) -> dict[str, Any]:
    """Return the passes of a proof whose dry run was recorded, as what ``json.dumps`` takes.

    Keys: ``programs`` their names and lines; ``cutters`` radius of each by its number; ``slabs`` low and high of each,
    from the top down; ``stock`` its rings; ``outlines`` rings of each, ``start`` the outline of each slab at the
    beginning; ``passes`` each with ``number``, ``title``, ``cutter``, ``program`` (its index), ``lines`` (first and
    last), ``z`` (mm), ``changes`` (slab and outline), ``strip`` (rings), ``paths`` (whether each is cutting, and its
    points), ``moves`` (line and X, Y, Z in steps, null where not known); ``findings`` each with the index of its pass.
    """
    programs = [written.name for written in (*proof.before, *proof.parts)]
    seen = [each for each in recorder.passes if each.number > 0]
    items = {item.number: item for program in proof.programs for item in _passes(program.setups)}
    outlines = _Outlines()
    first = recorder.passes[0].before if recorder.passes else Material(())
    start = [outlines.number_of(whole(slab.standing)) for slab in first.slabs]
    passes = [
        _pass(job, each, items.get(each.number), programs.index(each.track.name), lines, outlines)
        for each, lines in zip(seen, _lines(seen), strict=True)
    ]
    texts = [written.text.splitlines() for written in (*proof.before, *proof.parts)]
    return {
        "unit": Lengths(job.units).unit,
        "decimals": decimals_of(job.units),
        "steps": STEPS_PER_MM,
        "cutters": {str(cutter.number): round(cutter.radius * STEPS_PER_MM) for cutter in job.cutters},
        "stock": _rings(whole(first.slabs[-1].standing)) if first.slabs else [],
        "slabs": [[slab.low, slab.high] for slab in first.slabs],
        "start": start,
        "outlines": outlines.rings,
        "programs": [{"name": name, "lines": text} for name, text in zip(programs, texts, strict=True)],
        "passes": passes,
        "findings": [_finding(finding, seen) for finding in proof.verdict.findings],
    }


def pass_at(finding: Finding, seen: Sequence[SeenPass]) -> int:
    """Return the index of the pass in which a finding's line stands: the last that begins at or before it, or 0."""
    index = 0
    for number, each in enumerate(seen):
        if each.track.name == finding.program and each.motions and each.motions[0].line <= finding.line:
            index = number
    return index


class _Outlines:
    """The outlines that occur, each kept once."""

    def __init__(self) -> None:
        self.rings: list[list[Ring]] = []
        self._numbers: dict[tuple[tuple[int, ...], ...], int] = {}

    def number_of(self, area: BaseGeometry) -> int:
        """Return an area's number."""
        rings = _rings(area)
        key = tuple(map(tuple, rings))
        if key not in self._numbers:
            self._numbers[key] = len(self.rings)
            self.rings.append(rings)
        return self._numbers[key]


def _pass(
    job: BlockJob, seen: SeenPass, item: Pass | None, program: int, lines: list[int], outlines: _Outlines
) -> dict[str, Any]:
    changed = [
        (index, old, new)
        for index, (old, new) in enumerate(zip(seen.before.slabs, seen.after.slabs, strict=True))
        if new.standing is not old.standing
    ]
    gone = [without(whole(old.standing), whole(new.standing)) for _, old, new in changed]
    strip = together([area for area in gone if area.area > _NOTHING]) if gone else None
    level = min((motion.lowest for motion in seen.motions if not motion.is_rapid), default=0.0)
    return {
        "number": seen.number,
        "title": _title(job, seen.number, item, level, seen.motions[0].tool),
        "cutter": job.cutter(seen.motions[0].tool).number,
        "program": program,
        "lines": lines,
        "z": level,
        "changes": [[index, outlines.number_of(whole(new.standing))] for index, _, new in changed],
        "strip": _rings(strip) if strip is not None else [],
        "paths": list(_paths(job, seen.motions)),
        "moves": list(_moves(seen, job.units)),
    }


def _title(job: BlockJob, number: int, item: Pass | None, level: float, tool: int) -> str:
    z = f"Z {Lengths(job.units).text(level)}"
    if item is None:
        return f"pass {number}, {z}"
    flats = f"flat {item.flat}" if item.flat == item.last_flat else f"flats {item.flat} to {item.last_flat}"
    strip = "finish" if item.role == "finish" else f"rough, strip {item.index}"
    return f"{item.feature}, {flats}, {strip}, {z}, {_direction(job, tool)}"


def _direction(job: BlockJob, tool: int) -> str:
    """Return how the cutter in the spindle is led, and its number where there are several."""
    cutter = job.cutter(tool)
    return f"{cutter.cut.direction}, cutter {cutter.number}" if len(job.cutters) > 1 else cutter.cut.direction


def _lines(seen: Sequence[SeenPass]) -> Iterator[list[int]]:
    """Yield each pass's first and last line: from its own comment to the one before the next, or its last motion."""
    heads = {
        (track.name, comment.text.split()[1]): comment.line
        for track in {id(each.track): each.track for each in seen}.values()
        for comment in track.comments
        if comment.text.startswith("PASS ")
    }
    first = [
        heads.get((each.track.name, str(each.number)), min(motion.line for motion in each.motions))
        for each in seen
    ]
    for number, each in enumerate(seen):
        goes_on = number + 1 < len(seen) and seen[number + 1].track is each.track
        yield [first[number], first[number + 1] - 1 if goes_on else each.motions[-1].line]


def _moves(seen: SeenPass, units: Units) -> Iterator[list[int | None]]:
    """Yield where each of the pass's rows ends, as the reader read it."""
    step = (1.0 if units == "mm" else MM_PER_INCH) / 10 ** decimals_of(units)
    track: Track = seen.track
    for motion in seen.motions:
        row = motion.row
        places = (float(track.x[row]), float(track.y[row]), float(track.z[row]))
        yield [motion.line, *(None if math.isnan(place) else round(place / step) for place in places)]


def _paths(job: BlockJob, motions: Iterable[Motion]) -> Iterator[list[Any]]:
    """Yield runs of motions, each with whether it goes at the cutting feed, and its points."""
    run: Ring = []
    cutting = None
    for motion in motions:
        if not motion.is_known:
            continue
        cuts = not motion.is_rapid and motion.rate <= job.cutter(motion.tool).cut.feed * 1.001
        if cuts != cutting or not run:
            if run:
                yield [int(bool(cutting)), run]
            run, cutting = _steps([motion.start[:2]]), cuts
        pieces = max(1, math.ceil(abs(motion.sweep) / _ARC_STEP)) if motion.is_arc else 1
        points = [*(motion.at(piece / pieces)[:2] for piece in range(1, pieces)), motion.end[:2]]
        run += _steps(points)
    if run:
        yield [int(bool(cutting)), run]


def _steps(points: Iterable[tuple[float, float]]) -> Ring:
    return [round(value * STEPS_PER_MM) for point in points for value in point]


def _rings(area: BaseGeometry) -> list[Ring]:
    """Return an area's rings, outer and inner alike: first point, then the step to each next one."""
    rings = []
    for part in shapely.get_parts(shapely.simplify(area, _SIMPLER)):
        if part.geom_type == "Polygon" and not part.is_empty:
            rings += [_ring(ring) for ring in (part.exterior, *part.interiors)]
    return rings


def _ring(ring: BaseGeometry) -> Ring:
    values: Ring = []
    x = y = 0
    for px, py in shapely.get_coordinates(ring)[:-1].tolist():
        nx, ny = round(px * STEPS_PER_MM), round(py * STEPS_PER_MM)
        if values and (nx, ny) == (x, y):
            continue
        values += [nx - x, ny - y]
        x, y = nx, ny
    return values


def _passes(setups: Iterable[Any]) -> Iterator[Pass]:
    for setup in setups:
        yield from (item for item in setup.items if isinstance(item, Pass))


def _finding(finding: Finding, seen: Sequence[SeenPass]) -> dict[str, Any]:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "place": f"{finding.program}:{finding.line}",
        "message": finding.message,
        "fix": finding.fix,
        "pass": pass_at(finding, seen) if seen else None,
    }
