"""Rules that look at the kinds of signal on one copper: what they find, and the look-alikes they leave alone."""

from __future__ import annotations

import pytest

from harnessdoc.rules.registry import RULES
from harnessdoc.steps import Loaded, load

HEAD = "devices:\n  U1: {connectors: [X1]}\n  U2: {connectors: [X2]}\n  U3: {connectors: [X3]}\n" + "connectors:\n" + "".join(f"  X{n}: {{face: [[1..6]], view: mating face}}\n" for n in (1, 2, 3))
OF_SIGNALS = {rule.CODE for rule in RULES if "join_findings" in str(vars(rule).get("findings_of_joins")) or hasattr(rule, "findings_of_joins")}


def run(cavities: str, wires: str, more: str = "") -> Loaded:
    listed = "".join(f"  {n}: {{from: {a}, to: {b}, size: 1 mm2, colour: BK, type: TXL}}\n" for n, (a, b) in enumerate((pair.split("-") for pair in wires.split()), 1))
    pins = "".join(f"  {pin.partition(' ')[0]}: {{signal: {pin.partition(' ')[2]}}}\n" for pin in cavities.split("; "))
    return load("heron.yaml", {"heron.yaml": HEAD + "cavities:\n" + pins + more + "wires:\n" + listed})


def codes(loaded: Loaded) -> list[str]:
    assert not loaded.has_errors, loaded.findings
    return [finding.code for finding in loaded.findings if finding.code in OF_SIGNALS]


@pytest.mark.parametrize(("cavities", "wires", "found"), [
    # low-side outputs may share a line, and a switch may
    ("X1.1 output-low; X2.1 output-lamp-low; X3.1 lamp", "X1.1-X2.2 X2.1-X3.1", []),
    ("X1.1 output-low; X2.1 output-low", "X1.1-X2.1", []),
    ("X1.1 output-low; X2.1 switch-to-ground", "X1.1-X2.1", []),
    ("X1.1 output-high; X2.1 output-high", "X1.1-X2.1", ["two-drivers-on-one-line"]),
    ("X1.1 output-push-pull; X2.1 output-push-pull", "X1.1-X2.1", ["two-drivers-on-one-line"]),
    # 5 V and sensors
    ("X1.1 reference-5v; X2.1 feed-5v", "X1.1-X2.1", []),
    ("X1.1 reference-5v; X2.1 feed-switched", "X1.1-X2.1", ["supply-on-signal-pin"]),
    ("X1.1 input-analog; X2.1 ratio-sensor", "X1.1-X2.1", []),
    ("X1.1 input-analog; X2.1 source-switched", "X1.1-X2.1", ["supply-on-signal-pin"]),
    ("X1.1 input-switch-to-supply; X2.1 source-switched", "X1.1-X2.1", []),
    ("X1.1 ground-sensor; X2.1 ground-power", "X1.1-X2.1", ["sensor-ground-on-body"]),
    ("X1.1 ground-sensor; X2.1 ground-sensor", "X1.1-X2.1", []),
    ("X1.1 reference-5v; X2.1 reference-5v", "X1.1-X2.1", ["references-joined"]),
    # inductive and Hall sensors
    ("X1.1 input-inductive-plus; X2.1 inductive-sensor-plus", "X1.1-X2.1", []),
    ("X1.1 input-inductive-minus; X2.1 inductive-sensor-plus", "X1.1-X2.1", ["sensor-polarity-crossed"]),
    ("X1.1 input-hall; X2.1 hall-sensor", "X1.1-X2.1", []),
    ("X1.1 input-inductive-plus; X2.1 hall-sensor", "X1.1-X2.1", ["sensor-kind-mismatch"]),
    # pulses, senders, switches, buses
    ("X1.1 output-tachometer, pulses: 2 per turn; X2.1 tachometer, pulses: 2 per turn", "X1.1-X2.1", []),
    ("X1.1 output-tachometer; X2.1 tachometer, pulses: 2 per turn", "X1.1-X2.1", []),
    ("X1.1 speed-pulses, pulses: 4000 per mile; X2.1 input-speed-pulses, pulses: 2485.5 per km", "X1.1-X2.1", []),
    ("X1.1 speed-pulses, pulses: 4000 per mile; X2.1 input-speed-pulses, pulses: 2500 per km", "X1.1-X2.1", ["speed-pulses-mismatch"]),
    ("X1.1 gauge; X2.1 resistive-sender", "X1.1-X2.1", []),
    ("X1.1 gauge; X2.1 resistive-sender; X3.1 input-resistive", "X1.1-X2.1 X3.1-X2.2", []),
    ("X1.1 gauge; X3.1 input-resistive", "X1.1-X3.1", ["sender-shared"]),
    ("X1.1 gauge, curve: {0 %: 240 ohm, 100 %: 33 ohm}; X2.1 resistive-sender, curve: {0 %: 225 ohm, 100 %: 33 ohm}", "X1.1-X2.1", []),
    ("X1.1 gauge, curve: {0 %: 240 ohm, 100 %: 33 ohm}; X2.1 resistive-sender, curve: {0 %: 10 ohm, 100 %: 180 ohm}", "X1.1-X2.1", ["sender-curve-mismatch"]),
    ("X1.1 gauge, curve: {0 %: 240 ohm, 100 %: 33 ohm}; X2.1 resistive-sender, curve: {20 C: 240 ohm, 100 C: 33 ohm}", "X1.1-X2.1", []),
    ("X1.1 input-switch-to-ground; X2.1 switch-to-ground", "X1.1-X2.1", []),
    ("X1.1 input-switch-to-supply; X2.1 switch-to-ground", "X1.1-X2.1", ["switch-to-wrong-rail"]),
    ("X1.1 can-high, bit-rate: 500 kbit/s; X2.1 can-high, bit-rate: 0.5 Mbit/s", "X1.1-X2.1", []),
    ("X1.1 can-high, bus: body; X2.1 can-high, bus: engine", "X1.1-X2.1", ["buses-joined"]),
    ("X1.1 can-high; X2.1 can-low", "X1.1-X2.1", ["buses-joined"]),
    ("X1.1 feed-start; X2.1 feed-run", "X1.1-X2.1", ["signals-do-not-pair"]),
    ("X1.1 steering-control; X2.1 lamp", "X1.1-X2.1", ["signals-do-not-pair"]),
])
def test_what_is_found_of_two_kinds_on_one_copper(cavities, wires, found):
    assert codes(run(cavities, wires)) == found


@pytest.mark.parametrize(("more", "wires", "found"), [
    # a relay coil or a fuse needs no signal to be known
    ("relays:\n  K1: {suppression: resistor}\nfuses:\n  F1: {rating: 5 A}\n", "X1.1-K1.85 F1.2-K1.86", []),
    ("relays:\n  K1: {suppression: resistor}\ngrounds:\n  GB1: {metal: body}\n", "X1.1-K1.86 K1.85-GB1", ["output-on-wrong-side"]),
    ("fuses:\n  F1: {rating: 5 A}\n", "X1.1-F1.2", ["output-on-wrong-side"]),
    ("fuses:\n  F1: {rating: 5 A}\n", "X1.1-F1.1", []),
    ("grounds:\n  GB1: {metal: body}\n", "X1.1-GB1", ["output-on-wrong-side"]),
    ("relays:\n  K1: {suppression: resistor}\nfuses:\n  F1: {rating: 5 A}\n", "F1.2-K1.30 K1.87-X1.1", ["output-on-wrong-side"]),
    ("relays:\n  K1: {suppression: resistor}\n", "K1.87-X1.1", []),
])
def test_an_output_to_ground_and_contacts_of_parts(more, wires, found):
    assert codes(run("X1.1 output-low", wires, more)) == found


@pytest.mark.parametrize(("wires", "found"), [
    ("X1.1-K1.86 K1.85-GB1", []),
    ("X1.1-K1.85 K1.86-F1.2", ["output-on-wrong-side"]),
    ("X1.1-K1.85", []),
])
def test_an_output_to_the_supply(wires, found):
    more = "relays:\n  K1: {suppression: resistor}\nfuses:\n  F1: {rating: 5 A}\ngrounds:\n  GB1: {metal: body}\n"
    assert codes(run("X1.1 output-high", wires, more)) == found


@pytest.mark.parametrize(("output", "wires", "do"), [
    ("output-low", "X1.1-K1.86 K1.85-GB1", "K1 is a relay already, its coil only needs the supply on its other side: lead K1.85 (wire 2) to a switched supply through a small fuse, not to ground"),
    ("output-high", "X1.1-K1.85 K1.86-F1.2", "K1 is a relay already, its coil only needs ground on its other side: lead K1.86 (wire 2) to ground, not to a supply"),
])
def test_a_coil_on_the_wrong_side_needs_no_second_relay(output, wires, do):
    loaded = run(f"X1.1 {output}", wires, "relays:\n  K1: {suppression: resistor}\nfuses:\n  F1: {rating: 5 A}\ngrounds:\n  GB1: {metal: body}\n")
    assert [finding.do for finding in loaded.findings if finding.code == "output-on-wrong-side"] == [do]
    mended = wires.replace("K1.85-GB1", "K1.85-F1.2") if output == "output-low" else wires.replace("K1.86-F1.2", "K1.86-GB1")
    assert codes(run(f"X1.1 {output}", mended, "relays:\n  K1: {suppression: resistor}\nfuses:\n  F1: {rating: 5 A}\ngrounds:\n  GB1: {metal: body}\n")) == []


def test_the_mark_of_a_second_tie_to_ground_stands_at_the_wire_that_ties():
    """Of four wires from the sensor ground to the power ground the third leads to the stud; the last is as it should be."""
    loaded = run("X1.1 ground-sensor; X1.2 ground-power; X2.1 ground-sensor", "X1.1-S1 X2.1-S1 S1-GB1 X1.2-GB1", "splices:\n  S1: {}\ngrounds:\n  GB1: {metal: body}\n")
    (finding,) = [finding for finding in loaded.findings if finding.code == "sensor-ground-on-body"]
    assert loaded.texts["heron.yaml"].line(finding.place.line).startswith("  3: {from: S1, to: GB1")
    assert finding.at[0] == "wire 3" and finding.do == "take wire 3 off GB1: the sensor ground to its own control unit only"


def test_a_half_of_an_in_line_connector_that_repeats_a_signal_is_no_second_driver():
    halves = ("connectors:\n  X1: {face: [[1..2]], view: mating face}\n  X8: {half: socket, face: [[1..2]], view: mating face, mates: X9}\n"
              "  X9: {half: plug, face: [[2, 1]], view: mating face}\ndevices:\n  U1: {connectors: [X1]}\ncavities:\n  X1.1: {signal: output-high}\n  X8.1: {signal: output-high}\n"
              "wires:\n  1: {from: X1.1, to: X8.1, size: 1 mm2, colour: BK, type: TXL}\n")
    assert codes(load("heron.yaml", {"heron.yaml": halves})) == []
    alone = halves.replace(", mates: X9", "")
    assert codes(load("heron.yaml", {"heron.yaml": alone})) == ["two-drivers-on-one-line"]


def test_one_copper_gives_one_finding_however_many_meet_on_it():
    loaded = run("X1.1 input-analog; X1.2 input-analog; X2.1 source-switched; X3.1 ratio-sensor", "X1.1-S1 X1.2-S1 X2.1-S1 X3.1-S1", "splices:\n  S1: {join: J7}\n")
    (finding,) = [finding for finding in loaded.findings if finding.code == "supply-on-signal-pin"]
    assert {"X1.1", "X1.2", "X2.1", "X3.1"} <= set(finding.at)
    assert "join J7" in finding.message


def test_what_is_not_stated_is_asked_for_once_and_never_a_finding():
    loaded = run("X1.1 output-tachometer; X2.1 tachometer", "X1.1-X2.1")
    assert [(one.code, one.things) for one in loaded.unasked if one.code == "tachometer-mismatch"] == [("tachometer-mismatch", ("X1.1", "X2.1"))]
    assert not [one for one in run("X1.1 output-tachometer; X1.2 tachometer", "X1.1-X1.2").unasked if one.code == "tachometer-mismatch"]


PEDAL = "X2.1 feed-5v; X2.2 feed-5v; X2.3 pedal-track; X2.4 pedal-track; X1.1 reference-5v; X1.2 reference-5v; X1.3 input-pedal-track; X1.4 input-pedal-track"


@pytest.mark.parametrize(("wires", "found"), [
    ("X1.1-X2.1 X1.2-X2.2 X1.3-X2.3 X1.4-X2.4", []),
    ("X1.1-S1 S1-X2.1 S1-X2.2 X1.3-X2.3 X1.4-X2.4", ["tracks-share-supply"]),
    ("X1.1-X2.1 X1.2-X2.2 X1.3-S1 S1-X2.3 S1-X2.4", ["tracks-share-supply"]),
])
def test_the_tracks_of_a_pedal(wires, found):
    assert codes(run(PEDAL, wires, "splices:\n  S1: {}\n")) == found


def test_sensors_of_two_units_share_no_ground():
    cavities = "X1.1 input-analog; X1.2 ground-sensor; X2.1 ratio-sensor; X2.2 ground-sensor; X3.1 ratio-sensor; X3.2 ground-sensor"
    both = "X1.1-X2.1 X1.2-S1 S1-X2.2 S1-X3.2"
    assert codes(run(cavities, both, "splices:\n  S1: {}\n")) == []
    other = "U4: {connectors: [X4]}"
    text = (HEAD.replace("connectors:\n", f"  {other}\nconnectors:\n  X4: {{face: [[1..2]], view: mating face}}\n", 1) + "cavities:\n"
            + "".join(f"  {pin.partition(' ')[0]}: {{signal: {pin.partition(' ')[2]}}}\n" for pin in (cavities + "; X4.1 input-analog").split("; "))
            + "splices:\n  S1: {}\nwires:\n" + "".join(f"  {n}: {{from: {a}, to: {b}, size: 1 mm2, colour: BK, type: TXL}}\n"
                                                     for n, (a, b) in enumerate((pair.split("-") for pair in (both + " X4.1-X3.1").split()), 1)))
    assert codes(load("heron.yaml", {"heron.yaml": text})) == ["sensor-ground-on-body"]


@pytest.mark.parametrize(("load_of", "found"), [("0.26 kohm", False), ("0.24 kohm", True)])
def test_a_reference_at_its_limit(load_of, found):
    text = ("devices:\n  U1: {connectors: [X1]}\n  U2: {connectors: [X2], between: [X2.1, X2.2], load: " + load_of + "}\nconnectors:\n  X1: {face: [[1..2]], view: mating face}\n"
            "  X2: {face: [[1..2]], view: mating face}\ncavities:\n  X1.1: {signal: reference-5v, limit: 20 mA}\n  X2.1: {signal: feed-5v}\nwires:\n"
            "  1: {from: X1.1, to: X2.1, size: 0.5 mm2, colour: RD, type: TXL}\n")
    assert ("reference-overloaded" in [finding.code for finding in load("heron.yaml", {"heron.yaml": text}).findings]) is found


def test_an_airbag_circuit_from_plug_to_plug_through_in_line_halves_is_whole():
    text = ("connectors:\n  X1: {face: [[1..2]], view: mating face}\n  X2: {face: [[1..2]], view: mating face}\n  X8: {half: socket, face: [[1..2]], view: mating face, mates: X9}\n"
            "  X9: {half: plug, face: [[2, 1]], view: mating face}\ncavities:\n  X1.1: {signal: airbag}\nwires:\n  1: {from: X1.1, to: X8.1, size: 1 mm2, colour: YE, type: TXL}\n"
            "  2: {from: X9.1, to: X2.1, size: 1 mm2, colour: YE, type: TXL}\n")

    def touched(text: str) -> list[str]:
        return [finding.code for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == "airbag-circuit-touched"]

    assert touched(text) == []
    assert touched(text + "  3: {from: X9.1, to: X2.2, size: 1 mm2, colour: YE, type: TXL}\ncavities: {}\n".replace("cavities: {}\n", "")) == ["airbag-circuit-touched"]


@pytest.mark.parametrize(("second", "found"), [("coil 1", []), ("lamps", ["pulsed-circuit-joined"]), ("", [])])
def test_a_splice_of_its_own_is_no_join_of_a_pulsed_circuit(second, found):
    text = ("connectors:\n  X1: {face: [[1..2]], view: mating face}\n  X2: {face: [[1..2]], view: mating face}\ncircuits:\n  coil 1: {pulsed: true}\nsplices:\n  S1: {}\nwires:\n"
            "  1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL, circuit: coil 1}\n"
            f"  2: {{from: S1, to: X2.1, size: 1 mm2, colour: BK, type: TXL{f', circuit: {second}' if second else ''}}}\n")
    assert [finding.code for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == "pulsed-circuit-joined"] == found
