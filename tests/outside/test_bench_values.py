"""What a meter shows at the bench, of whole descriptions: the CAN pair, the charge lamp, a fuse."""

from __future__ import annotations

import pytest
from examples.raw import main_file
from operation.operated import described, operated, wires

from harnessdoc import steps
from harnessdoc.electric import Circuit
from harnessdoc.electric.solve import resistances, solve
from harnessdoc.operation.operate import Operation

BATTERY = 'G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}'


def ohms_between(operation: Operation, a: str, b: str) -> float:
    """What an ohmmeter between two addresses shows: no supply, every relay at rest."""
    nodes = operation.wiring.nodes.of
    dead = Circuit(operation.wiring.elements, nodes[b], operation.wiring.relays)
    return resistances(dead, solve(dead, {}))[nodes[a]]


# --------------------------------------------------------------------------- the CAN pair

def can(terminators: int) -> Operation:
    """A socket on a pair with so many units of 120 ohm, each half a metre on."""
    units = [f"U{number}: {{terminals: [high, low], between: [U{number}.high, U{number}.low], load: 120 ohm}}" for number in range(terminators)]
    joins = [join for number in range(terminators) for join in (f"SP1 U{number}.high", f"SP2 U{number}.low")]
    return operated(described(BATTERY, "U9: {terminals: [6, 14]}", *units, splices="SP1: {title: CAN high}\nSP2: {title: CAN low}",
                              wires=wires("U9.6 SP1", "U9.14 SP2", *joins, size="0.5 mm2", length="500 mm")))


@pytest.mark.outside("SAE J1962 socket, pins 6 and 14, two sources: 60 ohm; 120 where one terminator is missing; 40 where one is too many")
@pytest.mark.parametrize("terminators, ohm", [(2, 60), (1, 120), (3, 40)])
def test_the_can_pair(terminators, ohm):
    # 0.5 m + 0.5 m each way of 0.5 mm2 add 2 x 37 mohm at most.
    assert ohms_between(can(terminators), "U9.6", "U9.14") == pytest.approx(ohm, abs=0.15)


@pytest.mark.outside("SAE J1962 socket, pins 6 and 14, two sources: 60 ohm; 120 where one terminator is missing; 40 where one is too many")
def test_the_can_pair_of_the_linnet():
    text = main_file("linnet").read_text(encoding="utf-8")
    cut = text.replace("load: 120 ohm}", "load: unknown}", 1)

    def ohms(description: str) -> float:
        return ohms_between(steps.load("linnet.yaml", {"linnet.yaml": description}).operation, "X28.6", "X28.14")

    assert ohms(text) == pytest.approx(60, abs=0.3)
    assert ohms(cut) == pytest.approx(120, abs=0.3)


# ------------------------------------------------------------------------- the charge lamp

RUN_ON = ("worked example of the trade, key off and engine running: 14 V at the charge terminal, 65 ohm into a coil of 85 ohm leave 7.9 V, "
          "with 3 ohm beside the coil 0.6 V")


def run_on(lamp: str, *beside: str) -> Operation:
    """Charge lamp between the charge terminal and the ignition node; on that node a relay coil, and ``beside``."""
    alternator = "A1: {terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14 V, charge-lamp: A1.L}}"
    key = "Q1: {terminals: [30, 15], closes: {run: [[Q1.30, Q1.15]]}}"
    return operated(described(
        BATTERY, alternator, key, f"H1: {{terminals: [1, 2], between: [H1.1, H1.2], {lamp}}}", *beside, relays="K1: {suppression: none, coil: 85 ohm}",
        splices="SP1: {title: ignition node}",
        wires=wires("G1.+ Q1.30", "G1.+ A1.B", "A1.case G1.-", "Q1.15 SP1", "SP1 K1.86", "K1.85 G1.-", "SP1 H1.1", "H1.2 A1.L", *(["SP1 R9.1", "R9.2 G1.-"] if beside else []))))


COIL_3 = "R9: {terminals: [1, 2], between: [R9.1, R9.2], coil: 3 ohm}"


@pytest.mark.outside(RUN_ON)
@pytest.mark.parametrize("lamp, beside, volts, stays_in", [
    ("load: 65 ohm", (), 7.93, True),          # 14 x 85 / 150
    ("load: 65 ohm", (COIL_3,), 0.60, False),  # 14 x 2.898 / 67.898
    ("lamp: 2 W at 12 V", (), 8.87, True),     # 85 (2 / 12) ((14 - V) / 12)^0.55 = V
    ("lamp: 2 W at 12 V", (COIL_3,), 0.515, False),
])
def test_the_charge_lamp_feeds_back(lamp, beside, volts, stays_in):
    operation = run_on(lamp, *beside)
    off = operation.solved["off, running"]
    assert operation.read(off, ["K1.86"])["K1.86"] == pytest.approx(volts, abs=0.005)
    # By run the relay was in; from 1.2 V down it lets go, and not before.
    assert [operation.solved[state].solution.relay_states["relay K1"] for state in ("run, running", "off, running")] == [True, stays_in]
    # Which law it was solved with is on the load itself.
    [point] = [point for point in operation.wiring.loads if point.id == "H1"]
    assert (point.kind, point.rated) == tuple(lamp.split(": "))


def test_the_lamp_law_worked_by_bisection():
    """The numbers above for the filament, worked here apart from the program: I ~ V^0.55, 2 W at 12 V."""
    def node_v(ohm: float) -> float:
        low, high = 0.0, 14.0
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if 2 / 12 * ((14 - middle) / 12) ** 0.55 * ohm > middle else (low, middle)
        return low

    assert (round(node_v(85), 2), round(node_v(85 * 3 / 88), 3)) == (8.87, 0.515)


def test_standing_the_lamp_lights_through_the_field():
    operation = run_on("lamp: 2 W at 12 V")
    assert operation.solved["run, stopped"].solution.currents["load H1"] == pytest.approx(0.165, abs=0.005)
    # Sign: out of the ignition node through the lamp; key off, engine running it flows back.
    assert operation.solved["off, running"].solution.currents["load H1"] == pytest.approx(-8.87 / 85, abs=0.001)


# --------------------------------------------------------------------------------- a fuse

FUSE = "one maker's table of blade fuses: 10 A, 7.70 mohm cold, 109 mV at its rating"


def fused(load: str) -> Operation:
    supply = 'T1: {terminals: ["+", "-"], between: [T1.+, T1.-], test-supply: {voltage: 12 V, limit: 100 A}}'
    return operated(described(supply, f"D1: {{terminals: [1, 2], between: [D1.1, D1.2], load: {load}}}", fuses="F1: {rating: 10 A, type: blade}",
                              wires=wires("T1.+ F1.1", "F1.2 D1.1", "D1.2 T1.-")))


def drop_and_current(operation: Operation) -> tuple[float, float]:
    state = operation.solved["off, stopped"]
    drop = -operation.read(state, ["F1.2"], "F1.1")["F1.2"]
    return drop, state.solution.currents["fuse F1"]


@pytest.mark.outside(FUSE)
def test_2_4_mv_across_a_10_a_blade_are_312_ma():
    drop, current = drop_and_current(fused("38.45 ohm"))   # 312 mA of 12 V
    assert (round(drop * 1000, 1), round(current * 1000)) == (2.4, 312)


@pytest.mark.outside(FUSE)
def test_a_fuse_drops_109_mv_at_its_rating():
    drop, current = drop_and_current(fused("1.1766 ohm"))   # 12 V / 10 A less what wires and fuse have
    assert current == pytest.approx(10.0, abs=0.01)
    assert drop * 1000 == pytest.approx(109, abs=0.3)
