"""The rules of records and of single values: what else they find, besides the examples on their pages."""

from __future__ import annotations

import inspect
import pkgutil
import textwrap

import pytest

from harnessdoc import rules
from harnessdoc.findings import Finding, Severity
from harnessdoc.rules.codes import sections_of
from harnessdoc.rules.faults.not_known_yet import count_unknowns
from harnessdoc.rules.registry import RULES
from harnessdoc.steps import load

TWO = "connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"
KNOWN = "size: 1 mm2, colour: BK, type: TXL"


def found(text: str, code: str) -> list[Finding]:
    return [finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == code]


def said(text: str, code: str) -> list[str]:
    return [f"{finding.place.line}:{finding.place.column}: {finding.message}" for finding in found(text, code)]


@pytest.mark.parametrize("text, words", [
    (TWO + f"wires:\n  1: {{from: X1.1, to: X2.1, {KNOWN}}}\n  2: {{from: X1.1, to: X2.2, {KNOWN}}}\n  3: {{from: X2.3, to: X1.1, {KNOWN}}}\n",
     ["7:23: X1.1 takes one wire, but 3 wires end there: 1, 2, 3"]),
    ("fuses:\n  F1: {rating: 5 A}\n" + TWO + f"wires:\n  1: {{from: F1.1, to: X2.1, {KNOWN}}}\n  2: {{from: F1.1, to: X2.2, {KNOWN}}}\n",
     ["8:13: F1.1 takes one wire, but 2 wires end there: 1, 2"]),
    ("devices:\n  D1: {terminals: [B+]}\n" + TWO + f"wires:\n  1: {{from: D1.B+, to: X2.1, {KNOWN}}}\n  2: {{from: D1.B+, to: X2.2, {KNOWN}}}\n", []),
    ("grounds:\n  G1: {}\n" + TWO + f"wires:\n  1: {{from: G1, to: X2.1, {KNOWN}}}\n  2: {{from: G1, to: X2.2, {KNOWN}}}\n", []),
])
def test_cavity_used_twice(text, words):
    assert said(text, "cavity-used-twice") == words


@pytest.mark.parametrize("connectors, words", [
    ("X1: {mates: X1}", ["2:15: connector X1 mates with itself"]),
    ("X1: {mates: X2}\n  X2: {mates: X1}", []),
    ("X1: {half: plug, mates: X2}\n  X2: {half: plug, mates: X1}", ["2:27: connectors X1 and X2 mate, but both are a plug"]),
    ("X1: {half: plug, mates: X2}\n  X2: {half: unknown}", []),
    ("X1: {mates: X2}\n  X2: {}\n  X3: {mates: X2}", ["4:15: connector X2 mates with X1 and with X3"]),
    ("X1: {mates: X2}\n  X2: {mates: X3}\n  X3: {}", ["3:15: connector X2 mates with X1 and with X3"]),
])
def test_halves_do_not_mate(connectors, words):
    assert said(f"connectors:\n  {connectors}\n", "halves-do-not-mate") == words


def test_a_wired_cavity_needs_one_in_the_other_half():
    text = ("connectors:\n  X1: {half: plug, mates: X2, face: [[1..3]], view: mating face}\n  X2: {half: socket, face: [[1..2]], view: mating face}\n"
            f"wires:\n  1: {{from: X1.3, to: X1.1, {KNOWN}}}\n")
    assert said(text, "halves-do-not-mate") == ["2:27: X1 has wires in 3, but its other half X2 has no such cavity (it has 2)"]


@pytest.mark.parametrize("members, words", [
    ("", ["4:6: pair p has no wire, where 2 to 4 are twisted together"]),
    ("1", ["4:6: pair p has wire 1, where 2 to 4 are twisted together"]),
    ("12", []),
    ("1234", []),
    ("12345", ["4:6: pair p has wires 1, 2, 3, 4, 5, where 2 to 4 are twisted together"]),
])
def test_pair_of_one(members, words):
    text = "grounds:\n  G1: {}\npairs:\n  p: {lay: 20 mm}\nwires:\n  0: {from: G1, to: unknown}\n"
    assert said(text + "".join(f"  {name}: {{from: G1, to: unknown, pair: p}}\n" for name in members), "pair-of-one") == words


@pytest.mark.parametrize("gone, words", [
    ("donor/8, donor/9", []),                                                   # no wire of it is left
    ("donor/8", ["pair donor/p has wire donor/9, where 2 to 4 are twisted together"]),
    ("donor/7", []),
])
def test_a_pair_of_a_merged_vehicle_that_left_is_no_pair_of_one(gone, words):
    donor = "grounds:\n  G1: {}\npairs:\n  p: {lay: 20 mm}\nwires:\n  7: {from: G1, to: unknown}\n" + "".join(f"  {name}: {{from: G1, to: unknown, pair: p}}\n" for name in "89")
    main = f"sources:\n  host: {{file: host.yaml, role: host}}\n  donor: {{file: donor.yaml, role: donor}}\nfates:\n  - {{fate: removed, wire: [{gone}], why: not needed}}\n"
    loaded = load("m.yaml", {"m.yaml": main, "host.yaml": "grounds:\n  G1: {}\nwires:\n  1: {from: G1, to: unknown}\n", "donor.yaml": donor})
    assert [finding.message for finding in loaded.findings if finding.code == "pair-of-one"] == words


def test_unknowns_are_said_with_their_evidence_and_counted():
    text = (TWO + "fuses:\n  F1: {}\n  F2: {rating: 5 A}\nsplices:\n  S1: {members: [unknown]}\nwires:\n"
            "  1: {from: X1.1, to: unknown, evidence: cut 340 mm from X1}\n"
            f"  2: {{from: X1.2, to: S1, {KNOWN}}}\n  3: {{from: X1.3, to: open, {KNOWN}}}\n")
    assert said(text, "not-known-yet") == [
        "5:7: fuse F1: rating not known yet",
        "8:7: splice S1: not all members known yet (1 are)",
        "10:6: wire 1: far end and size and colour and insulation not known yet (evidence: cut 340 mm from X1)"]
    harness = load("heron.yaml", {"heron.yaml": text}).harness
    assert count_unknowns(harness) == {"far end": 1, "size": 1, "colour": 1, "insulation": 1, "fuse rating": 1, "splice members": 1}


def test_functions_and_places_are_unknown_only_where_it_is_written():
    text = TWO.replace("X1: {", "X1: {place: unknown, ") + "cavities:\n  X1.1: {function: unknown, evidence: rings to X4.3}\n  X1.2: {signal: lamp}\ngrounds:\n  G1: {}\n"
    assert said(text, "not-known-yet") == ["2:15: X1: place not known yet", "5:20: X1.1: function not known yet (evidence: rings to X4.3)"]
    assert count_unknowns(load("heron.yaml", {"heron.yaml": text}).harness) == {"function": 1, "place": 1}


def test_a_letter_is_reported_once_for_each_file_where_it_first_stands():
    text = "title: Heron 🔧\nnote: 🔧 and 東\n"
    assert said(text, "letter-missing") == [
        "1:14: the sheets' font has no character U+1F527; it is printed as its code point in a box",
        "2:13: the sheets' font has no character U+6771; it is printed as its code point in a box"]


HALVES = """\
connectors:
  X1: {{half: plug, mates: X2, face: {one}, view: {view}}}
  X2: {{half: socket, face: {other}, view: mating face}}
"""


@pytest.mark.parametrize(("one", "view", "other", "said"), [
    ("[[1..4], [5..8]]", "mating face", "[[4..1], [8..5]]", []),            # mirrored, upright
    ("[[1..4], [5..8]]", "mating face", "[[5..8], [1..4]]", []),            # mirrored, and turned by half a turn
    ("[[1..4], [5..8]]", "wire side", "[[1..4], [5..8]]", []),              # written down from the two sides
    ("[[1..4], [5..8]]", "mating face", "[[1..4], [5..8]]", ["as their faces are drawn, cavity 1 of X1 meets cavity 4 of X2"]),
    ("[[1..4], [5..8]]", "wire side", "[[4..1], [8..5]]", ["as their faces are drawn, cavity 1 of X1 meets cavity 4 of X2"]),
    ("[[1..4]]", "mating face", "[[1..2], [3..4]]", []),                    # not to be compared by their places
])
def test_halves_are_mirror_images_of_each_other(one: str, view: str, other: str, said: list[str]) -> None:
    findings = load("t.yaml", {"t.yaml": HALVES.format(one=one, view=view, other=other)}).findings
    assert [finding.message for finding in findings if finding.code == "halves-do-not-mate"] == said


# ----------------------------------------------------------------------- the electric side

BATTERY = 'devices:\n  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'


def with_load(load: str) -> str:
    return f"{BATTERY}  D1: {{terminals: [1, 2], between: [D1.1, D1.2], {load}}}\n"


@pytest.mark.parametrize("text, words", [
    (with_load("load: 5 A at 12 V"), []),
    (with_load("load: unknown"), ["3:56: load of device D1 is not known yet: it is left out of the solve"]),
    (with_load("title: valve"), ["3:36: device D1 stands between D1.1 and D1.2, but nothing says what it takes: it is left out of the solve"]),
    (with_load("lamp: 21 W"), ["3:56: lamp of device D1 is '21 W', which is no power at a voltage: it is left out of the solve"]),
    (with_load("loads: {a: {between: [D1.1, D1.2], heater: unknown}}, lamp: 2 W at 12 V"),
     ["3:93: heater of load a of device D1 is not known yet: it is left out of the solve"]),
    (BATTERY + "  D1: {terminals: [1, 2], lamp: 2 W at 12 V}\n", ["3:33: lamp of device D1 has no `between:`: it is left out of the solve"]),
    (BATTERY + "  D1: {terminals: [1, 2], lamp: 2 W at 12 V, between: [D1.1, D1.1]}\n",
     ["3:55: lamp of device D1 stands between D1.1 and D1.1: it is left out of the solve"]),
    ("devices:\n  D1: {terminals: [1, 2], between: [D1.1, D1.2], lamp: a bulb}\n", []),     # nothing is solved
])
def test_load_left_out(text, words):
    assert said(text, "load-left-out") == words


@pytest.mark.parametrize("text, words", [
    (with_load("lamp: 21 W at 13.5 V"), []),
    (with_load("lamp: 21 W at 24 V"), ["3:56: lamp of device D1 is rated at 24 V, but the supply is 12 V"]),
    (with_load("motor: {running: 4 A at 24 V}"), ["3:57: motor of device D1 is rated at 24 V, but the supply is 12 V"]),
    ("supply: 24 V\n" + with_load("load: 3 ohm").replace("battery: {}", "battery: {emf: 12.6 V}"), ["3:69: battery G1 gives 12.6 V, but the supply is 24 V"]),
    (with_load("load: 3 ohm").replace("battery: {}", "alternator: {voltage: 28 V}"), ["2:76: alternator G1 gives 28 V, but the supply is 12 V"]),
    (with_load("load: 3 ohm").replace("battery: {}", "test-supply: {voltage: 24 V}"), ["2:77: test supply G1 gives 24 V, but the supply is 12 V"]),
    (BATTERY + "relays:\n  K1: {part: mini relay 24 V}\n  K2: {part: mini relay 40 A}\n  K3: {}\n",
     ["4:14: the coil of relay K1 (mini relay 24 V) is made for 24 V, but the supply is 12 V"]),
    ("supply: 24 V\n" + BATTERY + "relays:\n  K1: {part: mini relay 24 V}\n  K2: {type: micro}\n  K3: {coil: 300 ohm}\n", []),
    ("devices:\n  D1: {terminals: [1, 2], between: [D1.1, D1.2], lamp: 21 W at 24 V}\n", []),
])
def test_part_for_another_voltage(text, words):
    assert said(text, "part-for-another-voltage") == words


@pytest.mark.parametrize("text, words", [
    (BATTERY.replace("{}", "{resistance: 8 ohm}"), ["2:76: battery G1 has 8 ohm, where 0.1 mohm to 1 ohm is usual"]),
    (with_load("heater: 2 mohm"), ["3:58: heater of device D1 has 2 mohm, where 5 mohm to 1 Mohm is usual"]),
    (with_load("lamp: 90 kW at 12 V"), ["3:56: lamp of device D1 has 90 kW at 12 V (0.0016 ohm), where 5 mohm to 1 Mohm is usual"]),
    (with_load("sender: 10 ohm to 5 Mohm"), ["3:58: sender of device D1 has 10 ohm to 5 Mohm, where 5 mohm to 1 Mohm is usual"]),
    (with_load("motor: {running: 8 A at 12 V, stalled: 3 ohm}"),
     ["3:57: motor of device D1 has 3 ohm stalled and 8 A at 12 V (1.5 ohm) running: it would take less stalled than running"]),
    (with_load("solenoid: {winding: 14 ohm, pull-in: 3 V, release: 7 V}"), ["3:60: solenoid of device D1 pulls in at 3 V and lets go at 7 V"]),
    (BATTERY + "relays:\n  K1: {coil: 0 ohm}\n  K2: {coil: 85 kohm}\n  K3: {pull-in: 2 V, release: 2 V}\n",
     ["4:14: coil of relay K1 has 0 ohm, where 5 ohm to 5 kohm is usual", "5:14: coil of relay K2 has 85 kohm, where 5 ohm to 5 kohm is usual",
      "6:17: relay K3 pulls in at 2 V and lets go at 2 V"]),
    (BATTERY + "fuses:\n  F1: {rating: 10 A, resistance: 7.7 ohm}\n", ["4:34: fuse F1 has 7.7 ohm, where 0.01 mohm to 2 ohm is usual"]),
    (BATTERY + "connectors:\n  X1: {}\ncavities:\n  X1.1: {signal: output-low, on-resistance: 200 ohm}\n  X1.2: {pull-up: 2 ohm to 5 V}\n  X1.3: {pull-down: 3 ohm}\n",
     ["6:45: output X1.1 has 200 ohm, where 0.1 mohm to 100 ohm is usual", "7:19: pull-up of X1.2 has 2 ohm to 5 V, where 10 ohm to 10 Mohm is usual",
      "8:21: pull-down of X1.3 has 3 ohm, where 10 ohm to 10 Mohm is usual"]),
    (BATTERY + "connectors:\n  X1: {}\ncavities:\n  X1.1: {signal: input-analog, on-resistance: 1 ohm}\n  X1.2: {signal: lamp, commanded: run}\n  X1.3: {commanded: run}\n",
     ["6:47: X1.1 has `on-resistance: 1 ohm`, but its signal is input-analog: nothing drives it from inside",
      "7:35: X1.2 has `commanded: run`, but its signal is lamp: nothing drives it from inside"]),
    ("zones: {engine: 850 C}\n" + BATTERY, ["1:17: zone engine has 850 C, where -60 to 250 C is possible"]),
    ("relays:\n  K1: {coil: 0 ohm}\n", []),                                                  # nothing is solved
])
def test_absurd_value(text, words):
    assert said(text, "absurd-value") == words
