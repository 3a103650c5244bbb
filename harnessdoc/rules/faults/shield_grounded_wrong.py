"""A shield grounded at both ends, at none, or lost at a splice.

What it checks: the drain wires of shielded cables and what they lead to: the shield is tied to ground once, at a stud, at a case or at
a pin of a unit (`signal: shield` or a ground); and where the cores go on behind a splice or in-line connector, they go on in a
shielded cable whose drain is joined to this one.

Why it matters: a shield without ground is an aerial. One with two grounds carries the current that the body should carry, beside the
wire it is meant to keep quiet. Where it ends early, all that follows is bare.

Example that fails:

    devices:
      U1: {connectors: [X1]}
      N1: {connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.3: {signal: shield}
    cables:
      CB1: {shield: braid}
    grounds:
      GE1: {metal: engine}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: WH, type: TXL, cable: CB1}
      2: {from: X1.2, to: X2.2, size: 0.5 mm2, colour: BU, type: TXL, cable: CB1}
      3: {from: X1.3, to: GE1, size: 0.5 mm2, colour: BK, type: TXL, cable: CB1, core: drain}  # here

What it says:

    the shield of cable CB1 is tied to ground 2 times, at X1.3 and GE1 (wire 3), where once is right

The fix: One tie, at the control unit; at the sensor the drain is cut back and sleeved. At a splice the drains are joined like the cores.

Example that passes:

    devices:
      U1: {connectors: [X1]}
      N1: {connectors: [X2]}
    connectors:
      X1: {face: [[1..3]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
    cavities:
      X1.3: {signal: shield}
    cables:
      CB1: {shield: braid}
    grounds:
      GE1: {metal: engine}
    wires:
      1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: WH, type: TXL, cable: CB1}
      2: {from: X1.2, to: X2.2, size: 0.5 mm2, colour: BU, type: TXL, cable: CB1}
      3: {from: X1.3, to: open, size: 0.5 mm2, colour: BK, type: TXL, cable: CB1, core: drain}

Limits and source: common practice, read in several guides: one end, that of the control unit. Coaxial cables and shields that a maker
grounds at both ends on purpose are not told apart: write a waiver. The way of a drain is followed through splices and
in-line connectors; a contact of which no signal is said is no evidence.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import OPEN, UNKNOWN, Kind
from ..joined import device_of
from ..lack import Lack
from ..options import Option
from ..two_wire_lines import onward

if TYPE_CHECKING:
    from ...model.harness import Cable, Contact, Wire
    from ..subject import Subject

CODE = "shield-grounded-wrong"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (31,)
BARE = Option(CODE, "bare", "length", "100 mm", "the longest that cores of a shielded cable run on without a shield", "a maker's wiring book: at most 100 mm from a connector")
OPTIONS = (BARE,)
_NOT_KNOWN = ("", "maker")
_GROUNDS = ("shield", "ground-power", "ground-signal", "ground-sensor", "ground-case", "ground-battery")


@dataclass(slots=True)
class _Shield:
    """Drains that are joined, and what they are tied to.

    ties: addresses at ground; doubt: an end that nobody knows, or a contact of which no signal is said
    """

    wires: dict[str, None] = field(default_factory=dict)
    cables: dict[str, None] = field(default_factory=dict)
    ties: dict[str, str] = field(default_factory=dict)      # address -> the wire that leads there
    doubt: bool = False


def check(subject: Subject) -> Iterator[Finding | Lack]:
    harness = subject.harness
    shielded = [cable for cable in harness.cables.values() if cable.shield not in (None, "none")]
    drains = {cable.id: [wire for wire in cable.wires if harness.wires[wire].core == "drain"] for cable in shielded}
    shield_of: dict[str, _Shield] = {}
    shields: list[_Shield] = []
    for cable in shielded:
        if not drains[cable.id] and (pin := _pin_for_it(subject, cable)) is not None:
            yield _left_off(subject, cable, pin)
        elif not drains[cable.id]:
            yield Lack(CODE, f"cable {cable.id}", "its drain, as a wire with `core: drain`")
        for drain in drains[cable.id]:
            if drain not in shield_of:
                shields.append(_follow(subject, drain))
                shield_of.update(dict.fromkeys(shields[-1].wires, shields[-1]))
    lost = [finding for cable in shielded for finding in _lost(subject, cable, drains, shield_of)]
    told = {name for finding in lost for name in finding.at if name.startswith("cable ")}
    for shield in shields:
        if len(shield.ties) > 1:
            yield _twice(subject, shield)
        elif not shield.ties and not shield.doubt and not any(f"cable {cable}" in told for cable in shield.cables):
            yield _floats(subject, shield)
        elif not shield.ties and shield.doubt:
            yield from (Lack(CODE, f"cable {cable}", "where its drain leads: `signal: shield` to the pin of the unit that grounds it") for cable in shield.cables)
    yield from lost


def _follow(subject: Subject, drain: str) -> _Shield:
    """The drains joined to one, and their ties to ground."""
    harness, found, waiting = subject.harness, _Shield(), [drain]
    while waiting:
        wire = harness.wires[waiting.pop()]
        if wire.id in found.wires:
            continue
        found.wires[wire.id] = None
        if wire.cable:
            found.cables[wire.cable] = None
        for end in (wire.from_, wire.to):
            if end == UNKNOWN:
                found.doubt = True
            elif end != OPEN:
                waiting += _beyond(subject, found, wire, end)
    return found


def _beyond(subject: Subject, found: _Shield, wire: Wire, end: str) -> list[str]:
    """What the shield runs on in from an end of one of its wires; what it is tied to there is noted in ``found``."""
    harness, ways = subject.harness, subject.ways
    contact = harness.contacts.get(end)
    if contact is None:
        found.doubt = True
        return []
    here = ways.point(end)
    there = [way.thing for way in ways.at.get(here, ()) if way.kind == "wire" and way.thing != wire.id]
    if contact.kind is Kind.GROUND or (contact.inside is not None and contact.inside.metal) or contact.signal in _GROUNDS:
        found.ties.setdefault(end, wire.id)
        return []
    if contact.kind is Kind.SPLICE:
        if harness.splices[end].members_unknown:
            found.doubt = True
        more = [id for id in there if harness.wires[id].core == "drain" and harness.wires[id].cable]
        others = [id for id in there if id not in more]
        # One plain wire carries the shield on to its ground; of several, what they are tied to is one tie.
        if len(others) == 1:
            return [*more, *others]
        if others and any(harness.contacts[address].kind is Kind.GROUND or harness.contacts[address].signal in _GROUNDS
                          for address in subject.members(subject.network.island_of[end])):
            found.ties.setdefault(end, wire.id)
        elif others:
            found.doubt = True
        return more
    if not there and contact.signal in _NOT_KNOWN:
        found.doubt = True
    return there        # in-line halves, and a double crimp


def _ground_ends(subject: Subject, shield: _Shield) -> list[str]:
    """The ties, that of the control unit first: a pin for a shield, else one of a device, else a stud."""
    def order(address: str) -> int:
        contact = subject.harness.contacts[address]
        return 0 if contact.signal == "shield" else 1 if device_of(subject.harness, contact) else 2

    return sorted(shield.ties, key=order)


def _names(cables: Sequence[str]) -> str:
    from ...operation.words import listed

    return f"cable {cables[0]}" if len(cables) == 1 else f"cables {listed(list(cables))}"


def _twice(subject: Subject, shield: _Shield) -> Finding:
    from ...operation.words import listed

    harness, ties = subject.harness, _ground_ends(subject, shield)
    cut = [shield.ties[tie] for tie in ties[1:]]
    wire = harness.wires[cut[0]]
    wires = list(dict.fromkeys(shield.ties[tie] for tie in ties))
    key = "from" if wire.from_ == ties[1] else "to"
    at_end = f", `{key}: {OPEN}` of wire {wire.id}" if ties[1] in (wire.from_, wire.to) else ""
    return Finding(CODE, SEVERITY, f"the shield of {_names(list(shield.cables))} is tied to ground {len(ties)} times, at {listed(ties)} ({'wire' if len(wires) == 1 else 'wires'} {', '.join(wires)}), "
                   "where once is right", wire.source.place(), f"keep the tie at {ties[0]}; cut the drain back at {listed(ties[1:])} and sleeve it{at_end}",
                   at=(f"wire {wire.id}", *(f"cable {cable}" for cable in shield.cables), *ties[1:], ties[0], *(f"wire {other}" for other in wires if other != wire.id)),
                   value=f"{len(ties)} ties", limit="1 tie", origin="common practice")


def _floats(subject: Subject, shield: _Shield) -> Finding:
    harness = subject.harness
    wire = harness.wires[next(iter(shield.wires))]
    cables = list(shield.cables)
    pin = next((address for cable in cables for core in harness.cables[cable].wires for address in (harness.wires[core].from_, harness.wires[core].to)
                if address in harness.contacts and harness.contacts[address].signal.startswith("input-")), None)
    where = f"to the shield pin or the ground of {device_of(harness, harness.contacts[pin]) or harness.contacts[pin].owner}" if pin else "to ground at the control unit"
    return Finding(CODE, SEVERITY, f"the shield of {_names(cables)} is tied to ground nowhere: the drain (wire {wire.id}) leads from {wire.from_} to {wire.to}, where one tie is right", wire.source.place(),
                   f"lead one end of the drain {where}, the other cut back and sleeved", at=(f"wire {wire.id}", *(f"cable {cable}" for cable in cables)),
                   value="no tie", limit="1 tie", origin="common practice")


def _pin_for_it(subject: Subject, cable: Cable) -> Contact | None:
    """A pin for a shield that holds no wire, in a connector at which cores of a cable end."""
    harness = subject.harness
    ends = (end for core in cable.wires for end in (harness.wires[core].from_, harness.wires[core].to))
    owners = {harness.contacts[end].owner for end in ends if end in harness.contacts}
    return next((pin for address, pin in harness.contacts.items() if pin.signal == "shield" and pin.owner in owners and not harness.wires_at.get(address)), None)


def _left_off(subject: Subject, cable: Cable, pin: Contact) -> Finding:
    return Finding(CODE, SEVERITY, f"the shield of cable {cable.id} is tied to ground nowhere: {pin.address} is the pin for it and holds no wire, where one tie is right", cable.source.place(),
                   f"lead the drain of {cable.id} to {pin.address}, the other end cut back and sleeved: a wire with `cable: {cable.id}, core: drain`",
                   at=(f"cable {cable.id}", pin.address), value="no tie", limit="1 tie", origin="common practice")


def _lost(subject: Subject, cable: Cable, drains: dict[str, list[str]], shield_of: dict[str, _Shield]) -> Iterator[Finding]:
    """The cores of a cable that go on without its shield, one finding for each cable."""
    harness, lengths = subject.harness, subject.geometry.lengths
    bare: dict[str, str] = {}       # wire without a shield -> where it begins
    apart: dict[str, str] = {}      # cable whose shield is another -> where it begins
    for core in cable.wires:
        wire = harness.wires[core]
        if wire.core == "drain":
            continue
        for end in (wire.from_, wire.to):
            further = onward(subject, wire, end)
            if further is None or further.cable == cable.id:
                continue
            other = harness.cables.get(further.cable or "")
            if other is None or other.shield in (None, "none"):
                length = lengths[further.id].finished_mm
                if (other is None or other.shield == "none") and (length is None or length > subject.value(BARE).value):
                    bare.setdefault(further.id, end)
            elif not drains[cable.id] or not drains[other.id]:
                continue        # told as what is not known
            elif shield_of[drains[cable.id][0]] is not shield_of[drains[other.id][0]] and not (shield_of[drains[cable.id][0]].ties and shield_of[drains[other.id][0]].ties):
                apart.setdefault(other.id, end)
    if bare:
        first = harness.wires[next(iter(bare))]
        long = lengths[first.id].finished_mm
        yield Finding(CODE, SEVERITY, f"the shield of cable {cable.id} ends at {', '.join(dict.fromkeys(bare.values()))}: {'wire' if len(bare) == 1 else 'wires'} {', '.join(bare)} "
                      f"{'goes' if len(bare) == 1 else 'go'} on without it{f' for {long:.0f} mm, where {subject.value(BARE).value:g} mm are the most' if long else ''}", first.source.place(),
                      f"extend it with a shielded cable and join its drain to that of {cable.id}, or draw one cable all the way",
                      at=(f"wire {first.id}", f"cable {cable.id}", *(f"wire {wire}" for wire in bare if wire != first.id), *dict.fromkeys(bare.values())),
                      value=f"{long:.0f} mm" if long else "no shield", limit=f"{subject.value(BARE).value:g} mm", origin=BARE.origin)
    # Of two cables each sees the other; the first tells it.
    order = list(harness.cables)
    for other, end in apart.items():
        if order.index(cable.id) < order.index(other):
            loose = cable.id if not shield_of[drains[cable.id][0]].ties else other
            drain = harness.wires[drains[loose][0]]
            yield Finding(CODE, SEVERITY, f"the shields of cables {cable.id} and {other} are not joined at {end}, where their cores are: that of {loose} is tied to ground nowhere",
                          drain.source.place(), f"splice the drains of both, wires {drains[cable.id][0]} and {drains[other][0]}, beside the cores",
                          at=(f"wire {drain.id}", f"cable {loose}", f"cable {other if loose == cable.id else cable.id}", end), value="no tie", limit="1 tie", origin="common practice")
