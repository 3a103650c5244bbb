"""The least distances of a drawing, in mm, measured between centre lines of wires and outlines of boxes."""

from __future__ import annotations

PITCH = 5.0
"""Between uprights of neighbouring wires: an upright label of one line fits between them."""
BOX_BOX = 3.0
BOX_LINE = 2.0
"""Between a box and a line that is not its own."""
BAR_LINE = 2.4
"""Between the end of a bar and a line that passes it; taps of a bar from above and below that are not one above the other."""
LINE_LINE = 2.4
"""Between level stretches of different wires one above the other."""
CLASH = 1.6
"""Stretches of different wires nearer than this lie on each other."""
OWN = 0.9
"""Between a label and its own line."""
FOREIGN = 1.42
"""Between a label and another line: clearly more than OWN, so that nobody asks whose it is."""
LABEL_BOX = 1.0
LABEL_LABEL = 1.2
BAR_TEXT = 1.0
"""Between the end of a bar and its number."""
MERGE = 12.0
"""Grounds of one number no further apart than this share a symbol."""
LONG_LINE = 80.0
"""A longer wire has its label at both ends."""
EVEN = 1e-4
"""Offsets below this are none."""
