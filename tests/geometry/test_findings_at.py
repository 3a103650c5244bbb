"""Findings about where things lie name what they lie at, as a waiver does."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding
from harnessdoc.geometry.measure import measure
from helpers import harness_of

TWO = "connectors:\n  X1: {place: P1}\n  X2: {place: P2}\nsegments:\n"
WIRES = "wires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, type: TXL, diameter: 2 mm}\n  2: {from: X1.2, to: X2.2, size: 1 mm2, type: TXL, diameter: 2 mm}\n"


def found(text: str, code: str) -> Finding:
    (finding,) = (finding for finding in measure(harness_of(text)).findings if finding.code == code)
    return finding


@pytest.mark.parametrize(("text", "code", "at", "value", "limit"), [
    (TWO + "  T1: {from: P1, to: P2, length: 1 m, grommet: 3 mm}\n" + WIRES, "bundle-over-grommet", ("segment T1",), "4.0 mm", "3 mm"),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m, grommet: 5 mm}\nsplices:\n  S1: {at: 400 mm from P1 toward P2}\n" + WIRES.replace("to: X2.1", "to: S1")
     + "  3: {from: S1, to: X2.1, size: 1 mm2, type: TXL, diameter: 2 mm}\n  4: {from: S1, to: X2.3, size: 1 mm2, type: TXL, diameter: 2 mm}\n", "bundle-over-grommet", ("segment T1", "S1"), "8.0 mm", "5 mm"),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m}\npairs:\n  PR1: {}\n" + WIRES.replace("2 mm}", "2 mm, pair: PR1}"), "take-up-unknown", ("pair PR1", "wire 1", "wire 2"), "", ""),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m}\npairs:\n  PR1: {lay: 20 mm, twisted: 1200 mm}\n" + WIRES.replace("2 mm}", "2 mm, pair: PR1}"), "twisted-beyond-the-way",
     ("pair PR1", "wire 1", "wire 2"), "1200 mm", "1000 mm"),
    (TWO + "  T1: {from: P1, to: P9, length: 1 m}\n  T2: {from: P2, to: P3, length: 1 m}\nwires:\n  1: {from: X1.1, to: X2.1}\n", "no-route", ("wire 1",), "", ""),
    (TWO + "  T1: {from: P1, to: P2}\nwires:\n  1: {from: X1.1, to: X2.1}\n", "segment-length-unknown", ("segment T1",), "", ""),
    (TWO + "  T1: {from: P1, to: P2}\n  T2: {from: P1, to: P2, length: 1 m}\nwires:\n  1: {from: X1.1, to: X2.1}\n", "loop-without-length", ("segment T1",), "", ""),
    (TWO + "  T1: {from: P1, to: P3, length: 1 m}\nwires:\n  1: {from: X1.1, to: X2.1}\n", "place-off-the-bundle", ("X2",), "", ""),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m}\nsplices:\n  S1: {at: 400 mm from P1 toward P7}\n", "place-off-the-bundle", ("S1",), "", ""),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m}\nsplices:\n  S1: {at: 1.4 m from P1 toward P2}\n", "splice-beyond-the-way", ("S1",), "1400 mm", "1000 mm"),
    (TWO + "  T1: {from: P1, to: P2, length: 1 m, sections: {A: 1.4 m}}\n", "section-beyond-segment", ("segment T1",), "1400 mm", "1000 mm"),
    (TWO + "  T1: {from: P1, to: P3, length: 1 m}\n  T2: {from: P2, to: P4, length: 1 m}\nsplices:\n  S1: {at: 1.4 m from P1 toward P2}\n", "no-route", ("S1",), "", ""),
])
def test_what_a_finding_lies_at(text: str, code: str, at: tuple[str, ...], value: str, limit: str):
    finding = found(text, code)
    assert (finding.at, finding.value, finding.limit) == (at, value, limit)
