"""Outputs and what they switch: too much current, no suppression, slow release."""

from __future__ import annotations

import pytest

from .edited import found, lacking

DRIVER, BARE, SLOW = "driver-overloaded", "suppression-missing", "release-slowed-by-diode"
TWO = (("relays:\n", "relays:\n  K4: {coil: 60 ohm, contacts: make, rating: 40 A, type: mini, suppression: none}\n"), ("coil: 20 ohm", "coil: 60 ohm"),
       ("wires:\n", "splices:\n  SP1: {}\n  SP2: {}\nwires:\n  5: {from: SP1, to: K4.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n  6: {from: SP2, to: K4.85, size: 1 mm2, colour: YE, type: TXL, length: 1 m}\n"
                    "  7: {from: SP1, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n  8: {from: SP2, to: K3.85, size: 1 mm2, colour: YE, type: TXL, length: 1 m}\n"),
       ("from: F1.2, to: K3.86", "from: F1.2, to: SP1"), ("from: K3.85, to: U1.1", "from: SP2, to: U1.1"))


@pytest.mark.parametrize(("coil", "tells"), [("35 ohm", False), ("34 ohm", True)])
def test_the_current_is_that_of_cold_copper_at_the_highest_voltage(coil, tells):
    # 14.5 V / 0.5 A = 29 ohm at -20 C; by R20 (234.5 - 20) / 254.5 that is 34.4 ohm at 20 C
    assert bool(found(DRIVER, ("coil: 20 ohm", f"coil: {coil}"))) is tells


def test_one_coil_too_strong_is_told_at_the_coil_and_two_at_the_output():
    (alone,) = found(DRIVER)
    assert alone.at == ("K3", "U1.1") and "35 ohm or more" in alone.do and (alone.value, alone.limit, alone.origin) == ("860 mA", "0.5 A", "stated")
    (both,) = found(DRIVER, *TWO)
    assert both.at == ("U1.1", "K4", "K3") and "287 mA + 287 mA = 573 mA" in both.message
    assert "output of its own" in both.do


def test_voltage_and_cold_are_options():
    assert found(DRIVER, ("coil: 20 ohm", "coil: 34 ohm"), ("devices:", f"rules: {{{DRIVER}: {{cold: 20 C}}}}\ndevices:")) == []
    assert found(DRIVER, ("coil: 20 ohm", "coil: 35 ohm"), ("devices:", f"rules: {{{DRIVER}: {{volts: 16 V}}}}\ndevices:"))


def test_a_limit_that_is_not_stated_is_the_usual_one_and_said_so():
    (finding,) = found(DRIVER, ("limit: 0.5 A, ", ""), ("coil: 20 ohm", "coil: 15 ohm"))
    assert "may carry 1 A (usual of its kind)" in finding.message
    assert found(DRIVER, ("limit: 0.5 A, ", "")) == []


def test_a_coil_behind_a_closed_switch_counts_and_one_without_a_supply_does_not():
    switched = (("devices:\n", "devices:\n  S6: {terminals: [1, 2], closes: {right: [[S6.1, S6.2]]}, rest: right}\n"), ("from: K3.85, to: U1.1", "from: K3.85, to: S6.1"),
                ("wires:\n", "wires:\n  9: {from: S6.2, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}\n"))
    assert found(DRIVER, *switched)
    assert found(DRIVER, ("from: F1.2, to: K3.86", "from: F1.2, to: open")) == []


def test_a_diode_passes_only_the_way_the_current_goes():
    through = (("relays:\n", "diodes:\n  D1: {}\nrelays:\n"), ("wires:\n", "wires:\n  9: {from: D1.K, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}\n"), ("from: K3.85, to: U1.1", "from: K3.85, to: D1.A"))
    assert found(DRIVER, *through)
    assert found(DRIVER, *through, ("from: D1.K", "from: D1.X"), ("to: D1.A", "to: D1.K"), ("from: D1.X", "from: D1.A")) == []


def test_what_is_on_a_high_side_output_returns_to_ground():
    high = (("signal: output-fan", "signal: output-high"), ("from: K3.85, to: U1.1", "from: K3.86, to: U1.1"), ("from: F1.2, to: K3.86", "from: K3.85, to: G1.-"))
    assert found(DRIVER, *high)


def test_a_coil_of_which_nothing_is_said_is_asked_for():
    assert lacking(DRIVER, ("coil: 20 ohm, ", "")) == [("K3",)]
    assert found(DRIVER, ("coil: 20 ohm", "part: mini relay 40 A")) == []


# -------------------------------------------------------------------- suppression

@pytest.mark.parametrize("changes", [
    (("limit: 1 A}", "limit: 1 A, clamp: 45 V}"),),
    (("signal: output-fan", "signal: output-push-pull"),),
    (("suppression: none", "suppression: diode"),),
    (("wires:\n", "diodes:\n  D1: {}\nwires:\n  5: {from: D1.K, to: K3.86, size: 1 mm2, colour: RD, type: TXL, length: 1 m}\n  6: {from: D1.A, to: U1.1, size: 1 mm2, colour: YE, type: TXL, length: 1 m}\n"),
     ("F1.2, to: K3.86", "F1.2, to: D1.K")),
    (("from: K3.85, to: U1.1", "from: K3.85, to: G1.-"),),
])
def test_what_takes_up_the_voltage_or_is_switched_by_nothing_is_left_alone(changes):
    assert found(BARE, *changes) == []


def test_the_diode_is_named_with_its_direction():
    (finding,) = found(BARE)
    assert finding.at == ("K3", "U1.1") and "cathode at K3.86, anode at K3.85" in finding.do
    (turned,) = found(BARE, ("to: K3.86", "to: K3.X"), ("from: K3.85", "from: K3.86"), ("to: K3.X", "to: K3.85"))
    assert "cathode at K3.85, anode at K3.86" in turned.do


def test_suppression_that_is_not_known_is_asked_for():
    assert lacking(BARE, ("suppression: none", "suppression: unknown")) == [("K3",)]


def test_unknown_ends_at_both_sides_of_a_winding_may_hide_a_diode():
    tail = "  8: {from: K3.86, to: unknown, size: 1 mm2, colour: RD, type: TXL}\n"
    both = f"{tail}  9: {{from: SP2, to: unknown, size: 1 mm2, colour: YE, type: TXL}}\n"
    splices = (("wires:\n", f"splices:\n  SP1: {{}}\n  SP2: {{}}\nwires:\n{both}"), ("from: K3.86, to: unknown", "from: SP1, to: unknown"), ("from: F1.2, to: K3.86", "from: F1.2, to: SP1"),
               ("from: K3.85, to: U1.1", "from: SP2, to: U1.1"), ("  4: {from: U1.2", "  6: {from: SP1, to: K3.86, size: 1 mm2, colour: RD, type: TXL}\n  7: {from: SP2, to: K3.85, size: 1 mm2, colour: YE, type: TXL}\n  4: {from: U1.2"))
    assert lacking(BARE, *splices) == [("K3",)]
    assert found(BARE, *splices, ("from: SP1, to: unknown", "from: SP1, to: open"))


CLUTCH = (("  U1: {title: engine", "  Y6: {title: compressor clutch, terminals: [1, 2], between: [Y6.1, Y6.2], coil: 3.4 ohm}\n  U1: {title: engine"),
          ("cavities:\n", "cavities:\n  Y6.1: {signal: clutch-coil}\n"), ("suppression: none", "suppression: resistor"),
          ("  4: {from: U1.2", "  7: {from: K3.87, to: Y6.1, size: 1 mm2, colour: GN, type: TXL, length: 1 m}\n  8: {from: Y6.2, to: G1.-, size: 1 mm2, colour: BK, type: TXL, length: 1 m}\n  4: {from: U1.2"))


def test_a_clutch_switched_by_a_contact_needs_a_diode_beside_a_control_unit_only():
    (finding,) = found(BARE, *CLUTCH)
    assert finding.at == ("Y6", "K3") and "cathode at Y6.1, anode at Y6.2" in finding.do
    assert found(BARE, *CLUTCH, ("signal: output-fan", "signal: input-analog")) == []
    assert found(BARE, *CLUTCH, ("signal: clutch-coil", "signal: starter-control")) == []


@pytest.mark.parametrize(("signal", "tells"), [("solenoid", True), ("injector", False), ("starter-control", False)])
def test_a_solenoid_on_an_output_needs_it_too_but_what_its_driver_is_made_for(signal, tells):
    valve = (("  U1: {title: engine", "  Y5: {title: valve, terminals: [1, 2], between: [Y5.1, Y5.2], solenoid: 26 ohm}\n  U1: {title: engine"), ("cavities:\n", f"cavities:\n  Y5.1: {{signal: {signal}}}\n"),
             ("to: K3.86", "to: Y5.1"), ("from: K3.85", "from: Y5.2"))
    assert [finding.at for finding in found(BARE, *valve)] == ([("Y5", "U1.1")] if tells else [])


def test_a_valve_on_a_pulse_width_output_is_asked_for_its_clamp():
    assert lacking(BARE, ("signal: output-fan", "signal: output-pwm-low")) == [("U1.1",)]


# -------------------------------------------------------------------- slow release

@pytest.mark.parametrize(("amps", "tells"), [("9.9 A", False), ("10 A", True)])
def test_the_current_of_the_motor_is_a_bound(amps, tells):
    assert bool(found(SLOW, ("motor: 16 A", f"motor: {amps}"))) is tells


def test_a_heater_of_the_same_current_and_a_resistor_are_left_alone():
    assert found(SLOW, ("motor: 16 A", "heater: 16 A")) == []
    assert found(SLOW, ("suppression: diode", "suppression: resistor")) == []
    assert found(SLOW, ("devices:", f"rules: {{{SLOW}: {{least: 20 A}}}}\ndevices:")) == []


def test_a_motor_that_is_not_rated_is_asked_for():
    assert lacking(SLOW, ("motor: 16 A at 12 V", "motor: unknown")) == [("M2",)]
