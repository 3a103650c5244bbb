"""Why a wire has no length: of each way in which it can lack one, the words that say what to do."""

from __future__ import annotations

import pytest
from sheets.contexts import context_of

from harnessdoc.geometry.no_length import why_no_length

BUNDLE = """
    segments:
      T1: {from: P1, to: P2, length: 400 mm}
      T2: {from: P2, to: P3}
      T3: {from: P3, to: P4}
      T8: {from: Q1, to: Q2, length: 100 mm}
    connectors:
      X1: {place: P1, face: [[1..9]], view: wire side}
      X2: {place: P2, face: [[1..9]], view: wire side}
      X3: {place: P3, face: [[1..9]], view: wire side}
      X4: {place: P4, face: [[1..9]], view: wire side}
      X5: {face: [[1..9]], view: wire side}
      X8: {place: Q1, face: [[1..9]], view: wire side}
      X9: {place: nowhere, face: [[1..9]], view: wire side}
    splices:
      S1: {members: [unknown]}
      S2: {at: 80 mm from P3 toward P1, members: [unknown]}
      S3: {at: 80 mm from P1 toward P2, members: [unknown]}
    wires:
      1: {from: X1.1, to: X2.1}
      2: {from: X1.2, to: X3.2}
      3: {from: X1.3, to: X4.3}
      4: {from: X1.4, to: unknown}
      5: {from: X1.5, to: open}
      6: {from: X1.6, to: X5.6}
      7: {from: X1.7, to: S1}
      8: {from: X1.8, to: X8.8}
      9: {from: X1.9, to: X9.9}
      10: {from: S3, to: S2}
      11: {from: X4.1, to: unknown, length: 300 mm}
      12: {from: S3, to: X2.2}
"""


@pytest.mark.parametrize(("wire", "words"), [
    ("1", ""), ("11", ""), ("12", ""), ("2", "segment T2 has no length"), ("3", "segments T2, T3 have no length"), ("4", "an end is not found yet"), ("5", "an end is open: only measuring tells"),
    ("6", "no place is given for X5"), ("7", "no place is given for S1"), ("8", "no segment joins X1.8 and X8.8"), ("9", "no segment leads to nowhere"), ("10", "where S2 sits cannot be worked out"),
])
def test_it_says_what_is_missing(wire: str, words: str) -> None:
    context = context_of(BUNDLE)
    assert (context.geometry.lengths[wire].finished_mm is None) is bool(words)
    assert why_no_length(context.harness, context.geometry, wire) == words


def test_without_segments_and_inside_a_box() -> None:
    context = context_of("""
        connectors:
          X1: {place: P1, face: [[1, 2]], view: wire side}
          X2: {place: P2, face: [[1, 2]], view: wire side}
        boxes: {B1: {place: P1}}
        fuses:
          F1: {box: B1, rating: 5 A, type: blade}
          F2: {box: B1, rating: 5 A, type: blade}
        wires:
          1: {from: X1.1, to: X2.1}
          2: {from: F1.1, to: F2.1}
    """)
    assert [why_no_length(context.harness, context.geometry, wire) for wire in ("1", "2")] == ["no segments are described", "it is a link inside a box"]
