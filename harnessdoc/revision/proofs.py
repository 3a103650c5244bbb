"""What the meter must say after the work: which paths ring, and what must not ring.

Takes a Comparison and the Work; gives the rows of the new version's check list that
the work touched, pairs of contacts that parted, and the neighbours of every cavity
that got a wire. Measured as on the check sheet: harness unplugged, fuses and relays out.
Nothing on an airbag circuit is measured.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from ..model.harness import Harness, Kind
from ..network.continuity import NeighbourCheck, PathCheck, check_list
from ..network.islands import Network
from .compare import Comparison
from .work import Work, contact_left


@dataclass(frozen=True, slots=True)
class Proofs:
    """In the new version's addresses.

    rings: must ring
    apart: two contacts that were one copper, or were joined by a wire that is elsewhere now: must not ring
    beside: neighbours of the cavities that got a wire: must not ring
    through: wire or splice -> those of ``rings`` that go through it
    """

    rings: tuple[PathCheck, ...]
    apart: tuple[tuple[str, str], ...]
    beside: tuple[NeighbourCheck, ...]
    through: Mapping[str, Sequence[PathCheck]]


def find_proofs(comparison: Comparison, work: Work) -> Proofs:
    """The tests that the work wants."""
    new, network = comparison.new.harness, comparison.new.network
    wires = {job.new.id for job in work.wires if job.new} | {wire for splice in work.splices for wire in splice.stay}
    placed = {end.now for job in work.wires for end in job.ends if end.moves and end.now} | {address for group in work.terminals for address in group.addresses}
    listing = check_list(new)
    rings = tuple(path for path in listing.paths if not wires.isdisjoint(path.through) or path.from_ in placed or path.to in placed)
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
    return Proofs(rings, tuple(apart.values()), tuple(check for check in beside if check.pairs), through)


def _parted(comparison: Comparison, work: Work) -> Iterator[tuple[str, str]]:
    """Of every copper that parted, one contact of the first part against one of each other."""
    new = comparison.new.harness
    # what the work touched comes first: there the meter is nearest to the fault
    touched = {contact_left(comparison, end.was or "") for job in work.wires for end in job.ends} | {end.now for job in work.wires for end in job.ends}
    for island in comparison.follows.parted:
        ends = [next((address for address in sorted(part, key=lambda address: address not in touched) if _can_be_probed(new, address)), None) for part in island.parts]
        first, *others = [end for end in ends if end is not None] or [None]
        yield from ((first, other) for other in others)


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
