"""Batteries in series share the supply; an airbag pin at a common ground takes nothing else out; a bridge turns its motor."""

from __future__ import annotations

import pytest

from harnessdoc.steps import load

from operation.operated import operated


SERIES = """
supply: 24 V
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  G2: {terminals: ["+", "-"], between: [G2.+, G2.-], battery: {}}
  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 24 V}
wires:
  1: {from: G1.-, to: G2.+, size: 35 mm2, length: 300 mm}
  2: {from: G1.+, to: H1.1, size: 1 mm2, length: 1 m}
  3: {from: H1.2, to: G2.-, size: 1 mm2, length: 1 m}
"""


def test_two_batteries_in_series_are_twelve_volts_each_whatever_their_order() -> None:
    operation = operated(SERIES)
    assert operation.wiring.nodes.reference == "G2.-" and operation.wiring.nodes.plus == "G1.+"
    shown = operation.read(operation.solved["off, stopped"], ("G1.+", "G2.+"))
    assert shown["G1.+"] == pytest.approx(25.2, abs=0.05) and shown["G2.+"] == pytest.approx(12.6, abs=0.05)


def test_a_stated_battery_of_a_pair_is_not_called_wrong() -> None:
    text = SERIES.replace("battery: {}", "battery: {emf: 12.7 V}")
    assert "part-for-another-voltage" not in {finding.code for finding in load("t.yaml", {"t.yaml": text}).findings}
    alone = "\n".join(line for line in text.splitlines() if "G2" not in line)
    assert "part-for-another-voltage" in {finding.code for finding in load("t.yaml", {"t.yaml": alone}).findings}


AIRBAG = """
supply: 12 V
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  H1: {terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 13.5 V}
  U1: {title: restraint unit, terminals: [1, 2, 3]}
cavities:
  U1.1: {signal: airbag}
  U1.2: {signal: airbag}
grounds:
  GB1: {metal: body}
wires:
  1: {from: G1.+, to: H1.1, size: 1 mm2, length: 1 m}
  2: {from: H1.2, to: GB1, size: 1 mm2, length: 1 m}
  3: {from: GB1, to: G1.-, size: 10 mm2, length: 1 m}
  4: {from: U1.1, to: GB1, size: 0.5 mm2, length: 1 m}
  5: {from: U1.2, to: SP1, size: 0.5 mm2, length: 1 m}
  6: {from: SP1, to: U1.3, size: 0.5 mm2, length: 1 m}
splices:
  SP1: {}
"""


def test_an_airbag_pin_at_a_common_ground_takes_its_own_copper_out_and_no_more() -> None:
    operation = operated(AIRBAG)
    assert operation.wiring.nodes.off == {"U1.1", "U1.2", "U1.3", "SP1"}
    solution = operation.solved["off, stopped"].solution
    assert solution.currents["load H1"] > 1.0
    assert operation.read(operation.solved["off, stopped"], ("U1.1", "SP1")) == {"U1.1": None, "SP1": None}
    assert not {"wire 4", "wire 5", "wire 6"} & solution.currents.keys()


BRIDGE = """
supply: 12 V
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  U1: {terminals: [1, 2, 3, 4]}
  M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: {running: 2 A at 12 V}}
cavities:
  U1.1: {signal: feed-constant}
  U1.2: {signal: ground-power}
  U1.3: {signal: output-bridge, on-resistance: 0.1 ohm}
  U1.4: {signal: output-bridge, on-resistance: 0.1 ohm}
wires:
  1: {from: G1.+, to: U1.1, size: 1 mm2, length: 1 m}
  2: {from: U1.2, to: G1.-, size: 1 mm2, length: 1 m}
  3: {from: U1.3, to: M1.1, size: 1 mm2, length: 1 m}
  4: {from: U1.4, to: M1.2, size: 1 mm2, length: 1 m}
states:
  opening: {key: off, commanded: [U1.3]}
  closing: {key: off, commanded: [U1.4]}
"""


def test_a_bridge_turns_its_motor_both_ways() -> None:
    # 12.6 V over 6 ohm, 0.2 ohm of outputs, 4 m of 1 mm² (18.5 mohm/m) and the battery: about 2 A
    operation = operated(BRIDGE)
    opens, closes, rests = (operation.solved[name].solution.currents.get("load M1", 0.0) for name in ("opening", "closing", "off, stopped"))
    assert opens == pytest.approx(12.6 / (6 + 0.2 + 0.074 + 0.03), rel=0.01)
    assert closes == pytest.approx(-opens, rel=1e-6) and rests == pytest.approx(0, abs=1e-6)


def test_a_battery_that_is_charged_gives_through_the_resistance_stated() -> None:
    text = BRIDGE.replace("battery: {}", "battery: {resistance: 20 mohm}").replace(
        "  M1:", '  A1: {terminals: [1, 2], between: [A1.1, A1.2], alternator: {limit: 1 A}}\n  M1:')
    running = operated(text + "  run: {key: off, engine: running, commanded: [U1.3]}\n").solved["run"].solution
    # the alternator stands apart: the battery alone gives, through both its branches
    given = -(running.currents["battery G1"] + running.currents["battery G1 charging"])
    assert (12.6 - running.across("G1.+", "G1.-")) / given == pytest.approx(0.020, rel=1e-3)


def test_a_battery_of_a_row_whose_pole_is_no_address_is_told_and_left_out() -> None:
    text = SERIES.replace("between: [G2.+, G2.-]", "between: [G2.+, E1.6]")
    found = load("t.yaml", {"t.yaml": text})
    assert "no-such-connector" in {finding.code for finding in found.findings}
    assert found.operation is not None and found.operation.wiring.nodes.reference == "G1.-"
