"""The steps of the placement against plain ways of reckoning the same, and against networkx."""

from __future__ import annotations

from itertools import permutations

import networkx as nx
import numpy as np
import pytest
from diagram.trial_page import PAGE, full_page, lamps, random_graph, two_pole

from harnessdoc.diagram.across import Wish
from harnessdoc.diagram.frame import frame
from harnessdoc.diagram.graph import End, Graph, Wire
from harnessdoc.diagram.label_places import choose
from harnessdoc.diagram.down import stack
from harnessdoc.diagram.levels import levels, roomy_levels, row_widths
from harnessdoc.diagram.order import first_rows, electric_groups
from harnessdoc.diagram.place import Maker
from harnessdoc.diagram.relabel import heights
from harnessdoc.diagram.sorter import Sorter, sift

GRAPHS = [random_graph(seed, 30) for seed in (1, 4, 9)] + [full_page()]


@pytest.mark.outside("networkx: longest paths of the same graph")
@pytest.mark.parametrize("number", range(len(GRAPHS)))
def test_every_wire_runs_down_and_the_page_has_no_more_levels_than_its_longest_way(number: int) -> None:
    graph = GRAPHS[number]
    found = levels(graph)
    assert all(found[wire.upper.node] < found[wire.lower.node] for wire in graph.wires.values())
    way = nx.dag_longest_path_length(nx.DiGraph([(wire.upper.node, wire.lower.node) for wire in graph.wires.values()]))
    assert way <= max(found.values()) <= way + 2


def test_cavities_of_a_connector_share_a_level_and_a_row_too_wide_is_relieved() -> None:
    graph = lamps(14)
    plain, roomy = levels(graph), roomy_levels(graph, PAGE[0])
    assert len({roomy[f"C1 {number}"] for number in range(1, 15)}) == 1
    assert max(row_widths(graph, plain)) > PAGE[0] >= max(row_widths(graph, roomy))


def test_a_cavity_waits_for_the_other_of_its_connector() -> None:
    nodes = [two_pole("C a", "", 9.0, 6.0, 1.6, tie="C"), two_pole("C b", "", 9.0, 6.0, 1.6, tie="C"), two_pole("F", "", 14.0, 6.6, 1.6),
             two_pole("A", "", 9.0, 6.0, 1.6), two_pole("B", "", 9.0, 6.0, 1.6)]
    ways = [("A", "C a"), ("B", "F"), ("F", "C b")]
    found = levels(Graph({node.id: node for node in nodes}, {f"{a}-{b}": Wire(f"{a}-{b}", End(a, "2"), End(b, "1")) for a, b in ways}))
    assert found["C a"] == found["C b"] == found["F"] + 1 == 2


def test_the_count_of_crossings_is_that_of_every_pair() -> None:
    of = frame(GRAPHS[0], levels(GRAPHS[0]))
    sorter = Sorter(of)
    sorter.take(first_rows(of, electric_groups(of)))
    keys = sorter.keys()
    by_hand = sum((keys[a] - keys[c]) * (keys[b] - keys[d]) < -1e-9 for channel in of.pieces for i, (_, a, b) in enumerate(channel) for _, c, d in channel[:i])
    assert sorter.crossings() == by_hand > 0
    sorter.settle()
    assert sorter.crossings() < by_hand


def test_sifting_to_its_end_is_near_the_best_of_all_orders() -> None:
    dice = np.random.default_rng(5)
    exact = 0
    for _ in range(40):
        cost = dice.integers(0, 5, (6, 6)).astype(float)

        def total(order: tuple[int, ...] | list[int], cost: np.ndarray = cost) -> float:
            return float(sum(cost[a, b] for i, a in enumerate(order) for b in order[i + 1:]))

        order = list(range(6))
        now = cost
        while (better := sift(now, [True] * 6, np)) is not None:
            after = [order[slot] for slot in better]
            assert total(after) < total(order)
            order, now = after, cost[np.ix_(after, after)]
        best = min(total(way) for way in permutations(range(6)))
        exact += total(order) == best
        assert total(order) <= best + 4
    assert exact >= 20


@pytest.mark.outside("networkx: longest path of the stack")
def test_the_heights_are_longest_paths_and_a_label_moved_is_reckoned_exactly() -> None:
    of = frame(GRAPHS[1], levels(GRAPHS[1]))
    maker = Maker(of, *PAGE)
    sorter = Sorter(of)
    sorter.take(first_rows(of, electric_groups(of)))
    sorter.settle()
    page = maker.page(sorter.give(), Wish())
    assert page is not None
    piled = page.stack
    graph = nx.DiGraph()
    for owner, low in enumerate(piled.floor):
        graph.add_edge("top", owner, weight=low)
        graph.add_edge(owner, "foot", weight=piled.height[owner])
        graph.add_weighted_edges_from((owner, lower, gap) for lower, gap in piled.edges[owner])
    y, _ = piled.earliest()
    assert piled.total(y)[0] == pytest.approx(nx.dag_longest_path_length(graph))
    slots, asked, _ = choose(of, page.at, page.channels, maker.shapes, PAGE[0])
    piled = stack(of, page.at, page.channels, slots)
    checked = 0
    for number in range(0, len(slots), 3):
        for choice in asked[number][:4]:
            turned = [*slots[:number], choice.slot, *slots[number + 1:]]
            again = stack(of, page.at, page.channels, turned)
            told = heights(piled, piled.label_at[number], [choice.slot])[0]
            owner = again.label_at[number]
            assert told == pytest.approx(again.earliest()[0][owner] + again.latest()[owner])
            checked += 1
    assert checked > 20
