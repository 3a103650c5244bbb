"""The steps around those at the wires: battery, what is left alone, unplugging, fitting, labels, tests, plugging in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import Enum

from ..geometry.labels import labels_of_wire
from ..model.build_wires import DEFAULT_CONVENTION
from ..model.harness import OPEN, UNKNOWN, Harness
from ..network.cavity_order import counted
from .changes import ChangeKind, Thing
from .compare import Comparison
from .fitting import PULLED, Fitting, comes_off
from .jobs import Work
from .proofs import Proofs
from .steps import Phase, Step, at_wire
from .terminations import is_bolted_fuse
from .words import titled

AIRBAG = "airbag circuit: not to be worked on here; the vehicle's own book and licensed practice"
BY_THE_BOOK = "it holds an airbag circuit: only as the vehicle's own book says"
MOST_PAIRS = 12
"""Pairs of neighbours that one test holds, so that its box says something."""
MOST_CIRCUITS = 8
"""Circuits to try that are named; the others are counted."""


class Out(Enum):
    """Why something is unplugged."""

    FOR_GOOD = "it does not come back"
    FOR_WORK = ""
    FOR_TESTS = "for the tests"


def battery_off() -> Step:
    """Before all else."""
    return Step(Phase.BATTERY, "", "read the fault codes, note the radio code; negative off first")


def battery_on(comparison: Comparison, work: Work) -> Step:
    """When every test is passed and all is plugged in; what was worked on is tried."""
    jobs = [job.new for job in work.wires if job.new and job.new.circuit]
    titles = list(dict.fromkeys(circuit.title or circuit.id for wire in jobs if (circuit := comparison.new.harness.circuits.get(wire.circuit))))
    more = f" and {len(titles) - MOST_CIRCUITS} more" if len(titles) > MOST_CIRCUITS else ""
    tried = f"; try {', '.join(titles[:MOST_CIRCUITS])}{more}" if titles else ""
    return Step(Phase.PLUG_IN, "", f"every test passed: negative on last; read the fault codes again{tried}")


def left_alone(work: Work) -> Iterator[Step]:
    """One step for each wire of an airbag circuit that changed."""
    for job in work.left_alone:
        wire = job.new or job.old
        if wire is not None:
            at = next((end for end in (wire.from_, wire.to) if end not in (OPEN, UNKNOWN)), "")
            yield Step(Phase.LEAVE, at, AIRBAG, wire.id, wire.size, wire.colour)


# ---------------------------------------------------------------- unplug, and plug in

def find_unplugged(comparison: Comparison, work: Work, at_wires: Iterable[Step], proofs: Proofs) -> Mapping[str, Out]:
    """Every connector, fuse and relay (old ids) that comes off, that the steps work at, or that the tests want out; of two halves that mate, one.

    What must ring is out where the probes are. Of two coppers that must not ring one is bare all along, that which is so with less.
    """
    old, pairing = comparison.old.harness, comparison.pairing
    alone = {address.rpartition(".")[0] for address in work.kept_off_before}
    out = {str(change.old_id): Out.FOR_GOOD for change in comparison.changes if comes_off(comparison, change) and not (change.thing is Thing.PART and change.old_id in alone)}
    done = set(out)

    def take(owner: str, why: Out) -> None:
        if _comes_out(old, owner) and owner not in done:
            out[owner] = why
            done.update((owner, *_mates(old, owner)))

    for step in at_wires:
        if step.phase is Phase.DE_PIN:
            take(_owner(old, step.at), Out.FOR_WORK)
        elif step.phase is Phase.PIN:
            take(pairing.owner_before.get(_owner(comparison.new.harness, step.at), ""), Out.FOR_WORK)
    def take_all(owners: Iterable[str]) -> None:
        for owner in owners:
            take(owner, Out.FOR_TESTS)

    on_island: dict[int, tuple[str, ...]] = {}

    def with_all(address: str) -> tuple[str, ...]:
        """What comes out on the copper of a contact."""
        number = proofs.network.island_of[address]
        if number not in on_island:
            on_island[number] = _owners_before(comparison, proofs.network.islands[number])
        return on_island[number]

    take_all(_owners_before(comparison, (end for path in proofs.rings for end in (path.from_, path.to))))
    for address in proofs.off_metal:
        take_all(with_all(address))
    for pair in (*proofs.apart, *(pair for check in proofs.beside for pair in check.pairs)):
        take_all(_owners_before(comparison, pair))
        take_all(min(map(with_all, pair), key=lambda side: sum(owner not in done for owner in side)))
    return out


def _owners_before(comparison: Comparison, addresses: Iterable[str]) -> tuple[str, ...]:
    """The connectors and what is pulled, in old ids, of addresses of the new version."""
    old, before = comparison.old.harness, comparison.pairing.owner_before
    owners = (before.get(_owner(comparison.new.harness, address), "") for address in addresses)
    return tuple(dict.fromkeys(owner for owner in owners if _comes_out(old, owner)))


def _comes_out(harness: Harness, owner: str) -> bool:
    return owner in harness.connectors or (owner in harness.parts and harness.parts[owner].kind in PULLED)


def unplug(comparison: Comparison, work: Work, out: Mapping[str, Out]) -> Iterator[Step]:
    """What is unplugged or pulled, once."""
    old = comparison.old.harness
    airbag = {old.contacts[address].owner for address in work.kept_off_before}
    for owner, why in out.items():
        words = "; ".join(filter(None, (_unplug_words(old, owner), why.value, BY_THE_BOOK if owner in airbag else "")))
        yield Step(Phase.UNPLUG, owner, words)


def plug_in(comparison: Comparison, work: Work, out: Mapping[str, Out], fittings: Iterable[Fitting]) -> Iterator[Step]:
    """All that was unplugged and comes back as it was, and connectors that are new; what is another is fitted."""
    new = comparison.new.harness
    fitted = {fitting.id for fitting in fittings if fitting.phase is Phase.PLUG_IN}
    airbag = {new.contacts[address].owner for address in work.kept_off}
    done: set[str] = set()
    back = [now for owner in out if (now := comparison.pairing.owner_now.get(owner)) is not None and now not in fitted]
    fresh = [change.id for change in comparison.changes if change.thing is Thing.CONNECTOR and change.kind is ChangeKind.ADDED and change.key == ""]
    for owner in (*back, *fresh):
        if owner in done:
            continue
        done.update((owner, *_mates(new, owner)))
        again = " again" if owner in back else ""
        part = new.parts.get(owner)
        words = (f"bolt the {part.kind} on{again}: clean, tight" if is_bolted_fuse(part) else f"push the {part.kind} in{again}") if part else f"plug it in{again}, till it locks"
        yield Step(Phase.PLUG_IN, owner, f"{words}; {BY_THE_BOOK}" if owner in airbag else words)


def _unplug_words(harness: Harness, owner: str) -> str:
    """What a connector is unplugged from, or a part pulled out of."""
    if owner in harness.parts:
        part = harness.parts[owner]
        if is_bolted_fuse(part):
            return f"undo the nuts, take the {part.kind} off"
        return f"pull the {part.kind}" + (f" out of box {part.box}" if part.box else "")
    away = next(iter(_mates(harness, owner)), None) or harness.connectors[owner].device
    return f"unplug it from {titled(away, harness)}" if away else "unplug it"


def _mates(harness: Harness, owner: str) -> tuple[str, ...]:
    """The other halves of a connector, whichever of them says so."""
    if owner not in harness.connectors:
        return ()
    mate = harness.connectors[owner].mates
    return (mate,) if mate else tuple(other.id for other in harness.connectors.values() if other.mates == owner)


def _owner(harness: Harness, address: str) -> str:
    """What begins an address; the text itself where it is no address."""
    return harness.contacts[address].owner if address in harness.contacts else address


# ---------------------------------------------------------------- fit, label, test

def fit(comparison: Comparison, fittings: Iterable[Fitting]) -> Iterator[Step]:
    """What is mounted, fitted, covered, led another way or taken off."""
    wires = comparison.new.harness.wires
    for fitting in fittings:
        if fitting.thing is Thing.WIRE:
            yield at_wire(fitting.phase, "", wires[fitting.id], fitting.words)
        else:
            yield Step(fitting.phase, fitting.id, fitting.words)


def labels(comparison: Comparison, work: Work) -> Iterator[Step]:
    """Labels to take off and to put on; a wire that is cut anew gets both, one that goes takes its own along."""
    new = comparison.new.harness
    convention = new.convention or DEFAULT_CONVENTION
    numbers = comparison.new.join_numbers
    cut = dict.fromkeys(job.new.id for job in work.wires if job.new and job.is_cut)
    told = [(label.wire, label.at, f"take off: {label.was}; put on: {label.now}" if label.was else f"put on: {label.now}")
            for label in comparison.follows.labels if label.now and label.wire not in cut]
    told += [(label.wire, label.at, f"{'put on' if label.at == OPEN or label.at in new.splices else 'slid on before the crimp'}: {label.text}") for name in cut for label in labels_of_wire(new, new.wires[name], convention, numbers) if label.at != UNKNOWN]
    for name, at, words in told:
        wire = new.wires[name]
        if work.kept_off.isdisjoint((wire.from_, wire.to)):
            yield at_wire(Phase.LABEL, at, wire, words)


def tests(proofs: Proofs) -> Iterator[Step]:
    """What must ring, what parted, what stands beside a wire that was put in, and new copper against the body."""
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
    for address in proofs.off_metal:
        yield Step(Phase.TEST, address, "to bare metal", proof="must not ring")
