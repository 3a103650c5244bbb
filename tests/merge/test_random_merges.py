"""Random merges: the copper of the merged harness against a graph made of the raw lists alone."""

from __future__ import annotations

import random

import networkx
import pytest
from merge.vehicles import HEAD, texts

from harnessdoc.steps import Loaded, load

SEEDS = range(24)


def vehicle(rng: random.Random, convention: str) -> tuple[str, dict[str, tuple[str, str]]]:
    """A description of some connectors, splices and a ground, and its wires: id -> ends."""
    colours = {"DIN 47002": ["rt", "sw", "br", "bl/gn"], "Japanese trade": ["R", "B", "W-L", "G"]}[convention]
    sizes = [rng.randint(2, 6) for _ in range(rng.randint(2, 5))]
    cavities = [f"X{n}.{cavity}" for n, size in enumerate(sizes, 1) for cavity in range(1, size + 1)]
    rng.shuffle(cavities)
    splices = [f"S{n}" for n in range(1, rng.randint(2, 4))]
    wires: dict[str, tuple[str, str]] = {}
    while len(cavities) >= 2:
        start = cavities.pop()
        end = rng.choice([*splices, "G1", cavities[-1], cavities[-1]])
        if end == cavities[-1]:
            cavities.pop()
        wires[str(len(wires) + 1)] = (start, end)
    lines = [f"colours: {convention}", "connectors:", *(f"  X{n}: {{face: [[1..{size}]], view: wire side}}" for n, size in enumerate(sizes, 1)),
             "grounds:", "  G1: {metal: body}", "splices:", *(f"  {splice}: {{}}" for splice in splices),
             "wires:", *(f"  {id}: {{from: {start}, to: {end}, size: 1 mm2, colour: {rng.choice(colours)}}}" for id, (start, end) in wires.items())]
    return "\n".join(lines) + "\n", wires


def joins_of(rng: random.Random, host: dict[str, tuple[str, str]], donor: dict[str, tuple[str, str]]) -> dict[str, tuple[str, str, str]]:
    """Number -> end of the host, end of the donor, whose wire is cut; every wire is joined at one end at most, now and then at both."""
    free = [[(id, side) for id, ends in wires.items() for side in (0, 1) if ends[side][0] == "X"] for wires in (host, donor)]
    joins = {}
    for number in range(1, rng.randint(2, 6)):
        if not all(free):
            break
        (host_wire, host_side), (donor_wire, donor_side) = (ends.pop(rng.randrange(len(ends))) for ends in free)
        joins[f"J{number}"] = (f"host/{host[host_wire][host_side]}", f"donor/{donor[donor_wire][donor_side]}", rng.choice(["both", "host", "donor", "none"]))
    return joins


def expected(vehicles: dict[str, dict[str, tuple[str, str]]], joins: dict[str, tuple[str, str, str]], removed: set[str]) -> networkx.Graph:
    """The copper by the raw lists: a wire that no join touches is an edge; of one that is cut the end that stays leads to the join; of one that is tapped both do."""
    graph = networkx.Graph()
    at: dict[tuple[str, str], list[tuple[str, bool]]] = {}
    for number, (host, donor, cut) in joins.items():
        for address in (host, donor):
            name = address.partition("/")[0]
            at[name, address] = [*at.get((name, address), []), (number, cut in ("both", name))]
            graph.add_edge(address, number)
    for name, wires in vehicles.items():
        for id, (start, end) in wires.items():
            ends = [f"{name}/{start}", f"{name}/{end}"]
            graph.add_nodes_from(ends)
            if f"{name}/{id}" in removed:
                continue
            touched = [at.get((name, address), [])[:1] if address.split("/")[1][0] == "X" else [] for address in ends]
            if not any(cut for one in touched for _, cut in one):
                # from end to end, past the joins that tap it
                way = [ends[0], *(number for number, _ in touched[0]), *(number for number, _ in touched[1]), ends[1]]
                networkx.add_path(graph, way)
    return graph


def merge_of(seed: int) -> tuple[Loaded, networkx.Graph, dict[str, tuple[str, str, str]]]:
    rng = random.Random(seed)
    host_text, host = vehicle(rng, "DIN 47002")
    donor_text, donor = vehicle(rng, "Japanese trade")
    joins = joins_of(rng, host, donor)
    joined = {address for host_end, donor_end, _ in joins.values() for address in (host_end, donor_end)}
    removed = {f"{name}/{id}" for name, wires in (("host", host), ("donor", donor)) for id, ends in wires.items()
               if not {f"{name}/{end}" for end in ends} & joined and rng.random() < 0.2}
    lines = ["fates:", "  - {fate: kept, pattern: host/*}", *(f"  - {{fate: removed, wire: {wire}}}" for wire in sorted(removed)),
             "joins:", *(f"  {number}: {{ends: [{host_end}, {donor_end}], cut: {cut}}}" for number, (host_end, donor_end, cut) in joins.items())]
    loaded = load("merge.yaml", texts(HEAD + "\n".join(lines) + "\n", host_text, donor_text), solve=False)
    return loaded, expected({"host": host, "donor": donor}, joins, removed), joins


def copper(loaded: Loaded) -> set[frozenset[str]]:
    """The islands of more than one contact; what left the harness has no contact."""
    return {frozenset(island) for island in loaded.network.islands if len(island) > 1}


@pytest.mark.outside("networkx: connected components of the raw wire lists, cut and joined")
@pytest.mark.parametrize("seed", SEEDS)
def test_the_copper_is_that_of_the_raw_lists(seed):
    loaded, graph, _ = merge_of(seed)
    assert not [finding for finding in loaded.findings if finding.severity.word == "error" and finding.code != "cavity-used-twice"]
    there = frozenset(loaded.harness.contacts)
    assert copper(loaded) == {frozenset(component) & there for component in networkx.connected_components(graph) if len(component & there) > 1}


def test_the_generator_makes_each_kind():
    kinds = {cut for seed in SEEDS for _, _, cut in merge_of(seed)[2].values()}
    assert kinds == {"both", "host", "donor", "none"}
    halves = [half for seed in SEEDS for half in merge_of(seed)[0].merge.far_halves.values()]
    assert any(len(half.joins) == 2 for half in halves) and any(half.hangs for half in halves)
    assert any("removed" in decision.fate.value for seed in SEEDS for decision in merge_of(seed)[0].merge.decisions.values())


@pytest.mark.parametrize("seed", SEEDS)
def test_the_same_files_give_the_same_merge(seed):
    first, second = merge_of(seed)[0], merge_of(seed)[0]
    assert list(first.harness.wires) == list(second.harness.wires)
    assert first.findings == second.findings
