"""What the meter must say after the work: which paths ring, and what must not ring.

Takes a Comparison and the Work; gives the rows of the new version's check list that
the work touched, the far ends that were found, pairs of contacts that parted, the
neighbours of every cavity that got a wire, and new copper against bare metal. Measured
as on the check sheet: harness unplugged, fuses and relays out. Nothing on an airbag
circuit is measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..model.harness import Harness, Kind, Wire
from ..network.continuity import NeighbourCheck, PathCheck, check_list
from ..network.islands import Network, connect, other_end
from .changes import ChangeKind, Thing
from .compare import Comparison
from .jobs import Work
from .terminations import contact_left

MOST_NAMED = 3
"""Far ends that a proof names; the others are counted."""


@dataclass(frozen=True, slots=True)
class Proofs:
    """In the new version's addresses.

    rings: must ring
    apart: two contacts that were one copper, or were joined by a wire that is elsewhere now: must not ring
    beside: neighbours of the cavities that got a wire: must not ring
    off_metal: a contact of each copper with a new wire and without a ground: must not ring to bare metal
    through: wire or splice -> those of ``rings`` that go through it
    network: the copper as it is measured, unplugged
    """

    rings: tuple[PathCheck, ...]
    apart: tuple[tuple[str, str], ...]
    beside: tuple[NeighbourCheck, ...]
    off_metal: tuple[str, ...]
    through: Mapping[str, Sequence[PathCheck]]
    network: Network


def find_proofs(comparison: Comparison, work: Work) -> Proofs:
    """The tests that the work wants."""
    new, network = comparison.new.harness, comparison.new.network
    wires = {job.new.id for job in work.wires if job.new}
    wires |= {wire for group in (work.splices, work.crimps, work.studs) for job in group for wire in job.stay}
    placed = {end.now for job in work.wires for end in job.ends if end.moves and end.now} | {address for group in work.terminals for address in group.addresses}
    shifted = {housing.connector for housing in work.housings}
    placed |= {address for address, contact in new.contacts.items() if contact.owner in shifted} if shifted else set()
    on_bars = _new_on_bars(comparison)
    listing, unplugged = check_list(new), connect(new, unplugged=True)
    rings = [path for path in listing.paths if not wires.isdisjoint(path.through) or not (placed | on_bars).isdisjoint((path.from_, path.to))]
    rings = list(dict.fromkeys((*rings, *_found(comparison, work, listing.paths))))
    beside = (NeighbourCheck(check.connector, tuple(pair for pair in check.pairs if not placed.isdisjoint(pair) and not _both_grounded(new, network, *pair)))
              for check in listing.neighbours)
    apart: dict[frozenset[int], tuple[str, str]] = {}
    for a, b in (*_parted(comparison, work), *_old_places(comparison, work)):
        islands = frozenset((network.island_of[a], network.island_of[b]))
        if len(islands) == 2 and work.kept_off.isdisjoint((a, b)) and not _both_grounded(new, network, a, b):
            apart.setdefault(islands, (a, b))
    through: dict[str, list[PathCheck]] = {}
    for path in rings:
        for name in path.through:
            through.setdefault(name, []).append(path)
    return Proofs(tuple(rings), tuple(apart.values()), tuple(check for check in beside if check.pairs), tuple(_off_metal(comparison, work, unplugged)), through, unplugged)


def _new_on_bars(comparison: Comparison) -> set[str]:
    """Contacts that the copper of a bar joins now, and did not before."""
    old, new, pairing = comparison.old.harness, comparison.new.harness, comparison.pairing
    before = {(pairing.address_now(bar.address), pairing.address_now(end)) for box in old.boxes.values() for bar in box.bars for end in bar.joins}
    return {end for box in new.boxes.values() for bar in box.bars for end in bar.joins if (bar.address, end) not in before}


def _found(comparison: Comparison, work: Work, paths: Iterable[PathCheck]) -> Iterator[PathCheck]:
    """Wires of which an end became known: from end to end, where no splice is between the probes and the wire."""
    new = comparison.new.harness
    for change in comparison.changes:
        if change.thing is Thing.WIRE and change.key == "end" and change.kind is ChangeKind.NOW_KNOWN and change.new_id is not None:
            wire = new.wires[change.new_id]
            if not work.kept_off.isdisjoint((wire.from_, wire.to)):
                continue
            if all(_can_be_probed(new, end) for end in (wire.from_, wire.to)):
                yield PathCheck(wire.from_, wire.to, (wire.id,))
            else:
                yield from (path for path in paths if wire.id in path.through)


def _off_metal(comparison: Comparison, work: Work, network: Network) -> Iterator[str]:
    """One contact of each copper that got a new wire and has no ground on it, the first at a new wire."""
    new = comparison.new.harness
    told = set[int]()
    for job in work.wires:
        for end in (job.new.from_, job.new.to) if job.new and job.is_cut else ():
            if not _can_be_probed(new, end) or (number := network.island_of[end]) in told:
                continue
            told.add(number)
            contacts = [new.contacts[address] for address in network.islands[number]]
            if not any(contact.kind is Kind.GROUND or contact.signal.startswith("ground") or contact.address in work.kept_off for contact in contacts):
                yield end


def _parted(comparison: Comparison, work: Work) -> Iterator[tuple[str, str]]:
    """Of every copper that parted, one contact of the first part against one of each other."""
    new = comparison.new.harness
    # what the work touched comes first: there the meter is nearest to the fault
    touched = {contact_left(comparison, end.was or "") for job in work.wires for end in job.ends} | {end.now for job in work.wires for end in job.ends}
    lost = {frozenset((comparison.pairing.address_now(wire.from_), comparison.pairing.address_now(wire.to))) for wire in _far_end_lost(comparison)}
    for island in comparison.follows.parted:
        if any(end is not None and not end.isdisjoint(part) and not end <= frozenset(part) for part in island.parts for end in lost):
            continue   # only what is known of it parted
        ends = [next((address for address in sorted(part, key=lambda address: address not in touched) if _can_be_probed(new, address)), None) for part in island.parts]
        first, *others = [end for end in ends if end is not None] or [None]
        yield from ((first, other) for other in others)


def _far_end_lost(comparison: Comparison) -> Iterator[Wire]:
    """Wires (of the old version) of which an end was known and is not."""
    for change in comparison.changes:
        if change.thing is Thing.WIRE and change.key == "end" and change.kind is ChangeKind.NO_LONGER_KNOWN and change.old_id is not None:
            yield comparison.old.harness.wires[change.old_id]


def _old_places(comparison: Comparison, work: Work) -> Iterator[tuple[str, str]]:
    """Where a wire's end was, if there is still copper, against where the wire is now."""
    new = comparison.new.harness
    for job in work.wires:
        ends = [end.now for end in job.ends if end.now is not None and _can_be_probed(new, end.now)]
        for end in job.ends:
            left = contact_left(comparison, end.was or "")
            if end.moves and end.now and ends and left is not None and left != end.now and _can_be_probed(new, left):
                yield left, end.now if end.now in ends else ends[0]


def _can_be_probed(harness: Harness, address: str) -> bool:
    """Copper a probe can be put on: no splice, and no empty cavity."""
    contact = harness.contacts.get(address)
    if contact is None or contact.kind is Kind.SPLICE:
        return False
    return contact.kind not in (Kind.CAVITY, Kind.SOCKET) or bool(harness.wires_at.get(address))


def _both_grounded(harness: Harness, network: Network, a: str, b: str) -> bool:
    """They ring through the metal whenever the studs are on it."""
    return all(any(harness.contacts[one].kind is Kind.GROUND for one in network.islands[network.island_of[address]]) for address in (a, b))


# --------------------------------------------------------------------------- in words

def proof_at(comparison: Comparison, proofs: Proofs, at: str, wires: Iterable[str]) -> str:
    """What the meter must say of some wires (new ids) that end at a contact, measured from there."""
    new = comparison.new.harness
    paths: list[PathCheck] = []
    for name in wires:
        far = other_end(new.wires[name], at)
        measured = proofs.through.get(name, ())
        paths += (PathCheck(at, far, (name,)),) if far in new.contacts and far not in new.splices else [path for path in measured if at in (path.from_, path.to)] or measured
    return ringing(paths, at)


def ringing(paths: Iterable[PathCheck], at: str = "") -> str:
    """``rings: E1.13 to K8.85, X2.3 and 2 more``; at: the contact that stands first, where the paths have it."""
    ends: dict[str, dict[str, None]] = {}
    for path in paths:
        one, other = (path.to, path.from_) if path.to == at else (path.from_, path.to)
        ends.setdefault(one, {})[other] = None
    told = []
    for one, far in ends.items():
        others = list(far)
        more = f" and {len(others) - MOST_NAMED} more" if len(others) > MOST_NAMED else ""
        told.append(f"{one} to {', '.join(others[:MOST_NAMED])}{more}")
    return f"rings: {told[0]}" if told else ""
