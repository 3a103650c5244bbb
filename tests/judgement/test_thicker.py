"""What the source reaches without passing a load, and the wires that must be thicker so that a way loses no more than it may."""

from __future__ import annotations

from math import fsum, inf

import pytest
from judgement.judged import judged

from harnessdoc.judgement.drops import drops
from harnessdoc.judgement.fed import fed_in
from harnessdoc.judgement.thicker import most_mm2, sizes_in_words, sizes_that_lose, thicker
from harnessdoc.steps import load
from harnessdoc.trade.size_rows import row_size

PUMP = """\
title: a pump
wire-type: PVC 85 C
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
  S1: {terminals: [1, 2], closes: {on: [[S1.1, S1.2]]}}
  M1: {title: pump, terminals: [1, 2], between: [M1.1, M1.2], motor: 6 A at 12 V}
  U1: {title: unit, terminals: [1, 2]}
cavities:
  U1.1: {signal: output-low, commanded: always}
  U1.2: {signal: ground-power}
fuses:
  F1: {rating: 10 A, type: blade}
wires:
  1: {from: G1.+, to: F1.1, size: 2.5 mm2, length: 1 m}
  2: {from: F1.2, to: S1.1, size: 0.75 mm2, length: 5 m}
  3: {from: S1.2, to: M1.1, size: 1 mm2, length: 3 m}
  4: {from: M1.2, to: G1.-, size: 1 mm2, length: 2 m}
  5: {from: U1.2, to: G1.-, size: 1 mm2, length: 1 m}
"""
ON = "off, stopped, S1 on"


def test_a_way_leads_from_plus_to_the_load_and_back_and_its_volts_add_up():
    operation, _ = judged(PUMP)
    fed, of = fed_in(operation, operation.solved[ON]), operation.wiring.nodes.of
    assert [step.words for step in fed.feed(of["M1.1"])] == ["wire 1", "fuse F1", "wire 2", "switch S1", "wire 3"]
    assert [step.words for step in fed.back(of["M1.2"])] == ["wire 4"]
    assert [step.words for step in fed.to_plus(of["M1.1"])] == ["wire 3", "switch S1", "wire 2", "fuse F1", "wire 1"]
    volts = fed.solution.voltages
    assert fsum(step.drop_v for step in fed.feed(of["M1.1"])) == pytest.approx(volts[of["G1.+"]] - volts[of["M1.1"]], abs=1e-12)
    assert fsum(step.drop_v for step in fed.to_plus(of["M1.1"])) == pytest.approx(volts[of["M1.1"]] - volts[of["G1.+"]], abs=1e-12)


def test_an_open_switch_and_a_load_end_the_way():
    operation, _ = judged(PUMP)
    of = operation.wiring.nodes.of
    assert of["S1.2"] not in fed_in(operation, operation.solved["off, stopped"]).before
    on = fed_in(operation, operation.solved[ON])
    assert of["M1.2"] not in on.before and of["M1.1"] not in on.behind
    assert on.feed(of["M1.2"]) == ()


def test_the_sizes_that_are_named_hold():
    operation, judgement = judged(PUMP)
    (drop,) = (drop for drop in judgement.drops if drop.load == "M1")
    steps = tuple(step for step in (*drop.feed, *drop.back) if step.kind != "load")
    wanted, lost_v = sizes_that_lose(operation, steps, 0.5, 12.6)
    assert list(wanted)[0] == "2" and lost_v <= 0.5 < drop.total_v
    text = PUMP
    for wire, size in wanted.items():
        text = text.replace(next(line for line in text.splitlines() if line.startswith(f"  {wire}:")),
                            next(line for line in text.splitlines() if line.startswith(f"  {wire}:")).replace(str(operation.wiring.conductors[wire].size).replace("²", "2"), f"{size.area_mm2:g} mm2"))
    (held,) = (drop for drop in judged(text)[1].drops if drop.load == "M1")
    assert held.total_v == pytest.approx(lost_v, rel=0.01)
    assert held.total_v <= 0.5
    assert "wire 2 of" in sizes_in_words(operation, wanted) and "instead of 0.75 mm²" in sizes_in_words(operation, wanted)


def test_what_no_thicker_wire_mends_gives_none():
    operation, judgement = judged(PUMP)
    (drop,) = (drop for drop in judgement.drops if drop.load == "M1")
    assert sizes_that_lose(operation, (*drop.feed, *drop.back), 0.02, 12.6)[0] == {}


def test_a_wire_is_not_asked_to_grow_beyond_eight_times_its_copper():
    operation, judgement = judged(PUMP.replace("length: 5 m", "length: 40 m"))
    (drop,) = (drop for drop in judgement.drops if drop.load == "M1")
    steps = tuple(step for step in drop.feed if step.wire == "2")
    for most_v in (0.9, 0.6, 0.4):
        wanted, _ = sizes_that_lose(operation, steps, most_v, 12.6)
        assert all(size.area_mm2 <= 6 for size in wanted.values())
    assert sizes_that_lose(operation, steps, 0.9, 12.6)[0] and not sizes_that_lose(operation, steps, 0.4, 12.6)[0]


def test_thicker_sizes_rise_in_the_same_system():
    sizes = list(thicker(row_size("AWG", "14")))
    assert [size.system for size in sizes] == ["AWG"] * len(sizes)
    assert all(a.area_mm2 < b.area_mm2 for a, b in zip(sizes, sizes[1:]))


def test_a_load_switched_on_its_ground_side_is_not_held_to_the_limit_of_a_ground():
    switched = PUMP.replace("to: G1.-, size: 1 mm2, length: 2 m", "to: U1.1, size: 1 mm2, length: 2 m")
    (direct,), (low,) = ([drop for drop in judged(text)[1].drops if drop.load == "M1"] for text in (PUMP, switched))
    assert [limit.kind for limit in direct.limits] == ["continuous", "ground"]
    assert [limit.kind for limit in low.limits] == ["continuous"]


def test_an_alternator_that_feeds_less_than_hangs_on_it_has_no_drop_to_the_battery():
    text = """\
title: idling
wire-type: PVC 85 C
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  A1: {terminals: [B+, case], between: [A1.B+, A1.case], alternator: {limit: 10 A}}
  S1: {title: key switch, terminals: [1, 2], closes: {run: [[S1.1, S1.2]]}}
  E1: {title: heater, terminals: [1, 2], between: [E1.1, E1.2], heater: 30 A at 12 V}
wires:
  1: {from: A1.B+, to: G1.+, size: 16 mm2, length: 1 m}
  2: {from: A1.case, to: G1.-, size: 16 mm2, length: 1 m}
  3: {from: A1.B+, to: E1.1, size: 16 mm2, length: 1 m}
  4: {from: E1.2, to: G1.-, size: 16 mm2, length: 1 m}
"""
    operation, _ = judged(text)
    (drop,) = (drop for drop in drops(operation) if drop.load == "A1")
    (verdict,) = (verdict for verdict in drop.verdicts if verdict.about == "feed")
    assert verdict.holds is None and "current comes from the battery" in verdict.words


TAKES = "terminals:\n  small: {takes: 0.5 mm2 to 2.5 mm2}\n"


@pytest.mark.parametrize("wire, terminal, most", [
    ("size: 1 mm2", "", 6),                             # nothing is said: no more than 6 mm2
    ("size: 10 mm2", "", inf),                          # a main cable has studs at its ends already
    ("size: 1 mm2", "M1.1: {terminal: small}", 2.7),    # 2.5 mm2, and 14 AWG counts as that
    ("size: 10 mm2", "M1.1: {terminal: small}", 2.7),
])
def test_no_wire_is_asked_for_that_its_terminals_do_not_take(wire: str, terminal: str, most: float):
    text = PUMP.replace("  3: {from: S1.2, to: M1.1, size: 1 mm2", f"  3: {{from: S1.2, to: M1.1, {wire}").replace("cavities:\n", f"cavities:\n  {terminal}\n" if terminal else "cavities:\n") + TAKES
    assert most_mm2(judged(text)[0], "3") == pytest.approx(most)


def test_two_wires_in_one_cavity_share_what_its_terminal_takes():
    joined = "connectors:\n  X1: {face: [[1, 2]], view: mating face}\n" + PUMP.replace("to: M1.1, size: 1 mm2", "to: X1.1, size: 1 mm2").replace("cavities:\n", "cavities:\n  X1.1: {terminal: small, crimp: double}\n")
    operation, _ = judged(joined + "  6: {from: X1.1, to: M1.1, size: 1.5 mm2, length: 1 m}\n" + TAKES)
    assert most_mm2(operation, "3") == pytest.approx(2.5 * 1.08 - 1.5)


def test_a_lamp_at_the_end_of_a_long_way_is_not_told_to_have_a_cable():
    text = PUMP.replace("motor: 6 A at 12 V", "lamp: 55 W at 12 V").replace("length: 3 m", "length: 60 m").replace("to: M1.1, size: 1 mm2", "to: M1.1, size: 2.5 mm2")
    (finding,) = (finding for finding in load("pump.yaml", {"pump.yaml": text}).findings if finding.code == "voltage-drop")
    assert finding.do == "no wire that the terminals take does it (6 mm² where they say nothing): a shorter way, or a relay near M1 with a feed of its own; measure over wire 3 first"


def test_neither_is_a_fuse_mended_by_wire_that_its_terminals_do_not_take():
    """40 A before wires of 0.75 and 1 mm2: thicker ones would bear it, and a terminal for 1.5 mm2 does not take them."""
    text = PUMP.replace("rating: 10 A", "rating: 40 A")
    (free,) = judged(text)[1].protections
    assert any("mm² for wire" in words for words in free.suggestions)
    held_text = text.replace("cavities:\n", "cavities:\n  M1.1: {terminal: small}\n") + TAKES.replace("0.5 mm2 to 2.5", "0.35 mm2 to 1.5")
    (held,) = judged(held_text)[1].protections
    assert not any("mm² for wire" in words for words in held.suggestions)
