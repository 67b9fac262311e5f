"""How good the order of a plan is, on the screen and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from polypocket.plan.order import MOST_COMPARED
from polypocket.plan.stage import Stage

__all__ = ["order_document", "order_lines"]

#: Shares smaller than this are rounding.
_NONE = 1e-9


def order_lines(stages: Sequence[Stage]) -> Iterator[str]:
    """Yield how the order of sections and of the passes of each compares with what is possible."""
    if len(stages) > 1:
        yield f"Order of sections: {_sections(stages)}"
    for stage in stages:
        if not stage.strokes:
            continue
        over = _over(stage)
        order = (
            "the quickest of all orders of its flats and passes, ways between included"
            if over <= _NONE
            else f"not all orders of its passes are compared; this one takes at most {over:.0%} more than the best can"
        )
        yield f"  {stage.strokes[0].feature}: {order}"


def order_document(stages: Sequence[Stage]) -> dict[str, Any]:
    """Return the same as ``json.dumps`` takes it; seconds."""
    return {
        "sections_exact": len(stages) <= MOST_COMPARED,
        "sections": [
            {
                "feature": stage.strokes[0].feature,
                "exact": _over(stage) <= _NONE,
                "seconds": stage.seconds,
                "at_least": stage.least,
            }
            for stage in stages
            if stage.strokes
        ],
    }


def _sections(stages: Sequence[Stage]) -> str:
    if len(stages) <= MOST_COMPARED:
        return "the quickest of all, ways between and back included"
    return f"from one end; of more than {MOST_COMPARED} sections not all orders are compared"


def _over(stage: Stage) -> float:
    least = stage.least
    return stage.seconds / least - 1.0 if least > 0.0 else 0.0
