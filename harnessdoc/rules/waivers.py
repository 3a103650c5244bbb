"""Waivers: findings the owner of a harness has looked at and accepts, with a reason and a date.

Takes findings and waivers; gives the findings that are left, those that are waived, and the
waivers nothing matches. An error is never waived: the file does not say what it means.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from ..findings import Finding, Severity
from ..model.harness import Waiver
from ..model.ids import names


@dataclass(frozen=True, slots=True)
class Waived:
    """A finding, and the waiver that takes it off the list."""

    finding: Finding
    waiver: Waiver


def matches(waiver: Waiver, finding: Finding) -> bool:
    """Whether a waiver speaks of a finding: its code, and one of the things it lies at."""
    return waiver.code == finding.code and waiver.at in finding.at and finding.severity is not Severity.ERROR


def name_to_write(waiver: Waiver, findings: Iterable[Finding]) -> str:
    """The way out of a waiver that matches nothing: the names under which its code is found, the one that is meant if one is like it."""
    there = [finding.at for finding in findings if finding.code == waiver.code and finding.at and finding.severity is not Severity.ERROR]
    if not there:
        return f"nothing of {waiver.code} is found: take the waiver out"
    meant = list(dict.fromkeys(name for at in there for name in at if name.split()[-1].casefold() == waiver.at.split()[-1].casefold())) if waiver.at.split() else []
    if meant:
        return f"write `at: {meant[0]}`{f' (or {names(meant[1:])})' if meant[1:] else ''}, as the finding does"
    return f"{waiver.code} is found at {names(dict.fromkeys(at[0] for at in there))}: write `at:` with the name of the one that is meant, or take the waiver out"


def apply_waivers(findings: Iterable[Finding], waivers: Sequence[Waiver], is_narrow: Callable[[Waiver], bool] = lambda _: False) -> tuple[list[Finding], list[Waived], list[Waiver]]:
    """What is left, what is waived (by the one that names what it lies at first, else by the first that speaks of it), and the waivers that speak of nothing.

    is_narrow: whether a waiver speaks only of what lies first at the thing it names
    """
    by_code: dict[str, list[Waiver]] = {}
    for waiver in waivers:
        by_code.setdefault(waiver.code, []).append(waiver)
    left: list[Finding] = []
    waived: list[Waived] = []
    used: set[int] = set()
    for finding in findings:
        speaking = [waiver for waiver in by_code.get(finding.code, ()) if matches(waiver, finding) and (waiver.at == finding.at[0] or not is_narrow(waiver))]
        speaking.sort(key=lambda waiver: waiver.at != finding.at[0])
        used.update(map(id, speaking))
        if speaking:
            waived.append(Waived(finding, speaking[0]))
        else:
            left.append(finding)
    return left, waived, [waiver for waiver in waivers if id(waiver) not in used]
