"""Copper islands: what joins and what does not."""

from __future__ import annotations

from harnessdoc.network.islands import Joint, connect, other_end
from helpers import harness_of

PLAIN = """
    connectors:
      X1: {face: [[1..4]], view: wire side}
      X2: {}
    splices:
      S1: {}
    grounds:
      G1: {}
    wires:
      a: {from: X1.1, to: S1}
      b: {from: S1, to: X2.7}
      c: {from: X1.2, to: G1}
      d: {from: X1.3, to: unknown}
      e: {from: X1.4, to: open}
"""


def wired_islands(text: str, unplugged: bool = False) -> list[set[str]]:
    """The islands of more than one contact."""
    return [set(island) for island in connect(harness_of(text), unplugged).islands if len(island) > 1]


def test_wires_and_splices_join():
    network = connect(harness_of(PLAIN))
    assert network.islands == (("X1.1", "S1", "X2.7"), ("X1.2", "G1"), ("X1.3",), ("X1.4",))
    assert network.joints == ()


def test_every_contact_knows_its_island():
    network = connect(harness_of(PLAIN))
    for number, island in enumerate(network.islands):
        for address in island:
            assert network.island_of[address] == number
    assert sum(map(len, network.islands)) == len(network.island_of) == 7


def test_a_bar_joins_terminals_and_a_wire_may_end_on_it():
    assert wired_islands("""
        boxes:
          B1: {bars: {30: [F1.1, F2.1]}}
        fuses:
          F1: {box: B1}
          F2: {box: B1}
        connectors:
          X1: {}
        wires:
          a: {from: X1.1, to: B1.30}
    """) == [{"F1.1", "F2.1", "B1.30", "X1.1"}]


HALVES = """
    connectors:
      C1: {MATES}
      C2: {BACK}
      X1: {}
    wires:
      a: {from: X1.1, to: C1.1}
      b: {from: C2.1, to: X1.2}
      c: {from: C2.2, to: X1.3}
"""


def test_mated_halves_join_cavity_to_cavity_even_without_a_face():
    for mates, back in (("mates: C2", ""), ("", "mates: C1"), ("mates: C2", "mates: C1")):
        text = HALVES.replace("MATES", mates).replace("BACK", back)
        assert wired_islands(text) == [{"C1.1", "C2.1", "X1.1", "X1.2"}, {"C2.2", "X1.3"}]
        assert len(connect(harness_of(text)).joints) == 1


def test_unplugged_halves_are_apart():
    text = HALVES.replace("MATES", "mates: C2").replace("BACK", "")
    assert wired_islands(text, unplugged=True) == [{"C1.1", "X1.1"}, {"C2.1", "X1.2"}, {"C2.2", "X1.3"}]


LINKED = """
    devices:
      A1: {terminals: [B+, S, L], links: [[A1.B+, A1.S]]}
    connectors:
      X1: {}
    wires:
      a: {from: X1.1, to: A1.B+}
      b: {from: X1.2, to: A1.S}
"""


def test_links_inside_a_device_join_but_not_when_it_is_off():
    assert wired_islands(LINKED) == [{"A1.B+", "A1.S", "X1.1", "X1.2"}]
    assert wired_islands(LINKED, unplugged=True) == [{"A1.B+", "X1.1"}, {"A1.S", "X1.2"}]
    assert connect(harness_of(LINKED)).joints == (Joint("link", "A1", "A1.B+", "A1.S"),)


def test_fuse_relay_diode_resistor_switch_and_load_do_not_join():
    assert wired_islands("""
        fuses: {F1: {}}
        fusible-links: {FL1: {}}
        relays: {K1: {contacts: changeover}}
        diodes: {D1: {}}
        resistors: {R1: {}}
        devices:
          Q1: {connectors: [X9], closes: {run: [[X9.1, X9.2]]}}
          H1: {terminals: [1, 2], lamp: 2 W, between: [H1.1, H1.2]}
        connectors:
          X9: {face: [[1, 2]], view: wire side}
    """) == []


def test_the_other_end_of_a_wire():
    wires = harness_of(PLAIN).wires
    assert other_end(wires["a"], "X1.1") == "S1"
    assert other_end(wires["a"], "S1") == "X1.1"
    assert other_end(wires["d"], "X1.3") == "unknown"
