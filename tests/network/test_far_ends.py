"""Far ends of a contact: through splices, and through nothing else."""

from __future__ import annotations

from harnessdoc.network.far_ends import FarEnd, beyond, far_ends
from harnessdoc.network.islands import connect
from helpers import harness_of

CHAIN = """
    splices:
      S1: {}
      S2: {}
    connectors:
      X1: {}
      X2: {}
      C1: {mates: C2}
      C2: {}
    cavities:
      X1.1: {crimp: double}
    wires:
      a: {from: X1.1, to: S1}
      b: {from: S1, to: X2.1}
      c: {from: S1, to: S2}
      d: {from: S2, to: unknown}
      e: {from: C1.1, to: S2}
      f: {from: C2.1, to: X2.2}
      g: {from: X1.1, to: X2.3}
      h: {from: X2.4, to: unknown}
"""


def test_far_ends_go_through_splices_in_the_order_of_the_wires():
    assert far_ends(harness_of(CHAIN), "X1.1") == (
        FarEnd("X2.1", ("a", "b"), ("S1",)),
        FarEnd("unknown", ("a", "c", "d"), ("S1", "S2")),
        FarEnd("C1.1", ("a", "c", "e"), ("S1", "S2")),
        FarEnd("X2.3", ("g",), ()),
    )


def test_beyond_is_the_rest_of_the_island():
    harness = harness_of(CHAIN)
    assert beyond(harness, connect(harness), "X1.1") == ("C2.1", "X2.2")
    assert beyond(harness, connect(harness), "X2.2") == ("X1.1", "X2.1", "C1.1", "X2.3")


def test_the_far_ends_of_a_splice_are_those_of_all_its_members():
    assert [end.address for end in far_ends(harness_of(CHAIN), "S2")] == ["X1.1", "X2.1", "unknown", "C1.1"]


def test_a_loop_of_splices_is_walked_once():
    harness = harness_of("""
        splices: {S1: {}, S2: {}, S3: {}}
        connectors: {X1: {}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: S1, to: S2}
          c: {from: S2, to: S3}
          d: {from: S3, to: S1}
          e: {from: S3, to: X1.2}
          f: {from: S3, to: X1.2}
    """)
    assert [(end.address, end.wires) for end in far_ends(harness, "X1.1")] == [("X1.2", ("a", "b", "c", "e"))]


def test_every_unknown_end_comes_on_its_own():
    harness = harness_of("""
        splices: {S1: {}}
        connectors: {X1: {}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: S1, to: unknown}
          c: {from: S1, to: unknown}
          d: {from: S1, to: open}
    """)
    assert [(end.address, end.wires) for end in far_ends(harness, "X1.1")] == [
        ("unknown", ("a", "b")), ("unknown", ("a", "c")), ("open", ("a", "d"))]


def test_a_chain_of_two_thousand_splices_is_no_matter():
    links = "".join(f"  w{n}: {{from: S{n}, to: S{n + 1}}}\n" for n in range(2000))
    splices = "".join(f"  S{n}: {{}}\n" for n in range(2001))
    harness = harness_of(f"splices:\n{splices}connectors:\n  X1: {{}}\nwires:\n  a: {{from: X1.1, to: S0}}\n{links}  z: {{from: S2000, to: X1.2}}\n")
    (end,) = far_ends(harness, "X1.1")
    assert (end.address, len(end.splices)) == ("X1.2", 2001)


def test_an_empty_cavity_has_none():
    harness = harness_of("connectors: {X1: {face: [[1, 2]], view: wire side}}\n")
    assert far_ends(harness, "X1.1") == ()
    assert beyond(harness, connect(harness), "X1.1") == ()


def test_a_loop_back_to_the_contact_itself_leads_nowhere_new():
    harness = harness_of("""
        splices: {S1: {}}
        connectors: {X1: {}, X2: {}}
        cavities: {X1.1: {crimp: double}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: S1, to: X1.1}
          c: {from: X1.1, to: X2.1}
    """)
    assert far_ends(harness, "X1.1") == (FarEnd("X2.1", ("c",), ()),)
