"""What a comparison tells of the electric side: each change once, under the key as it is written."""

from __future__ import annotations

import pytest
from revision.bench import version_of_texts

from harnessdoc.revision.compare import compare

TEXT = """\
zones: {engine: 85 C}
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}
  A1: {terminals: [B+, L, case], between: [A1.B+, A1.case], alternator: {voltage: 14.2 V, charge-lamp: A1.L}}
  M1:
    terminals: [30, 50, case]
    loads:
      solenoid: {between: [M1.50, M1.case], solenoid: 0.55 ohm}
      armature: {between: [M1.30, M1.case], motor: 130 A at 10 V, closed-by: solenoid}
  M2: {terminals: [1, 2], between: [M2.1, M2.2], motor: {running: 16 A at 12 V, stalled: 0.22 ohm}}
  S2: {terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}
connectors:
  E1: {face: [[1..2]], view: mating face}
cavities:
  E1.1: {function: fan, signal: output-fan, on-resistance: 0.3 ohm}
fuses:
  F1: {rating: 10 A}
relays:
  K1: {title: fan relay, part: mini relay 40 A}
circuits:
  injection: {system: fuel}
states:
  braking: {engine: running, switches: {S2: pressed}, commanded: [E1.1]}
wires:
  1: {from: E1.1, to: M2.1}
"""


def told(before: str, after: str) -> list[tuple[str, str, str, str]]:
    assert before in TEXT
    changes = compare(version_of_texts({"harness.yaml": TEXT}), version_of_texts({"harness.yaml": TEXT.replace(before, after)})).changes
    return [(change.kind.value, f"{change.id} {change.key}", change.was, change.now) for change in changes]


@pytest.mark.parametrize("before, after, change", [
    ("engine: 85 C", "engine: 95 C", ("use changed", " zones", "engine: 85 C", "engine: 95 C")),
    ("zones: {engine: 85 C}", "zones: {engine: 85 C}\nampacity: ABYC E-11", ("use changed", " ampacity", "33 CFR 183.425", "ABYC E-11")),
    ("resistance: 8 mohm", "resistance: 9 mohm", ("use changed", "G1 battery", "emf 12.6 V, resistance 8 mohm", "emf 12.6 V, resistance 9 mohm")),
    (", charge-lamp: A1.L", "", ("use changed", "A1 alternator", "voltage 14.2 V, charge lamp A1.L", "voltage 14.2 V")),
    ("stalled: 0.22 ohm", "stalled: 0.3 ohm", ("use changed", "M2 motor", "16 A at 12 V, stalled 0.22 ohm", "16 A at 12 V, stalled 0.3 ohm")),
    ("pressed: [[S2.1, S2.2]]}", "pressed: [[S2.1, S2.2]]}, rest: pressed", ("use changed", "S2 rest", "", "pressed")),
    ("on-resistance: 0.3 ohm", "on-resistance: 0.2 ohm", ("use changed", "E1.1 on-resistance", "0.3 ohm", "0.2 ohm")),
    ("on-resistance: 0.3 ohm", "on-resistance: 0.3 ohm, diode: both", ("unknown now known", "E1.1 diode", "", "both")),
    ("{rating: 10 A}", "{rating: 10 A, resistance: 7 mohm}", ("use changed", "F1 resistance", "", "7 mohm")),
    ("mini relay 40 A", "micro relay 30 A", ("part changed", "K1 part", "mini relay 40 A", "micro relay 30 A")),
    ("mini relay 40 A", "mini relay 40 A, pull-in: 7 V", ("use changed", "K1 pull-in", "", "7 V")),
    ("{system: fuel}", "{system: fuel, pulsed: true}", ("use changed", "injection pulsed", "", "true")),
    ("engine: running", "engine: cranking", (
        "use changed", " states", "braking: key off, engine running, S2 pressed, E1.1 on", "braking: key off, engine cranking, S2 pressed, E1.1 on")),
    ("motor: 130 A at 10 V", "motor: 150 A at 10 V", (
        "use changed", "M1 loads",
        "solenoid: solenoid 0.55 ohm between M1.50 and M1.case; armature: motor 130 A at 10 V between M1.30 and M1.case, closed by solenoid",
        "solenoid: solenoid 0.55 ohm between M1.50 and M1.case; armature: motor 150 A at 10 V between M1.30 and M1.case, closed by solenoid")),
])
def test_one_change_is_told_once(before, after, change):
    assert told(before, after) == [change]


@pytest.mark.parametrize("before, after", [
    ("16 A at 12 V", "16000 mA at 12.0 V"), ("resistance: 8 mohm", "resistance: 0.008 ohm"), ("0.3 ohm", "300 mohm"), ("85 C", "85 °C"),
])
def test_another_notation_is_no_change(before, after):
    assert told(before, after) == []


def test_names_inside_follow_a_renaming():
    """The output that the state commands is that of the same control unit plug under another id."""
    new = TEXT.replace("E1", "E9").replace("M2", "M9")
    changes = compare(version_of_texts({"harness.yaml": TEXT}), version_of_texts({"harness.yaml": new})).changes
    assert [(change.kind.value, change.new_id) for change in changes] == [("renamed", "M9"), ("renamed", "E9")]
