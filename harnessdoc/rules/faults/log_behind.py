"""A log that is older than what it should tell of.

What it checks: the dates of waivers against the last entry of the log, and that the entries of the log follow each other.

Why it matters: the revision on every sheet is that of the last entry. Where something was decided later, two prints with one
revision differ, and the one on the wall is the wrong one.

Example that fails:

    log:
      - {revision: A, date: 2026-03-02, by: bench, why: first issue}
    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {title: horn}
    waivers:
      - {at: S1, code: colour-changes-at-splice, reason: both ends are banded, date: 2026-03-09}  # here
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL}

What it says:

    the log ends with revision A of 2026-03-02, but a waiver is newer: colour-changes-at-splice at S1 of 2026-03-09

The fix: One more line in the log, with the next revision, and new prints.

Example that passes:

    log:
      - {revision: A, date: 2026-03-02, by: bench, why: first issue}
      - {revision: B, date: 2026-03-09, by: bench, why: one waiver}
    connectors:
      X1: {face: [[1]], view: mating face}
      X2: {face: [[1]], view: mating face}
    splices:
      S1: {title: horn}
    waivers:
      - {at: S1, code: colour-changes-at-splice, reason: both ends are banded, date: 2026-03-09}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}
      2: {from: S1, to: X2.1, size: 1 mm2, colour: GN, type: TXL}

Limits and source: common practice. Only dates that are written are compared; that a wire changed without a new entry is told by
`harnessdoc diff`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.ids import names
from ..lack import Lack

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "log-behind"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = (60,)
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
"""Dates so written are in order as texts are; any other was reported where it stands."""


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    log = [entry for entry in harness.log if _DATE.fullmatch(entry.date)]
    waivers = [waiver for waiver in harness.waivers if _DATE.fullmatch(waiver.date)]
    if not log:
        if waivers:
            yield Lack(CODE, "", "`log:` with the revision and its date")
        return
    log_place = harness.source.place_of("log")
    for before, after in pairwise(log):
        if after.date < before.date:
            yield Finding(CODE, SEVERITY, f"the log has revision {after.revision} of {after.date} after revision {before.revision} of {before.date}", log_place,
                          f"mend the date of {after.revision}, or put the two in order", at=("description",), value=after.date, limit=before.date)
    last = max(log, key=lambda entry: entry.date)
    newer = [waiver for waiver in waivers if waiver.date > last.date]
    if newer:
        newest = max(newer, key=lambda waiver: waiver.date)
        revision = _next(log[-1].revision, {entry.revision for entry in harness.log})
        which = names(f"{waiver.code} at {waiver.at} of {waiver.date}" for waiver in newer)
        yield Finding(
            CODE, SEVERITY, f"the log ends with revision {last.revision} of {last.date}, but {f'{len(newer)} waivers are' if len(newer) > 1 else 'a waiver is'} newer: {which}",
            newest.source.place_of("date"),
            f"add a line to `log:` with {f'revision {revision}, ' if revision else ''}date {newest.date}, who and why, and print anew",
            at=tuple(dict.fromkeys(waiver.at for waiver in newer)), value=newest.date, limit=last.date)


def _next(revision: str, taken: set[str]) -> str:
    """B after A, 4 after 3; "" where nothing follows of itself."""
    following = chr(ord(revision) + 1) if len(revision) == 1 and "A" <= revision < "Z" else str(int(revision) + 1) if revision.isdecimal() and revision.isascii() else ""
    return "" if following in taken else following
