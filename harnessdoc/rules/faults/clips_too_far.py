"""A bundle held at fewer places than it should be.

What it checks: the `clips:` of a segment, the distance between them, against 250 mm.

Why it matters: what hangs swings, and what swings rubs through on the nearest edge, or works its wires loose at the plug.

Example that fails:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, clips: 450 mm}  # here

What it says:

    the clips of segment T1 are 450 mm apart, where 250 mm are the most

The fix: More clips, so that no stretch is longer.

Example that passes:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, clips: 250 mm}

Limits and source: 150 to 250 mm was read in a van maker's wiring book. Other books allow more: 18 in on boats (ABYC, 11.14), 24 in
on aircraft (from memory); with them set `most`. Whether a clip holds is for the hand to find.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "clips-too-far"
SEVERITY = Severity.ADVICE
ASKS = "route"
MODES = (57,)
MOST = Option(CODE, "most", "length", "250 mm", "the most between two clips", "a van maker's wiring book: 150 to 250 mm")
OPTIONS = (MOST,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    segments, most_mm = subject.harness.segments.values(), subject.value(MOST).value
    for segment in segments:
        if segment.clips is None or segment.clips.mm <= most_mm:
            continue
        stretches = ceil(round(segment.length_mm / most_mm, 6)) if segment.length_mm else 0
        pieces = f": its {segment.length_mm:g} mm make {stretches} stretches" if stretches > 1 else ""
        yield Finding(CODE, SEVERITY, f"the clips of segment {segment.id} are {segment.clips.stated} apart, where {most_mm:g} mm are the most",
                      segment.source.place_of("clips"), f"set them no more than {most_mm:g} mm apart{pieces}", at=(f"segment {segment.id}",),
                      value=segment.clips.stated, limit=f"{most_mm:g} mm", origin=MOST.origin)
    if segments and not any(segment.clips for segment in segments):
        yield Lack(CODE, "", "`clips: 200 mm` to each segment, the distance between its clips")
