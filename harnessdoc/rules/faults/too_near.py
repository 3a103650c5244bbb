"""A bundle too near to fuel, to the exhaust or to a part that moves.

What it checks: the clearances of a segment under `near:` against 152 mm from fuel, 100 mm from the exhaust and 75 mm from
a part that moves.

Why it matters: where a bundle rubs through beside a fuel line, the spark and the fuel are in one place. Beside the exhaust
the insulation softens until copper meets metal; a moving part saws through it.

Example that fails:

    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, near: {fuel: 100 mm}}  # here
    places:
      P1: {title: battery}
      P2: {title: engine}

What it says:

    segment T1 runs 100 mm from fuel, where 152 mm are the least

The fix: Lead the bundle another way. From fuel, where the distance cannot be had, never nearer than 51 mm, and then the
bundle clamped to the structure so that it cannot come nearer: look at it, and write a waiver that says so.

Example that passes:

    segments:
      T1: {from: P1, to: P2, length: 900 mm, covering: tape, zone: engine, near: {fuel: 152 mm}}
    places:
      P1: {title: battery}
      P2: {title: engine}

Limits and source: 6 in from fuel, never under 2 in and then clamped rigidly, was read in an aircraft wiring manual; 100 mm from the exhaust
without a heat shield is the lower end of 100 to 150 mm, from memory; 75 mm from moving parts is from memory. A heat shield is not
seen: with one, set `exhaust` for the harness or write a waiver. What is near and is not stated is not seen.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "too-near"
SEVERITY = Severity.HAZARD
ASKS = "route"
MODES = (58,)
FUEL = Option(CODE, "fuel", "length", "152 mm", "the least distance from fuel", "an aircraft wiring manual: 6 in")
CLAMPED = Option(CODE, "fuel-clamped", "length", "51 mm", "the least distance from fuel of a bundle that is clamped rigidly", "an aircraft wiring manual: 2 in")
EXHAUST = Option(CODE, "exhaust", "length", "100 mm", "the least distance from the exhaust without a heat shield", "from memory")
MOVING = Option(CODE, "moving-part", "length", "75 mm", "the least distance from a part that moves", "from memory")
OPTIONS = (FUEL, CLAMPED, EXHAUST, MOVING)
_OF = {"fuel": (FUEL, "fuel"), "exhaust": (EXHAUST, "the exhaust"), "moving part": (MOVING, "a part that moves")}
_ASKED_IN = ("engine", "flexing", "hot")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    by_segment: dict[str, list[str]] = {}
    for station in subject.geometry.stations.values():
        if station.segment:
            by_segment.setdefault(station.segment, []).append(station.splice)
    for segment in harness.segments.values():
        for what, clearance in segment.near.items():
            option, words = _OF[what]
            least = subject.value(option)
            if clearance.mm >= least.value:
                continue
            splices = by_segment.get(segment.id, [])
            joints = f" (with {'splice' if len(splices) == 1 else 'splices'} {', '.join(splices)})" if splices and what == "fuel" else ""
            yield Finding(CODE, SEVERITY, f"segment {segment.id} runs {clearance.stated} from {words}{joints}, where {least.value:g} mm are the least",
                          segment.source.place_of("near"), _do(subject, what, clearance.mm, least.value), at=(f"segment {segment.id}", *splices),
                          value=clearance.stated, limit=f"{least.value:g} mm", origin=option.origin)
    if not any(segment.near for segment in harness.segments.values()) and any(segment.zone in _ASKED_IN for segment in harness.segments.values()):
        yield Lack(CODE, "", "`near: {fuel: 300 mm, exhaust: 200 mm}` to the segments that pass either")


def _do(subject: Subject, what: str, clearance_mm: float, least_mm: float) -> str:
    if what == "exhaust":
        return f"lead it {least_mm:g} mm away; or put a heat shield between and write a waiver that says so"
    if what == "moving part":
        return f"lead it {least_mm:g} mm away, or clamp it so that it cannot come within reach"
    clamped = subject.value(CLAMPED).value
    if clearance_mm < clamped:
        return f"lead it {least_mm:g} mm away; under {clamped:g} mm it must not stay, clamped or not"
    return f"lead it {least_mm:g} mm away; where that cannot be had, clamp it to the structure so that it cannot come nearer than {clamped:g} mm, and write a waiver that says so"
