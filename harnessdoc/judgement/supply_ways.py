"""The ways from the source through a fuse to what lies behind it, and of a short back to battery minus.

Takes an Operation; gives SupplyWays. Which terminal of a fuse is fed, and what lies behind, is a
matter of copper: contacts count as closed in any position; other fuses, loads, coils, resistors
and grounds end the way. Fed means by a battery; where there is none, by an alternator or a
test supply.

A far-end short is the weakest one: the lowest source voltage behind the battery's resistance,
fuses warm, wires as warm as their insulation may get, the way back included, at the end where
all that together has the most ohms. Of ways side by side the one with the fewest ohms counts
alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import fsum

from ..model import electric as said
from ..model.given import battery_given, battery_v, nominal_v
from ..operation.catalogue import GROUND, WIRE
from ..operation.conductors import Conductor
from ..operation.operate import Operation
from ..operation.wiring import LoadPoint
from ..trade.fuse_gates import opens_within
from ..trade.tables import Fact, factors
from ..trade.wire_types import COOLEST_C
from .reach import BACK, FED, OUT, Edge, Reached, graph_of, reach

_FIGURES_FOR_V = 12.0
"""The supply for which the lowest source voltage is stated; others in proportion."""


@dataclass(frozen=True, slots=True)
class Source:
    """plus: node of each source -> its own ohm; minus: nodes; volts: the lowest, None where no battery is described."""

    plus: Mapping[str, float]
    minus: tuple[str, ...]
    volts: float | None


@dataclass(frozen=True, slots=True)
class Short:
    """The weakest short behind a fuse.

    far:       address of the far end; back_by: what leads back, in words
    source_v:  of the lowest source
    source_ohm, to_fuse_ohm, fuse_ohm, out_ohm, back_ohm: the sum, in its order
    to_fuse, out, back: the ways themselves
    share:     of the rating; opens: the longest time in s to open, None where it may not, or no gates are known
    """

    far: str
    back_by: str
    source_v: float
    source_ohm: float
    to_fuse_ohm: float
    fuse_ohm: float
    out_ohm: float
    back_ohm: float
    to_fuse: tuple[Edge, ...] = field(repr=False)
    out: tuple[Edge, ...] = field(repr=False)
    back: tuple[Edge, ...] = field(repr=False)
    share: float
    opens: Fact | None

    @property
    def loop_ohm(self) -> float:
        return fsum((self.source_ohm, self.to_fuse_ohm, self.fuse_ohm, self.out_ohm, self.back_ohm))

    @property
    def current_a(self) -> float:
        return self.source_v / self.loop_ohm

    @property
    def edges(self) -> tuple[Edge, ...]:
        return (*self.to_fuse, *self.out, *self.back)


def source_of(operation: Operation) -> Source:
    """The batteries; where there is none, alternators and test supplies: what they give into a short is not known."""
    harness, of = operation.wiring.harness, operation.wiring.nodes.of
    supply_v = nominal_v(harness)
    placed = [(device, of[device.between[0]], of[device.between[1]]) for device in map(harness.devices.__getitem__, harness.supplies)
              if device.between and all(end in of for end in device.between)]
    batteries = [one for one in placed if isinstance(one[0].supply, said.Battery)]
    plus = {a: battery_given(device.supply, battery_v(harness, device.id)).ohm.value if isinstance(device.supply, said.Battery) else 0.0 for device, a, _ in batteries or placed}
    return Source(plus, tuple(dict.fromkeys(b for _, _, b in batteries or placed)),
                  factors()["lowest-source"].value * supply_v / _FIGURES_FOR_V if batteries else None)


class SupplyWays:
    """The graph of a harness with its source: what each fuse has before it and behind it, and what leads back."""

    def __init__(self, operation: Operation) -> None:
        self.wiring = operation.wiring
        self.graph = graph_of(operation)
        self.source = source_of(operation)
        self.fed = reach(self.graph, self.source.plus, self.hot_ohm, FED, self.source.minus)
        self._back = reach(self.graph, dict.fromkeys(self.source.minus, 0.0), self.hot_ohm, BACK, self.source.plus, against=True)
        self._loads_at: dict[str, list[tuple[LoadPoint, str]]] = {}
        for load in self.wiring.loads:
            self._loads_at.setdefault(load.node_a, []).append((load, load.node_b))
            self._loads_at.setdefault(load.node_b, []).append((load, load.node_a))
        self._coils_at: dict[str, list[tuple[str, str]]] = {}
        for part in self.wiring.harness.parts.values():
            if part.kind == "relay":
                a, b = (self.wiring.nodes.of[f"{part.id}.{name}"] for name in ("86", "85"))
                self._coils_at.setdefault(a, []).append((part.id, b))
                self._coils_at.setdefault(b, []).append((part.id, a))
        self._order = {id: position for position, id in enumerate(self.wiring.harness.wires)}
        self._load_order = {load.id: position for position, load in enumerate(self.wiring.loads)}
        self._dangling: dict[str, list[str]] = {}
        for id, wire in self.wiring.harness.wires.items():
            for end in (wire.from_, wire.to) if id not in self.wiring.conductors else ():
                if end in self.wiring.nodes.of:
                    self._dangling.setdefault(self.wiring.nodes.of[end], []).append(id)
        self._metals = tuple(dict.fromkeys(edge.b for edge in self.graph.edges.values() if edge.entry.kind == GROUND))

    def hot_ohm(self, edge: Edge) -> float:
        """A wire as warm as its insulation may get."""
        return edge.ohm if edge.entry.kind != WIRE else self.hot_ohm_of(self.wiring.conductors[edge.entry.wire])

    def hot_ohm_of(self, conductor: Conductor) -> float:
        """As warm as its insulation may get; where that is not known as its zone, at least as the least insulation may."""
        kind = self.wiring.harness.wires[conductor.wire].type
        return conductor.ohm_at(kind.temperature_c if kind and kind.temperature_c is not None else max(COOLEST_C, conductor.warmest_c))

    def fed_end(self, fuse: Edge) -> tuple[str, str]:
        """(the node from which the source feeds it, "") or ("", why there is none)."""
        if fuse.a not in self.fed.cost or fuse.b not in self.fed.cost:
            return "", "no source reaches it" if fuse.a not in self.fed.cost and fuse.b not in self.fed.cost else "it stands at battery minus"
        before = self.fed.way(fuse.b)
        fed, other = (fuse.a, fuse.b) if before and before[-1].id == fuse.id else (fuse.b, fuse.a)
        round_it = reach(self.graph, {other: 0.0}, self.hot_ohm, FED, self.source.minus, without=fuse.id, against=True)
        if any(plus in round_it.cost for plus in self.source.plus):
            return "", "the source reaches both its terminals"
        return fed, ""

    def behind(self, fuse: Edge, fed: str) -> Reached:
        """What it feeds, up to the next fuse."""
        return reach(self.graph, {fuse.beyond(fed): 0.0}, self.hot_ohm, OUT, (*self.source.minus, *self.source.plus), without=fuse.id)

    def unfused(self) -> Reached:
        """What the source reaches without a fuse."""
        return reach(self.graph, self.source.plus, self.hot_ohm, OUT, self.source.minus)

    def wires_among(self, reached: Reached) -> tuple[str, ...]:
        """The wires both ends of which are reached, in the order of the description."""
        wires = {edge.entry.wire for node in reached.cost for edge in self.graph.at.get(node, ()) if edge.entry.kind == WIRE and edge.beyond(node) in reached.cost}
        return tuple(sorted(wires, key=self._order.__getitem__))

    def dangling_among(self, reached: Reached) -> tuple[str, ...]:
        """The wires that begin there and whose far end is open or not known."""
        return tuple(wire for node in reached.cost for wire in self._dangling.get(node, ()))

    def loads_among(self, reached: Reached) -> tuple[LoadPoint, ...]:
        """In the order of the description."""
        found = {load.id: load for node in reached.cost for load, _ in self._loads_at.get(node, ())}
        return tuple(sorted(found.values(), key=lambda load: self._load_order[load.id]))

    def short(self, fuse: Edge, fed: str, behind: Reached, rating_a: float, fuse_type: str) -> Short | None:
        """The weakest short behind a fuse; None where no battery is described, or nothing leads back."""
        ends = [(cost + back[0], node, *back) for node, cost in behind.cost.items() if (back := self._way_back(node)) is not None]
        if not ends or self.source.volts is None:
            return None
        _, node, back_ohm, back_by, end = max(ends, key=lambda one: one[0])
        to_fuse, out = self.fed.way(fed), behind.way(node)
        to_fuse_ohm = fsum(map(self.hot_ohm, to_fuse))
        source_ohm = self.fed.cost[fed] - to_fuse_ohm
        share = self.source.volts / fsum((self.fed.cost[fed], fuse.ohm, behind.cost[node], back_ohm)) / rating_a
        return Short(self._address(node, out), back_by, self.source.volts, source_ohm, to_fuse_ohm, fuse.ohm, behind.cost[node], back_ohm,
                     to_fuse, out, self._back.way(end), share, opens_within(fuse_type, share))

    def _way_back(self, node: str) -> tuple[float, str, str] | None:
        """(ohm, by what, from which node) from a short at a node to battery minus: the return of the load or coil there, else the metal with the most ohms."""
        returns = [(self._back.cost[other], f"the return of {load.title or load.id}", other) for load, other in self._loads_at.get(node, ()) if other in self._back.cost]
        returns += [(self._back.cost[other], f"the return of the coil of {id}", other) for id, other in self._coils_at.get(node, ()) if other in self._back.cost]
        returns = returns or [(self._back.cost[metal], metal, metal) for metal in self._metals if metal in self._back.cost]
        return max(returns, key=lambda one: one[0], default=None)

    def _address(self, node: str, out: Sequence[Edge]) -> str:
        ends = (out[-1].entry.b, out[-1].entry.a) if out else ()
        return next((end for end in ends if self.wiring.nodes.of.get(end) == node), node)
