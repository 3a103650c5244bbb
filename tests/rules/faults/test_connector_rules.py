"""In-line connectors, live pins, terminals, seals and plugs: boundaries, look-alikes, and what is missing."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.steps import load

from .edited import found, lacking

KNOWN = "size: 1 mm2, type: TXL"


def findings_in(text: str, code: str):
    return [finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == code]


def lacks_in(text: str, code: str) -> list[tuple[tuple[str, ...], str]]:
    return [(unasked.things, unasked.add) for unasked in load("heron.yaml", {"heron.yaml": text}).unasked if unasked.code == code]


# ------------------------------------------------------------------- mated-cavities-differ

def mated(mine: dict[str, str], theirs: dict[str, str], face: str = "[[1..3], [4..6]]", extra: str = "") -> str:
    """Circuits by cavity of both halves, each wire to a connector of its own side."""
    text = f"connectors:\n  X1: {{half: plug, mates: X2, face: {face}, view: mating face}}\n  X2: {{half: socket, face: {face}, view: wire side}}\n  X3: {{}}\n  X4: {{}}\n{extra}wires:\n"
    for half, far, circuits in (("X1", "X3", mine), ("X2", "X4", theirs)):
        for cavity, circuit in circuits.items():
            text += f"  {half}-{cavity}: {{from: {half}.{cavity}, to: {far}.{cavity}, {KNOWN}, colour: BU{f', circuit: {circuit}' if circuit else ''}}}\n"
    return text


SIX = dict(zip("123456", ("wiper", "washer", "horn", "lamp", "fan", "pump"), strict=True))


@pytest.mark.parametrize(("face", "order", "words", "moved"), [
    ("[[1..3], [4..6]]", "321654", "numbered from the other side", "1 is 3, 3 is 1, 4 is 6, 6 is 4"),
    ("[[1..3], [4..6]]", "456123", "numbered upside down", "1 is 4, 2 is 5, 3 is 6, 4 is 1, 5 is 2, 6 is 3"),
    ("[[1..3], [4..6]]", "654321", "numbered from the other end", "1 is 6, 2 is 5, 3 is 4, 4 is 3, 5 is 2, 6 is 1"),
    ("{ring: [1..6], start: 0 deg, direction: clockwise}", "165432", "numbered from the other side", "2 is 6, 3 is 5, 5 is 3, 6 is 2"),
])
def test_a_numbering_that_fits_is_said(face, order, words, moved):
    theirs = dict(zip("123456", (SIX[cavity] for cavity in order), strict=True))
    (finding,) = findings_in(mated(SIX, theirs, face), "mated-cavities-differ")
    assert f"all of them agree where X2 is {words} ({moved})" in finding.do
    assert finding.severity is Severity.DAMAGE and finding.at[:2] == ("X1", "X2")


def test_two_that_changed_places_are_moved_back():
    (finding,) = findings_in(mated(SIX, SIX | {"2": "horn", "3": "washer"}), "mated-cavities-differ")
    assert finding.message == ("X1 and X2 bring different circuits together: 2 is washer in X1 and horn in X2, 3 is horn in X1 and washer in X2")
    assert finding.do.endswith("if it is X2, lead wire X2-2 to X2.3, wire X2-3 to X2.2")
    assert {"X1.2", "X2.2", "X1.3", "X2.3", "wire X2-2"} <= set(finding.at) and "X1.1" not in finding.at
    assert finding.place.line == 14     # the first wire of X2 that is wrong


def test_a_circuit_that_meets_nothing_has_its_cavity_elsewhere():
    (finding,) = findings_in(mated({"1": "wiper", "2": "horn"}, {"1": "wiper", "3": "horn"}), "mated-cavities-differ")
    assert finding.message == "X1 and X2 bring different circuits together: 2 is horn in X1 and empty in X2, 3 is empty in X1 and horn in X2"
    assert finding.do.endswith("if it is X2, lead wire X2-3 to X2.2")


def test_many_are_cut_short():
    theirs = dict(zip("123456", (SIX[cavity] for cavity in "612345"), strict=True))
    (finding,) = findings_in(mated(SIX, theirs), "mated-cavities-differ")
    assert finding.message.endswith("4 is lamp in X1 and horn in X2, and 2 more")


@pytest.mark.parametrize(("mine", "theirs", "extra"), [
    (SIX, SIX, ""),
    (SIX, {"1": "wiper", "5": "fan"}, ""),                                          # the others end there
    ({"1": "wiper", "2": "horn"}, {"1": "C 29", "2": "C 91"}, ""),                  # another name, no other cavity
    ({"1": "can", "2": "can", "3": "horn"}, {"1": "can", "2": "can", "4": "lamp"}, ""),
    ({"1": "wiper", "2": "horn"}, {"1": "horn", "2": "wiper"}, "circuits:\n  wiper: {number: 7}\n  horn: {number: 7}\n"),   # one number: one circuit
])
def test_halves_that_agree_or_only_change_a_name_are_no_fault(mine, theirs, extra):
    assert findings_in(mated(mine, theirs, extra=extra), "mated-cavities-differ") == []


def test_names_that_a_join_number_ties_are_one():
    ours, theirs = {"1": "wiper", "2": "horn"}, {"1": "horn", "2": "C 29"}
    text = mated(ours, theirs)
    assert len(findings_in(text, "mated-cavities-differ")) == 1
    tied = "splices:\n  S1: {join: J1}\n" + text + "".join(f"  s{name}: {{from: X4.{name}9, to: S1, {KNOWN}, colour: BU, circuit: {circuit}}}\n"
                                                        for name, circuit in enumerate(("wiper", "horn", "C 29")))
    assert findings_in(tied, "mated-cavities-differ") == []


def test_a_wire_without_a_circuit_cannot_be_compared():
    text = mated(SIX, SIX | {"3": ""})
    assert findings_in(text, "mated-cavities-differ") == []
    assert lacks_in(text, "mated-cavities-differ") == [(("wire X2-3",), "`circuit:` to each wire in an in-line connector")]


# ----------------------------------------------------------------------- live-pins-exposed

def test_the_side_that_is_fed_is_told_with_its_fuse():
    (finding,) = found("live-pins-exposed")
    assert finding.at == ("X1", "X1.1", "wire 2", "F1")
    assert finding.do == "exchange the halves: the socket on the side of X1, the pins on that of X2; until then pull F1 before X1"


def test_either_of_two_fuses_in_a_row_makes_it_dead():
    row = ("2: {from: F1.2, to: X1.1", "4: {from: F1.2, to: F2.1, size: 1 mm2, colour: RD, type: TXL}\n  2: {from: F2.2, to: X1.1"), ("fuses:", "fuses:\n  F2: {rating: 3 A, type: blade}")
    (finding,) = found("live-pins-exposed", *row)
    assert finding.message.endswith("(behind F2 and F1)") and finding.do.endswith("until then pull F2 or F1 before X1")


def test_without_a_fuse_that_is_said():
    (finding,) = found("live-pins-exposed", ("to: F1.1", "to: X1.1"), ("2: {from: F1.2, to: X1.1", "2: {from: F1.2, to: F1.1"))
    assert finding.message == "X1 has pins, and pulled apart it stays live at cavity 1, whatever is switched (no fuse stands before it)"


def test_a_half_is_known_by_the_other():
    (finding,) = found("live-pins-exposed", ("{half: plug, mates: X2,", "{mates: X2,"), ("X2: {face", "X2: {half: socket, face"))
    assert finding.at[0] == "X1"


@pytest.mark.parametrize("changes", [
    (("half: plug", "half: socket"),),
    (("half: plug, mates: X2", "half: plug"),),                                     # the end of the harness: what it plugs into is not known
    (("signal: source-battery", "signal: source-alternator"),),                     # stands while somebody works
])
def test_what_is_no_live_pin_is_silent(changes):
    assert found("live-pins-exposed", *changes) == []


def test_halves_of_which_neither_says_what_it_is_are_asked_for():
    assert lacking("live-pins-exposed", ("half: plug, ", "")) == [("X1",)]


SWITCH = """\
devices:
  G1: {terminals: ["+"]}
  S1: {connectors: [X5], closes: {on: [[X5.1, X5.2]]}}
connectors:
  X1: {half: plug, mates: X2, face: [[1]], view: mating face}
  X2: {half: socket, face: [[1]], view: mating face}
  X3: {face: [[1]], view: mating face}
  X5: {half: HALF, face: [[1, 2]], view: mating face}
cavities:
  G1.+: {signal: source-battery}
wires:
  1: {from: G1.+, to: X5.1, size: 1 mm2, colour: RD, type: TXL}
  2: {from: X5.2, to: X1.1, size: 1 mm2, colour: BU, type: TXL}
  3: {from: X2.1, to: X3.1, size: 1 mm2, colour: BU, type: TXL}
"""


def test_pins_behind_a_switch_are_advice():
    (finding,) = findings_in(SWITCH.replace("HALF", "socket"), "live-pins-exposed")
    assert finding.severity is Severity.ADVICE
    assert finding.message == "X1 has pins, and pulled apart it stays live at cavity 1, in some position of the switches (no fuse stands before it)"


def test_at_a_device_only_what_does_not_come_through_it_stays_live():
    first, _ = findings_in(SWITCH.replace("HALF", "plug"), "live-pins-exposed")[::-1]
    assert first.at[:2] == ("X5", "X5.1") and "X5.2" not in first.at and first.severity is Severity.DAMAGE


def test_what_a_device_passes_on_at_its_plug_is_gone_with_the_plug():
    text = SWITCH.replace("[X5], closes: {on: [[X5.1, X5.2]]}", "[X5, X6], closes: {on: [[X6.1, X5.2]]}").replace("to: X5.1", "to: X6.1").replace("half: HALF", "half: plug")
    text = text.replace("  X3:", "  X6: {half: socket, face: [[1]], view: mating face}\n  X3:")
    assert [finding.at[0] for finding in findings_in(text, "live-pins-exposed")] == ["X1"]


def test_a_connector_fed_from_both_sides_helps_neither_way_round():
    text = SWITCH.replace("HALF", "socket").replace("3: {from: X2.1, to: X3.1", "3: {from: X2.1, to: G1.+")
    (finding,) = findings_in(text, "live-pins-exposed")
    assert finding.do.startswith("X2 is live too when apart")


# -------------------------------------------------------------------- terminal-does-not-fit

@pytest.mark.parametrize(("size", "fits"), [
    ("0.45 mm2", False), ("0.5 mm2", True), ("1 mm2", True), ("1.05 mm2", False),
    ("17 AWG", True), ("16 AWG", False), ("20 AWG", True), ("22 AWG", False),      # 1.04 and 1.31 mm2; 0.52 and 0.33 mm2
])
def test_the_range_of_a_terminal(size, fits):
    assert (found("terminal-does-not-fit", ("2 mm2, colour: GN", f"{size}, colour: GN")) == []) is fits


def test_sizes_of_two_systems_may_differ_by_the_doubt():
    change = ("2 mm2, colour: GN", "17 AWG, colour: GN")
    assert found("terminal-does-not-fit", change) == []
    assert len(found("terminal-does-not-fit", change, ("terminals:", "rules: {terminal-does-not-fit: {doubt: 1 %}}\nterminals:"))) == 1


def test_a_double_crimp_counts_both_wires():
    double = ("cavities:\n", "cavities:\n  X1.1: {crimp: double}\n")
    (finding,) = found("terminal-does-not-fit", ("X1.2, to: X2.2, size: 2 mm2", "X1.1, to: X2.2, size: 0.5 mm2"), double)
    assert finding.message == "X1: the terminal receptacle 1.5 takes 0.5 mm² to 1 mm², but wires 1 and 2 in X1.1 have 1 mm² and 0.5 mm²"
    assert finding.do == "take another terminal: `X1.1: {terminal: receptacle 2.8}`; or wires that fit"


def test_at_a_stud_each_wire_has_an_eyelet():
    text = ("terminals:\n  eyelet M8: {takes: 1 mm2 to 4 mm2}\ngrounds:\n  GB1: {terminal: eyelet M8}\nconnectors:\n  X1: {}\nwires:\n"
            f"  1: {{from: X1.1, to: GB1, size: 4 mm2, colour: BK, type: TXL}}\n  2: {{from: X1.2, to: GB1, size: 4 mm2, colour: BK, type: TXL}}\n")
    assert findings_in(text, "terminal-does-not-fit") == []
    assert len(findings_in(text.replace("GB1, size: 4", "GB1, size: 6"), "terminal-does-not-fit")) == 1


def test_one_finding_a_connector_and_terminal():
    (finding,) = found("terminal-does-not-fit", ("1 mm2, colour: BU", "2 mm2, colour: BU"))
    assert finding.value == "2 mm², 2 mm²" and finding.limit == "0.5 mm² to 1 mm²" and {"X1.1", "X1.2", "wire 1", "wire 2"} <= set(finding.at)


def test_terminals_that_say_nothing_are_asked_for():
    assert lacking("terminal-does-not-fit", ("terminal: receptacle 1.5}  # here", "terminal: pin 9}")) == [("pin 9",)]
    assert lacking("terminal-does-not-fit", ("size: 2 mm2", "size: unknown")) == [("wire 2",)]
    text = "connectors:\n  X1: {terminal: pin 9}\n  X2: {}\nwires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}\n"
    assert [things for things, _ in lacks_in(text, "terminal-does-not-fit")] == [()]
    assert lacks_in(text.replace("{terminal: pin 9}", "{}"), "terminal-does-not-fit") == []


# ----------------------------------------------------------------------- seal-does-not-grip

@pytest.mark.parametrize(("diameter", "grips"), [("1.19 mm", False), ("1.2 mm", True), ("1.7 mm", True), ("1.71 mm", False)])
def test_the_range_of_a_seal(diameter, grips):
    assert ([finding for finding in found("seal-does-not-grip", ("diameter: 2.1 mm", f"diameter: {diameter}")) if "X1" in finding.at] == []) is grips


def test_a_diameter_of_a_table_has_its_doubt():
    by_table = ("type: TXL, diameter: 2.1 mm", "type: XLPE 125 C")      # 2.1 mm by the table of thin wall
    of_x1 = ("seal: seal 1.2 to 1.7 mm", "seal: seal 1.5 to 2.0 mm")
    assert found("seal-does-not-grip", by_table, of_x1) == []
    (finding,) = found("seal-does-not-grip", by_table, of_x1, ("connectors:", "rules: {seal-does-not-grip: {doubt: 0.05 mm}}\nconnectors:"))
    assert finding.message.endswith("wire 1 in cavity 1 is 2.1 mm thick by the table")
    assert finding.value == "2.1 mm" and finding.limit == "1.5 to 2 mm" and finding.at == ("X1", "X1.1", "wire 1")


def test_two_wires_do_not_seal_in_one_seal():
    text = ("connectors:\n  X1: {seal: seal 1.9 to 2.6 mm}\n  X2: {}\ncavities:\n  X1.1: {crimp: double}\nwires:\n"
            "  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}\n  2: {from: X1.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}\n")
    (finding,) = findings_in(text, "seal-does-not-grip")
    assert finding.message == "X1.1: 2 wires (1, 2) go through one seal 1.9 to 2.6 mm: between them it does not seal"


def test_no_other_seal_is_known():
    (finding,) = found("seal-does-not-grip", ("seal: seal 1.9 to 2.6 mm", "seal: seal 2 to 2.2 mm"), ("2.1 mm", "2.3 mm"))[:1]
    assert finding.do == "take another seal for X1.1: one whose range holds 2.3 mm"


def test_seals_and_wires_that_say_nothing_are_asked_for():
    assert lacking("seal-does-not-grip", ("seal 1.2 to 1.7 mm", "green seal")) == [("X1",)]
    assert lacking("seal-does-not-grip", ("size: 1 mm2", "size: unknown"), (", diameter: 2.1 mm", "")) == [("wire 1",)]


# ---------------------------------------------------------------------- cavity-without-plug

def test_the_plug_that_the_connector_has_elsewhere_is_named():
    (finding,) = found("cavity-without-plug", ("connectors:", "cavities:\n  X1.2: {plug: cavity plug 1.5}\nconnectors:"), ("[[1..3]]", "[[1..4]]"))
    assert finding.message == "X1 is sealed and sits in zone engine, but cavities 3, 4 are empty and have no plug"
    assert finding.do == "put a plug into each, and write `plug: cavity plug 1.5` at X1"
    assert finding.at == ("X1", "X1.3", "X1.4")


@pytest.mark.parametrize(("zone", "told"), [("engine", True), ("wet", True), ("hot", True), ("flexing", True), ("cabin", False)])
def test_the_zones_where_it_matters(zone, told):
    assert bool(found("cavity-without-plug", ("zone: engine", f"zone: {zone}"))) is told


def test_the_zone_of_the_place_comes_before_that_of_the_segments():
    assert found("cavity-without-plug", ("segments:", "places:\n  head: {zone: cabin}\nsegments:")) == []
    assert len(found("cavity-without-plug", ("segments:", "places:\n  head: {zone: wet}\nsegments:"), ("zone: engine", "zone: cabin"))) == 1


@pytest.mark.parametrize("changes", [
    (("seal: seal 1.4 to 2.4 mm", "terminal: pin 1.5"),),
    (("seal: seal 1.4 to 2.4 mm", "seal: none"),),
    (("connectors:", "cavities:\n  X1.3: {plug: skin not pierced}\nconnectors:"),),
    (("X1: {place: head, face: [[1..3]], view: mating face,", "X1: {place: head,"),),
])
def test_what_is_not_sealed_or_has_its_plug_is_silent(changes):
    assert found("cavity-without-plug", *changes) == []


def test_a_place_without_a_zone_is_asked_for():
    assert lacking("cavity-without-plug", (", zone: engine", "")) == [("X1",)]


# ------------------------------------------------------------------------ cavity-used-twice

TWICE = ("connectors:\n  X1: {face: [[1..4]], view: mating face}\n  X2: {face: [[1..4]], view: mating face}\ncavities:\n  X1.3: {function: horn}\n  X1.4: {signal: spare, function: not used}\n"
         "wires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL}\n  2: {from: X1.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}\n")


def test_the_cavities_that_are_free_are_named():
    (finding,) = findings_in(TWICE, "cavity-used-twice")
    assert finding.do.startswith("give one of them another cavity (free in X1: 2, 4), or a splice;")


def test_of_an_in_line_connector_both_sides_must_be_free():
    text = TWICE.replace("X1: {face", "X1: {mates: X3, face").replace("  X2: {", "  X3: {face: [[4..1]], view: mating face}\n  X2: {")
    (finding,) = findings_in(text + "  3: {from: X3.2, to: X2.3, size: 1 mm2, colour: GN, type: TXL}\n", "cavity-used-twice")
    assert finding.do.startswith("give one of them another cavity (free in X1: 4), or")


def test_where_none_is_free_or_known_none_is_named():
    assert findings_in(TWICE.replace("[[1..4]]", "[[1..2]]").replace("to: X2.2", "to: X1.2").replace("  X1.3: {function: horn}\n  X1.4: {signal: spare, function: not used}\n", "  X1.2: {note: ours}\n"),
                       "cavity-used-twice")[0].do.startswith("give one of them another cavity, or a splice;")
