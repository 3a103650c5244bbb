"""What nothing ties: metals that no strap joins to battery minus, loads that no position of any switch can feed.

Takes an Operation; gives LooseMetals and OpenLoops. Every switch, relay and output may stand in any
position, so that what is found here carries no current in any state. Where the description does
not say what lies behind an end (far end not known, in-line half without the other, a pin of a
device of which nothing is said) nothing is found: it may lead anywhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..electric import Battery, Supply
from ..model.electric_words import METALS
from ..model.harness import OPEN, UNKNOWN, Contact, Harness, Kind
from ..network.ways import ASSUMED_METAL
from ..operation.catalogue import BOND, CONTACT, FUSE, GROUND, LINK, WIRE
from ..operation.operate import Operation
from ..operation.wiring import LoadPoint, Wiring
from ..trade.signals import signals
from .bare import CONDUCTORS, Islands, Piece, at_work, contacts, outputs
from .reach import graph_of, reach

_STRAPS = (WIRE, FUSE, LINK, CONTACT, GROUND)
_INPUT = "input-"
_LEADS_NOWHERE = ("ground", "supply")


@dataclass(frozen=True, slots=True)
class LooseMetal:
    """A metal that no wire, switch or stud joins to battery minus.

    grounds: the addresses on it; assumed: of all of them no metal is said
    through: devices through whose inside alone it is joined after all
    """

    metal: str
    grounds: tuple[str, ...]
    assumed: bool
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OpenLoop:
    """Loads and relay coils that lie together on copper with no way to one pole, or to both.

    relays:  ids of parts; lacks_feed, lacks_return: which way is not there
    ends:    addresses where the way ends, farthest from the pole that is reached
    """

    loads: tuple[LoadPoint, ...]
    relays: tuple[str, ...]
    lacks_feed: bool
    lacks_return: bool
    ends: tuple[str, ...]


def loose_metals(operation: Operation) -> tuple[LooseMetal, ...]:
    """The metals of the harness that are not joined to battery minus, in the order of METALS."""
    wiring = operation.wiring
    nodes = wiring.nodes
    studs = [(element.b, entry.a) for element in wiring.elements if (entry := wiring.catalogue[element.id]).kind == GROUND]
    on = {metal: [address for node, address in studs if node == nodes.metal(metal)] for metal in METALS}
    islands = Islands(_bare(wiring))
    if islands.of(nodes.plus) == islands.of(nodes.reference):
        return ()       # a short circuit: others tell
    # Plus is no strap: over it the contacts of two relays would join anything.
    plus = {node for node in nodes.of.values() if islands.of(node) == islands.of(nodes.plus)}
    tied, inside = (reach(graph_of(operation), {nodes.reference: 0.0}, lambda edge: 1.0, over, plus) for over in (_STRAPS, (*_STRAPS, BOND)))
    unsure = _unsure(wiring, islands)
    found = []
    for metal, grounds in on.items():
        node = nodes.metal(metal)
        if not grounds or node in tied.cost or {islands.of(node), islands.of(nodes.reference)} <= unsure:
            continue
        through = tuple(dict.fromkeys(id for edge in inside.way(node) if edge.entry.kind == BOND for id, unit in wiring.units.items()
                                      if unit.ground in (edge.a, edge.b))) if node in inside.cost else ()
        assumed = metal == ASSUMED_METAL and all(_metal_of(wiring.harness, address) is None for address in grounds)
        found.append(LooseMetal(metal, tuple(grounds), assumed, through))
    return tuple(found)


def open_loops(operation: Operation) -> tuple[OpenLoop, ...]:
    """Loads that can never carry current, in groups that one mend would help; those on a loose metal are left to that."""
    wiring = operation.wiring
    islands = Islands(_bare(wiring))
    of = islands.of
    plus, minus = _rails(wiring, islands)
    if plus & minus:
        return ()       # a short circuit: others tell
    loads, coils = wiring.loads, _coils(wiring)
    edges = [(of(a), of(b)) for a, b in (*_others(wiring), *((load.node_a, load.node_b) for load in loads), *coils.values())]
    edges = [(a, b) for a, b in edges if a != b]
    near: dict[str, list[str]] = {}
    for a, b in edges:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    groups = Islands(Piece("", a, b) for a, b in edges if not {a, b} & (plus | minus))
    passed_over = {groups.of(island) for island in _unsure(wiring, islands)} | {groups.of(of(wiring.nodes.metal(loose.metal))) for loose in loose_metals(operation)}
    reached: dict[str, set[str]] = {}
    for island, others in near.items():
        if island not in plus | minus:
            reached.setdefault(groups.of(island), set()).update(others)
    dead = {group: (not rails & plus, not rails & minus) for group, rails in reached.items() if group not in passed_over and not (rails & plus and rails & minus)}
    return tuple(_gathered(wiring, islands, groups, dead, _far(near, plus | minus), loads, coils))


def _far(near: Mapping[str, list[str]], rails: set[str]) -> dict[str, int]:
    """Island -> how many loads and contacts lie between it and the nearest pole; where that is most the way ends."""
    far = dict.fromkeys(rails, 0)
    queue = list(far)
    for island in queue:
        for other in near.get(island, ()):
            if other not in far:
                far[other] = far[island] + 1
                queue.append(other)
    return far


def _gathered(wiring: Wiring, islands: Islands, groups: Islands, dead: Mapping[str, tuple[bool, bool]], far: Mapping[str, int],
              loads: Iterable[LoadPoint], coils: Mapping[str, tuple[str, str]]) -> Iterator[OpenLoop]:
    addresses: dict[str, list[str]] = {}
    for address, node in wiring.nodes.of.items():
        addresses.setdefault(islands.of(node), []).append(address)
    wired = {island for island, members in addresses.items() if any(wiring.harness.wires_at.get(address) for address in members)}

    def group_of(a: str, b: str) -> str | None:
        """The dead group at one of two nodes, of which a wire leads to one at least."""
        a, b = islands.of(a), islands.of(b)
        return next((group for island in (a, b) if (group := groups.of(island)) in dead), None) if a in wired or b in wired else None

    members: dict[str, tuple[list[LoadPoint], list[str]]] = {}
    for load in loads:
        if (group := group_of(load.node_a, load.node_b)) is not None:
            members.setdefault(group, ([], []))[0].append(load)
    for relay, (a, b) in coils.items():
        if (group := group_of(a, b)) is not None:
            members.setdefault(group, ([], []))[1].append(relay)
    ends: dict[str, list[str]] = {}
    most: dict[str, int] = {}
    for island in addresses:
        if (group := groups.of(island)) in members:
            most[group] = max(most.get(group, 0), far.get(island, 0))
    for island, there in addresses.items():
        if (group := groups.of(island)) in members:
            if far.get(island, 0) == most[group]:
                ends.setdefault(group, []).extend(there)
    for group, (of_group, relays) in members.items():
        yield OpenLoop(tuple(of_group), tuple(relays), *dead[group], tuple(ends.get(group, ())))


def _bare(wiring: Wiring) -> Iterator[Piece]:
    return (Piece(element.id, element.a, element.b) for element in wiring.elements if wiring.catalogue[element.id].kind in CONDUCTORS)


def _others(wiring: Wiring) -> Iterator[tuple[str, str]]:
    """What may carry current between islands besides loads and coils."""
    yield from ((piece.a, piece.b) for piece in (*contacts(wiring), *at_work(wiring), *outputs(wiring)))
    loads = {load.element for load in wiring.loads}
    for element in wiring.elements:
        if wiring.catalogue[element.id].kind not in CONDUCTORS and element.id not in loads and not isinstance(element, Battery | Supply):
            yield element.a, element.b
    for part in wiring.harness.parts.values():
        if part.kind == "resistor" and part.value is None:
            a, b = (wiring.nodes.of[f"{part.id}.{name}"] for name in part.terminals)
            yield a, b


def _coils(wiring: Wiring) -> dict[str, tuple[str, str]]:
    """Relay -> the nodes of its coil; spare ones left out."""
    spare = {name for box in wiring.harness.boxes.values() for name in box.spare}
    of = wiring.nodes.of
    return {id: (of[f"{id}.86"], of[f"{id}.85"]) for id, part in wiring.harness.parts.items()
            if part.kind == "relay" and id not in spare and not {f"{id}.86", f"{id}.85"} & wiring.nodes.off}


def _rails(wiring: Wiring, islands: Islands) -> tuple[set[str], set[str]]:
    """The islands of plus, and of minus, of all supplies."""
    nodes, plus, minus = wiring.nodes, set(), set()
    for id in wiring.harness.supplies:
        device = wiring.harness.devices[id]
        if device.between is not None and all(end in nodes.of for end in device.between):
            plus.add(islands.of(nodes.of[device.between[0]]))
            minus.add(islands.of(nodes.of[device.between[1]]))
    plus |= {islands.of(element.a) for element in wiring.elements if isinstance(element, Battery)}
    return plus, minus


def _unsure(wiring: Wiring, islands: Islands) -> set[str]:
    """The islands from which something may lead on that the description does not say."""
    harness, nodes = wiring.harness, wiring.nodes
    touched = {node for element in wiring.elements if wiring.catalogue[element.id].kind != WIRE for node in (element.a, element.b)}
    touched |= {node for pair in _others(wiring) for node in pair}
    touched |= {node for load in wiring.loads for node in (load.node_a, load.node_b)}
    pulsed = {wire.id for wire in harness.wires.values() if (circuit := harness.circuits.get(wire.circuit)) is not None and circuit.pulsed}
    touched |= {nodes.of[end] for id in harness.supplies for end in harness.devices[id].between or () if end in nodes.of}
    mated = {half for connector in harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
    # a bridge, a bus: driven to either side from inside, whatever is commanded
    both_ways = {kind for kind, signal in signals().items() if signal.drive == "both"}
    found = set()
    for address, contact in harness.contacts.items():
        wires = harness.wires_at.get(address, ())
        if (address in nodes.off
                or contact.signal in both_ways
                or any(wire in pulsed or {harness.wires[wire].from_, harness.wires[wire].to} & {UNKNOWN, OPEN} for wire in wires)
                or (contact.kind is Kind.SPLICE and harness.splices[address].members_unknown)
                or (wires and _may_lead_on(harness, mated, contact) and nodes.of[address] not in touched)):
            found.add(islands.of(nodes.of[address]))
    return found


def _may_lead_on(harness: Harness, mated: set[str], contact: Contact) -> bool:
    """Whether something not described may lie behind: a pin of a device, a half of an in-line connector whose other half is not there."""
    connector = harness.connectors.get(contact.owner)
    if connector is not None and connector.device is None:
        return connector.id not in mated
    if connector is None and contact.owner not in harness.devices:
        return False
    kind = signals().get(contact.signal)
    return kind is None or not (kind.kind.startswith(_INPUT) or kind.kind == "spare" or kind.direction in _LEADS_NOWHERE)


def _metal_of(harness: Harness, address: str) -> str | None:
    ground = harness.grounds.get(address)
    inside = harness.contacts[address].inside
    return ground.metal if ground is not None else inside.metal if inside is not None else None

