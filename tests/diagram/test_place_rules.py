"""What holds in every placed diagram, measured from the picture alone; and that the measures notice when it does not."""

from __future__ import annotations

import dataclasses
import hashlib
import os
import subprocess
import sys

import numpy as np
import pytest
from diagram import measure
from diagram.trial_page import PAGE, full_page, ground, label, lamps, ports, random_graph, two_pole, unit

from harnessdoc.diagram.graph import End, Graph, Node, Piece, Port, Wire
from harnessdoc.diagram.place import place
from harnessdoc.diagram.placed import Placed

RANDOM = tuple((seed, 8 + seed * 7 % 40) for seed in range(18))


@pytest.fixture(scope="module")
def page() -> tuple[Graph, Placed]:
    graph = full_page()
    return graph, place(graph, *PAGE)


@pytest.mark.parametrize(("seed", "wires"), RANDOM)
def test_a_random_graph_keeps_every_rule(seed: int, wires: int) -> None:
    graph = random_graph(seed, wires)
    assert measure.faults(graph, place(graph, *PAGE), *PAGE) == []


@pytest.mark.parametrize("count", [1, 2, 6, 14])
def test_equal_chains_keep_every_rule_and_come_in_their_natural_order_on_one_level(count: int) -> None:
    graph = lamps(count)
    placed = place(graph, *PAGE)
    assert measure.faults(graph, placed, *PAGE) == []
    assert placed.over_mm == (0.0, 0.0) and placed.crossings == 0
    cavities = [placed.nodes[f"C1 {number}"] for number in range(1, count + 1)]
    assert [at.x for at in cavities] == sorted(at.x for at in cavities)
    assert len({at.y for at in cavities}) == 1
    lamps_of = sorted(placed.nodes[f"H{number}"].x for number in range(1, count + 1))
    assert lamps_of == [placed.nodes[f"H{number}"].x for number in range(1, count + 1)]


def test_the_full_page_keeps_every_rule(page: tuple[Graph, Placed]) -> None:
    graph, placed = page
    assert measure.faults(graph, placed, *PAGE) == []
    assert placed.nodes["B1"].y == 0.0


def test_quick_and_too_small_pages_are_whole_all_the_same() -> None:
    graph = random_graph(3, 30)
    for quick in (False, True):
        placed = place(graph, 90.0, 60.0, quick=quick)
        assert placed.over_mm[0] > 0 or placed.over_mm[1] > 0
        assert measure.ends(graph, placed) == [] and measure.apart(graph, placed) == [] and measure.inside(graph, placed, 90.0, 60.0) == []


def odd_graphs() -> dict[str, Graph]:
    feed = Node("F", "box", ports(bottom={"2": 1.6}), 14.0, 9.0, band="supply")
    bar, deep = Node("S", "bar", right=8.0), Node("T", "bar", right=8.0)
    lamp, earth = two_pole("H", "lamp", 16.0, 9.0, 3.2), ground("G", "G1")
    loose = unit("U", "a b", "c", 15.0)

    def graph(nodes: tuple[Node, ...], *wires: Wire) -> Graph:
        return Graph({node.id: node for node in nodes}, {wire.id: wire for wire in wires})

    one = Wire("1", End("F", "2"), End("H", "1"), label("1", "0.5", "RD"))
    two = Wire("2", End("H", "2"), End("G", "1"), label("2"))
    striped = Wire("1", End("F", "2"), End("H", "1"), (Piece("1"), Piece(swatch=("GN", "YE")), Piece("0.5")))
    into, out = Wire("1", End("F", "2"), End("S"), label("1")), Wire("3", End("S"), End("H", "1"), label("3"))
    twice = (Wire("4", End("S"), End("T"), label("4")), Wire("5", End("S"), End("T"), label("5")))
    last = Wire("6", End("T"), End("H", "1"), label("6"))
    return {"nothing": graph(()), "one box": graph((feed,)), "ports without wires": graph((loose,)), "one wire": graph((feed, lamp, earth), one, two),
            "swatch": graph((feed, lamp, earth), striped, two), "no label": graph((feed, lamp), dataclasses.replace(one, label=())),
            "a splice of two": graph((feed, bar, lamp, earth), into, out, two), "two wires side by side": graph((feed, bar, deep, lamp, earth), into, *twice, last, two)}


@pytest.mark.parametrize("name", odd_graphs())
def test_small_and_odd_graphs(name: str) -> None:
    graph = odd_graphs()[name]
    placed = place(graph, *PAGE)
    assert measure.faults(graph, placed, *PAGE) == []
    assert set(placed.nodes) == set(graph.nodes) and set(placed.wires) == set(graph.wires)


def test_a_long_wire_has_its_label_at_both_ends() -> None:
    nodes = [Node("F", "box", ports(bottom={"2": 1.6, "3": 12.0}), 14.0, 9.0, band="supply"), Node("X", "box", ports({"1": 3.0, "2": 20.0}), 24.0, 10.0)]
    wires = []
    upper = End("F", "3")
    for number in range(5):
        nodes.append(two_pole(f"L{number}", "link", 16.0, 12.0, 3.0))
        wires.append(Wire(f"{number}", upper, End(f"L{number}", "1"), label(str(number), "1", "RD")))
        upper = End(f"L{number}", "2")
    wires += [Wire("down", End("F", "2"), End("X", "1"), label("90", "1", "BK")), Wire("last", upper, End("X", "2"), label("91", "1", "BK"))]
    graph = Graph({node.id: node for node in nodes}, {wire.id: wire for wire in wires})
    placed = place(graph, *PAGE)
    assert measure.faults(graph, placed, *PAGE) == []
    assert sorted(label.wire for label in placed.labels).count("down") == 2


def test_grounds_of_one_number_side_by_side_share_a_symbol() -> None:
    nodes = [Node("F", "box", ports(bottom={"2": 2.0, "3": 12.0}), 14.0, 9.0, band="supply"), ground("G a", "G1"), ground("G b", "G1")]
    wires = {"1": Wire("1", End("F", "2"), End("G a", "1")), "2": Wire("2", End("F", "3"), End("G b", "1"))}
    graph = Graph({node.id: node for node in nodes}, wires)
    placed = place(graph, *PAGE)
    assert measure.faults(graph, placed, *PAGE) == []
    assert placed.merged == {"G b": "G a"}
    apart = Graph({**graph.nodes, "G b": ground("G b", "G2")}, wires)
    assert place(apart, *PAGE).merged == {}


def moved(placed: Placed, what: str) -> Placed:
    """The picture with one thing wrong."""
    nodes, wires, labels = dict(placed.nodes), dict(placed.wires), list(placed.labels)
    if what == "wire aside":
        name, points = next((name, points) for name, points in wires.items() if len(points) == 2)
        wires[name] = tuple((x + 1.0, y) for x, y in points)
    elif what == "leaning wire":
        name, points = next(iter(wires.items()))
        wires[name] = (points[0], (points[-1][0] + 2.0, points[-1][1] - 3.0), points[-1])
    elif what == "wire through a box":
        top, at = min(y for points in wires.values() for _, y in points), placed.nodes["B22"]
        wires["223"] = ((at.x + 2.0, top), (at.x + 2.0, at.y + at.h))
    elif what == "box aside":
        nodes["B22"] = dataclasses.replace(nodes["B22"], x=nodes["B22"].x + 30.0)
    elif what == "label aside":
        labels[0] = dataclasses.replace(labels[0], x=labels[0].x + 1.0)
    elif what == "label on another wire":
        one = next(label for label in labels if label.wire == "16")
        labels[labels.index(one)] = dataclasses.replace(one, wire="110")
    elif what == "label gone":
        labels.pop()
    elif what == "labels on each other":
        labels[1] = dataclasses.replace(labels[1], x=labels[0].x, y=labels[0].y)
    elif what == "label with another text":
        labels[0] = dataclasses.replace(labels[0], lines=((Piece("999"),),))
    elif what == "tap aside":
        tap = nodes["S105"].ports["8"]
        nodes["S105"] = dataclasses.replace(nodes["S105"], ports={**nodes["S105"].ports, "8": (tap[0] + 0.7, tap[1])})
    elif what == "bar too short":
        nodes["S105"] = dataclasses.replace(nodes["S105"], w=nodes["S105"].w / 2)
    elif what == "wire passes a tap":
        (x, y), (low, _) = nodes["S105"].ports["8"], (0.0, 0.0)
        wires["223"] = ((x + 0.5, y - 4.0 + low), (x + 0.5, y + 4.0))
    elif what == "parallel wires":
        points = wires["110"]
        wires["223"] = tuple((x + 1.0, y) for x, y in points)
    elif what == "outside":
        nodes["G103"] = dataclasses.replace(nodes["G103"], y=PAGE[1])
    elif what == "figures":
        return dataclasses.replace(placed, crossings=placed.crossings + 1)
    elif what == "merged far":
        return dataclasses.replace(placed, merged={"G101a": "G103"})
    return dataclasses.replace(placed, nodes=nodes, wires=wires, labels=tuple(labels))


@pytest.mark.parametrize(("what", "said"), [
    ("wire aside", "ends at"), ("leaning wire", "leans"), ("wire through a box", "through B22"), ("box aside", "overlap"), ("label aside", "from its line"),
    ("label on another wire", "label of 110"), ("label gone", "labels"), ("labels on each other", "overlap"), ("label with another text", "does not print"),
    ("tap aside", "its port is at"), ("bar too short", "off its bar"), ("wire passes a tap", "passes the tap"), ("parallel wires", "run 1.00 apart"),
    ("outside", "outside"), ("figures", "crossings told"), ("merged far", "cannot share")])
def test_the_measures_notice(page: tuple[Graph, Placed], what: str, said: str) -> None:
    graph, placed = page
    found = measure.faults(graph, moved(placed, what), *PAGE)
    assert any(said in fault for fault in found), found


PRINT = """
import sys
sys.path[:0] = [{tests!r}, {root!r}]
from diagram.trial_page import PAGE, lamps, random_graph
from harnessdoc.diagram.place import place
for graph in (lamps(5), random_graph(4, 30), random_graph(9, 40)):
    placed = place(graph, *PAGE)
    print([(type(part).__name__, repr(part)) for part in (placed.nodes, placed.wires, placed.labels, placed.merged, placed.order, placed.over_mm)])
"""


def other_machines() -> list[dict[str, str]]:
    """Settings under which Python orders its hashes, numpy adds and BLAS multiplies otherwise: as an older processor with one core does."""
    found = np.show_config(mode="dicts")["SIMD Extensions"]["found"]
    return [{"PYTHONHASHSEED": "1"}, {"PYTHONHASHSEED": "2", "OPENBLAS_CORETYPE": "Prescott", "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
            {"PYTHONHASHSEED": "77", "NPY_DISABLE_CPU_FEATURES": " ".join(found)}]


def test_the_same_picture_whatever_the_order_of_hashes_and_the_processor() -> None:
    tests = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    script = PRINT.format(tests=tests, root=os.path.dirname(tests))
    digests = set()
    for settings in other_machines():
        done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, env={**os.environ, **settings})
        digests.add(hashlib.sha256(done.stdout).hexdigest())
        assert len(done.stdout) > 10_000
    assert len(digests) == 1


def test_words_behind_a_number_have_room_below_for_their_letters() -> None:
    """A label right under them stands lower by as much: the stack holds each pair of number and label apart."""
    def gaps(below: float) -> list[float]:
        graph = lamps(5)
        told = Graph({name: dataclasses.replace(node, right=60.0, below=below) if node.shape == "bar" else node for name, node in graph.nodes.items()}, graph.wires)
        placed = place(told, *PAGE)
        words = [(at.x + at.w + 1.0, at.x + at.w + 61.0, at.y + told.text_height / 2) for name, at in placed.nodes.items() if told.nodes[name].shape == "bar"]
        return [one.y - low for left, right, low in words for one in placed.labels if one.x < right and left < one.x + one.w and one.y > low]

    assert min(gaps(5.0)) > min(gaps(0.0)) and min(gaps(5.0)) >= 5.0


def wrong_graphs() -> dict[str, tuple[Graph, str]]:
    nodes = {node.id: node for node in (two_pole("A", "", 10.0, 5.0, 2.0), two_pole("B", "", 10.0, 5.0, 2.0), Node("C", "box", (Port("1", "top"),), 5.0, 5.0))}

    def graph(*wires: Wire) -> Graph:
        return Graph(nodes, {wire.id: wire for wire in wires})

    down = Wire("1", End("A", "2"), End("B", "1"))
    return {"a circle": (graph(down, Wire("2", End("B", "2"), End("A", "1"))), "circle"), "no such node": (graph(Wire("1", End("A", "2"), End("Z", "1"))), "Z"),
            "no such port": (graph(Wire("1", End("A", "9"), End("B", "1"))), "'9'"), "upside down": (graph(Wire("1", End("A", "1"), End("B", "1"))), "on the top"),
            "a shared port": (graph(down, Wire("2", End("A", "2"), End("B", "1"))), "both end at A 2"), "a port without place": (graph(Wire("1", End("A", "2"), End("C", "1"))), "does not say")}


@pytest.mark.parametrize("name", wrong_graphs())
def test_a_graph_that_cannot_be_drawn_is_refused_by_name(name: str) -> None:
    graph, said = wrong_graphs()[name]
    with pytest.raises(ValueError, match=said):
        place(graph, *PAGE)
