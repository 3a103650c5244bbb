"""A published example harness through our own path: lengths, cut list, copper islands.

Source: the engine example on the ECAD wiki of prostep ivip e.V. (CC BY-SA 4.0), as
tables in the outside folder (its README tells their origin). The tables are mapped
into a description here; `length` and `route_length` are withheld from the program.
What the tables call `signal` is our circuit.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from harnessdoc.geometry.cut_list import cut_list
from harnessdoc.geometry.measure import measure
from harnessdoc.model.harness import Harness
from harnessdoc.network.islands import connect
from helpers import harness_of

KBL = pytest.mark.outside("published example harness, prostep ivip ECAD wiki, engine (KBL, VDA 4964)", needs=("data:kbl",))
TOLERANCE_MM = 0.1

Rows = list[dict[str, str]]


def rows(folder: Path, name: str) -> Rows:
    with (folder / "kbl" / f"engine.{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def address(written: str, kind: str) -> str:
    """`D25.1` of a splice is our `D25`; a ring terminal is a connector of one cavity."""
    return written.rpartition(".")[0] if kind == "splice" else written


def description(folder: Path, moved: dict[str, str]) -> str:
    """The tables as a description; ``moved``: item -> node, instead of the one in the table."""
    splices = {row["splice"] for row in rows(folder, "splices")}
    nodes = {row["item"]: row["node"] for row in rows(folder, "places")} | moved
    lines = ["colours: DIN 47002", "allowances: {end: 0 mm, splice: 0 mm, rounding: 0 mm}", "segments:"]
    lines += [f"  {row['segment']}: {{from: {row['start_node']}, to: {row['end_node']}, length: {row['length_mm']} mm}}"
              for row in rows(folder, "segments")]
    for section, wanted in (("connectors", False), ("splices", True)):
        lines += [f"{section}:", *(f"  {item}: {{place: {node}}}" for item, node in nodes.items() if (item in splices) is wanted)]
    lines += ["cavities:", *(f"  {row['connector']}.{row['cavity']}: {{terminal: '{row['terminal']}'}}"
                             for row in rows(folder, "pinout") if row["usage"] != "splice")]
    lines += ["wires:", *(
        f"  {row['wire']}: {{from: {address(row['from_'], row['from_kind'])}, to: {address(row['to'], row['to_kind'])}, "
        f"size: {row['csa']} mm2, colour: {row['colour']}, circuit: {row['signal']}, diameter: {row['od']} mm}}"
        for row in rows(folder, "wires"))]
    return "\n".join(lines) + "\n"


def wires_off(folder: Path, harness: Harness) -> list[str]:
    """The wires whose computed length is not the stated one."""
    lengths = measure(harness).lengths
    off = []
    for row in rows(folder, "wires"):
        computed = lengths[row["wire"]].cut_mm
        if computed is None or abs(computed - float(row["length"])) > TOLERANCE_MM:
            off.append(row["wire"])
    return off


@KBL
def test_each_of_the_18_lengths_is_the_stated_one(outside_data: Path):
    harness = harness_of(description(outside_data, {}))
    assert len(harness.wires) == 18
    assert wires_off(outside_data, harness) == []
    assert measure(harness).findings == ()


@KBL
def test_a_place_that_moves_to_the_next_node_is_seen(outside_data: Path):
    segments = rows(outside_data, "segments")
    ends = [(row["start_node"], row["end_node"]) for row in segments]
    moves = 0
    for row in rows(outside_data, "places"):
        for node in [b if a == row["node"] else a for a, b in ends if row["node"] in (a, b)]:
            assert wires_off(outside_data, harness_of(description(outside_data, {row["item"]: node}))), f"{row['item']} at {node}"
            moves += 1
    assert moves >= 20


@KBL
def test_the_cut_list_by_size_and_colour(outside_data: Path):
    expected = json.loads((outside_data / "kbl" / "expected.json").read_text(encoding="utf-8"))["engine"]
    harness = harness_of(description(outside_data, {}))
    found = cut_list(harness, measure(harness), "IEC 60757")
    totals = {f"{float(total.spool.size.split()[0])} {total.spool.colour.replace('/', '')}": total for total in found.totals}
    assert totals.keys() == expected["cut_list_single_wires"].keys()
    for spool, (count, millimetres) in expected["cut_list_single_wires"].items():
        assert (totals[spool].count, totals[spool].without_length) == (count, 0)
        assert totals[spool].metres * 1000 == pytest.approx(millimetres, abs=TOLERANCE_MM * count)
    assert sum(total.metres for total in found.totals) * 1000 == pytest.approx(expected["total_conductor_length_mm"], abs=TOLERANCE_MM * 18)
    assert found.zero_length == ()


@KBL
def test_the_copper_islands_are_those_of_the_pinout_table(outside_data: Path):
    # An independent reading: the pinout table says for each contact which wire is in it; contacts of one wire, and
    # of one splice, belong together.
    islands: list[set[str]] = []
    by_wire: dict[str, set[str]] = {}
    for row in rows(outside_data, "pinout"):
        if row["wire"]:
            contact = row["connector"] if row["usage"] == "splice" else f"{row['connector']}.{row['cavity']}"
            by_wire.setdefault(row["wire"], set()).add(contact)
    for contacts in by_wire.values():
        joined = set(contacts).union(*(island for island in islands if island & contacts))
        islands = [island for island in islands if not island & contacts] + [joined]
    harness = harness_of(description(outside_data, {}))
    found = [set(island) for island in connect(harness).islands if any(contact in harness.wires_at for contact in island)]
    assert len(found) == 12
    assert sorted(map(sorted, found)) == sorted(map(sorted, islands))


@KBL
def test_how_many_wires_run_in_each_segment(outside_data: Path):
    bundles = measure(harness_of(description(outside_data, {}))).bundles
    assert {name: len(found.wires) for name, found in bundles.items()} == {
        row["segment"]: int(row["conductors"]) for row in rows(outside_data, "segments")}
