"""Where things sit: splices on segments, and places that are on none."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.geometry.places import find_places, listed
from helpers import harness_of

BUNDLE = """
    segments:
      T1: {from: P1, to: P2, length: 100 mm}
      T2: {from: P3, to: P2, length: 200 mm}
      T3: {from: P3, to: P4}
      T4: {from: Q1, to: Q2, length: 50 mm}
    splices:
      S1: {SPLICE}
"""


def found_at(splice: str):
    return find_places(harness_of(BUNDLE.replace("SPLICE", splice)))


@pytest.mark.parametrize(("at", "segment", "offset"), [
    ("30 mm from P1 toward P2", "T1", 30), ("30 mm from P2 toward P1", "T1", 70), ("120 mm from P1 toward P3", "T2", 180),
    ("0.5 in from P3 toward P2", "T2", 12.7),
])
def test_a_splice_on_a_segment(at: str, segment: str, offset: float):
    places, findings = found_at(f"at: {at}")
    assert findings == []
    assert places.on_segment == {"S1": (segment, offset)}
    assert places.at_point == {}
    assert places.node_of["S1"] == places.graph.splices["S1"]


@pytest.mark.parametrize(("splice", "point"), [
    ("place: P2", "P2"), ("at: 0 mm from P1 toward P3", "P1"), ("at: 100 mm from P1 toward P3", "P2"), ("at: 300 mm from P1 toward P3", "P3"),
])
def test_a_splice_at_a_point(splice: str, point: str):
    places, findings = found_at(splice)
    assert findings == []
    assert (places.at_point, places.on_segment) == ({"S1": point}, {})
    assert places.node_of["S1"] == places.graph.points[point]


@pytest.mark.parametrize(("at", "code", "message", "do"), [
    ("301 mm from P1 toward P3", "splice-beyond-the-way",
     "splice S1 sits 301 mm from P1 toward P3, but the way there is 300 mm long", "write a length up to 300 mm, or name a point farther on"),
    ("10 mm from P1 toward Q2", "no-route",
     "splice S1 sits 10 mm from P1 toward Q2, but no segment leads from P1 to Q2", "add the segments that join them, or name two points that are joined"),
    ("10 mm from P1 toward Z", "place-off-the-bundle",
     "`at` of splice S1 names 'Z', which is no end of any segment",
     "write one of them, or add the segment that leads there: segments end at P1, P2, P3, P4, Q1, Q2"),
])
def test_a_splice_that_is_nowhere(at: str, code: str, message: str, do: str):
    places, (finding,) = found_at(f"at: {at}")
    assert (finding.code, finding.severity, finding.message, finding.do) == (code, Severity.MALFUNCTION, message, do)
    assert str(finding.place) == "harness.yaml:8:12"
    assert "S1" not in places.node_of


def test_behind_a_segment_without_length_a_splice_has_no_place():
    places, findings = found_at("at: 10 mm from P4 toward P2")
    assert findings == [] and "S1" not in places.node_of


def test_a_place_that_is_no_end_of_a_segment():
    _, findings = find_places(harness_of("""
        segments:
          T1: {from: column, to: left of bulkhead, length: 100 mm}
        devices:
          U1: {place: glovebox, connectors: [X2, X3]}
          U2: {place: nowhere}
        connectors:
          X1: {place: colum}
          X2: {}
          X3: {}
          X4: {place: attic}
        grounds:
          G1: {place: frame}
        boxes:
          B1: {place: shelf}
        fuses:
          F1: {box: B1}
        wires:
          a: {from: X1.1, to: X2.1}
          b: {from: X3.1, to: G1}
          c: {from: F1.1, to: X1.2}
    """))
    ends = "segments end at column, left of bulkhead"
    write = "write one of them, or add the segment that leads there: "
    assert [(f.code, f.message, str(f.place), f.do) for f in findings] == [
        # no wire ends at X4 or U2: where they sit changes nothing
        ("place-off-the-bundle", "connector X1 sits at 'colum', which is no end of any segment", "harness.yaml:8:15", f"did you mean column? {ends}"),
        ("place-off-the-bundle", "device U1 sits at 'glovebox', which is no end of any segment", "harness.yaml:5:15", write + ends),
        ("place-off-the-bundle", "box B1 sits at 'shelf', which is no end of any segment", "harness.yaml:15:15", write + ends),
        ("place-off-the-bundle", "ground G1 sits at 'frame', which is no end of any segment", "harness.yaml:13:15", write + ends),
    ]


def test_without_segments_places_are_only_words():
    places, findings = find_places(harness_of("""
        connectors: {X1: {place: here}, X2: {place: there}, X3: {place: here}}
        splices: {S1: {at: 10 mm from here toward there}}
        wires:
          a: {from: X1.1, to: X2.1}
    """))
    assert findings == []
    assert places.node_of["X1"] == places.node_of["X3"] != places.node_of["X2"]
    assert "S1" not in places.node_of


def test_long_lists_are_cut():
    assert listed("abcdef") == "a, b, c, d, e, f"
    assert listed("abcdefgh") == "a, b, c, d, e, f and 2 more"
