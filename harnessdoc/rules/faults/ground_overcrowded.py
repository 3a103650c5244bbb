"""A ground stud with too many eyelets, on hinged metal, or with a heavy load beside a signal ground.

What it checks: that no ground holds more than two eyelets; that none sits on metal that hangs on hinges; that no ground of
control circuits (`signal: ground-signal`) shares its stud with another device that takes more than 5 A.

Why it matters: in a stack of eyelets each one hangs on the paint and rust of the next, and one loose nut takes all of them
at once. A hinge is no conductor. What a fan drops across the stud is added to every signal that is grounded there.

Example that fails:

    connectors:
      X1: {face: [[1..3]], view: mating face}
    grounds:
      GB1: {title: inner wing, metal: body}  # here
    wires:
      1: {from: X1.1, to: GB1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}
      2: {from: X1.2, to: GB1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}
      3: {from: X1.3, to: GB1, size: 1 mm2, colour: BN, type: XLPE 125 C}

What it says:

    ground GB1 holds 3 eyelets (wires 1, 2 and 3), where 2 are the most for one stud

The fix: A second stud on the same metal for those above; or a splice that gathers small ones into one wire.

Example that passes:

    connectors:
      X1: {face: [[1..3]], view: mating face}
    grounds:
      GB1: {title: inner wing, metal: body}
      GB2: {title: inner wing, metal: body}
    wires:
      1: {from: X1.1, to: GB1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}
      2: {from: X1.2, to: GB1, size: 2.5 mm2, colour: BN, type: XLPE 125 C}
      3: {from: X1.3, to: GB2, size: 1 mm2, colour: BN, type: XLPE 125 C}

Limits and source: at most two eyelets a screw, none over hinges of doors and tailgate: a van maker's wiring book. A truck maker allows 3,
boats 4 (ABYC, 11.14.6): with them set `eyelets`. 5 A is a design choice. Each wire is taken for one eyelet. The ground of a
sensor that is joined to the body is another fault (sensor-ground-on-body).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...network.islands import other_end
from ..joined import device_of
from ..options import Option
from ..spare_names import next_name

if TYPE_CHECKING:
    from ...description.ratings import Rating
    from ...model.harness import Contact, Ground, Harness
    from ..subject import Subject

CODE = "ground-overcrowded"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (41,)
EYELETS = Option(CODE, "eyelets", "count", "2", "the most eyelets on one stud", "a van maker's wiring book")
HEAVY = Option(CODE, "heavy", "current", "5 A", "what a load takes that must not share the stud of a signal ground", "design choice")
OPTIONS = (EYELETS, HEAVY)


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    rated = _rated(harness) if harness.grounds else {}
    for ground in harness.grounds.values():
        wires = harness.wires_at.get(ground.id, ())
        if len(wires) > subject.value(EYELETS).value:
            yield _crowded(subject, ground, wires)
        if ground.hinged and wires:
            yield _hinged(ground, wires)
        if len(wires) > 1:
            yield from _mixed(subject, ground, wires, rated)


def _crowded(subject: Subject, ground: Ground, wires: tuple[str, ...]) -> Finding:
    from ...operation.words import listed

    harness, most = subject.harness, int(subject.value(EYELETS).value)
    by_size = sorted(wires, key=lambda wire: -(size.area_mm2 if (size := harness.wires[wire].size) else 0.0))
    moved = [wire for wire in wires if wire in by_size[most:]]
    other = next((id for id, one in harness.grounds.items() if id != ground.id and one.metal == ground.metal and one.place == ground.place and not one.hinged
                  and len(harness.wires_at.get(id, ())) + len(moved) <= most), None)
    stud = f"to ground {other}" if other else f"to a stud of {'its' if len(moved) == 1 else 'their'} own, {_spare(subject, ground)}, on the same metal"
    gather = "" if len(moved) == 1 else "; or gather them in a splice and lead one wire to the stud"
    return Finding(CODE, SEVERITY, f"ground {ground.id} holds {len(wires)} eyelets (wires {listed(wires)}), where {most} are the most for one stud", ground.source.place(),
                   f"lead {listed([f'wire {wire}' for wire in moved])} {stud}{gather}", at=(ground.id, *(f"wire {wire}" for wire in wires)),
                   value=f"{len(wires)} eyelets", limit=f"{most} eyelets", origin=EYELETS.origin)


def _spare(subject: Subject, ground: Ground) -> str:
    harness = subject.harness
    return next_name(ground.id, {*harness.splices, *harness.connectors, *harness.devices, *harness.parts, *harness.boxes, *harness.grounds})


def _hinged(ground: Ground, wires: tuple[str, ...]) -> Finding:
    from ...operation.words import listed

    return Finding(CODE, SEVERITY, f"ground {ground.id} sits on metal that hangs on hinges, which conduct badly and then not at all ({'wire' if len(wires) == 1 else 'wires'} {listed(wires)})",
                   ground.source.place_of("hinged"), f"lead {listed([f'wire {wire}' for wire in wires])} past the hinge to a stud on the body",
                   at=(ground.id, *(f"wire {wire}" for wire in wires)), value="hinged", limit="metal that is welded or bolted", origin=EYELETS.origin)


def _mixed(subject: Subject, ground: Ground, wires: tuple[str, ...], rated: Mapping[str, list[tuple[str, float]]]) -> Iterator[Finding]:
    """A signal ground of one device and a heavy load of another on one stud."""
    from ...operation.words import amps_shown

    harness = subject.harness
    if not any(harness.contacts[address].signal == "ground-signal" for address in subject.members(subject.network.island_of[ground.id])):
        return
    behind = {wire: _behind(subject, ground.id, wire) for wire in wires}
    quiet = {wire: pin for wire, pins in behind.items() for pin in pins if pin.signal == "ground-signal"}
    if not quiet:
        return
    own = {device_of(harness, pin) for pin in quiet.values()}
    loads = [(amps, wire) for wire, pins in behind.items() if wire not in quiet and not own & {device_of(harness, pin) for pin in pins} - {""}
             if (amps := _amps(subject, wire, pins, rated)) > subject.value(HEAVY).value]
    if loads:
        amps, heavy = max(loads, key=lambda one: one[0])
        signal, pin = next(iter(quiet.items()))
        yield Finding(CODE, SEVERITY, f"ground {ground.id} takes the signal ground of {pin.address} (wire {signal}) and a load of {amps_shown(amps)} (wire {heavy}) on one stud",
                      ground.source.place(), f"lead wire {signal} to a stud of its own, {_spare(subject, ground)}, or to the ground its device uses for power",
                      at=(ground.id, f"wire {signal}", f"wire {heavy}", pin.address), value=amps_shown(amps), limit=f"{subject.value(HEAVY).value:g} A", origin=HEAVY.origin)


def _behind(subject: Subject, ground: str, wire: str) -> list[Contact]:
    """The contacts that a wire of a stud leads to, not through the stud."""
    harness, ways = subject.harness, subject.ways
    end, stud = other_end(harness.wires[wire], ground), ways.point(ground)
    if end not in harness.contacts or ways.point(end) == stud:
        return []
    reached = ways.reach([end], lambda way, point: way.kind == "wire" and stud not in (ways.point(way.a), ways.point(way.b)))
    return [harness.contacts[address] for address in subject.members(subject.network.island_of[ground]) if ways.point(address) in reached]


def _amps(subject: Subject, wire: str, pins: list[Contact], rated: Mapping[str, list[tuple[str, float]]]) -> float:
    """What a wire to a stud carries: solved, else what its pins are said to draw or the loads at them take."""
    if subject.operation is not None:
        from ...judgement.wires import peaks
        from ...operation.catalogue import wire_element

        for_good, _ = peaks(subject.operation, wire_element(wire))
        if for_good is not None:
            return for_good.current_a
    amps = sum(pin.draws.value for pin in pins if pin.draws is not None)
    at_pins = dict.fromkeys(load for pin in pins for load in rated.get(pin.address, ()))
    return amps + sum(taken for _, taken in at_pins)


def _rated(harness: Harness) -> dict[str, list[tuple[str, float]]]:
    """Address -> (what it is, A) of each load that has an end there, at the voltage it is rated for, else the supply."""
    from ...model.given import nominal_v

    found: dict[str, list[tuple[str, float]]] = {}
    volts = nominal_v(harness)
    for id, device in harness.devices.items():
        for name, between, load in (("", device.between, device.load), *((name, named.between, named.load) for name, named in device.loads.items())):
            if load is not None and load.rating is not None and between is not None:
                for end in between:
                    found.setdefault(end, []).append((f"{id} {name}", _rated_a(load.rating, volts)))
    return found


def _rated_a(rating: Rating, volts: float) -> float:
    return (rating.at.value if rating.at else volts) / rating.ohm
