"""Names of circuits, and the copper along which one holds.

Takes a Subject. A circuit keeps its name from end to end: through splices, double crimps and mated halves, until a
switch, a fuse or another part stands between. At a splice with a join number two names meet, and
there they are one. Studs, bars, grounds and what is joined inside a device are where circuits part.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from ..model.harness import Harness, Kind

if TYPE_CHECKING:
    from ..network.islands import Network


def one_name(harness: Harness) -> Mapping[str, str]:
    """Circuit -> the name it goes by: the first of those that join numbers or one `number:` make one."""
    groups = _Groups(harness.circuits)
    by_number: dict[str, str] = {}
    for circuit in harness.circuits.values():
        if circuit.number:
            groups.join(by_number.setdefault(circuit.number, circuit.id), circuit.id)
    for splice in harness.splices.values():
        if splice.join:
            names = [circuit for wire in harness.wires_at.get(splice.id, ()) if (circuit := harness.wires[wire].circuit)]
            for name in names[1:]:
                groups.join(names[0], name)
    return {name: groups.top(name) for name in harness.circuits}


def lengths_of_copper(harness: Harness, network: Network, apart: Iterable[str] = ()) -> Iterator[tuple[str, ...]]:
    """The wires of each length of copper along which a circuit keeps its name, in the order of the description.

    apart: contacts at which no wire goes on in another: cavities whose mates were found to differ
    """
    shut = set(apart)
    groups = _Groups(harness.wires)
    for address, wires in harness.wires_at.items():
        if _goes_on(harness, address):
            for wire in wires[1:]:
                groups.join(wires[0], wire)
    for joint in network.joints:
        if joint.kind == "mated" and joint.a not in shut and joint.b not in shut:
            meeting = (*harness.wires_at.get(joint.a, ()), *harness.wires_at.get(joint.b, ()))
            for wire in meeting[1:]:
                groups.join(meeting[0], wire)
    found: dict[str, list[str]] = {}
    for wire in harness.wires:
        found.setdefault(groups.top(wire), []).append(wire)
    yield from map(tuple, found.values())


def _goes_on(harness: Harness, address: str) -> bool:
    kind = harness.contacts[address].kind
    return kind in (Kind.CAVITY, Kind.SOCKET) or (kind is Kind.SPLICE and not harness.splices[address].join)


class _Groups:
    """Names that were joined; the earliest stands for all."""

    def __init__(self, names: Iterable[str]) -> None:
        self._number = {name: position for position, name in enumerate(names)}
        self._above = {name: name for name in self._number}

    def top(self, name: str) -> str:
        while self._above[name] != name:
            self._above[name] = self._above[self._above[name]]
            name = self._above[name]
        return name

    def join(self, one: str, other: str) -> None:
        first, second = sorted((self.top(one), self.top(other)), key=self._number.__getitem__)
        self._above[second] = first
