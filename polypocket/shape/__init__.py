"""Exact plane geometry: regular polygons and their relations, convex outlines, contact, swept areas. Knows no machine.

Lengths are millimetres, angles radians, areas square millimetres. Angles are measured anticlockwise from +X and
vertices run anticlockwise. The modules are imported by name, so that nobody pays for the heavy one
(``swept``, which needs shapely) without using it.
"""
