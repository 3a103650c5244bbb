"""Waivers: findings the owner of a harness has looked at and accepts, with a reason and a date.

Takes findings and waivers; gives the findings that are left, those that are waived, and the
waivers nothing matches. An error is never waived: the file does not say what it means.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..findings import Finding, Severity
from ..model.harness import Waiver


@dataclass(frozen=True, slots=True)
class Waived:
    """A finding, and the waiver that takes it off the list."""

    finding: Finding
    waiver: Waiver


def matches(waiver: Waiver, finding: Finding) -> bool:
    """Whether a waiver speaks of a finding: its code, and one of the things it lies at."""
    return waiver.code == finding.code and waiver.at in finding.at and finding.severity is not Severity.ERROR


def apply_waivers(findings: Iterable[Finding], waivers: Sequence[Waiver]) -> tuple[list[Finding], list[Waived], list[Waiver]]:
    """What is left, what is waived (by the first that speaks of it), and the waivers that speak of nothing."""
    by_code: dict[str, list[Waiver]] = {}
    for waiver in waivers:
        by_code.setdefault(waiver.code, []).append(waiver)
    left: list[Finding] = []
    waived: list[Waived] = []
    used: set[int] = set()
    for finding in findings:
        speaking = [waiver for waiver in by_code.get(finding.code, ()) if matches(waiver, finding)]
        used.update(map(id, speaking))
        if speaking:
            waived.append(Waived(finding, speaking[0]))
        else:
            left.append(finding)
    return left, waived, [waiver for waiver in waivers if id(waiver) not in used]
