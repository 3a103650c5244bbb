"""What a join takes from the vehicle whose wire it cuts.

Takes: a Source and the wires that are cut, each with the end that stays. Gives: the copper that hangs at the far ends and has
lost its last source or its last ground by the cut, as it was found.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from ..model.harness import OPEN, UNKNOWN, Harness, Kind
from ..network.islands import connect
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
    found = []
    for id, side in cuts.items():
        wire = harness.wires[id]
        far = wire.to if side == "from" else wire.from_
        if far in (UNKNOWN, OPEN):
            continue
        behind = after.islands[after.island_of[far]]
        whole = before.islands[before.island_of[far]]
        for what, gives in (("source", _sources), ("ground", _grounds)):
            gave = tuple(gives(harness, whole))
            if gave and not any(True for _ in gives(harness, behind)):
                found.append(Loss(source.id(id), what, tuple(map(source.id, gave)), tuple(map(source.id, behind))))
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


def _sources(harness: Harness, island: tuple[str, ...]) -> Iterator[str]:
    """Contacts that may feed: of supplies, behind fuses and relays, of switches and outputs."""
    supplies = {address for device in harness.supplies for address in harness.devices[device].between or ()}
    supplies |= {address for device in harness.devices.values() for pairs in device.closes.values() for pair in pairs for address in pair}
    for address in island:
        contact = harness.contacts[address]
        if contact.owner in harness.parts and contact.name in _LOAD_SIDE[harness.parts[contact.owner].kind] or contact.signal.startswith(_GIVES) or address in supplies:
            yield address


def _grounds(harness: Harness, island: tuple[str, ...]) -> Iterator[str]:
    for address in island:
        contact = harness.contacts[address]
        if contact.kind is Kind.GROUND or contact.signal.startswith("ground-"):
            yield address


def _listed(names: tuple[str, ...], most: int = 4) -> str:
    return ", ".join(names[:most]) + (f" and {len(names) - most} more" if len(names) > most else "")
