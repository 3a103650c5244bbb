"""Sleeves, heat-shrink, fuses, relay terminals."""

from __future__ import annotations

import pytest

from harnessdoc.trade.fuses import fuse_colour, fuse_types
from harnessdoc.trade.relays import RELAY_TERMINALS, terminals
from harnessdoc.trade.sleeves import shrink_for, shrinks, sleeve_for, sleeves


@pytest.mark.parametrize(
    ("total_mm2", "name"),
    [
        (0.4, None),
        (0.5, "sleeve 0.5 to 0.8 mm²"),
        (0.1 + 0.7, "sleeve 0.5 to 0.8 mm²"),
        (0.9, None),
        (1.0, "sleeve 1 to 2 mm²"),
        (2.0, "sleeve 1 to 2 mm²"),
        (2.5, None),
        (3.0, "sleeve 3 to 5 mm²"),
        (5.0, "sleeve 3 to 5 mm²"),
        (5.5, None),
        (10.0, "sleeve 6 to 10 mm²"),
        (10.01, "sleeve 10 to 16 mm²"),
        (16.5, None),
    ],
)
def test_the_sleeve_whose_range_holds_the_copper(total_mm2, name):
    found = sleeve_for(total_mm2)
    assert (found and found.name) == name


def test_sleeves_of_the_makers_book_are_told_from_practice():
    assert [s.mark for s in sleeves()] == ["READ", "READ", "READ", "PRACTICE", "PRACTICE"]


@pytest.mark.parametrize(
    ("largest_mm", "smallest_mm", "sealed", "name"),
    [
        (2.0, 1.5, False, "2.4/1.2 mm, 2:1"),
        (2.1, 2.0, False, "3.2/1.6 mm, 2:1"),
        (5.0, 2.5, False, "6/2 mm, 3:1, adhesive"),
        (5.0, 4.0, False, "6.4/3.2 mm, 2:1"),
        (5.0, 4.0, True, "6/2 mm, 3:1, adhesive"),
        (5.0, 2.4, False, "6/1.5 mm, 4:1, adhesive"),
        (5.0, 1.8, False, None),
        (2.0, 1.4, False, "3/1 mm, 3:1, adhesive"),
        (40.0, 35.0, False, "52/13 mm, 4:1, adhesive"),
        (45.0, 35.0, False, None),
    ],
)
def test_the_tube_that_passes_and_grips(largest_mm, smallest_mm, sealed, name):
    found = shrink_for(largest_mm, smallest_mm, sealed)
    assert (found and found.name) == name


def test_a_tube_shrinks_by_its_ratio():
    for tube in shrinks():
        assert tube.supplied_mm / tube.recovered_mm == pytest.approx(float(tube.ratio.split(":")[0]), rel=0.02)


def test_fuses():
    assert fuse_types() == ("blade", "mini", "low-profile", "maxi", "cartridge", "midi", "mega", "torpedo")
    assert fuse_colour("blade", 7.5).words == "brown"
    assert not fuse_colour("blade", 7.5).varies
    assert fuse_colour("maxi", 70.0).varies
    assert fuse_colour("midi", 70.0) is None
    assert fuse_colour("blade", 12.0) is None


def test_relay_terminals():
    assert set(RELAY_TERMINALS) <= set(terminals())
    assert terminals()["86"].meaning == "relay coil, start (+)"
    assert terminals()["50"].meaning == "starter control"
