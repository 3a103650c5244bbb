"""The bundle at its named stations: what lies there, how wide it is with its covering, and stations that are none."""

from __future__ import annotations

from math import sqrt

import pytest

from harnessdoc.findings import Severity
from harnessdoc.geometry.cuts import Cut, beyond_segments, cuts, has_cuts
from harnessdoc.geometry.measure import measure
from harnessdoc.model.harness import Harness
from helpers import harness_of

ENDS = "connectors:\n  X1: {place: P1}\n  X2: {place: P2}\n"
SPLICED = """
splices:
  S1: {at: 100 mm from P1 toward P2}
  S2: {place: P2}
wires:
  1: {from: X1.1, to: S1, diameter: 2 mm}
  2: {from: S1, to: X2.1, diameter: 3 mm}
  3: {from: S1, to: X2.2, diameter: 1 mm}
  4: {from: X1.2, to: X2.3, diameter: 1.5 mm}
  5: {from: X1.3, to: S2, diameter: 1.2 mm}
"""


def bundle(sections: str, more: str = "length: 300 mm", rest: str = SPLICED) -> Harness:
    return harness_of(f"{ENDS}segments:\n  T1: {{from: P1, to: P2, {more}, sections: {{{sections}}}}}\n{rest}")


def found(harness: Harness) -> dict[str, Cut]:
    return {cut.name: cut for cut in cuts(harness, measure(harness))}


def ids(cut: Cut) -> set[str]:
    return {item.id for item in cut.packed.section.items}


def test_what_lies_at_a_station_is_what_runs_there():
    at = found(bundle("A: 0 mm, B: 99 mm, C: 100 mm, D: 101 mm, E: 300 mm"))
    assert list(at) == ["A", "B", "C", "D", "E"]
    assert ids(at["A"]) == ids(at["B"]) == {"1", "4", "5"}
    # where a splice sits it stands for its members
    assert ids(at["C"]) == {"S1", "4", "5"}
    assert ids(at["D"]) == {"2", "3", "4", "5"}
    assert ids(at["E"]) == {"2", "3", "4", "S2"}
    assert [cut.at_mm for cut in at.values()] == [0.0, 99.0, 100.0, 101.0, 300.0]


@pytest.mark.outside("three touching circles: 2.1547005 wires wide (facts 9.1), more than the trade's 1.2 sqrt(3) = 2.078; a wall is passed twice")
def test_outside_is_the_larger_diameter_and_the_wall_on_both_sides():
    wires = "wires:\n" + "".join(f"  {number}: {{from: X1.{number}, to: X2.{number}, diameter: 2 mm}}\n" for number in (1, 2, 3))
    cut = found(bundle("A: 10 mm", "length: 300 mm, covering: tube, covering-wall: 0.8 mm", wires))["A"]
    assert cut.packed.section.estimate_mm == pytest.approx(1.2 * sqrt(12))
    assert cut.outside_mm == pytest.approx(2.1547005 * 2 + 1.6, abs=1e-5)


def test_what_is_not_known_is_not_reckoned():
    wires = "wires:\n  1: {from: X1.1, to: X2.1, diameter: 2 mm}\n  2: {from: X1.2, to: X2.2}\n"
    unknown = found(bundle("A: 10 mm", "length: 300 mm, covering-wall: 1 mm", wires))["A"]
    assert (unknown.outside_mm, [item.id for item in unknown.packed.section.unknown]) == (None, ["2"])
    assert found(bundle("A: 10 mm"))["A"].outside_mm is None, "no wall is stated"
    empty = found(bundle("A: 10 mm", "length: 300 mm, covering-wall: 1 mm", ""))["A"]
    assert (empty.packed.section.items, empty.packed.packing.diameter, empty.outside_mm) == ((), 0.0, None)


def test_a_segment_without_a_length_is_the_same_all_along():
    wires = "wires:\n  1: {from: X1.1, to: X2.1, diameter: 2 mm}\n"
    assert ids(found(bundle("A: 5 m", "zone: cabin", wires))["A"]) == {"1"}


def test_a_station_beyond_its_segment_is_told_and_not_drawn():
    harness = bundle("A: 301 mm, B: 300 mm")
    (finding,) = (finding for finding in measure(harness).findings if finding.code == "section-beyond-segment")
    assert finding.severity is Severity.ADVICE
    assert finding.message == "station A is 301 mm from P1, but segment T1 is 300 mm long"
    assert (finding.at, finding.value, finding.limit, finding.do) == (("segment T1",), "301 mm", "300 mm", "write a length up to 300 mm, or put it on the next segment")
    assert list(found(harness)) == ["B"]
    assert has_cuts(harness) and not has_cuts(bundle("A: 301 mm"))
    assert beyond_segments(bundle("B: 300 mm")) == []
