"""Fuses, feeds and wires against what flows: each fault of a sound little harness, its look-alikes, and what is not asked."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.rules.runs_of import grouped
from harnessdoc.steps import Loaded, load

CODES = ("fuse-over-wire", "fuse-too-slow", "fuse-under-load", "feed-without-fuse", "wire-over-ampacity", "load-over-its-voltage", "thinner-after-splice", "part-for-another-voltage")
BATTERY = '  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}\n'
NO_SUPPLY = '  G1: {terminals: ["+", "-"]}\n'


def described(rating: str = "10 A", kind: str = "blade", feed: str = "1 mm2", load: str = "lamp: 21 W at 12 V", feed_mm: int = 500, near_mm: int = 100, supply: str = BATTERY,
              wires: str = "", more: str = "", devices: str = "", first: str = "2.5 mm2") -> str:
    """Battery, fuse F1, wire 2 to H1 and back."""
    said = f"rating: {rating}, " if rating else ""
    return (f"devices:\n{supply}  H1: {{terminals: [1, 2], between: [H1.1, H1.2], {load}}}\n{devices}fuses:\n  F1: {{{said}type: {kind}}}\n{more}wires:\n"
            f"  1: {{from: G1.+, to: F1.1, size: {first}, colour: RD, type: TXL, length: {near_mm} mm}}\n"
            + (wires or f"  2: {{from: F1.2, to: H1.1, size: {feed}, colour: GN, type: TXL, length: {feed_mm} mm}}\n")
            + "  3: {from: H1.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 500 mm}\n")


def run(text: str) -> Loaded:
    loaded = load("heron.yaml", {"heron.yaml": text})
    assert not loaded.has_errors, loaded.findings
    return loaded


def found(text: str, *codes: str) -> list[Finding]:
    return [finding for finding in run(text).findings if finding.code in (codes or CODES)]


def lacks(text: str, code: str) -> list[tuple[str, ...]]:
    return [one.things for one in run(text).unasked if one.code == code]


# ------------------------------------------------------------------ fuse and wire

@pytest.mark.parametrize("rating, severities", [("15 A", []), ("20 A", [Severity.MALFUNCTION]), ("25 A", [Severity.MALFUNCTION]), ("30 A", [Severity.HAZARD])])
def test_a_wire_of_25_a_bears_a_fuse_of_25_a_and_none_of_30_and_makers_give_it_15(rating, severities):
    """1.35 x 25 A = 33.75 A below 1.45 x 25 A = 36.25 A; 1.35 x 30 A = 40.5 A above. A truck maker has 1.25 mm2 behind 15 A, 2 mm2 behind 20 A; the wire has 1 mm2."""
    assert [(finding.code, finding.severity) for finding in found(described(rating))] == [("fuse-over-wire", severity) for severity in severities]


def test_what_is_said_of_a_wire_thinner_than_makers_take():
    (finding,) = found(described("20 A"))
    assert finding.message == "fuse F1 of 20 A stands before wire 2 of 1 mm², where a vehicle maker takes 2 mm² at least"
    assert (finding.do, finding.value, finding.limit, finding.at) == ("a fuse of 15 A, or wire 2 of 2 mm2", "1 mm²", "2 mm²", ("F1", "wire 2"))


def test_what_a_fuse_over_its_wire_says():
    (finding,) = found(described("30 A"))
    assert (finding.severity, finding.value, finding.limit, finding.at, finding.origin) == (Severity.HAZARD, "40.5 A", "36.25 A", ("F1", "wire 2"), "from memory")
    assert finding.do.startswith("a fuse of 15 A:")


def test_the_same_without_a_battery():
    (finding,) = found(described("30 A", supply=NO_SUPPLY), "fuse-over-wire")
    assert finding.at == ("F1", "wire 2") and finding.do.startswith("a fuse of 15 A at most")
    assert found(described("15 A", supply=NO_SUPPLY)) == []


def test_the_next_fuse_ends_what_a_fuse_protects():
    wires = ("  2: {from: F1.2, to: F2.1, size: 4 mm2, colour: GN, type: TXL, length: 200 mm}\n  4: {from: F2.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}\n")
    for supply in (BATTERY, NO_SUPPLY):
        assert found(described("40 A", first="6 mm2", supply=supply, wires=wires, more="  F2: {rating: 10 A, type: blade}\n"), "fuse-over-wire") == []


@pytest.mark.parametrize("supply", [BATTERY, NO_SUPPLY])
def test_behind_a_switch_a_fuse_protects_too(supply):
    wires = ("  2: {from: F1.2, to: S1.1, size: 4 mm2, colour: GN, type: TXL, length: 200 mm}\n  4: {from: S1.2, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}\n")
    (finding,) = found(described("30 A", supply=supply, wires=wires, devices="  S1: {title: lamp switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}\n"), "fuse-over-wire")
    assert finding.at == ("F1", "wire 4")


def test_a_fan_out_is_told_of_the_fuse_and_an_extension_of_the_splice():
    splices = "splices:\n  S1: {}\n"
    wires = ("  2: {from: F1.2, to: S1, size: 4 mm2, colour: GN, type: TXL, length: 200 mm}\n  4: {from: S1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 200 mm}\n")
    third = "  5: {from: S1, to: H1.1, size: 4 mm2, colour: YE, type: TXL, length: 200 mm}\n"
    assert [finding.code for finding in found(described("30 A", wires=wires, more=splices))] == ["thinner-after-splice"]
    assert [(finding.code, finding.at) for finding in found(described("30 A", wires=wires + third, more=splices), "fuse-over-wire", "thinner-after-splice")] == [("fuse-over-wire", ("F1", "wire 4"))]


def test_of_a_fuse_without_gates_half_as_much_again_is_borne():
    assert [finding.severity for finding in found(described("30 A", "midi", feed="1 mm2"), "fuse-over-wire")] == [Severity.MALFUNCTION]
    assert [finding.value for finding in found(described("40 A", "midi", feed="1 mm2"), "fuse-over-wire")] == ["40 A"]


def test_what_is_not_stated_is_asked_for():
    assert found(described(""), "fuse-over-wire") == [] and lacks(described(""), "fuse-over-wire") == [("F1",)]
    text = described(feed="unknown")
    assert found(text, "fuse-over-wire") == [] and lacks(text, "fuse-over-wire") == [("wire 2",)]


def test_a_link_is_four_numbers_thinner():
    link = "fusible-links:\n  FL1: {{size: {}}}\n"
    wires = "  2: {from: F1.2, to: FL1.1, size: 4 mm2, colour: GN, type: TXL, length: 100 mm}\n  4: {from: FL1.2, to: H1.1, size: 12 AWG, colour: GN, type: TXL, length: 300 mm}\n"
    assert found(described(wires=wires, more=link.format("16 AWG")), "fuse-over-wire") == []
    (finding,) = found(described(wires=wires, more=link.format("14 AWG")), "fuse-over-wire")
    assert finding.at == ("FL1", "wire 4") and "16 AWG" in finding.do


# ------------------------------------------------------------------ short, load, distance

@pytest.mark.parametrize("metres, severity", [(1, None), (8, Severity.MALFUNCTION), (16, Severity.HAZARD)])
def test_the_longer_the_wire_the_slower_the_fuse(metres, severity):
    severities = [finding.severity for finding in found(described("15 A", feed_mm=metres * 1000, load="lamp: 2 W at 12 V"), "fuse-too-slow")]
    assert severities == ([severity] if severity is not None else [])


def test_without_a_length_the_short_is_not_asked():
    text = described("15 A", load="lamp: 2 W at 12 V").replace("length: 500 mm}\n  3", "note: at the tail}\n  3")
    assert found(text, "fuse-too-slow") == [] and lacks(text, "fuse-too-slow") == [("wire 2",)]


@pytest.mark.parametrize("amps, severity", [(7.5, None), (8.5, Severity.ADVICE), (11, Severity.MALFUNCTION)])
def test_a_fuse_carries_four_fifths_for_good(amps, severity):
    found_there = found(described("10 A", load=f"load: {amps} A at 12.5 V", feed="2.5 mm2"), "fuse-under-load")
    assert [finding.severity for finding in found_there] == ([severity] if severity is not None else [])
    assert all(finding.state == "off, stopped" and finding.at == ("F1",) for finding in found_there)


def test_too_small_a_fuse_is_made_the_next_that_carries_it():
    (finding,) = found(described("10 A", load="load: 11 A at 12.5 V", feed="2.5 mm2"), "fuse-under-load")
    assert finding.do.startswith("a fuse of 15 A:")


@pytest.mark.parametrize("mm, severity", [(178, None), (179, Severity.ADVICE), (1016, Severity.ADVICE), (1017, Severity.HAZARD)])
def test_the_first_fuse_stands_within_seven_inches_and_in_a_sheath_within_forty(mm, severity):
    """ABYC E-11 as quoted: 7 in from the source, 40 in where the wire is sheathed."""
    text = described(near_mm=mm)
    findings = found(text, "feed-without-fuse")
    assert [(finding.severity, finding.at) for finding in findings] == ([(severity, ("wire 1", "F1"))] if severity is not None else [])
    for finding in findings:
        assert text.splitlines()[finding.place.line - 1].startswith("  1: {from: G1.+, to: F1.1"), "the wire that nothing protects"
        assert [related.words for related in finding.related] == ["F1 stands here"]
        assert finding.do.startswith("a fuse that wire 1 bears (it may carry ") and "at the source, no more than 178 mm from G1.+; or F1 itself set there" in finding.do
        assert ("in a sheath of its own, then up to 1016 mm" in finding.do) is (severity is Severity.ADVICE)


def test_fuses_behind_one_feed_are_one_finding():
    box = "boxes:\n  B1: {lid: [[F1, F2]], bars: {30: [F1.1, F2.1]}}\n"
    wires = "  4: {from: F2.2, to: H1.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}\n"
    text = described(near_mm=1200, wires=wires, more=box).replace("to: F1.1", "to: B1.30").replace("fuses:\n", "fuses:\n  F2: {rating: 5 A, type: blade, box: B1}\n").replace("  F1: {", "  F1: {box: B1, ")
    (finding,) = found(text, "feed-without-fuse")
    assert finding.at == ("wire 1", "F2", "F1") and finding.message.startswith("fuse F2 and F1 stand up to 1200 mm of wire from the source (wire 1)")
    assert "itself set there" not in finding.do


def test_the_option_moves_it():
    text = "rules:\n  feed-without-fuse: {most: 400 mm}\n"
    assert found(described(near_mm=400) + text, "feed-without-fuse") == []
    (finding,) = found(described(near_mm=401) + text, "feed-without-fuse")
    assert (finding.value, finding.limit, finding.origin) == ("401 mm", "400 mm", "stated")


# ------------------------------------------------------------------ no fuse

BARE = "  4: {{from: G1.+, to: {}, size: 2.5 mm2, colour: RD, type: TXL, length: 300 mm}}\n"


def bare(end: str, more: str = "", devices: str = "") -> list[tuple[tuple[str, ...], str]]:
    return [(finding.at, finding.message) for finding in found(described(devices=devices) + BARE.format(end) + more, "feed-without-fuse")]


def test_a_branch_before_the_fuse_is_one_finding_with_all_its_wires():
    load2 = "  H2: {terminals: [1, 2], between: [H2.1, H2.2], lamp: 5 W at 12 V}\n  S2: {title: lamp switch, terminals: [1, 2], closes: {on: [[S2.1, S2.2]]}}\n"
    back = "  6: {from: H2.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 300 mm}\n  5: {from: S2.2, to: H2.1, size: 1 mm2, colour: RD, type: TXL, length: 300 mm}\n"
    ((at, message),) = bare("S2.1", back, load2)
    assert set(at) == {"wire 4", "wire 5"} and at[0] == "wire 4" and "from the battery to H2" in message


def test_the_cable_of_a_starter_goes_without_by_motor_or_signal():
    motor = "  M1: {title: starter, terminals: [30, case]}\ncavities:\n  M1.30: {signal: starter-motor}\n"
    assert bare("M1.30", devices=motor) == []
    assert len(bare("M1.30", devices=motor.replace("starter-motor", "heater"))) == 1


@pytest.mark.parametrize("end", ["unknown", "X9.1"])
def test_where_the_far_end_is_not_known_a_fuse_may_stand(end):
    assert bare(end, devices="" if end == "unknown" else "connectors:\n  X9: {face: [[1, 2]], view: mating face}\n") == []


def test_a_short_link_between_two_batteries_is_passed_over_and_a_long_one_is_not():
    second = '  G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {emf: 12.6 V}}\n'
    minus = "  5: {from: G1.-, to: G2.-, size: 25 mm2, colour: BK, type: TXL, length: 150 mm}\n"
    assert bare("G2.+", minus, second) != []
    text = described(devices=second) + BARE.format("G2.+").replace("300 mm", "150 mm") + minus
    assert found(text, "feed-without-fuse") == []


# ------------------------------------------------------------------ amps and volts

@pytest.mark.parametrize("amps, told", [(24, False), (26, True)])
def test_a_wire_of_25_a_carries_no_more(amps, told):
    text = described("50 A", "midi", load=f"load: {amps} A at 12.4 V", first="10 mm2", feed_mm=100)
    findings = found(text, "wire-over-ampacity")
    assert [(finding.at, finding.severity, finding.limit) for finding in findings] == ([(("wire 2",), Severity.HAZARD, "25.0 A")] if told else [])


def test_wires_that_follow_each_other_are_one_finding_with_the_size_that_holds():
    wires = ("  2: {from: F1.2, to: S1.1, size: 1 mm2, colour: GN, type: TXL, length: 100 mm}\n  4: {from: S1.1, to: H1.1, size: 1 mm2, colour: GN, type: TXL, length: 100 mm}\n")
    (finding,) = found(described("50 A", "midi", load="load: 26 A at 12 V", first="10 mm2", wires=wires, devices="  S1: {title: terminal block, terminals: [1]}\n"), "wire-over-ampacity")
    assert set(finding.at) == {"wire 2", "wire 4"} and finding.do.startswith("wire 2, 4 of 1.5 mm²")


@pytest.mark.parametrize("takes, said", [
    ("0.5 mm2 to 1 mm2", "wire 2 of 1.5 mm²; another terminal too, for X5.1 has pin small, which takes 0.5 mm² to 1 mm²; or a feed of its own for the load"),
    ("0.5 mm2 to 1.5 mm2", "wire 2 of 1.5 mm²; or a feed of its own for the load"),
])
def test_the_size_that_holds_is_held_against_what_the_terminals_take(takes, said):
    text = (f"terminals:\n  pin small: {{takes: {takes}}}\nconnectors:\n  X5: {{face: [[1, 2]], view: wire side, terminal: pin small}}\n"
            + described("50 A", "midi", load="load: 0.1 A at 12 V", first="10 mm2", devices="  H5: {connectors: [X5], between: [X5.1, X5.2], load: 26 A at 12 V}\n",
                        wires="  2: {from: F1.2, to: X5.1, size: 1 mm2, colour: GN, type: TXL, length: 100 mm}\n  4: {from: X5.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 100 mm}\n"))
    (finding,) = found(text, "wire-over-ampacity")
    assert (finding.at, finding.do) == (("wire 2",), said)


@pytest.mark.parametrize("rated, codes", [("12 V", []), ("10.2 V", []), ("9.9 V", ["load-over-its-voltage"]), ("6 V", ["load-over-its-voltage"]), ("24 V", ["part-for-another-voltage"])])
def test_a_load_gets_a_quarter_more_than_it_is_rated_at(rated, codes):
    findings = found(described(load=f"heater: 1 A at {rated}"), "load-over-its-voltage", "part-for-another-voltage")
    assert [finding.code for finding in findings] == codes
    assert all(finding.at == ("H1",) for finding in findings)


def test_a_load_that_is_never_on_is_judged_by_the_supply():
    text = described(load="heater: 1 A at 6 V", wires="  2: {from: F1.2, to: unknown, size: 1 mm2, colour: GN, type: TXL, length: 1 m}\n")
    assert [finding.code for finding in found(text, "load-over-its-voltage", "part-for-another-voltage")] == ["part-for-another-voltage"]


def test_unsolved_nothing_is_said_of_what_the_states_show():
    loaded = load("heron.yaml", {"heron.yaml": described("10 A", load="load: 30 A at 12 V", near_mm=900)}, solve=False)
    assert not [finding for finding in loaded.findings if finding.code in CODES and finding.code != "fuse-over-wire"]


def test_groups_of_what_touches_the_same():
    assert grouped([("a", "xy"), ("b", "z"), ("c", "yz"), ("d", "w")]) == [["a", "b", "c"], ["d"]]
