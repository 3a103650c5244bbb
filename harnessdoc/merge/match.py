"""Proposes joins: which circuits of two harnesses belong together, why, and through what.

Takes a host and a donor; gives a Matching. All circuits at which the two can meet (``candidates.py``) are weighed in pairs by
their words and by what is wired (``likeness.py``, ``weighing.py``), and one assignment over both sides (``assignment.py``) says who goes with whom.
Nothing that the table of signal kinds forbids is proposed. What it says to want a converter, or to be left whole, is
told as not to be done by wiring. It is a proposal: a person decides.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from ..model.harness import UNKNOWN
from ..trade.pairing import kinds_of
from .assignment import assign
from .candidates import Candidate, Need, candidates
from .further_roles import interlock
from .interface_choice import START_CHAIN, coil_size, entry_of, further_ends, has_relay, interface_for, is_two_ended, roles_for
from .likeness import fit, is_ground
from .plan import Source
from .weighing import FLOOR, Pair, Words, confidences, weighed

_SOURCES = frozenset(kinds_of("sources"))
LEAST = 0.35
"""Pairs of which one is less sure than this are not proposed."""
_ONE_FUNCTION = 0.8
"""Words so alike mean one function, whatever is wired."""
_MAIN_RELAY = 0.7
"""How sure a main relay is that only the kinds of two pins of a unit ask for."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A join that is proposed.

    host_end, donor_end: the ends that stay, with the names of their sources
    function:   what both do, as far as known, in words
    reason:     what speaks for it
    verdict:    of the table of signal kinds: "direct" or "with a part"; "" where the table says nothing of the two
    interface:  the name of the recipe that goes between; "" where the ends are joined as they are
    needs:      what is needed, in words, "" where nothing is
    confidence: 0 to 1, how sure
    bare:       those of the two ends at which no wire is joined: splices, grounds, bars
    size:       of the donor's wire, as stated; "" where not known: for a piece that goes between
    further:    roles of the interface besides those of the two ends, with their ends
    roles:      of the two ends in the recipe, the host's first; empty where no interface is needed
    tapped:     the host's circuit works by itself: its wire is tapped, not cut
    """

    host_end: str
    donor_end: str
    function: str
    reason: str
    verdict: str
    interface: str
    needs: str
    confidence: float
    roles: tuple[str, ...]
    tapped: bool
    bare: tuple[str, ...]
    size: str
    further: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class NotByWiring:
    """Two circuits of one function that no wiring brings together; converter: the class of part that could, or why none does."""

    host_end: str
    donor_end: str
    function: str
    why: str
    converter: str
    confidence: float


@dataclass(frozen=True, slots=True)
class Left:
    """A circuit without a partner; words: what it is called, "" where nothing is said; alike: ends of the other vehicle that stay too and say the same function."""

    end: str
    words: str
    kinds: tuple[str, ...]
    alike: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Matching:
    """All of it, in the order of the host's description.

    rails: "ground", "constant", "switched" -> an end of the host that gives it, as far as there is one
    grounds: (host end, donor end) of a proposal -> role of its interface -> the ground chosen for it
    """

    proposals: tuple[Proposal, ...]
    host_without: tuple[Left, ...]
    donor_without: tuple[Left, ...]
    not_by_wiring: tuple[NotByWiring, ...]
    rails: Mapping[str, str] = field(default_factory=dict)
    grounds: Mapping[tuple[str, str], Mapping[str, str]] = field(default_factory=dict)


def propose(host: Source, donor: Source) -> Matching:
    """The joins between two harnesses; the same input gives the same answer."""
    hosts, donors = candidates(host), candidates(donor)
    words = Words(hosts, donors)
    pairs = weighed(hosts, donors, words)
    chosen = _assigned(pairs, hosts, donors)
    held = _interlock(host, hosts, donors, pairs, chosen)
    if held:
        # what holds up the start is no end of another join
        pairs = {key: pair for key, pair in pairs.items() if hosts[key[0]].end not in held}
        chosen = _assigned(pairs, hosts, donors)
    sure = confidences(chosen, pairs, hosts, donors)
    proposals, not_by_wiring = [], []
    used_hosts, used_donors = set(), set()
    for key in chosen:
        pair, confidence = pairs[key], sure[key]
        if confidence < LEAST:
            continue
        a, b = hosts[key[0]], donors[key[1]]
        used_hosts.add(key[0])
        used_donors.add(key[1])
        if pair.fit.verdict in ("converter", "leave whole"):
            not_by_wiring.append(_not_by_wiring(a, b, pair, confidence))
        else:
            proposals.append(_proposal(a, b, pair, confidence))
            used_hosts.update(number for number, one in enumerate(hosts) if one.end in held)
    proposals = [_held_up(one, held, hosts) for one in proposals]
    rails = _rails(hosts)
    proposals = _with_main_relay(proposals, donors, used_donors, rails)
    not_by_wiring += _forbidden(hosts, donors, words, used_hosts, used_donors)
    return Matching(
        tuple(proposals),
        tuple(_left(one) for number, one in enumerate(hosts) if number not in used_hosts and one.traits.need is Need.OPEN),
        tuple(_left(one) for number, one in enumerate(donors) if number not in used_donors and one.traits.need is Need.OPEN),
        tuple(not_by_wiring), rails,
    )


def _assigned(pairs: Mapping[tuple[int, int], Pair], hosts: Sequence[Candidate], donors: Sequence[Candidate]) -> list[tuple[int, int]]:
    return assign({key: pair.worth - FLOOR for key, pair in pairs.items()}, [one.room for one in hosts], len(donors))


def _interlock(host: Source, hosts: Sequence[Candidate], donors: Sequence[Candidate], pairs: Mapping[tuple[int, int], Pair], chosen: Sequence[tuple[int, int]]) -> tuple[str, ...]:
    """The two contacts of the host that hold up the start, where one of the pairs is a start chain."""
    if not any(interface_for(hosts[row].traits, donors[column].traits, pairs[row, column].fit) == START_CHAIN for row, column in chosen):
        return ()
    return interlock(host, {one.contact for one in hosts if one.traits.need is Need.OPEN}) or ()


def _held_up(proposal: Proposal, held: Sequence[str], hosts: Sequence[Candidate]) -> Proposal:
    """The proposal with its interlock, where it is a start chain."""
    if not held or proposal.interface != START_CHAIN:
        return proposal
    return with_further(proposal, zip(("interlock", "interlock-out"), held, strict=True), (one.end for one in hosts if one.is_bare and one.end in held))


def with_further(proposal: Proposal, roles: Iterable[tuple[str, str]], bare: Iterable[str] = ()) -> Proposal:
    """The proposal with further roles; bare: those of their ends at which no wire is joined."""
    return replace(proposal, further=(*proposal.further, *roles), bare=(*proposal.bare, *bare))


# ---------------------------------------------------------------------------- what is told

def _proposal(host: Candidate, donor: Candidate, pair: Pair, confidence: float) -> Proposal:
    function = _function(host, donor, pair)
    interface = interface_for(host.traits, donor.traits, pair.fit)
    verdict = "with a part" if interface and pair.fit.verdict == "direct" and is_two_ended(interface) else pair.fit.verdict
    return Proposal(host.end, donor.end, function, _reason(host, donor, pair), verdict, interface, pair.fit.needs, round(confidence, 3), roles_for(interface, host.traits, donor.traits), host.traits.need is Need.WHOLE and not host.is_branch,
                    _bare(host, donor), donor.size or host.size)


def _bare(*ends: Candidate) -> tuple[str, ...]:
    return tuple(one.end for one in ends if one.is_bare)


def _with_main_relay(proposals: Sequence[Proposal], donors: Sequence[Candidate], used_donors: set[int], rails: Mapping[str, str]) -> list[Proposal]:
    """The proposals; a supply that the donor's unit took through a relay which it commanded and which was left behind gets such a relay, from the host's constant supply."""
    found = list(proposals)
    low = frozenset(kinds_of("low-side outputs"))
    commands = [number for number, one in enumerate(donors) if number not in used_donors and one.traits.need is Need.OPEN and set(one.traits.kinds) & low
                and any("main relay" in said.wording.functions for said in one.said)]
    for number, fed in enumerate(donors):
        if not commands or "constant" not in rails or fed.traits.need is not Need.OPEN or "feed-relay" not in fed.traits.kinds:
            continue
        command = commands.pop(0)
        used_donors |= {number, command}
        end = donors[command].end
        proposal = Proposal(rails["constant"], fed.end, fed.words or "main supply", f"feed-relay at {fed.end}: its unit pulls in the relay itself, by {end}", "with a part", "control-unit-held main relay",
                            f"the main relay that {end} commands", _MAIN_RELAY, ("feed", "load"), False, (), fed.size, (("command", end), ("coil-feed", rails["constant"])))
        found = [one for one in found if one.donor_end != fed.end] + [proposal]
    return found


def _not_by_wiring(host: Candidate, donor: Candidate, pair: Pair, confidence: float) -> NotByWiring:
    why = pair.fit.row.words if pair.fit.row is not None and pair.fit.row.verdict == pair.fit.verdict else f"{' and '.join(host.traits.kinds)} on the one side, {' and '.join(donor.traits.kinds)} on the other."
    return NotByWiring(host.end, donor.end, _function(host, donor, pair), why, pair.fit.needs, round(confidence, 3))


def _forbidden(hosts: Sequence[Candidate], donors: Sequence[Candidate], words: Words, used_hosts: set[int], used_donors: set[int]) -> list[NotByWiring]:
    """Open circuits of one function on both sides, left without a partner because the two may never meet."""
    told = []
    for row, a in enumerate(hosts):
        if row in used_hosts or a.traits.need is not Need.OPEN:
            continue
        for column in sorted(words.near[row] - used_donors):
            b = donors[column]
            wired = fit(a.traits, b.traits)
            if b.traits.need is not Need.OPEN or wired.verdict != "never" or wired.two_feeds:
                continue
            said, meaning, one, other = words.alike(row, column)
            if said >= _ONE_FUNCTION and meaning:
                told.append(_not_by_wiring(a, b, Pair(0.0, wired, said, meaning, one, other), said))
                used_hosts.add(row)
                used_donors.add(column)
                break
    return told


def _function(host: Candidate, donor: Candidate, pair: Pair) -> str:
    if is_ground(host.traits) and is_ground(donor.traits):
        return "ground"
    return pair.meaning or host.words or donor.words


def _reason(host: Candidate, donor: Candidate, pair: Pair) -> str:
    parts = []
    if pair.host_said is not None and pair.donor_said is not None and pair.words > 0.2:
        one, other = (f"'{said.wording.text}'{f' ({said.where})' if said.where else ''}" for said in (pair.host_said, pair.donor_said))
        meaning = pair.meaning and f": {pair.meaning}"
        parts.append(f"{one} and {other}{meaning}")
    kinds = f"{' and '.join(host.traits.kinds) or 'no signal said'} at {' and '.join(donor.traits.kinds) or 'no signal said'}"
    row = pair.fit.row
    parts.append(f"{kinds}: {row.words[:1].lower() + row.words[1:].rstrip('.')}" if row is not None else kinds)
    parts += pair.fit.why
    return "; ".join(parts)


def _left(one: Candidate) -> Left:
    return Left(one.end, one.words, one.traits.kinds)


def _rails(hosts: Sequence[Candidate]) -> dict[str, str]:
    """Ends of the host that give ground, the constant supply and the supply by the key: what interfaces want besides their two ends."""
    rails: dict[str, str] = {}
    for one in sorted(hosts, key=lambda one: (not one.is_bar, not set(one.traits.kinds) <= _SOURCES)):      # before one that loads hang on
        live = one.traits.live
        if one.room > 1 and one.takes_more:
            name = "ground" if "ground-power" in one.traits.kinds else "constant" if len(live) == 4 else "switched" if {"run", "start"} == live else ""
            if name:
                rails.setdefault(name, one.end)
    return rails


def lines(matching: Matching, start: int = 1, first_interface: int = 1, sections: bool = True, spare: Sequence[str] = ()) -> list[str]:
    """The lines of ``joins:`` and ``interfaces:`` that a person would have written, surest ends first in the order of the host.

    start, first_interface: the first free number of each; sections: whether the keys of the sections stand above them;
    spare: positions of boxes for relays, taken in their order
    """
    free = list(spare)
    joins, interfaces = [], []
    number = first_interface
    for count, proposal in enumerate(matching.proposals, start):
        through, missing = "", ""
        if proposal.interface:
            entry, missing = entry_of(proposal, matching.rails, matching.grounds.get((proposal.host_end, proposal.donor_end), {}))
            if entry:
                through = f"I{number}"
                seat = f", position: {free.pop(0)}" if free and has_relay(proposal.interface) else ""
                interfaces.append(f"  {through}: {{{entry}{seat}}}")
                number += 1
        brought = further_ends(proposal) if through else ()
        says = [f"ends: [{', '.join((proposal.host_end, proposal.donor_end, *brought))}]"]
        if proposal.tapped and not through:
            says.append(f"cut: {proposal.donor_end.partition('/')[0]}")
        if through and proposal.bare or {proposal.host_end, proposal.donor_end} <= set(proposal.bare):
            of_coil = through and not {proposal.host_end, proposal.donor_end} & set(proposal.bare)
            says.append(f"piece: {{size: {coil_size(proposal) if of_coil else proposal.size or UNKNOWN}, colour: {UNKNOWN}}}")
        if through:
            says.append(f"through: {through}")
        note = f"{proposal.function}; wants {proposal.interface}: {missing}" if missing else proposal.function
        if note:
            says.append(f"note: {_text(note)}")
        joins.append(f"  J{count}: {{{', '.join(says)}}}")
    head = (lambda name, found: ([f"{name}:"] if sections else []) + found if found else [])
    return [*head("joins", joins), *head("interfaces", interfaces)]


def _text(words: str) -> str:
    """A note as it stands within a one-line map: quoted where it has a mark that means something there."""
    plain = words and words[0].isalpha() and not any(mark in words for mark in ",:#{}[]&*!|>'\"%@`\\") and words.lower() not in ("on", "off", "yes", "no", "true", "false", "null")
    return words if plain else '"' + words.replace("\\", "\\\\").replace('"', '\\"') + '"'
