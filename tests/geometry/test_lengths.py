"""Lengths by hand: route, take-up, allowances, measured, rounding."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from harnessdoc.findings import Severity
from harnessdoc.geometry.lengths import round_up, twist_factor
from harnessdoc.geometry.measure import Geometry, measure
from harnessdoc.model.harness import Allowances
from helpers import harness_of

BUNDLE = """
    {ALLOWANCES}
    segments:
      T1: {from: P1, to: P2, length: 330 mm}
      T2: {from: P2, to: P3, length: 170 mm}
    splices:
      S1: {place: P2}
    connectors:
      X1: {place: P1, service: 60 mm}
      X2: {place: P3}
      X3: {}
"""


def geometry_of(more: str, allowances: str = "") -> Geometry:
    return measure(harness_of(BUNDLE.replace("{ALLOWANCES}", allowances or "title: t") + more))


def test_the_order_is_route_then_allowances_then_rounding():
    lengths = geometry_of("""
    wires:
      a: {from: X1.1, to: X2.1}
      b: {from: X2.2, to: S1}
      c: {from: S1, to: X1.2}
      d: {from: X2.3, to: X2.4}
    """).lengths
    a, b, c, d = (lengths[wire] for wire in "abcd")
    assert (a.routed_mm, a.allowance_mm, a.computed_mm, a.finished_mm, a.cut_mm) == (500, 50 + 50 + 60, 660, 660, 700)
    assert (b.routed_mm, b.allowance_mm, b.finished_mm, b.cut_mm) == (170, 50 + 10, 230, 250)
    assert (c.routed_mm, c.allowance_mm, c.finished_mm, c.cut_mm) == (330, 10 + 50 + 60, 450, 450)
    assert (d.routed_mm, d.finished_mm, d.cut_mm) == (0, 100, 100)


def test_allowances_as_stated_and_rounding_off():
    lengths = geometry_of("    wires:\n      a: {from: X2.1, to: S1}\n", "allowances: {end: 0 mm, splice: 1.5 mm, rounding: 0 mm}").lengths
    assert (lengths["a"].finished_mm, lengths["a"].cut_mm) == (171.5, 171.5)


def test_a_measured_length_wins_and_is_only_rounded():
    length = geometry_of("    wires:\n      a: {from: X1.1, to: X2.1, length: 622 mm}\n").lengths["a"]
    assert (length.computed_mm, length.measured_mm, length.finished_mm, length.cut_mm) == (660, 622, 622, 650)
    assert length.difference_mm == 622 - 660


def test_an_unknown_or_open_end_has_no_length_unless_measured():
    lengths = geometry_of("""
    wires:
      a: {from: X1.1, to: unknown}
      b: {from: X1.2, to: open}
      c: {from: X1.3, to: unknown, length: 340 mm}
      d: {from: X1.4, to: X3.1}
    """).lengths
    assert [lengths[wire].finished_mm for wire in "abcd"] == [None, None, 340, None]
    assert [lengths[wire].cut_mm for wire in "abcd"] == [None, None, 350, None]
    assert lengths["c"].difference_mm is None


def test_a_link_inside_a_box_has_no_length_but_a_wire_out_of_it_has():
    lengths = measure(harness_of("""
        segments: {T1: {from: P1, to: P2, length: 100 mm}}
        boxes: {B1: {place: P1, bars: {30: [F1.1]}}, B2: {place: P1}}
        fuses: {F1: {box: B1}, F2: {box: B1}, F3: {box: B2}, F4: {place: P2}}
        wires:
          a: {from: F1.2, to: F2.1}
          b: {from: B1.30, to: F2.2}
          c: {from: F1.2, to: F3.1}
          d: {from: F1.2, to: F4.1}
    """)).lengths
    assert [lengths[wire].zero for wire in "abcd"] == [True, True, False, False]
    assert [lengths[wire].finished_mm for wire in "abcd"] == [None, None, 100, 200]


@pytest.mark.parametrize(("mm", "cut"), [(1, 50), (50, 50), (50.01, 100), (1999, 2000), (2000, 2000), (2001, 2100), (2100.0000000001, 2100), (None, None)])
def test_rounding_up(mm: float | None, cut: float | None):
    assert round_up(mm, Allowances()) == cut


def test_rounding_in_inches_does_not_stumble_over_floating_point():
    allowances = Allowances(step_mm=12.7, above_mm=None, step_above_mm=12.7)
    for count in range(1, 400):
        assert round_up(count * 25.4 / 2, allowances) == pytest.approx(count * 12.7, abs=1e-9)


PAIR = """
    wires:
      a: {from: X1.1, to: X2.1, diameter: 2 mm, pair: TP1}
      b: {from: X1.2, to: X2.2, diameter: 1.6 mm, pair: TP1 MORE}
      c: {from: S1, to: X2.3, diameter: 1.6 mm REST}
    pairs:
      TP1: {lay: 20 mm}
"""


def pair_of(text: str) -> Geometry:
    return geometry_of(text.replace(" MORE", "").replace(" REST", ""), "allowances: {end: 0 mm, splice: 0 mm, rounding: 0 mm}")


def test_a_pair_takes_up_length_on_its_whole_way():
    # both members 500 mm; helix of the thicker wire: sqrt(1 + (pi 2/20)^2) = 1.0482
    lengths = pair_of(PAIR.replace("service", "note")).lengths
    assert lengths["a"].take_up_mm == pytest.approx(500 * (sqrt(1 + (pi * 2 / 20) ** 2) - 1))
    assert lengths["a"].take_up_mm == pytest.approx(24.09, abs=0.01)
    assert lengths["b"].take_up_mm == lengths["a"].take_up_mm
    assert lengths["a"].finished_mm == pytest.approx(500 + 60 + 24.09, abs=0.01)
    assert lengths["c"].take_up_mm == 0


def test_three_wires_take_up_more_and_only_where_all_run():
    # all three share T2, 170 mm; D = 1.1547 x 2 mm
    lengths = pair_of(PAIR.replace(" REST", ", pair: TP1")).lengths
    for wire in "abc":
        assert lengths[wire].take_up_mm == pytest.approx(170 * (sqrt(1 + (pi * 1.1547 * 2 / 20) ** 2) - 1))


def test_a_stated_twisted_stretch():
    lengths = pair_of(PAIR.replace("lay: 20 mm", "lay: 20 mm, twisted: 100 mm")).lengths
    assert lengths["a"].take_up_mm == pytest.approx(100 * (twist_factor(2, 20, 2) - 1))


def test_a_twisted_stretch_longer_than_the_way():
    (finding,) = pair_of(PAIR.replace("lay: 20 mm", "lay: 20 mm, twisted: 600 mm")).findings
    assert (finding.code, finding.severity) == ("twisted-beyond-the-way", Severity.MALFUNCTION)
    assert finding.message == "pair TP1 is twisted over 600 mm, but the way of its wires is 500 mm long"
    assert str(finding.place) == "harness.yaml:18:30"


@pytest.mark.parametrize(("before", "after", "why"), [
    ("lay: 20 mm", "title: t", "no lay is stated"),
    ("diameter: 1.6 mm, pair: TP1", "pair: TP1", "the diameter of b is unknown"),
])
def test_a_pair_whose_take_up_is_unknown(before: str, after: str, why: str):
    geometry = pair_of(PAIR.replace(before, after))
    (finding,) = geometry.findings
    assert (finding.code, finding.severity) == ("take-up-unknown", Severity.ADVICE)
    assert finding.message == f"pair TP1: what twisting takes up is not in the lengths of a, b: {why}"
    assert finding.do == "write what is missing, or measure the wires and write `length:`"
    assert geometry.lengths["a"].finished_mm == 560


CABLE = """
    cables:
      W1: {diameter: 5 mm CABLE}
    wires:
      a: {from: X1.1, to: X2.1, cable: W1, pair: TP1, diameter: 2 mm}
      b: {from: S1, to: X2.2, cable: W1, pair: TP1, diameter: 2 mm}
      c: {from: X1.3, to: open, cable: W1, core: drain}
    pairs:
      TP1: {lay: 20 mm}
"""


def test_a_cable_has_the_length_of_its_longest_core_and_no_take_up():
    geometry = geometry_of(CABLE.replace(" CABLE", ""))
    cable = geometry.cables["W1"]
    assert (cable.longest, cable.computed_mm, cable.finished_mm, cable.cut_mm) == ("a", 660, 660, 700)
    for core in "abc":
        assert (geometry.lengths[core].finished_mm, geometry.lengths[core].cut_mm, geometry.lengths[core].take_up_mm) == (660, 700, 0)
    assert [geometry.lengths[core].computed_mm for core in "abc"] == [660, 230, None]


def test_a_measured_cable():
    geometry = geometry_of(CABLE.replace(" CABLE", ", length: 800 mm"))
    cable = geometry.cables["W1"]
    assert (cable.measured_mm, cable.finished_mm, cable.cut_mm, cable.difference_mm) == (800, 800, 800, 140)
    assert geometry.lengths["b"].finished_mm == 800


def test_a_link_in_a_box_that_was_measured_is_a_wire_to_cut():
    text = """
    boxes:
      B1: {}
    fuses:
      F1: {box: B1}
      F2: {box: B1}
    wires:
      1: {from: F1.2, to: F2.1}
      2: {from: F1.1, to: F2.2, length: 180 mm}
    """
    lengths = measure(harness_of(text)).lengths
    assert (lengths["1"].zero, lengths["1"].cut_mm) == (True, None)
    assert (lengths["2"].zero, lengths["2"].finished_mm, lengths["2"].cut_mm) == (False, 180, 200)
