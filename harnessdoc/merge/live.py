"""When the copper of a harness as found is live, by the position of the key alone; without a solve.

Takes a harness and its network; gives for each copper island the positions of the key in which it has the supply.
Followed are wires, fuses, fusible links, the contacts of the key switch, and relays whose coil the key feeds; what a
light switch, a pedal or a control unit closes is not. ``hot`` of a circuit, where it is written, goes before.
An island that is not in the result is not known to be live in any position.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..model.electric_words import KEY_OFF, KEY_POSITIONS
from ..model.harness import Harness, Kind
from ..network.islands import Network
from ..trade.pairing import kinds_of

ALWAYS = frozenset((KEY_OFF, *KEY_POSITIONS))
_WORDS: Mapping[str, frozenset[str]] = {"always": ALWAYS, **{position: frozenset((position,)) for position in KEY_POSITIONS}}
_MOST_ROUNDS = 20


def live_islands(harness: Harness, network: Network) -> dict[int, frozenset[str]]:
    """Island -> positions of the key (``off``, ``accessory``, ``run``, ``start``) in which it is live."""
    grounded = grounded_islands(harness, network)
    stated = {island: positions for island, positions in _stated(harness, network).items() if island not in grounded}
    live = {**dict.fromkeys(_always(harness, network), ALWAYS), **stated}
    steps = tuple(_steps(harness, network))
    coils = tuple(_coils(harness, network))
    for _ in range(_MOST_ROUNDS):
        before = dict(live)
        for from_, to, positions in steps:
            for a, b in ((from_, to), (to, from_)):
                if a in live and b not in stated and b not in grounded:
                    _add(live, b, live[a] & positions)
        for plus, minus, feed, load in coils:
            for a, b in ((plus, minus), (minus, plus)):
                if b in grounded and a in live and feed in live and load not in stated and load not in grounded:
                    _add(live, load, live[a] & live[feed])
        if live == before:
            break
    return live


def grounded_islands(harness: Harness, network: Network) -> frozenset[int]:
    """The islands that are ground: a stud, a case on metal, or battery minus is on them; a sensor ground is none."""
    kinds = frozenset(kinds_of("body grounds"))
    return frozenset(network.island_of[address] for address, contact in harness.contacts.items()
                     if contact.kind is Kind.GROUND or contact.signal in kinds or contact.inside is not None and contact.inside.metal)


def _add(live: dict[int, frozenset[str]], island: int, positions: frozenset[str]) -> None:
    if positions and not positions <= live.get(island, frozenset()):
        live[island] = live.get(island, frozenset()) | positions


def _always(harness: Harness, network: Network) -> Iterator[int]:
    """Islands with the plus of a supply."""
    for id in harness.supplies:
        device = harness.devices[id]
        if device.between and device.between[0] in network.island_of:
            yield network.island_of[device.between[0]]
    constant = frozenset(kinds_of("constant sources"))
    for address, contact in harness.contacts.items():
        if contact.signal in constant:
            yield network.island_of[address]


def _stated(harness: Harness, network: Network) -> dict[int, frozenset[str]]:
    """What ``hot`` of the circuit of its wires says of an island."""
    said: dict[int, frozenset[str]] = {}
    for wire in harness.wires.values():
        circuit = harness.circuits.get(wire.circuit)
        if circuit is None or not circuit.hot:
            continue
        positions = frozenset().union(*(_WORDS.get(word, frozenset()) for word in circuit.hot))
        for end in (wire.from_, wire.to):
            if positions and end in network.island_of:
                _add(said, network.island_of[end], positions)
    return said


def _steps(harness: Harness, network: Network) -> Iterator[tuple[int, int, frozenset[str]]]:
    """(island, island, in which positions of the key they are joined): fuses, links, the key switch."""
    for part in harness.parts.values():
        if part.kind in ("fuse", "fusible link") and f"{part.id}.1" in network.island_of:
            yield network.island_of[f"{part.id}.1"], network.island_of[f"{part.id}.2"], ALWAYS
    key = harness.devices.get(harness.key_switch or "")
    for position, pairs in key.closes.items() if key else ():
        for a, b in pairs:
            if a in network.island_of and b in network.island_of and position in _WORDS:
                yield network.island_of[a], network.island_of[b], _WORDS[position]


def _coils(harness: Harness, network: Network) -> Iterator[tuple[int, int, int, int]]:
    """(86, 85, 30, 87) of each relay that makes, as islands."""
    for part in harness.parts.values():
        ends = [network.island_of.get(f"{part.id}.{name}") for name in ("86", "85", "30", "87")]
        if part.kind == "relay" and None not in ends:
            yield ends[0], ends[1], ends[2], ends[3]  # type: ignore[misc]
