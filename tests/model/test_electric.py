"""The electric side of a description: what is read, what is typical, what is refused."""

from __future__ import annotations

import subprocess
import sys

import pytest
from described import built, clean, said

from harnessdoc.model.build_states import held_positions
from harnessdoc.model.electric import Alternator, Battery, Engine, TestSupply

SUPPLY = 'devices:\n  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}\n'


def one(device: str) -> str:
    return f"devices:\n  D1: {{terminals: [1, 2, 3], {device}}}\n"


# ---------------------------------------------------------------------------- supplies

def test_a_battery():
    harness = clean(SUPPLY)
    battery = harness.devices["G1"].supply
    assert isinstance(battery, Battery) and battery.emf and battery.resistance
    assert (battery.emf.value, battery.resistance.value, str(battery)) == (12.6, 0.008, "emf 12.6 V, resistance 8 mohm")
    assert (harness.supplies, harness.devices["G1"].between) == (("G1",), ("G1.+", "G1.-"))


def test_a_battery_of_which_nothing_is_known():
    assert clean(one("between: [D1.1, D1.2], battery: {}")).devices["D1"].supply == Battery(None, None)


def test_an_alternator():
    harness = clean("connectors:\n  X1: {}\n" + one("connectors: [X1], between: [D1.1, D1.2], alternator: {voltage: 14.2 V, limit: 75 A, charge-lamp: X1.L, sense: D1.3, field: 4 ohm}"))
    alternator = harness.devices["D1"].supply
    assert isinstance(alternator, Alternator) and alternator.voltage and alternator.limit and alternator.field
    assert (alternator.voltage.value, alternator.limit.value, alternator.charge_lamp, alternator.sense, alternator.field.value) == (14.2, 75.0, "X1.L", "D1.3", 4.0)
    assert "X1.L" in harness.contacts


def test_a_test_supply():
    supply = clean(one("between: [D1.1, D1.2], test-supply: {voltage: 12 V, limit: 10 A}")).devices["D1"].supply
    assert isinstance(supply, TestSupply) and supply.voltage and supply.limit
    assert (supply.voltage.value, supply.limit.value) == (12.0, 10.0)
    _, findings = built(one("between: [D1.1, D1.2], test-supply: {}"))
    assert said(findings) == ["2:53: key-missing: `test-supply` of device D1 has no `voltage`"]


def test_a_description_without_any_of_it():
    harness = clean("devices:\n  D1: {terminals: [1, 2], lamp: any words, between: [D1.1, D1.2]}\nrelays:\n  K1: {}\n")
    device = harness.devices["D1"]
    assert (harness.supplies, harness.key_switch, harness.states, harness.zones) == ((), None, {}, {})
    assert (device.supply, device.loads, device.rest, device.lamp) == (None, {}, None, "any words")
    assert device.load and device.load.kind == "lamp" and device.load.rating is None
    assert harness.contacts["D1.1"].inside is None


# ------------------------------------------------------------------------------- loads

@pytest.mark.parametrize("written, kind, words", [
    ("lamp: 2 W at 12 V", "lamp", "2 W at 12 V"),
    ("motor: 8 A at 12 V", "motor", "8 A at 12 V"),
    ("motor: {running: 8 A at 12 V, stalled: 0.3 ohm}", "motor", "8 A at 12 V, stalled 0.3 ohm"),
    ("motor: {stalled: 0.3 ohm}", "motor", "stalled 0.3 ohm"),
    ("heater: 120 W at 12 V", "heater", "120 W at 12 V"),
    ("sender: 40 ohm", "sender", "40 ohm"),
    ("sender: 10 ohm to 180 ohm", "sender", "10 ohm to 180 ohm"),
    ("solenoid: 14 ohm", "solenoid", "14 ohm"),
    ("solenoid: {winding: 0.5 ohm, pull-in: 7 V, release: 3 V}", "solenoid", "0.5 ohm, pull-in 7 V, release 3 V"),
    ("coil: 0.6 ohm", "coil", "0.6 ohm"),
    ("load: 5 A at 12 V", "load", "5 A at 12 V"),
    ("load: unknown", "load", ""),
])
def test_one_load(written, kind, words):
    load = clean(one(f"between: [D1.1, D1.2], {written}")).devices["D1"].load
    assert load and (load.kind, str(load)) == (kind, words)


def test_several_loads():
    device = clean("""\
devices:
  M1:
    terminals: [30, 50, case]
    loads:
      solenoid: {between: [M1.50, M1.case], solenoid: 0.55 ohm}
      armature: {between: [M1.30, M1.case], motor: 130 A at 10 V, closed-by: solenoid}
""").devices["M1"]
    assert (device.load, list(device.loads)) == (None, ["solenoid", "armature"])
    armature = device.loads["armature"]
    assert (armature.between, armature.closed_by, str(armature)) == (
        ("M1.30", "M1.case"), "solenoid", "motor 130 A at 10 V between M1.30 and M1.case, closed by solenoid")


@pytest.mark.parametrize("text, findings", [
    (one("heater: 2 ohm"), ["2:30: load-without-between: device D1 has `heater` but no `between:`"]),
    (one("battery: {}"), ["2:30: load-without-between: device D1 has `battery` but no `between:`"]),
    (one("between: [D1.1], heater: 2 ohm"), ["2:39: wrong-count: `between` of device D1 has 1 item, where at least 2 are wanted"]),
    (one("between: [D1.1, D1.1], heater: 2 ohm"), ["2:39: load-short-circuited: `heater` of device D1 stands between D1.1 and D1.1"]),
    (one("between: [D1.1, D1.9], heater: 2 ohm"), ["2:46: no-such-cavity: item 2 of `between` of device D1 is 'D1.9', but D1 has no cavity or terminal 9"]),
    (one("between: [D1.1, D1.2], heater: 0 ohm"), ["2:61: bad-quantity: `heater` of device D1: a resistance cannot be zero here: '0 ohm'"]),
    (one("between: [D1.1, D1.2], heater: -2 ohm"), ["2:61: bad-quantity: `heater` of device D1: a resistance cannot be negative: '-2 ohm'"]),
    (one("between: [D1.1, D1.2], heater: 2000 Mohm"), ["2:61: bad-quantity: `heater` of device D1: '2000 Mohm' is above 1e+09 ohm, the most a resistance may be here"]),
    (one("between: [D1.1, D1.2], motor: 8 A at 12 V, heater: 2 ohm"), ["2:73: two-loads: device D1 has `motor` and `heater` between one pair of addresses"]),
    (one("between: [D1.1, D1.2], battery: {}, lamp: 2 W at 12 V"), ["2:66: two-loads: device D1 has `battery` and `lamp` between one pair of addresses"]),
    (one("between: [D1.1, D1.2], battery: {emf: 96 V}"), ["2:68: supply-over-60-v: `emf` of device D1 is 96 V; this program is for low-voltage direct current up to 60 V"]),
    (one("between: [D1.1, D1.2], alternator: {voltage: 61 V}"),
     ["2:75: supply-over-60-v: `voltage` of device D1 is 61 V; this program is for low-voltage direct current up to 60 V"]),
    (one("between: [D1.1, D1.2], battery: {resistance: 0 ohm}"), ["2:75: bad-quantity: `resistance` of device D1: a resistance cannot be zero here: '0 ohm'"]),
    (one("loads: {a: {between: [D1.1, D1.2]}}"), ["2:38: load-without-kind: load a of device D1 does not say what it is"]),
    (one("loads: {a: {lamp: 2 W at 12 V}}"), ["2:38: key-missing: `a` of `loads` of device D1 has no `between`"]),
    (one("loads: {a: {between: [D1.1, D1.2], lamp: 6 ohm}}"),
     ["2:71: bad-quantity: `lamp` of load a of device D1: a lamp has another resistance cold and hot: '6 ohm'"]),
    (one("loads: {a: {between: [D1.1, D1.2], load: 6 ohm, closed-by: b}}"),
     ["2:89: no-such-load: `closed-by` of load a of device D1 names 'b', but there is no such solenoid in device D1"]),
    (one("loads: {a: {between: [D1.1, unknown], load: 6 ohm}}"),
     ["2:58: no-such-address: item 2 of `between` of load a of device D1 is 'unknown', where an address is needed"]),
    (one("between: [D1.1, D1.2], alternator: {charge-lamp: D1.L}"), ["2:79: no-such-cavity: `charge-lamp` of device D1 is 'D1.L', but D1 has no cavity or terminal L"]),
    ("grounds:\n  GE: {}\n" + one("between: [D1.1, D1.2], alternator: {charge-lamp: GE}"), ["4:79: not-its-terminal: `charge-lamp` of device D1 is GE, which is no terminal of D1"]),
])
def test_what_is_refused(text, findings):
    assert said(built(text)[1]) == findings


# --------------------------------------------------------------------------- switches

KEY = "  Q1: {terminals: [30, 15, 50], closes: {run: [[Q1.30, Q1.15]], start: [[Q1.30, Q1.15], [Q1.30, Q1.50]]}}\n"
PEDAL = "  S2: {terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}\n"


def test_the_key_switch_and_a_switch_at_rest():
    harness = clean("devices:\n" + KEY + PEDAL.replace("]]}", "]]}, rest: pressed"))
    assert (harness.key_switch, harness.devices["S2"].rest) == ("Q1", "pressed")
    assert clean("devices:\n" + PEDAL).key_switch is None


def test_two_key_switches_are_refused_where_the_circuit_is_solved():
    second = KEY.replace("Q1", "Q2")
    clean("devices:\n" + KEY + second)
    _, findings = built(SUPPLY + KEY + second)
    assert said(findings) == ["4:41: two-key-switches: device Q2 closes run, start, and so does device Q1 (run, start): which of them is the key switch?"]
    assert findings[0].do == "give the positions of the other one names of their own; accessory, run, start are those of the key"
    assert [str(related.place) for related in findings[0].related] == ["main.yaml:3:41"]


def test_states():
    harness = clean("devices:\n" + KEY + PEDAL + """\
  U1: {terminals: [7, 8]}
cavities:
  U1.7: {signal: output-low}
states:
  waiting: {key: run, engine: running, switches: {S2: pressed}, commanded: [U1.7], note: n}
  parked: {}
""")
    waiting, parked = harness.states.values()
    assert (waiting.key, waiting.engine, waiting.switches, waiting.commanded, waiting.note) == ("run", Engine.RUNNING, {"S2": "pressed"}, ("U1.7",), "n")
    assert str(waiting) == "key run, engine running, S2 pressed, U1.7 on"
    assert (parked.key, parked.engine, parked.switches, parked.commanded) == ("off", Engine.STOPPED, {}, ())


def test_any_switch_may_be_held_open():
    """As where its plug is off; a position it names open itself is that one."""
    own = PEDAL.replace("pressed", "open").replace("S2", "S3")
    harness = clean("devices:\n" + KEY + PEDAL + own + "states:\n  s: {switches: {S2: open, S3: open}}\n")
    assert harness.states["s"].switches == {"S2": "open", "S3": "open"}
    assert [held_positions(harness.devices[id]) for id in ("S2", "S3")] == [("pressed", "open"), ("open",)]


@pytest.mark.parametrize("entry, finding, do", [
    ("key: rum", "7:12: no-such-switch-position: `key` of state s names 'rum', but there is no such position of the key switch", "did you mean run?"),
    ("engine: idling", "7:15: not-a-choice: `engine` of state s is 'idling', which is none of its words", "the words are stopped, cranking, running"),
    ("switches: {S3: pressed}", "7:18: no-such-switch: `switches` of state s names 'S3', but there is no such switch", "the description has S2"),
    ("switches: {Q1: run}", "7:18: no-such-switch: `switches` of state s names 'Q1', but there is no such switch", "the description has S2"),
    ("switches: {S2: presed}", "7:22: no-such-switch-position: `switches` of state s names 'presed', but there is no such position of S2", "did you mean pressed?"),
    ("commanded: [U1.9]", "7:19: no-such-cavity: item 1 of `commanded` of state s is 'U1.9', but U1 has no cavity or terminal 9", "U1 has 7, 8"),
    ("commanded: [U1.7]", "7:19: not-an-output: item 1 of `commanded` of state s is U1.7, of which no `signal:` is said: nothing drives it from inside",
     "name an output, or say its signal under `cavities:`"),
])
def test_states_that_name_nothing(entry, finding, do):
    _, findings = built(f"devices:\n{KEY}{PEDAL}  U1: {{terminals: [7, 8]}}\n\nstates:\n  s: {{{entry}}}\n")
    assert said(findings) == [finding]
    assert findings[0].do == do


def test_a_position_of_rest_that_is_none():
    _, findings = built("devices:\n" + PEDAL.replace("]]}", "]]}, rest: pulled"))
    assert said(findings) == ["2:68: no-such-switch-position: `rest` of device S2 names 'pulled', but there is no such position of device S2"]


# ------------------------------------------------------------------- cavities and parts

def test_what_is_behind_a_cavity():
    harness = clean("connectors:\n  E1: {}\ncavities:\n  E1.1: {signal: output-low, on-resistance: 200 mohm, commanded: run and start, diode: both}\n"
                    "  E1.2: {signal: input-resistive, pull-up: 2.2 kohm to 5 V}\n  E1.3: {pull-down: 10 kohm, diode: unknown}\n  E1.4: {signal: ground-case, metal: engine}\n")
    output, up, down, case = (harness.contacts[f"E1.{n}"].inside for n in (1, 2, 3, 4))
    assert output and up and down and case
    assert (output.on_resistance and output.on_resistance.value, output.commanded, output.diode, output.pull_up) == (0.2, "run and start", "both", None)
    assert str(up.pull_up) == "2.2 kohm to 5 V"
    assert (down.pull_down and down.pull_down.value, down.diode) == (10_000.0, None)
    assert case.metal == "engine"


@pytest.mark.parametrize("entry, finding", [
    ("signal: output-low, on-resistance: 0 ohm", "4:45: bad-quantity: `on-resistance` of E1.1: a resistance cannot be zero here: '0 ohm'"),
    ("pull-up: 2.2 kohm", "4:19: bad-quantity: `pull-up` of E1.1: '2.2 kohm' does not say to which voltage it pulls"),
    ("diode: upward", "4:17: not-a-choice: `diode` of cavity E1.1 is 'upward', which is none of its words"),
    ("signal: output-lou", "4:18: unknown-signal: `signal` of cavity E1.1 is 'output-lou', which is none of its words"),
])
def test_cavities_that_are_refused(entry, finding):
    assert said(built(f"connectors:\n  E1: {{}}\ncavities:\n  E1.1: {{{entry}}}\n")[1]) == [finding]


def test_a_ready_made_relay():
    relay = clean("relays:\n  K1: {part: mini relay 40 A, coil: 85 ohm, pull-in: 7.5 V, release: 2 V}\n").parts["K1"]
    assert (relay.part, relay.type, relay.value and relay.value.value, relay.pull_in and relay.pull_in.value, relay.release and relay.release.value) == (
        "mini relay 40 A", "mini relay 40 A", 85.0, 7.5, 2.0)


def test_a_part_that_does_not_exist():
    harness, findings = built("relays:\n  K1: {part: mini relay 50 A}\n")
    assert said(findings) == ["2:14: no-such-part: `part` of relay K1 is 'mini relay 50 A', which is no ready-made part"]
    assert findings[0].do.startswith("did you mean mini relay 40 A? the parts are mini relay 40 A, ")
    assert harness.parts["K1"].part == ""


def test_fuses_circuits_and_zones():
    harness = clean("zones: {engine: 95 C, hot: 130 C}\nfuses:\n  F1: {rating: 10 A, resistance: 7 mohm, drop: 100 mV}\n"
                    "circuits:\n  injection: {hot: [with engine, commanded], pulsed: true}\n  lamps: {pulsed: false}\n")
    fuse = harness.parts["F1"]
    assert (fuse.resistance and fuse.resistance.value, fuse.drop and fuse.drop.value) == (0.007, 0.1)
    assert (harness.circuits["injection"].pulsed, harness.circuits["injection"].hot, harness.circuits["lamps"].pulsed) == (True, ("with engine", "commanded"), False)
    assert {zone: value.value for zone, value in harness.zones.items()} == {"engine": 95.0, "hot": 130.0}


@pytest.mark.parametrize("text, finding, do", [
    ("circuits:\n  c: {pulsed: yes}\n", "2:15: not-a-choice: `pulsed` of circuit c is 'yes', which is none of its words", "the words are true, false"),
    ("circuits:\n  c: {hot: [comanded]}\n", "2:13: not-a-choice: item 1 of `hot` of circuit c is 'comanded', which is none of its words",
     "did you mean `commanded`? the words are always, accessory, run, start, with engine, commanded"),
    ("zones: {engin: 85 C}\n", "1:9: unknown-key: `zones` has no key `engin`", "did you mean `engine`? the keys here are cabin, engine, flexing, hot, wet"),
    ("zones: {engine: 85}\n", "1:17: bad-quantity: `engine` of the zones: a temperature needs a unit: '85' stands alone", "write 85 C (units: C, °C)"),
])
def test_words_that_are_refused(text, finding, do):
    _, findings = built(text)
    assert said(findings) == [finding]
    assert findings[0].do == do


def test_a_description_without_any_of_it_starts_without_the_classes():
    code = ("import sys\nfrom harnessdoc.steps import load\nload('a.yaml', {'a.yaml': %r})\n"
            "print(*sorted(set(sys.modules) & {f'harnessdoc.{name}' for name in ('model.electric', 'model.given', 'model.build_loads', 'description.ratings', 'trade.relay_parts')}))")
    plain = "devices:\n  U1: {terminals: [1, 2]}\ncavities:\n  U1.1: {function: lamp, signal: input-wake}\nrelays:\n  K1: {coil: 85 ohm}\n"

    def loaded(text: str) -> str:
        done = subprocess.run([sys.executable, "-c", code % text], check=True, capture_output=True, text=True)
        return done.stdout.strip()

    assert loaded(plain) == ""
    assert loaded(SUPPLY) == "harnessdoc.description.ratings harnessdoc.model.build_loads harnessdoc.model.electric harnessdoc.model.given harnessdoc.trade.relay_parts"
