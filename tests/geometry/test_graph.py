"""The bundle as a graph: shortest ways, over trees and loops."""

from __future__ import annotations

import pytest

from harnessdoc.geometry.graph import Graph, build_graph, route_of
from helpers import harness_of


def graph_of(segments: str, on_segments: dict | None = None) -> Graph:
    """``segments``: ``T1 A B 100, T2 B C -`` (id, from, to, mm; ``-`` without length)."""
    lines = ["segments:"]
    for words in segments.split(", "):
        name, a, b, mm = words.split()
        lines.append(f"  {name}: {{from: {a}, to: {b}" + ("" if mm == "-" else f", length: {mm} mm") + "}")
    return build_graph(harness_of("\n".join(lines)).segments.values(), on_segments or {})


def way(graph: Graph, a: str, b: str) -> str | None:
    """``+T1 -T2``: the segments in order, + walked forward."""
    nodes = {**graph.points, **graph.splices}
    steps = graph.shortest(nodes[a], nodes[b])
    return None if steps is None else " ".join(("+" if step.forward else "-") + step.segment for step in steps)


TREE = "T1 A B 10, T2 B C 20, T3 D B 30, T4 D E 40"


@pytest.mark.parametrize(("a", "b", "expected", "mm"), [
    ("A", "C", "+T1 +T2", 30), ("C", "A", "-T2 -T1", 30), ("A", "E", "+T1 -T3 +T4", 80), ("E", "C", "-T4 +T3 +T2", 90),
    ("D", "E", "+T4", 40), ("B", "B", "", 0),
])
def test_ways_in_a_tree(a: str, b: str, expected: str, mm: float):
    graph = graph_of(TREE)
    assert way(graph, a, b) == expected
    assert route_of(graph.shortest(graph.points[a], graph.points[b])).length_mm == mm


def test_no_way_between_two_trees_and_none_out_of_a_loop():
    graph = graph_of("T1 A B 10, T2 C D 10, T3 E F 1, T4 F G 1, T5 G E 1")
    assert way(graph, "A", "D") is None and way(graph, "A", "F") is None and way(graph, "E", "C") is None


LOOP = "T1 A B 100, T2 B C 100, T3 C D 100, T4 D A 100, T5 A X 5, T6 C Y 5, T7 Y Z 5"


def test_ways_over_a_loop_take_the_shorter_side():
    graph = graph_of(LOOP.replace("T2 B C 100", "T2 B C 101"))
    assert way(graph, "X", "Z") == "-T5 -T4 -T3 +T6 +T7"
    assert way(graph, "Z", "B") == "-T7 -T6 -T2"


def test_of_equal_ways_the_first_of_the_file_is_taken_in_both_directions():
    graph = graph_of(LOOP)
    assert way(graph, "X", "Z") == "-T5 +T1 +T2 +T6 +T7"
    assert way(graph, "Z", "X") == "-T7 -T6 -T2 -T1 +T5"
    turned = graph_of("T4 D A 100, T3 C D 100, T1 A B 100, T2 B C 100, T5 A X 5, T6 C Y 5, T7 Y Z 5")
    assert way(turned, "X", "Z") == "-T5 -T4 -T3 +T6 +T7"


def test_the_way_back_is_the_way_there_even_where_the_file_order_would_choose_another():
    # from A the first segment of the file is T1, from C it would be T3
    graph = graph_of("T1 A B 10, T2 A D 10, T3 D C 10, T4 B C 10")
    assert way(graph, "A", "C") == "+T1 +T4"
    assert way(graph, "C", "A") == "-T4 -T1"


def test_equal_is_equal_whatever_floating_point_says():
    # 0.1 + 0.2 is more than 0.3 in floating point
    graph = graph_of("T1 A B 0.1, T2 B C 0.2, T3 A C 0.3")
    assert way(graph, "A", "C") == "+T1 +T2"


def test_of_two_segments_between_the_same_points_the_shorter_is_taken():
    assert way(graph_of("T1 A B 10, T2 B A 9"), "A", "B") == "-T2"


def test_a_segment_that_ends_where_it_begins_is_never_on_a_way():
    assert way(graph_of("T0 A A 5, T1 A B 10"), "A", "B") == "+T1"


def test_a_splice_cuts_its_segment():
    graph = graph_of("T1 A B 100, T2 B C 10", {"T1": [(70.0, "S2"), (20.0, "S1"), (70.0, "S3")]})
    assert graph.splices["S2"] == graph.splices["S3"] != graph.splices["S1"]
    steps = graph.shortest(graph.splices["S1"], graph.points["C"])
    assert [(step.segment, step.from_mm, step.to_mm) for step in steps] == [("T1", 20, 70), ("T1", 70, 100), ("T2", 0, 10)]
    back = graph.shortest(graph.splices["S3"], graph.points["A"])
    assert [(step.segment, step.from_mm, step.to_mm, step.length_mm) for step in back] == [("T1", 70, 20, 50), ("T1", 20, 0, 20)]


def test_a_way_over_a_segment_without_length_has_no_length():
    graph = graph_of("T1 A B 10, T2 B C -")
    steps = graph.shortest(graph.points["A"], graph.points["C"])
    assert route_of(steps).length_mm is None
    assert (steps[1].from_mm, steps[1].to_mm, steps[1].length_mm) == (None, None, None)


def test_a_long_chain_and_a_star_are_walked_without_a_search():
    chain = graph_of(", ".join(f"T{n} P{n} P{n + 1} 1" for n in range(3000)))
    assert len(chain.shortest(chain.points["P0"], chain.points["P3000"])) == 3000
    star = graph_of(", ".join(f"T{n} P0 P{n + 1} 1" for n in range(3000)))
    assert way(star, "P7", "P9") == "-T6 +T8"
    assert chain.ways == star.ways == {}


def test_lengths_are_added_exactly():
    graph = graph_of(", ".join(f"T{n} P{n} P{n + 1} 0.1" for n in range(10)))
    assert route_of(graph.shortest(graph.points["P0"], graph.points["P10"])).length_mm == 1.0
    assert sum([0.1] * 10) != 1.0   # plain addition would not do
