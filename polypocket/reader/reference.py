"""G28 and G30: by way of a point to a place that is set in the machine.

Source: NISTIR 6556 3.5.8 (in part from memory). Where the places are is no part of the text, so the track
only says which one is meant.
"""

from __future__ import annotations

from polypocket.reader.block import Block, Code
from polypocket.reader.columns import Draft
from polypocket.reader.dialect import Dialect
from polypocket.reader.groups import g_text
from polypocket.reader.state import AXES, State
from polypocket.reader.targets import INCREMENTAL, known_targets, named_axes, tell_once
from polypocket.reader.track import Frame, Kind

__all__ = ["go_to_reference"]


def go_to_reference(block: Block, code: Code, state: State, draft: Draft, dialect: Dialect) -> None:
    """Go at rapid by way of the point that the axis words tell, if there are any, to the reference place.

    Where the axes stand afterwards is not known here. A block that is refused leaves that as open.
    """
    if fault := _fault(block, code, state, dialect):
        draft.complain(block.line, code.column, *fault)
    elif _by_way_of_point(block, code, state, draft):
        for axis in range(3):
            state.lose(axis)
        draft.add(
            state,
            block.line,
            block.optional,
            Kind.RAPID,
            frame=Frame.MACHINE,
            reference=code.number // 10,
        )
    for axis in range(3):
        state.lose(axis)


def _fault(block: Block, code: Code, state: State, dialect: Dialect) -> tuple[str, str] | None:
    """Say why the return cannot be made: code and text."""
    if state.compensation_side:
        return "compensation", f"{g_text(code.number)} while radius compensation is on"
    if len(named_axes(block)) in (1, 2) and not dialect.reference_all_axes:
        return (
            "unread",
            f"{g_text(code.number)} names some axes: a control may move those alone, or all; name X, Y and Z",
        )
    return None


def _by_way_of_point(block: Block, code: Code, state: State, draft: Draft) -> bool:
    """Go to the point that the axis words tell; whether that could be done."""
    if not named_axes(block):
        return True
    tell_once(block, state, draft, code.column)
    if state.distance == INCREMENTAL and not any(
        block.values[AXES[axis]].value for axis in named_axes(block)
    ):
        return True  # it is where it stands, known or not
    targets = known_targets(block, state, draft)
    if targets is None:
        return False
    if any(state.work[axis] != value for axis, value in targets.items()):
        for axis, value in targets.items():
            state.place(axis, value)
        draft.add(state, block.line, block.optional, Kind.RAPID)
    return True
