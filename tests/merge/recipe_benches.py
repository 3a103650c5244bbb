"""The benches of the twelve recipes, and the faults that are put into each.

A fault is what a builder's hand does: pairs of terminals exchanged, a diode turned round, the contact at rest for
the other, a feed that the key does not open, the part left out and the ends joined. Beside each stands what is to tell of it: rules by
code, and whether some state goes astray.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from merge.recipe_bench import Bench, Sections, Spoil, commanded, exchanged, fed, is_live, volts

from harnessdoc.operation.operate import Operation, Solved
from harnessdoc.operation.states import Case

COIL = {"coil": "85 ohm"}


@dataclass(frozen=True)
class Fault:
    """codes: rules that tell of it and say nothing of the sound bench; astray: whether some state is not as wanted."""

    bench: str
    name: str
    spoil: Spoil
    codes: tuple[str, ...]
    astray: bool


def turns_on(*outputs: str) -> Callable[[Case], bool]:
    """On where the key feeds the control unit and one of the outputs is on, as ``commanded: run`` has it in benches that say so."""
    return lambda case: is_live(case) and any(output in case.commanded for output in outputs)


def on_by_itself(key: str, *outputs: str) -> Callable[[Case], bool]:
    """The same, of outputs that the unit turns on itself in a position of the key."""
    return lambda case: is_live(case) and (case.key == key or any(output in case.commanded for output in outputs))


def lands(**at: str) -> Spoil:
    """Ends that end elsewhere."""
    def spoil(sections: Sections, landing: dict[str, str]) -> None:
        landing.update({role.replace("_", "-"): address for role, address in at.items()})
    return spoil


def fed_from(wire: str, address: str) -> Spoil:
    """A feed taken elsewhere."""
    def spoil(sections: Sections, landing: dict[str, str]) -> None:
        sections["wires"][wire]["from"] = address
    return spoil


def says(section: str, id: str, **keys: str) -> Spoil:
    def spoil(sections: Sections, landing: dict[str, str]) -> None:
        sections[section][id].update(keys)
    return spoil


def all_of(*spoils: Spoil) -> Spoil:
    def spoil(sections: Sections, landing: dict[str, str]) -> None:
        for one in spoils:
            one(sections, landing)
    return spoil


def without_parts(*ends: str) -> Spoil:
    """Nothing but the ends, joined."""
    def spoil(sections: Sections, landing: dict[str, str]) -> None:
        sections.clear()
        sections["splices"] = {"I1-S": {"title": "joined as they are"}}
        for role in list(landing):
            landing[role] = "I1-S" if role in ends else "open"
    return spoil


# ------------------------------------------------------------------------------------------------------------ loads

FAN = 'M1: {title: fan, terminals: ["+", case], between: [M1.+, M1.case], motor: {running: 6 A at 12 V, stalled: 0.3 ohm}}'
FAN_WIRES = "t1: {from: E1.3, to: <command>, size: 0.5 mm2, colour: YE, length: 600 mm}\nt2: {from: <load>, to: M1.+, size: 2.5 mm2, colour: RD, length: 900 mm}"
ON_ENGINE = "{signal: ground-case, metal: engine}"


def low_side(itself: str = "") -> Bench:
    return Bench(
        "low-side output to case-grounded load", {"command": "E1.3", "load": "M1.+", "feed": "G1.+", "coil-feed": "S3", "fuse": "15 A", **COIL},
        FAN, f"E1.3: {{function: fan, signal: output-low, limit: 0.3 A, diode: to supply{itself}}}\nM1.case: {ON_ENGINE}\nM1.+: {{function: fan, signal: fan}}", FAN_WIRES,
        fed("M1"), on_by_itself("run", "E1.3") if itself else turns_on("E1.3"), (*commanded("E1.3"), *commanded()))


def high_side(itself: str = "") -> Bench:
    return Bench(
        "high-side output to ground-switched load", {"command": "E1.4", "load": "H1.2", "ground": "GC", "coil-ground": "GD", "size": "2.5 mm2", **COIL},
        "H1: {title: work lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 21 W at 12 V}",
        f"E1.4: {{function: work lamp, signal: output-high, limit: 0.3 A{itself}}}\nH1.1: {{function: work lamp, signal: lamp}}\nH1.2: {{function: work lamp, signal: lamp}}",
        "t1: {from: E1.4, to: <command>, size: 0.5 mm2, colour: YE, length: 600 mm}\nt2: {from: F2.2, to: H1.1, size: 1 mm2, colour: RD, length: 900 mm}\n"
        "t3: {from: H1.2, to: <load>, size: 1 mm2, colour: BN, length: 900 mm}",
        fed("H1"), on_by_itself("run", "E1.4") if itself else turns_on("E1.4"), (*commanded("E1.4"), *commanded()))


# ---------------------------------------------------------------------------------------------------------- signals

def _pulled(address: str, on_low: bool) -> Callable[[Operation, Solved], bool]:
    """An input of the control unit is where its switch is to bring it; while the unit has no supply nobody reads it."""
    def on(operation: Operation, solved: Solved) -> bool:
        at = volts(operation, solved, address)
        assert not is_live(solved.case) or at < 1.0 or at > 7.5, f"{address} has {at:.2f} V in state '{solved.case.name}'"
        return is_live(solved.case) and (at < 1.0) is on_low
    return on


def supply_signal() -> Bench:
    return Bench(
        "supply signal to ground input", {"signal": "S1.2", "input": "E1.5", "ground": "GC", "input-ground": "GD", **COIL},
        "S1: {title: brake pedal switch, terminals: [1, 2], closes: {pressed: [[S1.1, S1.2]]}}",
        "E1.5: {function: brake, signal: input-switch-to-ground, pull-up: 1 kohm to supply}\nS1.2: {function: brake, signal: switch-to-supply}",
        "t1: {from: F2.2, to: S1.1, size: 1 mm2, colour: RD, length: 700 mm}\nt2: {from: S1.2, to: <signal>, size: 1 mm2, colour: YE, length: 500 mm}\n"
        "t3: {from: <input>, to: E1.5, size: 0.5 mm2, colour: BU, length: 500 mm}",
        _pulled("E1.5", True), lambda case: is_live(case) and case.switches.get("S1") == "pressed", (*commanded(switches="S1: pressed"), *_released("S1")))


def ground_signal() -> Bench:
    return Bench(
        "ground signal to supply input", {"signal": "S2.1", "input": "E1.6", "feed": "S3", "coil-feed": "S3", **COIL},
        "S2: {title: air conditioning switch, terminals: [1, 2], closes: {pressed: [[S2.1, S2.2]]}}",
        "E1.6: {function: air conditioning, signal: input-switch-to-supply, pull-down: 4.7 kohm}\nS2.1: {function: air conditioning, signal: switch-to-ground}",
        "t1: {from: S2.1, to: <signal>, size: 0.5 mm2, colour: YE, length: 700 mm}\nt2: {from: S2.2, to: GC, size: 0.5 mm2, colour: BN, length: 500 mm}\n"
        "t3: {from: <input>, to: E1.6, size: 0.5 mm2, colour: BU, length: 500 mm}",
        _pulled("E1.6", False), lambda case: is_live(case) and case.switches.get("S2") == "pressed", (*commanded(switches="S2: pressed"), *_released("S2")))


def _released(switch: str) -> tuple[str, ...]:
    """Once more with the switch open: the input goes back."""
    return tuple(line.replace("nothing on", "let go") for line in commanded(switches=f"{switch}: open"))


# ---------------------------------------------------------------------------------------------------- other wirings

def inverted(side: str = "low") -> Bench:
    low = side == "low"
    output, command = ("E1.3", "low-side-command") if low else ("E1.4", "high-side-command")
    coil = {"coil-feed": "S3"} if low else {"ground": "GC"}
    return Bench(
        "inverted with 87a", {command: output, "load": "M1.+", "feed": "F4.2", "size": "2.5 mm2", **coil, **COIL},
        FAN, f"{output}: {{function: fan off, signal: output-{side}, limit: 0.3 A}}\nM1.case: {ON_ENGINE}\nM1.+: {{function: fan, signal: fan}}",
        FAN_WIRES.replace("E1.3", output).replace("<command>", f"<{command}>"),
        fed("M1"), lambda case: is_live(case) and output not in case.commanded, (*commanded(output), *commanded()), more={"circuits": "fan: {hot: [run, start]}"})


STARTER = "M2: {title: starter, terminals: [50, case], between: [M2.50, M2.case], solenoid: {winding: 1.5 ohm, pull-in: 7.5 V, release: 3 V}}\n" \
          "S6: {title: clutch pedal switch, connectors: [X3], closes: {pressed: [[X3.1, X3.2]]}}"
CLUTCH_PLUG = "X3: {title: clutch pedal switch, half: socket, face: [[1..2]], view: mating face}"


def start_chain(side: str = "supply", command: bool = False) -> Bench:
    given = {"key": "Q1.50", "interlock": "X3.1", "interlock-out": "X3.2", "solenoid": "M2.50", "feed": "G1.+", "fuse": "20 A", "interlock-side": side, **COIL}
    given |= {"command": "E1.7"} if command else {"ground": "GC"}
    start = "\nt5: {from: E1.7, to: <command>, size: 0.5 mm2, colour: YE, length: 700 mm}" if command else ""
    return Bench(
        "start chain with interlock", given, STARTER,
        f"M2.50: {{function: starter, signal: starter-control}}\nM2.case: {ON_ENGINE}\nX3.1: {{function: interlock, signal: interlock}}\nX3.2: {{function: interlock, signal: interlock}}"
        + ("\nE1.7: {function: start, signal: output-start, limit: 0.3 A, commanded: start}" if command else ""),
        "t1: {from: Q1.50, to: <key>, size: 2.5 mm2, colour: YE, length: 500 mm}\nt2: {from: <interlock>, to: X3.1, size: 2.5 mm2, colour: YE/BU, length: 500 mm}\n"
        "t3: {from: X3.2, to: <interlock-out>, size: 2.5 mm2, colour: BU, length: 500 mm}\nt4: {from: <solenoid>, to: M2.50, size: 4 mm2, colour: WH, length: 600 mm}" + start,
        fed("M2"), lambda case: case.key == "start" and case.switches.get("S6") == "pressed", (*commanded(switches="S6: pressed"), *_released("S6")),
        more={"connectors": CLUTCH_PLUG})


SECOND = "U2: {title: climate control unit, connectors: [E2]}"
SECOND_PINS = "E2.1: {function: supply, signal: feed-switched, draws: 0.2 A}\nE2.2: {function: ground, signal: ground-power}"
SECOND_WIRES = "u1: {from: S3, to: E2.1, size: 1 mm2, colour: GN/WH, length: 500 mm}\nu2: {from: E2.2, to: GD, size: 1 mm2, colour: BN, length: 500 mm}"
SECOND_PLUG = "E2: {title: second control unit, half: socket, face: [[1..6]], view: mating face}"


def two_commanders(first: str = "low", second: str = "low") -> Bench:
    commands = {("low", "low"): ("low-side-command", "second-low-side-command"), ("high", "high"): ("high-side-command", "second-high-side-command"),
                ("low", "high"): ("low-side-command", "high-side-command")}[first, second]
    coil = ({"coil-feed": "S3"} if "low" in (first, second) else {}) | ({"ground": "GC"} if "high" in (first, second) else {})
    return Bench(
        "two commanders on one load", {commands[0]: "E1.3", commands[1]: "E2.3", "load": "M1.+", "feed": "G1.+", "fuse": "15 A", **coil, **COIL},
        f"{FAN}\n{SECOND}", f"E1.3: {{function: fan, signal: output-{first}, limit: 0.3 A}}\nE2.3: {{function: fan, signal: output-{second}, limit: 0.3 A}}\nM1.case: {ON_ENGINE}\n"
        f"M1.+: {{function: fan, signal: fan}}\n{SECOND_PINS}",
        FAN_WIRES.replace("<command>", f"<{commands[0]}>") + f"\nt3: {{from: E2.3, to: <{commands[1]}>, size: 0.5 mm2, colour: BU, length: 700 mm}}\n{SECOND_WIRES}",
        fed("M1"), turns_on("E1.3", "E2.3"), (*commanded("E1.3"), *commanded("E2.3"), *commanded("E1.3", "E2.3"), *commanded()), {"connectors": SECOND_PLUG})


def main_relay() -> Bench:
    return Bench(
        "control-unit-held main relay", {"command": "E2.3", "load": "SM", "feed": "G1.+", "coil-feed": "F2.2", "fuse": "15 A", **COIL},
        "U2: {title: engine control unit, connectors: [E2]}\nY1: {title: idle valve, terminals: [1, 2], between: [Y1.1, Y1.2], solenoid: 14 ohm}",
        "E2.1: {function: own supply, signal: feed-relay, draws: 4 A}\nE2.2: {function: ground, signal: ground-power}\n"
        "E2.3: {function: main relay, signal: output-relay-low, limit: 0.3 A, commanded: run and start}\nE2.4: {function: key in run, signal: input-wake}\n"
        "E2.5: {function: idle valve, signal: output-low, limit: 1.5 A, diode: to supply, clamp: 40 V}\nY1.1: {function: idle valve, signal: solenoid}\nY1.2: {function: idle valve, signal: solenoid}",
        "t1: {from: E2.3, to: <command>, size: 0.5 mm2, colour: YE, length: 600 mm}\nt2: {from: <load>, to: SM, size: 2.5 mm2, colour: RD, length: 400 mm}\n"
        "t3: {from: SM, to: E2.1, size: 2.5 mm2, colour: RD, length: 400 mm}\nt4: {from: SM, to: Y1.1, size: 2.5 mm2, colour: RD/BU, length: 800 mm}\nt5: {from: Y1.2, to: E2.5, size: 1 mm2, colour: BU, length: 800 mm}\n"
        "u2: {from: E2.2, to: GD, size: 2.5 mm2, colour: BN, length: 500 mm}\nu4: {from: S3, to: E2.4, size: 0.5 mm2, colour: GN/WH, length: 500 mm}",
        lambda operation, solved: volts(operation, solved, "E2.1") > 6.0, is_live, commanded("E2.5"), {"connectors": SECOND_PLUG, "splices": "SM: {title: behind the main relay}"})


def pull_up() -> Bench:
    return Bench(
        "pull-up", {"signal": "E1.6", "input": "X2.3", "feed": "S3"},
        "U3: {title: instruments, connectors: [X2]}",
        "E1.6: {function: engine speed, signal: output-tachometer}\nX2.1: {function: supply, signal: feed-switched, draws: 0.2 A}\nX2.2: {function: ground, signal: ground-power}\n"
        "X2.3: {function: engine speed, signal: tachometer, pull-down: 1 Mohm}",
        "t1: {from: E1.6, to: <signal>, size: 0.5 mm2, colour: YE, length: 900 mm}\nt2: {from: <input>, to: X2.3, size: 0.5 mm2, colour: YE/BU, length: 400 mm}\n"
        "u1: {from: S3, to: X2.1, size: 1 mm2, colour: GN/WH, length: 500 mm}\nu2: {from: X2.2, to: GC, size: 1 mm2, colour: BN, length: 500 mm}",
        lambda operation, solved: volts(operation, solved, "X2.3") > 7.5, lambda case: is_live(case) and "E1.6" not in case.commanded, (*commanded("E1.6"), *commanded()),
        {"connectors": "X2: {title: instruments, half: socket, face: [[1..3]], view: mating face}"})


def diode() -> Bench:
    # A lamp that is fed from accessory is to light in start too; what the start contact feeds besides is the starter.
    return Bench(
        "diode", {"anode": "Q1.50", "cathode": "H2.1", "diode-rating": "1 A"},
        "H2: {title: oil lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 2 W at 12 V}\n" + STARTER,
        f"M2.50: {{function: starter, signal: starter-control}}\nM2.case: {ON_ENGINE}\nX3.1: {{function: interlock, signal: interlock}}\nX3.2: {{function: interlock, signal: interlock}}",
        "t1: {from: Q1.50, to: S50, size: 2.5 mm2, colour: WH, length: 500 mm}\nt2: {from: S50, to: X3.1, size: 2.5 mm2, colour: WH, length: 500 mm}\n"
        "t3: {from: X3.2, to: M2.50, size: 2.5 mm2, colour: WH/BU, length: 900 mm}\nt4: {from: S50, to: <anode>, size: 2.5 mm2, colour: WH, length: 300 mm}\n"
        "t5: {from: <cathode>, to: S75, size: 2.5 mm2, colour: YE, length: 300 mm}\nt6: {from: Q1.75, to: S75, size: 2.5 mm2, colour: YE, length: 500 mm}\n"
        "t7: {from: S75, to: H2.1, size: 2.5 mm2, colour: YE, length: 500 mm}\nt8: {from: H2.2, to: GC, size: 1 mm2, colour: BN, length: 500 mm}",
        lambda operation, solved: (fed("H2")(operation, solved), fed("M2")(operation, solved)),
        lambda case: (case.key != "off", case.key == "start" and case.switches.get("S6") == "pressed"), (*commanded(switches="S6: pressed"), *_released("S6")),
        {"connectors": CLUTCH_PLUG, "splices": "S50: {title: start}\nS75: {title: lamp feed}"})


def series_resistor() -> Bench:
    # A lamp of 6 V, 3 W takes 0.5 A: 12.4 V less 6 V over 0.5 A are 12.8 ohm, 3.2 W.
    def lit_and_overfed(operation: Operation, solved: Solved) -> tuple[bool, bool]:
        at = volts(operation, solved, "H3.1", "H3.2")
        assert at < 0.1 or at > 5.0, at
        return at > 5.0, at > 7.5
    return Bench(
        "series resistor", {"from": "F4.2", "to": "H3.1", "resistor": "12 ohm, 7 W"},
        "H3: {title: dial lamp, terminals: [1, 2], between: [H3.1, H3.2], lamp: 3 W at 6 V}", "H3.1: {function: dial lamp, signal: lamp}",
        "t1: {from: F4.2, to: <from>, size: 2.5 mm2, colour: GN, length: 500 mm}\nt2: {from: <to>, to: H3.1, size: 2.5 mm2, colour: GN/BU, length: 500 mm}\n"
        "t3: {from: H3.2, to: GC, size: 1 mm2, colour: BN, length: 500 mm}", lit_and_overfed, lambda case: (is_live(case), False))


EXCITED = ", charge-lamp: A1.L, field: 4 ohm, excitation: 150 mA"


def charge_lamp(lamp: bool = True, resistor: bool = True) -> Bench:
    # The main relay hangs on the same node: what comes back through lamp or resistor holds it in.
    given = {"alternator": "A1.L"} | ({"lamp": "H4.2"} if lamp else {}) | ({"resistor": "47 ohm, 7 W", "feed": "S15", "size": "2.5 mm2"} if resistor else {})
    shown = (lambda operation, solved: (fed("H4")(operation, solved), fed("M1")(operation, solved))) if lamp else fed("M1")
    wanted = (lambda case: (is_live(case) and case.engine.value != "running", is_live(case))) if lamp else is_live
    devices = f"{FAN}\n" + ("H4: {title: charge lamp, terminals: [1, 2], between: [H4.1, H4.2], lamp: 3 W at 12 V}" if lamp else "")
    return Bench(
        "charge lamp excitation", given, devices,
        f"A1.L: {{function: charge lamp, signal: charge-lamp}}\nM1.case: {ON_ENGINE}\nM1.+: {{function: fan, signal: fan}}" + ("\nH4.2: {function: charge lamp, signal: charge-lamp}" if lamp else ""),
        ("t1: {from: S15, to: H4.1, size: 2.5 mm2, colour: GN, length: 500 mm}\nt2: {from: H4.2, to: <lamp>, size: 1 mm2, colour: BU, length: 500 mm}\n" if lamp else "")
        + "t3: {from: <alternator>, to: A1.L, size: 1 mm2, colour: BU, length: 900 mm}\nt4: {from: F4.2, to: S15, size: 2.5 mm2, colour: GN, length: 300 mm}\n"
        "t5: {from: S15, to: K9.86, size: 2.5 mm2, colour: GN, length: 500 mm}\nt6: {from: K9.85, to: GC, size: 1 mm2, colour: BN, length: 500 mm}\n"
        "t7: {from: G1.+, to: F6.1, size: 2.5 mm2, colour: RD, length: 100 mm}\nt8: {from: F6.2, to: K9.30, size: 2.5 mm2, colour: RD, length: 500 mm}\nt9: {from: K9.87, to: M1.+, size: 2.5 mm2, colour: RD/BU, length: 900 mm}",
        shown, wanted, more={"relays": "K9: {title: ignition relay, part: mini relay 40 A, suppression: resistor}", "fuses": "F6: {rating: 15 A, type: blade}", "splices": "S15: {title: ignition node}"},
        alternator=EXCITED if lamp and resistor else EXCITED.replace("150", "100"))


BENCHES: dict[str, Bench] = {
    "low side": low_side(), "low side, by itself": low_side(", commanded: run"),
    "high side": high_side(), "high side, by itself": high_side(", commanded: run"),
    "supply signal": supply_signal(), "ground signal": ground_signal(),
    "inverted, low": inverted("low"), "inverted, high": inverted("high"),
    "start chain": start_chain(), "start chain, ground side": start_chain("ground"), "start chain, start output": start_chain(command=True),
    "start chain, ground side and start output": start_chain("ground", True),
    "two low": two_commanders(), "two high": two_commanders("high", "high"), "low and high": two_commanders("low", "high"),
    "main relay": main_relay(), "pull-up": pull_up(), "diode": diode(), "series resistor": series_resistor(),
    "charge lamp": charge_lamp(), "charge lamp alone": charge_lamp(resistor=False), "resistor alone": charge_lamp(lamp=False),
}

HALVES = exchanged(("I1-K.30", "I1-K.86"), ("I1-K.87", "I1-K.85"))
TURNED_DIODE = all_of(says("relays", "I1-K", suppression="diode"), exchanged(("I1-K.85", "I1-K.86")))
CHANGEOVER = says("relays", "I1-K", contacts="changeover")
BRIDGED = all_of(lands(key="I1-K.86"), lands(interlock_out="I1-S"))


def both_at_one(sections: Sections, landing: dict[str, str]) -> None:
    """The output that feeds and the output that closes to ground on one end of one coil."""
    sections["splices"]["I1-S85"] = {"title": "both commands"}
    sections["wires"]["I1-K1-85"] = {"from": "I1-S85", "to": "I1-K1.85", "size": "0.5 mm2", "colour": "GN", "length": "400 mm"}
    landing.update({"low-side-command": "I1-S85", "high-side-command": "I1-S85"})


FAULTS: tuple[Fault, ...] = (
    Fault("low side", "coil and contact exchanged", HALVES, ("shorted-source", "output-on-wrong-side"), True),
    Fault("low side", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed", "shorted-source"), True),
    Fault("low side", "contact at rest", all_of(CHANGEOVER, lands(load="I1-K.87a")), ("load-on-unasked",), True),
    Fault("low side", "coil fed past the key", fed_from("I1-86", "F2.2"), ("output-feeds-back",), True),
    Fault("low side", "no relay", without_parts("command", "load"), ("output-on-wrong-side",), True),
    Fault("low side, by itself", "coil and contact exchanged", HALVES, ("shorted-source",), True),
    Fault("high side", "coil and contact exchanged", HALVES, ("shorted-source",), True),
    Fault("high side", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("shorted-source",), True),
    Fault("high side", "contact at rest", all_of(CHANGEOVER, lands(load="I1-K.87a")), ("load-on-unasked",), True),
    Fault("high side", "no relay", without_parts("command", "load"), ("output-on-wrong-side",), True),
    Fault("supply signal", "coil and contact exchanged", HALVES, ("switch-to-wrong-rail",), True),
    Fault("supply signal", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed",), True),
    Fault("supply signal", "contact at rest", all_of(CHANGEOVER, lands(input="I1-K.87a")), (), True),
    Fault("supply signal", "no relay", without_parts("signal", "input"), ("switch-to-wrong-rail",), True),
    Fault("ground signal", "coil and contact exchanged", HALVES, ("output-on-wrong-side",), True),
    Fault("ground signal", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed",), True),
    Fault("ground signal", "contact at rest", all_of(CHANGEOVER, lands(input="I1-K.87a")), (), True),
    Fault("ground signal", "no relay", without_parts("signal", "input"), ("switch-to-wrong-rail",), True),
    Fault("inverted, low", "coil and contact exchanged", exchanged(("I1-K.30", "I1-K.86"), ("I1-K.87a", "I1-K.85")), ("output-on-wrong-side",), True),
    Fault("inverted, low", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed",), True),
    Fault("inverted, low", "contact that closes", lands(load="I1-K.87"), (), True),
    Fault("inverted, low", "feed past the key", fed_from("I1-30", "F2.2"), ("parasitic-drain",), True),
    Fault("inverted, high", "contact that closes", lands(load="I1-K.87"), (), True),
    Fault("inverted, high", "feed past the key", fed_from("I1-30", "F2.2"), ("parasitic-drain",), True),
    Fault("start chain", "interlock bridged", BRIDGED, ("starter-without-interlock",), True),
    Fault("start chain", "coil and contact exchanged", HALVES, ("shorted-source",), True),
    Fault("start chain", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed",), True),
    Fault("start chain", "contact at rest", all_of(CHANGEOVER, lands(solenoid="I1-K.87a")), ("load-on-unasked",), True),
    Fault("start chain, ground side", "interlock bridged", all_of(fed_from("I1-85", "I1-K.85"), lands(interlock="I1-S")), ("starter-without-interlock",), True),
    Fault("start chain, ground side", "contact at rest", all_of(CHANGEOVER, lands(solenoid="I1-K.87a")), ("load-on-unasked",), True),
    Fault("start chain, start output", "interlock bridged", BRIDGED, (), True),
    Fault("two low", "a diode turned round", exchanged(("I1-D2.A", "I1-D2.K")), (), True),
    Fault("two low", "coil and contact exchanged", HALVES, ("shorted-source",), True),
    Fault("two low", "contact at rest", all_of(CHANGEOVER, lands(load="I1-K.87a")), ("load-on-unasked",), True),
    Fault("two high", "a diode turned round", exchanged(("I1-D1.A", "I1-D1.K")), (), True),
    Fault("two high", "no diodes", lands(high_side_command="I1-S86", second_high_side_command="I1-S86"), ("two-drivers-on-one-line",), False),
    Fault("two high", "coil and contact exchanged", HALVES, ("shorted-source",), True),
    Fault("low and high", "both at one relay", both_at_one, ("two-drivers-on-one-line",), True),
    Fault("low and high", "a contact at rest", all_of(says("relays", "I1-K2", contacts="changeover"), exchanged(("I1-K2.87", "I1-K2.87a"))), ("load-on-unasked",), True),
    Fault("low and high", "coil and contact of one exchanged", exchanged(("I1-K1.30", "I1-K1.86"), ("I1-K1.87", "I1-K1.85")), ("shorted-source",), True),
    Fault("main relay", "coil and contact exchanged", HALVES, ("shorted-source", "supply-pin-open"), True),
    Fault("main relay", "diode across the coil, 85 and 86 exchanged", TURNED_DIODE, ("suppressor-reversed",), True),
    Fault("main relay", "coil fed from behind its own contact", fed_from("I1-86", "SM"), (), True),
    Fault("main relay", "supply of the unit past the relay", lands(load="SL"), ("parasitic-drain",), True),
    Fault("main relay", "contact at rest", all_of(CHANGEOVER, lands(load="I1-K.87a")), ("parasitic-drain",), True),
    Fault("pull-up", "feed past the key", fed_from("I1-R-1", "F2.2"), (), True),
    Fault("pull-up", "pulled to ground", fed_from("I1-R-1", "GC"), (), True),
    Fault("pull-up", "no resistor", without_parts("signal", "input"), ("tachometer-mismatch",), True),
    Fault("diode", "turned round", exchanged(("I1-D.A", "I1-D.K")), (), True),
    Fault("diode", "no diode", without_parts("anode", "cathode"), (), True),
    Fault("series resistor", "no resistor", without_parts("from", "to"), ("load-over-its-voltage",), True),
    Fault("charge lamp", "diode turned round", exchanged(("I1-D.A", "I1-D.K")), ("alternator-not-excited",), True),
    Fault("charge lamp", "no diode", lands(alternator="I1-D.A"), ("engine-runs-on",), True),
    Fault("charge lamp alone", "diode turned round", exchanged(("I1-D.A", "I1-D.K")), ("alternator-not-excited",), True),
    Fault("charge lamp alone", "no diode", without_parts("lamp", "alternator"), ("engine-runs-on",), True),
    Fault("resistor alone", "diode turned round", exchanged(("I1-D.A", "I1-D.K")), ("alternator-not-excited",), True),
    Fault("resistor alone", "no diode", lands(alternator="I1-D.A"), ("engine-runs-on",), True),
)
