"""Block jobs at random: every stock shape, one to four sections, all ways to say how they are cut."""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from tests.generation.half_planes import HalfPlane, largest_inradius, polygon_faces
from tests.generation.lengths import Lengths
from tests.generation.toml_text import Tables

__all__ = ["Block", "block"]

#: So many passes a program may have by the estimate; more only cost time.
_MOST_PASSES = 70
_MOST_TRIES = 12
_MATERIALS = ("aluminium-6061", "steel-mild", "cast-iron-grey", "brass", "bronze", "acetal")
_NAMES = (
    "index block",
    "stem block (old)",
    "Ø 40 block – ¾ turn",
    "SET Z -10.5",
    "50 % block; second try",
    "a name that is too long for one line of a control's screen, so that it is folded in two or three",
)


@dataclass(frozen=True)
class Block:
    """A job, and what a mill must have for it, mm.

    Attributes:
        tables: of the job's file.
        units: of the file.
        reach: from the centre to the stock's furthest corner.
        deepest: section.
        clamps: how far they stand above the stock.
        shortest_side: of all sections.
    """

    tables: Tables
    units: str
    reach: float
    deepest: float
    clamps: float
    shortest_side: float


@dataclass(frozen=True)
class _Stock:
    table: Tables
    faces: list[HalfPlane]
    inradius: float
    reach: float
    is_round: bool


@dataclass(frozen=True)
class _Section:
    table: Tables
    sides: int
    inradius: float
    first: float

    @property
    def side(self) -> float:
        return 2.0 * self.inradius * math.tan(math.pi / self.sides)


def block(random: Random) -> Block:
    """Draw a job. Most can be made; some ask for what cannot be, as people do."""
    units = random.choice(("mm", "inch"))
    lengths = Lengths(units, random)
    stock = _stock(random, lengths)
    deepest = lengths.rounded(random.uniform(2.0, 14.0))
    cutter_radius = lengths.rounded(random.choice((2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 3.175, 4.7625, 6.35)))
    stepover = _stepover(random, cutter_radius)
    stepdown = deepest * random.uniform(0.3, 1.0) if random.random() < 0.5 else None
    tries = [_sections(random, lengths, stock, deepest) for _ in range(_MOST_TRIES)]
    costs = [_passes(stock, sections, stepover, deepest, stepdown) for sections in tries]
    at = next((i for i, passes in enumerate(costs) if passes <= _MOST_PASSES), costs.index(min(costs)))
    sections = tries[at]
    held, clamping, clamps = _clamping(random, lengths, stock)
    spare = lengths.rounded(random.uniform(1.0, 12.0))
    oversize = lengths.rounded(random.choice((0.0, 0.0, random.uniform(0.1, 1.5))))
    tables: Tables = {
        "kind": "block",
        "name": random.choice(_NAMES),
        "units": units,
        "stock": stock.table
        | {"thickness": lengths.written(deepest + held + spare), "material": random.choice(_MATERIALS)}
        | ({"oversize": lengths.written(oversize)} if oversize or random.random() < 0.5 else {}),
        "sections": random.sample([section.table for section in sections], len(sections)),
        "cutter": _cutter(random, lengths, cutter_radius, deepest, clamps),
        "cut": _cut(random, lengths, stepover, stepdown),
        "clamping": clamping,
    }
    shortest = min(section.side for section in sections)
    return Block(tables, units, stock.reach + oversize, deepest, clamps, shortest)


def _stock(random: Random, lengths: Lengths) -> _Stock:
    shape = random.choice(("square", "rectangle", "round", "polygon"))
    across = lengths.rounded(random.uniform(28.0, 64.0))
    inradius = across / 2.0
    if shape == "square":
        faces = [(k * math.pi / 2.0, inradius) for k in range(4)]
        return _Stock({"shape": shape, "width": lengths.written(across)}, faces, inradius, across, False)
    if shape == "rectangle":
        other = lengths.rounded(across * random.uniform(1.0, 1.4))
        width, length = random.choice(((across, other), (other, across)))
        faces = [(k * math.pi / 2.0, (width, length)[k % 2] / 2.0) for k in range(4)]
        table = {"shape": shape, "width": lengths.written(width), "length": lengths.written(length)}
        return _Stock(table, faces, inradius, other, False)
    if shape == "round":
        faces = [(0.0, inradius)]
        return _Stock({"shape": shape, "diameter": lengths.written(across)}, faces, inradius, across, True)
    sides = random.choice((3, 4, 5, 6, 6, 8, 8, 10, 12, random.randint(3, 16)))
    across = lengths.rounded(across * (0.6 if sides == 3 else 1.0))
    first, table = _turned(random, [0.0, math.pi / 2.0], 0.8)
    table = {"shape": shape, "sides": sides, "across_flats": lengths.written(across)} | table
    return _Stock(table, polygon_faces(sides, across / 2.0, first), across / 2.0, across, False)


def _turned(random: Random, directions: list[float], aligned: float) -> tuple[float, Tables]:
    """Return a direction, radians, and the key that says so: one of the given ones, or any at all."""
    way = random.random()
    if way < aligned * 0.4:
        return 0.0, random.choice(({}, {"first_flat": 0.0}, {"first_flat": "+x"}))
    if way < aligned * 0.6:
        return math.pi / 2.0, {"first_flat": random.choice(("+y", 90.0, "90°"))}
    if way < aligned:
        degrees = math.degrees(math.remainder(random.choice(directions), math.tau))
        return math.radians(degrees), {"first_flat": degrees}
    if random.random() < 0.3:
        degrees, minutes = random.randint(0, 90), random.randint(0, 59)
        return math.radians(degrees + minutes / 60.0), {"first_flat": f"{degrees}° {minutes}'"}
    degrees = round(random.uniform(-180.0, 180.0), 3)
    return math.radians(degrees), {"first_flat": degrees}


def _sections(random: Random, lengths: Lengths, stock: _Stock, deepest: float) -> list[_Section]:
    """Draw sections from the deepest up, each within the one before."""
    count = random.choice((1, 1, 2, 2, 2, 3, 3, 4))
    shares = sorted(random.uniform(0.1, 0.85) for _ in range(count - 1))
    depths = [*(lengths.rounded(deepest * share) for share in shares), deepest]
    sections: list[_Section] = []
    for depth in reversed(depths):
        sections.append(_section(random, lengths, stock, sections, depth))
    return sections


def _section(
    random: Random, lengths: Lengths, stock: _Stock, below: list[_Section], depth: float
) -> _Section:
    under = below[-1] if below else None
    faces = polygon_faces(under.sides, under.inradius, under.first) if under else stock.faces
    if under and random.random() < 0.25:  # all the flats of the deeper one, and as many again between them
        sides = under.sides * random.choice([k for k in (1, 2, 3, 4) if under.sides * k <= 16])
        table = {"sides": sides, "centre_to_flat": lengths.exact(under.inradius)}
        turned = math.degrees(under.first)
        return _Section(
            table | {"depth": lengths.written(depth), "first_flat": turned},
            sides,
            under.inradius,
            math.radians(turned),
        )
    directions = [direction for direction, _ in stock.faces] + [direction for direction, _ in faces]
    sides = random.randint(3, 16)
    first, turned_table = _turned(random, directions, 0.75)
    if stock.is_round and not under:
        largest = stock.inradius * math.cos(math.pi / sides)
    else:
        largest = largest_inradius(sides, first, faces)
    inradius, size = _size(random, lengths, sides, largest)
    if not stock.is_round and math.isclose(largest, stock.inradius) and random.random() < 0.6:
        inradius, size = largest, {"across_flats": "stock"}
    elif random.random() < 0.01:
        size = {"across_flats": "stock"}  # which as a rule cannot be
    return _Section(
        {"sides": sides} | size | {"depth": lengths.written(depth)} | turned_table, sides, inradius, first
    )


def _size(random: Random, lengths: Lengths, sides: int, largest: float) -> tuple[float, Tables]:
    """Return an inradius, and the key that gives the size: as large as fits, or smaller, now and then too large."""
    way = random.random()
    if way < 0.15:
        return largest, {"across_flats": lengths.exact(2.0 * largest)}
    share = 1.0 if way < 0.3 else random.uniform(1.005, 1.1) if way < 0.32 else random.uniform(0.82, 0.99)
    inradius = lengths.rounded_down(largest * share)
    if random.random() < 0.3:
        return inradius, {"centre_to_flat": lengths.written(inradius)}
    if sides % 2 and random.random() < 0.4:
        high = lengths.rounded_down(inradius * (1.0 + 1.0 / math.cos(math.pi / sides)))
        return high / (1.0 + 1.0 / math.cos(math.pi / sides)), {"flat_to_corner": lengths.written(high)}
    return inradius, {"across_flats": lengths.written(2.0 * inradius)}


def _stepover(random: Random, radius: float) -> float:
    return radius * random.choice((1.0, random.uniform(0.5, 1.0), random.uniform(0.25, 0.6)))


def _passes(
    stock: _Stock, sections: list[_Section], stepover: float, deepest: float, stepdown: float | None
) -> float:
    """Estimate how many passes there will be."""
    levels = math.ceil(deepest / stepdown) if stepdown else 1
    passes, outside = 0, stock.inradius * (1.0 if stock.is_round else 1.15)
    for section in sections:
        strips = math.ceil(max(outside - section.inradius, 0.0) / stepover) + 1
        passes += section.sides * strips * levels
        outside = section.inradius / math.cos(math.pi / section.sides)
    return passes


def _clamping(random: Random, lengths: Lengths, stock: _Stock) -> tuple[float, Tables, float]:
    """Return how much of the thickness is held, the table, and how far clamps stand up."""
    along = random.choice("xy")
    towards = math.pi / 2.0 if along == "x" else 0.0
    faces_jaws = stock.is_round or all(
        any(abs(math.remainder(direction - jaw, math.tau)) < 1e-12 for direction, _ in stock.faces)
        for jaw in (towards, towards + math.pi)
    )
    if random.random() < (0.65 if faces_jaws else 0.04):
        held = lengths.rounded(random.uniform(3.0, 12.0))
        table: Tables = {"grip": "vise", "jaws_along": along, "held": lengths.written(held)}
        return held, table | ({"swivel_settings": _settings(held)} if random.random() < 0.2 else {}), 0.0
    clamps = lengths.rounded(random.choice((0.0, random.uniform(3.0, 20.0))))
    table = {"grip": "plate"} | ({"clamp_height": lengths.written(clamps)} if clamps else {})
    return 0.0, table, clamps


def _settings(held: float) -> object:
    """Draw settings of the swivel base, from what was drawn before, so that all else stays as it was."""
    random = Random(f"swivel {held}")
    one = float(random.randint(-180, 180))
    return random.choice(
        ([0.0], [one], [one / 8.0], [90.0], {"from": one // 2, "to": one // 2 + 1.0, "graduation": 0.5})
    )


def _cutter(random: Random, lengths: Lengths, radius: float, deepest: float, clamps: float) -> Tables:
    flutes = lengths.rounded(deepest + random.choice((0.0, random.uniform(0.5, 12.0))))
    # The holder stays above the clamps, however deep the cutter goes.
    out = lengths.rounded(max(flutes, deepest + clamps) + random.uniform(0.0, 15.0)) + lengths.step
    table: Tables = {
        "number": random.randint(1, 20),
        "diameter": lengths.written(2.0 * radius),
        "flutes": random.randint(2, 6),
        "flute_length": lengths.written(flutes),
        "stick_out": lengths.written(out),
        "material": random.choice(("carbide", "hss")),
        "centre_cutting": random.choice((True, False)),
    }
    if random.random() < 0.6:
        table["holder_diameter"] = lengths.written(lengths.rounded(2.0 * radius + random.uniform(0.0, 25.0)))
    return table


def _cut(random: Random, lengths: Lengths, stepover: float, stepdown: float | None) -> Tables:
    stepover = lengths.rounded_down(stepover)
    allowance = lengths.rounded(random.choice((0.0, random.uniform(0.05, 0.6))))
    if allowance >= stepover and random.random() < 0.95:
        allowance = 0.0
    table: Tables = {
        "direction": random.choice(("conventional", "climb")),
        "stepover": lengths.written(stepover),
    }
    if stepdown is not None:
        table["stepdown"] = lengths.written(lengths.rounded(stepdown))
    if allowance or random.random() < 0.5:
        table["finish_allowance"] = lengths.written(allowance)
    return table
