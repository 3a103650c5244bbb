"""Contacts: every cavity, terminal, bar, splice and ground by its address.

Takes: the owners, and the sections ``cavities`` and ``wires``. Gives: contacts by
address, and the way from a written address to a contact or to a finding with the
nearest one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from ..description.text import Items, Record
from ..description.units import parse_quantity
from ..findings import Place
from .build_owners import Owners
from .electric_words import OF_CAVITY, OF_SIGNAL
from .harness import OPEN, UNKNOWN, Contact, Device, Kind
from .ids import name_fault, names, nearest, printable, refuse
from .values import Values, text_of

if TYPE_CHECKING:
    from .electric import Inside

_CURRENT = partial(parse_quantity, kind="current", zero=True)
_ONE = {Kind.CAVITY: "connector", Kind.SOCKET: "part", Kind.STUD: "device", Kind.BAR: "box"}
_NOTHING_SAID = ("", "", "")
# The nearest id is looked for so many times: in a file without its connectors each
# of ten thousand addresses would be compared with all ids.
_MOST_SUGGESTIONS = 100


@dataclass(slots=True)
class Contacts:
    """Contacts by address, and what a further one is made from.

    faceless:  connectors that take any cavity, for lack of a face
    described: address -> its record in ``cavities``
    wired:     addresses that a wire names
    said:      owner -> terminal, seal and plug said once for all of its contacts
    """

    values: Values
    owners: Owners
    faceless: frozenset[str]
    described: Mapping[str, Record]
    wired: frozenset[str]
    said: Mapping[str, tuple[str, str, str]]
    owner_ids: tuple[str, ...]
    by_address: dict[str, Contact] = field(default_factory=dict)
    names_of: dict[str, list[str]] = field(default_factory=dict)    # made for the first finding
    suggested: int = 0

    def find(self, address: str, where: str, place: Place, or_unknown: str = "") -> str | None:
        """The address if it leads to a contact; a connector without a face grows one; else a finding and None.

        or_unknown: words for a way out that only some addresses have
        """
        if address in self.by_address:
            return address
        owner, _, name = address.rpartition(".")
        if owner in self.faceless and name:
            return self._grow(address, owner, name, where, place)
        self._report(address, owner, name, where, place, or_unknown)
        return None

    def add(self, address: str, owner: str, name: str, kind: Kind, source: Record) -> None:
        """A new contact; a second reading of the same address is a finding."""
        before = self.by_address.get(address)
        if before is not None:
            self.two_readings(address, source.place(), _reading(before.kind, before.owner, before.name), _reading(kind, owner, name))
            return
        self.by_address[address] = self._contact(address, owner, name, kind, source)

    def _grow(self, address: str, owner: str, name: str, where: str, place: Place) -> str | None:
        fault = name_fault(name)
        if fault:
            refuse(self.values, f"cavity '{printable(name)}' in {where}", fault, place)
            return None
        self.by_address[address] = self._contact(address, owner, name, Kind.CAVITY, self.owners.connectors[owner].source)
        return address

    def _contact(self, address: str, owner: str, name: str, kind: Kind, source: Record) -> Contact:
        """terminal holds for every wired contact, seal too, plug for those without a wire."""
        fits = terminal, seal, plug = self.said.get(owner, _NOTHING_SAID)
        if address in self.wired:
            plug = ""
        else:
            terminal = seal = ""
        entry = self.described.get(address)
        if entry is None:
            return Contact(address, owner, name, kind, "", "", "", terminal, seal, plug, False, None, None, "", "", fits, source)
        get = entry.get
        return Contact(
            address, owner, name, kind, text_of(get("function")), text_of(get("signal")), text_of(get("circuit")),
            text_of(get("terminal")) or terminal, text_of(get("seal")) or seal, text_of(get("plug")) or plug, get("crimp") == "double",
            self.values.quantity(entry, "limit", _CURRENT, address) if "limit" in entry else None,
            self.values.quantity(entry, "draws", _CURRENT, address) if "draws" in entry else None,
            text_of(get("note")), text_of(get("evidence")),
            (text_of(get("terminal")) or fits[0], text_of(get("seal")) or fits[1], text_of(get("plug")) or fits[2]), entry,
            inside=None if OF_CAVITY.isdisjoint(entry) else _inside(self.values, address, entry),
            **({} if OF_SIGNAL.isdisjoint(entry) else _of_signal(self.values, address, entry)),
        )

    def two_readings(self, address: str, place: Place, one: str, other: str) -> None:
        self.values.error("two-readings", f"'{address}' may be read as {one} or as {other}", place,
                          "the last dot divides connector and cavity: give one of the two another id")

    def _report(self, address: str, owner: str, name: str, where: str, place: Place, or_unknown: str) -> None:
        error, shown = self.values.error, printable(address)
        if owner in self.owner_ids:
            mine = self._names_of(owner)
            near = self._nearest(name, mine)
            do = (f"did you mean {owner}.{near}? " if near else "") + (f"{owner} has {names(mine, 20)}" if any(mine) else f"{owner} has no terminals")
            error("no-such-cavity", f"{where} is '{shown}', but {owner} has no cavity or terminal {printable(name)}", place, do)
        elif address in self.owner_ids:
            mine = self._names_of(address)
            do = f"write one of {names(f'{address}.{name}' for name in mine)}" if mine else f"{address} has no terminals of its own"
            error("no-such-address", f"{where} is '{shown}', which names no cavity or terminal", place, do)
        elif owner:
            near = self._nearest(owner, self.owner_ids)
            do = f"did you mean {near}.{name}?" if near else f"declare it{or_unknown}; the description has {names(self.owner_ids)}"
            error("no-such-connector", f"{where} is '{shown}', but there is no connector, device or part {printable(owner)}", place, do)
        else:
            near = f"`{address.lower()}`" if address.lower() in (UNKNOWN, OPEN) else self._nearest(address, self.owner_ids)
            do = f"did you mean {near}?" if near else f"declare it{or_unknown}; the description has {names(self.owner_ids)}"
            error("no-such-address", f"{where} is '{shown}', but there is no splice or ground {shown}", place, do)

    def _names_of(self, owner: str) -> list[str]:
        if not self.names_of:
            for contact in self.by_address.values():
                self.names_of.setdefault(contact.owner, []).append(contact.name)
        return self.names_of.get(owner, [])

    def _nearest(self, written: str, known: Iterable[str]) -> str:
        self.suggested += 1
        return nearest(written, known) if self.suggested <= _MOST_SUGGESTIONS else ""


def build_contacts(values: Values, sections: dict, owners: Owners) -> Contacts:
    """Every contact the description names, in the order of its owners."""
    contacts = Contacts(
        values, owners, frozenset(c.id for c in owners.connectors.values() if c.face is None),
        {address: entry for address, (entry, _) in sections["cavities"].items()},
        frozenset(end for entry, _ in sections["wires"].values() for end in (entry.get("from"), entry.get("to")) if isinstance(end, str)),
        _said_once(values, owners), tuple(owner for group in owners.groups for owner in group),
    )
    add = contacts.add
    for connector in owners.connectors.values():
        for cavity in connector.cavities:
            add(f"{connector.id}.{cavity}", connector.id, cavity, Kind.CAVITY, connector.source)
    for part in owners.parts.values():
        kind = Kind.STUD if part.kind in ("diode", "resistor") else Kind.SOCKET
        for name in part.terminals:
            add(f"{part.id}.{name}", part.id, name, kind, part.source)
    for device in owners.devices.values():
        for name in device.terminals:
            add(f"{device.id}.{name}", device.id, name, Kind.STUD, device.source)
    for box in owners.boxes.values():
        for bar in box.bars:
            add(bar.address, box.id, bar.name, Kind.BAR, box.source)
    for kind, group in ((Kind.SPLICE, owners.splices), (Kind.GROUND, owners.grounds)):
        for name, entry in group.items():
            add(name, name, "", kind, entry.source)
            _check_reading(contacts, name, kind, entry.source)
    for address in contacts.described:
        if address not in contacts.by_address:
            _, document = sections["cavities"][address]
            contacts.find(address, "the key in `cavities`", document["cavities"].place_of_key(address))
    _check_references(contacts)
    return contacts


def _inside(values: Values, address: str, entry: Record) -> Inside:
    from .build_loads import read_inside    # a file that says nothing of it starts without

    return read_inside(values, address, entry)


def _of_signal(values: Values, address: str, entry: Record) -> dict[str, Any]:
    from .build_signals import read_signal

    return read_signal(values, address, entry)


def _said_once(values: Values, owners: Owners) -> dict[str, tuple[str, str, str]]:
    said = {}
    for group in (owners.connectors, owners.grounds):
        for owner in group.values():
            words = tuple(values.text(owner.source, key) for key in ("terminal", "seal", "plug"))
            if any(words):
                said[owner.id] = words
    return said


def _check_reading(contacts: Contacts, name: str, kind: Kind, source: Record) -> None:
    """The id of a splice or ground must not read as a cavity of a connector that takes any."""
    owner, _, cavity = name.rpartition(".")
    if owner in contacts.faceless and cavity:
        contacts.two_readings(name, source.place(), _reading(Kind.CAVITY, owner, cavity), _reading(kind, name, ""))


def _reading(kind: Kind, owner: str, name: str) -> str:
    if kind in (Kind.SPLICE, Kind.GROUND):
        return f"{kind.value} {owner}"
    return f"{'cavity' if kind is Kind.CAVITY else 'terminal'} {name} of {_ONE[kind]} {owner}"


def _check_references(contacts: Contacts) -> None:
    """Bars, links, closing contacts and ``between`` must name contacts."""
    owners = contacts.owners
    lists = [("", f"bar {bar.address}", box.source["bars"][bar.name]) for box in owners.boxes.values() for bar in box.bars]
    lists += [(device.id, *entry) for device in owners.devices.values() for entry in _address_lists(device)]
    for device_id, where, items in lists:
        for position, address in enumerate(items):
            if address in (UNKNOWN, OPEN):
                contacts.values.error("no-such-address", f"item {position + 1} of {where} is '{address}', where an address is needed",
                                      items.place_of(position), "leave it out until it is known")
            elif isinstance(address, str) and address not in contacts.by_address and (whole := f"{device_id}.{address}") in contacts.by_address:
                contacts.values.error("no-such-address", f"item {position + 1} of {where} is '{address}', where an address is needed", items.place_of(position), f"write it with its device: {whole}")
            elif isinstance(address, str):
                contacts.find(address, f"item {position + 1} of {where}", items.place_of(position))


def _address_lists(device: Device) -> Iterator[tuple[str, Items]]:
    """(words, list of addresses) wherever a device names addresses."""
    written, owner = device.source, f"device {device.id}"
    if isinstance(between := written.get("between"), Items):
        yield f"`between` of {owner}", between
    closes = written.get("closes")
    lists = [("links", written.get("links")), *(closes.items() if isinstance(closes, Record) else ())]
    for name, pairs in lists:
        for pair in pairs if isinstance(pairs, Items) else ():
            if isinstance(pair, Items):
                yield f"`{name}` of {owner}", pair
