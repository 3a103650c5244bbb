"""What follows for the solved circuit: readings that moved, verdicts on fuses that changed.

Takes two Versions and their Pairing; gives nothing where one of them was not solved.
Both versions are read as they are printed, in the columns of the pinout sheets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..judgement.judge import judge
from ..judgement.verdict import Verdict
from ..operation.columns import columns
from ..operation.moved import moved
from ..operation.unsaid import unsaid_in
from .changes import Thing
from .pairing import Pairing
from .version import Version


@dataclass(frozen=True, slots=True)
class ReadingChange:
    """What a meter shows at one point in one state: at: addresses in the new version that copper without a length joins;
    volts, None floating."""

    at: tuple[str, ...]
    state: str
    was_v: float | None
    now_v: float | None


@dataclass(frozen=True, slots=True)
class VerdictChange:
    """A verdict on a load, wire or fuse that is in both versions.

    kind: ``load``, ``wire`` or ``fuse``; id: in the new version; about: overload, far-end short, feed...
    was, now: good, no verdict, or how bad; why: the sum of what does not hold now, "" where all does
    """

    kind: str
    id: str
    about: str
    was: str
    now: str
    why: str


def readings_moved(old: Version, new: Version, pairing: Pairing) -> tuple[ReadingChange, ...]:
    """Readings of addresses that are in both versions, in states that are; the largest moves first. What hangs on a pull-up that one does not state has none."""
    if old.operation is None or new.operation is None:
        return ()
    kept = {now: was for now in new.harness.contacts if (was := pairing.address_before(now)) in old.harness.contacts}
    then = dict(columns(old.operation))
    found: dict[tuple[str, str, float | None, float | None], list[str]] = {}
    for state, solved in columns(new.operation):
        if state not in then:
            continue
        was_v, now_v = old.operation.read(then[state], kept.values()), new.operation.read(solved, kept)
        unsaid = unsaid_in(new.operation, solved), unsaid_in(old.operation, then[state])
        for now, was in kept.items():
            if now not in unsaid[0] and was not in unsaid[1] and now in now_v and was in was_v and moved(was_v[was], now_v[now]):
                found.setdefault((state, new.operation.wiring.nodes.of[now], was_v[was], now_v[now]), []).append(now)
    changes = [ReadingChange(tuple(at), state, was, now) for (state, _, was, now), at in found.items()]
    return tuple(sorted(changes, key=lambda change: -_step(change)))


def _step(change: ReadingChange) -> float:
    """How far a reading moved; one that floats on one side counts as the volts on the other."""
    return abs((change.was_v or 0.0) - (change.now_v or 0.0))


@dataclass(frozen=True, slots=True)
class ReadingsAlike:
    """Readings that moved alike in one state, as all do behind a weaker battery; ``step_v`` to 0.1 V, None where they float in one version."""

    state: str
    step_v: float | None
    changes: tuple[ReadingChange, ...]


def readings_alike(changes: Iterable[ReadingChange]) -> tuple[ReadingsAlike, ...]:
    """The changes of readings, those by the same step in a state together, in the order of the first of each."""
    by_step: dict[tuple[str, float | None], list[ReadingChange]] = {}
    for change in changes:
        step = None if change.was_v is None or change.now_v is None else round(change.now_v - change.was_v, 1)
        by_step.setdefault((change.state, step), []).append(change)
    return tuple(ReadingsAlike(state, step, tuple(alike)) for (state, step), alike in by_step.items())


def verdicts_changed(old: Version, new: Version, pairing: Pairing) -> tuple[VerdictChange, ...]:
    """Verdicts on what is in both versions, the worst of the new ones first."""
    if old.operation is None or new.operation is None:
        return ()
    then, found = _verdicts(old), []
    for (kind, id, about), verdicts in _verdicts(new).items():
        was = then.get((kind, _before(pairing, kind, id), about))
        if was is not None and _word(was) != _word(verdicts):
            worst = max((verdict for verdict in verdicts if verdict.severity is not None), key=lambda verdict: verdict.severity, default=None)
            found.append((-1 if worst is None else worst.severity, VerdictChange(kind, id, about, _word(was), _word(verdicts), worst.words if worst else "")))
    return tuple(change for _, change in sorted(found, key=lambda one: -one[0]))


def _verdicts(version: Version) -> dict[tuple[str, str, str], list[Verdict]]:
    assert version.operation is not None
    found: dict[tuple[str, str, str], list[Verdict]] = {}
    for kind, id, verdict in judge(version.operation, version.geometry).verdicts:
        found.setdefault((kind, id, verdict.about), []).append(verdict)
    return found


def _word(verdicts: Iterable[Verdict]) -> str:
    """``good``, ``no verdict``, or how bad the worst is."""
    verdicts = tuple(verdicts)
    bad = [verdict.severity for verdict in verdicts if verdict.severity is not None]
    return max(bad).word if bad else "no verdict" if any(verdict.holds is None for verdict in verdicts) else "good"


def _before(pairing: Pairing, kind: str, id: str) -> str:
    """The id in the old version; "" where it is not in that. A load is called by its device, or by its pin."""
    if kind == "load":
        device, _, name = id.partition(" ")
        led = pairing.before(Thing.DEVICE, device)
        return f"{led} {name}".strip() if led is not None else pairing.address_before(id) or ""
    return pairing.before(Thing.PART if kind == "fuse" else Thing.WIRE, id) or ""
