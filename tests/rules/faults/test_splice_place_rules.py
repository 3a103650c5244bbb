"""Where splices sit: zones and grommets, and how far from one another; what the way out proposes is itself free of findings."""

from __future__ import annotations

import re

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

BAD, CLOSE = "splice-in-bad-place", "splices-not-staggered"


def run(splices: list[str], zones: tuple[str, str, str] = ("engine", "engine", "engine"), segment: str = "", more: str = "") -> Loaded:
    """Splices S1, S2 .. of three wires each, from X1 at P1 to X2 at P4; T2 from P2 to P3 has what ``segment`` says."""
    wires = "".join(f"  {n}1: {{from: X1.{n}, to: S{n}, {KNOWN}}}\n  {n}2: {{from: X3.{n}, to: S{n}, {KNOWN}}}\n  {n}3: {{from: S{n}, to: X2.{n}, {KNOWN}}}\n" for n in range(1, len(splices) + 1))
    text = (f"segments:\n  T1: {{from: P1, to: P2, length: 300 mm, zone: {zones[0]}}}\n  T2: {{from: P2, to: P3, length: 400 mm, zone: {zones[1]}{segment}}}\n"
            f"  T3: {{from: P3, to: P4, length: 200 mm, zone: {zones[2]}}}\nconnectors:\n"
            + "".join(f"  X{n}: {{face: [[1..9]], view: mating face, place: P{place}}}\n" for n, place in ((1, 1), (2, 4), (3, 1)))
            + "splices:\n" + "".join(f"  S{n}: {{{said}}}\n" for n, said in enumerate(splices, 1)) + f"wires:\n{wires}{more}")
    return load("heron.yaml", {"heron.yaml": text})


KNOWN = "size: 1 mm2, colour: BU, type: XLPE 125 C"


def found(loaded: Loaded, code: str) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == code]


def moved(finding: Finding) -> dict[str, str]:
    return dict(re.findall(r"(S\d+) to `(at: [^`]+)`", finding.do))


@pytest.mark.parametrize(("zone", "said", "count"), [
    ("engine", "at: 100 mm from P2 toward P3", 0), ("cabin", "at: 100 mm from P2 toward P3", 0),
    ("flexing", "at: 100 mm from P2 toward P3", 1), ("hot", "at: 100 mm from P2 toward P3", 1), ("wet", "at: 100 mm from P2 toward P3", 1),
    ("wet", "at: 100 mm from P2 toward P3, shrink: adhesive-lined 9 mm", 0), ("wet", "at: 100 mm from P2 toward P3, method: solder sleeve", 0),
    ("flexing", "at: 100 mm from P2 toward P3, shrink: adhesive-lined 9 mm", 1), ("flexing", "at: 100 mm from P1 toward P2", 0),
])
def test_the_zone_of_a_splice(zone: str, said: str, count: int):
    findings = found(run([said], ("engine", zone, "engine")), BAD)
    assert len(findings) == count
    assert all((finding.severity, finding.at) == (Severity.MALFUNCTION, ("S1", "segment T2")) for finding in findings)


@pytest.mark.parametrize(("length", "severity"), [("300 mm", Severity.MALFUNCTION), ("301 mm", Severity.ADVICE)])
def test_a_grommet_on_a_long_segment_may_be_elsewhere(length: str, severity: Severity):
    text = "at: 100 mm from P2 toward P3"
    loaded = run([text], segment=", grommet: 40 mm", more="")
    (long,) = found(loaded, BAD)
    assert long.severity is Severity.ADVICE and "passes a grommet of 40 mm" in long.message
    (finding,) = found(run([text], segment=", grommet: 40 mm", more=f"rules: {{{BAD}: {{grommet-on: {'400 mm' if severity is Severity.MALFUNCTION else '399 mm'}}}}}\n"), BAD)
    assert finding.severity is severity


def test_a_splice_at_a_place_has_the_zone_of_the_place():
    loaded = run(["place: P2"], more="places:\n  P2: {zone: hot}\n")
    (finding,) = found(loaded, BAD)
    assert finding.message == "splice S1 sits at place P2 in the hot zone: crimps loosen and solder softens there"
    assert finding.at == ("S1", "place P2")


def test_the_splices_of_one_stretch_are_one_finding_and_move_to_places_of_their_own():
    ats = ["at: 100 mm from P2 toward P3", "at: 150 mm from P2 toward P3", "at: 300 mm from P2 toward P3"]
    (finding,) = found(run(ats, ("engine", "flexing", "engine")), BAD)
    assert finding.message == "splices S1, S2 and S3 sit on segment T2 in the flexing zone: it breaks where it is worked"
    assert len(finding.related) == 2
    moves = moved(finding)
    assert list(moves) == ["S1", "S2", "S3"]
    assert moves["S3"].endswith("from P3 toward P4")        # the nearer end
    again = run(list(moves.values()), ("engine", "flexing", "engine"))
    assert found(again, BAD) == found(again, CLOSE) == []


def test_where_no_good_stretch_is_near_the_way_out_says_so_in_words():
    (finding,) = found(run(["at: 100 mm from P2 toward P3"], ("flexing", "flexing", "flexing")), BAD)
    assert finding.do == "move it to a stretch that stays still, dry and cool"


def test_a_splice_without_a_station_and_segments_without_zones_are_asked():
    loaded = run(["method: weld"])
    assert found(loaded, BAD) == [] and [unasked.things for unasked in loaded.unasked if unasked.code == BAD] == [("S1",)]
    text = f"connectors:\n  X1: {{face: [[1..2]], view: mating face}}\nsplices:\n  S1: {{}}\nwires:\n  1: {{from: X1.1, to: S1, {KNOWN}}}\n  2: {{from: X1.2, to: S1, {KNOWN}}}\n"
    assert not [unasked for unasked in load("heron.yaml", {"heron.yaml": text}).unasked if unasked.code == BAD]     # without segments nothing lies anywhere


# ------------------------------------------------------------------------------ stagger

@pytest.mark.parametrize(("mm", "count"), [((100, 140), 0), ((100, 139), 1), ((100, 100), 1), ((60, 100, 140), 0), ((60, 80, 140), 1), ((60, 80, 200, 210), 2), ((60, 90, 120), 1)])
def test_how_far_splices_are_apart(mm: tuple[int, ...], count: int):
    assert len(found(run([f"at: {one} mm from P2 toward P3" for one in mm]), CLOSE)) == count


def test_a_cluster_is_one_finding_with_its_lump_and_new_stations():
    ats = [f"at: {one} mm from P2 toward P3" for one in (100, 110, 120)]
    (finding,) = found(run(ats), CLOSE)
    # Each side of a splice is at most two wires of 2.1 mm, 4.2 mm, with 1 mm of shrink all round 6.2 mm; three such: 1.2 x root(3) x 6.2.
    assert finding.message == "splices S1, S2 and S3 sit within 20 mm of one another on segment T2, where 40 mm are the least: a lump of 12.9 mm in a bundle of 6.2 mm"
    assert (finding.value, finding.limit, finding.at) == ("10 mm", "40 mm", ("S2", "S3", "S1", "segment T2"))
    moves = moved(finding)
    assert moves == {"S2": "at: 140 mm from P2 toward P3", "S3": "at: 180 mm from P2 toward P3"}
    assert found(run([ats[0], *moves.values()]), CLOSE) == []


@pytest.mark.parametrize("mm", [(380, 390), (10, 20, 60), (5, 380, 390, 395), (0.5, 399.5, 399), (200, 201, 202, 203, 204)])
def test_new_stations_keep_clear_of_the_end_and_of_other_splices(mm: tuple[float, ...]):
    ats = [f"at: {one:g} mm from P2 toward P3" for one in mm]
    findings = found(run(ats), CLOSE)
    moves = {name: at for finding in findings for name, at in moved(finding).items()}
    assert moves
    again = run([moves.get(f"S{n}", at) for n, at in enumerate(ats, 1)])
    assert found(again, CLOSE) == []


def test_where_the_segment_has_no_room_some_go_elsewhere():
    (finding,) = found(run([f"at: {one} mm from P3 toward P4" for one in (20, 40, 60, 80, 100, 120)]), CLOSE)
    assert "to another segment" not in finding.do        # 200 mm have room for six
    (finding,) = found(run([f"at: {one} mm from P3 toward P4" for one in (20, 40, 60, 80, 100, 120, 140)]), CLOSE)
    assert finding.do == "move some of them to another segment, 40 mm from each other"


def test_splices_at_one_point_sit_on_each_other():
    (finding,) = found(run(["place: P2", "place: P2"]), CLOSE)
    assert finding.message == "splices S1 and S2 both sit at P2, where 40 mm are the least"
    moves = moved(finding)
    assert found(run(["place: P2", *moves.values()]), CLOSE) == []
    assert found(run(["place: P2", "place: P3"]), CLOSE) == []


def test_stagger_takes_its_option():
    ats = [f"at: {one} mm from P2 toward P3" for one in (100, 140)]
    assert len(found(run(ats, more=f"rules: {{{CLOSE}: {{apart: 65 mm}}}}\n"), CLOSE)) == 1
    assert found(run(ats, more=f"rules: {{{CLOSE}: {{apart: 30 mm}}}}\n"), CLOSE) == []
