"""Where the cutter's centre goes with radius compensation, against offsets of shapely."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely.geometry import LineString, Polygon

from polypocket.dryrun.compensation import centre_path
from polypocket.dryrun.motions import Motion, motions_of
from polypocket.dryrun.paths import paths_of
from tests.dryrun.contours import ZEROS, moves_of, path_of, track_of


def sampled(motions: Sequence[Motion]) -> NDArray[np.float64]:
    """Points along motions, arcs so close that no chord is 1e-4 off."""
    points: list[tuple[float, ...]] = []
    for motion in motions:
        step = math.sqrt(8e-4 / max(motion.path_radius, 1.0)) if motion.is_arc else math.inf
        count = max(2, math.ceil(abs(motion.sweep) / step)) if motion.is_arc else 2
        points += [motion.at(share)[:2] for share in np.linspace(0.0, 1.0, count)]
    return np.array(points)


@st.composite
def convex_polygons(draw: st.DrawFn) -> list[tuple[float, float]]:
    """Draw corners on an ellipse, anticlockwise, no two within 10° of it."""
    count = draw(st.integers(3, 8))
    gaps = np.array(draw(st.lists(st.floats(1.0, 8.0), min_size=count, max_size=count)))
    angles = np.cumsum(gaps / gaps.sum()) * 2.0 * math.pi + draw(st.floats(0.0, 6.3))
    x, y = draw(st.floats(15.0, 60.0)) * np.cos(angles), draw(st.floats(15.0, 60.0)) * np.sin(angles)
    return [(round(float(a), 6), round(float(b), 6)) for a, b in zip(x, y, strict=True)]


def around(corners: list[tuple[float, float]], word: str, side: float) -> str:
    """A program once round from the middle of the last edge, come upon square to it from 30 on one side."""
    (x1, y1), (x2, y2) = corners[-1], corners[0]
    middle, length = ((x1 + x2) / 2.0, (y1 + y2) / 2.0), math.dist(corners[-1], corners[0])
    away = middle[0] - side * (y2 - y1) / length, middle[1] + side * (x2 - x1) / length
    lines = [f"G0 X{away[0]:.6f} Y{away[1]:.6f}", f"{word} D1 G1 X{middle[0]:.6f} Y{middle[1]:.6f}"]
    lines += [f"X{x:.6f} Y{y:.6f}" for x, y in (*corners, middle)]
    return "\n".join([*lines, f"G40 X{away[0]:.6f} Y{away[1]:.6f}"])


@given(convex_polygons(), st.floats(0.01, 20.0))
@settings(max_examples=50)
def test_outside_a_convex_polygon_is_its_round_offset(
    corners: list[tuple[float, float]], radius: float
) -> None:
    motions = moves_of(around(corners, "G42", -30.0), radius)[2:-1]
    assert sum(motion.is_arc for motion in motions) == len(corners)
    outline = Polygon(corners).buffer(radius, quad_segs=128).exterior
    assert shapely.hausdorff_distance(LineString(sampled(motions)), outline) < 1e-3


@given(convex_polygons(), st.floats(0.01, 20.0))
@settings(max_examples=100)
def test_inside_a_convex_polygon_is_its_mitred_offset(
    corners: list[tuple[float, float]], radius: float
) -> None:
    # An edge loses r tan(t/2) at a corner that turns by t. Begun in the middle of an edge: each half by itself.
    ring = np.array([corners[-1], *corners, corners[0]])
    edges = np.diff(ring, axis=0)
    bearing = np.arctan2(edges[:, 1], edges[:, 0])
    lost = radius * np.tan(np.diff(bearing) % (2.0 * math.pi) / 2.0)  # at corners 0, 1 … last
    lengths = np.hypot(edges[:, 0], edges[:, 1])
    room = min(
        lengths[0] / 2.0 - lost[0], lengths[0] / 2.0 - lost[-1], *(lengths[1:-1] - lost[:-1] - lost[1:])
    )
    path = path_of(around(corners, "G41", radius + 30.0), {1: radius})
    if room > 1e-4:
        assert path.faults == ()
        outline = Polygon(corners).buffer(-radius, join_style="mitre", mitre_limit=1e6).exterior
        assert shapely.hausdorff_distance(LineString(sampled(path.motions[2:-1])), outline) < 1e-3
    elif room < -1e-4:
        assert path.faults


@st.composite
def contours(draw: st.DrawFn) -> str:
    """Draw a contour of lines and arcs, 2 to 6 of them, that wanders about, come upon from the left."""
    x, y, direction = 0.0, 0.0, 0.0
    lines = ["G0 X0 Y40", "G41 D1 G1 X0 Y0", "X20"]
    x = 20.0
    for _ in range(draw(st.integers(1, 5))):
        direction += draw(st.sampled_from([0.0, 0.0, 0.3, -0.3, 1.0, -1.0, 1.6, -1.6, 2.2, -2.2]))
        length = draw(st.floats(5.0, 40.0))
        bend = draw(st.sampled_from([0.0, 0.0, 0.5, -0.5, 1.5, -1.5, 2.5, -2.5]))
        if not bend:
            x, y = x + length * math.cos(direction), y + length * math.sin(direction)
            lines.append(f"G1 X{x:.6f} Y{y:.6f}")
            continue
        radius = length / bend  # positive: the centre is on the left
        i, j = -radius * math.sin(direction), radius * math.cos(direction)
        cx, cy = x + i, y + j
        direction += bend
        x, y = cx + radius * math.sin(direction), cy - radius * math.cos(direction)
        lines.append(f"G{3 if bend > 0.0 else 2} X{x:.6f} Y{y:.6f} I{i:.6f} J{j:.6f}")
    return "\n".join([*lines, "G40 G1 X200 Y200"])


#: A contour that crosses itself: its last line comes back over the first, beside which an arc about a corner lies.
CROSSED = """\
G0 X0 Y40
G41 D1 G1 X0 Y0
X20
G1 X17.057494 Y4.042482
G3 X16.748989 Y-0.895970 I9.516021 J-3.073329
G40 G1 X200 Y200"""


@given(contours(), st.floats(0.01, 8.0), st.sampled_from([1.0, -1.0]))
@example(CROSSED, 7.0, -1.0)
@settings(max_examples=150)
def test_the_centre_keeps_off_what_it_follows(body: str, radius: float, sign: float) -> None:
    # With every motion the centre stands a radius off the programmed one of its line, and no nearer to its neighbours,
    # where these do not come back over each other.
    body = body if sign > 0.0 else body.replace("G0 X0 Y40", "G0 X0 Y-40")
    track = track_of(body)
    programmed = {motion.line: motion for motion in motions_of(paths_of(track, "G54", ZEROS))}
    path = centre_path(track, motions_of(paths_of(track, "G54", ZEROS)), {1: sign * radius})
    if path.faults:
        return
    lines = range(4, path.motions[-1].line)  # of the contour, without the first move and the last
    alone = [turning(line, line + 1, programmed) < 3.0 for line in lines[:-1]]
    for motion in path.motions[2:-1]:
        points = shapely.points(sampled([motion]))
        for line in (motion.line - 1, motion.line, motion.line + 1):
            if line not in lines or (line != motion.line and crosses(motion.line, programmed)):
                continue
            if all(alone[max(0, motion.line - 5) : motion.line - 3]):
                distances = shapely.distance(points, LineString(sampled([programmed[line]])))
                assert distances.min() > radius - 5e-4
                assert line != motion.line or distances.max() < radius + 5e-4


def crosses(line: int, programmed: Mapping[int, Motion]) -> bool:
    """Whether the motions before and after a line's come over each other."""
    around = [LineString(sampled([programmed[each]])) for each in (line - 1, line + 1) if each in programmed]
    return len(around) == 2 and bool(around[0].intersects(around[1]))


def turning(first: int, second: int, programmed: Mapping[int, Motion]) -> float:
    """All the angle that two motions in turn go round; under a half turn neither comes back to the other."""
    ways = [sampled([programmed[line]]) for line in (first, second)]
    bearing = np.unwrap(np.concatenate([np.arctan2(*np.diff(way, axis=0).T[::-1]) for way in ways]))
    return float(np.abs(np.diff(bearing)).sum())
