"""Pages: what may be cut is cut, what may not be is whole, and nothing is lost."""

from __future__ import annotations

import pytest

from harnessdoc.circuits.pages import UNIT_PINS, may_fit, split
from harnessdoc.model.harness import Kind

from .made import of_example, page_of


def parted(name: str, system: str, most: int):
    """The pages of a system if a page held so many strands and no more."""
    made = of_example(name)
    ids = next(one.strands for one in made[2] if one.name == system)
    return made[0], ids, split(made[0], ids, lambda group: page_of(made, group), lambda page: len(page.strands) <= most, 259.0, 145.0)


@pytest.mark.parametrize("name, system, most", [("linnet", "engine management", 30), ("heron", "lights", 30), ("heron", "camper", 20)])
def test_no_strand_is_lost_or_twice(name, system, most):
    _, ids, groups = parted(name, system, most)
    assert len(groups) > 1
    assert sorted(id for group in groups for id in group) == sorted(ids)
    assert all(len(group) <= most for group in groups)


@pytest.mark.parametrize("name, system, most", [("linnet", "engine management", 30), ("heron", "lights", 30), ("heron", "camper", 20)])
def test_cuts_are_at_splices_bars_grounds_connectors_and_units(name, system, most):
    strands, _, groups = parted(name, system, most)
    page_of_thing: dict[str, int] = {}
    for number, group in enumerate(groups):
        for id in group:
            for end in (strands.all[id].a, strands.all[id].b):
                owner = strands.owner(end)
                may = strands.kind(end) in (Kind.SPLICE, Kind.BAR, Kind.GROUND) or end in strands.mate or (owner not in strands.harness.parts and len(strands.of_owner[owner]) >= UNIT_PINS)
                assert may or page_of_thing.setdefault(owner, number) == number, owner


def test_a_system_that_fits_is_one_page():
    _, ids, groups = parted("heron", "lights", 1000)
    assert len(groups) > 1      # its ink alone is more than a page's
    _, ids, groups = parted("linnet", "fuel", 1000)
    assert groups == [ids]


def test_the_estimate_knows_height_and_ink():
    made = of_example("linnet")
    graph = page_of(made, next(one.strands for one in made[2] if one.name == "fuel")).graph
    assert may_fit(graph, 259.0, 145.0)
    assert not may_fit(graph, 259.0, 60.0) and not may_fit(graph, 60.0, 145.0)
