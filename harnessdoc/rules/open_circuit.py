"""A load or a relay coil that no position of any switch can feed.

What it checks: where the description names a supply, that a way leads from plus to each load and
relay coil and back to minus, with every switch, relay and output in whatever position helps. What floats
together is told together.

Why it matters: a lost ground or feed makes everything behind it dead, or lets it find a way back
through other loads: lamps glow dimly, gauges go astray.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}
      H2: {terminals: [1, 2], between: [H2.1, H2.2], lamp: 21 W at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    splices:
      SP1: {}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      3: {from: H1.1, to: H2.1, size: 1 mm2, colour: RD, type: TXL, length: 600 mm}
      4: {from: H1.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}
      5: {from: H2.2, to: SP1, size: 1 mm2, colour: BK, type: TXL, length: 600 mm}

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
which nothing is said, a circuit that pulses; nor of spare relays and of loads without any wire. A metal without its
strap is told by `strap-missing`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..findings import Finding, Related, Severity

if TYPE_CHECKING:
    from ..judgement.floating import OpenLoop
    from .registry import Subject

CODE = "open-circuit"
SEVERITY = Severity.MALFUNCTION
_MOST_NAMED = 5


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ..judgement.floating import open_loops
    from ..operation.catalogue import load_element
    from ..operation.words import listed

    harness, catalogue = subject.harness, subject.operation.wiring.catalogue
    for loop in open_loops(subject.operation):
        things = [((entry := catalogue[load_element(load.id)]).thing, entry.source) for load in loop.loads]
        things += [(f"the coil of relay {id}", harness.parts[id].source) for id in loop.relays]
        words = [thing for thing, _ in things]
        named = listed([*words[:_MOST_NAMED], *([f"{len(words) - _MOST_NAMED} more"] if len(words) > _MOST_NAMED else [])])
        yield Finding(CODE, SEVERITY, f"{_lacks(loop, named)}, whatever switches and relays do{_ends(loop)}", things[0][1].place(),
                      "write the wire that is missing; where a case is bolted to metal write `metal:` for that terminal under `cavities:`,\n"
                      "and where it leads on beyond what is described a wire with `to: unknown`",
                      tuple(Related(source.place(), f"{thing} stands here") for thing, source in things[1:_MOST_NAMED]))


def _lacks(loop: OpenLoop, named: str) -> str:
    if loop.lacks_feed and loop.lacks_return:
        return f"nothing joins {named} to plus or to minus"
    return f"nothing feeds {named}" if loop.lacks_feed else f"nothing leads back to battery minus from {named}"


def _ends(loop: OpenLoop) -> str:
    from ..operation.words import listed

    shown = [*loop.ends[:_MOST_NAMED], *([f"{len(loop.ends) - _MOST_NAMED} more"] if len(loop.ends) > _MOST_NAMED else [])]
    if loop.lacks_feed and loop.lacks_return:
        return ""
    return f": {'no feed comes to' if loop.lacks_feed else 'the way ends at'} {listed(shown)}"
