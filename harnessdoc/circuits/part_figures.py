"""The figures of parts (fuse, fusible link, relay, diode, resistor) and of in-line connectors."""

from __future__ import annotations

from collections.abc import Mapping

from ..model.harness import Part
from ..trade.relays import COIL_END, COIL_START, COMMON
from .boxes import Pin, unit
from .columns import Column, columns
from .device_figures import pin_lines, turn_of
from .direction import Directions
from .figure import Figure, Line, lines_of
from .printed import Printed
from .strands import Strands
from .through import CHANGEOVER, DIODE, FUSE, LINK, RESISTOR, TWO_MAKES, Symbol, coil_with, mated, straight, switch, turned


def part_figure(strands: Strands, directions: Directions, printed: Printed, node: str, part: Part, ports: Mapping[str, str], is_part: bool) -> Figure:
    """ports: address -> side, of what is on the page."""
    if part.kind == "relay":
        found = _relay(directions, printed, node, part, ports, is_part)
        if found is not None:
            return found
    elif len(part.terminals) == 2:
        upper, lower = _upper_lower(part, ports, directions)
        if ports.get(upper) != "bottom" and ports.get(lower) != "top":
            return _two_pole(printed, node, part, upper, lower, is_part)
    pins = [Pin(address, side, pin_lines(printed, address, side, len(ports))) for address, side in ports.items()]
    return unit(node, part.id, _name(printed, part, is_part), pins, is_part=is_part, kind=part.kind, turn=turn_of(part.id))


def _upper_lower(part: Part, ports: Mapping[str, str], directions: Directions) -> tuple[str, str]:
    """The terminals, the one with its strand from above first."""
    a, b = (f"{part.id}.{name}" for name in part.terminals)
    if ports.get(a) == "bottom" or ports.get(b) == "top":
        return b, a
    if ports.get(b) == "bottom" or ports.get(a) == "top":
        return a, b
    return (a, b) if directions.is_above(a, b) else (b, a)


def _name(printed: Printed, part: Part, is_part: bool) -> list[Line]:
    """Id and value in one line, then what it is for and where it sits, and where the rest of it is."""
    value = None if part.kind == "relay" else part.rating or part.value
    size = str(part.size) if part.kind == "fusible link" and part.size else ""
    first = ", ".join(filter(None, (value.stated if value else "", size, f"in {part.box}" if part.box else "")))
    where = printed.where(part.id) if not part.box else ""
    title = lines_of(part.title, 24.0, 3) if part.title != part.id else []
    also = [line for said in printed.also(part.id) for line in lines_of(said, 30.0, 3)]
    return [Line(part.id, True, first), *[line for line in title if line.text], *also, *([Line(f"({where})")] if where else []),
            *(printed.rest_lines(part.id) if is_part and part.kind == "relay" else [])]


_SYMBOLS: Mapping[str, Symbol] = {"fuse": FUSE, "fusible link": LINK, "resistor": RESISTOR, "diode": DIODE}


def _two_pole(printed: Printed, node: str, part: Part, upper: str, lower: str, is_part: bool) -> Figure:
    symbol = _SYMBOLS[part.kind]
    names = [address.rpartition(".")[2] for address in (upper, lower)]
    if part.kind == "diode" and names[0] == "K":
        symbol = turned(symbol)
    ends = ("", "") if names == ["1", "2"] else (names[0], names[1])
    return straight(node, part.id, upper, lower, symbol, _name(printed, part, is_part), ends=ends, kind=part.kind, turn=turn_of(part.id), is_part=is_part)


def _relay(directions: Directions, printed: Printed, node: str, part: Part, ports: Mapping[str, str], is_part: bool) -> Figure | None:
    """The whole relay, or the half of which a strand is on the page; None where its strands run otherwise than a coil and a contact can be drawn."""
    has = [name for name in part.terminals if f"{part.id}.{name}" in ports]
    coil = any(name in (COIL_START, COIL_END) for name in has)
    contact = any(name not in (COIL_START, COIL_END) for name in has)
    fixed = [name for name in ("87a", "87", "87b") if name in part.terminals and (name in has or part.contacts not in (None, "two 87"))]

    def address(name: str) -> str:
        return f"{part.id}.{name}"

    def sides_of(a: str, b: str) -> tuple[str, str] | None:
        """(upper, lower) of two terminals as their strands ask; None where both want the same side."""
        pair = (a, b) if directions.is_above(address(a), address(b)) else (b, a)
        if ports.get(address(pair[0])) == "bottom" or ports.get(address(pair[1])) == "top":
            pair = pair[1], pair[0]
        return None if ports.get(address(pair[0])) == "bottom" or ports.get(address(pair[1])) == "top" else pair

    each: list[Column] = []
    texts = {address(name): name for name in part.terminals}
    if coil:
        pair = sides_of(COIL_START, COIL_END)
        if pair is None:
            return None
        symbol = coil_with(part.suppression)
        each.append(Column(address(pair[0]), address(pair[1]), symbol if pair[0] == COIL_START else turned(symbol)))
    if contact:
        if not fixed or COMMON not in part.terminals:
            return None
        first = next((name for name in fixed if name in has), fixed[0])
        pair = sides_of(COMMON, first)
        if pair is None or any(ports.get(address(name)) == ("top" if pair[0] == COMMON else "bottom") for name in fixed):
            return None
        if len(fixed) == 1:
            each.append(Column(address(pair[0]), address(pair[1]), switch(part.contacts == "break" or fixed[0] == "87a")))
        else:
            symbol = CHANGEOVER if fixed[0] == "87a" else TWO_MAKES
            left, right = (address(name) for name in fixed[:2])
            each.append(Column(address(COMMON), left, symbol, second=right) if pair[0] == COMMON else Column(left, address(COMMON), turned(symbol), second=right))
    return columns(node, part.id, _name(printed, part, is_part), each, texts, is_part=is_part, tied=coil and contact, kind="relay", turn=turn_of(part.id))


def in_line_figure(strands: Strands, directions: Directions, printed: Printed, node: str, first: str, ports: Mapping[str, str]) -> Figure:
    """One cavity of an in-line connector with the cavity it meets, the upper half above."""
    second = strands.mate[first]
    upper, lower = (first, second) if directions.is_above(first, second) else (second, first)
    if ports.get(upper) == "bottom" or ports.get(lower) == "top":
        upper, lower = lower, upper
    contacts, connectors = strands.harness.contacts, strands.harness.connectors
    owner = min(contacts[first].owner, contacts[second].owner)
    if ports.get(upper) == "bottom" or ports.get(lower) == "top":
        pins = [Pin(address, side, (Line(address),)) for address, side in ports.items()]
        return unit(node, owner, [Line(f"{contacts[upper].owner} in {contacts[lower].owner}")], pins, is_part=False, kind="in-line")
    notes = [Line(note) for address in (upper, lower) if address not in ports and (note := printed.note(address))]
    return straight(node, owner, upper, lower, mated(connectors[contacts[upper].owner].half), notes, ends=(upper, lower), kind="in-line", turn=turn_of(first), tie=owner)
