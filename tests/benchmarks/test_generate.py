"""The generated descriptions keep what the head of generate.py promises."""

from __future__ import annotations

from collections import Counter, defaultdict

import pytest
import yaml
from benchmarks.generate import generate


@pytest.mark.parametrize("arguments", [
    {"wires": 100}, {"wires": 137, "seed": 2}, {"wires": 800, "seed": 3}, {"wires": 675, "connectors": 30},
], ids=str)
def test_promises(arguments):
    described = yaml.load(generate(**arguments), yaml.CSafeLoader)
    wires, splices, connectors = described["wires"], described["splices"], described["connectors"]
    number = arguments["wires"]
    assert len(wires) == number
    assert len(connectors) == arguments.get("connectors", number // 8)
    assert len(described["segments"]) == number // 10

    uses = Counter(end for wire in wires.values() for end in (wire["from"], wire["to"]))
    assert set(uses) == {*described["cavities"], *splices}
    assert all(uses[address] == 1 for address in described["cavities"])
    assert all(3 <= uses[splice] <= 5 for splice in splices)
    assert sum(uses[splice] for splice in splices) == number // 5

    def point(end: str) -> str:
        return splices[end]["place"] if end in splices else connectors[end.rpartition(".")[0]]["place"]

    assert all(point(wire["from"]) != point(wire["to"]) for wire in wires.values())
    for index, (name, segment) in enumerate(described["segments"].items(), 1):
        assert (name, segment["to"]) == (f"T{index}", f"P{index}")
        assert int(segment["from"][1:]) < index

    pairs = defaultdict(list)
    for wire in wires.values():
        assert len(wire) == (7 if "pair" in wire else 6)
        if "pair" in wire:
            pairs[wire["pair"]].append([wire[side].rpartition(".")[0] for side in ("from", "to")])
    assert set(pairs) == set(described["pairs"]) and len(pairs) == number // 50
    assert all(len(ends) == 2 and ends[0] == ends[1] for ends in pairs.values())


def test_faces_hold_the_described_cavities():
    described = yaml.load(generate(200), yaml.CSafeLoader)
    expected = []
    for name, connector in described["connectors"].items():
        for row in connector["face"]:
            first, last = map(int, row[0].split(".."))
            expected += [f"{name}.{cavity}" for cavity in range(first, last + 1)]
    assert list(described["cavities"]) == expected


def test_same_arguments_same_text_another_seed_another():
    assert generate(300, seed=5) == generate(300, seed=5) != generate(300, seed=6)


def test_too_few_wires_are_refused():
    with pytest.raises(ValueError, match="99 wires are too few"):
        generate(99)
