"""Where the two vehicles can meet: the circuits of a source that a join may take, and what is known of each.

Takes a Source; gives Candidates, one a copper island, in the order of the description; of a host also one for each load that
hangs on a rail by a wire of its own and could be fed by the donor instead. A candidate says at which
end it would be joined, what words stand at it, and its Traits: what is wired there, whatever the words. Traits are
plain values, so that the pairs of many circuits are weighed once a pair of traits.

Of a host the side that stays is its body, of a donor its engine (``sides.py``). A circuit whose other side leaves, or
whose end is not there, is open: it wants a partner. A rail gives to or takes from many. What is whole within the side
that stays wants none, but may be tapped.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum

from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind
from ..network.islands import Network, connect
from ..trade.pairing import kinds_of
from ..trade.signals import signals
from .live import ALWAYS, grounded_islands, live_islands
from .plan import Role, Source
from .sides import Sides
from .wordings import Wording, disagree, terminal_meaning, understood

_NO_KINDS = frozenset(("spare", "test-point", "maker", ""))
"""Signals that say nothing of a partner."""
_SWITCHES = frozenset((*kinds_of("low-side drivers"), *kinds_of("high-side drivers"), "speed-pulses"))
_OF_LOAD = {"lamp": "lamp", "motor": "motor", "heater": "heater", "sender": "resistive-sender", "solenoid": "solenoid", "coil": "relay-coil"}
_FED = frozenset(("fuel-pump", "fan", "clutch-coil", "stop-solenoid", "glow", "starter-control"))
"""Loads of a host that a donor's control unit often commands."""
_TAPS = 3
"""How many readers a signal of a host takes at a splice."""
_RAILS = {"ground": 12, "always": 6, "switched": 6}
"""How many partners a rail takes."""
_BESIDE, _TITLE, _CIRCUIT, _LEAVING, _PART = 0.95, 0.9, 0.9, 0.9, 0.7
"""What words count that do not stand at the end itself: at another pin that stays, title of its device, name of the circuit, at the side that leaves, title of a fuse or relay."""
_ON_THE_WAY = 0.4
"""What words count, besides, that say another function than the pin they speak for: what stands on the way of a circuit is not what it does."""
_RAIL_MEANINGS = frozenset(("supply", "constant feed", "ignition feed", "accessory feed", "main supply", "ground", "power ground", "signal ground"))
_RAIL_KINDS = frozenset((*kinds_of("feeds"), *kinds_of("sources"), *kinds_of("grounds"), "input-wake"))
_NOMINAL_V = 12.0


class Need(Enum):
    """Whether a circuit wants a partner."""

    OPEN = "open"               # its other side leaves, or its end is not there
    RAIL = "rail"               # a supply or ground that takes more
    WHOLE = "whole"             # works by itself; may be tapped


@dataclass(frozen=True, slots=True)
class Traits:
    """What is wired at a candidate.

    kinds:     signal kinds of the pins that stay, said or taken from what is wired, sorted
    lost:      the same of the pins that leave: what its partner is to stand for
    live:      positions of the key in which it is live; empty where not known
    to_ground, to_supply: the other end of a load on it is at ground, at the supply
    pulled:    True where something pulls it up, False where its reader says that it pulls down, None where not known
    pulses, curve, bus, bit_rate: as stated at a pin; "" or None where not said
    draws_a:   what its loads take at the nominal supply, A; limit_a: what its driver carries, A; watts: of a lamp
    area_mm2:  of its thickest wire
    volts:     the nominal supply of the vehicle, V
    inverted:  its words say that it is on while something is off
    fused:     a fuse stands before it
    """

    kinds: tuple[str, ...]
    need: Need
    lost: tuple[str, ...] = ()
    live: frozenset[str] = frozenset()
    to_ground: bool = False
    to_supply: bool = False
    pulled: bool | None = None
    pulses: object = None
    curve: object = None
    bus: str = ""
    bit_rate: float | None = None
    draws_a: float | None = None
    limit_a: float | None = None
    watts: float | None = None
    area_mm2: float | None = None
    volts: float | None = None
    inverted: bool = False
    fused: bool = False


@dataclass(frozen=True, slots=True)
class Said:
    """Words at a candidate, and how much they count, 0 to 1."""

    wording: Wording
    weight: float
    where: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """A circuit at which the vehicles can meet.

    end:      the address that stays, with the name of the source
    contact:  the same without it
    said:     its words, those at the end first
    room:     how many partners it takes
    takes_more: its end takes a further wire as it is: a splice, ground, bar or stud
    is_bar:   its end is a bar of a box
    is_branch: a load that hangs on a rail, to be taken off it
    is_bare:  no wire is joined at its end: it takes a further one, or has none
    size:     of its thickest wire, as stated; "" where not known
    members:  every contact of the island, by own addresses
    """

    end: str
    contact: str
    said: tuple[Said, ...]
    traits: Traits
    room: int
    takes_more: bool
    is_bar: bool
    is_branch: bool
    is_bare: bool
    size: str
    members: tuple[str, ...] = field(repr=False)

    @property
    def words(self) -> str:
        """What it is called: the first words said of it at a pin, "" where none are."""
        return next((said.wording.text for said in self.said if not said.where or said.where.startswith("at ")), "")


def candidates(source: Source, *, all_stays: bool = False) -> tuple[Candidate, ...]:
    """Every circuit of a source that may be joined. all_stays: nothing of the source leaves, on whichever side it lies: for one that is without what its fates take away."""
    finder = _Finder(source, all_stays)
    found: list[Candidate] = []
    for island, members in enumerate(finder.network.islands):
        circuit = finder.candidate(island, members)
        if circuit is not None:
            found += (circuit, *finder.branches(island, members, circuit))
    return tuple(found)


class _Finder:
    def __init__(self, source: Source, all_stays: bool) -> None:
        self.source = source
        self.harness: Harness = source.harness
        self.network: Network = connect(self.harness)
        self.sides = Sides(self.harness, source.role, all_stays=all_stays)
        self.live = live_islands(self.harness, self.network)
        self.grounded = grounded_islands(self.harness, self.network)
        self.loads = self._loads()
        self.closes = self._closes()
        self.in_line = {half for connector in self.harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
        # where cavities are counted, a number is no terminal number
        self.terminals = {owner for owner, names in self._names().items() if "2" not in names and any(len(name) > 1 and terminal_meaning(name) for name in names)}
        self.volts = _number(self.harness.supply)

    # ------------------------------------------------------------------ what is where

    def _names(self) -> dict[str, set[str]]:
        names: dict[str, set[str]] = {}
        for contact in self.harness.contacts.values():
            names.setdefault(contact.owner, set()).add(contact.name)
        return names

    def _loads(self) -> dict[str, list[tuple[str, object]]]:
        """Address -> (address at the load's other end, the load)."""
        found: dict[str, list[tuple[str, object]]] = {}
        for device in self.harness.devices.values():
            pairs = [(device.between, device.load)] if device.between and device.load else []
            pairs += [(load.between, load.load) for load in device.loads.values()]
            for (a, b), load in pairs:
                found.setdefault(a, []).append((b, load))
                found.setdefault(b, []).append((a, load))
        return found

    def _closes(self) -> dict[str, set[str]]:
        """Address of a contact of a switch (not the key) -> the addresses it is closed to."""
        found: dict[str, set[str]] = {}
        for device in self.harness.devices.values():
            if device.id == self.harness.key_switch:
                continue
            for pairs in device.closes.values():
                for a, b in pairs:
                    found.setdefault(a, set()).add(b)
                    found.setdefault(b, set()).add(a)
        return found

    def kind(self, contact: Contact) -> str:
        """The signal of a pin, said or taken from what is wired; "" where nothing says."""
        address, island = contact.address, self.network.island_of[contact.address]
        device = self.sides.device(contact.owner)
        stated = contact.signal
        is_switch = address in self.closes
        if stated in signals() and not (is_switch and stated.startswith("output-")):
            if stated == "source-switched":
                return self._supply(island) or stated
            if stated == "switch-contact" and is_switch:
                return self._switched(address) or stated
            return stated
        if contact.kind is Kind.GROUND:
            return "ground-power"
        if contact.kind is Kind.BAR:
            return self._supply(island)
        part = self.harness.parts.get(contact.owner)
        if part is not None:
            if part.kind == "relay" and contact.name in ("85", "86"):
                return "relay-coil"
            return self._supply(island)
        if is_switch:
            return self._switched(address) or "switch-contact"
        found = self.harness.devices.get(device)
        if found is None:
            return ""
        if device == self.harness.key_switch:
            return self._supply(island)
        if found.supply is not None and found.between and address in found.between:
            return "source-battery" if address == found.between[0] else "ground-battery"
        loads = self.loads.get(address, ())
        if loads and island not in self.grounded:
            return _OF_LOAD.get(loads[0][1].kind, "")
        return "ground-power" if loads and island in self.grounded else ""

    def _supply(self, island: int) -> str:
        live = self.live.get(island, frozenset())
        if live >= ALWAYS:
            return "source-constant"
        if live == {"start"}:
            return "feed-start"
        return "source-switched" if live else ""

    def _switched(self, address: str) -> str:
        """What a contact of a switch gives: ground, the supply, or neither by itself."""
        others = {self.network.island_of[other] for other in self.closes[address] if other in self.network.island_of}
        if others & self.grounded:
            return "switch-to-ground"
        return "switch-to-supply" if any(other in self.live for other in others) else ""

    # ------------------------------------------------------------------ one island

    def candidate(self, island: int, members: Sequence[str]) -> Candidate | None:
        contacts = [self.harness.contacts[address] for address in members]
        staying: list[Contact] = []
        leaving: list[Contact] = []
        for contact in contacts:
            if contact.owner in self.in_line or contact.kind is Kind.SPLICE:
                continue
            stays = self.sides.stays(contact.owner)
            (leaving if stays is False else staying).append(contact)
        if not staying:
            return None
        kinds = {kind for contact in staying if (kind := self.kind(contact)) not in _NO_KINDS}
        if island in self.grounded:
            kinds = {kind for kind in kinds if kind in kinds_of("grounds")} or {"ground-power"}     # an end of a load at ground is ground
        if not kinds and (supply := self._supply(island)):
            kinds = {supply}
        if all(contact.signal in ("spare", "test-point") for contact in staying) and staying:
            return None
        rail = self._rail(island, contacts, kinds)
        need = Need.OPEN if leaving or self._is_open(contacts) else Need.RAIL if rail and self.source.role is Role.HOST else Need.WHOLE
        end = self._end(contacts, staying, bool(rail))
        if end is None:
            return None
        said = tuple(self._said(end, staying, leaving, members, bool(rail)))
        if not kinds and not said:
            return None
        lost = {kind for contact in leaving if (kind := self.kind(contact)) not in _NO_KINDS} if island not in self.grounded else set()
        traits = self._traits(island, staying, contacts, tuple(sorted(kinds)), tuple(sorted(lost)), need, said)
        kind = self.harness.contacts[end].kind
        takes_more = kind in (Kind.SPLICE, Kind.GROUND, Kind.BAR, Kind.STUD)
        room = 1
        if takes_more and self.source.role is Role.HOST:
            room = _RAILS[rail] if rail else _TAPS if kinds & _SWITCHES else 1
        return Candidate(self.source.id(end), end, said, traits, room, takes_more, kind is Kind.BAR, False, self._is_bare(end), self._size(members), tuple(members))

    def branches(self, island: int, members: Sequence[str], circuit: Candidate) -> Iterator[Candidate]:
        """Loads of a host that hang on a rail: each may be taken off it."""
        if self.source.role is not Role.HOST or not any(kind in circuit.traits.kinds for kind in kinds_of("sources")):
            return
        pins = [contact for address in members if (contact := self.harness.contacts[address]).signal in _FED and contact.function and self.sides.stays(contact.owner) is not False]
        for contact in pins:
            if len(self.harness.wires_at.get(contact.address, ())) != 1:
                continue
            said = tuple(self._said(contact.address, [contact], [], [contact.address], False))
            traits = self._traits(island, [contact], [contact], (contact.signal,), (), Need.WHOLE, said)
            yield Candidate(self.source.id(contact.address), contact.address, said, traits, 1, False, False, True, False, self._size([contact.address]), (contact.address,))

    def _is_open(self, contacts: Sequence[Contact]) -> bool:
        """Whether a wire of it ends nowhere or not known where, an in-line half has no partner, or a lone pin has no wire."""
        for contact in contacts:
            connector = self.harness.connectors.get(contact.owner)
            if connector is not None and connector.device is None and contact.owner not in self.in_line and not self.sides.is_socket(contact.owner):
                return True
            if any(UNKNOWN in (wire.from_, wire.to) or OPEN in (wire.from_, wire.to) for wire in map(self.harness.wires.__getitem__, self.harness.wires_at.get(contact.address, ()))):
                return True
        first = contacts[0]
        return (len(contacts) == 1 and first.kind is Kind.CAVITY and self.network.island_of[first.address] not in self.grounded
                and not self.harness.wires_at.get(first.address) and first.signal not in _NO_KINDS)

    def _is_bare(self, end: str) -> bool:
        """As ``ends.py`` finds the ends of joins."""
        kind, wires = self.harness.contacts[end].kind, len(self.harness.wires_at.get(end, ()))
        return kind in (Kind.SPLICE, Kind.GROUND, Kind.BAR) or not wires or kind is Kind.STUD and wires > 1

    def _size(self, members: Sequence[str]) -> str:
        sizes = [wire.size for address in members for id in self.harness.wires_at.get(address, ()) if (wire := self.harness.wires[id]).size is not None]
        return max(sizes, key=lambda size: size.area_mm2).stated if sizes else ""

    def _rail(self, island: int, contacts: Sequence[Contact], kinds: set[str]) -> str:
        """"ground", "always" or "switched" where it takes more than one partner; "" where it does not."""
        if island in self.grounded and any(contact.kind is Kind.GROUND for contact in contacts):
            return "ground"
        live = self.live.get(island)
        if not live or live == {"start"} or not any(kind in kinds for kind in kinds_of("sources")):
            return ""
        if any(contact.kind in (Kind.SPLICE, Kind.BAR, Kind.STUD) or contact.owner in self.harness.parts or self.sides.device(contact.owner) == self.harness.key_switch
               for contact in contacts):
            return "always" if live >= ALWAYS else "switched"
        return ""

    def _end(self, contacts: Sequence[Contact], staying: Sequence[Contact], is_rail: bool) -> str | None:
        """The address to be named in a join: of a rail the splice, stud or bar, which takes a further wire; else a pin that stays, with one wire."""
        wires = self.harness.wires_at
        pins = [contact for contact in staying if contact.kind not in (Kind.GROUND, Kind.BAR)]
        # a stud of the donor's body stands for all that was under it; one that leaves the host is no end
        is_meant = self.source.role is Role.DONOR and len(pins) > 1
        takes_more = [contact for contact in contacts if contact.kind in (Kind.SPLICE, Kind.GROUND, Kind.BAR) and (is_meant or self.sides.stays(contact.owner) is not False)]
        if takes_more and (is_rail or len(pins) != 1):
            first = next((contact for contact in takes_more if contact.kind is not Kind.SPLICE and is_rail), takes_more[0])
            return first.address
        wired = [contact for contact in pins if wires.get(contact.address)]
        of_devices = [contact for contact in wired if self.sides.device(contact.owner)]
        studs = [contact for contact in pins if contact.kind is Kind.STUD] if is_rail else []
        of_parts = [contact for contact in wired if contact.owner in self.harness.parts] if is_rail else []
        for group in (studs, of_parts, of_devices, wired, pins, list(staying), list(contacts)):
            if group:
                return min(group, key=lambda contact: (self.kind(contact) in _NO_KINDS, len(wires.get(contact.address, ())) > 1)).address
        return None

    # ------------------------------------------------------------------ its words

    def _said(self, end: str, staying: Sequence[Contact], leaving: Sequence[Contact], members: Sequence[str], is_rail: bool) -> Iterator[Said]:
        found: dict[str, Said] = {}

        def add(text: str, weight: float, where: str) -> None:
            wording = understood(text)
            if not wording.is_empty and text.lower() not in ("unknown", "not used", "spare") and (text not in found or found[text].weight < weight):
                found[text] = Said(wording, weight, where)

        for contact in sorted(staying, key=lambda contact: contact.address != end):
            is_end = contact.address == end or len(staying) == 1
            add(contact.function, 1.0 if is_end else _BESIDE, "" if is_end else f"at {contact.address}")
            if contact.owner in self.terminals and contact.kind in (Kind.CAVITY, Kind.STUD) and contact.owner not in self.harness.parts and (meaning := terminal_meaning(contact.name)):
                add(meaning, 0.8, f"terminal {contact.name}")
        for contact in leaving:
            add(contact.function, _LEAVING, f"at {contact.address}")
        for contact in (*staying, *leaving):
            device = self.sides.device(contact.owner)
            if device and not self.sides.is_unit(device) and device != self.harness.key_switch and len(self.loads.get(contact.address, ())) <= 1:
                few = sum(len(self.harness.connectors[id].cavities) for id in self.harness.devices[device].connectors) <= 4
                if few:
                    title = self.harness.devices[device].title
                    add(title, _TITLE * (_ON_THE_WAY if self._is_on_the_way(contact, understood(title)) else 1.0), f"title of {device}")
            elif (part := self.harness.parts.get(contact.owner)) is not None:
                add(part.title or part.feeds, _PART, f"title of {part.id}")
        for address in members:
            for wire in self.harness.wires_at.get(address, ()):
                name = self.harness.wires[wire].circuit
                circuit = self.harness.circuits.get(name)
                for text in (name, circuit.title if circuit else ""):
                    if text and any(letter.isalpha() for letter in text) and (len(text) > 3 or understood(text).sure):
                        add(text, _CIRCUIT, f"circuit of wire {wire}")
        telling = [one.wording for one in found.values() if (not one.where or one.where.startswith("at ")) and not set(one.wording.functions) <= _RAIL_MEANINGS]
        if is_rail and any(disagree(telling[0], other) for other in telling[1:]):
            # a rail that serves many does not do what one of them does
            return (one if set(one.wording.functions) <= _RAIL_MEANINGS else replace(one, weight=one.weight * _ON_THE_WAY) for one in found.values())
        own = next((one.wording for one in found.values() if not one.where and one.wording in telling), None)
        return (replace(one, weight=one.weight * _ON_THE_WAY) if own is not None and one.where and disagree(own, one.wording) else one for one in found.values())

    def _is_on_the_way(self, contact: Contact, title: Wording) -> bool:
        """Whether the title of a device says nothing of the circuit at one of its pins: it is fed or grounded there, or the pin says another function itself."""
        said = understood(contact.function)
        if self.kind(contact) in _RAIL_KINDS or said.functions and set(said.functions) <= _RAIL_MEANINGS:
            return True
        return disagree(said, title)

    # ------------------------------------------------------------------ its traits

    def _traits(self, island: int, staying: Sequence[Contact], contacts: Sequence[Contact], kinds: tuple[str, ...], lost: tuple[str, ...], need: Need, said: Sequence[Said]) -> Traits:
        loads = [(other, load, contact) for contact in staying for other, load in self.loads.get(contact.address, ()) if island not in self.grounded]
        others = {self.network.island_of[other] for other, _, _ in loads if other in self.network.island_of}
        draws = [contact.draws.value for contact in staying if contact.draws is not None]
        for _, load, contact in loads:
            if contact.draws is None and load.rating is not None and load.kind != "sender":
                draws.append(_NOMINAL_V / load.rating.ohm)
        limits = [contact.limit.value for contact in staying if contact.limit is not None and contact.limit.unit == "A"]
        watts = [load.rating.watts for _, load, _ in loads if load.kind == "lamp" and load.rating is not None and load.rating.watts]
        sizes = [wire.size.area_mm2 for contact in contacts for id in self.harness.wires_at.get(contact.address, ()) if (wire := self.harness.wires[id]).size is not None]
        insides = [contact.inside for contact in staying if contact.inside is not None]
        pulled = True if any(inside.pull_up is not None for inside in insides) else False if any(inside.pull_down is not None for inside in insides) else None
        return Traits(
            kinds, need, lost, self.live.get(island, frozenset()),
            to_ground=any(other in self.grounded for other in others), to_supply=any(other in self.live for other in others), pulled=pulled,
            pulses=next((contact.pulses for contact in contacts if contact.pulses is not None), None),
            curve=next((contact.curve for contact in contacts if contact.curve is not None), None),
            bus=next((contact.bus for contact in staying if contact.bus), ""), bit_rate=next((contact.bit_rate.value for contact in staying if contact.bit_rate is not None), None),
            draws_a=round(sum(draws), 3) if draws else None, limit_a=min(limits) if limits else None, watts=max(watts) if watts else None,
            area_mm2=max(sizes) if sizes else None, volts=self.volts, inverted=any("released" in one.wording.text or "inverted" in one.wording.text for one in said[:1]),
            fused=any(contact.name == "2" and (part := self.harness.parts.get(contact.owner)) is not None and part.kind in ("fuse", "fusible link") for contact in contacts),
        )


def _number(supply: str) -> float | None:
    """``12 V`` -> 12.0; None where not stated."""
    text = supply.split(" ")[0]
    try:
        return float(text)
    except ValueError:
        return None
