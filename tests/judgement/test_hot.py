"""When circuits are live: stated, or proposed from the solved states."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from harnessdoc.judgement.hot import hots
from harnessdoc.operation.operate import Operation
from harnessdoc.steps import load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"


def without_stated(operation: Operation) -> Operation:
    """The same with no circuit saying when it is live."""
    harness = operation.wiring.harness
    circuits = {id: replace(circuit, hot=None) for id, circuit in harness.circuits.items()}
    return replace(operation, wiring=replace(operation.wiring, harness=replace(harness, circuits=circuits)))


@pytest.fixture(scope="module")
def linnet() -> Operation:
    operation = load(LINNET).operation
    assert operation is not None
    return operation


def test_what_is_stated_is_not_proposed(linnet: Operation) -> None:
    found = hots(linnet)
    for id, circuit in linnet.wiring.harness.circuits.items():
        if circuit.hot is not None:
            assert (found[id].words, found[id].proposed) == (circuit.hot, False)
    assert found["stop lamps"].proposed and found["stop lamps"].words == ("always",)       # behind the brake pedal switch on the constant feed


def test_proposals_agree_with_what_the_author_of_the_linnet_wrote(linnet: Operation) -> None:
    """The words in the file were written by hand before there was a solver; where they differ the solved states say more."""
    proposed = hots(without_stated(linnet))
    differing = {id: proposed[id].words for id, circuit in linnet.wiring.harness.circuits.items()
                 if circuit.hot is not None and id in proposed and proposed[id].words != circuit.hot}
    assert differing == {
        "fuel pump": ("with engine",), "fan": ("commanded",), "compressor clutch": ("commanded",),
        "air conditioning switch": ("run",),                                               # the switch is only ever held in run: start follows from the key switch
    }
    agreeing = [id for id, circuit in linnet.wiring.harness.circuits.items() if circuit.hot is not None and id in proposed and proposed[id].words == circuit.hot]
    assert len(agreeing) == 19
    assert proposed["ignition"].words == ("run", "start") and proposed["start"].words == ("start",)


def test_a_ground_and_a_sensor_circuit_have_none(linnet: Operation) -> None:
    found = hots(linnet)
    assert not {"ground straps", "cabin ground", "sensor ground", "coolant temperature", "oil lamp"} & set(found)


def test_a_circuit_that_is_never_live_says_so() -> None:
    loaded = load("t.yaml", {"t.yaml": """
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  R1: {title: horn, terminals: [a, b], between: [R1.a, R1.b], load: 4 ohm}
relays:
  K1: {contacts: make, type: mini}
wires:
  1: {from: G1.+, to: K1.30, circuit: horn feed}
  2: {from: K1.87, to: R1.a, circuit: horn}
  3: {from: R1.b, to: G1.-, circuit: ground}
"""})
    found = hots(loaded.operation)
    assert found["horn feed"].words == ("always",)
    assert found["horn"].words == () and found["horn"].proposed
    assert "ground" not in found or found["ground"].words == ()
