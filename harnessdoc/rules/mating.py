"""In-line connectors: which two halves meet, and whose circuits meet in them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..model.harness import Connector, Harness
from .circuit_names import one_name

_SAME = 0.3   # pitches or mm: nearer than neighbours, wider than the dust of a drawing
_TURNS = (("from the other side", -1, 1), ("upside down", 1, -1), ("from the other end", -1, -1))


@dataclass(frozen=True, slots=True)
class Mated:
    """Two halves, and the circuits of the wires in them.

    circuits_one, circuits_other: cavity -> circuits, each by one name, of cavities where any is said
    differing: cavities where a circuit that has a cavity in both halves meets another, or nothing where it meets itself nowhere
    unnamed:   wires without a circuit, in cavities that both halves have wired
    """

    one: Connector
    other: Connector
    circuits_one: Mapping[str, frozenset[str]]
    circuits_other: Mapping[str, frozenset[str]]
    differing: tuple[str, ...]
    unnamed: tuple[str, ...]

    def fits(self, new_name: Mapping[str, str]) -> bool:
        """Whether the circuits agree, two of them at least, where the cavities of ``other`` get new names."""
        meeting = [(self.circuits_one[new], circuits) for old, circuits in self.circuits_other.items() if (new := new_name.get(old)) in self.circuits_one]
        return len(meeting) > 1 and all(a & b for a, b in meeting)


def halves(harness: Harness) -> Iterator[tuple[Connector, Connector]]:
    """Each pair of mated halves once, the half that says `mates:` in front; none that mates with itself or a third."""
    seen: set[str] = set()
    for one in harness.connectors.values():
        if one.mates is None or one.mates == one.id or one.id in seen or one.mates in seen:
            continue
        seen |= {one.id, one.mates}
        yield one, harness.connectors[one.mates]


def mate_of(harness: Harness) -> Mapping[str, str]:
    """Half -> the other half, both ways."""
    return {half: mate for one, other in halves(harness) for half, mate in ((one.id, other.id), (other.id, one.id))}


def meetings(harness: Harness) -> tuple[Mated, ...]:
    """Every in-line connector with the circuits that meet in it."""
    pairs = tuple(halves(harness))
    if not pairs:
        return ()
    wired = _wired(harness, {half.id for pair in pairs for half in pair})
    name = one_name(harness)
    return tuple(_meeting(harness, one, other, wired[one.id], wired[other.id], name) for one, other in pairs)


def renumbered(connector: Connector) -> Iterator[tuple[str, Mapping[str, str]]]:
    """(words, cavity -> the name it would have) for each other side or end to count its face from; none without a face."""
    if connector.face is None:
        return
    spots = connector.face.spots
    middle_x, middle_y = ((min(at) + max(at)) / 2 for at in ([spot.x for spot in spots], [spot.y for spot in spots]))
    for words, turn_x, turn_y in _TURNS:
        names = {spot.cavity: name for spot in spots
                 if (name := next((other.cavity for other in spots if abs(other.x - middle_x - turn_x * (spot.x - middle_x)) < _SAME
                                   and abs(other.y - middle_y - turn_y * (spot.y - middle_y)) < _SAME), None))}
        if len(names) == len(spots) and any(old != new for old, new in names.items()):
            yield words, names


def _wired(harness: Harness, mated: set[str]) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Half -> cavity -> wires."""
    found: dict[str, dict[str, tuple[str, ...]]] = {half: {} for half in mated}
    for address, wires in harness.wires_at.items():
        contact = harness.contacts[address]
        if contact.owner in found:
            found[contact.owner][contact.name] = wires
    return found


def _meeting(harness: Harness, one: Connector, other: Connector, wired_one: Mapping[str, tuple[str, ...]], wired_other: Mapping[str, tuple[str, ...]],
             name: Mapping[str, str]) -> Mated:
    def circuits(wired: Mapping[str, tuple[str, ...]]) -> dict[str, frozenset[str]]:
        named = {cavity: frozenset(name[circuit] for wire in wires if (circuit := harness.wires[wire].circuit)) for cavity, wires in wired.items()}
        return {cavity: circuits for cavity, circuits in named.items() if circuits}

    in_one, in_other = circuits(wired_one), circuits(wired_other)
    all_one, all_other = (frozenset().union(*named.values()) for named in (in_one, in_other))
    met = frozenset().union(*(in_one[cavity] & in_other[cavity] for cavity in in_one if cavity in in_other))
    astray = (all_one & all_other) - met

    def differs(cavity: str) -> bool:
        a, b = in_one.get(cavity, frozenset()), in_other.get(cavity, frozenset())
        if a and b:
            return not a & b and bool(a & all_other or b & all_one)
        # The other side has a wire of no known circuit, or none.
        return bool((a | b) & astray) and (cavity not in wired_one or cavity not in wired_other)

    differing = tuple(cavity for cavity in dict.fromkeys((*in_one, *in_other)) if differs(cavity))
    unnamed = tuple(wire for cavity in wired_one if cavity in wired_other for wire in (*wired_one[cavity], *wired_other[cavity]) if not harness.wires[wire].circuit)
    return Mated(one, other, in_one, in_other, differing, unnamed)
