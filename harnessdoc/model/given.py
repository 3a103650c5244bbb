"""The numbers the circuit is solved with: stated where the file states them, else typical and marked so.

Takes: model objects and the nominal voltage. Gives: numbers with their origin. Voltages
that are typical are those of a 12 V system, in other systems in proportion. What can hurt
(a fuse's rating, a wire's size, what a load takes) has no typical value and is None.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..description.units import Quantity, UnitFault, parse_quantity
from ..trade.fuses import fuse_resistance
from ..trade.relay_parts import relay_parts, usual_relay
from ..trade.signals import is_driven, signals
from ..trade.tables import Fact, factors, said
from .electric import Alternator, Battery, Load
from .harness import Contact, Harness, Part

_TYPICAL_FOR_V = 12.0
_DEFAULT_ZONE = "cabin"


@dataclass(frozen=True, slots=True)
class Given:
    """A number, its unit in the name of the field that holds it.

    typical: not stated in the file; it is marked on every output
    origin:  "stated", or where the typical value comes from, in words fit for a sheet
    """

    value: float
    typical: bool
    origin: str


@dataclass(frozen=True, slots=True)
class BatteryGiven:
    emf_v: Given
    ohm: Given


@dataclass(frozen=True, slots=True)
class AlternatorGiven:
    voltage_v: Given
    limit_a: Given | None       # None: no limit is stated
    field_ohm: Given


@dataclass(frozen=True, slots=True)
class RelayGiven:
    """Of a relay; part: the row that typical values are taken from.

    coil_v:          the voltage the coil is made for; None where the coil is stated and no part is named: it may be any
    suppression:     "none", "diode" or "resistor"; its resistance where it is a resistor
    make_a, break_a: ambient in C -> what 30-87 and 30-87a carry for good; one value at any ambient stands under None
    """

    part: str
    coil_v: Given | None
    coil_ohm: Given
    pull_in_v: Given
    release_v: Given
    suppression: str
    suppression_is_typical: bool
    suppression_ohm: Given | None
    make_a: Mapping[float | None, Given]
    break_a: Mapping[float | None, Given]
    inrush_a: Given | None
    breaking_a: Given | None
    make_ohm: Given
    break_ohm: Given


def nominal_v(harness: Harness) -> float:
    """The nominal supply in V; 12 where it cannot be read (then a finding says so)."""
    read = parse_quantity(harness.supply, "voltage")
    return _TYPICAL_FOR_V if isinstance(read, UnitFault) else read.value


def ambient_c(harness: Harness, zone: str | None) -> Given:
    """The ambient temperature of a zone; None: no zone is said."""
    zone = zone or _DEFAULT_ZONE
    # A zone that is none of the words was reported where it stands; the way is solved as in the cabin.
    return _given(harness.zones.get(zone), factors().get(f"ambient-{zone}", factors()[f"ambient-{_DEFAULT_ZONE}"]))


def battery_row(harness: Harness, device: str) -> tuple[str, ...]:
    """The batteries that wires join in series with one, from the lowest up; it alone where there is no other."""
    ends = {id: between for id in harness.supplies if isinstance(harness.devices[id].supply, Battery)
            and (between := harness.devices[id].between) is not None and all(end in harness.contacts for end in between)}
    joined = {frozenset((wire.from_, wire.to)) for wire in harness.wires.values()} if len(ends) > 1 else set()

    def is_above(upper: str, lower: str) -> bool:
        minus, plus = ends[upper][1], ends[lower][0]
        return minus == plus or frozenset((minus, plus)) in joined

    row = [device]
    while device in ends and (above := next((id for id in ends if id not in row and is_above(id, row[-1])), None)):
        row.append(above)
    while device in ends and (below := next((id for id in ends if id not in row and is_above(row[0], id)), None)):
        row.insert(0, below)
    return tuple(row)


def battery_v(harness: Harness, device: str) -> float:
    """The nominal voltage of one battery: that of the supply, shared by those in series."""
    return nominal_v(harness) / len(battery_row(harness, device))


def battery_given(battery: Battery, supply_v: float) -> BatteryGiven:
    """supply_v: the nominal voltage of this battery."""
    return BatteryGiven(_given(battery.emf, factors()["battery-emf"], supply_v), _given(battery.resistance, factors()["battery-resistance"]))


def alternator_given(alternator: Alternator, supply_v: float) -> AlternatorGiven:
    return AlternatorGiven(_given(alternator.voltage, factors()["alternator-voltage"], supply_v), _stated(alternator.limit),
                           _given(alternator.field, factors()["alternator-field"]))


def lamp_cold_ohm(lamp: Load) -> Given | None:
    """The resistance of a lamp that is not lit, from that at its rated point; None where it is not rated."""
    cold = factors()["lamp-cold"]
    return Given(lamp.rating.ohm / cold.value, True, said(cold.origin, cold.mark)) if lamp.rating else None


def solenoid_given(solenoid: Load, supply_v: float) -> tuple[Given, Given]:
    """The voltage by which it has pulled in, and that at which it has let go."""
    return _given(solenoid.pull_in, factors()["solenoid-pull-in"], supply_v), _given(solenoid.release, factors()["solenoid-release"], supply_v)


def on_ohm(contact: Contact) -> Given | None:
    """The resistance of an output while it is on; None where nothing drives the contact from inside."""
    stated = contact.inside.on_resistance if contact.inside else None
    if stated is None and not is_driven(contact.signal):
        return None
    return _given(stated, factors()["output-on"])


def limit_a(contact: Contact) -> Given | None:
    """The most an output may carry; None where it is not stated and its kind of signal has no usual limit."""
    kind = signals().get(contact.signal)
    if contact.limit is not None or kind is None or kind.limit_a is None:
        return _stated(contact.limit)
    return Given(kind.limit_a, True, said(f"{kind.origin}: usual of {kind.kind}", kind.mark))


def fuse_given(fuse: Part) -> tuple[Given, Given] | None:
    """The resistance cold in ohm and the drop at the rating in V; None where the rating is not known."""
    if fuse.rating is None:
        return None
    cold, drop = fuse_resistance(fuse.type, fuse.rating.value)
    return _given(fuse.resistance, cold), _given(fuse.drop, drop)


def relay_given(relay: Part, supply_v: float) -> RelayGiven:
    """Of the part that is named; else of the usual relay of its type; what is stated wins.

    A stated rating holds for both contacts, at any ambient.
    """
    part = relay_parts().get(relay.part) or usual_relay(relay.type, supply_v)
    typical = _typical
    rating: dict[float | None, Given] = {None: _is_stated(relay.rating)} if relay.rating else {}
    suppression = relay.suppression or "resistor"
    return RelayGiven(
        part=part.name, coil_v=typical(part.coil_v) if relay.part or relay.value is None else None, coil_ohm=_given(relay.value, part.coil_ohm),
        pull_in_v=_given(relay.pull_in, part.pull_in_v), release_v=_given(relay.release, part.release_v),
        suppression=suppression, suppression_is_typical=relay.suppression is None, suppression_ohm=typical(part.suppression_ohm) if suppression == "resistor" else None,
        make_a=rating or {at_c: typical(fact) for at_c, fact in part.make_a.items()},
        break_a=rating or {at_c: typical(fact) for at_c, fact in part.break_a.items()},
        inrush_a=typical(part.inrush_a) if part.inrush_a else None, breaking_a=typical(part.breaking_a) if part.breaking_a else None,
        make_ohm=typical(part.make_ohm), break_ohm=typical(part.break_ohm or part.make_ohm),
    )


def _given(stated: Quantity | None, fact: Fact, supply_v: float = _TYPICAL_FOR_V) -> Given:
    """What is stated, else the fact, in proportion to the supply it is used in."""
    return _is_stated(stated) if stated else Given(round(fact.value * supply_v / _TYPICAL_FOR_V, 9), True, said(fact.origin, fact.mark))


def _is_stated(quantity: Quantity) -> Given:
    return Given(quantity.value, False, "stated")


def _stated(quantity: Quantity | None) -> Given | None:
    return _is_stated(quantity) if quantity else None


def _typical(fact: Fact) -> Given:
    return Given(fact.value, True, said(fact.origin, fact.mark))
