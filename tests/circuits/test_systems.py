"""Systems: every wire on a page, and every path on a page whole."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx
import pytest

from harnessdoc.circuits.systems import Served
from harnessdoc.model.harness import Kind

from .made import LARGE, described, of_example


@pytest.mark.parametrize("name", [*LARGE, "first-wires", "trailer-lead", "diagnostic-socket", "first-merge"])
def test_every_wire_is_on_a_page(name):
    strands, _, systems = of_example(name)
    shown = {id for system in systems for id in system.strands}
    assert set(strands.harness.wires) <= shown


def copper(strands, ids) -> nx.Graph:
    """Contacts joined by some strands and by the halves of connectors between these."""
    graph = nx.Graph((strands.all[id].a, strands.all[id].b) for id in ids)
    graph.add_edges_from([pair for pair in strands.mate.items() if set(pair) <= set(graph)])
    return graph


def cut_returns(strands, systems) -> Iterator[tuple[str, str, str]]:
    """(system, device, contact) where a load has a wire on a page, and the copper that leads from its other end to ground is not all there."""
    whole = copper(strands, strands.all)
    for system in systems:
        page = copper(strands, system.strands)
        for device in strands.harness.devices.values():
            between = [device.between] if device.load and device.between else []
            for ends in (*between, *(load.between for load in device.loads.values())):
                for end, other in (ends, ends[::-1]):
                    grounds = {ground for ground in strands.harness.grounds if end in whole and ground in whole and nx.has_path(whole, end, ground)}
                    if other in page and grounds and not any(end in page and ground in page and nx.has_path(page, end, ground) for ground in grounds):
                        yield system.name, device.id, end


@pytest.mark.parametrize("name", LARGE)
def test_the_way_from_each_load_to_its_ground_is_whole_on_each_page(name):
    strands, _, systems = of_example(name)
    assert list(cut_returns(strands, systems)) == []


def test_a_return_that_is_left_out_is_seen():
    from dataclasses import replace

    strands, _, systems = of_example("linnet")
    cooling = next(system for system in systems if system.name == "cooling")
    without = replace(cooling, strands=tuple(id for id in cooling.strands if id != "213"))
    assert list(cut_returns(strands, [without])) == [("cooling", "M2", "X22.2")]


@pytest.mark.parametrize("name", LARGE)
def test_every_feed_on_a_page_begins_at_a_bar_a_battery_or_a_contact_that_others_share(name):
    """From every fuse on a page there is a strand to its supply side, but on the page of the supply."""
    strands, directions, systems = of_example(name)
    served = Served(strands, directions)
    for system in systems:
        ends = {end for id in system.strands for end in (strands.all[id].a, strands.all[id].b)}
        for part in strands.harness.parts.values():
            upper, lower = sorted((f"{part.id}.{name}" for name in part.terminals[:2]), key=directions.rank.__getitem__)
            if part.kind == "fuse" and lower in ends and strands.at.get(upper) and system.name != served.supply:
                assert upper in ends, (system.name, part.id)


def test_what_feeds_many_systems_is_the_supply():
    strands, directions, systems = of_example("linnet")
    assert systems[0].name == "supply"
    assert {"4", "5", "101", "502"} <= set(systems[0].strands)
    assert systems[0].strands.count("213") == 0


def test_a_ground_splice_does_not_bring_all_that_share_it():
    _, _, systems = of_example("heron")
    cooling = next(system for system in systems if system.name == "cooling")
    assert "130" in cooling.strands and "128" not in cooling.strands      # the splice's wire to ground, and that of a head lamp


NO_SYSTEMS = """
    devices:
      H1: {title: lamp, terminals: [1, 2]}
      H2: {title: lamp, terminals: [1, 2]}
      H3: {title: lamp, terminals: [1, 2]}
    %s
    wires:
      1: {from: H1.1, to: H2.1, size: 1 mm2%s}
      2: {from: H1.2, to: H2.2, size: 1 mm2}
      3: {from: H3.1, to: H3.2, size: 1 mm2}
"""


def test_a_description_without_systems_is_one():
    _, _, systems = described(NO_SYSTEMS % ("", ""))
    assert [(system.name, system.strands) for system in systems] == [("", ("1", "2", "3"))]


def test_a_wire_without_system_goes_where_its_things_are():
    strands, _, systems = described(NO_SYSTEMS % ("circuits: {a: {system: lights}}", ", circuit: a"))
    assert ("1", "2") == next(system.strands for system in systems if system.name == "lights")[:2]
    assert set(strands.all) == {id for system in systems for id in system.strands}


def test_a_ground_strap_goes_to_the_supply():
    strands, _, systems = of_example("linnet")
    straps = [id for id, strand in strands.all.items() if strands.kind(strand.a) is strands.kind(strand.b) is Kind.GROUND]
    assert straps == ["8"] and "8" in systems[0].strands


TWO_CONTACTS = """
    supply: 12 V
    circuits: {a: {system: horn}, b: {system: lights}}
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V}}
      S1: {title: switch, terminals: [1, 2, 3, 4], closes: {pressed: [[S1.1, S1.2], [S1.3, S1.4]]}}
      H1: {title: horn, terminals: [1, 2], between: [H1.1, H1.2], load: 5 ohm}
      H2: {title: lamp, terminals: [1, 2], between: [H2.1, H2.2], lamp: 5 W at 12 V}
    grounds: {GB1: {metal: body}, GB2: {metal: body}}
    wires:
      1: {from: G1.+, to: H1.1, size: 1 mm2, circuit: a}
      2: {from: H1.2, to: S1.1, size: 1 mm2, circuit: a}
      3: {from: S1.2, to: GB1, size: 1 mm2}
      4: {from: G1.+, to: H2.1, size: 1 mm2, circuit: b}
      5: {from: H2.2, to: S1.3, size: 1 mm2, circuit: b}
      6: {from: S1.4, to: GB2, size: 1 mm2}
      7: {from: G1.-, to: GB2, size: 10 mm2}
"""


def test_a_contact_on_the_way_to_ground_brings_its_ground_and_not_that_of_another():
    _, _, systems = described(TWO_CONTACTS)
    pages = {system.name: set(system.strands) for system in systems}
    assert pages["horn"] & set("1234567") == set("123") and pages["lights"] & set("123456") == set("456")
