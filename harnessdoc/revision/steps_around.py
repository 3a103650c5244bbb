"""The steps around those at the wires: battery, what is left alone, unplugging, fitting, labels, tests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..geometry.labels import labels_of_wire
from ..model.build_wires import DEFAULT_CONVENTION
from ..model.harness import OPEN, UNKNOWN
from ..network.cavity_order import counted
from .compare import Comparison
from .fitting import fittings
from .proofs import Proofs
from .steps import Phase, Step
from .steps_wires import unplug_words
from .work import Work

AIRBAG = "airbag circuit: not to be worked on here; the vehicle's own book and licensed practice"
MOST_PAIRS = 12
"""Pairs of neighbours that one test holds, so that its box says something."""


def battery_off() -> Step:
    """Before all else."""
    return Step(Phase.BATTERY, "", "read the fault codes, note the radio code; negative off first")


def battery_on() -> Step:
    """When every test is passed."""
    return Step(Phase.TEST, "", "all plugged in again, fuses and relays in: negative on last")


def left_alone(work: Work) -> Iterator[Step]:
    """One step for each wire of an airbag circuit that changed."""
    for job in work.left_alone:
        wire = job.new or job.old
        if wire is not None:
            at = next((end for end in (wire.from_, wire.to) if end not in (OPEN, UNKNOWN)), "")
            yield Step(Phase.LEAVE, at, AIRBAG, wire.id, wire.size, wire.colour)


def unplug(comparison: Comparison, work: Work, hands: Iterable[Step]) -> Iterator[Step]:
    """Every connector and every fuse or relay that the other steps work at, once; of two halves that mate, one."""
    old, pairing = comparison.old.harness, comparison.pairing
    done: set[str] = set()
    airbag = {comparison.new.harness.contacts[address].owner for address in work.kept_off}
    for step in hands:
        if step.phase not in (Phase.DE_PIN, Phase.PIN):
            continue
        owner = _owner(comparison, step)
        was = owner if step.phase is Phase.DE_PIN else pairing.owner_before.get(owner, "")
        if was in done or not (was in old.connectors or was in old.parts and old.parts[was].kind in ("fuse", "fusible link", "relay")):
            continue
        mate = old.connectors[was].mates if was in old.connectors else None
        done |= {was, *([mate] if mate else [other.id for other in old.connectors.values() if other.mates == was])}
        words = unplug_words(old, was)
        if pairing.owner_now.get(was) in airbag:
            words += "; it holds an airbag circuit: only as the vehicle's own book says"
        yield Step(Phase.UNPLUG, was, words)


def _owner(comparison: Comparison, step: Step) -> str:
    """What a step is at, in the ids of the version its address is of."""
    contacts = (comparison.old if step.phase is Phase.DE_PIN else comparison.new).harness.contacts
    return contacts[step.at].owner if step.at in contacts else step.at


def fit(comparison: Comparison, work: Work, units: str) -> Iterator[Step]:
    """What is fitted, covered, led another way or taken off."""
    wires = comparison.new.harness.wires
    for fitting in fittings(comparison, work, units):
        wire = wires.get(fitting.id) if fitting.thing.value == "wire" else None
        if wire is not None:
            yield Step(Phase.FIT, "", fitting.words, wire.id, wire.size, wire.colour)
        else:
            yield Step(Phase.FIT, fitting.id, fitting.words)


def labels(comparison: Comparison, work: Work) -> Iterator[Step]:
    """Labels to take off and to put on; a wire that is cut anew gets both, one that goes takes its own along."""
    new = comparison.new.harness
    convention = new.convention or DEFAULT_CONVENTION
    alone = {wire.id for job in work.left_alone for wire in (job.old, job.new) if wire is not None}
    cut = dict.fromkeys(job.new.id for job in work.wires if job.new and job.is_cut)
    told = [(label.wire, label.at, f"take off: {label.was}; put on: {label.now}" if label.was else f"put on: {label.now}")
            for label in comparison.follows.labels if label.now and label.wire not in cut]
    told += [(label.wire, label.at, f"put on: {label.text}") for name in cut for label in labels_of_wire(new, new.wires[name], convention)]
    for name, at, words in told:
        if name not in alone:
            wire = new.wires[name]
            yield Step(Phase.LABEL, "" if at == UNKNOWN else at, words, name, wire.size, wire.colour)


def tests(proofs: Proofs) -> Iterator[Step]:
    """What must ring, what parted, and what stands beside a wire that was put in."""
    for path in proofs.rings:
        through = ", ".join(dict.fromkeys(path.through))
        yield Step(Phase.TEST, path.from_, f"to {path.to}" + (f", through {through}" if through else ""), proof="rings")
    for a, b in proofs.apart:
        yield Step(Phase.TEST, a, f"to {b}", proof="must not ring")
    for check in proofs.beside:
        start = len(check.connector) + 1
        pairs = sorted((sorted((a[start:], b[start:]), key=counted) for a, b in check.pairs), key=lambda pair: (counted(pair[0]), counted(pair[1])))
        for first in range(0, len(pairs), MOST_PAIRS):
            yield Step(Phase.TEST, check.connector, "neighbours " + ", ".join(f"{a}/{b}" for a, b in pairs[first:first + MOST_PAIRS]), proof="must not ring")
