"""Motion after motion through the material: each is judged on what stands when it comes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from polypocket.dryrun.backlash import (
    Borders,
    Screws,
    backlash_faults,
    borders_of,
    moved,
    screws_of,
    takes_up,
)
from polypocket.dryrun.context import Context
from polypocket.dryrun.cutting import cutting_faults, flute_faults
from polypocket.dryrun.findings import Fault
from polypocket.dryrun.fixture import Obstacle, fixture_faults, obstacles_of
from polypocket.dryrun.gouge import Guard, gouges, guards_of
from polypocket.dryrun.holder import holder_faults
from polypocket.dryrun.material import Material, Piece, meets, remove
from polypocket.dryrun.motions import Motion
from polypocket.dryrun.rapids import near_faults, rapid_faults, unknown_faults
from polypocket.dryrun.sweeps import Sweeper, Sweepers
from polypocket.dryrun.tolerances import CONTACT
from polypocket.dryrun.waiting import Wait, contact_faults
from polypocket.dryrun.watcher import Watcher
from polypocket.model.cutter import Cutter
from polypocket.model.mill import Mill

__all__ = ["Scene", "scene_of", "simulate"]


class Scene(NamedTuple):
    """What does not change while a program runs.

    Attributes:
        context: program, mill and job.
        guards: what no cutter may enter.
        obstacles: what holds the work.
        highest: of the stock and of what holds it, mm.
        borders: of the flats that are cut.
    """

    context: Context
    guards: tuple[Guard, ...]
    obstacles: tuple[Obstacle, ...]
    highest: float
    borders: Borders


def scene_of(context: Context) -> Scene:
    """Return the scene of a program."""
    obstacles = obstacles_of(context.job, context.mill, context.turn)
    return Scene(
        context,
        guards_of(context.levels, context.slack),
        obstacles,
        max(0.0, *(obstacle.high for obstacle in obstacles)),
        borders_of(context.levels, _play_by_hand(context.mill)),
    )


def _play_by_hand(mill: Mill) -> float:
    """Return how much nearer to the part a person may come who takes no screw up, mm: into what is left to finish."""
    return sum(axis.backlash for axis in (mill.axes.x, mill.axes.y) if not axis.driven)


def simulate(
    scene: Scene,
    motions: Iterable[Motion],
    material: Material,
    watcher: Watcher | None = None,
    waits: Mapping[int, Wait] = MappingProxyType({}),
) -> tuple[Material, list[Fault]]:
    """Run one program through the material; return what is left and what was wrong on the way.

    ``waits`` has the motions, by their rows, behind which the program stops with a turning spindle, or starts it.
    """
    axes = scene.context.mill.axes
    screws = screws_of(axes.x.backlash, axes.y.backlash)
    sweepers = Sweepers()
    faults: list[Fault] = []
    before: Motion | None = None
    for motion in motions:
        if motion.is_upright_arc:
            faults.append(_upright_arc(scene.context, motion))
        elif motion.is_known:
            material, found = _step(scene, before, motion, material, screws, sweepers)
            faults += found
            if (wait := waits.get(motion.row)) is not None:
                faults += contact_faults(scene.context, wait, motion, material, sweepers)
        else:
            faults += unknown_faults(scene.context, motion)
        screws, before = moved(screws, motion), motion
        if watcher is not None:
            watcher.moved(motion, material)
    return material, faults


def _upright_arc(context: Context, motion: Motion) -> Fault:
    return context.fault(
        "unread",
        motion.line,
        f"what an arc in plane G{motion.plane} removes is not followed here",
        "use arcs in the XY plane (G17)",
        key="plane",
    )


def _step(
    scene: Scene,
    before: Motion | None,
    motion: Motion,
    material: Material,
    screws: Screws,
    sweepers: Sweepers,
) -> tuple[Material, list[Fault]]:
    context = scene.context
    if motion.lowest >= scene.highest:  # then the tip is above all that stands, and what is above the tip too
        return material, []
    independent = context.mill.rapid_path == "independent"
    tool = context.job.cutter(motion.tool)
    cutter = sweepers(motion, tool.radius, independent=independent)
    holder = _holder(scene, tool, motion, sweepers, independent=independent)
    faults = list(fixture_faults(context, scene.obstacles, motion, cutter, holder))
    if holder is not None:
        faults += holder_faults(
            context, motion, meets(material, motion, holder, anywhere=True, base=tool.stick_out)
        )
    met = meets(material, motion, cutter, anywhere=True)
    if motion.is_rapid:
        faults += rapid_faults(context, motion, met)
        if not met:
            faults += near_faults(context, before, motion, material, sweepers)
        return material, faults
    faults += gouges(context, scene.guards, motion, cutter)
    faults += flute_faults(context, motion, _above_flutes(tool, motion, material, sweepers))
    if met:
        removed = met if motion.start[2] == motion.end[2] else meets(material, motion, cutter, anywhere=False)
        faults += cutting_faults(context, motion, cutter, met, removed)
        if takes_up(screws):
            faults += backlash_faults(context, scene.borders, screws, motion, cutter, removed)
    return remove(material, motion, cutter), faults


def _holder(
    scene: Scene, cutter: Cutter, motion: Motion, sweepers: Sweepers, *, independent: bool
) -> Sweeper | None:
    """Return the holder's swept areas, if the job tells its size and it comes low enough to matter."""
    if cutter.holder_diameter is None or motion.lowest + cutter.stick_out >= scene.highest:
        return None
    return sweepers(motion, cutter.holder_diameter / 2.0, independent=independent)


def _above_flutes(
    cutter: Cutter, motion: Motion, material: Material, sweepers: Sweepers
) -> tuple[Piece, ...]:
    """Return what a motion touches above the flutes; to rub on a wall is to touch it: a wider sweep."""
    if motion.lowest + cutter.flute_length >= 0.0:
        return ()
    wider = sweepers(motion, cutter.radius + 2.0 * CONTACT)
    return meets(material, motion, wider, anywhere=True, base=cutter.flute_length)
