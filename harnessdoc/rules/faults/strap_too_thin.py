"""A ground strap that is thinner than the cable of the starter whose current it carries.

What it checks: the way from the metal that the starter sits on, or from its ground terminal, to battery minus, over straps and metals: its
thinnest strap against the thinnest wire from battery plus to the starter.

Why it matters: what goes to the starter comes back. A thin strap gets hot while cranking and takes away the volts; the current then looks for
another way: through throttle cable, shifter cable and the grounds of control units.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M1: {title: starter, terminals: [30, case]}
    cavities:
      M1.30: {signal: starter-motor}
      M1.case: {signal: ground-case, metal: engine}
    grounds:
      GE1: {metal: engine}
    wires:
      1: {from: G1.+, to: M1.30, size: 25 mm2, colour: RD, type: TXL, length: 1 m}
      2: {from: GE1, to: G1.-, size: 10 mm2, colour: BK, type: TXL, length: 500 mm}  # here

What it says:

    wire 2 of 10 mm² is all that brings the starter's current back to battery minus, and its cable (wire 1) is 25 mm²

The fix: A strap as thick as the cable of the starter.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M1: {title: starter, terminals: [30, case]}
    cavities:
      M1.30: {signal: starter-motor}
      M1.case: {signal: ground-case, metal: engine}
    grounds:
      GE1: {metal: engine}
    wires:
      1: {from: G1.+, to: M1.30, size: 25 mm2, colour: RD, type: TXL, length: 1 m}
      2: {from: GE1, to: G1.-, size: 25 mm2, colour: BK, type: TXL, length: 500 mm}

Limits and source: common practice. Straps side by side between the same two points count together; other ways round do not. A strap that is
not there at all is told by `strap-missing`. The starter is known by `signal: starter-motor`, or by a motor that a solenoid of its own
joins.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from heapq import heappop, heappush
from math import fsum, inf
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.electric_words import METALS

from ..lack import Lack
from ..options import Option
from ..pins import pins_by_device

if TYPE_CHECKING:
    from ...model.harness import Device, Wire
    from ...network.ways import Way
    from ..subject import Subject

CODE = "strap-too-thin"
SEVERITY = Severity.DAMAGE
ASKS = "copper"
MODES = (18,)
SAME = Option(CODE, "same", "share", "80 %", "the share of the cable's copper from which a strap counts as as thick, as 25 mm2 and 4 AWG do", "common practice")
OPTIONS = (SAME,)
_FEEDS = ("wire", "fuse", "fusible link", "switch", "relay")
_RETURNS = ("wire", "metal", "switch")


def check(subject: Subject) -> Iterator[Finding | Lack]:
    ways = subject.ways
    same = subject.value(SAME).value / 100
    minus = _minus(subject)
    for device, main, back in _starters(subject):
        feed = _widest(subject, ways.plus, ways.point(main), _FEEDS)
        straps = _widest(subject, minus, ways.point(back), _RETURNS)
        unknown = [wire for group in (*feed, *straps) for wire in group if wire.size is None]
        if unknown:
            yield from (Lack(CODE, f"wire {wire.id}", "`size:` to each battery cable and strap") for wire in unknown)
            continue
        if not feed or not straps:
            continue
        cable, thin = min(feed, key=_copper), min(straps, key=_copper)
        yield from _bodies(subject, cable[0], {wire.id for group in straps for wire in group}, same)
        if _copper(thin) >= same * _copper(cable):
            continue
        first, cable = thin[0], cable[0]
        sizes = " and ".join(f"wire {wire.id} of {wire.size}" for wire in thin)
        yield Finding(CODE, SEVERITY, f"{sizes} {'is' if len(thin) == 1 else 'are'} all that brings the starter's current back to battery minus, and its cable (wire {cable.id}) is {cable.size}",
                      first.source.place_of("size"), f"a strap of {cable.size.stated if cable.size else ''} for wire {first.id}, or one beside it",
                      (Related(cable.source.place(), f"the cable of {f'{device.title} {device.id}'.strip()}"),),
                      at=(*(f"wire {wire.id}" for wire in thin), device.id, f"wire {cable.id}"), value=str(first.size), limit=str(cable.size), origin="common practice")


def _bodies(subject: Subject, cable: Wire, on_the_way: Collection[str], same: float) -> Iterator[Finding]:
    """The straps of metals that the starter's current does not pass as built: it looks for them when another strap is lost."""
    harness, ways = subject.harness, subject.ways
    for metal in METALS:
        grounds = [id for id, ground in harness.grounds.items() if ground.metal == metal]
        if not grounds or f"{metal} metal" not in ways.at or cable.size is None:
            continue
        straps = _widest(subject, _minus(subject), f"{metal} metal", _RETURNS)
        if not straps or any(wire.size is None for group in straps for wire in group):
            continue
        thin = min(straps, key=_copper)
        if thin[0].id in on_the_way or _copper(thin) >= same * cable.size.area_mm2:
            continue
        yield Finding(CODE, Severity.ADVICE, f"the {metal} is joined to battery minus by wire {thin[0].id} of {thin[0].size} at its thinnest, and the starter's cable (wire {cable.id}) is {cable.size}: "
                      "with the engine strap lost it carries the starter", thin[0].source.place_of("size"), f"a strap of {cable.size.stated} for wire {thin[0].id}, or one beside it",
                      at=(f"wire {thin[0].id}", *grounds[:3]), value=str(thin[0].size), limit=str(cable.size), origin="common practice")


def _starters(subject: Subject) -> Iterator[tuple[Device, str, str]]:
    """(starter, its main terminal, where its current leaves it)."""
    harness = subject.harness
    for id, pins in pins_by_device(harness).items():
        device = harness.devices[id]
        main = next((pin.address for pin in pins if pin.signal == "starter-motor"), None)
        pair = next((load.between for load in device.loads.values() if load.closed_by or main in load.between), device.between)
        if main is None:
            closed = next((load for load in device.loads.values() if load.closed_by and load.load.kind == "motor"), None)
            main = closed.between[0] if closed else None
        if main is None:
            continue
        back = next((end for end in pair if end != main), None) if pair and main in pair else next((pin.address for pin in pins if pin.signal in ("ground-case", "ground-power")), None)
        if back is not None and main in harness.contacts and back in harness.contacts:
            yield device, main, back


def _minus(subject: Subject) -> list[str]:
    """The minus posts of the batteries: metals are on the way there."""
    harness = subject.harness
    return [*(device.between[1] for id in harness.supplies if "battery" in (device := harness.devices[id]).source and device.between),
            *(address for address, contact in harness.contacts.items() if contact.signal == "ground-battery")]


def _widest(subject: Subject, starts: Iterable[str], end: str, kinds: Collection[str]) -> list[tuple[Wire, ...]]:
    """The way with the most copper at its thinnest: the wires between each two points on it, those side by side together. Empty where there is none."""
    ways, wires = subject.ways, subject.harness.wires
    heap = [(-inf, number, ways.point(start), None) for number, start in enumerate(starts)]
    before: dict[str, tuple[str, tuple[Wire, ...]] | None] = {}
    count = len(heap)
    while heap:
        width, _, here, came = heappop(heap)
        if here in before:
            continue
        before[here] = came
        beyond: dict[str, list[Way]] = {}
        for way in ways.at.get(here, ()):
            if way.kind in kinds and (there := ways.beyond(way, here)) not in before:
                beyond.setdefault(there, []).append(way)
        for there, between in beyond.items():
            group = tuple(wires[way.thing] for way in between if way.kind == "wire") if all(way.kind == "wire" for way in between) else ()
            count += 1
            heappush(heap, (max(width, -_copper(group)) if group else width, count, there, (here, group)))
    found: list[tuple[Wire, ...]] = []
    while (step := before.get(end)) is not None:
        end, group = step
        found += [group] if group else []
    return found


def _copper(group: Iterable[Wire]) -> float:
    """mm2 of wires side by side; one of unknown size does not end a way."""
    return fsum(wire.size.area_mm2 if wire.size else inf for wire in group)
