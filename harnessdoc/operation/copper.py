"""Wires, grounds, and the parts of boxes: fuses, links, diodes, resistors, relays.

Takes one thing of the harness; puts its elements into a Gathering.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..electric import Contact, Diode, Fuse, Relay, Resistor
from ..model.given import fuse_given, relay_given
from ..model.harness import Ground, Part
from ..network.ways import ASSUMED_METAL
from ..trade.conductors import resistance_mohm_m
from ..trade.tables import factors
from .catalogue import LINK, of_coil, of_part, of_relay_contact, of_suppression, of_wire, part_element, wire_element
from .conductors import LEAST_OHM, Conductor
from .gathering import Gathering
from .wiring import Aside

_UNKNOWN_FUSE_OHM = 0.005


def put_wire(gathering: Gathering, conductor: Conductor) -> None:
    nodes, wire = gathering.nodes, gathering.harness.wires[conductor.wire]
    element, entry = wire_element(wire.id), of_wire(wire)
    circuit = gathering.harness.circuits.get(wire.circuit)
    gathering.catalogue[element] = entry     # of what is left out too: a fuse protects that copper as well
    if wire.from_ in nodes.off or wire.to in nodes.off:
        gathering.leave_out(entry.thing, "airbag circuit")
    elif circuit is not None and circuit.pulsed:
        gathering.leave_out(entry.thing, f"circuit {circuit.id} pulses")
    else:
        gathering.put(Resistor(element, nodes.of[wire.from_], nodes.of[wire.to], conductor.ohm), entry)
        missing = [word for word, value in (("size", conductor.size), ("length", conductor.length_mm)) if value is None]
        if missing:
            taken = {"size": f"{factors()['size-not-known'].value:g} mm²", "length": f"{factors()['length-not-known'].value / 1000:g} m"}
            gathering.typical.append(Aside(entry.thing, "; ".join(f"{word} not known, {taken[word]} taken" for word in missing)))


def put_ground(gathering: Gathering, ground: Ground) -> None:
    gathering.put_on_metal(ground.id, ground.metal)
    if ground.metal is None:
        gathering.typical.append(Aside(ground.id, f"metal not known, {ASSUMED_METAL} taken"))


def put_part(gathering: Gathering, part: Part) -> None:
    of = {name: gathering.nodes.of[f"{part.id}.{name}"] for name in part.terminals}
    if any(f"{part.id}.{name}" in gathering.nodes.off for name in part.terminals):
        gathering.leave_out(f"{part.kind} {part.id}", "airbag circuit")
    elif part.kind == "fuse":
        _put_fuse(gathering, part, of["1"], of["2"])
    elif part.kind == LINK:
        per_m = resistance_mohm_m(part.size).value / 1000 if part.size else factors()["copper-resistivity"].value / factors()["size-not-known"].value / 1000
        gathering.put(Resistor(part_element(part), of["1"], of["2"], max(per_m * factors()["link-length"].value / 1000, LEAST_OHM)), of_part(part))
        size = "" if part.size else f"size not known, {factors()['size-not-known'].value:g} mm² taken; "
        gathering.typical.append(Aside(part.id, f"{size}length {factors()['link-length'].value:g} mm ({factors()['link-length'].origin})"))
    elif part.kind == "diode":
        gathering.put(Diode(part_element(part), of["A"], of["K"]), of_part(part))
        gathering.typical.append(Aside(part.id, "a 1 A silicon rectifier, from memory"))
    elif part.kind == "resistor" and part.value is not None:
        gathering.put(Resistor(part_element(part), of["1"], of["2"], max(part.value.value, LEAST_OHM)), of_part(part))
    elif part.kind == "resistor":
        gathering.leave_out(f"resistor {part.id}", "its resistance is not known")
    else:
        _put_relay(gathering, part, of)


def _put_fuse(gathering: Gathering, part: Part, a: str, b: str) -> None:
    given = fuse_given(part)
    if given is None:
        gathering.put(Resistor(part_element(part), a, b, _UNKNOWN_FUSE_OHM), of_part(part))
        gathering.typical.append(Aside(part.id, f"rating not known, {_UNKNOWN_FUSE_OHM * 1000:g} mohm taken"))
        return
    cold, drop = given
    assert part.rating is not None
    gathering.put(Fuse(part_element(part), a, b, cold.value, part.rating.value, drop.value), of_part(part))
    if cold.typical:
        gathering.typical.append(Aside(part.id, f"{cold.value * 1000:.3g} mohm cold, {drop.value * 1000:.3g} mV at its rating ({cold.origin})"))


def _put_relay(gathering: Gathering, part: Part, of: Mapping[str, str]) -> None:
    given = relay_given(part, gathering.supply_v)
    coil = part_element(part)
    across: Resistor | Diode | None = None
    if given.suppression == "diode":
        across = Diode(f"{coil} diode", of["85"], of["86"])
    elif given.suppression == "resistor" and given.suppression_ohm is not None:
        across = Resistor(f"{coil} resistor", of["86"], of["85"], given.suppression_ohm.value)
    if across is not None:
        gathering.catalogue[across.id] = of_suppression(part, given.suppression)
    far = [name for name in ("87", "87b", "87a") if name in of]
    contacts = tuple(Contact(of["30"], "", of[name], given.break_ohm.value) if name == "87a" else Contact(of["30"], of[name], "", given.make_ohm.value) for name in far)
    gathering.put_relay(Relay(coil, of["86"], of["85"], given.coil_ohm.value, given.pull_in_v.value, given.release_v.value, contacts, across),
                        of_coil(part), (of_relay_contact(part, name) for name in far))
    taken = [("coil", given.coil_ohm, "ohm"), ("pull-in", given.pull_in_v, "V"), ("release", given.release_v, "V")]
    if given.suppression_is_typical and given.suppression_ohm is not None:
        taken.append(("resistor across the coil", given.suppression_ohm, "ohm"))
    words = [f"{name} {value.value:g} {unit}" for name, value, unit in taken if value.typical]
    if words:
        gathering.typical.append(Aside(part.id, f"{', '.join(words)} (of a {given.part}: {given.pull_in_v.origin})"))
