"""Values no circuit can have: refused before anything is solved.

Takes a circuit with its relays; gives faults that name the element and the value.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from .circuit import Circuit, Fault
from .elements import LEAST_OHM, MOST_OHM, Battery, Diode, Element, Fuse, Lamp, PullUp, Resistor, Supply


def value_faults(circuit: Circuit, elements: Iterable[Element]) -> tuple[Fault, ...]:
    """Faults of ``elements`` (the circuit's, its relays in some state) and of the relays themselves."""
    elements = tuple(elements)
    return (*_twice(elements), *_of_elements(elements), *_of_relays(circuit), *_parallel_sources(elements))


def _twice(elements: tuple[Element, ...]) -> Iterator[Fault]:
    seen: set[str] = set()
    for element in elements:
        if element.id in seen:
            yield Fault("id-twice", f"two elements are called {element.id}", (element.id,))
        seen.add(element.id)


def _of_elements(elements: tuple[Element, ...]) -> Iterator[Fault]:
    for element in elements:
        # The common case, thousands of times: a resistor in order.
        if isinstance(element, Resistor) and LEAST_OHM <= element.ohm <= MOST_OHM:
            continue
        for words in _wrong(element):
            yield Fault("bad-value", f"{element.id}: {words}", (element.id,))
        if isinstance(element, (Battery, Supply)) and element.a == element.b:
            yield Fault("shorted-source", f"{element.id}: both terminals are one point", (element.id,))


def _wrong(element: Element) -> Iterator[str]:
    if isinstance(element, Fuse):
        yield from _resistance("cold resistance", element.cold_ohm)
        yield from _positive("rating", element.rating_a, "A")
        yield from _positive("drop at rating", element.drop_v, "V")
        if element.rating_a > 0 and element.cold_ohm > 0:
            at_rating = element.drop_v / element.rating_a
            # Above five times the cold resistance the law of Fuse would no longer rise.
            if not element.cold_ohm <= at_rating < 4 * element.cold_ohm:
                yield (f"{element.drop_v:g} V at {element.rating_a:g} A is {at_rating:g} ohm, "
                       f"not between the cold {element.cold_ohm:g} ohm and four times it")
    elif isinstance(element, Lamp):
        yield from _positive("power", element.watts, "W")
        yield from _positive("voltage", element.volts, "V")
        if not 1 <= element.hot_to_cold <= 100:
            yield f"hot over cold resistance {element.hot_to_cold:g} is not between 1 and 100"
        if element.watts > 0 and element.volts > 0:
            yield from _resistance("cold resistance", element.volts**2 / element.watts / max(element.hot_to_cold, 1))
    else:
        yield from _resistance("resistance", element.ohm)
        if isinstance(element, Diode):
            if not 1e-16 <= element.is_a <= 1e-3:
                yield f"saturation current {element.is_a:g} A is not between 1e-16 and 1e-3 A"
            if not 0.5 <= element.n <= 10:
                yield f"emission coefficient {element.n:g} is not between 0.5 and 10"
        if isinstance(element, Supply):
            yield from _positive("current limit", element.limit_a, "A")
        volts = element.emf_v if isinstance(element, Battery) else element.volts if isinstance(element, (PullUp, Supply)) else 0.0
        if not abs(volts) <= 60:
            yield f"{volts:g} V is not within 60 V"


def _resistance(what: str, ohm: float) -> Iterator[str]:
    if not LEAST_OHM <= ohm <= MOST_OHM:
        yield f"{what} {ohm:g} ohm is not between {LEAST_OHM:g} and {MOST_OHM:g} ohm"


def _positive(what: str, value: float, unit: str) -> Iterator[str]:
    if not (value > 0 and math.isfinite(value)):
        yield f"{what} {value:g} {unit} is not above zero"


def _of_relays(circuit: Circuit) -> Iterator[Fault]:
    for relay in circuit.relays:
        if not 0 < relay.release_v < relay.pull_in_v:
            yield Fault("bad-value", f"{relay.id}: pulls in at {relay.pull_in_v:g} V and releases at {relay.release_v:g} V; "
                        "release must lie above 0 and below pull-in", (relay.id,))


def _parallel_sources(elements: tuple[Element, ...]) -> Iterator[Fault]:
    """Sources without resistance between the same two nodes: no current would be right."""
    first: dict[frozenset[str], Battery | Supply] = {}
    for element in elements:
        if isinstance(element, (Battery, Supply)) and element.ohm <= 0:
            other = first.setdefault(frozenset((element.a, element.b)), element)
            if other is not element:
                yield Fault("sources-in-parallel", f"{other.id} and {element.id} lie in parallel and neither has a resistance",
                            (other.id, element.id))
