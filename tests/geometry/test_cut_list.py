"""The cut list, labels and parts."""

from __future__ import annotations

import pytest

from harnessdoc.geometry.cut_list import CutList, Spool, SpoolTotal, cut_list
from harnessdoc.geometry.labels import Label, label_list
from harnessdoc.geometry.measure import measure
from harnessdoc.geometry.parts_list import PartLine, parts_list, shrink_of, sleeve_of
from helpers import harness_of

HARNESS = """
    colours: DIN 47002
    wire-type: PVC 85 C
    segments:
      T1: {from: P1, to: P2, length: 1000 mm, covering: tape}
      T2: {from: P2, to: P3, length: 500 mm, covering: tape}
      T3: {from: P2, to: P4, covering: conduit}
    connectors:
      X1: {place: P1, terminal: blade 2.8, seal: blue, plug: white, face: [[1..12]], view: wire side}
      X2: {place: P2, terminal: blade 2.8}
      X3: {place: P3}
    cavities:
      X1.2: {terminal: blade 6.3}
      X2.1: {plug: white}
    splices:
      S1: {place: P2, method: crimp splice, join: J1}
      S2: {place: P2, method: solder, shrink: "9/3 mm"}
    grounds:
      G1: {place: P3, terminal: eyelet 6}
    boxes:
      B1: {place: P1}
    fuses:
      F1: {box: B1}
      F2: {box: B1}
    cables:
      W1: {part: two cores, shield: foil, colour: sw, diameter: 5 mm}
    pairs:
      CAN: {lay: 25 mm}
    wires:
      a: {from: X1.1, to: X2.1, size: 1 mm2, colour: rt, circuit: feed}
      b: {from: X1.2, to: X3.1, size: 1 mm2, colour: rt}
      c: {from: X1.3, to: S1, size: 0.5 mm2, colour: gn/ge}
      d: {from: S1, to: X3.2, size: 0.5 mm2, colour: gn/ge, length: 640 mm}
      h: {from: X1.4, to: X3.3, size: 0.5 mm2, colour: gn/ge, pair: CAN}
      l: {from: X1.5, to: X3.4, size: 0.5 mm2, colour: bl, pair: CAN}
      m: {from: X1.6, to: X2.2, size: 0.5 mm2, colour: bl}
      n: {from: X1.7, to: X3.5, cable: W1, colour: ws}
      o: {from: X1.8, to: X2.3, cable: W1, colour: unknown, core: drain}
      p: {from: F1.2, to: F2.1, size: 1 mm2, colour: rt}
      q: {from: X1.9, to: unknown, size: 1 mm2, colour: rt}
      r: {from: X1.10, to: open}
      s: {from: S2, to: G1, size: 1 mm2, colour: br}
      t: {from: S2, to: G1, size: 1.5 mm2, colour: br}
"""


def listed(convention: str | None = None) -> CutList:
    harness = harness_of(HARNESS)
    return cut_list(harness, measure(harness), convention)


def test_by_spool_thin_first_longest_first_pairs_together_unknown_last():
    assert [(str(entry.spool.size), entry.spool.colour, [row.wire for row in entry.rows]) for entry in listed().spools] == [
        # l is cut from the blue spool and stands behind h; both are twisted, and h comes first in the file
        ("0.5 mm²", "bl", ["m"]), ("0.5 mm²", "gn/ge", ["h", "l", "c", "d"]), ("1 mm²", "br", ["s"]), ("1 mm²", "rt", ["b", "a", "q"]),
        ("1.5 mm²", "br", ["t"]), ("", "", ["r"]),
    ]


def test_totals_count_every_wire_on_its_own_spool():
    totals = {total.spool: total for total in listed().totals}
    # m: 1000 + 2 x 50 = 1100; l: 1500 and take-up, + 100 -> 1650
    assert totals[Spool("0.5 mm²", "PVC 85 C", "bl")] == SpoolTotal(Spool("0.5 mm²", "PVC 85 C", "bl"), 2, 1.1 + 1.65, 0)
    assert totals[Spool("1 mm²", "PVC 85 C", "rt")] == SpoolTotal(Spool("1 mm²", "PVC 85 C", "rt"), 3, 1.6 + 1.1, 1)
    assert sum(total.count for total in totals.values()) == 14 - 3


def test_a_row():
    row = next(row for entry in listed().spools for row in entry.rows if row.wire == "d")
    # computed 500 + 50 + 10; measured 640
    assert (row.finished_mm, row.cut_mm, row.difference_mm, row.pair, row.lay_mm, row.cable, row.core) == (640, 650, 80, "", None, "", "")
    assert (row.a.address, row.a.terminal, row.a.strip_mm, row.a.label) == ("S1", "", 7.5, "J1 | d | 0.5 mm² gn/ge | to X3.2")
    assert (row.b.address, row.b.terminal, row.b.strip_mm, row.b.label) == ("X3.2", "", 5, "J1 | d | 0.5 mm² gn/ge | to S1")
    pair = next(row for entry in listed().spools for row in entry.rows if row.wire == "l")
    assert (pair.pair, pair.lay_mm, pair.a.terminal, pair.a.seal) == ("CAN", 25, "blade 2.8", "blue")


def test_strip_lengths_by_the_end():
    rows = {row.wire: row for entry in listed().spools for row in entry.rows}
    assert (rows["c"].b.strip_mm, rows["s"].a.strip_mm, rows["s"].b.strip_mm) == (7.5, 10, None)   # 5 mm only where an open barrel on a thin wire is meant
    assert (rows["q"].b.strip_mm, rows["r"].b.strip_mm, rows["r"].b.label) == (None, None, "")


def test_a_cable_stands_once_with_its_cores():
    (cable,) = listed().cables
    assert (cable.cable, cable.part, cable.shield, cable.colour, cable.finished_mm, cable.cut_mm) == ("W1", "two cores", "foil", "sw", 1600, 1600)
    assert [(row.wire, row.core, row.cut_mm) for row in cable.rows] == [("n", "core", 1600), ("o", "drain", 1600)]
    assert not {"n", "o"} & {row.wire for entry in listed().spools for row in entry.rows}


def test_links_in_a_box_are_left_out_and_named():
    assert listed().zero_length == ("p",)
    assert "p" not in {row.wire for entry in listed().spools for row in entry.rows}


def test_colours_in_the_convention_of_the_reader():
    assert [entry.spool.colour for entry in listed("IEC 60757").spools] == ["BU", "GN/YE", "BN", "RD", "BN", ""]
    assert listed("IEC 60757").cables[0].colour == "BK"


def test_labels_of_both_ends():
    labels = {(label.wire, label.end): label for label in label_list(harness_of(HARNESS))}
    assert labels["a", "A"] == Label("a", "A", "X1.1", (), ("a", "1 mm² rt", "to X2.1"))
    assert labels["a", "B"] == Label("a", "B", "X2.1", (), ("a", "1 mm² rt", "to X1.1"))
    assert labels["a", "A"].text == "a | 1 mm² rt | to X2.1"
    assert labels["c", "B"].text == "J1 | c | 0.5 mm² gn/ge | to X1.3"
    assert labels["q", "A"].text == "q | 1 mm² rt | to ?"
    assert labels["r", "A"].text == "r | open"
    assert ("r", "B") not in labels
    assert len(labels) == 2 * 14 - 1


def test_parts():
    harness = harness_of(HARNESS)
    found = parts_list(harness, measure(harness))
    kinds = [line.kind for line in found]
    assert kinds == sorted(kinds, key=["terminal", "seal", "cavity plug", "crimp sleeve", "heat-shrink", "wire", "cable", "covering"].index)
    by_part = {(line.kind, line.part): line for line in found}
    assert by_part["terminal", "blade 2.8"].quantity == 9 + 3
    assert by_part["terminal", "blade 6.3"] == PartLine("terminal", "blade 6.3", 1, "piece", ("X1.2",), False, 0)
    # two wires, each with its own eyelet, on one stud
    assert by_part["terminal", "eyelet 6"] == PartLine("terminal", "eyelet 6", 2, "piece", ("G1",), False, 0)
    assert by_part["seal", "blue"].quantity == 10
    # X2.1 has a wire: no plug
    assert by_part["cavity plug", "white"] == PartLine("cavity plug", "white", 2, "piece", ("X1.11", "X1.12"), False, 0)
    assert by_part["heat-shrink", "9/3 mm"] == PartLine("heat-shrink", "9/3 mm", 1, "piece", ("S2",), False, 0)
    assert by_part["wire", "1 mm² PVC 85 C rt"] == PartLine("wire", "1 mm² PVC 85 C rt", 1.6 + 1.1, "m", ("a", "b", "q"), False, 1)
    assert by_part["wire", "size unknown PVC 85 C colour unknown"].unknown == 1
    assert [(line.part, line.quantity, line.unit) for line in found if line.where == ("p",)] == [("1 mm² PVC 85 C rt, link, measure at the box", 1, "piece")]
    assert by_part["cable", "two cores"] == PartLine("cable", "two cores", 1.6, "m", ("W1",), False, 0)
    assert by_part["covering", "tape"] == PartLine("covering", "tape", 1.5, "m", ("T1", "T2"), False, 0)
    assert by_part["covering", "conduit"] == PartLine("covering", "conduit", 0, "m", ("T3",), False, 1)


def test_a_sleeve_and_heat_shrink_are_proposed_where_none_is_stated():
    harness = harness_of(HARNESS)
    geometry = measure(harness)
    # reference trade 2, number 47: 1-2 mm2 is a sleeve; 0.5 + 0.5 mm2
    sleeve, proposed = sleeve_of(harness.splices["S1"], geometry.stations["S1"])
    assert proposed and "1" in sleeve and geometry.stations["S1"].total_area_mm2 == 1.0
    # 1.6 mm a side: supplied at least 1.92 mm, recovered at most 1.28 mm
    assert shrink_of(harness.splices["S1"], geometry.stations["S1"]) == ("2.4/1.2 mm, 2:1", True)
    assert sleeve_of(harness.splices["S2"], geometry.stations["S2"]) == ("", False)   # soldered
    assert shrink_of(harness.splices["S2"], geometry.stations["S2"]) == ("9/3 mm", False)


@pytest.mark.parametrize("convention", [None, "Japanese trade"])
def test_every_wire_is_cut_once(convention: str | None):
    found = listed(convention)
    wires = [row.wire for entry in found.spools for row in entry.rows] + [row.wire for cable in found.cables for row in cable.rows]
    assert sorted([*wires, *found.zero_length]) == sorted("abcdhlmnopqrst")
