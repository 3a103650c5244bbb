"""A bundle bent tighter than it bears.

What it checks: the `bend:` of a segment, its smallest radius, against ten times the diameter of its bundle.

Why it matters: on the outside of a tight bend the insulation is stretched and cracks in the cold, on the inside strands
break where it moves.

Example that fails:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, bend: 30 mm}  # here
    connectors:
      X1: {face: [[1..2]], view: mating face, place: P1}
      X2: {face: [[1..2]], view: mating face, place: P2}
    wires:
      1: {from: X1.1, to: X2.1, size: 1.5 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: X2.2, size: 1.5 mm2, colour: GN, type: XLPE 125 C}

What it says:

    segment T1 is bent to a radius of 30 mm, where its bundle, 4.8 mm thick, bears 48 mm (10 times)

The fix: Lead it in a wider arc; or divide the bundle there, a thinner one bends tighter.

Example that passes:

    places:
      P1: {title: battery}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, bend: 48 mm}
    connectors:
      X1: {face: [[1..2]], view: mating face, place: P1}
      X2: {face: [[1..2]], view: mating face, place: P2}
    wires:
      1: {from: X1.1, to: X2.1, size: 1.5 mm2, colour: BU, type: XLPE 125 C}
      2: {from: X1.2, to: X2.2, size: 1.5 mm2, colour: GN, type: XLPE 125 C}

Limits and source: NASA-STD-8739.4: cables of several conductors are bent to six times their diameter for a short time, to ten times for
good; a taped bundle is taken for one. AC 43.13-1B, from memory, takes ten times the largest wire in the bundle, which is less: with it,
set `times`. The covering is not counted, nor wires of unknown diameter; splices are not.
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

CODE = "bend-too-tight"
SEVERITY = Severity.ADVICE
ASKS = "route"
MODES = (57,)
TIMES = Option(CODE, "times", "count", "10", "diameters of the bundle that a radius is to have", "NASA-STD-8739.4")
OPTIONS = (TIMES,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness, times = subject.harness, subject.value(TIMES).value
    for segment in harness.segments.values():
        if segment.bend is None:
            continue
        bundle = subject.geometry.bundles[segment.id]
        if bundle.diameter_mm is None:
            if bundle.unknown:
                yield Lack(CODE, f"segment {segment.id}", "`size:` and `type:`, or `diameter:`, to the wires in it")
            continue
        # A tenth of a millimetre of bundle is less than anyone measures.
        least_mm = ceil(round(times * bundle.diameter_mm, 1))
        if segment.bend.mm >= least_mm:
            continue
        more = f", and {bundle.unknown} more of unknown diameter" if bundle.unknown else ""
        yield Finding(CODE, SEVERITY, f"segment {segment.id} is bent to a radius of {segment.bend.stated}, where its bundle, {bundle.diameter_mm:.1f} mm thick{more}, "
                      f"bears {least_mm} mm ({times:g} times)", segment.source.place_of("bend"), f"lead it in an arc of {least_mm} mm or wider, or divide the bundle there",
                      at=(f"segment {segment.id}",), value=segment.bend.stated, limit=f"{least_mm} mm", origin=TIMES.origin)
    if harness.wires and harness.segments and not any(segment.bend for segment in harness.segments.values()):
        yield Lack(CODE, "", "`bend: 120 mm` to each segment that is bent, its smallest radius")
