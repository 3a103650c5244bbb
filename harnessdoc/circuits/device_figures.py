"""The figure of a device, or of a connector nobody described the device of, by what is known of its inside.

A load between an upper and a lower contact is drawn as its symbol, several in one frame; so are contacts of switches, at rest.
Everything else is a frame with its contacts along the edges.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..model.electric import Alternator
from ..model.harness import Device
from ..network.cavity_order import counted
from ..network.ways import Way
from .boxes import Pin, unit
from .columns import Column, battery, columns
from .direction import Directions
from .figure import LEAST, Figure, Line, lines_of, tight, widest
from .printed import Printed
from .strands import Strands
from .through import COIL, LAMP, MOTOR, RESISTOR, Symbol, straight, switch

SYMBOLS: Mapping[str, Symbol] = {"lamp": LAMP, "motor": MOTOR, "solenoid": COIL, "coil": COIL}
"""Kind of load -> its symbol; any other is a resistor."""


UNIT_CONTACTS = 7
"""A device with as many wired contacts is on so many sheets that it does not name them."""


MANY_PINS, FEW_LINES, MORE_LINES = 6, 2, 3
"""With more pins than this a function has one line more."""


def turn_of(id: str) -> tuple[str | int, ...]:
    """A key for the natural order of ids."""
    return tuple(part for piece in counted(id) for part in piece)


def device_figure(strands: Strands, directions: Directions, printed: Printed, node: str, owner: str, ports: Mapping[str, str], is_part: bool) -> Figure:
    """ports: address -> side, of what is on the page."""
    harness = strands.harness
    device = harness.devices.get(owner)
    title = device.title if device is not None else harness.connectors[owner].title if owner in harness.connectors else ""
    rest = printed.rest_lines(owner) if is_part and len(strands.of_owner[owner]) < UNIT_CONTACTS else []
    name = [*printed.name(owner, title), *rest]
    turn = turn_of(owner)
    ways = _ways(strands, ports)
    if device is not None:
        between = device.between
        if device.supply is not None and not isinstance(device.supply, Alternator) and between is not None and set(ports) <= set(between) and set(ports.values()) == {"bottom"}:
            hot = printed.hot(between[0])
            return battery(node, owner, [*name, *([Line(hot)] if hot else [])], between[0], between[1], is_part=is_part)
        # contacts whose wires are elsewhere are drawn there, too: always say where
        drawn = _in_columns(device, directions, printed, node, [*printed.name(owner, title), *(printed.rest_lines(owner) if is_part else [])], ways, ports, is_part, turn)
        if drawn is not None:
            return drawn
    pins = [Pin(address, side, pin_lines(printed, address, side, len(ports))) for address, side in ports.items()]
    name = [*printed.name(owner, title, 40.0), *rest] if len(pins) > 2 else name
    closes = {position: [(a, b) for a, b in pairs if a in ports or b in ports] for position, pairs in (device.closes.items() if device is not None else ())}
    said = [f"{position} {', '.join(f'{_short(a)}–{_short(b)}' for a, b in pairs)}" for position, pairs in closes.items() if pairs]
    inside = lines_of("; ".join(said), 40.0 if len(pins) < MANY_PINS else 60.0) if said else []
    return unit(node, owner, name, pins, is_part=is_part, turn=turn, kind="unit" if len(pins) > 6 else "", inside=inside)


def pin_lines(printed: Printed, address: str, side: str, count: int) -> tuple[Line, ...]:
    """What a unit prints at a pin, from its edge inward: the address, then the function, in fewer lines where there are few pins."""
    function = printed.function(address, MORE_LINES if count > MANY_PINS else FEW_LINES)
    return (Line(address), *(function if side == "top" else reversed(function)))


def _ways(strands: Strands, ports: Mapping[str, str]) -> list[Way]:
    """Loads and contacts at the ports, each pair of contacts once."""
    found: dict[tuple[str, str, str], Way] = {}
    for address in ports:
        for way in strands.inside.get(address, ()):
            found.setdefault((way.kind, *sorted((way.a, way.b))), way)
    return list(found.values())


def _in_columns(device: Device, directions: Directions, printed: Printed, node: str, name: list[Line], ways: list[Way], ports: Mapping[str, str], is_part: bool,
                turn: tuple[str | int, ...]) -> Figure | None:
    kinds = {way.kind for way in ways}
    if not ways or len(kinds) != 1 or not kinds <= {"load", "switch"} or {end for way in ways for end in (way.a, way.b)} < set(ports):
        return None
    if not set(ports) <= {end for way in ways for end in (way.a, way.b)}:
        return None
    ends: list[tuple[str, str]] = []
    for way in ways:
        a, b = (way.a, way.b) if directions.is_above(way.a, way.b) else (way.b, way.a)
        side_a, side_b = (ports.get(a), ports.get(b))
        if side_a == "bottom" and side_b in ("top", None):
            a, b, side_a, side_b = b, a, side_b, side_a
        if side_a == "bottom" or side_b == "top":
            return None
        ends.append((a, b))
    uppers, lowers = ([end[side] for end in ends] for side in (0, 1))
    # where nothing leads to the upper contact on the page: when that is hot
    name = [*name, *(Line(f"{upper} {hot}") for upper in dict.fromkeys(uppers) if upper not in ports and (hot := printed.hot(upper)))]
    kind = f"{next(iter(kinds))}:{_load_of(device, ways[0]) if kinds == {'load'} else ''}"
    if len(ways) == 1 and not is_part:
        (upper, lower), = ends
        return straight(node, device.id, upper, lower, _symbol(device, ways[0]), [*name, *_words(device, ways[0], "closed: ", widest(name))], ends=(_end_text(printed, upper), _end_text(printed, lower)),
                        kind=kind, turn=turn, earthed=_is_earthed(printed, lower, ports))
    shared_upper = uppers[0] if len(ways) > 1 and len(set(uppers)) == 1 else ""
    shared_lower = lowers[0] if len(set(lowers)) == 1 and not shared_upper and (len(ways) > 1 or _is_earthed(printed, lowers[0], ports)) else ""
    if not shared_upper and len(set(uppers)) < len(uppers):
        return None
    if not shared_lower and len(set(lowers)) < len(lowers):
        return None
    each = [Column(upper, lower, _symbol(device, way), tuple(_words(device, way) or (printed.function(lower if shared_upper else upper, FEW_LINES) if len(ways) > 1 else ())))
            for way, (upper, lower) in zip(ways, ends, strict=True)]
    texts = {end: _end_text(printed, end) for pair in ends for end in pair}
    return columns(node, device.id, name, each, texts, shared_upper=shared_upper, shared_lower=shared_lower, is_part=is_part, tied=kinds == {"switch"}, kind=kind, turn=turn,
                   earthed=bool(shared_lower) and _is_earthed(printed, shared_lower, ports))


def _is_earthed(printed: Printed, address: str, ports: Mapping[str, str]) -> bool:
    """A case with no wire, on metal."""
    inside = printed.harness.contacts[address].inside
    return address not in ports and inside is not None and inside.metal is not None


def _end_text(printed: Printed, address: str) -> str:
    contact = printed.harness.contacts[address]
    metal = contact.inside.metal if contact.inside is not None else None
    return f"{address} on {metal}" if metal else address


def _load_of(device: Device, way: Way) -> str:
    load = device.loads[way.position].load if way.position in device.loads else device.load
    return load.kind if load is not None else ""


def _symbol(device: Device, way: Way) -> Symbol:
    if way.kind == "switch":
        pair = {way.a, way.b}
        return switch(way.position == "link" or (device.rest is not None and any({a, b} == pair for a, b in device.closes.get(device.rest, ()))))
    return SYMBOLS.get(_load_of(device, way), RESISTOR)


def _words(device: Device, way: Way, before: str = "", room: float = 0.0) -> list[Line]:
    """Of a contact the positions in which it is closed, ``before`` these what must be said lest they read on from a name; of a load that has one its name. room: a width in mm that is there."""
    if way.kind == "load":
        return tight(way.position, 2) if way.position in device.loads else []
    closing = [position for position, pairs in device.closes.items() if any({a, b} == {way.a, way.b} for a, b in pairs)]
    return tight(f"{before}{', '.join(closing)}", 2, max(room, LEAST)) if closing else []


def _short(address: str) -> str:
    return address.rpartition(".")[2]
