"""How good the pictures are: crossings, bends and straight wires of a full page, little movement after a small edit, nothing heavy at the start."""

from __future__ import annotations

import dataclasses

import pytest
from diagram import measure
from diagram.trial_page import PAGE, full_page, ground, label, lamps, ports, random_graph, two_pole

from harnessdoc.diagram import place as place_module
from harnessdoc.diagram.frame import Frame
from harnessdoc.diagram.graph import End, Graph, Node, Wire
from harnessdoc.diagram.order import electric_groups, first_rows
from harnessdoc.diagram.place import place
from harnessdoc.diagram.placed import Order, Placed
from harnessdoc.diagram.sorter import Rows

WIRES = 46
"""Of the full page; four of them are drawn in two parts, through twist marks."""


def figures(placed: Placed) -> tuple[int, float, float]:
    """(crossings, bends a wire, share of straight wires) with the parts of one wire taken together."""
    bent = {name.rstrip("~") for name, points in placed.wires.items() if len(points) > 2}
    names = {name.rstrip("~") for name in placed.wires}
    return placed.crossings, sum(len(points) - 2 for points in placed.wires.values()) / len(names), 1 - len(bent) / len(names)


def good(placed: Placed) -> bool:
    """The figures of a trial page of the same harness, and that it fits."""
    crossings, bends, straight = figures(placed)
    return placed.over_mm == (0.0, 0.0) and crossings <= 4 and bends <= 0.65 and straight >= 0.70


def test_the_full_page_is_as_good_as_one_drawn_by_a_factory() -> None:
    graph = full_page()
    assert len({name.rstrip("~") for name in graph.wires}) == WIRES
    placed = place(graph, *PAGE)
    assert good(placed), (placed.over_mm, figures(placed))


def unordered(frame: Frame, starts: int) -> list[tuple[float, Rows]]:
    """The order step off: things stand as the description lists them."""
    return [(0.0, Rows(tuple(map(tuple, first_rows(frame, electric_groups(frame)))), (False,) * frame.items))]


def test_without_the_order_step_the_full_page_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(place_module, "orders", unordered)
    monkeypatch.setattr(place_module.Maker, "_mirrored", lambda self, rows: rows)
    placed = place(full_page(), *PAGE)
    assert not good(placed)
    assert placed.crossings > 8


def changed(before: Order, after: Order) -> list[str]:
    """Nodes in both whose neighbours changed sides: the least number of nodes that moved, row by row."""
    found = []
    levels = sorted(set(before.levels.values()))
    for level in levels:
        both = [name for name in before.ranks if name in after.ranks and before.levels[name] == level == after.levels[name]]
        old, new = sorted(both, key=before.ranks.__getitem__), sorted(both, key=after.ranks.__getitem__)
        kept = longest_common(old, new)
        found += [name for name in both if name not in kept]
    found += [name for name in before.ranks if name in after.ranks and before.levels[name] != after.levels[name]]
    return found


def longest_common(old: list[str], new: list[str]) -> set[str]:
    """The names of a longest common subsequence."""
    best: dict[str, list[str]] = {}
    for name in new:
        ahead = [best[other] for other in best if old.index(other) < old.index(name)]
        best[name] = [*max(ahead, key=len, default=[]), name]
    return set(max(best.values(), key=len, default=[]))


def with_a_lamp(graph: Graph, at: End) -> Graph:
    """One more lamp with its ground at this bar."""
    nodes = {**graph.nodes, "new lamp": two_pole("new lamp", "lamp", 16.0, 9.0, 3.2), "new ground": ground("new ground", "G9")}
    wires = {**graph.wires, "900": Wire("900", at, End("new lamp", "1"), label("900", "0.5", "VT")), "901": Wire("901", End("new lamp", "2"), End("new ground", "1"), label("901"))}
    return Graph(nodes, wires)


@pytest.mark.parametrize("seed", [3, 5, 8])
def test_a_small_edit_moves_little(seed: int) -> None:
    graph = random_graph(seed, 30)
    before = place(graph, *PAGE)
    bar = next(name for name, node in graph.nodes.items() if node.shape == "bar")
    edited = with_a_lamp(graph, End(bar))
    after = place(edited, *PAGE, before.order)
    assert measure.faults(edited, after, *PAGE) == []
    assert len(changed(before.order, after.order)) <= 2


def test_the_picture_before_gives_itself_again() -> None:
    for graph in (lamps(5), random_graph(6, 30)):
        placed = place(graph, *PAGE)
        again = place(graph, *PAGE, placed.order)
        assert changed(placed.order, again.order) == []


def test_the_picture_before_is_followed_and_given_up_where_it_is_clearly_worse() -> None:
    graph = lamps(6)
    placed = place(graph, *PAGE)
    mirrored = dataclasses.replace(placed.order, ranks={name: -rank for name, rank in placed.order.ranks.items()})
    free = Graph({name: dataclasses.replace(node, turn=()) for name, node in graph.nodes.items()}, graph.wires)
    followed = place(free, *PAGE, mirrored)
    assert followed.nodes["H6"].x < followed.nodes["H1"].x
    assert place(free, *PAGE).nodes["H6"].x > place(free, *PAGE).nodes["H1"].x
    shuffled = dataclasses.replace(placed.order, ranks={name: (rank * 5 + placed.order.levels[name] * 3) % 7 for name, rank in placed.order.ranks.items()})
    assert place(free, *PAGE, shuffled).crossings == 0


def test_what_the_picture_before_has_and_the_graph_lacks_does_no_harm() -> None:
    graph = random_graph(5, 25)
    stale = Order({"gone": 3, **place(graph, *PAGE).order.levels}, {"gone": 0, **place(graph, *PAGE).order.ranks})
    assert measure.faults(graph, place(graph, *PAGE, stale), *PAGE) == []


def test_a_row_too_wide_becomes_two() -> None:
    graph = lamps(14)
    placed = place(graph, *PAGE)
    assert placed.over_mm == (0.0, 0.0)
    assert len({placed.order.levels[f"H{number}"] for number in range(1, 15)}) == 2


def test_a_ground_far_from_the_bottom_stands_below_its_user() -> None:
    """The others stand on the line of the lowest thing."""
    graph = full_page()
    placed = place(graph, *PAGE)
    floor = max(at.y + at.h for at in placed.nodes.values())
    drops = {}
    for name, node in graph.nodes.items():
        if node.band == "ground":
            wire = next(wire for wire in graph.wires.values() if wire.lower.node == name)
            at, user = placed.nodes[name], placed.nodes[wire.upper.node]
            drops[name] = at.y - user.y - user.h
            assert drops[name] <= 41.0, name
            if floor - at.h - user.y - user.h <= 40.0:
                assert at.y + at.h == pytest.approx(floor, abs=0.01), name
    assert {placed.nodes[name].y + placed.nodes[name].h < floor - 1.0 for name in drops} == {True, False}


def test_a_ground_not_far_from_the_bottom_comes_down_to_it() -> None:
    """Beside two lamps in a row a single one: its ground stands on the line of the other."""
    nodes = [two_pole(f"H{number}", "", 16.0, 9.0, 3.2) for number in (1, 2, 3)]
    nodes += [Node("F1", "box", ports(bottom={"2": 1.6}), 14.0, 9.0, band="supply"), Node("S1", "bar", right=8.0), ground("G1", "G1"), ground("G2", "G2")]
    ends = (("F1", "2", "S1", ""), ("S1", "", "H1", "1"), ("H1", "2", "H2", "1"), ("H2", "2", "G1", "1"), ("S1", "", "H3", "1"), ("H3", "2", "G2", "1"))
    placed = place(Graph({node.id: node for node in nodes}, {str(number): Wire(str(number), End(*end[:2]), End(*end[2:]), label(str(number))) for number, end in enumerate(ends)}), *PAGE)
    user = placed.nodes["H3"]
    assert 12.0 < placed.nodes["G1"].y - user.y - user.h < 40.0
    assert placed.nodes["G2"].y == pytest.approx(placed.nodes["G1"].y, abs=0.01)


def test_labels_that_come_in_the_last_round_have_heights(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each round makes one more wire long: the rounds end before they settle."""
    graph = lamps(6)
    asked = iter(range(1, 1000))
    monkeypatch.setattr(place_module.Maker, "_long", lambda *_: frozenset(range(min(next(asked), len(graph.wires)))))
    placed = place(graph, *PAGE)
    assert len(placed.labels) > len(graph.wires)
    assert all(0.0 <= one.y <= PAGE[1] for one in placed.labels)
