"""Which cavities stand next to each other."""

from __future__ import annotations

import pytest

from harnessdoc.network.neighbours import cavities_of, neighbours
from helpers import harness_of


def pairs(face: str) -> set[frozenset[str]]:
    harness = harness_of(f"connectors: {{X1: {{face: {face}, view: wire side}}}}\n")
    found = neighbours(harness.connectors["X1"], ())
    assert len(found) == len(set(map(frozenset, found)))
    return set(map(frozenset, found))


def sets(*words: str) -> set[frozenset[str]]:
    return {frozenset(word.split("-")) for word in words}


@pytest.mark.parametrize(("face", "expected"), [
    pytest.param("[[1, 2, 3]]", sets("1-2", "2-3"), id="one row"),
    pytest.param("[[1, 2], [3, 4]]", sets("1-2", "3-4", "1-3", "2-4"), id="grid without diagonals"),
    pytest.param("[[1, 2, 3], [half, 4, 5]]", sets("1-2", "2-3", "4-5", "1-4", "2-4", "2-5", "3-5"), id="staggered rows"),
    pytest.param("[[1, gap, 2], [3, 4, 5]]", sets("3-4", "4-5", "1-3", "2-5"), id="a gap in two rows"),
    pytest.param("[[1, {cavity: 2, wide: 2}, 3]]", sets("1-2", "2-3"), id="a big cavity"),
    pytest.param("{ring: [1..6]}", sets("1-2", "2-3", "3-4", "4-5", "5-6", "6-1"), id="ring"),
    pytest.param("{ring: [1..6], centre: 7}", sets("1-2", "2-3", "3-4", "4-5", "5-6", "6-1", *(f"{n}-7" for n in range(1, 7))), id="ring with a centre"),
    pytest.param("{xy: {a: [0, 0], b: [3, 0], c: [10, 0]}}", sets("a-b", "b-c"), id="places in mm"),
])
def test_neighbours_on_a_face(face: str, expected: set[frozenset[str]]):
    assert pairs(face) == expected


def test_without_a_face_cavities_are_counted_up():
    harness = harness_of("""
        connectors: {X1: {}, X2: {face: [[3, 1]], view: wire side}}
        wires:
          a: {from: X1.10, to: X1.A2}
          b: {from: X1.2, to: X2.1}
    """)
    cavities = cavities_of(harness)
    assert cavities == {"X1": ("2", "10", "A2"), "X2": ("3", "1")}
    assert neighbours(harness.connectors["X1"], cavities["X1"]) == (("2", "10"), ("10", "A2"))
