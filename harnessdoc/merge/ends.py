"""The ends of joins, looked up in the sources: which contact, which wire, cut or not.

Takes: the entry of a join and the sources. Gives: one Found an end, and findings for what cannot be joined.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from ..description.text import Items, Record
from ..findings import Place
from ..model.harness import OPEN, UNKNOWN, Kind
from ..model.ids import names, nearest, printable
from ..model.values import Values
from .plan import Source

_TAKES_MORE = (Kind.SPLICE, Kind.GROUND, Kind.BAR)
"""Contacts that take a further wire as they are: they are never cut."""
_ITSELF = "none"
"""Said in place of a wire where the contact itself takes the join: a stud a further eyelet, a cavity a wire in place of its own, which leaves."""


@dataclass(frozen=True, slots=True)
class Found:
    """An end as written. wire: by its id in the merge, "" where the contact itself takes the join; side: "from" or "to" of it."""

    address: str
    source: Source | None
    wire: str
    side: str
    cut: bool
    place: Place

    @property
    def is_unknown(self) -> bool:
        return self.address == UNKNOWN

    @property
    def is_direct(self) -> bool:
        return not self.wire and not self.is_unknown


@dataclass(frozen=True, slots=True)
class Astray:
    """An address that leads to nothing: the code for a join, the fault in words that follow its name at once, and the way out."""

    code: str
    words: str
    do: str


def find_ends(values: Values, join: str, entry: Record, sources: Mapping[str, Source], own: Collection[str]) -> list[Found] | None:
    """The ends of a join; None where one of them cannot be used (a finding says so). own: ids of what the merge adds itself."""
    written = entry.get("ends")
    if not isinstance(written, Items):
        return None
    cut = entry.get("cut")
    if isinstance(cut, str) and cut not in ("both", "none", *sources):
        values.error("no-such-source", f"`cut` of join {join} is '{printable(cut)}', and there is no such source", entry.place_of("cut"),
                     f"write {', '.join(sources)}, both or none")
        return None
    ends = [_find(values, join, entry, address, written.place_of(position), sources, own) for position, address in enumerate(written) if isinstance(address, str)]
    if None in ends or len(ends) != len(written):
        return None
    found = [end for end in ends if end is not None]
    return found if _fit_together(values, join, entry, found) else None


def astray(address: str, sources: Mapping[str, Source], own: Collection[str], others: Collection[str] = ()) -> Astray | None:
    """What is wrong with an address of the merge; None where it names a contact of a source, or something that the merge adds (the build says whether that has the contact).

    others: the other ends of its join, which are of the other vehicle.
    """
    name, slash, within = address.partition("/")
    if not slash:
        if address in own or address.rpartition(".")[0] in own:
            return None
        has = [source for source in sources.values() if address in source.harness.contacts]
        taken = {other.partition("/")[0] for other in others}
        if full := [source.id(address) for source in [source for source in has if source.name not in taken] or has]:
            return Astray("join-end-gone", " without the name of its vehicle", f"write {' or '.join(full)}")
        if wires := [source.id(address) for source in sources.values() if address in source.harness.wires]:
            return _is_wire(wires, sources)
        every = [source.id(contact) for source in sources.values() for contact in source.harness.contacts]
        near = nearest(address, (*own, *every)) or nearest(address.rpartition(".")[0], own)
        return Astray("join-end-gone", ", which neither this file nor a source has", f"did you mean {near}?" if near else f"an end of a source begins with its name: {' or '.join(f'{one}/' for one in sources)}")
    source = sources.get(name)
    if source is None:
        return Astray("no-such-source", f", but there is no source {name}", f"the sources are {names(sources)}")
    harness = source.harness
    if within in harness.contacts:
        return None
    if within in harness.wires:
        return _is_wire([address], sources)
    owner = within.rpartition(".")[0] or within
    owners = {owner, *(harness.devices[owner].connectors if owner in harness.devices else ())}
    there = [source.id(address) for address, one in harness.contacts.items() if one.owner in owners]
    # of a connector that is there only its own cavities are near
    near = "" if there and owner == within else nearest(within, [address for address, one in harness.contacts.items() if one.owner in owners] if there else harness.contacts)
    hints = filter(None, (f"did you mean {source.id(near)}?" if near else "", f"{source.id(owner)} has {names(there)}" if there else ""))
    return Astray("join-end-gone", f", which {source.file} does not have", " ".join(hints))


def _is_wire(wires: list[str], sources: Mapping[str, Source]) -> Astray:
    """Where a wire is named and an end is wanted."""
    ways, ends = [], []
    for id in wires:
        source = sources[id.partition("/")[0]]
        wire = source.harness.wires[id.partition("/")[2]]
        ways.append(f"{id} runs from {_end_of(source, wire.from_)} to {_end_of(source, wire.to)}")
        ends += [source.id(end) for end in (wire.from_, wire.to) if end not in (UNKNOWN, OPEN)]
    return Astray("join-end-is-wire", f", which is a wire: {'; '.join(ways)}", f"name one of its ends: {' or '.join(ends)}" if ends else "write the wire's ends in its own file first")


def _end_of(source: Source, end: str) -> str:
    return end if end in (UNKNOWN, OPEN) else source.id(end)


def _find(values: Values, join: str, entry: Record, address: str, place: Place, sources: Mapping[str, Source], added: Collection[str]) -> Found | None:
    if address == UNKNOWN:
        return Found(address, None, "", "", False, place)
    ends = entry["ends"]
    others = [other for other in (ends if isinstance(ends, Items) else ()) if isinstance(other, str) and other != address]
    if (fault := astray(address, sources, added, others)) is not None:
        later = f"{' ' if fault.do.endswith('?') else '; '}a join to an end not found yet says `unknown`" if fault.code == "join-end-gone" and not fault.words.startswith(" without") else ""
        stays = "; the one that is named stays, the other half is cut off" if fault.code == "join-end-is-wire" else ""
        values.error(fault.code, f"join {join} names '{printable(address)}'{fault.words}", place, f"{fault.do}{later}{stays}".removeprefix("; "))
        return None
    name, slash, own = address.partition("/")
    if not slash:
        return Found(address, None, "", "", False, place)      # a thing of the merge file: the build says whether it has the contact
    source = sources[name]
    harness = source.harness
    contact = harness.contacts[own]
    wires = harness.wires_at.get(own, ())
    stated = entry.get("wires")
    chosen = stated.get(address) if isinstance(stated, Record) else None
    if chosen == _ITSELF:
        wires = ()
    elif chosen is not None:
        if not isinstance(chosen, str) or chosen.partition("/")[2] not in wires or chosen.partition("/")[0] != name:
            values.error("no-such-wire", f"`wires` of join {join} says {chosen} at {address}, but no such wire ends there", stated.place_of(address),
                         f"{address} has {names(map(source.id, wires))}")
            return None
        wires = (chosen.partition("/")[2],)
    elif contact.kind in _TAKES_MORE:
        wires = ()
    if len(wires) > 1:
        if contact.kind is Kind.STUD:
            wires = ()                  # a stud takes a further eyelet
        else:
            values.error("join-end-unclear", f"join {join} names {address}, where {len(wires)} wires end: {names(map(source.id, wires))}", place,
                         f"say which one is joined: `wires: {{{address}: {source.id(wires[0])}}}`")
            return None
    if not wires:
        return Found(address, source, "", "", False, place)
    side = "from" if harness.wires[wires[0]].from_ == own else "to"
    return Found(address, source, source.id(wires[0]), side, _is_cut(entry, source), place)


def _is_cut(entry: Record, source: Source) -> bool:
    said = entry.get("cut")
    return said in (None, "both", source.name)


def _fit_together(values: Values, join: str, entry: Record, ends: list[Found]) -> bool:
    place = entry.place_of("ends")
    listed = " and ".join(end.address for end in ends)
    known = [end for end in ends if not end.is_unknown]
    if len(ends) < 2 or len(known) < 1:
        values.error("join-without-ends", f"join {join} has {len(ends)} end{'s' * (len(ends) != 1)}: {listed or 'none'}", place, "write both: `ends: [host/X7.2, donor/A1.L]`, or `unknown` for one")
        return False
    for end in ends:
        if (twice := [other for other in ends if other is not end and not end.is_unknown and other.address == end.address and other.wire == end.wire]):
            values.error("join-to-itself", f"join {join} names {twice[0].address} twice", twice[0].place, "name the end of the other vehicle")
            return False
    names_of = {end.source.name for end in known if end.source}
    if len(names_of) == 1 and all(end.source for end in ends) and "through" not in entry:
        only = next(iter(names_of))
        values.error("join-within-one-source", f"join {join} ties {listed}, {'both' if len(ends) == 2 else 'all'} of {only}", place,
                     f"a join ties two vehicles: name an end of another source; what is joined within {only} is a wire or a splice under `wires:` or `splices:` of this file")
        return False
    return True


def stated_ends(entry: Record, key: str) -> Iterator[tuple[str, Place]]:
    """The addresses that are keys of a map of a join (``stubs``, ``far``)."""
    written = entry.get(key)
    if isinstance(written, Record):
        for address in written:
            yield address, written.place_of_key(address)
