"""The match of a merge: what two harnesses propose as found, and what is left of them by the fates.

Takes: a Merge, its host and a donor. Gives: a Matching. As found, what leaves tells what is wanted in its place; without
what leaves, circuits are open that were whole. Both are asked, the first first; what leaves or has a join is no end.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import replace

from ..network.islands import connect
from .candidates import Candidate, Said, candidates
from .further_roles import second_commander, start_output
from .interface_choice import LOW_SIDE, START_CHAIN, TWO_COMMANDERS
from .leaving import NO_WIRE_LEFT
from .likeness import fit, is_ground, same_words
from .losses import losses
from .match import Left, Matching, Proposal, propose, with_further
from .plan import Merge, Source
from .proposed_feeds import feeds_to_join, that_lead_somewhere
from .proposed_grounds import grounds_for


def propose_for(merge: Merge, host: Source, donor: Source) -> Matching:
    """The joins that are proposed besides those of the merge."""
    taken = {end.address for join in merge.joins.values() for end in join.ends}

    # what has lost its wires by the fates alone may get others by the joins
    gone = {id for id, why in merge.gone.items() if why != NO_WIRE_LEFT}

    def is_free(end: str) -> bool:
        return end not in taken and not leaves(end, gone)

    of = connect(donor.harness).island_of
    joined = _with_fused(donor, of, {of[own] for end in taken if (own := end.partition("/")[2]) in of and end.startswith(f"{donor.name}/")})

    def is_open(end: str) -> bool:
        return is_free(end) and of.get(end.partition("/")[2]) not in joined      # what of a donor's circuit a join brings already wants no second one

    found = propose(host, donor)
    host_left, donor_left = remaining(merge, host, gone), remaining(merge, donor, gone)
    left = found if host_left is host and donor_left is donor else propose(host_left, donor_left)
    stays = {**_stand_ins(merge, host, gone), **_stand_ins(merge, donor, gone)}
    moved = [replace(one, host_end=stays.get(one.host_end, one.host_end), donor_end=stays.get(one.donor_end, one.donor_end)) for one in found.proposals]
    proposals = [one for one in moved if is_free(one.host_end) and is_open(one.donor_end)]
    used = {end for one in proposals for end in (one.host_end, one.donor_end)}
    proposals += [one for one in left.proposals if is_free(one.host_end) and is_open(one.donor_end) and not {one.host_end, one.donor_end} & used]
    proposals = _filled(proposals, host, left, is_free)
    proposals = list(that_lead_somewhere(host, donor, host_left, donor_left, proposals, is_free))
    feeds, alone = feeds_to_join(merge, host, donor, host_left, donor_left, lambda end: is_free(end) and not any(end in (one.host_end, one.donor_end) for one in proposals))
    proposals += feeds
    used = {end for one in proposals for end in (one.host_end, one.donor_end, *(end for _, end in one.further))}
    alike = _alike_and_apart(host_left, donor_left, {*taken, *used})
    proposals = [_that_takes_nothing(host, one, gone) for one in proposals if not (_is_behind_a_fuse(host, one.host_end) and _is_behind_a_fuse(donor, one.donor_end))]
    return replace(
        found, proposals=tuple(proposals), rails=left.rails, grounds=grounds_for(host_left, proposals, left.rails),
        host_without=_with_hints((one for one in (*left.host_without, *_of(host, alone)) if is_free(one.end) and one.end not in used), alike, host),
        donor_without=_with_hints((one for one in (*left.donor_without, *_of(donor, alone)) if is_free(one.end) and one.end not in used), alike, donor),
        not_by_wiring=tuple(one for one in found.not_by_wiring if is_free(one.host_end) and is_free(one.donor_end)),
    )


def _of(source: Source, ends: Iterable[Left]) -> Iterable[Left]:
    return (one for one in ends if one.end.startswith(f"{source.name}/"))


_ONE_FUNCTION = 0.75
"""Words so alike, at the pins of both, say one function."""
_FEW = 4
"""A function at more circuits of a side than this tells none of them from the others."""


def _alike_and_apart(host: Source, donor: Source, tied: Collection[str]) -> list[tuple[Left, Left]]:
    """Circuits that both stay and say the same function, and that no join ties, whichever side of their vehicles they lie on. tied: ends of joins made and proposed."""
    hosts, donors = ([one for one in candidates(source, all_stays=True) if one.end and not {source.id(member) for member in one.members} & set(tied) and not one.is_branch and not is_ground(one.traits)]
                     for source in (host, donor))
    by_meaning = [_by_meaning(side) for side in (hosts, donors)]
    pairs = dict.fromkeys((row, column) for meaning, columns in by_meaning[1].items() if len(columns) <= _FEW for row in by_meaning[0].get(meaning, ())
                          if len(by_meaning[0][meaning]) <= _FEW for column in columns)
    found = []
    for row, column in sorted(pairs, key=lambda pair: pair[::-1]):
        a, b = hosts[row], donors[column]
        if fit(a.traits, b.traits).verdict == "never":
            continue
        said, meaning, _, _ = same_words(_at_pins(a), _at_pins(b))
        if said >= _ONE_FUNCTION and meaning:
            found.append((Left(a.end, a.words, a.traits.kinds, (b.end,)), Left(b.end, b.words, b.traits.kinds, (a.end,))))
    return found


def _by_meaning(side: Sequence[Candidate]) -> dict[str, list[int]]:
    """What words at pins say -> the circuits that have such a pin."""
    found: dict[str, list[int]] = {}
    for number, one in enumerate(side):
        for meaning in dict.fromkeys(meaning for said in _at_pins(one) for meaning in said.wording.functions):
            found.setdefault(meaning, []).append(number)
    return found


def _at_pins(one: Candidate) -> tuple[Said, ...]:
    return tuple(said for said in one.said if not said.where or said.where.startswith("at "))


def _with_hints(left: Iterable[Left], alike: Sequence[tuple[Left, Left]], source: Source) -> tuple[Left, ...]:
    """What is left without a partner, and what works by itself but says the same function as something of the other vehicle that stays too."""
    found = {one.end: one for one in left}
    for one in (one for pair in alike for one in pair if one.end.startswith(f"{source.name}/")):
        before = found.get(one.end, replace(one, alike=()))
        found[one.end] = replace(before, alike=(*before.alike, *one.alike))
    return tuple(found.values())


def _filled(proposals: Sequence[Proposal], host: Source, left: Matching, is_free: Callable[[str], bool]) -> list[Proposal]:
    """The proposals with the roles of their interfaces that something left alone fills: the start output, a second commander."""
    filled = []
    for one in proposals:
        if any(not is_free(end) for _, end in one.further):
            one = replace(one, further=())
        if one.interface == START_CHAIN and (output := start_output(left.donor_without)) and is_free(output):
            one = with_further(one, [("command", output)])
        if one.interface == LOW_SIDE and one.host_end.startswith(f"{host.name}/") and one.roles == ("load", "command"):
            alone = [end.end.partition("/")[2] for end in left.host_without if is_free(end.end)]
            other = second_commander(host, one.host_end.partition("/")[2], alone)
            if other is not None:
                one = with_further(replace(one, interface=TWO_COMMANDERS, roles=("load", "low-side-command")), [other])
        filled.append(one)
    return filled


def _with_fused(source: Source, of: Mapping[str, int], islands: set[int]) -> set[int]:
    """The islands, and those that fuses tie to them."""
    ties = [(of[f"{part.id}.1"], of[f"{part.id}.2"]) for part in source.harness.parts.values() if part.kind in ("fuse", "fusible link") and f"{part.id}.1" in of and f"{part.id}.2" in of]
    reached = set(islands)
    while more := {b for tie in ties for a, b in (tie, tie[::-1]) if a in reached and b not in reached}:
        reached |= more
    return reached


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


def _stand_ins(merge: Merge, source: Source, gone: Collection[str]) -> dict[str, str]:
    """Contact that leaves -> the nearest one of its copper that stays, where a wire ends that does not leave."""
    harness = source.harness
    staying = {address for address, wires in harness.wires_at.items() if not all(merge.decisions[source.id(wire)].fate.leaves for wire in wires)}
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
            if address in staying and not leaves(source.id(address), gone):
                found[source.id(start)] = source.id(address)
                break
            reached += [other for other in near.get(address, ()) if other in harness.contacts and other not in reached]
    return found


def remaining(merge: Merge, source: Source, gone: Collection[str]) -> Source:
    """``source`` without what lines of ``fates:`` take away; ids stay its own. The source itself where they take nothing."""
    harness = source.harness
    gone = {id.partition("/")[2] for id in gone if id.startswith(f"{source.name}/")}
    if not gone and not any(merge.decisions[source.id(id)].fate.leaves for id in harness.wires):
        return source
    wires = {id: wire for id, wire in harness.wires.items() if not merge.decisions[source.id(id)].fate.leaves}
    contacts = {address: contact for address, contact in harness.contacts.items() if contact.owner not in gone}
    wires_at = {address: kept for address, ids in harness.wires_at.items() if address in contacts and (kept := tuple(id for id in ids if id in wires))}
    devices, parts, connectors, splices, grounds = ({id: thing for id, thing in group.items() if id not in gone}
                                                    for group in (harness.devices, harness.parts, harness.connectors, harness.splices, harness.grounds))
    left = replace(harness, wires=wires, wires_at=wires_at, contacts=contacts, devices=devices, parts=parts, connectors=connectors, splices=splices, grounds=grounds,
                   supplies=tuple(id for id in harness.supplies if id not in gone), key_switch=None if harness.key_switch in gone else harness.key_switch)
    return replace(source, harness=left)
