"""A small shop: two jobs, a mill, and programs for them written by hand. All numbers are invented."""

import math
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from polypocket.dryrun import DryRun, dry_run
from polypocket.model.job import BlockJob
from polypocket.model.mill import Mill
from polypocket.reader import Dialect, read

DIALECT = Dialect(name="test")

# A square block, 36 mm across, 6 mm deep, from square stock of 40 mm that may be 0.5 mm larger on every side:
# one pass a flat, 2.5 mm wide. Conventional: anticlockwise round the block.
SQUARE_JOB: dict[str, Any] = {
    "kind": "block",
    "name": "test square",
    "units": "mm",
    "stock": {"shape": "square", "width": 40.0, "thickness": 20.0, "oversize": 0.5, "material": "brass"},
    "sections": [{"sides": 4, "across_flats": 36.0, "depth": 6.0}],
    "cutter": {
        "number": 1,
        "diameter": 10.0,
        "flutes": 3,
        "flute_length": 20.0,
        "stick_out": 30.0,
        "holder_diameter": 32.0,
        "material": "carbide",
        "centre_cutting": True,
    },
    "cut": {"direction": "conventional", "stepover": 2.5, "spindle_rpm": 3000.0, "feed": 300.0},
    "clamping": {"grip": "vise", "jaws_along": "x", "held": 10.0},
    "tolerance": {"angle": math.radians(0.1), "size": 0.1},
}


def _axis(low: float, high: float, backlash: float) -> dict[str, Any]:
    return {
        "low": low,
        "high": high,
        "rapid": 3000.0,
        "acceleration": 200.0,
        "acceleration_assumed": False,
        "backlash": backlash,
        "driven": True,
    }


MILL: dict[str, Any] = {
    "name": "test mill",
    "units": "mm",
    "post": "rs274ngc",
    "rapid_path": "independent",
    "homed": True,
    "feed_max": 1500.0,
    "work_offset": "G54",
    "length_offset": False,
    "axes": {
        "x": _axis(0.0, 760.0, 0.05),
        "y": _axis(-300.0, 0.0, 0.07),
        "z": _axis(-130.0, 0.0, 0.0),
    },
    "spindle": {"rpm_low": 60.0, "rpm_high": 4200.0, "controlled": True},
    "coolant": {"controlled": False},
    "tool_change": {"automatic": False},
    "vise": {"opening": 150.0, "jaw_width": 150.0, "jaw_height": 45.0, "body": (400.0, 220.0, 110.0)},
    "work_offsets": {"G54": (380.0, -150.0, -70.0)},
}

#: Flat 1 faces +X, the others follow anticlockwise. Each is come upon from the outside inwards, along a
#: straight lead.
SQUARE_PROGRAM = """\
G21 G17 G90 G94 G40 G49 G54
(CUTTER 1 DIAMETER 10.000) M0
S3000 M3
G0 Z10.
G0 X40. Y-30.
G0 Z-6.
G1 X23. F300.
G1 Y30.
G0 Z10.
G0 X30. Y40.
G0 Z-6.
G1 Y23.
G1 X-30.
G0 Z10.
G0 X-40. Y30.
G0 Z-6.
G1 X-23.
G1 Y-30.
G0 Z10.
G0 X-30. Y-40.
G0 Z-6.
G1 Y-23.
G1 X30.
G0 Z10.
M5
M30
"""


def _merged(base: dict[str, Any], changes: Mapping[str, object]) -> dict[str, Any]:
    """Copy nested tables with some values changed; a name with two underscores reaches into a table."""
    result = {key: dict(value) if isinstance(value, dict) else value for key, value in base.items()}
    for name, value in changes.items():
        table, _, key = name.partition("__")
        if key:
            result[table] = _merged(result[table], {key: value})
        else:
            result[table] = value
    return result


class Shop:
    """What the tests work with."""

    program = SQUARE_PROGRAM

    def job(self, **changes: object) -> BlockJob:
        """The square's job with some values changed; ``cutters``: what differs with more cutters beside its own."""
        values = _merged(SQUARE_JOB, changes)
        only = {**values.pop("cutter"), "cut": values.pop("cut")}
        others = [_merged(only, other) for other in values.pop("cutters", ())]
        return BlockJob.model_validate({**values, "cutters": [only, *others]})

    def mill(self, **changes: object) -> Mill:
        return Mill.model_validate(_merged(MILL, changes))

    def edited(self, *edits: tuple[str, str]) -> str:
        """The square's program with texts replaced, each of which must occur exactly once."""
        text = self.program
        for old, new in edits:
            assert text.count(old) == 1, f"{old!r} occurs {text.count(old)} times"
            text = text.replace(old, new)
        return text

    def lines(self, **changed: str) -> str:
        """The square's program with lines changed: ``l7="G1 X22."``; a line may become several."""
        lines = self.program.splitlines()
        for name, line in changed.items():
            lines[int(name[1:]) - 1] = line
        return "\n".join(lines) + "\n"

    def run(self, text: str, job: BlockJob | None, mill: Mill | None = None) -> DryRun:
        return dry_run([read(text, DIALECT, name="test")], mill or self.mill(), job)

    def hexagon(self, **changes: object) -> BlockJob:
        """A hexagon of 34 mm from round stock of 40 mm: one pass of at most 3.3 mm a flat."""
        stock = {"shape": "round", "diameter": 40.0, "thickness": 20.0, "oversize": 0.3, "material": "brass"}
        sections = [{"sides": 6, "across_flats": 34.0, "depth": 6.0, "first_flat": math.radians(10.0)}]
        return self.job(**{"stock": stock, "sections": sections, "cut__stepover": 3.5, **changes})

    def hexagon_program(
        self, distance: float = 17.0, z: float = -6.0, turned: Callable[[int], float] = lambda flat: 0.0
    ) -> str:
        """Its program: straight passes along each flat, anticlockwise; ``turned`` in degrees."""
        lines = ["G21 G17 G90 G94 G40 G49 G54", "(CUTTER 1 DIAMETER 10.000) M0", "S3000 M3", "G0 Z10."]
        for flat in range(1, 7):
            angle = math.radians(10.0 + 60.0 * (flat - 1) + turned(flat))

            def point(out: float, along: float, angle: float = angle) -> str:
                c, s = math.cos(angle), math.sin(angle)
                return f"X{out * c - along * s:.3f} Y{out * s + along * c:.3f}"

            line = distance + 5.0
            lines += [f"G0 {point(line + 8.0, -32.0)}", f"G0 Z{z:.3f}", f"G1 {point(line, -24.0)} F300."]
            lines += [f"G1 {point(line, 24.0)}", "G0 Z10."]
        return "\n".join([*lines, "M5", "M30"]) + "\n"


@pytest.fixture(scope="session")
def shop() -> Shop:
    return Shop()
