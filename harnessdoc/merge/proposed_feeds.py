"""Proposals that follow from what leaves: feeds that have lost their battery, and what a join would cut off.

Takes: the host and a donor as found and as they are without what leaves, and Proposals. Gives: Proposals of ends of a battery with what hung on another one;
and the proposals that lead somewhere, with a second one where a wire of the host is to bring the donor's current on to the donor's load.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace

from ..model.harness import Kind
from ..network.islands import connect
from ..network.ways import find_ways
from .dead_ends import copper_behind, leads_nowhere
from .lost_feeds import LostFeed, batteries_of, lost_of
from .match import Left, Proposal
from .plan import Merge, Source

_SURE = 0.9
"""How sure it is that what hung on a battery that leaves is to hang on the one that stays. Design choice."""


def feeds_to_join(merge: Merge, host: Source, donor: Source, host_left: Source, donor_left: Source, is_free: Callable[[str], bool]) -> tuple[list[Proposal], list[Left]]:
    """Joins of a battery that stays with what hung on one that leaves, and what is left alone for want of a battery or of a wire.

    host_left, donor_left: without what leaves; is_free: whether an end has no join and stays
    """
    proposals: list[Proposal] = []
    alone: list[Left] = []
    for source, left, other, other_left in ((donor, donor_left, host, host_left), (host, host_left, donor, donor_left)):
        # where its own battery stays a wire within the vehicle is wanted, and no join
        battery = "" if batteries_of(left.harness) else next(iter(batteries_of(other_left.harness)), "")
        for feed in lost_of(source, find_ways(left.harness, connect(left.harness))):
            end = source.id(feed.head)
            if not is_free(end):
                continue
            words = f"output of {_with_name(source, feed.feeds)}" if feed.alternator else f"feed of {_with_name(source, feed.feeds)}"
            if not battery or not _has_its_wire(merge, source, feed):
                alone.append(Left(end, words, ()))
                continue
            proposals.append(_to_battery(source, other, feed, battery, words))
    return proposals, alone


def _with_name(source: Source, feeds: str) -> str:
    """``fuse box B1`` -> ``fuse box donor/B1``: the last word is an id of the source."""
    title, _, id = feeds.rpartition(" ")
    return f"{title} {source.id(id)}".strip()


def _has_its_wire(merge: Merge, source: Source, feed: LostFeed) -> bool:
    """Whether the wire that fed it may take the join: one that a line of ``fates:`` names by itself is gone for good."""
    if feed.kind != "wire":
        return True
    decision = merge.decisions[source.id(feed.thing)]
    return not decision.fate.leaves or decision.line is None or "wire" not in decision.line


def _to_battery(source: Source, other: Source, feed: LostFeed, battery: str, words: str) -> Proposal:
    at_battery = len(other.harness.wires_at.get(battery, ()))
    at_head = len(source.harness.wires_at.get(feed.head, ()))
    contact = source.harness.contacts[feed.head]
    is_bare = contact.kind in (Kind.SPLICE, Kind.GROUND, Kind.BAR) or not at_head or contact.kind is Kind.STUD and at_head > 1
    wire = source.harness.wires.get(feed.thing) if feed.kind == "wire" else None
    reason = f"{source.id(feed.head)} hung on {source.id(feed.from_)}, which leaves; {other.id(battery)} is the battery that stays"
    bare = tuple(end for end, is_so in ((other.id(battery), at_battery != 1), (source.id(feed.head), is_bare)) if is_so)
    ends = (other.id(battery), source.id(feed.head))
    return Proposal(*ends, words, reason, "direct", "", "", _SURE, (), at_battery == 1, bare, wire.size.stated if wire is not None and wire.size else "")


def that_lead_somewhere(host: Source, donor: Source, host_left: Source, donor_left: Source, proposals: Sequence[Proposal], is_free: Callable[[str], bool]) -> Iterator[Proposal]:
    """The proposals without those of which a kept end leads nowhere. Where the load of the host at the end of its wire leaves and that of the donor stays, the wire goes on to the donor's load."""
    for one in proposals:
        if _is_dead(donor, donor_left, one.donor_end, one.bare, one.tapped):
            continue
        if not _is_dead(host, host_left, one.host_end, one.bare, one.tapped):
            yield one
        elif not one.interface and (on := _on_to_the_load(host, donor, host_left, donor_left, one, is_free)) is not None:
            yield from (one, on)


def _is_dead(source: Source, left: Source, end: str, bare: Collection[str], tapped: bool) -> bool:
    """Whether nothing is left behind an end that is cut, though something was as found."""
    own = end.partition("/")[2]
    wires = source.harness.wires_at.get(own, ())
    if end in bare or tapped or len(wires) != 1 or own not in left.harness.contacts:
        return False
    return leads_nowhere(left.harness, wires[0], own) and not leads_nowhere(source.harness, wires[0], own)


def _on_to_the_load(host: Source, donor: Source, host_left: Source, donor_left: Source, one: Proposal, is_free: Callable[[str], bool]) -> Proposal | None:
    """The join of the far end of the host's wire with the load of the donor that the first join cuts off; None where it is not plain which."""
    at_host, at_donor = one.host_end.partition("/")[2], one.donor_end.partition("/")[2]
    (host_wire,), donor_wires = host.harness.wires_at[at_host], donor.harness.wires_at.get(at_donor, ())
    if len(donor_wires) != 1:
        return None
    behind = copper_behind(host_left.harness, host_wire, at_host)
    ends = [address for address in behind for id in host.harness.wires_at.get(address, ()) if id not in host_left.harness.wires]
    wire = donor.harness.wires[donor_wires[0]]
    beyond = copper_behind(donor_left.harness, wire.id, wire.to if wire.from_ == at_donor else wire.from_)
    loads = [address for address in beyond if _is_load(donor_left, address) and len(donor.harness.wires_at.get(address, ())) == 1]
    if len(ends) != 1 or len(loads) != 1 or not is_free(host.id(ends[0])) or not is_free(donor.id(loads[0])):
        return None
    reason = f"{one.host_end} leads to {host.id(ends[0])}, where the load leaves; {donor.id(loads[0])} hung on {one.donor_end} and stays"
    return replace(one, host_end=host.id(ends[0]), donor_end=donor.id(loads[0]), reason=reason, bare=())


def _is_load(source: Source, address: str) -> bool:
    """Whether a contact is a terminal of a load."""
    harness = source.harness
    return any(address in pair for device in harness.devices.values() for pair in ((device.between or ()) if device.load is not None else (), *(load.between for load in device.loads.values())))
