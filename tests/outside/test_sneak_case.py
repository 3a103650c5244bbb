"""The sneak path that the textbooks print: the radio beats with the brake lamps while the hazard flasher is on and the ignition off.

The circuit is that of the books; fuses, sizes and lengths are ours.
"""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding
from harnessdoc.steps import load

SOURCE = "worked example of sneak circuit analysis: late-1960s car, hazard flasher, brake switch, turn switch, radio"
ON = "load-on-unasked"


def wire(number: int, a: str, b: str, size: str = "2 mm2") -> str:
    return f"  {number}: {{from: {a}, to: {b}, size: {size}, colour: BK, type: TXL, length: 500 mm, circuit: {'radio' if 'R1' in a + b else 'rear lamps'}}}\n"


def car(states: str, diode: bool = False) -> str:
    """battery - fuse A - hazard switch - flasher - turn switch (at rest) - rear lamps; battery - key - accessory bus - radio, - brake switch - turn switch - the same lamps."""
    brake = wire(9, "SP1", "D1.A") + wire(12, "D1.K", "S2.1") if diode else wire(9, "SP1", "S2.1")
    return (
        "devices:\n"
        '  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\n'
        "  Q1: {title: ignition switch, terminals: [30, 75], closes: {accessory: [[Q1.30, Q1.75]], run: [[Q1.30, Q1.75]]}}\n"
        "  S1: {title: hazard switch, terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}\n"
        "  S2: {title: brake switch, terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}\n"
        "  S3: {title: turn switch, terminals: [flasher, brake, rear], closes: {straight: [[S3.flasher, S3.rear], [S3.brake, S3.rear]]}, rest: straight}\n"
        "  U1: {title: flasher, terminals: [1, 2], links: [[U1.1, U1.2]]}\n"
        "  H1: {title: rear stop and turn lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}\n"
        "  R1: {title: radio, terminals: [1, 2], between: [R1.1, R1.2], load: 0.8 A at 12 V}\n"
        "circuits:\n  radio: {hot: [accessory, run]}\n"
        "fuses:\n  FA: {rating: 10 A, type: blade}\n  FB: {rating: 10 A, type: blade}\n"
        + ("diodes:\n  D1: {part: 3 A}\n" if diode else "") + f"states:\n{states}"
        "splices:\n  SP1: {title: accessory bus, method: solder}\nwires:\n"
        + wire(1, "G1.+", "FA.1") + wire(2, "FA.2", "S1.1") + wire(3, "S1.2", "U1.1") + wire(4, "U1.2", "S3.flasher") + wire(5, "S3.rear", "H1.1")
        + wire(6, "G1.+", "FB.1") + wire(7, "FB.2", "Q1.30") + wire(8, "Q1.75", "SP1") + brake + wire(10, "S2.2", "S3.brake")
        + wire(11, "SP1", "R1.1") + wire(13, "R1.2", "G1.-") + wire(14, "H1.2", "G1.-"))


def radio_fed(text: str) -> list[Finding]:
    return [finding for finding in load("car.yaml", {"car.yaml": text}).findings if finding.code == ON and "R1" in finding.at]


@pytest.mark.outside(SOURCE)
def test_hazard_on_pedal_down_ignition_off_the_radio_is_fed_through_the_brake_switch():
    (finding,) = radio_fed(car("  flashing: {key: off, switches: {S1: on, S2: pressed}}\n"))
    path = finding.message.rpartition("the current: ")[2].split(" > ")
    assert path == ["battery G1", "wire 1", "fuse FA", "wire 2", "switch S1", "wire 3", "wire 4", "switch S3", "wire 10", "switch S2", "wire 9", "wire 11", "radio", "wire 13"]
    assert "flashing" in finding.message or finding.state == "off, stopped, S1 on, S2 pressed"


@pytest.mark.outside(SOURCE)
def test_the_pair_of_switches_is_tried_though_nobody_names_the_state():
    (finding,) = radio_fed(car("  lamps out: {key: off}\n"))
    assert finding.state == "off, stopped, S1 on, S2 pressed"


@pytest.mark.outside(SOURCE)
@pytest.mark.parametrize("switches", ["{S1: on}", "{S2: pressed}", "{}"])
def test_with_the_hazard_off_or_the_pedal_up_it_is_not(switches):
    loaded = load("car.yaml", {"car.yaml": car(f"  asked: {{key: off, switches: {switches}}}\n")})
    solution = loaded.operation.solved["asked"].solution
    assert abs(solution.currents["load R1"]) < 1e-3
    assert all("asked" not in finding.message and finding.state != "asked" for finding in radio_fed(car(f"  asked: {{key: off, switches: {switches}}}\n")))


@pytest.mark.outside(SOURCE)
def test_a_diode_in_the_brake_feed_clears_it():
    assert radio_fed(car("  flashing: {key: off, switches: {S1: on, S2: pressed}}\n", diode=True)) == []
    loaded = load("car.yaml", {"car.yaml": car("  braking: {key: run, switches: {S2: pressed}}\n", diode=True)})
    assert loaded.operation.solved["braking"].solution.currents["load H1"] > 1.5      # the brake lamps still burn with the key on
