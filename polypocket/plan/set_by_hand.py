"""The axis without a drive: each of its moves becomes a stop at which a person sets it.

Before the pass that follows it comes to its place from outside inwards, so that its screw is taken up each time alike:
where it does not so by itself, the stop tells from where.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace

from polypocket.plan.method import Method
from polypocket.program.items import Ask, Item, Link, Pass, Spindle
from polypocket.program.moves import Arc, Drill, Dwell, Feed, Move
from polypocket.program.scale import Scale
from polypocket.units import MM_PER_INCH, Units

__all__ = ["set_by_hand"]

_NAMES = ("x", "y")
#: Positions nearer than this are one, mm.
_SAME = 1e-6


def set_by_hand(items: Iterable[Item], axis: int, method: Method, units: Units) -> Iterator[Item]:
    """Yield items in which no move names an axis, X (0) or Y (1): a person sets it, with the spindle standing still.

    The spindle, once it is asked for, turns from the first stop on. Stops in a row are one.
    """
    waiting: Spindle | None = None  # started when the next item is known not to stop it again
    for item in _stopping(items, axis, method, units):
        if waiting is not None:
            if isinstance(item, Spindle) and not item.rpm:
                waiting = None
                continue
            yield waiting
            waiting = None
        if isinstance(item, Spindle) and item.rpm:
            waiting = item
        else:
            yield item
    if waiting is not None:
        yield waiting


def _stopping(items: Iterable[Item], axis: int, method: Method, units: Units) -> Iterator[Item]:
    here = driven = math.nan
    spindle = Spindle(0.0)
    for item in items:
        match item:
            case Spindle(rpm):
                spindle = item
                if not rpm or not math.isnan(here):
                    yield item
            case Link(moves):
                run: list[Move] = []
                final = next((to for move in reversed(moves) if (to := _place(move, axis)) is not None), here)
                for move in moves:
                    to = _place(move, axis)
                    if to is not None and not abs(to - here) <= _SAME:
                        if run:
                            yield Link(tuple(run))
                            run = []
                        first = _from(to, here, axis, method) if abs(to - final) <= _SAME else None
                        if spindle.rpm and not math.isnan(here):
                            yield Spindle(0.0)
                        yield _asked(to, first, axis, units)
                        yield from _on_the_dial(to, axis, method.scale)
                        if spindle.rpm:
                            yield spindle
                        here = to
                    rest, before = _without(move, axis), driven
                    driven = driven if (there := _place(move, 1 - axis)) is None else there
                    if rest is not None and not (isinstance(rest, Feed) and driven == before):
                        run.append(rest)
                if run:
                    yield Link(tuple(run))
            case Pass():
                driven = math.nan
                lead_in, cut, lead_out = (
                    tuple(rest for move in part if (rest := _without(move, axis)) is not None)
                    for part in (item.lead_in, item.cut, item.lead_out)
                )
                yield replace(item, lead_in=lead_in, cut=cut, lead_out=lead_out)
            case _:
                yield item


def _asked(to: float, first: float | None, axis: int, units: Units) -> Ask:
    def told(length: float) -> str:
        return f"{length:.3f}" if units == "mm" else f"{length / MM_PER_INCH:.4f}"

    text = f"SET {_NAMES[axis].upper()} {told(to)}"
    return Ask("x" if axis == 0 else "y", to, text if first is None else f"{text} FROM {told(first)}", first)


def _on_the_dial(to: float, axis: int, scale: Scale) -> Iterator[Ask]:
    if scale.divisions is not None:
        turns, rest = divmod(round(abs(to) / scale.step), scale.divisions)
        way = "MINUS" if to < 0.0 else "PLUS"
        yield Ask("note", None, f"{_NAMES[axis].upper()} {turns} TURNS {rest} DIVISIONS {way}")


def _from(to: float, here: float, axis: int, method: Method) -> float | None:
    """Return from where an axis comes to its place, twice its backlash outside; ``None`` where it does so by itself."""
    play = 2.0 * method.backlash[axis]
    outwards = math.copysign(1.0, to)
    if not play or (here - to) * outwards >= play:
        return None
    steps = math.ceil(play / method.scale.step - _SAME)
    return to + outwards * steps * method.scale.step


def _place(move: Move, axis: int) -> float | None:
    return None if isinstance(move, Drill | Dwell) else (move.to.x, move.to.y)[axis]


def _without(move: Move, axis: int) -> Move | None:
    """Return a move without an axis; ``None`` where nothing is left of it."""
    if isinstance(move, Arc | Drill | Dwell):
        return move
    to = move.to._replace(**{_NAMES[axis]: None})
    if to.x is None and to.y is None and (to.z is None or isinstance(move, Feed)):
        return None
    return move._replace(to=to)
