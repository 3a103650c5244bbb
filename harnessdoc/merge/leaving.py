"""What leaves with its wires: connectors, devices, boxes, parts, splices and grounds of the sources.

Takes: the sources, what lines of ``fates:`` say of things themselves, and the contacts at which copper is
left. Gives: everything that leaves, with the reason in words; and the records without what refers to it.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping

from ..description.text import Items, Record, Value
from .fates import Line, owned_by
from .plan import Fate, Source
from .prefix import copied
from .records import filtered, sifted, with_value, without

_LEAVING = (Fate.REMOVED, Fate.STORED, Fate.CAPPED)
"""Fates by which a thing that a line names leaves itself: what is capped is capped where it was."""


NO_WIRE_LEFT = "none of its wires is left"
"""Why a thing leaves that no line names."""


def leaving(sources: Mapping[str, Source], lines: Mapping[str, Line], live: Collection[str]) -> dict[str, str]:
    """Thing of a source -> why it leaves.

    lines: thing -> the last line that names it; live: contacts at which a wire, a join or an interface is left
    """
    gone: dict[str, str] = {}
    for source in sources.values():
        harness = source.harness
        contacts_of: dict[str, list[str]] = {}
        for contact in harness.contacts.values():
            contacts_of.setdefault(contact.owner, []).append(contact.address)
        for own, members in owned_by(harness).items():
            id = source.id(own)
            line = lines.get(id)
            if line is not None:
                if line.fate in _LEAVING:
                    gone[id] = f"{line.fate.value}: {line.why or line.words}"
                continue
            if own in harness.boxes or own in harness.connectors and harness.connectors[own].device:
                continue                # a box is kept for its positions, a connector leaves with its device
            addresses = [address for member in members for address in contacts_of.get(member, ())]
            if any(address in harness.wires_at for address in addresses) and not any(source.id(address) in live for address in addresses):
                gone[id] = NO_WIRE_LEFT
        for device in harness.devices.values():
            if (why := gone.get(source.id(device.id))) is not None:
                for connector in device.connectors:
                    gone.setdefault(source.id(connector), why)
        for part in harness.parts.values():
            if part.box and (why := gone.get(source.id(part.box))) is not None:
                gone.setdefault(source.id(part.id), why)
    return gone


def cleaned(section: str, entry: Record, is_gone: Callable[[str], bool], spare: Iterable[str] = ()) -> Record:
    """An entry without what refers to things that left. is_gone: of an id or an address; spare: positions of the box that are free now."""
    match section:
        case "devices":
            entry = _less_list(entry, "connectors", is_gone)
            if isinstance(links := entry.get("links"), Items):
                entry = with_value(entry, "links", _pairs(links, is_gone))
            if isinstance(closes := entry.get("closes"), Record):
                entry = with_value(entry, "closes", copied(closes, lambda _, pairs: _pairs(pairs, is_gone)))
            if isinstance(between := entry.get("between"), Items) and any(map(is_gone, _texts(between))):
                entry = without(entry, "between")
            if isinstance(loads := entry.get("loads"), Record):
                entry = with_value(entry, "loads", filtered(loads, lambda _, load: not (isinstance(load, Record) and any(map(is_gone, _texts(load.get("between")))))))
        case "connectors" if isinstance(mates := entry.get("mates"), str) and is_gone(mates):
            entry = without(entry, "mates")
        case "boxes":
            if isinstance(bars := entry.get("bars"), Record):
                entry = with_value(entry, "bars", copied(bars, lambda _, bar: _less(bar, is_gone)))
            if spare := tuple(spare):
                entry = with_value(entry, "spare", _with_more(entry, spare))
        case "states":
            if isinstance(switches := entry.get("switches"), Record):
                entry = with_value(entry, "switches", filtered(switches, lambda device, _: not is_gone(device)))
            entry = _less_list(entry, "commanded", is_gone)
    return entry


def _texts(value: Value) -> list[str]:
    return [item for item in value if isinstance(item, str)] if isinstance(value, Items) else []


def _less_list(entry: Record, key: str, is_gone: Callable[[str], bool]) -> Record:
    return with_value(entry, key, _less(entry[key], is_gone)) if any(map(is_gone, _texts(entry.get(key)))) else entry


def _less(items: Value, is_gone: Callable[[str], bool]) -> Value:
    return _kept(items, lambda item: not (isinstance(item, str) and is_gone(item)))


def _pairs(items: Value, is_gone: Callable[[str], bool]) -> Value:
    return _kept(items, lambda pair: not any(map(is_gone, _texts(pair))))


def _kept(items: Value, holds: Callable[[Value], bool]) -> Value:
    return sifted(items, lambda value: value if holds(value) else None) if isinstance(items, Items) else items


def _with_more(box: Record, spare: Iterable[str]) -> Items:
    before = box.get("spare")
    out = Items(box.source, box.mark)
    for name in (*_texts(before), *spare):
        out.add(name, box.mark)
    return out
