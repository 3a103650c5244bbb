"""What a comparison tells of the electric side: each change once, under the key as it is written."""

from __future__ import annotations

import pytest
from revision.bench import version_of_texts

from harnessdoc.revision.compare import compare

TEXT = """\
zones: {engine: 85 C}
segments:
  T1: {from: P1, to: P2, length: 1 m, near: {fuel: 120 mm}, bend: 40 mm}
terminals:
  pin 1.5: {takes: 0.5 mm2 to 1.5 mm2}
waivers:
  - {at: F1, code: not-known-yet, reason: left so, date: 2026-09-14}
grounds:
  GB1: {metal: body}
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
  E1: {face: [[1..3]], view: mating face}
cavities:
  E1.1: {function: fan, signal: output-fan, on-resistance: 0.3 ohm}
  E1.3: {curve: {40 C: 1305 ohm, 100 C: 190 ohm}, bit-rate: 500 kbit/s, pulses: 4000 per mile}
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
    # which limits there are the rules know; here it is told that one was written
    changes = compare(version_of_texts({"harness.yaml": TEXT}), version_of_texts({"harness.yaml": TEXT.replace(before, after)}, allowed="no-such-option")).changes
    return [(change.kind.value, f"{change.id} {change.key}", change.was, change.now) for change in changes]


@pytest.mark.parametrize("before, after, change", [
    ("engine: 85 C", "engine: 95 C", ("use changed", " zones", "engine: 85 C", "engine: 95 C")),
    ("zones: {engine: 85 C}", "zones: {engine: 85 C}\nampacity: ABYC E-11", ("use changed", " ampacity", "33 CFR 183.425", "ABYC E-11")),
    ("near: {fuel: 120 mm}", "near: {exhaust: 80 mm, fuel: 12 cm}", ("use changed", "T1 near", "fuel: 120 mm", "fuel: 120 mm; exhaust: 80 mm")),
    ("bend: 40 mm", "bend: 30 mm", ("re-routed", "T1 bend", "40 mm", "30 mm")),
    ("bend: 40 mm", "bend: 40 mm, clips: 300 mm", ("unknown now known", "T1 clips", "", "300 mm")),
    ("bend: 40 mm", "bend: 40 mm, slack: 0 mm", ("unknown now known", "T1 slack", "", "0 mm")),
    ("0.5 mm2 to 1.5 mm2", "0.5 mm2 to 1 mm2", ("part changed", " terminals", "pin 1.5: 0.5 mm2 to 1.5 mm2", "pin 1.5: 0.5 mm2 to 1 mm2")),
    ("waivers:", "rules: {some-limit: {most: 30 mA}}\nwaivers:", ("use changed", " rules", "", "some-limit: most: 30 mA")),
    ("reason: left so", "reason: braided", (
        "text only", " waivers", "not-known-yet at F1 on 2026-09-14: left so", "not-known-yet at F1 on 2026-09-14: braided")),
    ("{metal: body}", "{metal: body, hinged: true}", ("use changed", "GB1 hinged", "", "true")),
    ("1305 ohm", "1400 ohm", ("use changed", "E1.3 curve", "40 C: 1305 ohm, 100 C: 190 ohm", "40 C: 1400 ohm, 100 C: 190 ohm")),
    ("500 kbit/s", "250 kbit/s", ("use changed", "E1.3 bit-rate", "500 kbit/s", "250 kbit/s")),
    (", pulses: 4000 per mile", "", ("known now unknown", "E1.3 pulses", "4000 per mile", "")),
    ("pulses: 4000 per mile", "pulses: 4000 per mile, bus: powertrain", ("unknown now known", "E1.3 bus", "", "powertrain")),
    ("pulses: 4000 per mile", "pulses: 4000 per mile, clamp: 45 V", ("unknown now known", "E1.3 clamp", "", "45 V")),
    ("pulses: 4000 per mile", "pulses: 4000 per mile, monitored: true", ("use changed", "E1.3 monitored", "", "true")),
    ("pressed: [[S2.1, S2.2]]}", "pressed: [[S2.1, S2.2]]}, stays-with: [M2, key]", ("use changed", "S2 stays-with", "", "M2, key")),
    ("charge-lamp: A1.L", "charge-lamp: A1.L, excitation: 120 mA", ("use changed", "A1 alternator", "voltage 14.2 V, charge lamp A1.L",
                                                                  "voltage 14.2 V, charge lamp A1.L, excitation 120 mA")),
    ("solenoid: 0.55 ohm}", "solenoid: {winding: 0.55 ohm, at-most: 2 s}}", (
        "use changed", "M1 loads",
        "solenoid: solenoid 0.55 ohm between M1.50 and M1.case; armature: motor 130 A at 10 V between M1.30 and M1.case, closed by solenoid",
        "solenoid: solenoid 0.55 ohm, at most 2 s between M1.50 and M1.case; armature: motor 130 A at 10 V between M1.30 and M1.case, closed by solenoid")),
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
    ("120 mm", "12 cm"), ("500 kbit/s", "0.5 Mbit/s"), ("4000 per mile", "4000.0 per  mile"), ("40 C: 1305 ohm, 100 C: 190 ohm", "100 °C: 0.19 kohm, 40 C: 1305 ohm"),
    ("0.5 mm2 to 1.5 mm2", "0.50 mm² to 1.5 mm2"),
])
def test_another_notation_is_no_change(before, after):
    assert told(before, after) == []


def test_a_limit_in_another_notation_and_waivers_in_another_order_are_no_change():
    lines = ["  - {at: E1, code: not-known-yet, reason: a, date: 2026-09-14}\n", "  - {at: F1, code: not-known-yet, reason: a, date: 2026-09-14}\n"]
    old, new = (version_of_texts({"harness.yaml": f"rules: {{some-limit: {{most: {limit}, far: {far}}}}}\nwaivers:\n{''.join(order)}connectors:\n  E1: {{}}\nfuses:\n  F1: {{}}\n"}, allowed="no-such-option")
                for limit, far, order in (("30 mA", "120 mm", lines), ("0.03 A", "12 cm", lines[::-1])))
    assert compare(old, new).changes == ()


def test_a_waiver_and_a_partner_follow_a_renaming_and_outlast_what_is_gone():
    old = TEXT.replace("at: F1", "at: wire 1").replace("[[S2.1, S2.2]]}", "[[S2.1, S2.2]]}, stays-with: [M2, key]")
    renamed = old.replace("M2", "M9").replace("  1: {from", "  W1: {from").replace("wire 1", "wire W1")
    changes = compare(version_of_texts({"harness.yaml": old}), version_of_texts({"harness.yaml": renamed})).changes
    assert [(change.kind.value, change.new_id) for change in changes] == [("renamed", "M9"), ("renamed", "W1")]
    # another id elsewhere, so that nothing is passed over as written alike
    gone = "".join(line for line in old.replace("GB1", "GB7").splitlines(keepends=True) if not line.startswith(("  M2:", "  1: {from", "wires:")))
    changes = compare(version_of_texts({"harness.yaml": old}), version_of_texts({"harness.yaml": gone})).changes
    assert [(change.kind.value, change.old_id) for change in changes] == [("removed", "M2"), ("renamed", "GB1"), ("removed", "1")]


def test_names_inside_follow_a_renaming():
    """The output that the state commands is that of the same control unit plug under another id."""
    new = TEXT.replace("E1", "E9").replace("M2", "M9")
    changes = compare(version_of_texts({"harness.yaml": TEXT}), version_of_texts({"harness.yaml": new})).changes
    assert [(change.kind.value, change.new_id) for change in changes] == [("renamed", "M9"), ("renamed", "E9")]
