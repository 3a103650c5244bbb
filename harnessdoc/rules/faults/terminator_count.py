"""A CAN bus without its two terminators of 120 ohm.

What it checks: the resistances between CAN high and CAN low of each bus, in devices and as parts: two, each of about 120 ohm.
Two in series with a point between count as one.

Why it matters: the terminators swallow the edge of each bit at the ends of the bus. With one, the edge comes back and the bus
fails with the length of wire or the cold; with three or more, the weakest unit cannot drive it.

Example that fails:

    devices:
      U1: {connectors: [X1], loads: {terminator: {between: [X1.1, X1.2], load: 120 ohm}}}
      U2: {connectors: [X2], loads: {terminator: {between: [X2.1, X2.2], load: 120 ohm}}}
      U3: {connectors: [X3], loads: {terminator: {between: [X3.1, X3.2], load: 120 ohm}}}  # here
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: can-high}
      X1.2: {signal: can-low}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: S1, size: 0.5 mm2, colour: YE, type: TXL}
      2: {from: X1.2, to: S2, size: 0.5 mm2, colour: GN, type: TXL}
      3: {from: S1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL}
      4: {from: S2, to: X2.2, size: 0.5 mm2, colour: GN, type: TXL}
      5: {from: S1, to: X3.1, size: 0.5 mm2, colour: YE, type: TXL}
      6: {from: S2, to: X3.2, size: 0.5 mm2, colour: GN, type: TXL}

What it says:

    the CAN bus has 3 terminators (120 ohm in U1, 120 ohm in U2, 120 ohm in U3): 40 ohm between high and low, where
    two of 120 ohm make 60 ohm

The fix: One terminator at either end of the bus and none between. A unit whose terminator cannot be switched off goes to an end.

Example that passes:

    devices:
      U1: {connectors: [X1], loads: {terminator: {between: [X1.1, X1.2], load: 120 ohm}}}
      U2: {connectors: [X2], loads: {terminator: {between: [X2.1, X2.2], load: 120 ohm}}}
      U3: {connectors: [X3]}
    connectors:
      X1: {face: [[1..2]], view: mating face}
      X2: {face: [[1..2]], view: mating face}
      X3: {face: [[1..2]], view: mating face}
    cavities:
      X1.1: {signal: can-high}
      X1.2: {signal: can-low}
    splices:
      S1: {}
      S2: {}
    wires:
      1: {from: X1.1, to: S1, size: 0.5 mm2, colour: YE, type: TXL}
      2: {from: X1.2, to: S2, size: 0.5 mm2, colour: GN, type: TXL}
      3: {from: S1, to: X2.1, size: 0.5 mm2, colour: YE, type: TXL}
      4: {from: S2, to: X2.2, size: 0.5 mm2, colour: GN, type: TXL}
      5: {from: S1, to: X3.1, size: 0.5 mm2, colour: YE, type: TXL}
      6: {from: S2, to: X3.2, size: 0.5 mm2, colour: GN, type: TXL}

Limits and source: two of 120 ohm, 60 ohm between the lines, 120 with one missing, 40 with one too many: read in several published
guides; 100 to 130 ohm as what is near enough is from memory. A bus of which no terminator is stated is not asked, nor one with a
single one that runs on where the description ends; a diagnostic socket ends it. What is above 5 kohm is no terminator.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Place, Severity
from ...model.harness import UNKNOWN
from ..joined import device_of
from ..lack import Lack
from ..options import Option
from ..two_wire_lines import CAN, lines, resistances, tree

if TYPE_CHECKING:
    from ...model.harness import Contact
    from ..subject import Subject
    from ..two_wire_lines import Between, TwoWireLine

CODE = "terminator-count"
SEVERITY = Severity.MALFUNCTION
ASKS = "copper"
MODES = (27,)
LEAST = Option(CODE, "least", "resistance", "100 ohm", "the least that a terminator has", "from memory")
MOST = Option(CODE, "most", "resistance", "130 ohm", "the most that a terminator has", "from memory")
OPTIONS = (LEAST, MOST)
_WANTED_OHM = 120
_ADD = "the resistor at each end of the bus to the device that holds it: `loads: {terminator: {between: [E1.3, E1.4], load: 120 ohm}}`"


def check(subject: Subject) -> Iterator[Finding | Lack]:
    least, most = subject.value(LEAST).value, subject.value(MOST).value
    for line in lines(subject, CAN):
        found = resistances(subject, line)
        right = [one for one in found if least <= one.ohm <= most]
        if len(found) == len(right) == 2:
            continue
        if not found or (len(found) < 2 and _runs_on(subject, line)):
            yield Lack(CODE, line.pins_a[0].address if line.pins_a else "", _ADD)
            continue
        yield _finding(subject, line, found, right)


def _finding(subject: Subject, line: TwoWireLine, found: Sequence[Between], right: Sequence[Between]) -> Finding:
    from ...operation.words import listed

    ohm = 1 / sum(1 / one.ohm for one in found)
    count = f"{len(found)} terminators" if len(found) > 1 else "1 terminator"
    said = f"the {line.words} has {count} ({', '.join(one.words for one in found)}): {ohm:.3g} ohm between high and low, where two of {_WANTED_OHM} ohm make {_WANTED_OHM // 2} ohm"
    wrong = [one for one in found if one not in right]
    at: list[str] = []
    place: Place
    if len(found) > 2:
        kept = _at_the_ends(subject, [*right, *wrong])
        out = [one for one in found if one not in kept]
        do = f"take {listed([f'the {one.words}' for one in out]).replace(' in ', ' out of ')}; those at the ends of the bus stay, in {listed([one.thing for one in kept])}"
        if any(one in wrong for one in kept):
            do += f", with {_WANTED_OHM} ohm each"
        place, at = out[0].source.place(), [one.thing for one in out]
    elif len(found) == 2:
        do = "; ".join(f"put {_WANTED_OHM} ohm in place of {one.words}" for one in wrong)
        place, at = wrong[0].source.place(), [one.thing for one in wrong]
    else:
        end = _far_end(subject, line, found[0])
        instead = f"put {_WANTED_OHM} ohm in place of {found[0].words}; " if wrong else ""
        if end is None:
            do, place = f"{instead}put {_WANTED_OHM} ohm at the other end of the bus", found[0].source.place()
        else:
            high, low, holder = end
            pins = f"between {high.address} and {low.address}" if low else f"at {high.address}"
            do = f"{instead}put {_WANTED_OHM} ohm {pins} in {holder}, the end farthest from {found[0].thing}; where it is there, state it: `load: {_WANTED_OHM} ohm`"
            device = subject.harness.devices.get(holder)
            place, at = (device.source if device else high.source).place(), [holder, high.address, *([low.address] if low else [])]
    members = [pin.address for pin in (*line.pins_a, *line.pins_b)]
    return Finding(CODE, SEVERITY, said, place, do, at=tuple(dict.fromkeys((*at, *(one.thing for one in found), *members))),
                   value=f"{ohm:.3g} ohm", limit=f"{_WANTED_OHM // 2} ohm", origin="two of 120 ohm: several published guides")


def _at_the_ends(subject: Subject, found: Sequence[Between]) -> tuple[Between, Between]:
    """The two that lie farthest from each other along the wires; of equals the first."""
    best: tuple[tuple[float, int], tuple[Between, Between]] | None = None
    for position, one in enumerate(found):
        walked = tree(subject, one.a)
        for other in found[position + 1:]:
            point = subject.ways.point(other.a)
            far = (walked.far_mm.get(point, 0.0), walked.hops.get(point, 0))
            if best is None or far > best[0]:
                best = far, (one, other)
    assert best is not None
    return best[1]


def _far_end(subject: Subject, line: TwoWireLine, only: Between) -> tuple[Contact, Contact | None, str] | None:
    """(pin of high, its pin of low, device or connector) of the member farthest from the only terminator."""
    harness, ways = subject.harness, subject.ways
    walked = tree(subject, only.a)
    members = [pin for pin in line.pins_a if ways.point(pin.address) in walked and ways.point(pin.address) != walked.start and not _is_diagnostic(pin)]
    if not members:
        return None
    high = max(members, key=lambda pin: (walked.far_mm[ways.point(pin.address)], walked.hops[ways.point(pin.address)]))
    low = next((pin for pin in line.pins_b if pin.owner == high.owner), None)
    return high, low, device_of(harness, high) or high.owner


def _is_diagnostic(pin: Contact) -> bool:
    """A cavity that a published diagnostic socket has for its line of the bus."""
    from ...trade.standard_connectors import standard_connectors

    return any(cavity.signal == pin.signal and cavity.cavity == pin.name for connector in standard_connectors().values() for cavity in connector.cavities)


def _runs_on(subject: Subject, line: TwoWireLine) -> bool:
    """Whether the bus leads on where the description does not follow: a far end that is not known, a plug whose other side is not described."""
    harness = subject.harness
    in_line = {half for connector in harness.connectors.values() if connector.mates for half in (connector.id, connector.mates)}
    for address in (*subject.members(line.a), *subject.members(line.b)):
        contact = harness.contacts[address]
        if address in harness.splices and harness.splices[address].members_unknown:
            return True
        if contact.owner in harness.connectors and contact.owner not in in_line and not device_of(harness, contact) and not _is_diagnostic(contact):
            return True
        if any(UNKNOWN in (harness.wires[wire].from_, harness.wires[wire].to) for wire in harness.wires_at.get(address, ())):
            return True
    return False
