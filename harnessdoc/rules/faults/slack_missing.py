"""No spare length where a bundle bridges to what moves.

What it checks: the `slack:` of segments in the flexing zone against 50 mm.

Why it matters: an engine on rubber mounts rocks by some centimetres each time it pulls away. A bundle without a loop takes
that at the plug: a terminal creeps out, a wire breaks inside its insulation, and the fault comes and goes.

Example that fails:

    places:
      P1: {title: inner wing}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 400 mm, covering: tape, zone: flexing, slack: 10 mm}  # here

What it says:

    segment T1 bridges to a part that moves with 10 mm to spare, where 50 mm are the least

The fix: Lead it in a loop there; the length of the segment grows by what is missing.

Example that passes:

    places:
      P1: {title: inner wing}
      P2: {title: engine}
    segments:
      T1: {from: P1, to: P2, length: 440 mm, covering: tape, zone: flexing, slack: 50 mm}

Limits and source: common practice, a loop of 50 to 100 mm. How far the part moves is not known: rock the engine by hand, open the door, and look.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ..lack import Lack
from ..options import Option

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "slack-missing"
SEVERITY = Severity.ADVICE
ASKS = "route"
MODES = (57,)
LEAST = Option(CODE, "least", "length", "50 mm", "the least to spare in the flexing zone", "common practice")
OPTIONS = (LEAST,)


def check(subject: Subject) -> Iterator[Finding | Lack]:
    least_mm = subject.value(LEAST).value
    for segment in subject.harness.segments.values():
        if segment.zone != "flexing":
            continue
        if segment.slack is None:
            yield Lack(CODE, f"segment {segment.id}", f"`slack: {least_mm:g} mm` to each segment of the flexing zone, what it has to spare")
        elif segment.slack.mm < least_mm:
            more = least_mm - segment.slack.mm
            longer = f" `length: {segment.length_mm + more:g} mm`" if segment.length_mm is not None else ""
            yield Finding(CODE, SEVERITY, f"segment {segment.id} bridges to a part that moves with {segment.slack.stated} to spare, where {least_mm:g} mm are the least",
                          segment.source.place_of("slack"), f"lead it in a loop, {more:g} mm longer:{longer} `slack: {least_mm:g} mm`", at=(f"segment {segment.id}",),
                          value=segment.slack.stated, limit=f"{least_mm:g} mm", origin=LEAST.origin)
