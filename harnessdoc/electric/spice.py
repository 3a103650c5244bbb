"""A circuit as a SPICE netlist: the laws, not the results, so that anyone can check us with a simulator.

Lamps, fuses and supplies are behavioural current sources with the formulas of
``elements``; diodes are models; relays stand in the state we found, their coils as
resistors whose voltages tell whether the simulator agrees. Nothing is added: no shunt
to ground. Elements that nothing ties to the reference are left out and named.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping

from .circuit import Circuit, RelayStates
from .elements import (
    BACK_A, JUNCTION_LEAK_S, LAMP_EXPONENT, LIMIT_SOFTNESS, Battery, Diode, Element, Fuse, Lamp, PullUp, Resistor, Supply,
)
from .solve import tied


def spice(circuit: Circuit, relay_states: RelayStates, title: str, start: Mapping[str, float] | None = None) -> str:
    """The netlist of ``circuit`` with its relays in ``relay_states``: one operating point (``.op``).

    start: voltages of the solution. A simulator that begins at 0 V does not find where two supplies that take
           nothing back hold each other; told to begin near the voltages of their terminals it does. They change no result.
    """
    elements = circuit.elements_in(relay_states)
    number, floating = tied(elements, circuit.reference)
    # An element between a point and itself moves nothing, and a simulator may refuse it.
    live = [element for element in elements if element.a in number and element.a != element.b]
    nodes = node_names(circuit, relay_states)
    names = _names("", (element.id for element in live))
    models: dict[tuple[float, float, float], str] = {}
    body = [line for element in live for line in _lines(element, names[element.id], nodes, models)]
    lines = [
        _one_line(title) or "circuit",
        "* Laws of the elements, not results. Diodes at 27 C. Relays in the state found:",
        *(f"*   relay {json.dumps(relay.id)} {'pulled in' if relay_states.get(relay.id, False) else 'dropped out'}"
          for relay in circuit.relays),
        f"* Node 0 is {json.dumps(circuit.reference)}. The other nodes:",
        *(f"*   {nodes[node]} = {json.dumps(node)}" for node in number if node != circuit.reference),
        "* Elements (the first letter of a line is its kind):",
        *(f"*   {names[element.id]} = {json.dumps(element.id)}" for element in live),
        *(f"* Left out, as nothing ties it to node 0: node {json.dumps(node)}" for node in floating),
        *(f"* Left out with it: element {json.dumps(element.id)}" for element in elements if element.a not in number),
        *body,
        *(f".model {model} d(is={is_a!r} n={n!r} rs={ohm!r})" for (is_a, n, ohm), model in models.items()),
        *(_starts(live, nodes, start) if start else ()),
        f".options reltol=1e-9 abstol=1e-12 vntol=1e-9 gmin={JUNCTION_LEAK_S!r} itl1=1000 temp=27 tnom=27",
        ".op",
        ".end",
    ]
    return "\n".join(lines) + "\n"


def node_names(circuit: Circuit, relay_states: RelayStates) -> dict[str, str]:
    """Node -> its name in the netlist, for every node that is in it."""
    number, _ = tied(circuit.elements_in(relay_states), circuit.reference)
    return {circuit.reference: "0", **_names("n_", (node for node in number if node != circuit.reference))}


def _starts(live: Iterable[Element], nodes: Mapping[str, str], start: Mapping[str, float]) -> list[str]:
    """Where the terminals of one-way supplies begin, to the millivolt."""
    terminals = dict.fromkeys(node for element in live if isinstance(element, Supply) for node in (element.a, element.b))
    return [f".nodeset v({nodes[node]})={start[node]:.3f}" for node in terminals if nodes[node] != "0"]


def _names(prefix: str, ids: Iterable[str]) -> dict[str, str]:
    """Id -> a name that a simulator takes: lower-case letters, digits, ``_``; no two alike."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for id in ids:
        stem = prefix + "".join(letter if letter.isascii() and letter.isalnum() else "_" for letter in id).lower()
        name, copy = stem, 1
        while name in taken:
            copy += 1
            name = f"{stem}_{copy}"
        taken.add(name)
        names[id] = name
    return names


def _one_line(title: str) -> str:
    return " ".join("".join(letter if " " <= letter <= "~" else " " for letter in title).split())


def _lines(element: Element, name: str, nodes: Mapping[str, str], models: dict[tuple[float, float, float], str]) -> list[str]:
    a, b = nodes[element.a], nodes[element.b]
    if isinstance(element, Resistor):
        return [f"r{name} {a} {b} {element.ohm!r}"]
    if isinstance(element, (Battery, PullUp)):
        volts = element.emf_v if isinstance(element, Battery) else element.volts
        inside = f"i_{name}"
        return [f"v{name} {inside} {b} dc {volts!r}", f"r{name} {a} {inside} {element.ohm!r}"]
    if isinstance(element, Diode):
        model = models.setdefault((element.is_a, element.n, element.ohm), f"diode{len(models) + 1}")
        return [f"d{name} {a} {b} {model}"]
    return [f"b{name} {a} {b} i = {_formula(element, f'v({a},{b})' if b != '0' else f'v({a})' if a != '0' else f'(-v({b}))')}"]


def _formula(element: Lamp | Fuse | Supply, v: str) -> str:
    """The law as the simulator reads it; ``v`` is the voltage in its words."""
    if isinstance(element, Lamp):
        fall = 1.0 - LAMP_EXPONENT
        cold_square = element.hot_to_cold ** (-2.0 / fall)
        return (f"{element.watts / element.volts**2!r} * {v} * "
                f"exp({-fall / 2!r} * ln({v} * {v} / {element.volts**2!r} + {cold_square!r}))")
    if isinstance(element, Fuse):
        rise = 2.0 * (element.drop_v / element.rating_a - element.cold_ohm)
        return f"{v} / ({element.cold_ohm!r} + {rise!r} * {v} * {v} / ({element.drop_v**2!r} + {v} * {v}))"
    asked = f"({element.volts!r} - {v}) / {element.ohm!r}"
    limit, bend = element.limit_a, (LIMIT_SOFTNESS * element.limit_a) ** 2
    given = f"(0.5 * ({asked} - sqrt(({asked} - {limit!r}) * ({asked} - {limit!r}) + {bend!r}) + {math.sqrt(limit * limit + bend)!r}))"
    return f"{given} > 0 ? -{given} : -{given} / (1 - {given} / {BACK_A!r})"
