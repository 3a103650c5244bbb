"""``readings`` and the netlist of ``give``: which state is meant, what is printed, what is refused, how they end."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from harnessdoc.cli.main import harnessdoc
from harnessdoc.operation.words import volts_with_unit
from harnessdoc.steps import load

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"
BENCH = """\
title: Bench lead
wire-type: PVC 85 C
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
  Q1: {title: key switch, terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
  S2: {title: heater switch, terminals: [1, 2, 3], closes: {low: [[S2.1, S2.2]], high: [[S2.1, S2.3]]}}
  S3: {title: door switch, terminals: [1, 2], closes: {released: [[S3.1, S3.2]]}, rest: released}
  S4: {title: horn switch, terminals: [1, 2], closes: {pressed: [[S4.1, S4.2]]}}
  N1: {title: heater, terminals: [1, 2, 3], loads: {upper: {between: [N1.1, N1.2], heater: 12 ohm}, lower: {between: [N1.2, N1.3], heater: 12 ohm}}}
  U1: {title: control unit, terminals: [1, 2, 7, 8, 9]}
  U9: {title: airbag unit, terminals: [1, 2]}
cavities:
  N1.2: {function: middle}
  U1.1: {function: supply, signal: feed-switched, draws: 1 A}
  U1.2: {function: ground, signal: ground-power}
  U1.7: {function: indicator, signal: output-low, on-resistance: 0.1 ohm}
  U1.8: {function: injector, signal: output-injector}
  U1.9: {function: not found, signal: input-analog}
  U9.1: {function: squib, signal: airbag}
circuits:
  injection: {pulsed: true}
fuses:
  F1: {title: all, rating: 20 A, type: blade}
wires:
  1: {from: G1.+, to: F1.1, size: 2.5 mm2, length: 500 mm, colour: RD}
  2: {from: F1.2, to: Q1.30, size: 2.5 mm2, length: 500 mm, colour: RD}
  3: {from: Q1.15, to: SP1, size: 1.5 mm2, length: 500 mm, colour: BK}
  4: {from: SP1, to: S2.1, size: 1.5 mm2, length: 500 mm, colour: BK}
  5: {from: S2.2, to: N1.1, size: 1.5 mm2, length: 500 mm, colour: YE}
  6: {from: N1.3, to: G1.-, size: 1.5 mm2, length: 500 mm, colour: BN}
  7: {from: SP1, to: U1.1, size: 1.5 mm2, length: 500 mm, colour: BK}
  8: {from: U1.2, to: G1.-, size: 1.5 mm2, length: 500 mm, colour: BN}
  9: {from: U1.8, to: S4.1, size: 0.5 mm2, length: 500 mm, colour: GN, circuit: injection}
  10: {from: U9.1, to: U9.2, size: 0.5 mm2, length: 500 mm, colour: YE}
  11: {from: U1.9, to: S3.1, size: 0.5 mm2, length: 500 mm, colour: GY}
splices:
  SP1: {}
states:
  warming: {key: run, switches: {S2: low}}
"""
BUZZER = """\
title: Buzzer
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
relays:
  K1: {title: buzzer, contacts: changeover, coil: 85 ohm, pull-in: 8 V, release: 2 V}
wires:
  1: {from: G1.+, to: K1.30, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  2: {from: K1.87a, to: K1.86, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  3: {from: K1.85, to: G1.-, size: 1 mm2, length: 500 mm, colour: BK, type: TXL}
"""
CHATTERS = "relay K1: pulls in, and by that loses its coil voltage, over and over"
NO_SUPPLY = "devices:\n  U1: {terminals: [1, 2]}\n"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("bench.yaml").write_text(BENCH, encoding="utf-8")
    return tmp_path


def run(*arguments: str, text: str | None = None) -> Result:
    if text is not None:
        Path("bench.yaml").write_text(text, encoding="utf-8")
    result = CliRunner().invoke(harnessdoc, arguments)
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert "Traceback" not in result.output
    return result


def rows(*options: str, text: str | None = None) -> dict[str, str]:
    """Address -> what is printed for it, in the order of the rows."""
    result = run("readings", "bench.yaml", *options, text=text)
    assert (result.exit_code, result.stderr) == (0, "")
    table = result.stdout.split("\n\n")[1]
    return {line.split("  ")[0]: re.split(r"  +", line)[1] for line in table.splitlines()}


def state(*options: str) -> dict:
    """The state as JSON."""
    result = run("readings", "bench.yaml", *options, "--format", "json")
    assert (result.exit_code, result.stderr) == (0, "")
    return json.loads(result.stdout)


def named(*options: str) -> str:
    return state(*options)["state"]


# ---------------------------------------------------------------- the numbers

def test_two_loads_of_the_same_resistance_halve_the_voltage():
    """12 + 12 ohm behind 10 mohm, a fuse and 3 m of wire, with 1 A beside: the middle stands at half of 12.5 V, by hand."""
    shown = rows("--state", "warming", "--at", "N1")
    volts = {address: float(text.removesuffix(" V")) for address, text in shown.items() if text.endswith(" V")}
    assert volts["N1.1"] == pytest.approx(12.5, abs=0.05)
    assert volts["N1.2"] == pytest.approx(volts["N1.1"] / 2, abs=0.01)
    assert re.fullmatch(r"\d\.\d mV", shown["N1.3"])


def test_what_is_printed_is_what_the_circuit_gives():
    loaded = load(LINNET)
    operation = loaded.operation
    contacts = loaded.harness.contacts
    pulsed = {end for wire in loaded.harness.wires.values() if wire.circuit in ("injection", "ignition trigger") for end in (wire.from_, wire.to)}
    for name, solved in operation.solved.items():
        result = run("readings", str(LINNET), "--state", name, "--format", "json")
        assert result.exit_code == 0
        found = {entry["address"]: entry for entry in json.loads(result.stdout)["readings"]}
        assert set(found) == {address for address in contacts if loaded.harness.wires_at.get(address)}
        assert {address for address, entry in found.items() if entry["why"] == "pulsed"} == pulsed
        read = operation.read(solved, found)
        for address, entry in found.items():
            if entry["why"] == "pulsed":
                assert entry["volts"] is None
            elif read[address] is None:
                assert (entry["volts"], entry["why"]) == (None, "floating"), address
            else:
                assert entry["volts"] == pytest.approx(read[address], abs=1e-5), address


@pytest.mark.parametrize("volts, shown", [
    (12.346, "12.35 V"), (0.1, "0.10 V"), (0.0996, "99.6 mV"), (0.09996, "0.10 V"), (0.0003, "0.3 mV"), (0.00004, "0.00 V"), (-0.00004, "0.00 V"),
    (-0.0, "0.00 V"), (-0.0037, "-3.7 mV"), (-1.5, "-1.50 V")])
def test_volts_as_a_meter_shows_them(volts, shown):
    assert volts_with_unit(volts) == shown


def test_nothing_below_nought_that_is_nought():
    for name in load(LINNET).operation.solved:
        assert not re.search(r"-0\.0+\b(?! mV)", run("readings", str(LINNET), "--state", name).stdout)
        assert not re.search(r"-0\.0,?$", run("readings", str(LINNET), "--state", name, "--format", "json").stdout, re.MULTILINE)


# ---------------------------------------------------------------- where there is no reading

def test_airbag_circuits_get_no_reading_and_pulsed_ones_say_so():
    shown = rows("--state", "warming", "--at", "U9", "--at", "U1", "--at", "S4")
    assert shown == {"U9.1": "not probed: airbag", "U9.2": "not probed: airbag", "U1.1": shown["U1.1"], "U1.2": shown["U1.2"], "U1.7": "floating", "U1.8": "pulsed",
                     "U1.9": "floating", "S4.1": "pulsed", "S4.2": "floating"}
    assert {entry["address"]: (entry["volts"], entry["why"]) for entry in state("--key", "run", "--at", "U9.1", "--at", "U1.8")["readings"]} == {
        "U9.1": (None, "airbag"), "U1.8": (None, "pulsed")}
    text = run("readings", "bench.yaml", "--key", "run").stdout
    assert "left out: wire 9: circuit injection pulses\nleft out: wire 10: airbag circuit\n" in text


def test_what_pulses_above_60_volts_is_no_reading_whatever_its_circuit():
    text = BENCH.replace("U1.9: {function: not found, signal: input-analog}", "U1.9: {signal: output-injector-boosted}")
    assert rows("--key", "run", "--at", "U1.9", "--at", "S3", text=text) == {"U1.9": "pulsed", "S3.1": "pulsed", "S3.2": "floating"}


def test_an_airbag_pin_is_nothing_to_read_against():
    result = run("readings", "bench.yaml", "--key", "run", "--against", "U9.1")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "harnessdoc: U9.1 is on an airbag circuit, which nobody probes\n  do: name another address\n"


# ---------------------------------------------------------------- where and against what

def test_every_contact_with_a_wire_in_file_order_cavities_counted_up():
    text = ("devices:\n  G1: {terminals: ['+', '-'], between: [G1.+, G1.-], battery: {}}\n"
            "connectors:\n  X2: {face: [[10, 2, 1]], view: wire side}\n  X1: {face: [[1..2]], view: wire side}\nwires:\n"
            "  1: {from: X2.10, to: G1.+, size: 1 mm2, colour: RD, type: TXL}\n  2: {from: X2.2, to: X1.1, size: 1 mm2, colour: RD, type: TXL}\n")
    assert list(rows("--key", "off", text=text)) == ["X2.2", "X2.10", "X1.1", "G1.+"]
    assert list(rows("--key", "off", "--at", "X2")) == ["X2.1", "X2.2", "X2.10"]
    assert [entry["address"] for entry in state("--key", "off", "--at", "X1.1", "--at", "X2.10", "--at", "X1.1")["readings"]] == ["X1.1", "X2.10"]


def test_a_device_is_all_its_connectors():
    result = run("readings", str(LINNET), "--key", "run", "--at", "U1", "--format", "json")
    owners = [entry["address"].split(".")[0] for entry in json.loads(result.stdout)["readings"]]
    assert owners == ["E1"] * 26 + ["E2"] * 50


def test_against_another_point():
    between = float(rows("--state", "warming", "--at", "N1.1", "--against", "N1.2")["N1.1"].removesuffix(" V"))
    assert between == pytest.approx(12.5 / 2, abs=0.03)
    assert "volts against N1.2, all plugged in" in run("readings", "bench.yaml", "--key", "run", "--against", "N1.2").stdout
    assert "volts against battery minus, G1.-, all plugged in" in run("readings", "bench.yaml", "--key", "run", "--against", "G1.-").stdout


def test_nothing_reads_against_what_floats():
    result = run("readings", "bench.yaml", "--key", "run", "--against", "U1.9")
    assert result.exit_code == 2
    assert result.stderr == ("harnessdoc: U1.9 floats with key run, engine stopped, and nothing reads against it\n"
                             "  do: name a ground, or a point that has a voltage\n")


# ---------------------------------------------------------------- which state

@pytest.mark.parametrize("options, name", [
    (("--key", "off"), "off, stopped"), (("--engine", "stopped"), "run, stopped"), (("--engine", "running"), "run, running"), (("--switch", "S4=on"), "run, stopped, S4 pressed"),
    (("--key", "run", "--switch", "S3=released"), "run, stopped"), (("--key", "run", "--switch", "S3=open"), "run, stopped, S3 open"),
    (("--key", "run", "--switch", "S2=open"), "run, stopped"), (("--key", "run", "--switch", "S2=low"), "run, stopped, S2 low"),
    (("--switch", "S4=on", "--switch", "S2=high"), "run, stopped, S2 high, S4 pressed"), (("--on", "U1.7"), "run, stopped, U1.7 on"),
    (("--state", "warming"), "warming"), (("--state", "warming", "--key", "off"), "off, stopped, S2 low"),
    (("--state", "warming", "--engine", "running", "--switch", "S2=high"), "run, running, S2 high"), (("--state", "run, running"), "run, running")])
def test_the_state_that_is_meant(options, name):
    assert named(*options) == name


def test_a_cranked_engine_goes_with_the_key_in_start_and_the_other_way_round():
    for options in (("--key", "start"), ("--engine", "cranking")):
        result = run("readings", str(LINNET), *options, "--at", "E1.26")
        assert result.stdout.startswith("Linnet hatchback engine: key start, engine cranking; switches at rest\n")
    assert run("readings", str(LINNET), "--key", "start", "--engine", "stopped", "--at", "E1.26").stdout.startswith("Linnet hatchback engine: key start, engine stopped;")


def test_a_switch_that_is_open_at_rest_closed_otherwise():
    """Held open, what the door switch closes at rest is parted; the heater stays cold until its switch is held."""
    assert rows("--key", "run", "--at", "N1.1")["N1.1"] == "0.00 V"
    assert rows("--key", "run", "--switch", "S2=low", "--at", "N1.1") == rows("--state", "warming", "--at", "N1.1")


def test_an_output_that_is_on_pulls_its_pin():
    assert rows("--key", "run", "--at", "U1.7")["U1.7"] == "floating"
    assert re.fullmatch(r"\d\.\d mV", rows("--key", "run", "--on", "U1.7", "--at", "U1.7")["U1.7"])
    text = BENCH.replace("U1.2: {function: ground, signal: ground-power}", "U1.2: {function: ground}")
    result = run("readings", "bench.yaml", "--on", "U1.7", text=text)
    assert "left out: U1.7: turned on, but no pin of U1 says ground\n" in result.stdout


LATCH = """\
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
  Q1: {terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}
  S4: {terminals: [1, 2], closes: {pressed: [[S4.1, S4.2]]}}
relays:
  K1: {contacts: make, coil: 85 ohm, pull-in: 8 V, release: 2 V}
splices:
  SP1: {}
wires:
  1: {from: G1.+, to: Q1.30, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  2: {from: Q1.15, to: SP1, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  3: {from: SP1, to: K1.86, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  4: {from: K1.85, to: G1.-, size: 1 mm2, length: 500 mm, colour: BK, type: TXL}
  5: {from: G1.+, to: K1.30, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
  6: {from: K1.87, to: SP1, size: 1 mm2, length: 500 mm, colour: RD, type: TXL}
"""


def test_a_new_state_begins_where_the_one_of_its_key_and_engine_left_the_relays():
    """A relay that holds itself in: out with the key off before it was ever turned, in once it was."""
    Path("bench.yaml").write_text(LATCH, encoding="utf-8")
    assert state("--key", "off", "--switch", "S4=on")["relays"] == []
    assert state("--key", "off", "--engine", "running")["relays"] == ["K1"]
    held = state("--key", "off", "--engine", "running", "--switch", "S4=on")
    assert (held["state"], held["relays"]) == ("off, running, S4 pressed", ["K1"])


def test_an_output_commands_its_relay():
    shown = json.loads(run("readings", str(LINNET), "--key", "run", "--on", "E1.15", "--format", "json").stdout)
    assert shown["relays"] == ["K1", "K3"] and shown["outputs"] == ["E1.14", "E1.15"]


@pytest.mark.parametrize("options, message, do", [
    (("--state", "warmin"), "bench.yaml has no state 'warmin'", "did you mean warming?"),
    (("--state", "x"), "bench.yaml has no state 'x'", "`harnessdoc readings bench.yaml` lists them"),
    (("--key", "start"), "the key switch Q1 has no position 'start'", "it has off, run"),
    (("--switch", "S9=on"), "bench.yaml has no switch 'S9'", "the switches are S2, S3, S4"),
    (("--switch", "s4=on"), "bench.yaml has no switch 's4'", "did you mean S4?"),
    (("--switch", "Q1=run"), "Q1 is the key switch", "say --key run"),
    (("--switch", "S4"), "--switch S4 names no position", "say --switch S4=pressed; S4 has pressed, open"),
    (("--switch", "S4=presed"), "switch S4 has no position 'presed'", "did you mean pressed?"),
    (("--switch", "S2=on"), "S2 has more than one position that could be meant by on", "say which: low, high, open"),
    (("--switch", "S3=on"), "S3 has no position that could be meant by on", "say which: released, open"),
    (("--switch", "S2=low", "--switch", "S2=high"), "S2 cannot be low and high at once", "say one of the two"),
    (("--on", "U1.9"), "U1.9 is input-analog: nothing drives it from inside", "the outputs are U1.7, U1.8"),
    (("--on", "U1.2"), "U1.2 is ground-power: nothing drives it from inside", "the outputs are U1.7, U1.8"),
    (("--on", "N1.1"), "N1.1 has no `signal:`: nothing drives it from inside", "the outputs are U1.7, U1.8"),
    (("--key", "run", "--at", "U1.99"), "bench.yaml has no address 'U1.99'", "did you mean U1.9?"),
    (("--key", "run", "--at", "9"), "'9' is a wire, and a meter is held to an address", "name one of its ends: U1.8 or S4.1"),
    (("--key", "run", "--at", "qqq"), "bench.yaml has no address 'qqq'", "an address is CONNECTOR.CAVITY, or a splice or ground; or name a whole connector, box or device"),
    (("--at", "qqq"), "bench.yaml has no address 'qqq'", "an address is CONNECTOR.CAVITY, or a splice or ground; or name a whole connector, box or device"),
    (("--against", "N1"), "bench.yaml has no address 'N1'", "did you mean N1.3?"),
    (("--against", "U1.8"), "U1.8 is on a circuit that pulses, which is not solved", "name another address"),
])
def test_what_names_nothing_is_refused(options, message, do):
    result = run("readings", "bench.yaml", *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"harnessdoc: {message}\n  do: {do}\n"


def test_a_key_where_there_is_no_key_switch():
    result = run("readings", "bench.yaml", "--key", "run", text=BUZZER)
    assert (result.exit_code, result.stderr.splitlines()[0]) == (2, "harnessdoc: bench.yaml names no key switch, and the key is off")


# ---------------------------------------------------------------- what stands below

def test_what_a_state_rests_on_is_told():
    below = run("readings", str(LINNET), "--state", "cooling").stdout.split("\n\n")[2].replace("\n  ", " ").splitlines()
    assert below[2:5] == ["relays pulled in: K1 main relay, K2 fuel pump relay, K3 radiator fan relay, K4 compressor clutch relay", "control units at work: U1, H1",
                          "outputs on: E1.12 fuel pump relay, E1.14 main relay, E1.15 radiator fan relay, E1.16 compressor clutch relay"]
    assert re.fullmatch(r"battery G1: 13\.\d\d V, takes \d\.\d\d A", below[0]) and re.fullmatch(r"alternator A1: 14\.\d\d V, gives 5\d\.\d A of 75 A", below[1])
    assert below[5:7] == ["motors are solved as running, and take more at the start: M1 armature, U2 throttle motor, M3, M2",
                          "senders are solved at the first value of their range: N6 element, N7 air temperature"]
    assert below[-1] == ("typical values stand for what is not stated: fuses F1..F14, F20..F22; fusible link FL1; relays K1..K4, K8; diode D1; "
                         "and terminals, contacts of switches and the insides of control units")


def test_typical_values_are_told_and_stated_ones_are_not():
    def typical(text: str) -> dict[str, str]:
        Path("bench.yaml").write_text(text, encoding="utf-8")
        return {entry["thing"]: entry["words"] for entry in state("--key", "run", "--on", "U1.7")["typical"]}

    stated = typical(BENCH.replace("type: blade}", "type: blade, resistance: 3 mohm, drop: 90 mV}"))
    assert set(stated) == {"zones not said"}
    left_out = typical(BENCH.replace("battery: {emf: 12.6 V, resistance: 10 mohm}", "battery: {}").replace(", on-resistance: 0.1 ohm", ""))
    assert set(left_out) == {"F1", "G1", "U1.7", "zones not said"}
    assert left_out["G1"].startswith("emf ") and "resistance " in left_out["G1"]


# ---------------------------------------------------------------- the list of states

def test_without_a_state_the_states_are_listed():
    result = run("readings", "bench.yaml")
    lines = result.stdout.splitlines()
    assert (result.exit_code, result.stderr) == (0, "")
    listed = [line[:24].rstrip() for line in lines[3:lines.index("", 3)]]
    assert listed == list(load("bench.yaml").operation.solved)
    assert lines[-3] == "warming: key run, engine stopped, heater switch S2 low"
    assert lines[-2].startswith(f"{len(listed)} states solved; --at ADDRESS")


def test_some_addresses_in_every_state():
    result = run("readings", "bench.yaml", "--at", "N1", "--at", "U9.1", "--at", "U1.8")
    blocks = result.stdout.split("\n\n")
    assert [block.splitlines()[0].split() for block in blocks[1:3]] == [["N1.1", "N1.2", "N1.3", "U9.1"], ["U1.8"]]
    warming = next(line for line in blocks[1].splitlines() if line.startswith("warming"))
    assert re.split(r"  +", warming)[1:] == list(rows("--state", "warming", "--at", "N1").values()) + ["not probed: airbag"]
    assert "pulsed: its circuit pulses, and is not solved\n" in result.stdout


def test_the_list_as_json():
    shown = state("--at", "N1.2")
    assert [entry["state"] for entry in shown["states"]] == list(load("bench.yaml").operation.solved)
    assert shown["states_visited"] == len(shown["states"])
    assert {entry["state"]: entry["readings"][0]["volts"] for entry in shown["states"]}["warming"] == pytest.approx(6.26, abs=0.02)


# ---------------------------------------------------------------- no solution, no supply, errors

def test_a_state_without_a_solution_says_why_and_ends_with_1():
    result = run("readings", "bench.yaml", "--key", "off", text=BUZZER)
    assert (result.exit_code, result.stdout) == (1, f"key off, engine stopped: no solution, and no readings\n  {CHATTERS}\n")
    listed = run("readings", "bench.yaml")
    assert listed.exit_code == 1 and "off, stopped  no solution\n" in listed.stdout
    found = run("readings", "bench.yaml", "--key", "off", "--format", "json")
    assert found.exit_code == 1
    assert [fault["words"] for fault in json.loads(found.stdout)["faults"]] == [CHATTERS]
    netlist = run("give", "bench.yaml", "--as", "spice")
    assert (netlist.exit_code, netlist.stdout) == (1, "") and CHATTERS in netlist.stderr


def test_without_a_supply_the_way_out_is_told():
    for arguments in (("readings", "bench.yaml"), ("give", "bench.yaml", "--as", "spice")):
        result = run(*arguments, text=NO_SUPPLY)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith("harnessdoc: bench.yaml names no supply, and without one there is no voltage anywhere\n  do: describe the battery under `devices:`: ")
    told = result.stderr.split("`devices:`: ")[1]
    assert run("readings", "bench.yaml", text=f"devices:\n  {told}").exit_code == 0


def test_a_file_with_errors_has_no_readings():
    result = run("readings", "bench.yaml", text=BENCH.replace("title: Bench lead", "titel: Bench lead"))
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.startswith("bench.yaml:1:1: unknown-key: ")


# ---------------------------------------------------------------- the netlist, --no-solve

def test_the_netlist_of_a_state():
    netlist = run("give", "bench.yaml", "--as", "spice")
    assert netlist.exit_code == 0
    assert netlist.stdout.splitlines()[0] == "Bench lead: key run, engine stopped" and netlist.stdout.endswith(".op\n.end\n")
    assert '"switch Q1 Q1.30 to Q1.15"' in netlist.stdout and '"switch S2 S2.1 to S2.2"' not in netlist.stdout
    assert '"switch S2 S2.1 to S2.2"' in run("give", "bench.yaml", "--as", "spice", "--state", "warming").stdout
    assert '"switch Q1 Q1.30 to Q1.15"' not in run("give", "bench.yaml", "--as", "spice", "--key", "off").stdout


def test_the_netlist_has_the_relays_as_they_were_found():
    netlist = run("give", str(LINNET), "--as", "spice").stdout
    assert '*   relay "relay K1" pulled in\n' in netlist and '*   relay "relay K3" dropped out\n' in netlist


def test_a_list_has_no_state_and_a_netlist_no_colours():
    result = run("give", "bench.yaml", "--as", "cut.csv", "--key", "run", "--switch", "S4=on")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "harnessdoc: --key, --switch choose a state, and cut.csv is the same in every state\n  do: leave them out, or print the netlist: --as spice\n"
    result = run("give", "bench.yaml", "--as", "spice", "--no-solve")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "harnessdoc: --no-solve says nothing to a netlist\n  do: leave it out\n"


def test_check_says_how_many_states_it_solved():
    many = len(load("bench.yaml").operation.solved)
    *_, states, cases = run("check", "bench.yaml").stdout.splitlines()
    assert states == f"{many} states solved"
    assert re.fullmatch(r"[1-9]\d* cases with one ground or fuse opened", cases)
    assert run("check", "bench.yaml", "--no-sweep").stdout.splitlines()[-1] == "no ground or fuse was opened: `--sweep` does it, and may take long"
    assert run("check", "bench.yaml", text=BUZZER).stdout.splitlines()[-2] == "2 states, none of them solved"
    result = run("check", "bench.yaml", "--sweep", "--no-solve")
    assert (result.exit_code, result.stderr) == (2, "harnessdoc: --sweep opens grounds and fuses in the solved circuit, and --no-solve leaves it unsolved\n  do: leave one of them out\n")
    for options in (("--no-solve",), ("--quiet",), ("--format", "json")):
        assert "solved" not in run("check", "bench.yaml", *options, text=BENCH).stdout
    assert "solved" not in run("check", "bench.yaml", text=NO_SUPPLY).stdout


@pytest.mark.parametrize("arguments", [
    ("check", "bench.yaml"), ("book", "bench.yaml", "--out", "out"), ("sheet", "bench.yaml", "cut-list"), ("give", "bench.yaml", "--as", "cut.csv"),
    ("diff", "bench.yaml", "bench.yaml")])
def test_no_solve_leaves_the_circuit_unsolved(arguments, monkeypatch):
    from harnessdoc.operation import operate

    solved = []
    monkeypatch.setattr(operate, "operate", lambda *things: solved.append(things))
    assert run(*arguments, "--no-solve").exit_code == 0
    assert solved == []
    run(*arguments)
    assert solved != []
