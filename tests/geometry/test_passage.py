"""What passes through grommets, and whether it goes through."""

from __future__ import annotations

from math import hypot, sqrt
from pathlib import Path
from random import Random
from time import process_time

import pytest

from harnessdoc.findings import Finding
from harnessdoc.geometry import passage as passage_module
from harnessdoc.geometry.bundles import bundle_diameter_mm
from harnessdoc.geometry.measure import measure
from harnessdoc.geometry.packing import lay, pack
from harnessdoc.geometry.passage import Passage, has_passages, over_grommets, passages
from harnessdoc.model.harness import Harness
from harnessdoc.steps import load
from helpers import harness_of

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"
ENDS = "connectors:\n  X1: {place: P1}\n  X2: {place: P2}\n"


def straight(diameters: list[float | None], bore: str, more: str = "", wires: str = "") -> Harness:
    """Wires from X1 to X2 through one grommet."""
    text = f"{ENDS}segments:\n  T1: {{from: P1, to: P2, length: 300 mm, grommet: {bore}}}\n{more}wires:\n"
    for number, diameter in enumerate(diameters, start=1):
        text += f"  {number}: {{from: X1.{number}, to: X2.{number}{f', diameter: {diameter:g} mm' if diameter else ''}}}\n"
    return harness_of(text + wires)


def passage_of(harness: Harness) -> Passage:
    (one,) = passages(harness, measure(harness))
    return one


def found(harness: Harness) -> list[Finding]:
    return [finding for finding in measure(harness).findings if finding.code == "bundle-over-grommet"]


@pytest.mark.outside("common practice: 30 wires of 2.0 mm make a bundle of 13.1 mm (trade 6.5); the best packing known of 30 is 6.1977411 wires wide (facts 9.1)")
def test_the_larger_of_packing_and_estimate_counts_and_the_room_is_what_is_left():
    one = passage_of(straight([2.0] * 30, "20 mm"))
    section = one.widest
    assert section.section.estimate_mm == pytest.approx(13.1, abs=0.05)
    assert 6.1977410 * 2.0 <= section.packing.diameter < section.section.estimate_mm == section.diameter_mm
    assert one.room_mm == pytest.approx(20 - 13.1, abs=0.05)
    assert one.free_share == pytest.approx(1 - (13.1 / 20) ** 2, abs=0.005)
    assert one.passes is True


@pytest.mark.outside("three touching circles: 2.1547005 wires wide (facts 9.1), more than the trade's 1.2 sqrt(3) = 2.078")
@pytest.mark.parametrize(("bore", "passes"), [("4.32 mm", True), ("4.2 mm", False)])
def test_where_the_estimate_is_below_the_packing_the_packing_decides(bore: str, passes: bool):
    harness = straight([2.0] * 3, bore)
    one = passage_of(harness)
    assert one.widest.section.estimate_mm == pytest.approx(1.2 * sqrt(12))
    assert one.widest.diameter_mm == pytest.approx(2.1547005 * 2, abs=1e-6)
    assert one.passes is passes
    assert [finding.message for finding in found(harness)] == ([] if passes else [
        "the bundle in segment T1 is 4.3 mm thick, but the bore of its grommet is 4.2 mm: 0.1 mm too little; the tightest packing found takes 4.3 mm"])


@pytest.mark.outside("four touching circles: 2.4142136 wires wide (facts 9.1)")
def test_a_bundle_that_the_quick_packing_alone_would_refuse_goes_through():
    assert lay([2.0] * 4).diameter > 5.0 > 2.4142136 * 2.0
    assert found(straight([2.0] * 4, "5 mm")) == []
    assert len(found(straight([2.0] * 4, "4.8 mm"))) == 1


def test_two_wires_that_just_fill_the_bore_go_through():
    assert found(straight([2.0, 2.1], "4.1 mm")) == [] and passage_of(straight([2.0, 2.1], "4.1 mm")).passes is True
    (finding,) = found(straight([2.0, 2.1], "4.08 mm"))
    assert "4.10 mm thick, but the bore of its grommet is 4.08 mm: 0.02 mm too little" in finding.message


def test_what_has_no_diameter_is_named_and_leaves_the_verdict_open():
    cable = "cables:\n  C1: {}\n"
    one = passage_of(straight([2.0, None], "9 mm", cable, "  7: {from: X1.7, to: X2.7, cable: C1}\n  8: {from: X1.8, to: X2.8, cable: C1}\n"))
    assert [(item.kind, item.id) for item in one.unknown] == [("wire", "2"), ("cable", "C1")]
    assert [(item.kind, item.id, item.diameter_mm) for item in one.widest.section.items] == [("wire", "1", 2.0)]
    assert one.passes is None and one.lets_through(one.widest) is None and one.room_mm == pytest.approx(7.0)
    assert passage_of(straight([9.5, None], "9 mm")).passes is False


def test_what_has_no_diameter_beside_the_thickest_place_leaves_the_verdict_open_too():
    # wire 7 ends at the splice, whose other side is thick: its own part of the segment might be thicker still
    one = passage_of(straight([], "9 mm", "splices:\n  S1: {at: 100 mm from P1 toward P2}\n", "  7: {from: X1.7, to: S1}\n  8: {from: S1, to: X2.7, diameter: 3 mm}\n"))
    assert one.widest.section.splices == () and one.lets_through(one.widest) is True
    assert [item.id for item in one.unknown] == ["7", "S1"] and one.passes is None


def test_a_cable_lies_there_once_with_its_jacket():
    one = passage_of(straight([2.0], "9 mm", "cables:\n  C1: {diameter: 5 mm}\n", "  7: {from: X1.7, to: X2.7, cable: C1}\n  8: {from: X1.8, to: X2.8, cable: C1}\n"))
    assert [(item.kind, item.id, item.diameter_mm) for item in one.widest.section.items] == [("wire", "1", 2.0), ("cable", "C1", 5.0)]
    assert one.widest.diameter_mm == pytest.approx(7.0)


SPLICED = "splices:\n  S1: {at: 100 mm from P1 toward P2}\n"
MEMBERS = "  7: {from: X1.7, to: S1, diameter: 2 mm}\n  8: {from: S1, to: X2.7, diameter: 2 mm}\n  9: {from: S1, to: X2.8, diameter: 2 mm}\n"


def test_a_splice_at_its_station_is_one_of_the_circles():
    # its sides: one wire of 2 mm, two together 4 mm; with 1 mm of heat-shrink all round it is 6 mm
    harness = straight([2.0], "7.5 mm", SPLICED, MEMBERS)
    one = passage_of(harness)
    fullest, at_splice = one.sections
    assert (fullest.section.from_mm, fullest.section.to_mm, fullest.section.splices) == (100, 300, ())
    assert [item.id for item in fullest.section.items] == ["1", "8", "9"]
    assert (at_splice.section.from_mm, at_splice.section.to_mm, at_splice.section.splices) == (100, 100, ("S1",))
    assert [(item.kind, item.id, item.diameter_mm) for item in at_splice.section.items] == [("wire", "1", 2.0), ("splice", "S1", 6.0)]
    assert one.widest is at_splice and one.widest.diameter_mm == pytest.approx(8.0)
    assert one.lets_through(fullest) is True and one.passes is False
    (finding,) = found(harness)
    assert finding.message.startswith("the bundle in segment T1 is 8.0 mm thick at splice S1, but the bore of its grommet is 7.5 mm: 0.5 mm too little")
    assert finding.at == ("segment T1", "S1")


def test_without_a_grommet_or_without_wires_there_is_no_passage():
    empty = harness_of(f"{ENDS}segments:\n  T1: {{from: P1, to: P2, length: 300 mm, grommet: 9 mm}}\n")
    plain = harness_of(f"{ENDS}segments:\n  T1: {{from: P1, to: P2, length: 300 mm}}\nwires:\n  1: {{from: X1.1, to: X2.1, diameter: 2 mm}}\n")
    for harness in (empty, plain):
        assert passages(harness, measure(harness)) == () and not has_passages(harness, measure(harness))
    full = straight([2.0], "9 mm")
    assert has_passages(full, measure(full))


@pytest.mark.parametrize("seed", range(30))
def test_the_finding_comes_just_where_the_larger_of_the_two_is_over_the_bore(seed: int):
    # the rule packs only where it must; a passage always does
    random = Random(seed)
    sizes = [round(random.uniform(1.0, random.choice([1.2, 3.0, 8.0])), 1) for _ in range(random.randrange(1, 9))]
    larger = max(bundle_diameter_mm(sizes), pack(sizes).diameter)
    for bore in (larger * 0.97, larger * 0.995, larger * 1.005, larger * 1.03, hypot(*sizes) * 1.4):
        harness = straight(sizes, f"{bore:.4f} mm")
        assert bool(found(harness)) is (larger > bore + 0.01) is (passage_of(harness).passes is False)


def test_what_passes_the_grommet_of_the_linnet():
    loaded = load(LINNET, solve=False)
    assert loaded.harness and loaded.geometry
    (one,) = passages(loaded.harness, loaded.geometry)
    assert one.segment == "T4" and one.passes is True
    through = set(loaded.geometry.bundles["T4"].wires)
    cores = {wire for cable in loaded.harness.cables.values() for wire in cable.wires}
    assert {item.id for item in one.widest.section.items if item.kind == "wire"} == through - cores
    assert one.widest.diameter_mm == pytest.approx(loaded.geometry.bundles["T4"].diameter_mm)


def test_a_rule_that_need_not_pack_does_not(monkeypatch: pytest.MonkeyPatch):
    loaded = load(LINNET, solve=False)
    assert loaded.harness and loaded.geometry
    harness, geometry = loaded.harness, loaded.geometry
    for packs in ("lay", "pack"):
        monkeypatch.setattr(passage_module, packs, lambda diameters: pytest.fail("packed"))
    begun = process_time()
    assert over_grommets(harness, geometry.bundles, geometry.stations, geometry.diameters) == []
    assert process_time() - begun < 0.05
