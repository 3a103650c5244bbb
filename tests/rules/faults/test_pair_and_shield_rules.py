"""Pairs that are broken, untwisted or unequal, and shields grounded wrong or lost; and the look-alikes that are right."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

PAIR, SHIELD = "pair-broken", "shield-grounded-wrong"
KNOWN = "size: 0.5 mm2, colour: YE, type: TXL"


def run(text: str) -> Loaded:
    return load("heron.yaml", {"heron.yaml": text})


def found(loaded: Loaded, code: str) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == code]


def lacks(loaded: Loaded, code: str) -> list[tuple[str, ...]]:
    return [unasked.things for unasked in loaded.unasked if unasked.code == code]


# --------------------------------------------------------------------------------- pairs

def line(signals: tuple[str, str], wires: str, more: str = "") -> Loaded:
    """X1 to X2; wires as ``1 X1.1 X2.1 900 PR1``: id, ends, length in mm (- unknown), pair (- none)."""
    listed = ""
    for said in wires.split("; "):
        id, a, b, mm, pair = said.split()
        twisted = "" if pair == "-" else f", {pair.replace('=', ': ')}" if "=" in pair else f", pair: {pair}"
        listed += f"  {id}: {{from: {a}, to: {b}, {KNOWN}{'' if mm == '-' else f', length: {mm} mm'}{twisted}}}\n"
    used = [pair for pair in ("PR1", "PR2") if f"pair: {pair}" in listed]
    stated = "" if "pairs:" in more or not used else "pairs:\n" + "".join(f"  {pair}: {{lay: 20 mm}}\n" for pair in used)
    splices = "splices:\n  S1: {}\n  S2: {}\n" if "S1" in listed else ""
    return run("devices:\n  U1: {connectors: [X1]}\n  N1: {connectors: [X2]}\nconnectors:\n  X1: {face: [[1..4]], view: mating face}\n  X2: {face: [[1..4]], view: mating face}\n"
               f"cavities:\n  X1.1: {{signal: {signals[0]}}}\n  X1.2: {{signal: {signals[1]}}}\n  X2.1: {{signal: {signals[0].replace('input-inductive', 'inductive-sensor')}}}\n"
               f"  X2.2: {{signal: {signals[1].replace('input-inductive', 'inductive-sensor')}}}\n{splices}{stated}{more}wires:\n{listed}")


CAN, INDUCTIVE, PLAIN = ("can-high", "can-low"), ("input-inductive-plus", "input-inductive-minus"), ("lamp", "lamp")


@pytest.mark.parametrize(("signals", "wires", "words"), [
    (CAN, "1 X1.1 X2.1 500 -; 2 X1.2 X2.2 500 -", []),
    (CAN, "1 X1.1 X2.1 501 -; 2 X1.2 X2.2 501 -", ["wires 1 and 2 of the CAN bus run 501 mm without being twisted, where 500 mm are the most"]),
    (("j1708-plus", "j1708-minus"), "1 X1.1 X2.1 900 -; 2 X1.2 X2.2 900 -", ["wires 1 and 2 of the J1708 bus run 900 mm without being twisted, where 500 mm are the most"]),
    (INDUCTIVE, "1 X1.1 X2.1 600 -; 2 X1.2 X2.2 600 -", ["wires 1 and 2 of the inductive sensor run 600 mm without being twisted, where 500 mm are the most"]),
    (CAN, "1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 900 PR1", []),
    (PLAIN, "1 X1.1 X2.1 900 -; 2 X1.2 X2.2 900 -", []),
    # twisted, but each with a wire that is not of the bus
    (CAN, "1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 900 PR2; 3 X1.3 X2.3 900 PR1; 4 X1.4 X2.4 900 PR2",
     ["wires 1 and 2 of the CAN bus run 900 mm without being twisted, where 500 mm are the most"]),
])
def test_wires_of_a_line_are_twisted(signals: tuple[str, str], wires: str, words: list[str]):
    assert [finding.message for finding in found(line(signals, wires), PAIR)] == words


def test_cores_of_one_cable_are_as_good_as_a_pair():
    cables = "cables:\n  CB1: {shield: none}\n"
    assert found(line(CAN, "1 X1.1 X2.1 900 cable=CB1; 2 X1.2 X2.2 900 cable=CB1", cables), PAIR) == []


def test_a_sensor_ground_with_other_wires_is_not_twisted_with_each():
    loaded = line(("input-inductive-plus", "input-inductive-minus"), "1 X1.1 X2.1 900 PR1; 2 S1 X2.2 900 PR1; 3 X1.2 S1 50 -; 4 S1 X2.3 900 -; 5 S2 X1.3 50 -; 6 S2 X1.4 50 -")
    assert found(loaded, PAIR) == []


def test_a_line_of_unknown_length_is_asked():
    loaded = line(CAN, "1 X1.1 X2.1 - -; 2 X1.2 X2.2 - -")
    assert found(loaded, PAIR) == [] and lacks(loaded, PAIR) == [("wire 1", "wire 2")]


@pytest.mark.parametrize("signals", [CAN, PLAIN])
@pytest.mark.parametrize(("onward", "count"), [
    ("3 S1 X2.1 300 -; 4 S2 X2.2 300 -", 1), ("3 S1 X2.1 101 -; 4 S2 X2.2 101 -", 1), ("3 S1 X2.1 100 -; 4 S2 X2.2 100 -", 0),
    ("3 S1 X2.1 300 PR2; 4 S2 X2.2 300 PR2", 0), ("3 S1 X2.1 - -; 4 S2 X2.2 - -", 1),
])
def test_a_pair_goes_on_as_a_pair_behind_its_splices(signals: tuple[str, str], onward: str, count: int):
    findings = found(line(signals, "1 X1.1 S1 900 PR1; 2 S2 X1.2 900 PR1; " + onward), PAIR)
    assert len(findings) == count
    assert all(finding.at == ("wire 3", "wire 4", "pair PR1", "S1", "S2") and "`pair: PR2` for both" in finding.do for finding in findings)


def test_a_pair_that_fans_out_is_judged_by_the_length_of_its_branches():
    branches = "; ".join(f"{n}{side} S{s} X{n}.{pin} 300 -" for n, pins in ((2, "12"), (1, "34")) for side, s, pin in (("h", 1, pins[0]), ("l", 2, pins[1])))
    assert found(line(CAN, "1 X1.1 S1 900 PR1; 2 X1.2 S2 900 PR1; " + branches), PAIR) == []
    (finding,) = found(line(CAN, "1 X1.1 S1 900 PR1; 2 X1.2 S2 900 PR1; " + branches.replace("2h S1 X2.1 300", "2h S1 X2.1 600")), PAIR)
    assert finding.at == ("wire 2h",)


def test_a_long_loose_extension_of_a_bus_is_told_once():
    (finding,) = found(line(CAN, "1 X1.1 S1 900 PR1; 2 X1.2 S2 900 PR1; 3 S1 X2.1 900 -; 4 S2 X2.2 900 -"), PAIR)
    assert finding.message == "pair PR1 (wires 1, 2) goes on behind S1 and S2 in wires 3 and 4 of 900 mm, which are no pair, where 100 mm are the most"


def test_a_pair_goes_on_through_an_in_line_connector():
    text = ("connectors:\n" + "".join(f"  X{n}: {{face: [[1..2]], view: mating face{mates}}}\n" for n, mates in ((1, ""), (2, ", mates: X3"), (3, ""), (4, "")))
            + "pairs:\n  PR1: {lay: 20 mm}\nwires:\n" + "".join(f"  {id}: {{from: {a}, to: {b}, {KNOWN}, length: 400 mm{more}}}\n" for id, a, b, more in (
                (1, "X1.1", "X2.1", ", pair: PR1"), (2, "X1.2", "X2.2", ", pair: PR1"), (3, "X3.1", "X4.1", ""), (4, "X3.2", "X4.2", ""))))
    text = text.replace("face: [[1..2]], view: mating face}\n  X4", "face: [[2..1]], view: mating face}\n  X4")
    (finding,) = found(run(text), PAIR)
    assert finding.at == ("wire 3", "wire 4", "pair PR1", "X2")


@pytest.mark.parametrize(("stated", "value"), [
    ("twisted: 800 mm", None), ("twisted: 799 mm", "101 mm"), ("twisted: 400 mm", "500 mm"),
])
def test_how_much_of_a_pair_is_untwisted(stated: str, value: str | None):
    findings = found(line(PLAIN, "1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 900 PR1", f"pairs:\n  PR1: {{lay: 20 mm, {stated}}}\n"), PAIR)
    assert [finding.value for finding in findings] == ([] if value is None else [value])
    assert all(finding.at[0] == "pair PR1" and "twist it over 800 mm or more" in finding.do for finding in findings)


@pytest.mark.parametrize(("mm", "value"), [(1000, None), (1001, "101 mm"), (965, None)])
def test_the_wires_of_a_pair_are_of_one_length(mm: int, value: str | None):
    findings = found(line(PLAIN, f"1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 {mm} PR1"), PAIR)
    assert [finding.value for finding in findings] == ([] if value is None else [value])
    assert all(finding.at[0] == "wire 2" for finding in findings)


@pytest.mark.parametrize(("lay", "signals", "count"), [("34 mm", CAN, 0), ("35 mm", CAN, 1), ("60 mm", PLAIN, 0)])
def test_the_turns_of_the_pair_of_a_bus(lay: str, signals: tuple[str, str], count: int):
    assert len(found(line(signals, "1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 900 PR1", f"pairs:\n  PR1: {{lay: {lay}}}\n"), PAIR)) == count


@pytest.mark.parametrize(("option", "wires", "count"), [
    ("loose: 1 m", "1 X1.1 X2.1 900 -; 2 X1.2 X2.2 900 -", 0),
    ("unequal: 50 mm", "1 X1.1 X2.1 900 PR1; 2 X1.2 X2.2 960 PR1", 1),
    ("untwisted: 200 mm", "1 X1.1 S1 900 PR1; 2 X1.2 S2 900 PR1; 3 S1 X2.1 300 -; 4 S2 X2.2 300 -", 0),
])
def test_the_options_of_a_pair(option: str, wires: str, count: int):
    assert len(found(line(CAN, wires, f"rules: {{{PAIR}: {{{option}}}}}\n"), PAIR)) == count


# ------------------------------------------------------------------------------- shields

def cable(drain: str, more: str = "", signal: str = "shield", shield: str = "braid", cores: str = "X2.1 X2.2", wires: str = "") -> Loaded:
    """A cable CB1 from X1 with its drain, wire 3, as ``X1.3-open``."""
    a, b = drain.split("-")
    one, other = cores.split()
    return run("devices:\n  U1: {connectors: [X1]}\n  N1: {connectors: [X2]}\nconnectors:\n  X1: {face: [[1..4]], view: mating face}\n  X2: {face: [[1..4]], view: mating face}\n"
               f"cavities:\n  X1.1: {{signal: input-knock}}\n  X1.3: {{{f'signal: {signal}' if signal else ''}}}\n  X2.3: {{signal: ground-signal}}\n  X2.4: {{signal: spare}}\ncables:\n  CB1: {{shield: {shield}}}\n{more}wires:\n"
               f"  1: {{from: X1.1, to: {one}, {KNOWN}, cable: CB1}}\n  2: {{from: X1.2, to: {other}, {KNOWN}, cable: CB1}}\n"
               + (f"  3: {{from: {a}, to: {b}, {KNOWN}, cable: CB1, core: drain}}\n" if b != "none" else "") + wires)


GROUND = "grounds:\n  GE1: {metal: engine}\n"


@pytest.mark.parametrize(("drain", "signal", "more", "value"), [
    ("X1.3-open", "shield", "", None),
    ("X1.3-open", "ground-signal", "", None),
    ("GE1-open", "", GROUND, None),
    ("X1.3-GE1", "shield", GROUND, "2 ties"),
    ("X1.3-GE1", "ground-signal", GROUND, "2 ties"),
    ("X1.3-open", "spare", "", "no tie"),
    ("X1.3-open", "maker", "", ""),
    ("X1.3-open", "", "", ""),          # a pin of which nothing is said is no evidence
    ("X1.3-unknown", "", "", ""),
    ("X1.3-unknown", "spare", "", ""),
    ("X1.3-unknown", "shield", "", None),
])
def test_a_shield_is_tied_once(drain: str, signal: str, more: str, value: str | None):
    loaded = cable(drain, more, signal)
    assert [finding.value for finding in found(loaded, SHIELD)] == ([value] if value else [])
    assert (lacks(loaded, SHIELD) == [("cable CB1",)]) is (value == "")


def test_the_tie_at_the_unit_stays():
    (finding,) = found(cable("GE1-X1.3", GROUND), SHIELD)
    assert finding.do == "keep the tie at X1.3; cut the drain back at GE1 and sleeve it, `from: open` of wire 3"
    assert (finding.severity, finding.at, finding.limit) == (Severity.MALFUNCTION, ("wire 3", "cable CB1", "GE1", "X1.3"), "1 tie")
    assert found(cable("X2.3-X1.3"), SHIELD)[0].do == "keep the tie at X1.3; cut the drain back at X2.3 and sleeve it, `from: open` of wire 3"
    (floats,) = found(cable("X1.3-open", signal="spare"), SHIELD)
    assert floats.at == ("wire 3", "cable CB1") and "to the shield pin or the ground of U1" in floats.do


def test_a_shield_whose_drain_is_not_described_is_asked():
    loaded = cable("X1.3-none", signal="")
    assert found(loaded, SHIELD) == [] and lacks(loaded, SHIELD) == [("cable CB1",)]
    assert found(cable("X1.3-GE1", GROUND, shield="none"), SHIELD) == []        # a core that is no shield may go where it likes


def test_a_pin_for_a_shield_that_holds_no_wire_tells_that_the_shield_was_left_off():
    (finding,) = found(cable("X1.3-none"), SHIELD)
    assert (finding.at, finding.value) == (("cable CB1", "X1.3"), "no tie") and "lead the drain of CB1 to X1.3" in finding.do


def test_a_drain_is_followed_through_splices_to_its_stud():
    more = GROUND + "splices:\n  S1: {}\n"
    assert [finding.value for finding in found(cable("X1.3-S1", more, wires=f"  4: {{from: S1, to: GE1, {KNOWN}}}\n"), SHIELD)] == ["2 ties"]
    assert found(cable("S1-open", more, signal="", wires=f"  4: {{from: S1, to: GE1, {KNOWN}}}\n"), SHIELD) == []
    (floats,) = found(cable("S1-open", more, signal="", wires=f"  4: {{from: S1, to: X2.4, {KNOWN}}}\n"), SHIELD)
    assert floats.value == "no tie"
    # two other wires at the splice that lead to ground are one tie
    both = f"  4: {{from: S1, to: GE1, {KNOWN}}}\n  5: {{from: S1, to: X2.4, {KNOWN}}}\n"
    assert found(cable("S1-open", more, signal="", wires=both), SHIELD) == []
    assert [finding.value for finding in found(cable("X1.3-S1", more, wires=both), SHIELD)] == ["2 ties"]


SPLICED = "splices:\n  S1: {}\n  S2: {}\n"


@pytest.mark.parametrize(("mm", "count"), [("100", 0), ("101", 1), ("900", 1)])
def test_a_shield_that_ends_at_a_splice(mm: str, count: int):
    wires = "".join(f"  {n}: {{from: S{n - 3}, to: X2.{n - 3}, {KNOWN}, length: {mm} mm}}\n" for n in (4, 5))
    findings = found(cable("X1.3-open", SPLICED, cores="S1 S2", wires=wires), SHIELD)
    assert len(findings) == count
    assert all(finding.at == ("wire 4", "cable CB1", "wire 5", "S1", "S2") and finding.value == f"{mm} mm" for finding in findings)


@pytest.mark.parametrize(("drain", "other", "messages"), [
    ("X1.3-S3", "S3-open", []),
    ("X1.3-open", "X2.4-open", ["the shields of cables CB1 and CB2 are not joined at S1, where their cores are: that of CB2 is tied to ground nowhere"]),
    ("X1.3-S3", "S3-GE1", ["the shield of cables CB1 and CB2 is tied to ground 2 times, at X1.3 and GE1 (wires 3, 6), where once is right"]),
    ("X1.3-open", "open-GE1", []),          # each of the two is tied once
])
def test_a_cable_spliced_on_takes_the_shield_along(drain: str, other: str, messages: list[str]):
    more = SPLICED + ("  S3: {}\n" if "S3" in drain else "") + GROUND
    a, b = other.split("-")
    wires = "".join(f"  {n}: {{from: S{n - 3}, to: X2.{n - 3}, {KNOWN}, cable: CB2}}\n" for n in (4, 5)) + f"  6: {{from: {a}, to: {b}, {KNOWN}, cable: CB2, core: drain}}\n"
    text = cable(drain, "  CB2: {shield: braid}\n" + more, cores="S1 S2", wires=wires)
    assert [finding.message for finding in found(text, SHIELD)] == messages


def test_the_option_of_a_shield():
    wires = "".join(f"  {n}: {{from: S{n - 3}, to: X2.{n - 3}, {KNOWN}, length: 300 mm}}\n" for n in (4, 5))
    assert found(cable("X1.3-open", SPLICED + f"rules: {{{SHIELD}: {{bare: 300 mm}}}}\n", cores="S1 S2", wires=wires), SHIELD) == []
