"""Graphs made by hand and by dice that the placement is measured on: a full page of fuel pump and engine sensors (invented), smaller ones, random ones."""

from __future__ import annotations

import random

from harnessdoc.diagram.graph import End, Graph, Node, Piece, Port, Wire

PAGE = (253.0, 160.0)


def label(number: str, size: str = "", colour: str = "") -> tuple[Piece, ...]:
    return tuple(Piece(text) for text in (number, size, colour) if text)


def ports(top: dict[str, float] | None = None, bottom: dict[str, float] | None = None) -> tuple[Port, ...]:
    return (*(Port(name, "top", at) for name, at in (top or {}).items()), *(Port(name, "bottom", at) for name, at in (bottom or {}).items()))


def two_pole(name: str, kind: str, width: float, height: float, at: float, *turn: str | int, tie: str = "") -> Node:
    return Node(name, "box", ports({"1": at}, {"2": at}), width, height, kind=kind, turn=turn, tie=tie)


def ground(name: str, number: str) -> Node:
    return Node(name, "box", ports({"1": 4.0}), 8.0, 5.8, band="ground", kind="ground", merge=number)


def unit(name: str, top: str, bottom: str, height: float, width: float = 40.0) -> Node:
    sides = (*(Port(port, "top", None, 9.6) for port in top.split()), *(Port(port, "bottom", None, 9.6) for port in bottom.split()))
    return Node(name, "unit", sides, width, height)


def relay(name: str) -> Node:
    return Node(name, "box", ports({"30": 5.0, "86": 17.0}, {"87": 5.0, "85": 17.0}), 40.0, 16.1, mirror=True, kind="relay")


NODES = (
    Node("B1", "box", ports(bottom={"-": 4.0, "+": 14.0}), 32.0, 10.7, kind="battery", mirror=True, band="supply"),
    two_pole("FL1", "link", 28.0, 9.8, 1.6), two_pole("F14", "fuse", 14.0, 6.6, 1.6, "F", 14),
    two_pole("F10", "fuse", 14.0, 6.6, 1.6, "F", 10), two_pole("F11", "fuse", 14.0, 6.6, 1.6, "F", 11), two_pole("F12", "fuse", 14.0, 6.6, 1.6, "F", 12),
    Node("SW1", "box", ports({"B": 7.5}, {"RUN": 20.0}), 40.0, 14.1, kind="key switch"),
    relay("K1"), relay("K2"),
    unit("E1 above", "", "CKP+ CKP- SHLD ECT SGND TPS +5V MAP CANH CANL", 13.4), unit("E1 below", "KEY MIL VB PUMP", "GND", 19.8),
    unit("X1", "6 14 16", "4", 19.5),
    Node("B24", "box", ports({"1": 6.2, "2": 15.8}), 23.0, 24.3, kind="sensor"),
    Node("B23", "box", ports({"1": 4.5, "2": 14.1}), 19.0, 27.7, kind="sensor", mirror=True),
    Node("B21", "box", ports({"3": 4.5, "2": 13.0, "1": 21.5}), 26.0, 24.5, kind="sensor", mirror=True),
    Node("B22", "box", ports({"3": 4.5, "2": 13.0, "1": 21.5}), 26.0, 24.5, kind="sensor", mirror=True),
    Node("TW1", "box", ports({"a": 2.0, "b": 11.6, "drain": 17.0}, {"a2": 2.0, "b2": 11.6}), 18.0, 9.8, mirror=True),
    Node("TW2", "box", ports({"a": 0.5, "b": 10.1}, {"a2": 0.5, "b2": 10.1}), 10.6, 3.9, mirror=True),
    two_pole("H3", "lamp", 17.0, 9.8, 3.2), two_pole("H1", "lamp", 24.0, 6.6, 3.2), two_pole("SW2", "switch", 26.0, 6.6, 3.2), two_pole("M1", "motor", 23.0, 9.5, 4.8),
    two_pole("C104", "cavity", 9.0, 6.6, 1.6),
    ground("G100", "G100"), ground("G101a", "G101"), ground("G101b", "G101"), ground("G102a", "G102"), ground("G102b", "G102"), ground("G103", "G103"),
    *(Node(name, "bar", right=9.0) for name in ("S100", "S101", "S104", "S106", "S110", "S111")), Node("S105", "bar", right=44.0),
)

WIRES = """
1 16 RD: B1 + FL1 1
2 10 RD: FL1 2 S100 .
3 4 RD/YE: S100 . SW1 B
4 4 RD: S100 . K1 30
18 1 RD: S100 . F14 1
20 0.75 RD/GN: F14 2 X1 16
5 1.5 BK/YE: SW1 RUN S105 .
7 0.75 BK/YE: S105 . K1 86
8 0.75 BK/YE: S105 . F12 1
9 0.75 BK/YE: S105 . E1_below KEY
17 0.75 BK: K1 85 G101a 1
10 4 RD/BK: K1 87 S101 .
11 2.5 RD/BK: S101 . F10 1
15 1 RD/BK: S101 . F11 1
16 1 RD/BU: F11 2 E1_below VB
12 2.5 RD/WH: F10 2 S106 .
13 2.5 RD/WH: S106 . K2 30
14 0.75 RD/WH: S106 . K2 86
101 0.75 GN/WH: K2 85 E1_below PUMP
102 2.5 GN: K2 87 S104 .
106 0.5 GN: S104 . SW2 1
107 0.5 GN/RD: SW2 2 H1 1
108 0.5 BK: H1 2 G102a 1
105 2.5 GN: S104 . C104 1
102A 2.5 GN: C104 2 M1 1
103 2.5 BK: M1 2 G103 1
104 1.5 BR: E1_below GND G101b 1
109 0.5 BK/RD: F12 2 H3 1
110 0.5 GY/RD: H3 2 E1_below MIL
6 25 BK: B1 - G100 1
233 0.75 BK: X1 4 G102b 1
221 0.5 WH: E1_above CKP+ TW1 a
221~: TW1 a2 B24 1
222 0.5 BU: E1_above CKP- TW1 b
222~: TW1 b2 B24 2
223 bare: E1_above SHLD TW1 drain
206 0.5 YE/GN: E1_above ECT B23 1
210 0.5 BR/WH: S111 . B23 2
207 0.5 BR/WH: E1_above SGND S111 .
208 0.5 BR/WH: S111 . B21 3
204 0.5 YE: E1_above TPS B21 2
202 0.5 GY: S110 . B21 1
201 0.5 GY: E1_above +5V S110 .
209 0.5 BR/WH: S111 . B22 3
205 0.5 YE/BU: E1_above MAP B22 2
203 0.5 GY: S110 . B22 1
231 0.5 YE/BK: E1_above CANH TW2 a
231~: TW2 a2 X1 6
232 0.5 BR/YE: E1_above CANL TW2 b
232~: TW2 b2 X1 14
"""


def full_page() -> Graph:
    """46 wires (four of them in two parts, through twist marks), 31 parts."""
    wires = {}
    for line in WIRES.strip().splitlines():
        texts, _, way = line.partition(": ")
        number, *rest = texts.split()
        a, p, b, q = way.split()
        upper, lower = End(a.replace("_", " "), p.strip(".")), End(b.replace("_", " "), q.strip("."))
        heavy = bool(rest) and rest[0] in ("16", "10", "25")
        wires[number] = Wire(number, upper, lower, () if number.endswith("~") else label(number, *rest), 0.7 if heavy else 0.5)
    return Graph({node.id: node for node in NODES}, wires)


def lamps(count: int) -> Graph:
    """A feed, ``count`` equal lamps behind one bar through a connector each, all on one ground."""
    nodes = [Node("F1", "box", ports(bottom={"2": 1.6}), 14.0, 9.0, band="supply"), Node("S1", "bar", right=8.0)]
    wires = [Wire("1", End("F1", "2"), End("S1"), label("1", "1.5", "RD"))]
    for number in range(1, count + 1):
        nodes += [two_pole(f"C1 {number}", "cavity", 9.0, 6.0, 1.6, number, tie="C1"), two_pole(f"H{number}", "lamp", 16.0, 9.0, 3.2, "H", number), ground(f"G1 {number}", "G1")]
        wires += [Wire(f"{number}0", End("S1"), End(f"C1 {number}", "1"), label(f"{number}0", "0.75", "RD/GN")),
                  Wire(f"{number}0A", End(f"C1 {number}", "2"), End(f"H{number}", "1"), label(f"{number}0A", "0.75", "RD/GN")),
                  Wire(f"{number}1", End(f"H{number}", "2"), End(f"G1 {number}", "1"), label(f"{number}1", "0.75", "BK"))]
    return Graph({node.id: node for node in nodes}, {wire.id: wire for wire in wires})


def random_graph(seed: int, wires: int) -> Graph:
    """Feeds through fuses, relays, switches, splices and connector cavities to lamps, units and grounds; about ``wires`` wires."""
    dice = random.Random(seed)
    nodes: dict[str, Node] = {}
    made: dict[str, Wire] = {}
    free: list[End] = []

    def add(node: Node) -> Node:
        nodes[node.id] = node
        return node

    def join(upper: End, lower: End) -> None:
        number = str(100 + len(made))
        made[number] = Wire(number, upper, lower, label(number, dice.choice(("0.5", "0.75", "1", "2.5")), dice.choice(("RD", "GN/YE", "BK", "BR/WH"))))

    for number in range(dice.randint(1, 3)):
        add(Node(f"F{number}", "box", ports(bottom={"2": 1.6}), 14.0, 9.0, kind="fuse", turn=(number,), band="supply"))
        free.append(End(f"F{number}", "2"))
    unit_id = add(Node("U1", "unit", (), 30.0, 18.0)).id
    pins: list[Port] = []
    while len(made) < wires:
        upper = free.pop(dice.randrange(len(free))) if free else None
        if upper is None:
            pins.append(Port(f"b{len(pins)}", "bottom", None, 9.6))
            upper = End(unit_id, pins[-1].name)
        name = f"N{len(nodes)}"
        what = dice.choice(("splice", "fuse", "relay", "lamp", "lamp", "cavity", "unit", "sensor"))
        if what == "unit" and upper.node != unit_id and _above(made, unit_id, upper.node):
            what = "lamp"
        if upper.node == unit_id and what == "unit":
            what = "lamp"
        if what == "splice":
            add(Node(name, "bar", right=9.0))
            join(upper, End(name))
            free += [End(name)] * dice.randint(2, 5)
        elif what in ("fuse", "cavity"):
            add(two_pole(name, what, 14.0, 9.0, 1.6))
            join(upper, End(name, "1"))
            free.append(End(name, "2"))
        elif what == "relay":
            add(relay(name))
            join(upper, End(name, dice.choice(("30", "86"))))
            free += [End(name, "87"), End(name, "85")]
        elif what == "unit":
            pins.append(Port(f"t{len(pins)}", "top", None, 9.6))
            join(upper, End(unit_id, pins[-1].name))
        elif what == "sensor" and upper.node == unit_id:
            add(Node(name, "box", ports({"1": 4.5, "2": 14.1}), 19.0, 20.0, kind="sensor", mirror=True))
            join(upper, End(name, "1"))
            pins.append(Port(f"b{len(pins)}", "bottom", None, 9.6))
            join(End(unit_id, pins[-1].name), End(name, "2"))
        else:
            add(two_pole(name, "lamp", 16.0, 9.0, 3.2))
            join(upper, End(name, "1"))
            add(ground(f"G{name}", dice.choice(("G1", "G2"))))
            join(End(name, "2"), End(f"G{name}", "1"))
    used = {wire.upper for wire in made.values()}
    bars = {wire.upper.node for wire in made.values() if nodes[wire.upper.node].shape == "bar"}
    for end in free:
        if end not in used and end.node not in bars:
            add(ground(f"G{len(nodes)}", "G3"))
            join(end, End(f"G{len(nodes) - 1}", "1"))
    nodes[unit_id] = Node("U1", "unit", tuple(pins), 30.0, 18.0)
    return Graph(nodes, made)


def _above(wires: dict[str, Wire], top: str, node: str) -> bool:
    """True where wires lead down from ``top`` to ``node``."""
    seen, stack = {top}, [top]
    while stack:
        at = stack.pop()
        for wire in wires.values():
            if wire.upper.node == at and wire.lower.node not in seen:
                seen.add(wire.lower.node)
                stack.append(wire.lower.node)
    return node in seen
