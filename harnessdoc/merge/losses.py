"""What a join takes from the vehicle whose wire it cuts.

Takes: a Source and the wires that are cut, each with the end that stays. Gives: the copper that hangs at the far ends and has
lost its last source or its last ground by the cut, as it was found.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ..model.harness import OPEN, UNKNOWN, Harness, Kind
from ..network.islands import Network, connect
from .plan import Merge, Source

_GIVES = ("source-", "output-")
_LOAD_SIDE = {"fuse": ("2",), "fusible link": ("2",), "relay": ("87", "87a", "87b"), "diode": ("K",), "resistor": ()}
"""Terminals of parts from which a circuit is fed: 1 of a fuse is its supply, 2 its load."""


@dataclass(frozen=True, slots=True)
class Loss:
    """Copper behind a cut that has lost what fed or grounded it.

    wire: that is cut, by its id in the merge; what: "source" or "ground"; gave: the last contacts that gave it
    left: contacts of the copper that lies behind the cut, as the merge names them
    """

    wire: str
    what: str
    gave: tuple[str, ...]
    left: tuple[str, ...]

    @property
    def words(self) -> str:
        return f"by the cut of {self.wire}, {_listed(self.left)} {'loses its' if len(self.left) == 1 else 'lose their'} last {self.what} ({_listed(self.gave)})"


def losses(source: Source, cuts: Mapping[str, str]) -> tuple[Loss, ...]:
    """cuts: wire of the source, by its own id -> the end that stays, "from" or "to"."""
    harness = source.harness
    before = connect(harness)
    after_harness = replace(harness, wires={id: wire for id, wire in harness.wires.items() if id not in cuts})
    after = connect(after_harness)
    fed_before, fed_after = _fed(harness, before), _fed(harness, after)
    found = []
    for id, side in cuts.items():
        wire = harness.wires[id]
        far = wire.to if side == "from" else wire.from_
        if far in (UNKNOWN, OPEN):
            continue
        behind = after.islands[after.island_of[far]]
        whole = before.islands[before.island_of[far]]
        lost = []
        if before.island_of[far] in fed_before and after.island_of[far] not in fed_after:
            lost.append(("source", [address for address in whole if address not in behind and (_is_source(harness, address) or _is_switched(harness, before, fed_before, address))]))
        if any(_is_ground(harness, address) for address in whole) and not any(_is_ground(harness, address) for address in behind):
            lost.append(("ground", [address for address in whole if _is_ground(harness, address)]))
        found += [Loss(source.id(id), what, tuple(map(source.id, gave)), tuple(map(source.id, behind))) for what, gave in lost]
    return tuple(found)


def losses_of(merge: Merge) -> dict[str, tuple[Loss, ...]]:
    """Join -> what it takes; joins that take nothing are not in it."""
    found = {}
    for join in merge.joins.values():
        lost: list[Loss] = []
        for source in merge.sources.values():
            cuts = {end.wire.partition("/")[2]: _side(source, end.wire.partition("/")[2], end.address.partition("/")[2])
                    for end in join.ends if end.source == source.name and end.wire and end.cut}
            lost += losses(source, cuts) if cuts else ()
        if lost:
            found[join.id] = tuple(lost)
    return found


def _side(source: Source, wire: str, address: str) -> str:
    return "from" if source.harness.wires[wire].from_ == address else "to"


def _fed(harness: Harness, network: Network) -> set[int]:
    """The islands that something feeds: a source in them, or a switch whose other side is fed."""
    fed = {network.island_of[address] for address in network.island_of if _is_source(harness, address)}
    pairs = [(network.island_of[a], network.island_of[b]) for a, b in _switched(harness) if a in network.island_of and b in network.island_of]
    grows = True
    while grows:
        more = {island for a, b in pairs if (a in fed) is not (b in fed) for island in (a, b)} - fed
        fed |= more
        grows = bool(more)
    return fed


def _switched(harness: Harness) -> Iterator[tuple[str, str]]:
    for device in harness.devices.values():
        for pairs in device.closes.values():
            yield from pairs


def _is_switched(harness: Harness, network: Network, fed: set[int], address: str) -> bool:
    """Whether a switch brings it from a fed island."""
    return any(address in pair and any(network.island_of.get(other, -1) in fed for other in pair if other != address) for pair in _switched(harness))


def _is_source(harness: Harness, address: str) -> bool:
    """Whether a contact feeds by itself: of supplies, behind fuses and relays, and outputs."""
    contact = harness.contacts[address]
    if contact.owner in harness.parts:
        return contact.name in _LOAD_SIDE[harness.parts[contact.owner].kind]
    return contact.signal.startswith(_GIVES) and not any(address in pair for pair in _switched(harness)) or any(address in (harness.devices[id].between or ()) for id in harness.supplies)


def _is_ground(harness: Harness, address: str) -> bool:
    contact = harness.contacts[address]
    return contact.kind is Kind.GROUND or contact.signal.startswith("ground-")


def _listed(names: tuple[str, ...], most: int = 4) -> str:
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")
