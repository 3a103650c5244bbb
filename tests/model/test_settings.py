"""Terminals, options of rules, waivers, and what a cavity says of its signal: what is read, what is refused."""

from __future__ import annotations

import subprocess
import sys

import pytest
from described import built, clean, said

from harnessdoc.description.measures import Pulses


def test_terminals():
    harness = clean("terminals:\n  receptacle 1.5: {takes: 0.5 mm2 to 1.5 mm2, note: n, evidence: e}\n  blade 6.3/0.8: {takes: unknown}\nconnectors:\n  receptacle 1.5: {}\n")
    assert list(harness.terminals) == ["receptacle 1.5"]     # one of which nothing is known is none; a name may hold a slash, and be that of a connector
    kind = harness.terminals["receptacle 1.5"]
    assert (kind.id, kind.least.area_mm2, kind.most.area_mm2, kind.note, kind.evidence, kind.source.place().line) == ("receptacle 1.5", 0.5, 1.5, "n", "e", 2)
    assert str(kind) == "0.5 mm2 to 1.5 mm2, n, e"


def test_a_terminal_whose_sizes_cannot_be_read_is_reported_and_left_out():
    harness, findings = built("terminals:\n  a: {takes: 1.5 mm2 to 0.5 mm2}\n")
    assert said(findings) == ["2:14: bad-quantity: `takes` of terminal a: '1.5 mm2 to 0.5 mm2' goes from large to small"]
    assert harness.terminals == {}


def test_all_files_of_a_description_count():
    text = "include: more.yaml\nterminals:\n  a: {takes: 1 mm2 to 2 mm2}\nrules: {x: {most: 1 A}}\nwaivers: [{at: F1, code: x, reason: r, date: 2026-09-14}]\n"
    more = "terminals:\n  b: {takes: 1 mm2 to 2 mm2}\n  a: {takes: 3 mm2 to 4 mm2}\nrules:\n  y: {most: 2 A}\n  x: {most: 3 A}\nwaivers:\n  - {at: F2, code: x, reason: r, date: 2026-09-14}\n"
    harness, findings = built(text, more_yaml=more)
    assert [(finding.place.file, *said([finding]), finding.do, [str(related.place) for related in finding.related]) for finding in findings] == [
        ("more.yaml", "3:3: duplicate-id: `terminals` speaks of terminal a in two files", "keep one of the two", ["main.yaml:3:3"]),
        ("more.yaml", "6:3: duplicate-id: `rules` speaks of rule x in two files", "keep one of the two", ["main.yaml:4:9"])]
    assert {name: kind.least.area_mm2 for name, kind in harness.terminals.items()} == {"a": 1.0, "b": 1.0}
    assert {code: dict(options) for code, options in harness.rule_options.items()} == {"x": {"most": "1 A"}, "y": {"most": "2 A"}}
    assert [(waiver.at, waiver.code, waiver.reason, waiver.date, waiver.source.place().line) for waiver in harness.waivers] == [
        ("F1", "x", "r", "2026-09-14", 5), ("F2", "x", "r", "2026-09-14", 8)]


def test_a_waiver_that_lacks_something_does_not_hold():
    harness, findings = built("waivers:\n  - {at: F1, code: x, date: 2026-09-14}\n  - {at: F1, code: x, reason: r, date: 2026-09-14}\n")
    assert said(findings) == ["2:5: key-missing: item 1 of `waivers` has no `reason`"]
    assert [waiver.source.place().line for waiver in harness.waivers] == [3]


def cavity(words: str) -> str:
    return f"connectors:\n  X1: {{face: [[1]], view: wire side}}\ncavities:\n  X1.1: {{{words}}}\n"


def test_what_a_cavity_says_of_its_signal():
    contact = clean(cavity("bus: powertrain, bit-rate: 500 kbit/s, pulses: 4000 per mile, curve: {100 C: 190 ohm, 40 C: 1305 ohm}, clamp: 45 V, monitored: true")).contacts["X1.1"]
    assert contact.bit_rate and contact.clamp and contact.curve and contact.inside is None
    assert (contact.bus, contact.bit_rate.value, contact.pulses, contact.clamp.value, contact.monitored) == ("powertrain", 500_000.0, Pulses(4000.0, "mile"), 45.0, True)
    assert (contact.curve.unit, contact.curve.points) == ("C", ((40.0, 1305.0), (100.0, 190.0)))


def test_what_is_unknown_or_not_said():
    for words in ("note: a", "bus: unknown, bit-rate: unknown, pulses: unknown, curve: {40 C: unknown, 100 C: 190 ohm}, clamp: unknown, monitored: false"):
        contact = clean(cavity(words)).contacts["X1.1"]
        assert (contact.bus, contact.bit_rate, contact.pulses, contact.curve, contact.clamp, contact.monitored) == ("", None, None, None, None, False)


@pytest.mark.parametrize("words, finding", [
    ("bit-rate: 500 kbps", "4:20: bad-quantity: `bit-rate` of X1.1: 'kbps' is not a unit of bit rate in '500 kbps'"),
    ("pulses: 4 per rev", "4:18: bad-quantity: `pulses` of X1.1: 'rev' is none of turn, km, mile in '4 per rev'"),
    ("clamp: 45", "4:17: bad-quantity: `clamp` of X1.1: a voltage needs a unit: '45' stands alone"),
    ("curve: {40: 1 ohm, 50 C: 2 ohm}", "4:18: bad-quantity: the point '40' of `curve` of X1.1: '40' is neither a temperature nor a share"),
    ("curve: {40 C: 1 V}", "4:24: bad-quantity: `40 C` of `curve` of X1.1: 'V' is not a unit of resistance in '1 V'"),
    ("curve: {40 C: 1 ohm, 50 %: 2 ohm}", "4:17: bad-quantity: `curve` of X1.1: some of its points stand at temperatures and some at shares"),
    ("curve: {}", "4:17: bad-quantity: `curve` of X1.1 has no points"),
])
def test_what_cannot_be_read(words, finding):
    harness, findings = built(cavity(words))
    assert said(findings) == [finding]
    contact = harness.contacts["X1.1"]
    assert (contact.bit_rate, contact.pulses, contact.curve, contact.clamp) == (None, None, None, None)


def test_segments_grounds_and_devices():
    harness = clean("segments:\n  T1: {from: P1, to: P2, near: {moving part: unknown, exhaust: 80 mm, fuel: 0 mm}, bend: 40 mm, clips: 30 cm, slack: 0 mm}\n  T2: {from: P1, to: P3}\n"
                    "grounds:\n  G1: {hinged: true}\n  G2: {hinged: false}\ndevices:\n  D1: {stays-with: [D2, transponder]}\n"
                    "  D3: {terminals: [1, 2], between: [D3.1, D3.2], solenoid: {winding: 1 ohm, at-most: 500 ms}}\n"
                    "  D4: {terminals: [1, 2], between: [D4.1, D4.2], alternator: {excitation: 120 mA}}\n")
    one, other = harness.segments["T1"], harness.segments["T2"]
    assert one.bend and one.clips and one.slack
    assert ([(what, length.mm) for what, length in one.near.items()], one.bend.mm, one.clips.mm, one.slack.mm) == ([("fuel", 0.0), ("exhaust", 80.0)], 40.0, 300.0, 0.0)
    assert (other.near, other.bend, other.clips, other.slack) == ({}, None, None, None)
    assert [ground.hinged for ground in harness.grounds.values()] == [True, False]
    assert (harness.devices["D1"].stays_with, harness.devices["D3"].stays_with) == (("D2", "transponder"), ())
    load, supply = harness.devices["D3"].load, harness.devices["D4"].supply
    assert load and load.at_most and load.at_most.value == 0.5
    assert supply and supply.excitation and supply.excitation.value == 0.12    # type: ignore[union-attr]


@pytest.mark.parametrize("words, finding", [
    ("near: {fuel: near}", "2:39: bad-quantity: `fuel` of segment T1: 'near' is not a length"),
    ("bend: 0 mm", "2:32: bad-quantity: `bend` of segment T1: a length cannot be zero here: '0 mm'"),
    ("clips: 300", "2:33: bad-quantity: `clips` of segment T1: a length needs a unit: '300' stands alone"),
    ("slack: -5 mm", "2:33: bad-quantity: `slack` of segment T1: a length cannot be negative: '-5 mm'"),
])
def test_lengths_of_a_segment_that_cannot_be_read(words, finding):
    assert said(built(f"segments:\n  T1: {{from: P1, to: P2, {words}}}\n")[1]) == [finding]


def test_a_description_without_any_of_it_starts_without_its_modules():
    code = ("import sys; sys.path.insert(0, 'tests'); from described import clean; clean('connectors:\\n  X1: {face: [[1]], view: wire side}\\ncavities:\\n  X1.1: {note: a}\\n');"
            "print([name for name in sys.modules if name.endswith(('.measures', '.build_signals'))])")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"
