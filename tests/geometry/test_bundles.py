"""Bundle diameters, splices in them, and grommets."""

from __future__ import annotations

from math import sqrt

import pytest

from harnessdoc.findings import Severity
from harnessdoc.geometry.bundles import bundle_diameter_mm
from harnessdoc.geometry.measure import Geometry, measure
from helpers import harness_of


@pytest.mark.parametrize(("diameters", "expected"), [
    ([2.0], 2.0), ([2.0, 3.0], 5.0), ([2.0, 2.0, 2.0], 1.2 * sqrt(12)), ([2.0] * 30, 1.2 * sqrt(30 * 4)), ([5.0, 5.0, 0.1], 10.0),
])
def test_the_diameter_of_a_bundle(diameters: list[float], expected: float):
    assert bundle_diameter_mm(diameters) == pytest.approx(expected)


BUNDLE = """
    segments:
      T1: {from: P1, to: P2, length: 100 mm GROMMET}
      T2: {from: P2, to: P3, length: 100 mm}
    connectors:
      X1: {place: P1}
      X2: {place: P2}
      X3: {place: P3}
    splices:
      S1: {WHERE}
    wires:
      a: {from: X1.1, to: S1, diameter: 2 mm}
      b: {from: S1, to: X2.1, diameter: 2 mm}
      c: {from: S1, to: X2.2, diameter: 3 mm}
      d: {from: X1.2, to: X2.3, diameter: 1 mm}
      e: {from: X1.3, to: X3.1, diameter: 1.5 mm}
"""


def geometry_of(where: str = "at: 40 mm from P1 toward P2", grommet: str = "") -> Geometry:
    return measure(harness_of(BUNDLE.replace("WHERE", where).replace(" GROMMET", grommet)))


def test_a_wire_that_ends_at_a_splice_fills_only_its_part():
    bundle = geometry_of().bundles["T1"]
    first, second = bundle.stretches
    assert (first.from_mm, first.to_mm, first.wires) == (0, 40, ("a", "d", "e"))
    assert (second.from_mm, second.to_mm, second.wires) == (40, 100, ("b", "c", "d", "e"))
    assert first.diameter_mm == pytest.approx(2 + 1.5)   # more than 1.2 sqrt(2^2 + 1^2 + 1.5^2) = 3.23
    assert second.diameter_mm == pytest.approx(3 + 2)   # more than 4.84
    assert bundle.diameter_mm == second.diameter_mm
    assert bundle.wires == ("a", "d", "e", "b", "c")


def test_at_a_splice_its_members_are_replaced_by_it():
    # sides: a (2 mm) and b with c (5 mm); the splice: 5 mm and 2 x 1 mm of wall; d and e pass
    (bulge,) = geometry_of().bundles["T1"].at_splices
    assert (bulge.splices, bulge.offset_mm, bulge.at_end) == (("S1",), 40, False)
    assert bulge.diameter_mm == pytest.approx(max(1.2 * sqrt(7**2 + 1**2 + 1.5**2), 7 + 1.5))
    assert geometry_of().bundles["T1"].widest_mm == bulge.diameter_mm
    assert geometry_of().bundles["T2"].at_splices == ()


def test_a_splice_at_an_end_shows_in_the_segments_it_sends_wires_into():
    bundles = geometry_of("place: P1").bundles
    (bulge,) = bundles["T1"].at_splices
    # a stays at P1: its side is unknown, and so is the size of the splice
    assert (bulge.offset_mm, bulge.at_end, bulge.diameter_mm) == (0, True, None)
    moved = measure(harness_of(BUNDLE.replace("WHERE", "place: P2").replace(" GROMMET", "").replace("from: S1, to: X2", "from: S1, to: X3"))).bundles
    (left,), (right,) = moved["T1"].at_splices, moved["T2"].at_splices
    assert (left.offset_mm, right.offset_mm) == (100, 0)
    # T1: d, e pass; T2: e passes; the splice is 7 mm in both
    assert left.diameter_mm == pytest.approx(max(1.2 * sqrt(7**2 + 1 + 1.5**2), 8.5))
    assert right.diameter_mm == pytest.approx(7 + 1.5)


def test_two_splices_in_one_place_stand_together():
    text = BUNDLE.replace("WHERE", "at: 40 mm from P1 toward P2}\n      S2: {at: 60 mm from P2 toward P1").replace(" GROMMET", "")
    text += "      f: {from: X1.4, to: S2, diameter: 2 mm}\n      g: {from: S2, to: X2.4, diameter: 2 mm}\n"
    (bulge,) = measure(harness_of(text)).bundles["T1"].at_splices
    assert bulge.splices == ("S1", "S2")
    # 7 mm, 2 + 2 mm, d and e
    assert bulge.diameter_mm == pytest.approx(max(1.2 * sqrt(7**2 + 4**2 + 1 + 1.5**2), 11))


def test_wires_of_unknown_size_are_counted():
    text = BUNDLE.replace("WHERE", "place: P1").replace(" GROMMET", "").replace(", diameter: 1 mm", "").replace(", diameter: 1.5 mm", "")
    bundles = measure(harness_of(text)).bundles
    assert (bundles["T1"].unknown, bundles["T1"].diameter_mm) == (2, 5)
    assert (bundles["T2"].unknown, bundles["T2"].diameter_mm, bundles["T2"].widest_mm) == (1, None, None)


def test_a_cable_is_one_and_a_pair_is_two():
    geometry = measure(harness_of("""
        segments: {T1: {from: P1, to: P2, length: 100 mm}}
        connectors: {X1: {place: P1}, X2: {place: P2}}
        cables: {W1: {diameter: 4 mm}, W2: {}}
        pairs: {TP1: {lay: 20 mm}}
        wires:
          a: {from: X1.1, to: X2.1, diameter: 1.5 mm, cable: W1}
          b: {from: X1.2, to: X2.2, diameter: 1.5 mm, cable: W1}
          c: {from: X1.3, to: X2.3, diameter: 2 mm, pair: TP1}
          d: {from: X1.4, to: X2.4, diameter: 2 mm, pair: TP1}
          e: {from: X1.5, to: X2.5, diameter: 1 mm, cable: W2}
    """))
    bundle = geometry.bundles["T1"]
    assert bundle.diameter_mm == pytest.approx(4 + 2)   # more than 1.2 sqrt(4^2 + 2^2 + 2^2) = 5.88
    assert (bundle.unknown, bundle.wires) == (1, ("a", "b", "c", "d", "e"))


def test_diameters_come_from_the_tables_unless_measured():
    # reference facts 2.2: ISO 6722 thin wall, 0.5 mm2 1.6 mm, 1.5 mm2 2.4 mm at most (from memory)
    diameters = measure(harness_of("""
        wire-type: PVC 85 C
        connectors: {X1: {}, X2: {}}
        wires:
          a: {from: X1.1, to: X2.1, size: 0.5 mm2}
          b: {from: X1.2, to: X2.2, size: 1.5 mm2}
          c: {from: X1.3, to: X2.3, size: 0.5 mm2, diameter: 1.9 mm}
          d: {from: X1.4, to: X2.4}
    """)).diameters
    assert diameters == {"a": 1.6, "b": 2.4, "c": 1.9, "d": None}


@pytest.mark.parametrize(("grommet", "message"), [
    ("4 mm", "the bundle in segment T1 is 5.0 mm thick, but the bore of its grommet is 4 mm: 1.0 mm too little; the tightest packing found takes 5.0 mm"),
    ("6 mm", "the bundle in segment T1 is 8.7 mm thick at splice S1, but the bore of its grommet is 6 mm: 2.7 mm too little; the tightest packing found takes 8.5 mm"),
])
def test_a_grommet_that_is_too_small(grommet: str, message: str):
    (finding,) = geometry_of(grommet=f", grommet: {grommet}").findings
    assert (finding.code, finding.severity, finding.message) == ("bundle-over-grommet", Severity.MALFUNCTION, message)
    assert str(finding.place) == "harness.yaml:3:51"
    assert finding.do == "take a larger grommet, or move wires or the splice to another segment"


def test_a_grommet_that_is_large_enough_says_nothing():
    assert geometry_of(grommet=", grommet: 9 mm").findings == ()
