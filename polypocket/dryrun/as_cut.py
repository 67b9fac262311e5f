"""The part as cut: each flat measured on what the program leaves standing, not on what was meant."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from polypocket.dryrun.cut_section import AsCut
from polypocket.dryrun.material import Material
from polypocket.dryrun.overlay import common
from polypocket.dryrun.part import Flat, Level
from polypocket.dryrun.tiles import whole
from polypocket.model.job import BlockJob
from polypocket.shape.swept import outline_area

__all__ = ["AsCut", "Face", "face_of", "measure"]

Floats = NDArray[np.float64]

#: Corners nearer than this to the line of the longest edge are on the same face, mm: ten roundings.
_SAME_FACE = 0.01
#: Fits of the line, each to the edges that are along the one before: the longest edge may be a short one.
_ROUNDS = 4
#: A face further than this from where the flat should be is another face, mm, or this share of the distance.
_NEAR = 2.0
_NEAR_SHARE = 0.1


class Face(NamedTuple):
    """A straight stretch of an outline: where it faces, radians, and its distance from the centre, mm."""

    normal: float
    distance: float


def measure(
    job: BlockJob, levels: tuple[Level, ...], material: Material, turn: float = 0.0
) -> tuple[tuple[AsCut, ...], ...]:
    """Measure each section, in the order of the job: once for each slab of it, the lowest first.

    The stock may be larger than nominal, but its faces are then no measure of the program: what is measured
    is what stands inside the nominal stock. Levels and material stand turned by ``turn`` radians; normals are told
    as they are on the part itself.
    """
    nominal = outline_area(job.stock.outline().turned(turn))
    sections: list[tuple[AsCut, ...]] = []
    for number in range(1, len(job.sections) + 1):
        level = next((level for level in levels if level.section == number), None)
        standing = [slab.standing for slab in material.slabs if level and level.low <= slab.low < level.high]
        found = {each: _section(level, common(whole(each), nominal), turn) for each in set(standing) if level}
        sections.append(tuple(found[each] for each in reversed(standing)))
    return tuple(sections)


def _section(level: Level, standing: BaseGeometry, turn: float) -> AsCut:
    faces = [face_of(flat, standing, len(level.flats)) for flat in level.flats]
    step = 2.0 * math.pi / len(faces)
    pairs = zip(faces, faces[1:] + faces[:1], strict=True)
    errors = [abs(math.remainder(b.normal - a.normal - step, math.tau)) for a, b in pairs if a and b]
    return AsCut(
        feature=level.feature,
        sides=len(faces),
        across_flats=tuple(2.0 * face.distance if face else None for face in faces),
        normals=tuple(face.normal - turn if face else None for face in faces),
        not_cut=tuple(flat.number for flat in level.flats if not flat.is_cut),
        worst_angle_error=max(errors) if len(errors) == len(faces) else None,
    )


def face_of(flat: Flat, standing: BaseGeometry, sides: int) -> Face | None:
    """Find the face nearest to a flat on an outline and fit a line to it; ``None`` where none is near.

    Candidates face within half a step of the flat and lie near it. The longest one names the face, and the
    line is the one with the least squares of the distances from all the edges along it, each weighted by
    its length.
    """
    ring = _outer_ring(standing)
    if len(ring) < 3:
        return None
    begin, end = ring, np.roll(ring, -1, axis=0)
    across, lengths = end - begin, np.hypot(*(end - begin).T)
    facing = np.arctan2(-across[:, 0], across[:, 1])
    turned = np.abs(np.remainder(facing - flat.direction + math.pi, math.tau) - math.pi)
    c, s = math.cos(flat.direction), math.sin(flat.direction)
    off = np.abs((begin + end) @ (c, s) / 2.0 - flat.distance)
    near = (turned < math.pi / sides) & (off < max(_NEAR, _NEAR_SHARE * flat.distance)) & (lengths > 0.0)
    if not near.any():
        return None
    longest = int(np.argmax(np.where(near, lengths, 0.0)))
    normal = np.array((across[longest, 1], -across[longest, 0])) / lengths[longest]
    face = Face(math.atan2(normal[1], normal[0]), float(normal @ begin[longest]))
    fitted: NDArray[np.bool_] | None = None
    for _ in range(_ROUNDS):
        along = near & _beside(face, begin) & _beside(face, end)
        if not along.any():
            return None
        if fitted is not None and (along == fitted).all():  # the same edges have the same line
            return face
        fitted = along
        face = _fit(begin[along], end[along], lengths[along], flat.direction)
    return face


def _beside(face: Face, points: Floats) -> NDArray[np.bool_]:
    """Which points lie so near to a face's line that they are on the face."""
    near: NDArray[np.bool_] = (
        np.abs(points @ (math.cos(face.normal), math.sin(face.normal)) - face.distance) < _SAME_FACE
    )
    return near


def _fit(begin: Floats, end: Floats, lengths: Floats, direction: float) -> Face:
    """Total least squares line through segments, each a uniform mass."""
    middle = (begin + end) / 2.0
    centre = (lengths[:, None] * middle).sum(axis=0) / lengths.sum()
    half = (end - begin) / 2.0
    spread = np.einsum("i,ij,ik->jk", lengths, middle - centre, middle - centre)
    spread += np.einsum("i,ij,ik->jk", lengths, half, half) / 3.0
    normal = np.linalg.eigh(spread).eigenvectors[:, 0]
    outwards = np.array((math.cos(direction), math.sin(direction)))
    normal = normal if normal @ outwards > 0.0 else -normal
    turned = math.remainder(math.atan2(normal[1], normal[0]) - direction, math.tau)
    return Face(direction + turned, float(normal @ centre))


def _outer_ring(standing: BaseGeometry) -> Floats:
    """Corners of the largest piece, anticlockwise."""
    pieces = [
        piece for piece in shapely.get_parts(standing) if isinstance(piece, Polygon) and not piece.is_empty
    ]
    if not pieces:
        return np.empty((0, 2))
    largest = max(pieces, key=lambda piece: piece.area)
    ring: Floats = shapely.get_coordinates(shapely.geometry.polygon.orient(largest).exterior)
    return ring[:-1]
