"""Is the merge closed: nothing undecided, nothing hanging live, no cavity forgotten.

Takes: a Merge, the merged harness, and its circuit solved (None where it is not). Gives: a Closure, which
the closure sheet prints line by line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind
from .lost_feeds import LostFeed, lost_feeds
from .plan import Decision, Fate, Merge
from .stations import without_place

if TYPE_CHECKING:
    from ..operation.operate import Operation


@dataclass(frozen=True, slots=True)
class LooseEnd:
    """A wire that leaves, or a far half, at a contact that stays.

    thing: the wire or far half, by its id in the merge; contact: where it still hangs
    do: what is to be done there; live: the states in which the contact is live, None where nothing is solved
    """

    thing: str
    fate: Fate
    contact: str
    do: str
    live: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class EmptyCavity:
    """A cavity or terminal of a device that stays, with nothing in it.

    was: the wire that ended there as found, "" where none did; function: as described; why: the reason it is left open, "" where none is given
    """

    address: str
    device: str
    was: str
    function: str
    why: str


@dataclass(frozen=True, slots=True)
class Closure:
    """undecided: wires without a fate; unknown: joins with an end that is not found yet; placeless: joins that are put nowhere; feeds: of what stays, that lead to no source, without those of which a reason is given;
    cavities: those with a reason too; never_used: cavities empty as found, of which nothing is said."""

    undecided: tuple[Decision, ...]
    unknown: tuple[str, ...]
    placeless: tuple[str, ...]
    feeds: tuple[LostFeed, ...]
    loose_ends: tuple[LooseEnd, ...]
    cavities: tuple[EmptyCavity, ...]
    never_used: int

    @property
    def left_open(self) -> tuple[EmptyCavity, ...]:
        """The cavities that have lost their wire, and nobody says why; what was empty as found is not among them."""
        return tuple(cavity for cavity in self.cavities if cavity.was and not cavity.why)

    @property
    def is_closed(self) -> bool:
        return not (self.undecided or self.unknown or self.placeless or self.feeds or self.left_open)


def closure(merge: Merge, harness: Harness, operation: Operation | None) -> Closure:
    """What is left to decide and to do."""
    cavities = tuple(_cavities(merge, harness))
    feeds = tuple(feed for feed in lost_feeds(merge, harness) if feed.head not in merge.open)
    return Closure(
        merge.of(Fate.UNDECIDED), tuple(join.id for join in merge.joins.values() if join.has_unknown_end), without_place(harness, merge), feeds,
        tuple(_loose_ends(merge, harness, operation, {feed.head: feed for feed in feeds})),
        tuple(cavity for cavity in cavities if cavity.was or cavity.function or cavity.why), sum(not (cavity.was or cavity.function or cavity.why) for cavity in cavities),
    )


def live_states(operation: Operation | None, address: str) -> tuple[str, ...] | None:
    """The solved states in which a contact has at least half of the supply against battery minus; None where nothing is solved, or nothing of it is known."""
    if operation is None or address not in operation.wiring.nodes.of:
        return None
    from ..judgement.hot import LIVE        # the check of a merge starts without it

    live = []
    for name, solved in operation.solved.items():
        if solved.solution is None:
            continue
        supply = solved.solution.voltages.get(operation.wiring.nodes.plus, 0.0)
        volts = operation.read(solved, [address]).get(address)
        if supply > 0 and volts is not None and volts >= LIVE * supply:
            live.append(name)
    return tuple(live)


def _loose_ends(merge: Merge, harness: Harness, operation: Operation | None, feeds: Mapping[str, LostFeed]) -> Iterator[LooseEnd]:
    left = [(thing, fate, contact) for thing, fate, contact in _left(merge) if contact in harness.contacts]     # else what it hung at leaves with it
    if operation is not None:
        # those of one state are reckoned together, and known when each is asked for
        probed = [contact for _, _, contact in left if contact in operation.wiring.nodes.of]
        for solved in operation.solved.values():
            operation.read(solved, probed)
    for thing, fate, contact in left:
        do = f"join it to {'the battery' if feeds[contact].alternator else 'a source'}: {feeds[contact].feeds} hangs on it" if contact in feeds else ""
        yield LooseEnd(thing, fate, contact, do or _do(harness, harness.contacts[contact], len(harness.wires_at.get(contact, ()))), live_states(operation, contact))


def _left(merge: Merge) -> Iterator[tuple[str, Fate, str]]:
    """(wire or far half, its fate, a contact at which it hung) of all that leaves."""
    for decision in merge.decisions.values():
        if not decision.fate.leaves:
            continue
        source = merge.sources[decision.source]
        wire = source.harness.wires[decision.wire.partition("/")[2]]
        for end in (wire.from_, wire.to):
            if end not in (UNKNOWN, OPEN):
                yield decision.wire, decision.fate, source.id(end)
    for far in merge.far_halves.values():
        if far.hangs and far.fate.leaves:
            yield far.id, far.fate, far.hangs


def _do(harness: Harness, contact: Contact, others: int) -> str:
    match contact.kind:
        case Kind.SPLICE:
            return "cut back at the splice and insulate" if others > 1 else "open the splice: one wire is left in it" if others else "open the splice"
        case Kind.CAVITY | Kind.SOCKET:
            return "cut back at the terminal, which holds another wire, and cap" if others else "de-pin; plug the cavity"
    return "take its eyelet off" if contact.kind in (Kind.GROUND, Kind.STUD) else "take it off the bar"


def _cavities(merge: Merge, harness: Harness) -> Iterator[EmptyCavity]:
    """Every contact of the connectors and terminals of a source's device that stays and holds no wire of the merge."""
    joined = {address for device in harness.devices.values() for pair in device.links for address in pair}
    for source in merge.sources.values():
        for device in source.harness.devices.values():
            if source.id(device.id) in merge.gone:
                continue
            owners = {device.id, *device.connectors}
            for contact in source.harness.contacts.values():
                id = source.id(contact.address)
                if contact.owner not in owners or id not in harness.contacts or id in harness.wires_at or id in joined or contact.plug and not source.harness.wires_at.get(contact.address):
                    continue
                was = source.harness.wires_at.get(contact.address, ())
                yield EmptyCavity(id, source.id(device.id), source.id(was[0]) if was else "", contact.function or contact.signal, merge.open.get(id, ""))
