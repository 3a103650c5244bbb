"""Splices in a wire, copper in a sleeve, and the numbering of mated halves against published rules."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding
from harnessdoc.steps import load


def found(text: str) -> list[Finding]:
    return list(load("heron.yaml", {"heron.yaml": text}).findings)


@pytest.mark.outside("FAA AC 43.13-1B, 11-167 c: not more than one splice in any wire segment between two connectors or disconnect points (facts 1)")
@pytest.mark.parametrize(("splices", "codes"), [(1, []), (2, ["wire-spliced-again"]), (3, ["wire-spliced-again"])])
def test_one_splice_between_two_connectors_is_the_most(splices: int, codes: list[str]):
    stops = ["X1.1", *(f"S{n}" for n in range(1, splices + 1)), "X2.1"]
    text = ("connectors:\n  X1: {face: [[1]], view: mating face}\n  X2: {face: [[1]], view: mating face}\nsplices:\n" + "".join(f"  {stop}: {{}}\n" for stop in stops[1:-1]) + "wires:\n"
            + "".join(f"  {n}: {{from: {a}, to: {b}, size: 1 mm2, colour: BU, type: TXL}}\n" for n, (a, b) in enumerate(zip(stops, stops[1:], strict=False))))
    assert [finding.code for finding in found(text)] == codes


@pytest.mark.outside("a maker's wiring book: sleeves for 0.5 to 0.8, 1 to 2 and 3 to 5 mm2 (trade 2, mode 47)")
@pytest.mark.parametrize(("sleeve", "sizes", "fits"), [
    ("0.5 to 0.8 mm2", ("0.35", "0.35"), True), ("0.5 to 0.8 mm2", ("0.5", "0.5"), False), ("1 to 2 mm2", ("0.5", "0.5", "0.85"), True),
    ("1 to 2 mm2", ("1.25", "1.25"), False), ("3 to 5 mm2", ("2", "1", "1"), True), ("3 to 5 mm2", ("1", "1"), False)])
def test_the_copper_a_sleeve_takes(sleeve: str, sizes: tuple[str, ...], fits: bool):
    text = (f"connectors:\n  X1: {{}}\nsplices:\n  S1: {{sleeve: sleeve {sleeve}}}\nwires:\n"
            + "".join(f"  {n}: {{from: X1.{n}, to: S1, size: {size} mm2, colour: BU, type: TXL}}\n" for n, size in enumerate(sizes)))
    assert ("splice-over-sleeve" in {finding.code for finding in found(text)}) is not fits


HALVES = """\
connectors:
  X1: {{half: socket, mates: X2, face: [[1..3], [4..6]], view: mating face, lock: top}}
  X2: {{half: plug, face: {male}, view: mating face, lock: top}}
  X3: {{}}
wires:
"""
CIRCUITS = ("wiper", "washer", "horn", "lamp", "fan", "pump")


@pytest.mark.outside("one maker's book: sockets are numbered from upper left to lower right, pins from upper right to lower left, each seen from its mating face (facts 6)")
@pytest.mark.parametrize(("order", "words"), [((1, 2, 3, 4, 5, 6), ""), ((3, 2, 1, 6, 5, 4), "all of them agree where X2 is numbered from the other side")])
def test_halves_numbered_as_the_book_has_it_agree(order: tuple[int, ...], words: str):
    text = HALVES.format(male="[[3..1], [6..4]]")
    for half, cavities in (("X1", (1, 2, 3, 4, 5, 6)), ("X2", order)):     # the second order: pins counted from the upper left as well
        text += "".join(f"  {half}{cavity}: {{from: {half}.{cavity}, to: X3.{half}{cavity}, size: 1 mm2, colour: {colour}, type: TXL, circuit: {circuit}}}\n"
                        for cavity, circuit, colour in zip(cavities, CIRCUITS, ("BU", "GN", "YE", "WH", "GY", "OG"), strict=True))
    findings = found(text)
    assert [finding.code for finding in findings] == (["mated-cavities-differ"] if words else [])
    assert all(words in finding.do for finding in findings)
