"""For tests: a harness in operation from the text of a description, and small descriptions to begin with."""

from __future__ import annotations

from harnessdoc import steps
from harnessdoc.findings import Severity
from harnessdoc.operation.operate import Operation
from harnessdoc.operation.wiring import Aside
from harnessdoc.steps import Loaded

LINNET = "examples/linnet/linnet.yaml"
BATTERY = 'G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}'
BENCH = 'T1: {terminals: ["+", "-"], between: [T1.+, T1.-], test-supply: {voltage: 12 V, limit: 100 A}}'
KEY = "Q1: {terminals: [30, 75, 15, 50], closes: {accessory: [[Q1.30, Q1.75]], run: [[Q1.30, Q1.75], [Q1.30, Q1.15]], start: [[Q1.30, Q1.15], [Q1.30, Q1.50]]}}"


def described(*devices: str, **sections: str) -> str:
    """A description: one device a text; of other sections one entry a line (``fusible_links`` for ``fusible-links``)."""
    parts = {"devices": "\n".join(devices), **sections}
    return "".join(f"{name.replace('_', '-')}:\n" + "".join(f"  {line.strip()}\n" for line in entries.strip().splitlines()) for name, entries in parts.items())


def wires(*pairs: str, size: str = "1 mm2", length: str = "100 mm") -> str:
    """``"G1.+ F1.1"``: a wire each, named from w1 on."""
    return "\n".join(f"w{number}: {{from: {a}, to: {b}, size: {size}, length: {length}}}" for number, (a, b) in enumerate(map(str.split, pairs), 1))


def loaded(text: str) -> Loaded:
    """The description without an error."""
    found = steps.load("main.yaml", {"main.yaml": text})
    assert [finding.message for finding in found.findings if finding.severity is Severity.ERROR] == []
    return found


def operated(text: str) -> Operation:
    operation = loaded(text).operation
    assert operation is not None
    return operation


def told(asides: tuple[Aside, ...]) -> dict[str, str]:
    """Thing -> what is told of it; of a thing told of twice the last."""
    return {aside.thing: aside.words for aside in asides}
