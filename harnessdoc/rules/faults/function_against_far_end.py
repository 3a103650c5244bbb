"""An output whose function names one thing, while its copper leads to another.

What it checks: of every output whose `function:` names a relay or load of the harness by its title, that its copper leads there, or to something
that has a word in common with it. It is told where what is named hangs elsewhere and is of another kind than what is found, or where two
outputs are exchanged.

Why it matters: two wires exchanged in one plug look right from end to end: both outputs work, and each works the other's load. The engine is
cranked by a warning lamp's output, and nobody measures a fault.

Example that fails:

    devices:
      U1: {title: control unit, connectors: [X1]}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
    connectors:
      X1: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: start relay, signal: output-low}  # here
      X1.4: {signal: output-low}
    relays:
      K1: {title: start relay, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: X1.1, to: H1.2, size: 0.5 mm2, colour: BU, type: TXL}
      2: {from: X1.4, to: K1.85, size: 0.5 mm2, colour: GN, type: TXL}

What it says:

    X1.1 is called 'start relay', but its copper leads over wire 1 to charge lamp H1; start relay K1 hangs on X1.4

The fix: Put the wires where the words say; or, where the words are wrong, write what it leads to.

Example that passes:

    devices:
      U1: {title: control unit, connectors: [X1]}
      H1: {title: charge lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 2 W at 12 V}
    connectors:
      X1: {face: [[1..4]], view: mating face}
    cavities:
      X1.1: {function: charge lamp, signal: output-low}
      X1.4: {signal: output-low}
    relays:
      K1: {title: start relay, suppression: resistor, part: mini relay 40 A}
    wires:
      1: {from: X1.1, to: H1.2, size: 0.5 mm2, colour: BU, type: TXL}
      2: {from: X1.4, to: K1.85, size: 0.5 mm2, colour: GN, type: TXL}

Limits and source: common practice: functions and titles are compared word by word, `start` counts as `starter`. Nothing is said where the
words name nothing that has a title, where the copper leads to nothing that takes current, or where what is named lies behind the contact of a
relay that the copper does lead to.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ...findings import Finding, Related, Severity
from ...model.ids import names
from ..takers import Taker, takers

if TYPE_CHECKING:
    from ...model.harness import Contact, Harness
    from ...network.ways import Reached, Way
    from ..subject import Subject

CODE = "function-against-far-end"
SEVERITY = Severity.ADVICE
ASKS = "copper"
MODES = ()
_OUTPUT = "output-"
_OVER = ("wire", "fuse", "fusible link", "switch", "diode", "resistor")
_CONTACTS = ("87", "87b", "87a")
_RELAY = "relay"
_KIND_WORDS = frozenset(("relay", "coil", "lamp", "light", "motor", "valve", "solenoid", "heater"))
_IDLE = frozenset(("and", "by", "closes", "command", "control", "driver", "for", "from", "ground", "high", "in", "low", "minus", "negative", "of", "on", "output", "plus",
                   "side", "signal", "supply", "switched", "the", "to", "with"))
"""Words that name nothing."""
_WORD = re.compile(r"[^\W\d_]{2,}|\d+")
_SAME_FROM = 4
"""Of so many letters on a word counts as another that begins with it."""


@dataclass(frozen=True, slots=True)
class _Thing:
    """A relay or load: what it is called, its words, and its kind: ``relay``, ``lamp``."""

    taker: Taker
    called: str
    words: tuple[str, ...]
    kind: str


def check(subject: Subject) -> Iterator[Finding]:
    harness = subject.harness
    pins = [contact for address, contact in harness.contacts.items() if contact.signal.startswith(_OUTPUT) and contact.function and harness.wires_at.get(address)]
    if not pins:
        return
    things = [_thing(harness, taker) for taker in takers(harness)]
    addresses: dict[str, list[str]] = {}
    for address, point in subject.ways.point_of.items():
        addresses.setdefault(point, []).append(address)
    at_point: dict[str, list[_Thing]] = {}
    for thing in things:
        for end in dict.fromkeys((subject.ways.point(thing.taker.a), subject.ways.point(thing.taker.b))):
            at_point.setdefault(end, []).append(thing)
    strayed: dict[str, tuple[Contact, list[_Thing], list[_Thing], Reached]] = {}
    for pin in pins:
        reached = _reach(subject, [pin.address])
        led_to = _at(at_point, reached)
        named = [thing for thing in things if _names(pin.function, thing)]
        on_the_way = [harness.contacts[other].function for point in reached.before for other in addresses.get(point, ()) if other in harness.contacts and other != pin.address]
        if named and led_to and not _has_to_do(pin.function, [*led_to, *_behind(subject, at_point, led_to)], named, on_the_way):
            strayed[pin.address] = pin, named, led_to, reached
    told: set[str] = set()
    for address, (pin, named, led_to, reached) in strayed.items():
        crossed = next((other for other, (_, its_named, its_led_to, _) in strayed.items() if other != address and _shares(its_named, led_to) and _shares(its_led_to, named)), "")
        if address in told or not crossed and {thing.kind for thing in named} & {thing.kind for thing in led_to}:
            continue
        told.update((address, crossed))
        yield _finding(subject, pin, named, led_to, reached, crossed)


def _finding(subject: Subject, pin: Contact, named: Sequence[_Thing], led_to: Sequence[_Thing], reached: Reached, crossed: str) -> Finding:
    harness, thing, other = subject.harness, named[0], led_to[0]
    end = next(end for end in (other.taker.a, other.taker.b) if subject.ways.point(end) in reached)
    wires = [way.thing for way in reached.way(subject.ways.point(end)) if way.kind == "wire"]
    there = crossed or _output_at(subject, thing)
    hangs = f" hangs on {there}{_called(harness, there)}" if there else " hangs elsewhere"
    over = f" over wire{'s' if len(wires) > 1 else ''} {names(wires)}" if wires else ""
    put = f"if the wires of {pin.address} and {there} are exchanged put each in the other's place" if there else f"lead {pin.address} to {thing.called}"
    return Finding(CODE, SEVERITY, f"{pin.address} is called '{pin.function}', but its copper leads{over} to {other.called}; {thing.called}{hangs}",
                   pin.source.place_of("function"), f"{put}; if only the words are wrong write `function: {_title(other)}`",
                   (Related(other.taker.place, f"{other.called} stands here"), Related(thing.taker.place, f"{thing.called} stands here")),
                   at=tuple(dict.fromkeys((pin.address, *([there] if there else []), *(f"wire {wire}" for wire in wires), other.taker.id, thing.taker.id))), origin="common practice")


def _title(thing: _Thing) -> str:
    return thing.called.removesuffix(thing.taker.id).strip() or thing.called


def _called(harness: Harness, address: str) -> str:
    return f" ('{function}')" if (function := harness.contacts[address].function) else ""


def _thing(harness: Harness, taker: Taker) -> _Thing:
    called = taker.words.removeprefix("coil of ")
    kind = _RELAY if taker.load is None else taker.load.kind
    functions = [harness.contacts[end].function for end in (taker.a, taker.b)]
    return _Thing(taker, called, _words(called.replace(taker.id, " "), *functions, kind), kind)


def _words(*texts: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for text in texts for word in _WORD.findall(text.casefold()) if word not in _IDLE))


def _agrees(word: str, words: Iterable[str]) -> bool:
    return any(word == other or min(len(word), len(other)) >= _SAME_FROM and (word.startswith(other) or other.startswith(word)) for other in words)


def _specific(words: Iterable[str]) -> list[str]:
    return [word for word in words if word not in _KIND_WORDS and not word.isdigit()]


def _names(function: str, thing: _Thing) -> bool:
    """Whether all words of a function are words of a thing, and one at least says more than its kind."""
    words = _words(function)
    return bool(_specific(words)) and all(_agrees(word, thing.words) for word in words)


def _has_to_do(function: str, found: Sequence[_Thing], named: Sequence[_Thing], on_the_way: Iterable[str]) -> bool:
    """Whether what the copper leads to is what is named, or it or the function of a contact on the way has a word in common with it."""
    words = [*_words(*on_the_way), *(word for thing in found for word in thing.words)]
    return _shares(found, named) or any(_agrees(word, words) for word in _specific(_words(function)))


def _shares(one: Sequence[_Thing], other: Sequence[_Thing]) -> bool:
    return any(thing is another for thing in one for another in other)


def _reach(subject: Subject, starts: Iterable[str]) -> Reached:
    ways = subject.ways
    shut = (*ways.plus, *ways.minus)

    def through(way: Way, point: str) -> bool:
        return way.kind in _OVER and ways.beyond(way, point) not in shut

    return ways.reach(starts, through)


def _at(at_point: dict[str, list[_Thing]], reached: Reached) -> list[_Thing]:
    found = [thing for point in reached.before for thing in at_point.get(point, ())]
    return list({id(thing): thing for thing in found}.values())


def _behind(subject: Subject, at_point: dict[str, list[_Thing]], led_to: Sequence[_Thing]) -> list[_Thing]:
    """What the contacts of the relays among the things feed."""
    ends = [f"{thing.taker.id}.{name}" for thing in led_to if thing.kind == _RELAY for name in _CONTACTS if f"{thing.taker.id}.{name}" in subject.harness.contacts]
    return _at(at_point, _reach(subject, ends)) if ends else []


def _output_at(subject: Subject, thing: _Thing) -> str:
    """The address of an output on the copper of a thing; "" where none is."""
    reached = _reach(subject, (thing.taker.a, thing.taker.b))
    contacts = subject.harness.contacts
    return next((address for address, contact in contacts.items() if contact.signal.startswith(_OUTPUT) and subject.ways.point(address) in reached), "")
