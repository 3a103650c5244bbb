"""From the elements of a circuit back to the things of the file, and states in words.

Takes a harness and the id of an element or relay; gives the words and the record of what
it stands for. Ids of things may hold spaces: the longest that is known is taken.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from ..description.text import Record
from ..model.harness import Harness

_PARTS = ("fusible link", "fuse", "relay", "diode", "resistor")
_SUPPLIES = ("battery", "alternator", "test supply")
_KINDS = ("wire", "switch", "load", *_PARTS, *_SUPPLIES)
_BEHIND_A_CONTACT = ("on metal", "inside", "on", "pull-up", "pull-down", "diode to ground", "diode to supply")
_WORKS = "works"


def kind_of(element: str) -> str:
    """What an element is: a word it begins with (``wire``, ``fuse``), else one it ends with (``on metal``, ``on``, ``works``), else ""."""
    for kind in _KINDS:
        if element.startswith(f"{kind} "):
            return kind
    if element.rpartition(" contact ")[0].endswith(f" {_WORKS}"):
        return _WORKS
    return next((kind for kind in (*_BEHIND_A_CONTACT, _WORKS) if element.endswith(f" {kind}")), "")


def thing_of(harness: Harness, element: str) -> tuple[str, Record]:
    """``wire 12``, ``relay K1``, ``load armature of device M1``, ``output E1.13``, and the record it was read from."""
    kind = kind_of(element)
    rest = element.removeprefix(f"{kind} ")
    if kind == "wire" and rest in harness.wires:
        return element, harness.wires[rest].source
    if kind in _PARTS and (id := _longest(rest, harness.parts)):
        return f"{kind} {id}", harness.parts[id].source
    if kind in (*_SUPPLIES, "switch") and (id := _longest(rest, harness.devices)):
        return f"{kind} {id}", harness.devices[id].source
    if kind == "load" and (id := _longest(rest, harness.devices)):
        name = _longest(rest[len(id) + 1:], harness.devices[id].loads)
        source = harness.devices[id].source
        return (f"load {name} of device {id}", source["loads"][name]) if name else (f"device {id}", source)
    if kind == "load" and rest in harness.contacts:
        return rest, harness.contacts[rest].source
    device = _longest(element, harness.devices) if kind == _WORKS else element.partition(" V of ")[2]
    if device in harness.devices:
        words = f"device {device}" if kind == _WORKS else f"the {element.partition(' V of ')[0]} V of device {device}"
        return words, harness.devices[device].source
    if address := _longest(element, harness.contacts):
        words = {"on": f"output {address}", "on metal": f"ground {address}" if address in harness.grounds else address, "inside": address}
        return words.get(kind, f"{kind} of {address}"), harness.contacts[address].source
    return element, harness.source


def things_in_words(harness: Harness, elements: Iterable[str], most: int = 12) -> str:
    """``wire 1, fuse F1 and wire 2``: each thing once, in order; of many the first and the last."""
    words = list(dict.fromkeys(thing_of(harness, element)[0] for element in elements))
    if len(words) > most:
        words[most // 2:-(most // 2)] = [f"{len(words) - most // 2 * 2} more"]
    return listed(words)


def listed(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def in_states(states: Sequence[str]) -> str:
    """``in state 'run, stopped' and 4 more``."""
    return f"in state '{states[0]}'" + (f" and {len(states) - 1} more" if len(states) > 1 else "")


def _longest(text: str, known: Collection[str]) -> str:
    """The longest beginning of ``text``, cut at a space, that is known; "" where none is."""
    while text and text not in known:
        text = text.rpartition(" ")[0]
    return text
