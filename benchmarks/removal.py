"""How the time for removing material with the state after every move grows with the number of moves.

A ball of wool for the dry run: a small cutter wanders over a plate in short straight moves, on wavy rows that leave
thin ribs between them, so that the outline of what stands grows with every move and the plate with their number. One
run prints, for each number of moves: the seconds for removal alone, and for the dry run of a block with a job that
is cut along a wobbling spiral; for removal also the Hausdorff distance of what is left from what one overlay with the
union of all sweeps leaves. First it prints that distance for fewer moves from removal one by one, without tiles::

    python benchmarks/removal.py [MOVES ...]
"""

from __future__ import annotations

import math
import os
import platform
import sys
import time
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun import dry_run
from polypocket.dryrun.meeting import Meeting
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.overlay import on_grid, together, without
from polypocket.dryrun.sweeps import Sweeper, sweep
from polypocket.dryrun.tiles import Standing, tiles_of, whole
from polypocket.model.files import job_of_text, load_mill
from polypocket.reader import Dialect, Kind, read

MOVES = (10_000, 30_000, 100_000)
#: Moves that can be removed one by one in seconds.
FEW = 2_000
#: Sizes of the plate's cut, mm.
RADIUS, STEP, ROWS = 1.5, 0.5, 4.0
#: Sizes of the block's cut, mm: cutter, part, stepover.
CUTTER, PART, STEPOVER = 5.0, 12.0, 1.0
WHOLE = (0.0, 1.0)


def wandering(count: int) -> tuple[BaseGeometry, list[Motion]]:
    """Return a plate and this many moves over it."""
    side = math.sqrt(count * STEP * ROWS)
    rows = math.ceil(side / ROWS)
    places: list[tuple[float, float]] = []
    for row in range(rows):
        x = np.linspace(-side / 2.0 - 3.0, side / 2.0 + 3.0, math.ceil(count / rows) + 1)
        y = row * ROWS - side / 2.0 + 0.8 * np.sin(x / 3.0) + 0.2 * np.sin(x / 0.9 + row)
        along = zip(x.tolist(), y.tolist(), strict=True)
        places += along if row % 2 == 0 else reversed(list(along))
    nowhere = (math.nan, math.nan)
    moves = [
        Motion(
            i, i + 1, Kind.FEED, (*begin, -1.0), (*end, -1.0), nowhere, 0, 300.0, 3000.0, 1, compensated=False
        )
        for i, (begin, end) in enumerate(pairwise(places[: count + 1]))
    ]
    half = side / 2.0
    return on_grid(shapely.box(-half, -half, half, half)), moves


def removed(plate: BaseGeometry, moves: Sequence[Motion]) -> Standing:
    """Return what is left of a plate, one move after another."""
    standing = tiles_of(plate)
    for move in moves:
        standing = Meeting(standing, Sweeper(move, RADIUS), WHOLE).left
    return standing


def one_by_one(plate: BaseGeometry, moves: Sequence[Motion]) -> BaseGeometry:
    """Return the same without tiles and without short cuts."""
    for move in moves:
        plate = without(plate, sweep(move, WHOLE, RADIUS))
    return plate


def at_once(plate: BaseGeometry, moves: Sequence[Motion]) -> BaseGeometry:
    """Return the same by a single overlay."""
    return without(plate, together([sweep(move, WHOLE, RADIUS) for move in moves]))


def hausdorff(one: BaseGeometry, other: BaseGeometry) -> float:
    """Return the Hausdorff distance between two boundaries, taken at their corners, mm.

    Of two straight-edged boundaries the point that is furthest from the other one is a corner, but for edges that the
    other one bends away from and back; GEOS' own function measures at corners too, and takes quadratic time.
    """
    return max(_furthest(one, other), _furthest(other, one))


def _furthest(one: BaseGeometry, other: BaseGeometry) -> float:
    edges = []
    for ring in shapely.get_rings(shapely.get_parts(other)):
        corners = shapely.get_coordinates(ring)
        edges.append(shapely.linestrings(np.stack((corners[:-1], corners[1:]), axis=1)))
    tree = shapely.STRtree(np.concatenate(edges))
    points = shapely.points(shapely.get_coordinates(one))
    _, distances = tree.query_nearest(points, return_distance=True, all_matches=False)
    return float(distances.max())


def spiral_seconds(count: int) -> float:
    """Return the seconds of the dry run of a program of this many moves, judged with a job."""
    nearest = PART / math.sqrt(2.0) + CUTTER + 0.5
    outermost = math.sqrt(nearest**2 + count * STEP * STEPOVER / math.pi)
    job = job_of_text(_JOB.format(diameter=2.0 * (outermost - CUTTER), part=PART, cutter=2.0 * CUTTER), "job")
    lines = [f"G21 G17 G90 G94 G40 G49 G54\n(CUTTER 1 DIAMETER {2.0 * CUTTER:.3f})\nS3000 M3\nG0 Z30."]
    lines.append(f"G0 X{outermost + 5.0:.4f} Y-10.\nG0 Z-6.\nF300.")
    radius, angle = outermost, 0.0
    for _ in range(count):
        out = radius + 0.15 * math.sin(7.0 * angle)
        lines.append(f"G1 X{out * math.cos(angle):.4f} Y{out * math.sin(angle):.4f}")
        turn = STEP / radius
        angle, radius = angle + turn, radius - STEPOVER * turn / math.tau
    lines.append("G0 Z30.\nM5\nM30\n")
    track = read("\n".join(lines), Dialect(name="benchmark"), name="spiral")
    began = time.process_time()
    dry_run([track], load_mill("knee-mill-3-axis"), job)
    return time.process_time() - began


#: Invented, as all the numbers here.
_JOB = """
kind = "block"
name = "spiral"
units = "mm"
[stock]
shape = "round"
diameter = {diameter:.3f}
thickness = 20.0
oversize = 0.3
material = "brass"
[[sections]]
sides = 4
across_flats = {part}
depth = 6.0
[cutter]
number = 1
diameter = {cutter}
flutes = 3
flute_length = 20.0
stick_out = 30.0
material = "carbide"
centre_cutting = true
[cut]
direction = "conventional"
stepover = 2.5
spindle_rpm = 3000
feed = 300.0
[clamping]
grip = "plate"
[tolerance]
angle = 0.1
"""


def main(counts: Sequence[int]) -> None:
    """Print the table."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, Python", end=" ")
    print(f"{platform.python_version()}, shapely {shapely.__version__}, GEOS {shapely.geos_version_string}")
    plate, moves = wandering(FEW)
    apart = 1e3 * hausdorff(whole(removed(plate, moves)), one_by_one(plate, moves))
    print(f"{FEW} moves are {apart:.4f} µm from removal one by one")
    print(f"{'moves':>8} {'removal s':>10} {'dry run s':>10} {'corners left':>13} {'distance, µm':>13}")
    alone: list[float] = []
    judged: list[float] = []
    for count in counts:
        plate, moves = wandering(count)
        began = time.process_time()
        standing = removed(plate, moves)
        alone.append(time.process_time() - began)
        left = whole(standing)
        judged.append(spiral_seconds(count))
        apart = 1e3 * hausdorff(left, at_once(plate, moves))
        corners = shapely.get_num_coordinates(left)
        print(f"{count:8} {alone[-1]:10.2f} {judged[-1]:10.2f} {corners:13} {apart:13.4f}", flush=True)
    if len(counts) > 1:
        span = math.log(counts[-1] / counts[0])
        for name, seconds in (("removal", alone), ("dry run", judged)):
            print(f"{name}: time grows as n^{math.log(seconds[-1] / seconds[0]) / span:.2f}")


if __name__ == "__main__":
    main([int(word) for word in sys.argv[1:]] or MOVES)
