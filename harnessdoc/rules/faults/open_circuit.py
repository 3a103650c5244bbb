"""A load or a relay coil that no position of any switch can feed.

What it checks: where the description names a supply, that a way leads from plus to each load and
relay coil and back to minus, with every switch, relay and output in whatever position helps. What floats
together is told together.

Why it matters: a lost ground or feed makes everything behind it dead, or lets it find a way back
through other loads: lamps glow dimly, gauges go astray.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}  # here
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}

What it says:

    nothing leads back to battery minus from device H1, whatever switches and relays do: the way ends at
    H1.2

The fix: Write the wire that is missing; where a case is bolted to metal say so with `metal:`; where it leads
on beyond what is described write a wire to `unknown`.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: H1.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}

Limits and source: common practice. Nothing is said where the way ends at something that is not
described: a far end not known or left open, a half of an in-line connector without the other, a pin of a device of
which nothing is said, an input that its device pulls up where no `pull-up:` says how, a circuit that pulses; nor of spare relays and of loads without any wire. A metal without its
strap is told by `strap-missing`, a device whose supply or ground pins are open by `supply-pin-open` and `ground-pin-open`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ..lack import Lack
from ..open_pins import open_grounds, open_supplies

if TYPE_CHECKING:
    from ...judgement.floating import OpenLoop
    from ..subject import Subject

CODE = "open-circuit"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = ()
_MOST_NAMED = 5
_TO_SUPPLY = "4.7 kohm to supply"
_EXAMPLES = {"input-resistive": "2.2 kohm to 5 V", "input-hall": "4.7 kohm to 5 V"}
"""What is written at such an input, for example."""


def check(subject: Subject) -> Iterator[Finding | Lack]:
    if subject.operation is None:
        return
    from ...judgement.floating import open_loops
    from ...operation.catalogue import load_element
    from ...operation.unsaid import unsaid_pull_ups
    from ...operation.words import listed

    harness, catalogue = subject.harness, subject.operation.wiring.catalogue
    supplies = {pin.address for found in open_supplies(subject) for pin in found.pins}
    grounds = {id for found in open_grounds(subject) for id in found.devices}
    # a coil with an output to ground on its one side and ground on the other: `output-on-wrong-side` tells it
    on_the_wrong_side = {address for join in subject.joins.get(8, ()) for address in (join.a.contact.address, join.b.contact.address, *join.others)}
    unsaid = {pin.address: pin for pin in unsaid_pull_ups(subject.operation)}
    for loop in open_loops(subject.operation):
        if loop.lacks_feed and (pulled := [address for address in loop.ends if address in unsaid]):
            # an input that its device pulls up feeds what hangs on it
            yield from (Lack(CODE, address, f"`pull-up: {_EXAMPLES.get(unsaid[address].signal, _TO_SUPPLY)}` to each input that its device pulls up") for address in pulled)
            if not loop.lacks_return:
                continue
            loop = replace(loop, lacks_feed=False)
        # what supply and ground pins of devices lack is told of them
        loads = [load for load in loop.loads if not (loop.lacks_feed and {load.a, load.b} & supplies or loop.lacks_return and load.owner in grounds)]
        relays = [id for id in loop.relays if not any(f"{id}.{name}" in on_the_wrong_side for name in ("85", "86"))]
        if not loads and not relays:
            continue
        things = [((entry := catalogue[load_element(load.id)]).thing, entry.source) for load in loads]
        things += [(f"the coil of relay {id}", harness.parts[id].source) for id in relays]
        words = [thing for thing, _ in things]
        named = listed([*words[:_MOST_NAMED], *([f"{len(words) - _MOST_NAMED} more"] if len(words) > _MOST_NAMED else [])])
        yield Finding(CODE, SEVERITY, f"{_lacks(loop, named)}, whatever switches and relays do{_ends(loop)}", things[0][1].place(),
                      "write the wire that is missing; where a case is bolted to metal write `metal:` for that terminal under `cavities:`,\n"
                      "and where it leads on beyond what is described a wire with `to: unknown`",
                      tuple(Related(source.place(), f"{thing} stands here") for thing, source in things[1:_MOST_NAMED]),
                      at=tuple(dict.fromkeys((*(load.owner for load in loads), *relays))))


def _lacks(loop: OpenLoop, named: str) -> str:
    if loop.lacks_feed and loop.lacks_return:
        return f"nothing joins {named} to plus or to minus"
    return f"nothing feeds {named}" if loop.lacks_feed else f"nothing leads back to battery minus from {named}"


def _ends(loop: OpenLoop) -> str:
    from ...operation.words import listed

    shown = [*loop.ends[:_MOST_NAMED], *([f"{len(loop.ends) - _MOST_NAMED} more"] if len(loop.ends) > _MOST_NAMED else [])]
    if loop.lacks_feed and loop.lacks_return:
        return ""
    return f": {'no feed comes to' if loop.lacks_feed else 'the way ends at'} {listed(shown)}"
