"""The sheet that goes to the machine: drawings, passes one by one, and a template true to scale.

::

    job, mill, proof ─▶ part, section_drawing, clamping, template ─▶ ink (a display list) ─▶ svg, pdf, dxf
    dry run ─▶ recorder ─▶ flip_book ─┐
    checks, cautions, bars ───────────┴─▶ page (HTML, everything in one file)

``ink`` knows lines of a kind, circles and texts in millimetres on paper, ``dimension``, ``hatching`` and
``projection`` how a shop drawing uses them. Nothing here decides about the program: what is drawn of it is what the
reader read and what the dry run left standing.
"""
