"""What must ring on the bench, and what must not.

Takes a harness; gives the rows of the check sheet. The harness is measured
unplugged: a path ends at an in-line cavity, links inside devices are not there,
fuses and relays are out. Every wanted path stands once: from the first end of an
island to each other end. Contacts on an island with an airbag contact get no line:
no meter is put on them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from ..model.harness import Harness, Kind
from ..trade.signals import signals
from .islands import Network, connect, other_end
from .neighbours import cavities_of, neighbours


@dataclass(frozen=True, slots=True)
class PathCheck:
    """A path that must ring; ``through``: ids of the wires, and addresses of the splices, bars and contacts between them, in order."""

    from_: str
    to: str
    through: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NeighbourCheck:
    """Neighbouring cavities of ``connector``, both wired, that must not ring; pairs of addresses."""

    connector: str
    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CheckList:
    """``left_out``: wired contacts on airbag islands."""

    paths: tuple[PathCheck, ...]
    neighbours: tuple[NeighbourCheck, ...]
    left_out: tuple[str, ...]


def check_list(harness: Harness) -> CheckList:
    """The rows of the check sheet."""
    network = connect(harness, unplugged=True)
    on_bars = _on_bars(network)
    kept_off = airbag_contacts(harness)
    paths = tuple(path for island in network.islands if len(island) > 1 and kept_off.isdisjoint(island)
                  for path in _paths(harness, on_bars, island))
    return CheckList(
        paths,
        tuple(check for check in _neighbour_checks(harness, network, kept_off) if check.pairs),
        tuple(address for address in harness.contacts if address in kept_off and harness.wires_at.get(address)),
    )


def airbag_signalled(harness: Harness) -> tuple[str, ...]:
    """The contacts whose own signal is one of an airbag circuit."""
    kinds = {kind for kind, signal in signals().items() if signal.caution == "airbag"}
    return tuple(address for address, contact in harness.contacts.items() if contact.signal in kinds)


def airbag_contacts(harness: Harness, also: Iterable[str] = ()) -> set[str]:
    """All contacts of the islands that hold an airbag contact, everything plugged together.

    also: addresses of which it is known from elsewhere
    """
    airbag = [*airbag_signalled(harness), *(address for address in also if address in harness.contacts)]
    if not airbag:
        return set()
    network = connect(harness)
    islands = {network.island_of[address] for address in airbag}
    return {address for island in islands for address in network.islands[island]}


def _on_bars(network: Network) -> dict[str, list[str]]:
    """Address -> what the copper of a bar joins it to, both ways; unplugged, bars are the only joints."""
    on_bars: dict[str, list[str]] = {}
    for joint in network.joints:
        on_bars.setdefault(joint.a, []).append(joint.b)
        on_bars.setdefault(joint.b, []).append(joint.a)
    return on_bars


def _paths(harness: Harness, on_bars: dict[str, list[str]], island: tuple[str, ...]) -> Iterator[PathCheck]:
    ends = [address for address in island if _is_end(harness, address)]
    if len(ends) < 2:
        return
    ways = _ways(harness, on_bars, ends[0])
    for end in ends[1:]:
        yield PathCheck(ends[0], end, ways[end])


def _is_end(harness: Harness, address: str) -> bool:
    """A contact a probe can be put on: no splice, and no bar that no wire ends at."""
    match harness.contacts[address].kind:
        case Kind.SPLICE:
            return False
        case Kind.BAR:
            return bool(harness.wires_at.get(address))
    return True


def _ways(harness: Harness, on_bars: dict[str, list[str]], start: str) -> dict[str, tuple[str, ...]]:
    """For every contact of the island of ``start``: what lies between, breadth first (fewest wires)."""
    ways: dict[str, tuple[str, ...]] = {start: ()}
    front = [start]
    while front:
        reached = []
        for here in front:
            way = (*ways[here], here) if here != start else ()
            steps = [(other_end(harness.wires[wire], here), (wire,)) for wire in harness.wires_at.get(here, ())]
            for there, by in steps + [(there, ()) for there in on_bars.get(here, ())]:
                if there in harness.contacts and there not in ways:
                    ways[there] = (*way, *by)
                    reached.append(there)
        front = reached
    return ways


def _neighbour_checks(harness: Harness, network: Network, kept_off: set[str]) -> Iterator[NeighbourCheck]:
    cavities = cavities_of(harness)
    for connector in harness.connectors.values():
        pairs = ((f"{connector.id}.{a}", f"{connector.id}.{b}") for a, b in neighbours(connector, cavities[connector.id]))
        yield NeighbourCheck(connector.id, tuple(
            (a, b) for a, b in pairs
            if harness.wires_at.get(a) and harness.wires_at.get(b)
            and a not in kept_off and b not in kept_off
            and network.island_of[a] != network.island_of[b]))
