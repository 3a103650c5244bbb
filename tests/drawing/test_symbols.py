"""Symbols: terminals stand where ink ends, turn as told, and stay apart from what is drawn between."""

from __future__ import annotations

import itertools

import pytest
from drawing.sample import TURNING

from harnessdoc.drawing import symbols
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Arc, Circle, Line, Polyline, Text

NAMES = {
    symbols.fuse: {"1", "2"}, symbols.fusible_link: {"1", "2"}, symbols.resistor: {"1", "2"},
    symbols.lamp: {"1", "2"}, symbols.motor: {"1", "2"}, symbols.diode: {"anode", "cathode"},
    symbols.coil: {"85", "86"}, symbols.make_contact: {"30", "87"},
    symbols.changeover: {"30", "87", "87a"}, symbols.plug: {"wire", "mate"},
    symbols.socket: {"wire", "mate"}, symbols.ground: {"1"},
}  # fmt: skip


def ends(marks) -> list[tuple[float, float]]:
    """Ends of all lines and open polylines."""
    found = []
    for m in marks:
        if isinstance(m, Line):
            found += [(m.x1, m.y1), (m.x2, m.y2)]
        elif isinstance(m, Polyline):
            found += m.points if m.closed else [m.points[0], m.points[-1]]
    return found


def near(one, other) -> bool:
    return abs(one[0] - other[0]) < 1e-6 and abs(one[1] - other[1]) < 1e-6


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("symbol", TURNING, ids=lambda f: f.__name__)
def test_terminals_end_in_ink_and_turn_clockwise(symbol, turn):
    pen = Pen(50, 50)
    terminals = symbol(pen, 20, 20, turn=turn, tag="part:1")
    assert set(terminals) == NAMES[symbol]
    marks = pen.drawing().marks
    assert all(m.tag == "part:1" for m in marks)
    for name, point in terminals.items():
        if name != "mate":
            assert any(near(point, end) for end in ends(marks)), name
    upright = symbol(Pen(50, 50), 20, 20)
    for name, (x, y) in upright.items():
        u, v = x - 20, y - 20
        for _ in range(turn // 90):
            u, v = -v, u
        assert near(terminals[name], (20 + u, 20 + v))


def test_mated_halves_meet_at_the_point():
    pen = Pen(50, 50)
    plug, socket = symbols.plug(pen, 20, 20), symbols.socket(pen, 20, 20)
    assert plug["mate"] == socket["mate"] == (20, 20)
    assert plug["wire"][1] < 20 < socket["wire"][1]
    arc = next(m for m in pen.drawing().marks if isinstance(m, Arc))
    assert near(arc.at(90), (20, 21.25)), "the half circle opens toward the plug"


def joined(marks) -> list[set]:
    """Groups of line ends that the lines join: touching at ends, dashed lines and dots left out."""
    groups: list[set] = []
    for m in marks:
        if isinstance(m, Line) and not m.dash:
            points = [(m.x1, m.y1), (m.x2, m.y2)]
        elif isinstance(m, Polyline) and not m.closed:
            points = list(m.points)
        else:
            continue
        new = {(round(x, 4), round(y, 4)) for x, y in points}
        apart = []
        for group in groups:
            if group & new:
                new |= group
            else:
                apart.append(group)
        groups = [*apart, new]
    return groups


def test_contacts_at_rest_are_open_and_closed_as_said():
    pen = Pen(50, 50)
    open_ = symbols.make_contact(pen, 20, 20)
    groups = joined(pen.drawing().marks)
    assert not any({open_["30"], open_["87"]} <= g for g in groups)
    pen = Pen(50, 50)
    t = symbols.changeover(pen, 20, 20)
    blade = next(m for m in pen.drawing().marks if isinstance(m, Polyline) and t["30"] in m.points)
    rest = next(m for m in pen.drawing().marks if isinstance(m, Polyline) and t["87a"] in m.points)
    far = next(m for m in pen.drawing().marks if isinstance(m, Polyline) and t["87"] in m.points)
    (x1, y1), (x2, y2) = blade.points[-2:]
    level = rest.points[0][1]
    crossing = x1 + (x2 - x1) * (level - y1) / (y2 - y1)
    assert min(p[0] for p in rest.points) <= crossing <= max(p[0] for p in rest.points)
    assert crossing < min(p[0] for p in far.points)


@pytest.mark.parametrize("changes_over", [False, True])
@pytest.mark.parametrize("suppression", ["none", "diode", "resistor"])
def test_a_whole_relay(changes_over, suppression):
    pen = Pen(80, 50)
    t = symbols.relay(pen, 30, 20, changes_over=changes_over, suppression=suppression, tag="K8")
    assert set(t) == {"85", "86", "30", "87"} | ({"87a"} if changes_over else set())
    marks = pen.drawing().marks
    labels = {m.text: (m.x, m.y) for m in marks if isinstance(m, Text)}
    assert set(labels) == set(t)
    for name, (x, y) in t.items():
        assert abs(labels[name][0] - x) < 1 and abs(labels[name][1] - y) < 2
    dots = [(m.cx, m.cy) for m in marks if isinstance(m, Circle)]
    assert dots == ([] if suppression == "none" else [t["86"], t["85"]] if suppression == "resistor" else [t["85"], t["86"]])
    link = next(m for m in marks if isinstance(m, Line) and m.dash)
    assert link.x1 == 33.5 and link.y1 == link.y2 == 20


def test_a_suppression_diode_has_its_cathode_on_86():
    pen = Pen(80, 50)
    t = symbols.relay(pen, 30, 20, suppression="diode")
    triangle = next(m for m in pen.drawing().marks if isinstance(m, Polyline) and m.closed and len(m.points) == 3)
    tip = triangle.points[2]
    assert abs(tip[1] - t["86"][1]) < abs(triangle.points[0][1] - t["86"][1])


def test_pair_and_shield():
    pen = Pen(50, 50)
    assert symbols.twisted_pair(pen, 20, 20, 5) == {}
    mark = pen.drawing().marks[0]
    xs = [x for x, _ in mark.points]
    assert min(xs) < 17.5 and max(xs) > 22.5, "reaches over both lines"
    pen = Pen(50, 50)
    assert symbols.shield(pen, 20, 20, 9, 4) == {"drain": (20, 24.5)}
    assert pen.drawing().marks[0].dash


def test_symbols_in_a_row_do_not_touch():
    pen = Pen(300, 50)
    reach = []
    for i, symbol in enumerate(TURNING):
        before = len(pen.drawing().marks)
        symbol(pen, 10 + 10 * i, 20)
        xs = [p[0] for p in ends(pen.drawing().marks[before:])]
        reach.append((min(xs), max(xs)))
    for one, other in itertools.pairwise(reach):
        assert one[1] < other[0], "10 mm apart is enough"
