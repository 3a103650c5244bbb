"""Connectivity and routes of random harnesses against networkx, which reads the raw lists."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harnessdoc.geometry.measure import measure
from harnessdoc.network.continuity import check_list
from harnessdoc.network.far_ends import far_ends
from harnessdoc.network.islands import connect
from harnessdoc.network.trace import trace
from helpers import harness_of
from strategies import ENDS_UNKNOWN, Raw, raw_harnesses

CONNECTIVITY = pytest.mark.outside("networkx: connected components of the raw wire list")
ROUTES = pytest.mark.outside("networkx: shortest path lengths on the raw segment list")
PROPERTY = settings(max_examples=150, deadline=None, derandomize=True)


def copper(raw: Raw, unplugged: bool) -> nx.Graph:
    """Contacts joined by wires and bars; plugged together also by mated halves and links."""
    graph = nx.Graph()
    graph.add_nodes_from([*raw.cavities, *raw.splices, *(f"B1.{bar}" for bar in raw.bars)])
    graph.add_edges_from((a, b) for _, a, b in raw.wires if b not in ENDS_UNKNOWN)
    graph.add_edges_from((f"B1.{bar}", address) for bar, addresses in raw.bars.items() for address in addresses)
    if not unplugged:
        graph.add_edges_from(raw.links)
        for a, b in raw.mates:
            graph.add_edges_from((f"{a}.{n + 1}", f"{b}.{n + 1}") for n in range(raw.connectors[a][1]))
    return graph


def bundle(raw: Raw) -> nx.MultiGraph:
    """Points and splices joined by segments; a splice on a segment cuts it."""
    graph = nx.MultiGraph()
    for name, a, b, mm in raw.segments:
        cuts = sorted((where[1], splice) for splice, where in raw.splices.items() if isinstance(where, tuple) and where[0] == name)
        stations = [(0, a), *cuts, (mm, b)]
        for (start, one), (stop, other) in pairwise(stations):
            graph.add_edge(one, other, weight=stop - start)
    return graph


def place(raw: Raw, address: str) -> str:
    if address in raw.splices:
        where = raw.splices[address]
        return where if isinstance(where, str) else address
    return raw.connectors[address.split(".")[0]][0]


@CONNECTIVITY
@PROPERTY
@given(raw_harnesses(), st.booleans())
def test_islands_are_the_connected_components(raw: Raw, unplugged: bool):
    network = connect(harness_of(raw.text()), unplugged)
    expected = {frozenset(component) for component in nx.connected_components(copper(raw, unplugged))}
    assert set(map(frozenset, network.islands)) == expected


@CONNECTIVITY
@PROPERTY
@given(raw_harnesses())
def test_far_ends_are_the_contacts_around_the_splices(raw: Raw):
    harness = harness_of(raw.text())
    wires = nx.MultiGraph()
    wires.add_nodes_from([*raw.cavities, *raw.splices])
    # each unknown or open end a node of its own
    wires.add_edges_from((a, (name, b) if b in ENDS_UNKNOWN else b) for name, a, b in raw.wires)
    for address in raw.cavities:
        inner = nx.node_connected_component(wires.subgraph([address, *raw.splices]), address)
        around = {other for node in inner for other in wires[node]} - inner
        found = far_ends(harness, address)
        assert sorted(end.address for end in found) == sorted(node[1] if isinstance(node, tuple) else node for node in around)
        for end in found:
            # the wires told of lead there, splice by splice
            here = address
            for wire, splice in zip(end.wires, [*end.splices, end.address], strict=True):
                assert {here, splice} == {harness.wires[wire].from_, harness.wires[wire].to}
                here = splice


@CONNECTIVITY
@PROPERTY
@given(raw_harnesses(), st.data())
def test_a_trace_holds_its_component_and_every_wire_of_it(raw: Raw, data: st.DataObject):
    harness = harness_of(raw.text())
    start = data.draw(st.sampled_from([*raw.cavities, *raw.splices]))
    component = nx.node_connected_component(copper(raw, False), start)
    steps = trace(harness, connect(harness), start).steps
    assert {start, *(step.to for step in steps if step.to not in ENDS_UNKNOWN)} == component
    wires = [step.id for step in steps if step.kind == "wire"]
    assert sorted(wires) == sorted(name for name, a, b in raw.wires if a in component)


@CONNECTIVITY
@PROPERTY
@given(raw_harnesses())
def test_the_check_sheet_spans_every_component_once(raw: Raw):
    harness = harness_of(raw.text())
    graph = copper(raw, True)
    ends = {*raw.cavities, *(f"B1.{bar}" for bar in raw.bars if any(f"B1.{bar}" in wire[1:] for wire in raw.wires))}
    paths = check_list(harness).paths
    joined = nx.Graph([(path.from_, path.to) for path in paths])
    expected = {frozenset(component & ends) for component in nx.connected_components(graph) if len(component & ends) > 1}
    assert {frozenset(component) for component in nx.connected_components(joined)} == expected
    assert len(paths) == sum(len(component) - 1 for component in expected)
    for path in paths:
        here = path.from_
        for step in [*(step for step in path.through if step not in harness.wires), path.to]:
            assert graph.has_edge(here, step)
            here = step
        assert len(path.through) >= nx.shortest_path_length(graph, path.from_, path.to) - 1


@CONNECTIVITY
@PROPERTY
@given(raw_harnesses())
def test_neighbours_that_must_not_ring_are_not_joined(raw: Raw):
    graph = copper(raw, True)
    wired = {end for _, a, b in raw.wires for end in (a, b)}
    expected = {(a, b) for name, (_, count) in raw.connectors.items() for n in range(1, count)
                if (a := f"{name}.{n}") in wired and (b := f"{name}.{n + 1}") in wired and not nx.has_path(graph, a, b)}
    found = [pair for check in check_list(harness_of(raw.text())).neighbours for pair in check.pairs]
    assert len(found) == len(set(found)) and set(found) == expected


@ROUTES
@PROPERTY
@given(raw_harnesses())
def test_every_route_is_the_shortest_path(raw: Raw):
    geometry = measure(harness_of(raw.text()))
    graph = bundle(raw)
    apart = []
    for name, a, b in raw.wires:
        length = geometry.lengths[name]
        if b in ENDS_UNKNOWN:
            assert length.routed_mm is None
        elif nx.has_path(graph, place(raw, a), place(raw, b)):
            assert length.routed_mm == pytest.approx(nx.dijkstra_path_length(graph, place(raw, a), place(raw, b)), abs=1e-6)
        else:
            assert length.routed_mm is None
            apart.append(f"wire {name} from {a} to {b}:")
    assert [finding.message.split(": ")[0] + ":" for finding in geometry.findings] == apart


@ROUTES
@PROPERTY
@given(raw_harnesses())
def test_every_route_is_one_unbroken_way_and_the_bundles_hold_it(raw: Raw):
    geometry = measure(harness_of(raw.text()))
    ends = {name: (a, b, mm) for name, a, b, mm in raw.segments}
    filled: dict[str, set[str]] = {name: set() for name in ends}
    for name, a, b in raw.wires:
        route = geometry.lengths[name].route
        if route is None:
            continue

        def at(segment: str, mm: float) -> object:
            one, other, length = ends[segment]
            return one if mm == 0 else other if mm == length else (segment, mm)

        def where(address: str) -> object:
            return raw.splices[address] if address in raw.splices else place(raw, address)

        here = where(a)
        for step in route.steps:
            assert at(step.segment, step.from_mm) == here
            here = at(step.segment, step.to_mm)
            filled[step.segment].add(name)
        assert here == where(b)
    assert {name: set(found.wires) for name, found in geometry.bundles.items()} == filled
    for segment, found in geometry.bundles.items():
        assert (found.stretches[0].from_mm, found.stretches[-1].to_mm) == (0, ends[segment][2])
