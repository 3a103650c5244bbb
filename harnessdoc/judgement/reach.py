"""What can be reached over copper and contacts, whatever position switches and relays are in.

Takes a Wiring; gives a graph of edges (wires, fuses, contacts, grounds, diodes), and from
some nodes the way of least cost to every other. A way goes over no load, coil or resistor. A
contact is crossed in any position of its switch, but on one way every switch is in one position:
what a changeover contact joins with 87 and what it joins with 87a never meet.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from ..electric import Diode, Fuse, Resistor
from ..electric.circuit import contact_id
from ..operation.catalogue import BOND, CONTACT, DIODE, FUSE, GROUND, LINK, WIRE, Catalogue, Entry, switch_element, wire_element
from ..operation.operate import Operation
from ..operation.wiring import Wiring
from ..trade.tables import factors

PULLED_IN, AT_REST = "pulled in", "at rest"
OUT = (WIRE, CONTACT, DIODE)
"""Over these a fuse feeds what is behind it."""
FED = (*OUT, FUSE, LINK)
BACK = (*FED, GROUND, BOND)


@dataclass(frozen=True, slots=True)
class Edge:
    """What joins two nodes.

    ohm:       a fuse's at its rating
    switch:    the device or relay whose contact it is, "" of anything else; positions: in which it is closed
    length_mm: of a wire, 0 of anything else; None: not known
    entry:     what it is
    """

    id: str
    a: str
    b: str
    ohm: float
    entry: Entry
    length_mm: float | None = 0.0
    switch: str = ""
    positions: frozenset[str] = frozenset()

    def beyond(self, node: str) -> str:
        return self.b if node == self.a else self.a


@dataclass(frozen=True, slots=True)
class Graph:
    """The edges at each node, in the order of the description; of each edge by its id."""

    at: Mapping[str, tuple[Edge, ...]]
    edges: Mapping[str, Edge]


_Positions = Mapping[str, frozenset[str]]
"""The switches on a way, and the positions they may be in."""


@dataclass(frozen=True, slots=True)
class _Label:
    """A node that was reached: by which edge, and from which label."""

    node: str
    positions: _Positions
    before: _Label | None
    edge: Edge | None


@dataclass(frozen=True, slots=True)
class Reached:
    """cost: node -> the least cost of a way to it, in the order in which they were reached."""

    cost: Mapping[str, float]
    _first: Mapping[str, _Label]

    def way(self, node: str) -> tuple[Edge, ...]:
        """The edges from where it began to a node that was reached."""
        edges: list[Edge] = []
        label: _Label | None = self._first[node]
        while label is not None and label.edge is not None:
            edges.append(label.edge)
            label = label.before
        return tuple(reversed(edges))


def graph_of(operation: Operation) -> Graph:
    """The graph of an operation, made once."""
    return operation.kept("graph", lambda: _graph(operation))


def reach(graph: Graph, start: Mapping[str, float], cost: Callable[[Edge], float], over: Collection[str], shut: Collection[str] = (),
          without: str = "", against: bool = False) -> Reached:
    """The ways of least cost from the nodes of ``start``, which have costs of their own.

    over: kinds of edges that may be crossed; shut: nodes no way enters; without: id of an edge that is taken out;
    against: diodes are crossed from cathode to anode: the way is that of a current that comes back
    """
    settled: dict[str, list[_Label]] = {}
    costs: dict[str, float] = {}
    heap = [(own, number, _Label(node, {}, None, None)) for number, (node, own) in enumerate(start.items())]
    heapify(heap)
    count = len(heap)
    while heap:
        total, _, label = heappop(heap)
        node = label.node
        # Who came before at less cost and left the switches as free goes on in its place.
        if any(_as_free(other.positions, label.positions) for other in settled.get(node, ())):
            continue
        settled.setdefault(node, []).append(label)
        costs.setdefault(node, total)
        for edge in graph.at.get(node, ()):
            if edge is label.edge or edge.entry.kind not in over or edge.id == without or edge.beyond(node) in shut:
                continue
            if edge.entry.kind == DIODE and (node == edge.a) == against:
                continue
            positions = label.positions
            if edge.switch:
                closed = edge.positions & positions.get(edge.switch, edge.positions)
                if not closed:
                    continue
                positions = {**positions, edge.switch: closed}
            count += 1
            heappush(heap, (total + cost(edge), count, _Label(edge.beyond(node), positions, label, edge)))
    return Reached(costs, {node: labels[0] for node, labels in settled.items()})


def _as_free(one: _Positions, other: _Positions) -> bool:
    """Whether every switch may be in at least the positions of ``other``."""
    return all(switch in other and other[switch] <= positions for switch, positions in one.items())


def _graph(operation: Operation) -> Graph:
    edges = {edge.id: edge for edge in _edges(operation.wiring) if edge.a != edge.b}
    at: dict[str, list[Edge]] = {}
    for edge in edges.values():
        at.setdefault(edge.a, []).append(edge)
        at.setdefault(edge.b, []).append(edge)
    return Graph({node: tuple(there) for node, there in at.items()}, edges)


def _edges(wiring: Wiring) -> Iterator[Edge]:
    of, off = wiring.nodes.of, wiring.nodes.off
    entries = wiring.catalogue
    for id, conductor in wiring.conductors.items():
        # Also of circuits that pulse: a fuse protects their copper too.
        entry = entries[wire_element(id)]
        if not {entry.a, entry.b} & off:
            yield Edge(wire_element(id), of[entry.a], of[entry.b], conductor.ohm, entry, conductor.length_mm)
    for element in wiring.elements:
        entry = entries[element.id]
        if isinstance(element, Fuse):
            # At its rating: what a short has to come through is warm before it opens.
            yield Edge(element.id, element.a, element.b, element.drop_v / element.rating_a, entry)
        elif isinstance(element, Resistor | Diode) and entry.kind in (FUSE, LINK, GROUND, BOND, DIODE):
            yield Edge(element.id, element.a, element.b, element.ohm, entry)
    yield from _of_switches(wiring, entries)
    yield from _of_relays(wiring, entries)


def _of_switches(wiring: Wiring, entries: Catalogue) -> Iterator[Edge]:
    ohm, of = factors()["switch-closed"].value, wiring.nodes.of
    for id, device in wiring.harness.devices.items():
        closed_in: dict[tuple[str, str], set[str]] = {}
        for position, pairs in device.closes.items():
            for a, b in pairs:
                if a in of and b in of and not {a, b} & wiring.nodes.off:
                    closed_in.setdefault((a, b), set()).add(position)
        for (a, b), positions in closed_in.items():
            element = switch_element(id, a, b)
            yield Edge(element, of[a], of[b], ohm, entries[element], 0.0, id, frozenset(positions))


def _of_relays(wiring: Wiring, entries: Catalogue) -> Iterator[Edge]:
    for relay in wiring.relays:
        for number, contact in enumerate(relay.contacts):
            id = contact_id(relay, number)
            if entries[id].kind == CONTACT:
                far, position = (contact.open, PULLED_IN) if contact.open else (contact.closed, AT_REST)
                yield Edge(id, contact.common, far, contact.ohm, entries[id], 0.0, relay.id, frozenset((position,)))



def lengths_mm(edges: Iterable[Edge]) -> float | None:
    """Of all the wires on a way; None where one has no length."""
    total = 0.0
    for edge in edges:
        if edge.length_mm is None:
            return None
        total += edge.length_mm
    return total
