"""A feed in the colour of a ground, or a ground in the colour of a feed.

What it checks: plain black wires (in DIN 47002 plain brown ones) on copper with a fuse or a supply, and plain red ones on copper with a ground. A stripe makes it another colour,
and cores of a cable have the colours they are sold with.

Why it matters: at two in the morning a black wire is taken for a ground. It is grounded, or
joined to one, and the fuse is the last to know.

Example that fails:

    connectors:
      X1: {face: [[1]], view: mating face}
    cavities:
      X1.1: {signal: feed-constant}
    devices:
      G1: {terminals: ["+"]}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: BK, type: TXL, length: 500 mm}  # here

What it says:

    wire 2 is black as a ground, but it is a feed: fuse F1 is on its copper

The fix: A wire of another colour; red is usual for what is always live. What is laid already gets a sleeve of the right colour at
each end.

Example that passes:

    connectors:
      X1: {face: [[1]], view: mating face}
    cavities:
      X1.1: {signal: feed-constant}
    devices:
      G1: {terminals: ["+"]}
    fuses:
      F1: {rating: 5 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL, length: 500 mm}

Limits and source: common practice: black is ground in North America, Japan and by IEC habit, brown in DIN 47002, where black may be a
feed; red is a feed in all of them. What lies behind a relay or a switch without a fuse or a named signal is not judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity
from ...model.harness import Wire
from ...model.ids import names
from ...trade.colours import Colour, Tint, ground_colour, print_colour, word
from ..rails_of_copper import fed, grounded

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "colour-against-function"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = (54,)
_FEED = Colour(Tint("RD"))


def check(subject: Subject) -> Iterator[Finding]:
    harness, island_of = subject.harness, subject.network.island_of
    suspects: dict[tuple[int, Colour], list[Wire]] = {}
    for wire in harness.wires.values():
        if wire.colour is None or wire.colour.stripes or wire.cable or wire.colour not in (_FEED, ground_colour(wire.convention)):
            continue
        island = island_of.get(wire.from_, island_of.get(wire.to))
        if island is not None:
            suspects.setdefault((island, wire.colour), []).append(wire)
    if not suspects:
        return
    feeds, grounds = fed(subject), grounded(subject)
    for (island, colour), wires in suspects.items():
        # Copper that is both is a fault of another kind.
        if island in feeds and island in grounds or island not in (grounds if colour == _FEED else feeds):
            continue
        yield _finding(subject, island, colour, wires)


def _finding(subject: Subject, island: int, colour: Colour, wires: list[Wire]) -> Finding:
    first = wires[0]
    is_red = colour == _FEED
    why = _why(subject, island, is_red)
    several = len(wires) > 1
    right = print_colour(ground_colour(first.convention) if is_red else _FEED, first.convention)
    ids = names((wire.id for wire in wires))
    return Finding(
        CODE, SEVERITY,
        f"wire{f's {ids} are' if several else f' {ids} is'} {word(colour)} as a {'feed' if is_red else 'ground'}, but {'they are' if several else 'it is'} "
        f"a {'ground' if is_red else 'feed'}: {why} is on {'their' if several else 'its'} copper",
        first.source.place_of("colour" if "colour" in first.source else "color"),
        f"draw {'them' if several else 'it'} in another colour, {right} for instance; or put a sleeve of that colour over each end",
        at=tuple(f"wire {wire.id}" for wire in wires), value=print_colour(colour, first.convention), origin="common practice")


def _why(subject: Subject, island: int, is_ground: bool) -> str:
    """What makes the copper a ground or a feed: a stud or a fuse before what a signal says, that before a pole of the supply."""
    harness, members = subject.harness, subject.members(island)
    for address in members:
        part = harness.parts.get(harness.contacts[address].owner)
        if is_ground and address in harness.grounds:
            return f"ground {address}"
        if not is_ground and part is not None and part.kind in ("fuse", "fusible link"):
            return f"{part.kind} {part.id}"
    said = ("ground-",) if is_ground else ("feed-", "source-")
    for address in members:
        contact = harness.contacts[address]
        if contact.signal.startswith(said):
            return f"{address} ({contact.signal})"
        if is_ground and contact.inside is not None and contact.inside.metal:
            return f"{address}, on the {contact.inside.metal},"
    return "battery minus" if is_ground else "battery plus"
