"""A state of key, engine and switches that cannot be solved.

What it checks: that every state that is visited, and every one the user names, has a
solution: values that can be solved with, relays that come to rest, currents that balance. Each
cause is told once, with the devices and the states it happens in.

Why it matters: a relay whose own contact takes its coil voltage away chatters until it
burns. And where there is no solution there is no reading: the program says so and prints
no number.

Example that fails:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {contacts: changeover, part: mini relay 40 A, suppression: resistor}  # here
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K1.30, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      3: {from: K1.87a, to: K1.86, size: 1 mm2, colour: BU, type: TXL, length: 100 mm}
      4: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 300 mm}

What it says:

    no readings in state 'off, stopped' and 1 more: relay K1 chatters: it pulls in and by that loses the
    voltage it does so with, over and over

The fix: Feed the coil past the contact that takes its voltage away; of a race, let one relay decide.

Example that passes:

    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
    fuses:
      F1: {rating: 5 A, type: blade}
    relays:
      K1: {contacts: changeover, part: mini relay 40 A, suppression: resistor}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2, colour: RD, type: TXL, length: 100 mm}
      2: {from: F1.2, to: K1.86, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}
      4: {from: K1.85, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 300 mm}

Limits and source: relays are at rest or pulled in, with nothing between and no time
(design choice); which of two is faster is not known. Short-circuited sources are
told by `shorted-source`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.electric_words import MOST_SUPPLY_V

if TYPE_CHECKING:
    from ...model.harness import Harness
    from ...operation.catalogue import Entry
    from ..subject import Subject

CODE = "state-not-solved"
SEVERITY = Severity.MALFUNCTION
ASKS = "solved"
MODES = ()
_DO = {
    "relay-chatters": "feed the coil past the contact that takes its voltage away",
    "relay-race": "let one decide: lead the coil of the other over its contact, and its own past all others",
    "no-convergence": "look at the values of what is named; where they are right, this state has no readings",
    "bad-value": "mend the value, here or where it is said",
    "id-twice": "say it once",
}
_OUR_FAULT = "the program refuses its own solution: print no reading of this state, and hand the description to whoever keeps the program"


def check(subject: Subject) -> Iterator[Finding]:
    if subject.operation is None:
        return
    from ...judgement.shorts import SHORTED
    from ...operation.catalogue import COIL
    from ...operation.words import in_states
    from ..named import name_of

    harness, catalogue = subject.harness, subject.operation.wiring.catalogue
    states: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    words: dict[tuple[str, tuple[str, ...]], str] = {}
    for name, solved in subject.operation.solved.items():
        for fault in solved.faults if solved.solution is None else ():
            cause = (fault.code, fault.elements)
            if fault.code != SHORTED and not _is_refused(harness, fault.elements):
                states.setdefault(cause, []).append(name)
                words.setdefault(cause, fault.words)
    for (code, elements), names in states.items():
        entries = [catalogue[element] for element in elements]
        said = _relays(entries, code) if code in ("relay-chatters", "relay-race") else words[code, elements]
        for element, entry in zip(elements, entries, strict=True):
            said = said.replace(element, entry.thing)
        first = entries[0].source if entries else harness.source
        yield Finding(CODE, SEVERITY, f"no readings {in_states(names)}: {said}", first.place(), _past(entries) if code == "relay-chatters" and len(entries) == 1 and entries[0].kind == COIL else _DO.get(code, _OUR_FAULT),
                      tuple(Related(entry.source.place(), f"{entry.thing} stands here") for entry in entries[1:]),
                      at=tuple(dict.fromkeys(map(name_of, entries))) or ("description",), state=names[0])


def _past(entries: Sequence[Entry]) -> str:
    relay = entries[0].thing.removeprefix("relay ")
    return f"feed the coil, {relay}.86 or {relay}.85, past its own contact that takes its voltage away ({relay}.30)"


def _relays(entries: Sequence[Entry], code: str) -> str:
    from ...operation.catalogue import WORKS
    from ...operation.words import listed

    things = [entry.thing for entry in entries]
    if code == "relay-race":
        return f"which of {listed(things)} stays in depends on which is faster"
    if len(things) > 1:
        return f"{listed(things)} chatter: by turns they pull in and lose by that the voltage they pull in with, over and over"
    pulls_in = "begins to work" if entries[0].kind == WORKS else "pulls in"
    return f"{things[0]} chatters: it {pulls_in} and by that loses the voltage it does so with, over and over"


def _is_refused(harness: Harness, elements: tuple[str, ...]) -> bool:
    """Whether a supply, or the nominal supply, is above what is solved: that was reported where it stands."""
    from ...model.electric import Battery
    from ...model.given import nominal_v
    from ...operation.supplies import elements_of

    for id in harness.supplies:
        supply = harness.devices[id].supply
        stated = None if supply is None else supply.emf if isinstance(supply, Battery) else supply.voltage
        if (stated.value if stated else nominal_v(harness)) > MOST_SUPPLY_V and any(element in elements_of(harness.devices[id]) for element in elements):
            return True
    return False
