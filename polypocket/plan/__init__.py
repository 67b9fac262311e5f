"""The decisions: which strips, in which order, by which way round, at which heights → a neutral program.

::

    cuts ─▶ strips ─▶ joining ─┐
                               ├─▶ clearing ─▶ stage ─▶ order ─▶ block
    take_up ─▶ strokes ─▶ ways ─▶ items        (one section) (of sections) (the whole program)

``method`` holds what is asked of job and mill, ``timing`` tells how long moves take, ``tally`` what passes add up to.
"""

from polypocket.plan.block import plan_block, program_of, stages_of, strokes_of

__all__ = ["plan_block", "program_of", "stages_of", "strokes_of"]
