"""Placement of circuit diagrams: a graph of boxes, bars and wires -> where everything stands, in mm.

Knows nothing of harnesses. ``graph.py`` is what goes in, ``placed.py`` what comes out,
``place.py`` the one way through.
"""
