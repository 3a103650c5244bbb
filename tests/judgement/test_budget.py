"""The power budget against sums worked by hand, and against the solved currents."""

from __future__ import annotations

from textwrap import dedent

import pytest

from harnessdoc.judgement.budget import budget
from harnessdoc.steps import load

BENCH = """
    supply: 12 V
    devices:
      G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12 V, resistance: 10 mohm}}
      A1: {title: alternator, terminals: [B, E], between: [A1.B, A1.E], alternator: {voltage: 14 V, limit: 30 A}}
      S1: {title: key switch, terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      R1: {title: heated seat, terminals: [a, b], between: [R1.a, R1.b], heater: 6 A at 12 V}
      R2: {title: clock, terminals: [a, b], between: [R2.a, R2.b], load: 600 ohm}
      R3: {title: not joined, terminals: [a, b], between: [R3.a, R3.b], load: 5 ohm}
      R4: {title: strobe, terminals: [a, b], between: [R4.a, R4.b], load: 3 ohm}
      R5: {title: never rated, terminals: [a, b], between: [R5.a, R5.b], load: unknown}
    fuses:
      F1: {rating: 10 A, type: blade}
    cavities:
      R4.a: {draws: 2 A}
    circuits:
      strobe: {pulsed: true}
    wires:
      1: {from: G1.+, to: F1.1, size: 10 mm2, length: 100 mm}
      2: {from: F1.2, to: S1.30, size: 10 mm2, length: 100 mm}
      3: {from: S1.15, to: R1.a, size: 10 mm2, length: 100 mm}
      4: {from: R1.b, to: G1.-, size: 10 mm2, length: 100 mm}
      5: {from: G1.+, to: R2.a, size: 1 mm2, length: 100 mm}
      6: {from: R2.b, to: G1.-, size: 1 mm2, length: 100 mm}
      7: {from: A1.B, to: G1.+, size: 50 mm2, length: 100 mm}
      8: {from: A1.E, to: G1.-, size: 50 mm2, length: 100 mm}
      9: {from: S1.15, to: R4.a, size: 1 mm2, length: 100 mm, circuit: strobe}
      10: {from: R4.b, to: G1.-, size: 1 mm2, length: 100 mm, circuit: strobe}
      11: {from: R5.a, to: G1.-, size: 1 mm2, length: 100 mm}
      12: {from: S1.15, to: R5.b, size: 1 mm2, length: 100 mm}
"""


def solved(text: str):
    loaded = load("t.yaml", {"t.yaml": dedent(text)})
    assert loaded.operation is not None and not loaded.has_errors, loaded.findings
    return loaded.operation


@pytest.fixture(scope="module")
def found():
    return budget(solved(BENCH))


def test_the_loads_of_each_state_by_hand(found) -> None:
    """12 V behind 10 mohm, 2 ohm of seat with about 16 mohm of wire, fuse, switch and terminals: 5.9 A; the clock 12 / 600 = 20 mA, key off too."""
    amps = {draw.load.id: draw.amps for draw in found.draws}
    assert amps["R1"]["off, stopped"] == 0
    assert amps["R1"]["run, stopped"] == pytest.approx(12 / 2.026, rel=0.01)
    assert amps["R2"]["off, stopped"] == pytest.approx(0.020, rel=0.001)
    assert amps["R1"]["run, running"] == pytest.approx(amps["R1"]["run, stopped"] * 14 / 12, rel=0.01)


def test_what_is_given_is_what_is_taken(found) -> None:
    """The sum over the loads is not made from the supplies: that both agree is no way of reckoning."""
    for case in found.cases:
        given = sum(source.gives_a[case.name] for source in found.sources)
        taken = sum(draw.amps[case.name] for draw in found.draws)
        assert given == pytest.approx(found.total_a[case.name])
        assert taken == pytest.approx(given, abs=2e-4), case.name
        assert found.rest_a[case.name] == pytest.approx(given - taken)


def test_battery_is_charged_and_the_alternator_has_a_share(found) -> None:
    battery, alternator = found.sources
    assert battery.gives_a["run, running"] < 0 < battery.gives_a["run, stopped"]
    # a charged battery takes (14 - 12) / 0.4 ohm = 5 A, the seat 14 / 2.03 = 6.9 A: 11.9 of 30 A
    assert alternator.share("run, running") == pytest.approx(11.9 / 30, abs=0.01)
    assert alternator.share("off, stopped") == 0
    assert battery.share("run, stopped") is None


def test_drain_and_how_long_half_a_battery_lasts(found) -> None:
    """20 mA out of 30 Ah: 1500 hours, 62.5 days."""
    assert [(load.id, round(amps, 4)) for _, load, amps in found.drain.parts if load] == [("R2", 0.02)]
    assert found.drain.days == pytest.approx(62.5, rel=0.001)
    assert sum(amps for _, _, amps in found.drain.parts) == pytest.approx(found.drain.total_a)


def test_the_days_of_the_trade_book() -> None:
    """50 mA empties half of 60 Ah in 25 days (trade book, row 20)."""
    drain = budget(solved(BENCH.replace("load: 600 ohm", "load: 240 ohm"))).drain
    assert drain.total_a == pytest.approx(0.050, rel=0.001)
    assert drain.days == pytest.approx(25, rel=0.001)


def test_loads_apart(found) -> None:
    assert [(load.id, words) for load, words in found.pulsed] == [("R4", "3 ohm, R4.a draws 2 A")]
    assert [load.id for load in found.unknown] == ["R5"]
    assert [draw.load.id for draw in found.draws if draw.is_idle] == ["R3"]
    assert "R4" not in [draw.load.id for draw in found.draws]


def test_two_lamps_in_a_row_take_the_current_once() -> None:
    """Two loads of 6 ohm in a row take 1 A, not 2."""
    text = BENCH.replace("load: 600 ohm", "load: 6 ohm").replace("load: 5 ohm", "load: 6 ohm").replace("from: R2.b, to: G1.-", "from: R2.b, to: R3.a") + """
      20: {from: R3.b, to: G1.-, size: 1 mm2, length: 100 mm}
"""
    twice = budget(solved(text))
    assert sum(draw.amps["off, stopped"] for draw in twice.draws) == pytest.approx(1.0, rel=0.01)
    assert twice.rest_a["off, stopped"] == pytest.approx(0, abs=1e-4)


def test_what_a_control_unit_feeds_itself_is_not_counted_again() -> None:
    linnet = budget(solved("""
        devices:
          G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
          U1: {title: unit, connectors: [X1]}
          N1: {title: pressure sensor, terminals: [a, b], between: [N1.a, N1.b], load: 100 ohm}
        connectors:
          X1: {face: [[1..4]], view: mating face}
        cavities:
          X1.1: {signal: feed-constant, draws: 1 A}
          X1.2: {signal: ground-power}
          X1.3: {signal: reference-5v}
        wires:
          1: {from: G1.+, to: X1.1, size: 1 mm2, length: 100 mm}
          2: {from: X1.2, to: G1.-, size: 1 mm2, length: 100 mm}
          3: {from: X1.3, to: N1.a, size: 1 mm2, length: 100 mm}
          4: {from: N1.b, to: G1.-, size: 1 mm2, length: 100 mm}
    """))
    assert [load.id for load in linnet.inside] == ["N1"]
    assert [draw.load.id for draw in linnet.draws] == ["X1.1"]
    assert linnet.rest_a["off, stopped"] == pytest.approx(0, abs=1e-4)


def test_coils_stand_by_themselves() -> None:
    """A coil of 90 ohm at about 12.6 V: 0.14 A."""
    of = budget(solved("""
        devices:
          G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
        relays:
          K1: {contacts: make, coil: 90 ohm, suppression: none, type: mini}
        wires:
          1: {from: G1.+, to: K1.86, size: 1 mm2, length: 100 mm}
          2: {from: K1.85, to: G1.-, size: 1 mm2, length: 100 mm}
    """))
    assert of.coils_a["off, stopped"] == pytest.approx(12.6 / 90, rel=0.005)
    assert [words for words, _, _ in of.drain.parts] == ["coil of relay K1", "the rest"]


def test_coils_that_take_the_same_stand_in_the_order_of_the_description() -> None:
    names = ["K5", "K2", "K9", "K1", "K7", "K3"]
    relays = "".join(f"  {name}: {{coil: 100 ohm, suppression: none}}\n" for name in names)
    wires = "".join(f"  a{name}: {{from: G1.+, to: {name}.86, size: 1 mm2, length: 100 mm}}\n  b{name}: {{from: {name}.85, to: G1.-, size: 1 mm2, length: 100 mm}}\n"
                    for name in names)
    battery = 'devices:\n  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12 V, resistance: 10 mohm}}\n'
    operation = load("h.yaml", {"h.yaml": f"{battery}relays:\n{relays}wires:\n{wires}"}).operation
    assert operation is not None
    drain = budget(operation).drain
    assert drain is not None and [words for words, _, _ in drain.parts] == [*(f"coil of relay {name}" for name in names), "the rest"]
