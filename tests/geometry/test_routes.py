"""The ways of wires, and what keeps them from having one."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.geometry.measure import measure
from helpers import harness_of

#   P1 --T1 100-- P2 --T2 100-- P3      P2 --T3 50-- P4 --T4 40-- P3      P4 --T5 10-- P5
SQUARE = """
    segments:
      T1: {from: P1, to: P2, length: 100 mm}
      T2: {from: P2, to: P3, length: 100 mm}
      T3: {from: P2, to: P4, length: 70 mm}
      T4: {from: P4, to: P3, length: 40 mm}
      T5: {from: P4, to: P5, length: 10 mm}
    connectors:
      X1: {place: P1}
      X3: {place: P3}
    splices:
      S1: {at: 30 mm from P2 toward P3}
    wires:
      w: {WIRE}
"""


def way_of(wire: str) -> str:
    route = measure(harness_of(SQUARE.replace("WIRE", wire))).lengths["w"].route
    return " ".join(("+" if step.forward else "-") + step.segment for step in route.steps)


@pytest.mark.parametrize(("wire", "way"), [
    pytest.param("from: X1.1, to: X3.1", "+T1 +T2 +T2", id="shortest, over both pieces of a segment with a splice"),
    pytest.param("from: X1.1, to: X3.1, via: [T3]", "+T1 +T3 +T4", id="past a segment"),
    pytest.param("from: X3.1, to: X1.1, via: [T3]", "-T4 -T3 -T1", id="past a segment, turned"),
    pytest.param("from: X1.1, to: X3.1, via: [P4]", "+T1 +T3 +T4", id="past a point"),
    pytest.param("from: X1.1, to: X3.1, via: [P5]", "+T1 +T3 +T5 -T5 +T4", id="into a branch and back"),
    pytest.param("from: X1.1, to: X3.1, via: [T5]", "+T1 +T3 +T5 -T5 +T4", id="along a branch and back"),
    pytest.param("from: X1.1, to: X3.1, via: [T4, T2]", "+T1 +T2 +T2 -T4 -T3 +T2 +T2", id="in the stated order"),
    pytest.param("from: S1, to: X3.1, via: [T2]", "+T2", id="from a splice along its own segment"),
    pytest.param("from: X3.1, to: S1, via: [T2]", "-T2", id="to a splice along its own segment"),
    pytest.param("from: S1, to: X3.1, via: [T3]", "-T2 +T3 +T4", id="from a splice the other way round"),
    pytest.param("from: X1.1, to: S1, via: [T4, T2]", "+T1 +T3 +T4 -T2", id="to a splice from its far side"),
])
def test_ways(wire: str, way: str):
    assert way_of(wire) == way


APART = """
    segments:
      T1: {from: P1, to: P2, length: 100 mm}
      T2: {from: P2, to: P3, length: 100 mm}
      U1: {from: Q1, to: Q2, length: 100 mm}
    connectors:
      X1: {place: P1}
      X2: {place: Q2}
      X3: {place: P3}
    wires:
      w: {WIRE}
"""


@pytest.mark.parametrize(("wire", "message"), [
    ("from: X1.1, to: X2.1", "wire w from X1.1 to X2.1: no segment joins P1 and Q2; one group is T1, T2, the other U1"),
    ("from: X1.1, to: X3.1, via: [U1]", "wire w from X1.1 to X3.1: no segment joins P1 and Q1 past what `via` names; one group is T1, T2, the other U1"),
    ("from: X1.1, to: X2.1, via: [P2]", "wire w from X1.1 to X2.1: no segment joins P2 and Q2 past what `via` names; one group is T1, T2, the other U1"),
])
def test_ends_that_no_way_joins(wire: str, message: str):
    geometry = measure(harness_of(APART.replace("WIRE", wire)))
    (finding,) = geometry.findings
    assert (finding.code, finding.severity, finding.message) == ("no-route", Severity.MALFUNCTION, message)
    assert str(finding.place) == "harness.yaml:11:6"
    assert finding.do == "add the segment that joins the two groups, or correct the place of one end"
    assert geometry.lengths["w"].finished_mm is None


def test_a_wire_at_a_place_off_the_bundle_is_not_reported_twice():
    geometry = measure(harness_of(APART.replace("WIRE", "from: X1.1, to: X2.1").replace("Q2}", "Z}")))
    assert [finding.code for finding in geometry.findings] == ["place-off-the-bundle"]


LOOP = """
    segments:
      T1: {from: A, to: B, length: 10 mm}
      T2: {from: B, to: C, length: 10 mm}
      T3: {from: C, to: A, LENGTH}
      T4: {from: C, to: D, length: 10 mm}
      T5: {from: D, to: E, length: 10 mm}
      T6: {from: E, to: F, length: 10 mm}
      T7: {from: F, to: D, length: 10 mm}
      T8: {from: F, to: G, TAIL}
    connectors: {X1: {place: A}, X2: {place: G}, X3: {place: C}}
    wires:
      w: {from: X1.1, to: X2.1}
      v: {from: X3.1, to: X2.2}
      u: {from: X1.2, to: X3.2}
"""


def test_a_loop_with_a_segment_without_length_is_an_error():
    geometry = measure(harness_of(LOOP.replace("LENGTH", "zone: engine").replace("TAIL", "length: 1 mm")))
    (finding,) = geometry.findings
    assert (finding.code, finding.severity) == ("loop-without-length", Severity.ERROR)
    assert finding.message == "segment T3 has no length and is part of the loop T1, T2, T3: the shortest way through it cannot be known"
    assert (str(finding.place), finding.do) == ("harness.yaml:5:7", "measure segment T3 and write its length")


def test_a_bridge_between_loops_is_on_no_loop():
    text = LOOP.replace("LENGTH", "length: 10 mm").replace("TAIL", "length: 1 mm").replace("from: C, to: D, length: 10 mm", "from: C, to: D")
    (finding,) = measure(harness_of(text)).findings
    assert (finding.code, finding.severity) == ("segment-length-unknown", Severity.ADVICE)
    assert finding.message == "segment T4 from C to D has no length: the length of 2 wires is unknown"


def test_two_segments_between_the_same_points_are_a_loop():
    (finding,) = measure(harness_of("segments:\n  T1: {from: A, to: B}\n  T2: {from: B, to: A, length: 5 mm}\n")).findings
    assert finding.message.startswith("segment T1 has no length and is part of the loop T1, T2:")


def test_a_segment_without_length_that_no_wire_passes_says_nothing():
    text = LOOP.replace("LENGTH", "length: 10 mm").replace("TAIL", "zone: engine")
    assert [finding.code for finding in measure(harness_of(text)).findings] == ["segment-length-unknown"]
    assert measure(harness_of(text.replace("place: G", "place: F"))).findings == ()
