"""What is found of a merge once it is measured and solved: findings beside those of the rules.

Takes: a Merge, the merged harness with its geometry and, where it is solved, its operation. Gives: findings at the lines of the merge file.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..findings import Finding, Severity
from ..geometry.measure import Geometry
from ..model.build_states import key_switches
from ..model.harness import Harness
from .closure import closure
from .dead_ends import devices_that_leave, joins_that_lead_nowhere
from .fit import Fit, Verdict, fits
from .lost_feeds import feeds_cut_off
from .plan import Fate, Merge

_NAMED = 6


def judge_merge(merge: Merge, harness: Harness, geometry: Geometry) -> tuple[Finding, ...]:
    """Wires that do not reach, and what is left to decide."""
    short = [fit for fit in fits(merge, harness, geometry) if fit.verdict is Verdict.SHORT and (fit.join or merge.decisions[fit.wire].fate is Fate.KEPT)]
    return (*(_too_short(merge, harness, fit) for fit in short), *joins_that_lead_nowhere(merge, harness, geometry), *devices_that_leave(merge), *feeds_cut_off(merge, harness), *_two_keys(merge, harness), *_not_closed(merge, harness))


def _too_short(merge: Merge, harness: Harness, fit: Fit) -> Finding:
    value, limit = f"{fit.found_mm:.0f} mm", f"{fit.needed_mm:.0f} mm"
    if fit.join:
        join = merge.joins[fit.join]
        return Finding("stub-too-short", Severity.MALFUNCTION, f"wire {fit.wire} is {value} long and needs {limit} to reach join {fit.join}: short by {-fit.over_mm:.0f} mm",
                       join.source.place_of("ends"), "put a piece in between (`piece: {size: ..., colour: ...}`), or put the join nearer (`place:`, or `at:` along the bundle)",
                       at=(f"wire {fit.wire}", *join.splices), value=value, limit=limit, origin="worked out")
    decision = merge.decisions[fit.wire]
    place = decision.line.place() if decision.line is not None else harness.wires[fit.wire].source.place()
    return Finding("kept-wire-too-short", Severity.MALFUNCTION, f"wire {fit.wire} is kept at {value} as found, and its new way needs {limit}: short by {-fit.over_mm:.0f} mm",
                   place, f"extend it, or put what it ends at ({fit.where}) nearer: `places: {{{fit.where.rpartition('.')[0] or fit.where}: ...}}`",
                   at=(f"wire {fit.wire}",), value=value, limit=limit, origin="worked out")


def _two_keys(merge: Merge, harness: Harness) -> Iterator[Finding]:
    """Two key switches, of which one is to leave: that of a vehicle."""
    first, *others = sorted((device.id for device in key_switches(harness.devices)), key=lambda id: merge.source_of(id) is not None) or ("",)
    if not others or not harness.supplies:
        return
    yield Finding("key-switch-undecided", Severity.ADVICE, f"device {_listed(others)} is a key switch, and so is device {first}: the states turn them together",
                  merge.record.place_of_key("fates"), f"say which one leaves: `{{fate: removed, device: {others[0]}, why: ...}}`", at=(first, *others))


def _not_closed(merge: Merge, harness: Harness) -> Iterator[Finding]:
    state = closure(merge, harness, None)
    if state.undecided:
        wires = [decision.wire for decision in state.undecided]
        yield Finding("fate-undecided", Severity.ADVICE, f"{len(wires)} of {len(merge.decisions)} wires {'is' if len(wires) == 1 else 'are'} undecided: {_listed(wires)}", merge.record.place_of_key("fates"),
                      f"write a line under `fates:` that reaches {'it' if len(wires) == 1 else 'them'}: `{{fate: removed, wire: {wires[0]}, why: ...}}`, or join {'it' if len(wires) == 1 else 'them'}",
                      at=tuple(f"wire {wire}" for wire in wires))
    by_device: dict[str, list[str]] = {}
    for cavity in state.left_open:
        by_device.setdefault(cavity.device, []).append(cavity.address)
    for device, addresses in by_device.items():
        yield Finding("cavity-left-open", Severity.ADVICE, f"device {device} stays, and nothing is at {_listed(addresses)}", merge.record.place_of_key("open") if "open" in merge.record else merge.record.place_of_key("fates"),
                      f"join {'it' if len(addresses) == 1 else 'them'}, or say why {'it is' if len(addresses) == 1 else 'they are'} left open: `open: {{{addresses[0]}: ...}}`", at=tuple(addresses))


def _listed(names: list[str]) -> str:
    return ", ".join(names[:_NAMED]) + (f" and {len(names) - _NAMED} more" if len(names) > _NAMED else "")
