"""The match of a merge: what two harnesses propose as found, and what is left of them by the fates.

Takes: a Merge, its host and a donor. Gives: a Matching. As found, what leaves tells what is wanted in its place; without
what leaves, circuits are open that were whole. Both are asked, the first first; what leaves or has a join is no end.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from ..network.islands import connect
from .leaving import NO_WIRE_LEFT
from .losses import losses
from .match import Matching, Proposal, propose
from .plan import Merge, Source


def propose_for(merge: Merge, host: Source, donor: Source) -> Matching:
    """The joins that are proposed besides those of the merge."""
    taken = {end.address for join in merge.joins.values() for end in join.ends}

    # what has lost its wires by the fates alone may get others by the joins
    gone = {id for id, why in merge.gone.items() if why != NO_WIRE_LEFT}

    def is_free(end: str) -> bool:
        return end not in taken and not leaves(end, gone)

    found = propose(host, donor)
    left = propose(remaining(merge, host, gone), remaining(merge, donor, gone))
    stays = {**_stand_ins(host, gone), **_stand_ins(donor, gone)}
    moved = [replace(one, host_end=stays.get(one.host_end, one.host_end), donor_end=stays.get(one.donor_end, one.donor_end)) for one in found.proposals]
    proposals = [one for one in moved if is_free(one.host_end) and is_free(one.donor_end)]
    used = {end for one in proposals for end in (one.host_end, one.donor_end)}
    proposals += [one for one in left.proposals if is_free(one.host_end) and is_free(one.donor_end) and not {one.host_end, one.donor_end} & used]
    used = {end for one in proposals for end in (one.host_end, one.donor_end)}
    return replace(
        found, proposals=tuple(_that_takes_nothing(host, one, gone) for one in proposals if not (_is_behind_a_fuse(host, one.host_end) and _is_behind_a_fuse(donor, one.donor_end))),
        rails=left.rails,
        host_without=tuple(one for one in left.host_without if is_free(one.end) and one.end not in used),
        donor_without=tuple(one for one in left.donor_without if is_free(one.end) and one.end not in used),
        not_by_wiring=tuple(one for one in found.not_by_wiring if is_free(one.host_end) and is_free(one.donor_end)),
    )


def _is_behind_a_fuse(source: Source, end: str) -> bool:
    """Two ends behind fuses are two feeds: tied, each fuse would stand before the other's wire too."""
    part = source.harness.parts.get(end.partition("/")[2].rpartition(".")[0])
    return part is not None and part.kind in ("fuse", "fusible link") and end.endswith(".2")


def _that_takes_nothing(host: Source, one: Proposal, gone: Collection[str]) -> Proposal:
    """The proposal as a tap, where the cut would take the feed or the ground from something of the host that stays."""
    own = one.host_end.partition("/")[2]
    wires = host.harness.wires_at.get(own, ())
    if one.tapped or one.host_end in one.bare or len(wires) != 1:
        return one
    side = "from" if host.harness.wires[wires[0]].from_ == own else "to"
    takes = any(not leaves(address, gone) for loss in losses(host, {wires[0]: side}) for address in loss.left)
    return replace(one, tapped=takes)


def leaves(end: str, gone: Collection[str]) -> bool:
    """Whether a contact belongs to something that leaves; by ids of the merge."""
    return end in gone or end.rpartition(".")[0] in gone


def _stand_ins(source: Source, gone: Collection[str]) -> dict[str, str]:
    """Contact that leaves -> the nearest one of its copper that stays, where a wire ends."""
    harness = source.harness
    near: dict[str, list[str]] = {}
    for a, b in (*((wire.from_, wire.to) for wire in harness.wires.values()), *((joint.a, joint.b) for joint in connect(harness).joints)):
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    found: dict[str, str] = {}
    for start in harness.contacts:
        if not leaves(source.id(start), gone):
            continue
        reached = [start]
        for address in reached:
            if address in harness.wires_at and not leaves(source.id(address), gone):
                found[source.id(start)] = source.id(address)
                break
            reached += [other for other in near.get(address, ()) if other in harness.contacts and other not in reached]
    return found


def remaining(merge: Merge, source: Source, gone: Collection[str]) -> Source:
    """``source`` without what lines of ``fates:`` take away; ids stay its own."""
    harness = source.harness
    gone = {id.partition("/")[2] for id in gone if id.startswith(f"{source.name}/")}
    wires = {id: wire for id, wire in harness.wires.items() if not merge.decisions[source.id(id)].fate.leaves}
    contacts = {address: contact for address, contact in harness.contacts.items() if contact.owner not in gone}
    wires_at = {address: kept for address, ids in harness.wires_at.items() if address in contacts and (kept := tuple(id for id in ids if id in wires))}
    devices, parts, connectors, splices, grounds = ({id: thing for id, thing in group.items() if id not in gone}
                                                    for group in (harness.devices, harness.parts, harness.connectors, harness.splices, harness.grounds))
    left = replace(harness, wires=wires, wires_at=wires_at, contacts=contacts, devices=devices, parts=parts, connectors=connectors, splices=splices, grounds=grounds,
                   supplies=tuple(id for id in harness.supplies if id not in gone), key_switch=None if harness.key_switch in gone else harness.key_switch)
    return replace(source, harness=left)
