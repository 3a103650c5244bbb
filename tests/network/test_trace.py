"""A circuit end to end, and its text."""

from __future__ import annotations

from harnessdoc.network.islands import connect
from harnessdoc.network.stops import Stop, stop_at
from harnessdoc.network.trace import lines, trace
from helpers import harness_of

FEED = """
    colours: DIN 47002
    devices:
      Q1: {title: key switch, connectors: [X1], closes: {accessory: [[X1.30, X1.75]], run: [[X1.30, X1.75], [X1.30, X1.15]]}}
      H4: {title: charge lamp, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
      A1: {title: alternator, terminals: [B+, S], links: [[A1.B+, A1.S]]}
    boxes: {B1: {bars: {30: [F1.1, F2.1]}}}
    fuses: {F1: {box: B1}, F2: {box: B1}}
    relays: {K1: {contacts: changeover}}
    diodes: {D1: {}}
    splices: {SP9: {}}
    grounds: {G1: {metal: engine}, G2: {}}
    connectors:
      X1: {face: [[30, 15, 75]], view: wire side}
      X7: {face: [[1, 2]], view: wire side}
      C1: {mates: C2}
      C2: {}
    cavities:
      X7.1: {function: lamp feed}
    wires:
      10: {from: A1.B+, to: B1.30, size: 6 mm2, colour: rt}
      11: {from: F2.2, to: X1.30, size: 2.5 mm2, colour: rt}
      14: {from: X1.15, to: SP9, size: 1.5 mm2, colour: sw/ge}
      15: {from: SP9, to: C1.1, size: 0.75 mm2, colour: unknown}
      16: {from: C2.1, to: X7.1, size: unknown, colour: bl}
      17: {from: SP9, to: K1.86, size: 0.5 mm2, colour: sw}
      18: {from: SP9, to: D1.K, size: 0.5 mm2, colour: sw}
      19: {from: SP9, to: unknown, size: 0.5 mm2, colour: sw}
"""


def text_of(address: str, yaml: str = FEED) -> list[str]:
    harness = harness_of(yaml)
    return lines(trace(harness, connect(harness), address), harness)


def test_a_trace_goes_through_splices_and_mated_halves_to_every_end():
    assert text_of("X1.15") == [
        "X1.15, Q1 key switch; X1.15 to X1.30 in run",
        "  wire 14, 1.5 mm², sw/ge, to splice SP9",
        "    wire 15, 0.75 mm², colour unknown, to C1.1",
        "      mated halves C1 and C2 to C2.1",
        "        wire 16, size unknown, bl, to X7.1, H4 charge lamp; lamp feed; X7.1 to X7.2 through its lamp",
        "    wire 17, 0.5 mm², sw, to K1.86, relay K1: coil, 86 to 85",
        "    wire 18, 0.5 mm², sw, to D1.K, diode D1: K to A (blocks this way)",
        "    wire 19, 0.5 mm², sw, to an unknown end",
    ]


def test_a_trace_goes_over_bars_and_links():
    assert text_of("F1.1") == [
        "F1.1, fuse F1: 1 to 2",
        "  bar B1.30 to B1.30",
        "    wire 10, 6 mm², rt, to A1.B+, A1 alternator",
        "      link in A1 to A1.S, A1 alternator",
        "    bar B1.30 to F2.1, fuse F2: 1 to 2",
    ]


def test_stops_name_what_goes_on():
    harness = harness_of(FEED)
    traced = trace(harness, connect(harness), "X1.15")
    assert [(stop.address, stop.goes_on) for stop in traced.stops] == [
        ("X1.15", ("X1.30",)), ("X7.1", ("X7.2",)), ("K1.86", ("K1.85",)), ("D1.K", ("D1.A",))]


def test_stops_at_relay_contacts_grounds_and_a_loose_connector():
    harness = harness_of(FEED)
    assert stop_at(harness, "K1.30") == Stop("K1.30", "relay K1: contact, 30 to 87 when pulled in and 30 to 87a at rest", ("K1.87", "K1.87a"))
    assert stop_at(harness, "K1.87a") == Stop("K1.87a", "relay K1: contact, 87a to 30 at rest", ("K1.30",))
    assert stop_at(harness, "K1.87") == Stop("K1.87", "relay K1: contact, 87 to 30 when pulled in", ("K1.30",))
    assert stop_at(harness, "D1.A").words == "diode D1: A to K (passes this way)"
    assert stop_at(harness, "G1") == Stop("G1", "ground on engine", ())
    assert stop_at(harness, "G2") == Stop("G2", "ground, metal unknown", ())
    assert stop_at(harness, "X1.30").words == "Q1 key switch; X1.30 to X1.75 in accessory, run; X1.30 to X1.15 in run"
    assert stop_at(harness, "SP9") is None and stop_at(harness, "C1.1") is None and stop_at(harness, "B1.30") is None
    loose = harness_of("connectors: {X1: {title: trailer socket}, X2: {}}\nwires: {a: {from: X1.1, to: X2.1}}\n")
    assert stop_at(loose, "X1.1").words == "trailer socket"
    assert stop_at(loose, "X2.1").words == "end of the harness"


def test_a_relay_that_only_breaks_names_no_87():
    harness = harness_of("relays: {K1: {contacts: break}}\n")
    assert stop_at(harness, "K1.30") == Stop("K1.30", "relay K1: contact, 30 to 87a at rest", ("K1.87a",))


def test_a_loop_closes_with_again_and_every_wire_comes_once():
    yaml = """
        splices: {S1: {}, S2: {}}
        connectors: {X1: {}}
        wires:
          a: {from: X1.1, to: S1}
          b: {from: S1, to: S2}
          c: {from: S2, to: S1}
    """
    assert text_of("X1.1", yaml) == [
        "X1.1, end of the harness",
        "  wire a, size unknown, colour unknown, to splice S1",
        "    wire b, size unknown, colour unknown, to splice S2",
        "      wire c, size unknown, colour unknown, to splice S1 (again)",
    ]


def test_a_loop_back_to_the_start_closes_there():
    yaml = """
        splices: {S1: {}, S2: {}}
        wires:
          a: {from: S1, to: S2}
          b: {from: S2, to: S1}
    """
    assert text_of("S1", yaml) == [
        "splice S1",
        "  wire a, size unknown, colour unknown, to splice S2",
        "    wire b, size unknown, colour unknown, to splice S1 (again)",
    ]
