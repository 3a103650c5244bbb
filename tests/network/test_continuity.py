"""The rows of the check sheet."""

from __future__ import annotations

from harnessdoc.network.continuity import NeighbourCheck, PathCheck, check_list
from helpers import harness_of


def test_every_path_once_with_what_lies_between():
    checks = check_list(harness_of("""
        splices: {S1: {}}
        grounds: {G1: {}}
        boxes: {B1: {bars: {30: [F1.1, F2.1]}}}
        fuses: {F1: {box: B1}, F2: {box: B1}}
        connectors: {X1: {}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: S1, to: X1.2}
          c: {from: S1, to: G1}
          d: {from: X1.3, to: F1.1}
          e: {from: X1.4, to: unknown}
    """))
    assert checks.paths == (
        PathCheck("F1.1", "F2.1", ("B1.30",)),
        PathCheck("F1.1", "X1.3", ("d",)),
        PathCheck("G1", "X1.1", ("c", "S1", "a")),
        PathCheck("G1", "X1.2", ("c", "S1", "b")),
    )


def test_a_bar_is_an_end_only_where_a_wire_ends_on_it():
    checks = check_list(harness_of("""
        boxes: {B1: {bars: {30: [F1.1, F2.1]}}}
        fuses: {F1: {box: B1}, F2: {box: B1}}
        connectors: {X1: {}}
        wires:
          a: {from: X1.1, to: B1.30}
    """))
    assert checks.paths == (
        PathCheck("F1.1", "F2.1", ("B1.30",)),
        PathCheck("F1.1", "B1.30", ()),
        PathCheck("F1.1", "X1.1", ("B1.30", "a")),
    )


def test_the_harness_is_unplugged():
    checks = check_list(harness_of("""
        devices: {U1: {connectors: [X2], links: [[X2.1, X2.2]]}}
        connectors: {C1: {mates: C2}, C2: {}, X1: {}, X2: {}}
        wires:
          a: {from: X1.1, to: C1.1}
          b: {from: C2.1, to: X2.1}
          c: {from: X2.2, to: X1.2}
    """))
    assert [(path.from_, path.to) for path in checks.paths] == [("X2.1", "C2.1"), ("X2.2", "X1.2"), ("X1.1", "C1.1")]


def test_neighbours_on_other_islands_must_not_ring():
    checks = check_list(harness_of("""
        splices: {S1: {}}
        connectors: {X1: {face: [[1..4], [5..8]], view: wire side}, X2: {}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: X1.2, to: S1}
          c: {from: X1.5, to: X2.1}
          d: {from: X1.4, to: X2.2}
    """))
    # 1 and 2 are one copper; 3, 6, 7, 8 are empty; X2 has no face: 1 follows 2
    assert checks.neighbours == (NeighbourCheck("X1", (("X1.1", "X1.5"),)), NeighbourCheck("X2", (("X2.1", "X2.2"),)))


def test_an_airbag_island_gets_no_line_on_either_side_of_a_joint():
    checks = check_list(harness_of("""
        connectors: {C1: {mates: C2}, C2: {}, X1: {}, X2: {}}
        cavities:
          X1.1: {signal: airbag}
        wires:
          a: {from: X1.1, to: C1.1}
          b: {from: C2.1, to: X2.1}
          c: {from: X1.2, to: X2.2}
          d: {from: C1.2, to: X2.3}
    """))
    assert checks.left_out == ("X1.1", "C1.1", "C2.1", "X2.1")
    assert [(path.from_, path.to) for path in checks.paths] == [("X1.2", "X2.2"), ("C1.2", "X2.3")]
    assert checks.neighbours == (NeighbourCheck("X2", (("X2.2", "X2.3"),)),)


def test_a_contact_with_two_wires_stands_between_them():
    checks = check_list(harness_of("""
        connectors: {X1: {}, X2: {}}
        cavities: {X2.1: {crimp: double}}
        wires:
          a: {from: X1.1, to: X2.1}
          b: {from: X2.1, to: X1.2}
    """))
    assert PathCheck("X2.1", "X1.1", ("a",)) in checks.paths and PathCheck("X2.1", "X1.2", ("b",)) in checks.paths
    chain = check_list(harness_of("""
        connectors: {X1: {}, X2: {}}
        wires:
          a: {from: X1.1, to: X2.1}
          b: {from: X2.1, to: X1.2}
    """))
    assert chain.paths == (PathCheck("X1.1", "X2.1", ("a",)), PathCheck("X1.1", "X1.2", ("a", "X2.1", "b")))
