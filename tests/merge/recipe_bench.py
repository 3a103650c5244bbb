"""For the proof of recipes: a small ordinary vehicle into which a recipe is put, solved in every state.

Takes a Bench: a description in which ``<ROLE>`` stands where the wire of that end is to end, and what the recipe is given.
Gives the loaded description with the expansion in it, or with a fault in that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from dataclasses import dataclass, field

from harnessdoc import steps
from harnessdoc.findings import Severity
from harnessdoc.merge.recipes import RECIPES, expand, misfits, missing, unknown
from harnessdoc.operation.operate import Operation, Solved
from harnessdoc.operation.states import Case
from harnessdoc.steps import Loaded

Sections = dict[str, dict[str, dict[str, str]]]

HEAD = """\
title: bench of a recipe
supply: 12 V
wire-type: XLPE 125 C
"""
VEHICLE = {
    "devices": """
        G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}
        A1: {title: alternator, terminals: [B, L, case], between: [A1.B, A1.case], alternator: {voltage: 14.2 V, limit: 60 A<ALTERNATOR>}}
        Q1: {title: key switch, terminals: [30, 75, 15, 50], closes: {accessory: [[Q1.30, Q1.75]], run: [[Q1.30, Q1.75], [Q1.30, Q1.15]], start: [[Q1.30, Q1.15], [Q1.30, Q1.50]]}}
        U1: {title: control unit, connectors: [E1]}
    """,
    "cavities": """
        E1.1: {function: supply, signal: feed-switched, draws: 1 A}
        E1.2: {function: ground, signal: ground-power}
        A1.case: {signal: ground-case, metal: engine}
        A1.B: {signal: source-alternator}
        G1.+: {signal: source-battery}
        G1.-: {signal: ground-battery}
    """,
    "connectors": """
        E1: {title: control unit, half: socket, face: [[1..8]], view: mating face}
    """,
    "boxes": """
        B1: {title: fuse box, bars: {30: [F1.1, F2.1], 15: [F3.1, F4.1]}}
    """,
    "fuses": """
        F1: {box: B1, rating: 20 A, type: blade, feeds: key switch}
        F2: {box: B1, rating: 5 A, type: blade, feeds: constant supply}
        F3: {box: B1, rating: 5 A, type: blade, feeds: control unit}
        F4: {box: B1, rating: 15 A, type: blade, feeds: switched supply}
        F5: {rating: 80 A, type: midi, feeds: fuse box, note: beside the battery}
    """,
    "splices": """
        SL: {title: battery feed}
        S3: {title: supply of the control unit}
    """,
    "grounds": """
        GB: {title: body, stud: M8, metal: body}
        GC: {title: panel, stud: M6, metal: body}
        GD: {title: sill, stud: M6, metal: body}
        GE: {title: engine, stud: M8, metal: engine}
    """,
    "wires": """
        b1: {from: G1.+, to: F5.1, size: 16 mm2, colour: RD, length: 100 mm}
        b2: {from: F5.2, to: SL, size: 16 mm2, colour: RD, length: 150 mm}
        b3: {from: SL, to: B1.30, size: 16 mm2, colour: RD, length: 300 mm}
        b4: {from: SL, to: A1.B, size: 16 mm2, colour: RD, length: 800 mm}
        b5: {from: F1.2, to: Q1.30, size: 4 mm2, colour: RD, length: 600 mm}
        b6: {from: Q1.15, to: B1.15, size: 4 mm2, colour: GN, length: 600 mm}
        b7: {from: F3.2, to: S3, size: 1 mm2, colour: GN/WH, length: 500 mm}
        b8: {from: S3, to: E1.1, size: 1 mm2, colour: GN/WH, length: 300 mm}
        b11: {from: E1.2, to: GB, size: 1.5 mm2, colour: BN, length: 400 mm}
        b12: {from: G1.-, to: GB, size: 16 mm2, colour: BN, length: 300 mm}
        b13: {from: G1.-, to: GE, size: 25 mm2, colour: BN, length: 600 mm}
    """,
}
"""What every bench begins with: battery, alternator, key switch, a control unit on the switched supply, their fuses and grounds."""
BEFORE_FUSE, LENGTH = "100 mm", "400 mm"
"""Of the wires that a recipe adds, on the bench."""


Shown = bool | tuple[bool, ...]
On = Callable[[Operation, Solved], Shown]
Spoil = Callable[[Sections, dict[str, str]], None]


@dataclass(frozen=True)
class Bench:
    """A recipe in a vehicle.

    recipe, given:            as an interface has them, by addresses of the bench
    devices, cavities, wires: what the bench adds to the vehicle, a line each; ``<ROLE>`` is where the wire of that end ends
    on:                       whether what is commanded is on in a solved state
    wanted:                   whether it is to be
    states:                   lines of ``states:``, besides those that are visited by themselves
    more:                     section -> lines of it, of what is neither device, cavity nor wire
    alternator:               what is said of the alternator besides
    """

    recipe: str
    given: Mapping[str, str]
    devices: str
    cavities: str
    wires: str
    on: On
    wanted: Callable[[Case], Shown]
    states: tuple[str, ...] = ()
    more: Mapping[str, str] = field(default_factory=dict)
    alternator: str = ""

    def sections(self) -> tuple[Sections, dict[str, str]]:
        """What the recipe adds, and where its ends end; both may be changed."""
        recipe = RECIPES[self.recipe]
        assert (missing(recipe, self.given), unknown(recipe, self.given), misfits(recipe, self.given)) == ((), (), ())
        expansion = expand("I1", recipe, self.given)
        sections = {section: {id: dict(entry) for id, entry in entries.items()} for section, entries in expansion.sections.items()}
        for id, wire in sections.get("wires", {}).items():
            wire |= {"length": BEFORE_FUSE if id.endswith("-1") else LENGTH, "colour": "GN"}
        return sections, dict(expansion.lands)

    def loaded(self, spoil: Spoil | None = None) -> Loaded:
        """Loaded with the recipe in it. spoil: puts a fault into what the recipe adds."""
        sections, lands = self.sections()
        if spoil is not None:
            before = deepcopy((sections, lands))
            spoil(sections, lands)
            assert (sections, lands) != before, "nothing was spoiled"
        wires = self.wires
        for role, address in lands.items():
            assert f"<{role}>" in wires, role
            wires = wires.replace(f"<{role}>", address)
        assert "<" not in wires, wires
        vehicle = VEHICLE | {"devices": VEHICLE["devices"].replace("<ALTERNATOR>", self.alternator)}
        own = {"devices": self.devices, "cavities": self.cavities, "wires": wires, "states": "\n".join(self.states), **self.more}
        added = {section: "\n".join(f"{id}: {{{', '.join(f'{key}: {quoted(value)}' for key, value in entry.items())}}}" for id, entry in entries.items()) for section, entries in sections.items()}
        names = dict.fromkeys((*vehicle, *own, *added))
        text = HEAD + "".join(f"{name}:\n{lines}" for name in names if (lines := indented("\n".join(part.get(name, "") for part in (vehicle, own, added)))))
        loaded = steps.load("main.yaml", {"main.yaml": text})
        assert [finding.message for finding in loaded.findings if finding.severity is Severity.ERROR] == []
        return loaded

    def astray(self, loaded: Loaded) -> list[str]:
        """The states in which what is commanded is on and is not to be, or is not on and is to be, and those without a solution."""
        operation = loaded.operation
        assert operation is not None
        return [name for name, solved in operation.solved.items() if solved.solution is None or self.on(operation, solved) != self.wanted(solved.case)]


def commanded(*outputs: str, switches: str = "") -> tuple[str, ...]:
    """Lines of ``states:``: outputs on together, in each position of the key in which a control unit works. switches: held besides, ``S1: pressed``."""
    held = f", switches: {{{switches}}}" if switches else ""
    return tuple(f"{' and '.join(outputs) or 'nothing'} on, {key}, {engine}: {{key: {key}, engine: {engine}, commanded: [{', '.join(outputs)}]{held}}}"
                 for key, engine in (("run", "stopped"), ("start", "cranking"), ("run", "running")))


def is_live(case: Case) -> bool:
    """Whether the key feeds the control unit."""
    return case.key in ("run", "start")


def volts(operation: Operation, solved: Solved, a: str, b: str = "") -> float:
    """Between two addresses; of one, against battery minus."""
    solution, nodes = solved.solution, operation.wiring.nodes
    assert solution is not None
    return solution.voltages[nodes.of[a]] - (solution.voltages[nodes.of[b]] if b else 0.0)


def fed(load: str) -> On:
    """A load has the supply across it; nothing between is let through."""
    def on(operation: Operation, solved: Solved) -> bool:
        point = next(point for point in operation.wiring.loads if point.id == load)
        across = abs(volts(operation, solved, point.a, point.b))
        assert across > 7.5 or across < 1.0, f"{load} has {across:.2f} V in state '{solved.case.name}'"
        return across > 7.5
    return on


def relays_in(loaded: Loaded) -> dict[str, list[str]]:
    """State -> the relays of the recipe that are pulled in."""
    operation = loaded.operation
    assert operation is not None
    return {name: [relay.removeprefix("relay ") for relay, on in solved.solution.relay_states.items() if on and relay.startswith("relay I1")] if solved.solution else ["?"]
            for name, solved in operation.solved.items()}


def exchanged(*terminals: tuple[str, str]) -> Spoil:
    """Pairs of terminals of the recipe, exchanged in wires and landing points: ``("I1-K.30", "I1-K.86")``."""
    other = {a: b for pair in terminals for a, b in (pair, pair[::-1])}

    def spoil(sections: Sections, lands: dict[str, str]) -> None:
        for wire in sections.get("wires", {}).values():
            wire |= {key: other.get(wire[key], wire[key]) for key in ("from", "to")}
        lands |= {role: other.get(address, address) for role, address in lands.items()}
    return spoil


def indented(lines: str) -> str:
    """Lines as entries of a section."""
    return "".join(f"  {line.strip()}\n" for line in lines.splitlines() if line.strip())


def quoted(value: str) -> str:
    return f'"{value}"' if set(value) & set(",:{}[]") else value
