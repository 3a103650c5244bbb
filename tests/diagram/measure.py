"""What must hold in every placed diagram, measured from the Placed alone: each fault as a line of text."""

from __future__ import annotations

from itertools import combinations

from harnessdoc.diagram.graph import Graph
from harnessdoc.diagram.placed import Placed, PlacedLabel

EPS = 0.011
"""Coordinates are rounded to 0.001 mm; a sum of several may be off by some of these."""
NEAR_LINES, TAPS, OWN_LEAST, OWN_MOST, FOREIGN, LONG = 1.5, 1.5, 0.85, 1.0, 1.4, 80.0

Segment = tuple[float, float, float, float]


def segments(points: tuple[tuple[float, float], ...]) -> list[Segment]:
    """Stretches with their ends sorted: (left, top, right, bottom)."""
    return [(min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])) for a, b in zip(points, points[1:], strict=False)]


def distance(segment: Segment, box: Segment) -> float:
    """Between a stretch and a box, 0 where they meet."""
    dx = max(box[0] - segment[2], segment[0] - box[2], 0.0)
    dy = max(box[1] - segment[3], segment[1] - box[3], 0.0)
    return (dx * dx + dy * dy) ** 0.5


def meets(one: Segment, other: Segment) -> bool:
    return one[0] < other[2] - EPS and other[0] < one[2] - EPS and one[1] < other[3] - EPS and other[1] < one[3] - EPS


def boxes_of(graph: Graph, placed: Placed) -> list[tuple[str, Segment]]:
    """What nobody may draw over: boxes, and the numbers right of bars."""
    found = []
    for name, at in placed.nodes.items():
        node = graph.nodes[name]
        if node.shape != "bar":
            if name not in placed.merged:
                found.append((name, (at.x, at.y, at.x + at.w, at.y + at.h)))
        elif node.right:
            half = graph.text_height / 2
            found.append((f"number of {name}", (at.x + at.w + 1.0, at.y - half, at.x + at.w + 1.0 + node.right, at.y + half)))
    return found


def lines_of(graph: Graph, placed: Placed) -> list[tuple[str, Segment]]:
    """All lines with their owners: wires, bars, and what joins grounds of one symbol."""
    found = [(name, segment) for name, points in placed.wires.items() for segment in segments(points)]
    for name, at in placed.nodes.items():
        if graph.nodes[name].shape == "bar":
            found.append((name, (at.x, at.y, at.x + at.w, at.y)))
    for name, lead in placed.merged.items():
        a, b = next(iter(placed.nodes[name].ports.values())), next(iter(placed.nodes[lead].ports.values()))
        found.append((f"join {lead}", (min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1]))))
    return found


def owners(graph: Graph, name: str) -> set[str]:
    """The nodes at whose outline a line may end: those of a wire; of a bar or a joining line itself."""
    if name in graph.wires:
        return {graph.wires[name].upper.node, graph.wires[name].lower.node}
    return {name}


def faults(graph: Graph, placed: Placed, width: float, height: float) -> list[str]:
    """Everything that is wrong with the picture."""
    return [*ends(graph, placed), *through(graph, placed), *parallel(graph, placed), *bars(graph, placed), *labels(graph, placed),
            *apart(graph, placed), *inside(graph, placed, width, height), *merges(graph, placed), *counts(graph, placed)]


def ends(graph: Graph, placed: Placed) -> list[str]:
    """Every wire runs from its port down to its port, upright and level."""
    found = []
    for name, wire in graph.wires.items():
        points = placed.wires[name]
        for end, at in ((wire.upper, points[0]), (wire.lower, points[-1])):
            bar = graph.nodes[end.node].shape == "bar"
            port = placed.nodes[end.node].ports[name if bar else end.port]
            if abs(port[0] - at[0]) > EPS or abs(port[1] - at[1]) > EPS:
                found.append(f"wire {name} ends at {at}, its port is at {port}")
        for a, b in zip(points, points[1:], strict=False):
            if a[0] != b[0] and a[1] != b[1]:
                found.append(f"wire {name} leans from {a} to {b}")
            if b[1] < a[1] - EPS:
                found.append(f"wire {name} runs upward from {a} to {b}")
        if points[0][1] >= points[-1][1]:
            found.append(f"wire {name} does not run down")
    for name, node in graph.nodes.items():
        at = placed.nodes[name]
        for port in node.ports:
            x, y = at.ports[port.name]
            level = at.y if port.side == "top" else at.y + at.h
            if abs(y - level) > EPS or not at.x - EPS <= x <= at.x + at.w + EPS:
                found.append(f"port {port.name} of {name} is not on its side")
            if node.shape == "box":
                due = at.x + (node.width - port.at if at.mirrored else port.at)
                if abs(x - due) > EPS:
                    found.append(f"port {port.name} of {name} is at {x}, not {due}")
        if node.shape != "bar" and (at.w < node.width - EPS or abs(at.h - node.height) > EPS or (node.shape == "box" and abs(at.w - node.width) > EPS)):
            found.append(f"{name} has another size than asked")
        if at.mirrored and not node.mirror:
            found.append(f"{name} may not be mirrored")
        for side in ("top", "bottom") if node.shape == "unit" else ():
            of_side = sorted((at.ports[port.name][0], port.room) for port in node.ports if port.side == side)
            for (x1, room1), (x2, room2) in zip(of_side, of_side[1:], strict=False):
                if x2 - x1 < (room1 + room2) / 2 - EPS:
                    found.append(f"ports of {name} stand too near at {x1}")
    return found


def through(graph: Graph, placed: Placed) -> list[str]:
    """No stretch through a box or a number; none nearer than a line's width to one that is not its own."""
    found = []
    for name, segment in lines_of(graph, placed):
        own = owners(graph, name)
        for owner, box in boxes_of(graph, placed):
            if meets((segment[0] - 1e-3, segment[1] - 1e-3, segment[2] + 1e-3, segment[3] + 1e-3), (box[0] + 2 * EPS, box[1] + 2 * EPS, box[2] - 2 * EPS, box[3] - 2 * EPS)):
                found.append(f"line {name} runs through {owner}")
            elif owner not in own and owner not in placed.merged.values() and distance(segment, box) < 0.75:
                found.append(f"line {name} touches {owner}")
    return found


def parallel(graph: Graph, placed: Placed) -> list[str]:
    """Parallel stretches of different owners stay apart."""
    found = []
    for (one, a), (other, b) in combinations(lines_of(graph, placed), 2):
        if one == other:
            continue
        bar = next((name for name in (one, other) if name in graph.nodes), None)
        level_a, level_b = a[3] - a[1] <= a[2] - a[0], b[3] - b[1] <= b[2] - b[0]
        if level_a != level_b:
            continue
        i, j = (0, 1) if level_a else (1, 0)
        if a[j] != b[j] and abs(a[j] - b[j]) >= NEAR_LINES - EPS:
            continue
        if a[i] < b[i + 2] - EPS and b[i] < a[i + 2] - EPS:
            found.append(f"{one} and {other} run {abs(a[j] - b[j]):.2f} apart {'level' if level_a else 'upright'}{' at ' + bar if bar else ''}")
    return found


def bars(graph: Graph, placed: Placed) -> list[str]:
    """Wires of a bar meet it at their taps; others cross it where no tap is."""
    found = []
    for name, node in graph.nodes.items():
        if node.shape != "bar":
            continue
        at = placed.nodes[name]
        mine = {wire.id for wire in graph.wires.values() if name in (wire.upper.node, wire.lower.node)}
        if set(at.ports) != mine:
            found.append(f"taps of {name} are {sorted(at.ports)}, its wires {sorted(mine)}")
        for one, other in combinations(sorted(at.ports), 2):
            gap = abs(at.ports[one][0] - at.ports[other][0])
            both = (graph.wires[one].upper.node == name) != (graph.wires[other].upper.node == name)
            if gap < TAPS - EPS and not (both and gap < EPS):
                found.append(f"taps of {name} {gap:.2f} apart: {one}, {other}")
        xs = [x for x, _ in at.ports.values()]
        if xs and (min(xs) < at.x - EPS or max(xs) > at.x + at.w + EPS):
            found.append(f"a tap of {name} is off its bar")
        for wire, points in placed.wires.items():
            for segment in segments(points):
                if wire in mine:
                    tap = at.ports[wire]
                    inside = (max(segment[0], at.x), max(segment[1], at.y), min(segment[2], at.x + at.w), min(segment[3], at.y))
                    if inside[0] <= inside[2] + EPS and inside[1] <= inside[3] + EPS and max(abs(inside[0] - tap[0]), abs(inside[2] - tap[0])) > EPS:
                        found.append(f"wire {wire} meets its bar {name} beside its tap")
                else:
                    for tap, (x, y) in at.ports.items():
                        if distance(segment, (x, y, x, y)) < TAPS - EPS:
                            found.append(f"wire {wire} passes the tap of {tap} on {name}")
    return found


def labels(graph: Graph, placed: Placed) -> list[str]:
    """Labels overlap nothing, stand beside their own wire, and are told apart."""
    found = []
    lines = lines_of(graph, placed)
    for label in placed.labels:
        box = (label.x, label.y, label.x + label.w, label.y + label.h)
        for owner, other in boxes_of(graph, placed):
            if meets(box, other):
                found.append(f"label of {label.wire} lies on {owner}")
        own = min((distance(segment, box) for name, segment in lines if name == label.wire), default=99.0)
        beside = any(segment[0] == segment[2] and segment[1] <= box[1] + EPS and segment[3] >= box[3] - EPS
                     and OWN_LEAST <= max(box[0] - segment[0], segment[0] - box[2]) <= OWN_MOST for name, segment in lines if name == label.wire)
        if own < OWN_LEAST or own > OWN_MOST or not beside:
            found.append(f"label of {label.wire} is {own:.2f} from its line, or not beside it")
        for name, segment in lines:
            if name != label.wire and distance(segment, box) < FOREIGN - EPS:
                found.append(f"label of {label.wire} is {distance(segment, box):.2f} from {name}")
        printed = sorted((piece.text, piece.swatch) for line in label.lines for piece in line)
        if printed != sorted((piece.text, piece.swatch) for piece in graph.wires[label.wire].label):
            found.append(f"label of {label.wire} does not print its pieces")
    for one, other in combinations(placed.labels, 2):
        if meets((one.x, one.y, one.x + one.w, one.y + one.h), (other.x, other.y, other.x + other.w, other.y + other.h)):
            found.append(f"labels of {one.wire} and {other.wire} overlap")
    count = {name: 0 for name in graph.wires}
    for label in placed.labels:
        count[label.wire] += 1
    for name, wire in graph.wires.items():
        length = sum(s[2] - s[0] + s[3] - s[1] for s in segments(placed.wires[name]))
        due = (2 if length > LONG + EPS else 1) if wire.label else 0
        if count[name] < due:
            found.append(f"wire {name} is {length:.0f} long and has {count[name]} labels")
        if count[name] == 2:
            near = {2 * along(placed.wires[name], label) > length for label in placed.labels if label.wire == name}
            if len(near) < 2:
                found.append(f"both labels of {name} are at one end")
    return found


def along(points: tuple[tuple[float, float], ...], label: PlacedLabel) -> float:
    """How far along its line the middle of a label stands."""
    middle = label.y + label.h / 2
    gone, best = 0.0, (99.0, 0.0)
    for (x1, y1), (x2, y2) in zip(points, points[1:], strict=False):
        if x1 == x2 and y1 <= middle <= y2:
            best = min(best, (max(label.x - x1, x1 - label.x - label.w), gone + middle - y1))
        gone += abs(x1 - x2) + abs(y1 - y2)
    return best[1]


def apart(graph: Graph, placed: Placed) -> list[str]:
    return [f"{one} and {other} overlap" for (one, a), (other, b) in combinations(boxes_of(graph, placed), 2) if meets(a, b)]


def inside(graph: Graph, placed: Placed, width: float, height: float) -> list[str]:
    width, height = width + placed.over_mm[0], height + placed.over_mm[1]
    things = [*boxes_of(graph, placed), *lines_of(graph, placed), *((f"label of {label.wire}", (label.x, label.y, label.x + label.w, label.y + label.h)) for label in placed.labels)]
    slack = 2 * EPS
    return [f"{name} is outside" for name, box in things if box[0] < -slack or box[1] < -slack or box[2] > width + slack or box[3] > height + slack]


def merges(graph: Graph, placed: Placed) -> list[str]:
    found = []
    for name, lead in placed.merged.items():
        (x1, y1), (x2, y2) = (next(iter(placed.nodes[node].ports.values())) for node in (name, lead))
        if graph.nodes[name].merge != graph.nodes[lead].merge or abs(y1 - y2) > EPS or name == lead or lead in placed.merged:
            found.append(f"{name} and {lead} cannot share a symbol")
    return found


def crossings(graph: Graph, placed: Placed) -> int:
    """Points where a level stretch of one and an upright of another meet."""
    count = 0
    for (one, a), (other, b) in combinations(lines_of(graph, placed), 2):
        for flat, tall in ((a, b), (b, a)):
            if flat[1] == flat[3] and tall[0] == tall[2] and flat[0] + EPS < tall[0] < flat[2] - EPS and tall[1] + EPS < flat[1] < tall[3] - EPS and one != other:
                count += 1
    return count


def counts(graph: Graph, placed: Placed) -> list[str]:
    """The figures that the placement tells are those of its picture."""
    bends = sum(len(points) - 2 for points in placed.wires.values())
    here = crossings(graph, placed)
    return [*([f"{placed.bends} bends told, {bends} drawn"] if bends != placed.bends else []),
            *([f"{placed.crossings} crossings told, {here} drawn"] if here != placed.crossings else [])]
