"""What joins cut off that was meant to be joined: ends at which nothing is left, and devices that leave with their last wire.

Takes: a Merge, the merged harness and its geometry. Gives: findings at the lines of the joins. A join names the ends that *stay*; who names the
other end of a wire keeps an empty plug, and loses what was to be joined.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..findings import Finding, Related, Severity
from ..geometry.measure import Geometry
from ..model.harness import UNKNOWN, Harness
from ..network.islands import connect
from .fit import stub_of
from .leaving import NO_WIRE_LEFT
from .plan import End, Join, Merge, Source


def joins_that_lead_nowhere(merge: Merge, harness: Harness, geometry: Geometry) -> Iterator[Finding]:
    """Of every join the ends that keep a plug or splice behind which nothing is left, though it led somewhere, or its wire did before another join cut it."""
    joints: dict[str, Mapping[str, tuple[str, ...]]] = {}

    def ends_dead(where: str, harness: Harness, wire: str, address: str) -> tuple[bool, tuple[str, ...]]:
        if where not in joints:
            joints[where] = _joints(harness)
        behind = _behind(harness, joints[where], wire, address)
        return all(_is_bare(harness, wire, contact) for contact in behind), behind

    for join in merge.joins.values():
        for position, end in enumerate(join.ends):
            if not end.wire or not end.cut or end.address not in harness.contacts or not ends_dead("", harness, stub_of(harness, end.wire, end.lands), end.address)[0]:
                continue
            source = merge.sources[end.source]
            wire = source.harness.wires[end.wire.partition("/")[2]]
            own = end.address.partition("/")[2]
            other = wire.to if wire.from_ == own else wire.from_
            was_dead, was = ends_dead(end.source, source.harness, wire.id, own)
            if not was_dead:
                yield _emptied(merge, join, position, source, was)
            elif (first := _cut_at(merge, end.wire, source.id(other), join)) is not None and not ends_dead(end.source, source.harness, wire.id, other)[0]:
                yield _far_half(join, position, source, *first, geometry, harness)


def devices_that_leave(merge: Merge) -> Iterator[Finding]:
    """Devices of which no line speaks and that leave as a join cuts their last wire."""
    for source in merge.sources.values():
        for device in source.harness.devices.values():
            id = source.id(device.id)
            if merge.gone.get(id) != NO_WIRE_LEFT:
                continue
            owners = {device.id, *device.connectors}
            cut = [(half, contact) for half in merge.far_halves.values() if (contact := source.harness.contacts.get(half.hangs.partition("/")[2])) is not None
                   and half.hangs.partition("/")[0] == source.name and contact.owner in owners]
            if not cut:
                continue            # its wires leave by lines of `fates`
            half, contact = cut[0]
            join = merge.joins[half.joins[0]]
            wires = " and ".join(half.wire for half, _ in cut)
            words = f"device {f'{device.title} ' if device.title else ''}{id} leaves, and no line says so: of {'its last wires' if len(cut) > 1 else 'its last wire'}, {wires}, join {join.id} keeps the other end"
            named = next(end.address for end in join.ends if end.wire == half.wire)
            yield Finding("device-leaves-untold", Severity.ADVICE, words, join.source.place_of("ends"),
                          f"where it is to leave write `{{fate: removed, device: {id}, why: ...}}`; where it is to be joined name {half.hangs} in place of {named}", at=(f"wire {half.wire}",))


def _emptied(merge: Merge, join: Join, position: int, source: Source, was: tuple[str, ...]) -> Finding:
    end = join.ends[position]
    left = next((owner for contact in was if (owner := source.id(source.harness.contacts[contact].owner)) in merge.gone), "")
    why = f"{left} leaves ({merge.gone[left]})" if left else "what it led to is cut off"
    let = f"keep a wire at {left}, or " if left and merge.gone[left] == NO_WIRE_LEFT else f"let {left} stay, or " if left else ""
    return Finding("join-leads-nowhere", Severity.MALFUNCTION, f"join {join.id} keeps {end.address} of wire {end.wire}, and nothing is left behind it: {why}", join.source["ends"].place_of(position),
                   f"{let}name the other end of {end.wire} where that is to be joined", at=(f"wire {end.wire}", *join.splices))


def _far_half(join: Join, position: int, source: Source, first: Join, live: End, geometry: Geometry, harness: Harness) -> Finding:
    end = join.ends[position]
    whole = source.geometry.lengths[end.wire.partition("/")[2]].finished_mm
    stub = geometry.lengths.get(stub_of(harness, live.wire, live.lands))
    kept = live.stub.mm if live.stub is not None else stub.finished_mm if stub is not None else None
    length = "" if whole is None or kept is None else f" of {max(whole - kept, 0.0):.0f} mm"
    others = ", ".join(one.address for one in join.ends if one is not end)
    do = (f"tie {others} to {live.lands}, where {live.address} is joined" if first.through else f"join the side that lives: `{first.id}: {{ends: [..., {others}]}}`, and take join {join.id} out")
    return Finding("join-leads-nowhere", Severity.MALFUNCTION, f"join {join.id} keeps {end.address} of wire {end.wire}, which join {first.id} has cut: what is left there is a far half{length} that leads nowhere",
                   join.source["ends"].place_of(position), do, (Related(first.source.place(), f"join {first.id} stands here"),), at=(f"wire {end.wire}", *join.splices))


def _cut_at(merge: Merge, wire: str, address: str, but: Join) -> tuple[Join, End] | None:
    return next(((join, end) for join in merge.joins.values() if join is not but for end in join.ends if end.wire == wire and end.address == address and end.cut), None)


def leads_nowhere(harness: Harness, wire: str, address: str) -> bool:
    """Whether nothing is left at an end of a wire once it is cut there: copper alone, as a plug without its device."""
    return all(_is_bare(harness, wire, contact) for contact in copper_behind(harness, wire, address))


def copper_behind(harness: Harness, wire: str, address: str) -> tuple[str, ...]:
    """The contacts of the copper at an end of a wire, without the wire."""
    return _behind(harness, _joints(harness), wire, address)


def _joints(harness: Harness) -> Mapping[str, tuple[str, ...]]:
    """Contact -> what it is joined to without a wire."""
    found: dict[str, list[str]] = {}
    for joint in connect(harness).joints:
        found.setdefault(joint.a, []).append(joint.b)
        found.setdefault(joint.b, []).append(joint.a)
    return {address: tuple(others) for address, others in found.items()}


def _behind(harness: Harness, joints: Mapping[str, tuple[str, ...]], wire: str, address: str) -> tuple[str, ...]:
    """The copper at an address without one wire."""
    seen, left = {address: None}, [address]
    while left:
        here = left.pop()
        over = (end for id in harness.wires_at.get(here, ()) if id != wire for end in (harness.wires[id].from_, harness.wires[id].to))
        for other in (*over, *joints.get(here, ())):
            if other in harness.contacts and other not in seen:
                seen[other] = None
                left.append(other)
    return tuple(seen)


def _is_bare(harness: Harness, but: str, address: str) -> bool:
    """Whether a contact is that of a plug of nothing, or of a splice: copper alone. A wire whose other end is not known may lead anywhere."""
    contact = harness.contacts[address]
    if any(UNKNOWN in (harness.wires[id].from_, harness.wires[id].to) for id in harness.wires_at.get(address, ()) if id != but):
        return False
    connector = harness.connectors.get(contact.owner)
    splice = harness.splices.get(contact.owner)
    return connector is not None and connector.device is None or splice is not None and not splice.members_unknown
