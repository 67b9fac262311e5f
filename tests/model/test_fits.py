"""What cannot be in a job alone, and on a mill."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from polypocket.model.files import load_mill
from polypocket.model.fits import mistakes_of_fit, mistakes_on_mill
from polypocket.model.job import BlockJob, Section
from polypocket.model.mill import Mill

Change = Callable[..., BlockJob]


def section(sides: int, across_flats: float, depth: float, first_flat: float = 0.0) -> Section:
    return Section(sides=sides, across_flats=across_flats, depth=depth, first_flat=first_flat)


def said(mistakes: tuple[Any, ...]) -> list[str]:
    return [f"{mistake.place}: {mistake.message}" for mistake in mistakes]


def test_the_example_fits(block: BlockJob, knee_mill: Mill) -> None:
    assert mistakes_of_fit(block) == ()
    assert mistakes_on_mill(block, knee_mill) == ()
    assert mistakes_on_mill(block, load_mill("knee-mill-ballscrews")) == ()


# The largest polygon in a circle: hexagon in 6 in, inradius 2.598 in; octagon in 100 mm, inradius 46.194 mm.
# Machinery's Handbook, 31st ed. (from memory).
@pytest.mark.parametrize(
    ("diameter", "sides", "inradius", "step"),
    [(6.0 * 25.4, 6, 2.598 * 25.4, 0.0254), (100.0, 8, 46.194, 0.001)],
)
def test_largest_polygon_in_a_circle(
    changed: Change, diameter: float, sides: int, inradius: float, step: float
) -> None:
    stock = {"shape": "round", "width": None, "diameter": diameter}
    largest = 2.0 * inradius
    fitting = changed(stock=stock, sections=[section(sides, largest - step, 5.0)])
    assert mistakes_of_fit(fitting) == ()
    too_large = changed(stock=stock, sections=[section(sides, largest + step, 5.0)])
    (mistake,) = mistakes_of_fit(too_large)
    assert mistake.place == "sections[0]"
    assert "sticks out of the stock by " in mistake.message
    told = float(mistake.message.split("at most ")[1].split(" mm")[0])
    assert told == pytest.approx(largest, abs=1.5 * step)  # rounded down here, to nearest in the book
    assert told <= diameter * math.cos(math.pi / sides)


def test_a_regular_octagon_just_fits_its_square(changed: Change) -> None:
    """It is as wide as the square; a hundredth of a degree of turn and its corners stick out."""
    assert mistakes_of_fit(changed(sections=[section(8, 130.0, 5.0)])) == ()
    (mistake,) = mistakes_of_fit(changed(sections=[section(8, 130.0, 5.0, math.radians(0.01))]))
    # A corner at 22.5° of a circumradius 1.0824·65 moves out by its sine
    # (ratio: Machinery's Handbook, 31st ed., p. 82).
    out = 1.0824 * 65.0 * math.sin(math.radians(22.5)) * math.radians(0.01)
    assert f"by {out:.3f} mm" in mistake.message


def test_a_hexagon_sticks_out_of_a_square_as_wide(changed: Change) -> None:
    (mistake,) = mistakes_of_fit(changed(sections=[section(6, 130.0, 5.0)]))
    # Across corners, along Y here, is 1.1547 times across flats: Machinery's Handbook, 31st ed., p. 82.
    out, fits = (float(number) for number in re.findall(r"([0-9.]+) mm", mistake.message))
    assert out == pytest.approx(65.0 * 0.1547, abs=65.0 * 0.0001)
    assert fits == pytest.approx(130.0 / 1.1547, rel=0.0001)


def test_less_than_the_last_decimal_is_told_as_such(changed: Change) -> None:
    (mistake,) = mistakes_of_fit(changed(sections=[section(4, 130.0002, 5.0)]))
    assert mistake.message == (
        "sticks out of the stock by less than 0.001 mm; as it is turned, at most 130.000 mm across flats fit"
    )


def test_units_of_the_messages_are_those_of_the_file(changed: Change) -> None:
    (mistake,) = mistakes_of_fit(
        changed(sections=[section(4, 131.0, 5.0)]).model_copy(update={"units": "inch"})
    )
    assert mistake.message == (
        "sticks out of the stock by 0.0197 in; as it is turned, at most 5.1181 in across flats fit"
    )


def test_oversize_is_not_counted_on(changed: Change) -> None:
    job = changed(stock={"oversize": 5.0}, sections=[section(4, 131.0, 5.0)])
    assert "sticks out of the stock by 0.500 mm" in mistakes_of_fit(job)[0].message


@given(
    st.integers(3, 14),
    st.floats(-3.0, 3.0),
    st.integers(3, 14),
    st.floats(-3.0, 3.0),
    st.sampled_from(["mm", "inch"]),
)
def test_the_size_that_is_told_does_fit(
    block: BlockJob, upper: int, upper_turn: float, lower: int, lower_turn: float, units: str
) -> None:
    below = section(lower, 80.0, 20.0, lower_turn)
    job = block.model_copy(
        update={"units": units, "sections": (section(upper, 110.0, 5.0, upper_turn), below)}
    )
    told = [mistake.message for mistake in mistakes_of_fit(job) if "deeper sections[1]" in mistake.message]
    assume(told)
    number, unit = told[0].split("at most ")[1].split()[:2]
    fits = float(number) * {"mm": 1.0, "in": 25.4}[unit]
    for across_flats, is_inside in ((fits, True), (fits * 1.0001 + 0.003, False)):
        trial = job.model_copy(update={"sections": (section(upper, across_flats, 5.0, upper_turn), below)})
        complaints = [mistake for mistake in mistakes_of_fit(trial) if "deeper" in mistake.message]
        assert (not complaints) is is_inside


def polygon(sides: int, across_flats: float, first_flat: float) -> dict[str, Any]:
    """Return the keys of polygon stock, a flat of it turned to so many degrees."""
    sizes = {"sides": sides, "across_flats": across_flats, "first_flat": math.radians(first_flat)}
    return {"shape": "polygon", "width": None, **sizes}


NO_FACES = (
    "clamping.jaws_along: the stock has no face towards each jaw; "
    "turn it with stock.first_flat, or use a plate"
)

CASES: list[tuple[dict[str, Any], list[str]]] = [
    (
        {"sections": [section(12, 124.0, 9.0), section(10, 112.0, 9.0)]},
        ["sections[1].depth: as deep as sections[0]; two sections of one depth cannot both be seen"],
    ),
    (
        {"sections": [section(10, 90.0, 21.0), section(12, 124.0, 9.0)]},
        [
            # The nearest that a corner of the 12, 1.0353·62 from the centre (Machinery's Handbook, p. 82),
            # comes to the direction of a flat of the 10 is 3°: 64.189·cos 3° − 45, and 90/(1.0353·cos 3°).
            "sections[1]: sticks out of the deeper sections[0] by 19.099 mm; "
            "as it is turned, at most 87.052 mm across flats fit"
        ],
    ),
    (
        {"stock": {"thickness": 21.0}},
        ["sections[0].depth: must be less than the stock's thickness, 21.000 mm"],
    ),
    ({"clamping": {"held": 12.0}}, []),
    (
        {"clamping": {"held": 12.5}},
        [
            "clamping.held: the deepest section's floor is 0.500 mm above the top of the jaws; "
            "hold less of the stock, so that it is at least 1.000 mm above"
        ],
    ),
    ({"clamping": {"grip": "plate", "held": 0.0}, "stock": {"thickness": 21.5}}, []),
    ({"cut": {"stepover": 6.0}}, []),
    (
        {"cut": {"stepover": 6.01}},
        [
            "cut.stepover: must be at most the cutter's radius, 6.000 mm; above it a cut straddles "
            "the cutter's centre and is neither conventional nor climb"
        ],
    ),
    (
        {"cut": {"finish_allowance": 1.8}},
        ["cut.finish_allowance: must be less than stepover, 1.800 mm, or the last pass is the heaviest"],
    ),
    ({"cutter": {"flute_length": 21.0}}, []),
    (
        {"cutter": {"flute_length": 20.9}},
        [
            "cutter.flute_length: must reach down to the deepest section that it cuts, 21.000 mm, or the shank rubs"
        ],
    ),
    ({"cutter": {"stick_out": 26.0}, "cut": {"stepdown": 26.0}}, []),
    ({"cutter": {"stick_out": 25.0}}, ["cutter.stick_out: must be at least flute_length, 26.000 mm"]),
    ({"cut": {"stepdown": 26.5}}, ["cut.stepdown: must be at most flute_length, 26.000 mm"]),
    ({"stock": polygon(6, 140.0, 0.0)}, [NO_FACES]),
    ({"stock": polygon(6, 140.0, 90.0)}, []),
    ({"stock": polygon(5, 160.0, 90.0)}, [NO_FACES]),
]


@pytest.mark.parametrize(("change", "messages"), CASES, ids=lambda value: str(value)[:50])
def test_a_job_alone(changed: Change, change: dict[str, Any], messages: list[str]) -> None:
    assert said(mistakes_of_fit(changed(**change))) == messages


ON_KNEE_MILL: list[tuple[dict[str, Any], list[str]]] = [
    ({"cut": {"spindle_rpm": 4200.0}}, []),
    (
        {"cut": {"spindle_rpm": 5000.0}},
        ['cut.spindle_rpm: 5000 is not a speed of "knee mill"; it turns at 60 to 4200'],
    ),
    ({"cut": {"feed": 1524.0}}, []),
    (
        {"cut": {"feed": 1600.0}},
        [
            'cut.feed: must be at most the fastest feed of "knee mill", '
            "1524.000 mm a minute (60.0000 in in the mill file)"
        ],
    ),
    ({"stock": {"width": 152.4, "oversize": 0.0}}, []),
    (
        {"stock": {"width": 152.0}},
        [
            "clamping.jaws_along: the stock measures up to 152.800 mm across the jaws, "
            'and the vise of "knee mill" opens to 152.400 mm (6.0000 in in the mill file)'
        ],
    ),
    (
        {"stock": {"shape": "round", "width": None, "diameter": 152.0}},
        [
            "clamping.jaws_along: the stock measures up to 152.800 mm across the jaws, "
            'and the vise of "knee mill" opens to 152.400 mm (6.0000 in in the mill file)'
        ],
    ),
    ({"stock": {"shape": "rectangle", "width": 300.0, "length": 130.0}}, []),
    (
        {"stock": {"shape": "rectangle", "width": 300.0, "length": 130.0}, "clamping": {"jaws_along": "y"}},
        [
            "clamping.jaws_along: the stock measures up to 300.800 mm across the jaws, "
            'and the vise of "knee mill" opens to 152.400 mm (6.0000 in in the mill file)'
        ],
    ),
    (
        {"stock": {"thickness": 80.0}, "clamping": {"held": 45.0}},
        [
            'clamping.held: must be at most the height of the jaws of "knee mill", '
            "44.450 mm (1.7500 in in the mill file)"
        ],
    ),
    ({"stock": {"width": 200.0}, "clamping": {"grip": "plate", "held": 0.0}}, []),
]


@pytest.mark.parametrize(("change", "messages"), ON_KNEE_MILL, ids=lambda value: str(value)[:50])
def test_a_job_on_the_knee_mill(
    changed: Change, knee_mill: Mill, change: dict[str, Any], messages: list[str]
) -> None:
    job = changed(**change)
    assert mistakes_of_fit(job) == ()
    mill = knee_mill.model_copy(update={"name": "knee mill"})
    assert said(mistakes_on_mill(job, mill)) == messages


def test_a_mill_without_a_vise(block: BlockJob, knee_mill: Mill) -> None:
    mill = knee_mill.model_copy(update={"name": "knee mill", "vise": None})
    assert said(mistakes_on_mill(block, mill)) == [
        'clamping.grip: "knee mill" has no vise; hold the stock on a plate: grip = "plate"',
    ]


@pytest.mark.parametrize(
    ("rpm", "take"), [(100.0, "80 or 135"), (70.0, "80"), (4000.0, "210"), (135.5, "135 or 210")]
)
def test_the_nearest_speeds_of_a_pulley_head(changed: Change, knee_mill: Mill, rpm: float, take: str) -> None:
    speeds = {"rpm_low": 80.0, "rpm_high": 210.0, "speeds": (80.0, 135.0, 210.0)}
    mill = knee_mill.model_copy(update={"spindle": knee_mill.spindle.model_copy(update=speeds)})
    (mistake,) = mistakes_on_mill(changed(cut={"spindle_rpm": rpm}), mill)
    assert mistake.message.endswith(f"; take {take}")
