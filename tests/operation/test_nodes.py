"""Nodes: copper without a length is one point; wires are not; metals; the poles; airbag circuits."""

from __future__ import annotations

import networkx as nx
import pytest
from examples.raw import cavities_of, whole
from operation.operated import BATTERY, BENCH, LINNET, described, loaded, operated, wires

from harnessdoc import steps

RAW = whole("linnet")


@pytest.fixture(scope="module")
def linnet():
    return steps.load(LINNET)


def joints_of_raw() -> nx.Graph:
    """Bars and mated halves of the Linnet, read by PyYAML; it has no links."""
    graph = nx.Graph()
    for name, box in RAW["boxes"].items():
        graph.add_edges_from((f"{name}.{bar}", address) for bar, members in box.get("bars", {}).items() for address in members)
    for name, connector in RAW["connectors"].items():
        if "mates" in connector:
            graph.add_edges_from((f"{name}.{cavity}", f"{connector['mates']}.{cavity}") for cavity in cavities_of(connector["face"]))
    return graph


@pytest.mark.outside("networkx: connected components of bars and mated halves of the raw description")
def test_the_nodes_of_the_linnet(linnet):
    of = linnet.operation.wiring.nodes.of
    graph = joints_of_raw()
    graph.add_nodes_from(of)
    assert set(graph) == set(linnet.harness.contacts)
    ours: dict[str, set[str]] = {}
    for address, node in of.items():
        ours.setdefault(node, set()).add(address)
    assert sorted(map(sorted, ours.values())) == sorted(map(sorted, nx.connected_components(graph)))
    assert all(node in members for node, members in ours.items())


@pytest.mark.outside("networkx: the multigraph of the raw wire list over those components")
def test_the_wires_of_the_linnet_join_what_the_list_says(linnet):
    component = {address: frozenset(members) for members in nx.connected_components(joints_of_raw()) for address in members}
    expected, ours = nx.MultiGraph(), nx.MultiGraph()
    for name, wire in RAW["wires"].items():
        if not {"unknown", "open"} & {wire["from"], wire["to"]} and RAW["circuits"].get(wire.get("circuit", ""), {}).get("pulsed") != "true":
            expected.add_edge(*(component.get(wire[end], frozenset((wire[end],))) for end in ("from", "to")), key=f"wire {name}")
    of = linnet.operation.wiring.nodes.of
    members: dict[str, frozenset[str]] = {node: frozenset(address for address in of if of[address] == node) for node in of.values()}
    for element in linnet.operation.wiring.elements:
        if element.id.startswith("wire "):
            ours.add_edge(members[element.a], members[element.b], key=element.id)
    assert len(ours.edges) == len(expected.edges) > 140
    assert {(frozenset((a, b)), key) for a, b, key in ours.edges(keys=True)} == {(frozenset((a, b)), key) for a, b, key in expected.edges(keys=True)}


def test_links_join_and_wires_do_not():
    of = operated(described(BATTERY, "U1: {terminals: [1, 2, 3], links: [[U1.1, U1.2]]}", wires=wires("U1.2 U1.3"))).wiring.nodes.of
    assert (of["U1.1"], of["U1.2"], of["U1.3"]) == ("U1.1", "U1.1", "U1.3")


def test_metals_are_nodes_and_that_of_the_battery_is_its_minus():
    nodes = operated(described(BATTERY)).wiring.nodes
    assert (nodes.metal("engine"), nodes.metal("body"), nodes.metal(None), nodes.metal("battery")) == ("engine metal", "body metal", "body metal", "G1.-")


@pytest.mark.parametrize("devices, plus, minus", [
    ((BENCH, BATTERY), "G1.+", "G1.-"),
    (("A1: {terminals: [B, case], between: [A1.B, A1.case], alternator: {voltage: 14 V}}", BENCH), "T1.+", "T1.-"),
    (("A1: {terminals: [B, case], between: [A1.B, A1.case], alternator: {voltage: 14 V}}",), "A1.B", "A1.case"),
])
def test_the_poles_are_those_of_the_battery_else_of_what_stands_in_for_it(devices, plus, minus):
    nodes = operated(described(*devices)).wiring.nodes
    assert (nodes.plus, nodes.reference) == (plus, minus)


def test_a_supply_that_stands_nowhere_is_passed_over():
    text = described('G1: {terminals: ["+", "-"], between: [G1.+, G1.9], battery: {}}', BENCH)
    found = steps.load("main.yaml", {"main.yaml": text})
    assert [finding.code for finding in found.findings] == ["no-such-cavity"]
    assert found.operation.wiring.nodes.plus == "T1.+"
    assert [element.id for element in found.operation.solved["off, stopped"].circuit.elements] == ["test supply T1"]


def test_without_a_supply_nothing_is_solved():
    assert loaded(described("U1: {terminals: [1, 2]}")).operation is None


def test_airbag_circuits_are_off_with_all_their_copper():
    text = described(BATTERY, "U9: {terminals: [1, 2, 3]}", "R9: {terminals: [1, 2], between: [R9.1, R9.2], load: 2 ohm}",
                     cavities="U9.1: {signal: airbag}", splices="S1: {title: in the line}", wires=wires("U9.1 S1", "S1 R9.1", "R9.2 G1.-"))
    operation = operated(text)
    assert operation.wiring.nodes.off == {"U9.1", "S1", "R9.1"}
    read = operation.read(operation.solved["off, stopped"], ["U9.1", "S1", "R9.1", "R9.2", "G1.+"])
    assert (read["U9.1"], read["S1"], read["R9.1"]) == (None, None, None)
    assert read["R9.2"] == 0.0 and read["G1.+"] is not None
    assert operation.read(operation.solved["off, stopped"], ["G1.+"], "S1") == {"G1.+": None}
    assert [(aside.thing, aside.words) for aside in operation.wiring.left_out] == [
        ("wire w1", "airbag circuit"), ("wire w2", "airbag circuit"), ("load R9", "airbag circuit")]
