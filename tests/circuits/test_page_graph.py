"""The graph of a page: every strand a wire, every contact a port, nothing in a circle."""

from __future__ import annotations

from random import Random

import networkx as nx
import pytest

from harnessdoc.circuits.page_graph import longest_way
from harnessdoc.diagram.frame import check
from harnessdoc.diagram.graph import Wire
from harnessdoc.diagram.levels import levels

from .made import LARGE, described, of_example, page_of


def pages_of(name: str):
    made = of_example(name)
    return [(system.name, page_of(made, system.strands)) for system in made[2]]


@pytest.mark.parametrize("name", LARGE)
def test_every_page_can_be_placed(name):
    """The engine's own check (ends there, on their side, none shared, no circle), and its levels."""
    for _, page in pages_of(name):
        check(page.graph)
        found = levels(page.graph, None)
        assert all(found[wire.upper.node] < found[wire.lower.node] for wire in page.graph.wires.values())


@pytest.mark.parametrize("name", LARGE)
def test_every_strand_is_a_wire_with_the_label_of_its_number(name):
    made = of_example(name)
    for system in made[2]:
        page = page_of(made, system.strands)
        for id in system.strands:
            texts = [piece.text for piece in page.graph.wires[id].label]
            assert id in texts if made[0].all[id].wire else texts == []


LOOP = """
    relays: {K1: {title: relay, contacts: make}}
    devices: {U1: {title: unit, terminals: [1, 2, 3]}, G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}}
    supply: 12 V
    cavities: {U1.1: {signal: output-high}, U1.2: {signal: feed-relay}, U1.3: {signal: ground-power}}
    grounds: {GB1: {metal: body}, GB2: {metal: body}}
    wires:
      1: {from: U1.1, to: K1.86, size: 1 mm2}
      2: {from: K1.85, to: GB1, size: 1 mm2}
      3: {from: G1.+, to: K1.30, size: 10 mm2}
      4: {from: K1.87, to: U1.2, size: 1 mm2}
      5: {from: U1.3, to: GB2, size: 1 mm2}
      6: {from: G1.-, to: GB1, size: 10 mm2}
"""


def test_a_unit_that_pulls_its_own_relay_is_shown_in_parts():
    page = page_of(described(LOOP))
    assert sorted(name for name in page.figures if name.startswith("node:U1")) == ["node:U1#bottom", "node:U1#top"]
    assert page.figures["node:U1#top"].is_part and not page.figures["node:K1"].is_part
    assert nx.is_directed_acyclic_graph(nx.DiGraph((wire.upper.node, wire.lower.node) for wire in page.graph.wires.values()))


def test_wires_from_6_mm2_on_are_wide():
    page = page_of(described(LOOP))
    assert {id: page.graph.wires[id].width for id in "123456"} == {"1": 0.5, "2": 0.5, "3": 0.7, "4": 0.5, "5": 0.5, "6": 0.7}


def test_a_contact_with_several_wires_has_a_bar_before_it():
    page = page_of(of_example("linnet"), ("1", "2", "4"))
    assert page.figures["stud:G1.+"].node.shape == "bar"
    assert {page.graph.wires[id].upper.node for id in "124"} == {"stud:G1.+"}
    assert page.graph.wires["stud:G1.+"].upper.port == "G1.+"


def test_each_ground_wire_has_a_symbol_with_the_grounds_number():
    page = page_of(of_example("linnet"), ("363", "364"))
    assert [(name, figure.node.merge) for name, figure in page.figures.items() if name.startswith("ground:")] == [("ground:GE1:363", "GE1"), ("ground:GE1:364", "GE1")]


def test_halves_of_a_connector_stand_on_one_level_where_no_way_leads_from_one_to_another():
    made = of_example("linnet")
    starting = next(system for system in made[2] if system.name == "starting")
    page = page_of(made, starting.strands)
    ties = {name: figure.node.tie for name, figure in page.figures.items() if name.startswith("node:mate:")}
    below = nx.DiGraph((wire.upper.node, wire.lower.node) for wire in page.graph.wires.values())
    pairs = [(a, b) for a in ties for b in ties if a != b and ties[a] == ties[b]]
    assert pairs and not any(nx.has_path(below, a, b) for a, b in pairs)
    assert len(set(ties.values())) > 1      # the start circuit passes this connector twice


def test_a_thing_shown_in_part_has_a_broken_edge():
    made = of_example("linnet")
    coil = page_of(made, ("201",))
    assert coil.figures["node:K1"].is_part and coil.figures["node:U1"].is_part
    assert not page_of(made, ("101", "501", "502", "503")).figures["node:S1"].is_part


def test_twist_and_shield_lie_over_their_wires():
    made = of_example("linnet")
    pair = page_of(made, ("327", "328"))
    assert {pair.graph.wires[id].lower.node for id in ("327", "328")} == {"mark:pair PR5"}
    cable = page_of(made, ("321", "322", "323"))
    assert cable.graph.wires["323"].lower.port == "drain" and not any(name.startswith("end:") for name in cable.figures)
    assert not any(name.startswith("mark:") for name in page_of(made, ("327",)).figures)


SHIELDED = """
    devices:
      N1: {title: sensor, terminals: [1, 2, 3], sender: 10 ohm to 180 ohm, between: [N1.1, N1.2]}
      U1: {title: unit, terminals: [1, 2, 3]}
    cables: {W1: {shield: foil}}
    wires:
      21: {from: N1.1, to: U1.1, size: 0.5 mm2, cable: W1}
      22: {from: N1.2, to: U1.2, size: 0.5 mm2, cable: W1}
      23: {from: N1.3, to: U1.3, size: 0.5 mm2, cable: W1, core: drain}
"""


def test_a_drain_that_goes_on_is_tied_to_the_shield():
    page = page_of(described(SHIELDED))
    assert [port.name for port in page.figures["mark:cable W1"].node.ports if port.side == "bottom"] == ["out 21", "out 22", "out 23"]
    assert page.graph.wires["23"].lower.port == "in 23"


def test_a_way_too_long_parts_the_unit_on_it():
    made = of_example("linnet")
    cooling = next(system for system in made[2] if system.name == "air conditioning")
    assert "node:U1" in page_of(made, cooling.strands).figures
    assert {"node:U1#top", "node:U1#bottom"} <= set(page_of(made, cooling.strands, 100.0).figures)


LONG = """
    relays: {K1: {title: relay, contacts: make}}
    fuses: {F1: {rating: 5 A, type: blade}, F2: {rating: 5 A, type: blade}, F3: {rating: 5 A, type: blade}}
    devices: {H1: {title: lamp, terminals: [1, 2], between: [H1.1, H1.2], lamp: 5 W at 12 V}, G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}}
    supply: 12 V
    grounds: {GB1: {metal: body}}
    wires:
      1: {from: G1.+, to: F1.1, size: 1 mm2}
      2: {from: F1.2, to: F2.1, size: 1 mm2}
      3: {from: F2.2, to: K1.86, size: 1 mm2}
      4: {from: K1.85, to: GB1, size: 1 mm2}
      5: {from: G1.+, to: K1.30, size: 1 mm2}
      6: {from: K1.87, to: F3.1, size: 1 mm2}
      7: {from: F3.2, to: H1.1, size: 1 mm2}
      8: {from: H1.2, to: GB1, size: 1 mm2}
"""


def test_a_relay_stays_whole_unless_it_may_be_parted():
    """A long way to its coil, and another from its contact: in two pieces these stand side by side."""
    made = described(LONG)
    whole, parted = page_of(made, height=70.0), page_of(made, height=70.0, parts_apart=True)
    assert "node:K1" in whole.figures and not whole.figures["node:K1"].is_part
    pieces = [name for name in parted.figures if name.startswith("node:K1#")]
    assert len(pieces) == 2 and all(parted.figures[name].is_part for name in pieces)
    tall = [longest_way({id: node.height for id, node in page.graph.nodes.items()}, page.graph.wires.values())[1] for page in (whole, parted)]
    assert tall[1] < tall[0]


@pytest.mark.outside("networkx.dag_longest_path_length on the same graph")
@pytest.mark.parametrize("name", LARGE)
def test_the_longest_way_is_the_longest(name):
    for _, page in pages_of(name):
        heights = {id: node.height for id, node in page.graph.nodes.items()}
        graph = nx.DiGraph()
        for id, height in heights.items():
            graph.add_edge((id, "top"), (id, "bottom"), weight=height)
        for wire in page.graph.wires.values():
            graph.add_edge((wire.upper.node, "bottom"), (wire.lower.node, "top"), weight=4.5)
        path, tall = longest_way(heights, page.graph.wires.values())
        assert tall == pytest.approx(nx.dag_longest_path_length(graph))
        assert sum(heights[id] for id in path) + 4.5 * (len(path) - 1) == pytest.approx(tall)


def test_a_graph_of_one_node_has_its_height():
    assert longest_way({"a": 7.0}, ()) == (["a"], 7.0)
    assert longest_way({}, ()) == ([], 0.0)
    assert isinstance(page_of(described(LOOP)).graph.wires["1"], Wire)


BACK = """
    title: wires from a thing back into it
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 8 mohm}}
      G2: {title: alternator, terminals: [B+, B-], between: [G2.B+, G2.B-], alternator: {voltage: 14.2 V, limit: 90 A, field: 4 ohm}}
    fusible-links: {FL1: {rating: 100 A}}
    grounds: {GR1: {metal: body}}
    wires:
      1: {from: G2.B+, to: FL1.1, size: 16 mm2}
      2: {from: FL1.2, to: G1.+, size: 16 mm2}
      3: {from: G2.B-, to: G1.-, size: 16 mm2}
      4: {from: G2.B-, to: G1.-, size: 16 mm2}
      5: {from: G1.-, to: GR1, size: 25 mm2}
    """


def test_a_circle_through_one_part_of_a_thing_comes_in_from_below():
    """The alternator's wires go on to the battery's minus, and on a page without the strap nothing leaves there: the minus stands below all the same."""
    made = described(BACK)
    for ids in (("1", "2", "3", "4"), ("1", "2", "3"), ("1", "2", "3", "4", "5")):
        page = page_of(made, ids)
        check(page.graph)
        assert page.graph.wires["stud:G1.-"].upper.port == "G1.-"
        assert {page.graph.wires[id].lower.node for id in ids if id in "34"} == {"stud:G1.-"}


@pytest.mark.parametrize("name", ["linnet", "heron-linnet"])
def test_any_strands_make_a_page(name):
    """However a system is parted: the engine takes what comes of it, and every strand is a wire on it."""
    made, random = of_example(name), Random(1)
    every = list(made[0].all)
    for _ in range(60):
        ids = tuple(id for id in every if random.random() < 0.15)
        page = page_of(made, ids)
        check(page.graph)
        assert set(ids) <= set(page.graph.wires)
