"""More or less copper in a crimp sleeve than it takes.

What it checks: the copper of all wires of a splice together against the range that the words of its `sleeve:` name.

Why it matters: a sleeve that is too small cuts strands or does not close, one that is too large does not grip.
Both hold at the bench and open on the road.

Example that fails:

    connectors:
      X1: {face: [[1..3]], view: mating face}
    splices:
      S1: {method: crimp splice, sleeve: sleeve 1 to 2 mm2}  # here
    wires:
      1: {from: X1.1, to: S1, size: 2 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: TXL}
      3: {from: X1.3, to: S1, size: 1 mm2, colour: BU, type: TXL}

What it says:

    splice S1 has 4 mm² of copper (wires 1, 2, 3) in a sleeve that takes 1 to 2 mm²

The fix: The sleeve for the copper of both sides together; where there is none, two splices.

Example that passes:

    connectors:
      X1: {face: [[1..3]], view: mating face}
    splices:
      S1: {method: crimp splice, sleeve: sleeve 3 to 5 mm2}
    wires:
      1: {from: X1.1, to: S1, size: 2 mm2, colour: BU, type: TXL}
      2: {from: X1.2, to: S1, size: 1 mm2, colour: BU, type: TXL}
      3: {from: X1.3, to: S1, size: 1 mm2, colour: BU, type: TXL}

Limits and source: the range is that of the sleeve as it is written; those proposed are of a maker's wiring book up to 5 mm²
and common practice above. Of a splice without `sleeve:` the parts list names the one that fits, so nothing is asked here. Butt splices sold by the
size of one wire, such as 16 to 14 AWG, are not read.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.ids import names
from ...trade.sleeves import sleeve_for, sleeves
from ..lack import Lack
from ..ranges import range_in

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "splice-over-sleeve"
SEVERITY = Severity.MALFUNCTION
ASKS = "route"
MODES = (47,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    for splice in harness.splices.values():
        if not splice.sleeve or splice.sleeve == "none":
            continue
        takes = range_in(splice.sleeve, "mm2")
        total = subject.geometry.stations[splice.id].total_area_mm2
        if takes is None or not total:
            yield Lack(CODE, splice.id, "the range of the sleeve, as in `sleeve: sleeve 1 to 2 mm2`" if takes is None else "all members of the splice, and `size:` to each")
            continue
        least, most = takes
        copper = round(total, 2)
        if least <= copper <= most:
            continue
        fits = sleeve_for(total)
        if fits is not None:
            do = f"take the {fits.name}"
        elif copper > most:
            do = f"divide it into two splices; no sleeve known here takes {copper:g} mm² (the largest {sleeves()[-1].most_mm2:g} mm²)" if copper > sleeves()[-1].most_mm2 \
                else f"divide it into two splices, or solder it: no sleeve known here takes {copper:g} mm²"
        else:
            do = f"solder it, or fold the thinnest strands back until they fill the sleeve: no sleeve known here takes {copper:g} mm²"
        wires = harness.wires_at[splice.id]
        yield Finding(CODE, SEVERITY, f"splice {splice.id} has {copper:g} mm² of copper (wires {names(wires)}) in a sleeve that takes {least:g} to {most:g} mm²",
                      splice.source.place_of("sleeve"), do, at=(splice.id, *(f"wire {wire}" for wire in wires)),
                      value=f"{copper:g} mm²", limit=f"{least:g} to {most:g} mm²", origin="as stated")
