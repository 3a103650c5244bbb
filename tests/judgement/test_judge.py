"""The verdicts as one list, and what a hotter zone and a stated free-air current make of a wire."""

from __future__ import annotations

import pytest
from judgement.judged import judged
from operation.operated import BATTERY

from harnessdoc.findings import Severity

FAN = """
supply: 12 V
wire-type: XLPE 125 C
zones: {engine: 85 C}
devices:
  %s
  M1: {terminals: [1, 2], between: [M1.1, M1.2], motor: {running: 40 A at 12 V}}
segments:
  T1: {from: P1, to: P2, length: 500 mm, zone: engine}
places:
  P1: {title: battery}
  P2: {title: fan}
fuses:
  F1: {rating: 50 A, type: maxi, place: P1}
wires:
  1: {from: G1.+, to: F1.1, size: 10 mm2, length: 100 mm}
  2: {from: F1.2, to: M1.1, size: 5 mm2, length: 500 mm, via: [T1]}
  3: {from: M1.2, to: G1.-, size: 5 mm2, length: 500 mm, via: [T1]}
""" % BATTERY.replace("between", "place: P1, between")


def fan(*changes: tuple[str, str]):
    text = FAN.replace("M1: {", "M1: {place: P2, ")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return judged(text)[1]


def test_every_verdict_is_in_the_list() -> None:
    judgement = fan()
    listed = list(judgement.verdicts)
    assert {kind for kind, _, _ in listed} == {"load", "wire", "fuse"}
    assert len(listed) == (sum(len(drop.verdicts) for drop in judgement.drops) + len(judgement.wires) + sum(len(one.verdicts) for one in judgement.protections)
                           + len(judgement.unprotected))


def test_where_the_zone_is_hotter_than_the_table_stands_for_the_heat_decides() -> None:
    # 12 AWG row, 125 C column: 50 A at 30 C; at 85 C root(40 / 95) = 0.649 of it: 32.4 A. The fan takes some 40 A
    warm, cool = fan().wires["2"].verdict, fan(("engine: 85 C", "engine: 50 C")).wires["2"].verdict
    assert 50 * (40 / 95) ** 0.5 == pytest.approx(32.44, abs=0.01)
    assert (warm.holds, warm.severity) == (False, Severity.ADVICE) and "by the heat it can give off at 85 C 32.4 A" in warm.words
    assert cool.holds and "by the heat" not in cool.words


def test_a_stated_free_air_current_takes_the_place_of_the_table() -> None:
    # both wires carry: two in the bundle, fully loaded 0.825; 60 A x 0.825 = 49.5 A
    wire = fan(("size: 5 mm2, length: 500 mm, via: [T1]}\n  3", "size: 5 mm2, length: 500 mm, via: [T1], free-air: 60 A}\n  3")).wires["2"]
    assert wire.allowed.current_a == pytest.approx(49.5) and wire.verdict.holds and "in free air as its maker states" in wire.verdict.words
