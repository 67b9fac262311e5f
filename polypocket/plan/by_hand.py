"""What a person does instead of a drive: sets an axis while the program stops, starts and stops the spindle.

Items are planned as for a mill that does it all; here each change of height becomes a stop, and no move keeps a Z. The
spindle stands still while hands are at the height: it is stopped before and started after each stop, which costs none.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from polypocket.plan.method import Method
from polypocket.plan.set_by_hand import set_by_hand
from polypocket.program.items import Ask, Item, Link, Pass, Spindle, UseCutter
from polypocket.program.moves import Arc, Feed, Move, Rapid
from polypocket.units import MM_PER_INCH, Units

__all__ = ["by_hand", "height_asked"]

_LOCK = Ask("note", None, "UNLOCK THE HEIGHT, SET IT, LOCK IT. CHIPS AWAY BY BRUSH ONLY")

#: Heights nearer than this are one, mm: far below the finest step that is written.
_SAME = 1e-6


def by_hand(items: Iterable[Item], method: Method, units: Units) -> tuple[Item, ...]:
    """Return a program's items as they are for a mill on which a person does some of it."""
    result = tuple(items)
    if method.height_by_hand:
        result = tuple(_heights(result, method, units))
    if method.axis_by_hand is not None:
        result = tuple(set_by_hand(result, method.axis_by_hand, method, units))
    if method.spindle_by_hand:
        result = tuple(_spindle(result))
    return result


def height_asked(height: float, units: Units) -> Ask:
    """Return the stop at which a person sets a height, mm, told in the program's units."""
    text = f"SET Z {height:.3f}" if units == "mm" else f"SET Z {height / MM_PER_INCH:.4f}"
    return Ask("height", height, text)


def _heights(items: tuple[Item, ...], method: Method, units: Units) -> Iterator[Item]:
    """Yield items without a Z; each vertical move is a stop with the spindle standing still."""
    height: float | None = None
    spindle = Spindle(0.0)
    last = max((i for i, item in enumerate(items) if isinstance(item, Pass)), default=-1)
    for number, item in enumerate(items):
        match item:
            case Spindle(rpm):
                if not rpm:
                    yield item
                spindle = item  # it is started when the cutter is down
            case UseCutter():
                height = None  # of its tip, which another cutter has elsewhere
                yield item
            case Link(moves) if number < last or last < 0:
                flat: list[Move] = []
                for move in moves:
                    to = move.to.z if isinstance(move, Rapid | Feed | Arc) else None
                    if to is not None and (height is None or abs(to - height) > _SAME):
                        if flat:
                            yield Link(tuple(flat))
                            flat = []
                        yield from _stop(to, height, spindle, method, units)
                        height = to
                    if _goes_anywhere(move):
                        flat.append(_without_height(move))
                if flat:
                    yield Link(tuple(flat))
            case Link():
                pass  # after the last pass the cutter stays where it is until the spindle stands
            case Pass():
                yield replace(
                    item,
                    lead_in=tuple(map(_without_height, item.lead_in)),
                    cut=tuple(map(_without_height, item.cut)),
                    lead_out=tuple(map(_without_height, item.lead_out)),
                )
            case _:
                yield item


def _stop(to: float, height: float | None, spindle: Spindle, method: Method, units: Units) -> Iterator[Item]:
    is_down = height is not None and height < method.crossing
    if is_down:
        yield Spindle(0.0)
    yield height_asked(to, units)
    yield _LOCK
    if to < method.crossing:
        yield spindle


def _goes_anywhere(move: Move) -> bool:
    """Whether a move goes across, and not only up or down."""
    return not isinstance(move, Rapid) or move.to.x is not None or move.to.y is not None


def _without_height(move: Move) -> Move:
    return move._replace(to=move.to._replace(z=None)) if isinstance(move, Rapid | Feed | Arc) else move


def _spindle(items: tuple[Item, ...]) -> Iterator[Item]:
    """Yield items with a person at the spindle: what is asked in a row is asked at one stop."""
    waiting: list[Item] = []
    for item in items:
        if isinstance(item, Spindle):
            item = Ask("spindle", item.rpm, _spindle_text(item))
        if isinstance(item, Ask | UseCutter):
            waiting.append(item)
            continue
        yield from waiting
        waiting = []
        yield item
    yield from waiting


def _spindle_text(item: Spindle) -> str:
    if not item.rpm:
        return "STOP SPINDLE"
    return f"START SPINDLE {item.rpm:.0f} {'CLOCKWISE' if item.clockwise else 'ANTICLOCKWISE'}"
