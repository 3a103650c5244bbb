"""The schema check: every fault in the user's words, and a schema that says what the program reads."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

import jsonschema
import jsonschema_rs
import pytest
from described import built, clean, said

from harnessdoc.description import schema as schema_module
from harnessdoc.description.files import load_files
from harnessdoc.description.schema import check_schema, schema, schema_text
from harnessdoc.description.text import Record
from harnessdoc.model.electric import Engine
from harnessdoc.model.electric_words import LOAD_KINDS, OF_CAVITY, OF_DEVICE, OF_SIGNAL, SUPPLY_KINDS
from harnessdoc.model.harness import NEAR
from harnessdoc.steps import load
from harnessdoc.trade.ampacity import TABLES
from harnessdoc.trade.colours import CONVENTIONS
from harnessdoc.trade.relay_parts import relay_parts
from harnessdoc.trade.signals import signals
from harnessdoc.trade.tables import factors

TESTS = Path(__file__).parent.parent
FACE = "write rows ([[1..13], [14..26]]), or {ring: [1..12]}, or {xy: {1: [0, 0], 2: [5, 0]}}"
FAULTS = [
    ("wiers: {}", "1:1: unknown-key: the description has no key `wiers`", re.compile("did you mean `wires`[?] the keys here are allowances, .*, wires, zones")),
    ("diodes:\n  D1: {volts: 1}", "2:8: unknown-key: diode D1 has no key `volts`", "the keys here are box, evidence, note, part, place, rating, title"),
    ("fusible-links:\n  L1: {szie: 1 mm2}", "2:8: unknown-key: fusible link L1 has no key `szie`",
     "did you mean `size`? the keys here are box, evidence, feeds, note, place, rating, size, title"),
    ("allowances: {rounding: {step: 5 mm, stop: 1 mm}}", "1:37: unknown-key: `rounding` of `allowances` has no key `stop`",
     "did you mean `step`? the keys here are above, step, step-above"),
    ("tables: {fuses: a.csv}", "1:10: unknown-key: `tables` has no key `fuses`", "the keys here are cavities, segments, wires"),
    ("title: [a]", "1:8: wrong-kind: `title` is a list, where text is wanted", "YAML takes what stands in [ ] for a list; write: title: a"),
    ("title: {a: b}", "1:8: wrong-kind: `title` is a map, where text is wanted", "write one value, without brackets"),
    ("fuses:\n  F1: {rating: [15 A]}", "2:16: wrong-kind: `rating` of fuse F1 is a list, where text is wanted", "YAML takes what stands in [ ] for a list; write: F1: {rating: 15 A}"),
    ("wires: [a]", "1:8: wrong-kind: `wires` is a list, where a map is wanted", "write `key: value` lines, or {key: value}"),
    ("pairs:\n  p: twisted", "2:6: wrong-kind: pair p is the text 'twisted', where a map is wanted", "write `key: value` lines, or {key: value}"),
    ("circuits:\n  c: {hot: run}", "2:12: wrong-kind: `hot` of circuit c is the text 'run', where a list is wanted", "without brackets YAML takes it for one text; write: c: {hot: [run]}"),
    ("boxes:\n  B1: {bars: {30: F1.1}}", "2:19: wrong-kind: `30` of `bars` of box B1 is the text 'F1.1', where a list is wanted", "without brackets YAML takes it for one text; write: B1: {bars: {30: [F1.1]}}"),
    ("include: {a: b}", "1:10: wrong-kind: `include` is a map, where text is wanted", "write one value, without brackets"),
    ("connectors:\n  X1: {face: 1..4, view: wire side}", "2:14: wrong-kind: `face` of connector X1 is the text '1..4', where rows or a map are wanted", FACE),
    ("connectors:\n  X1: {face: [1..4], view: wire side}",
     "2:15: wrong-kind: `face` of connector X1 is one row, where a list of rows is wanted", "write the row in brackets of its own: [[1..4]]"),
    ("connectors:\n  X1: {face: [[[1]]], view: wire side}",
     "2:16: wrong-kind: item 1 of row 1 of `face` of connector X1 is a list, where text is wanted", "YAML takes what stands in [ ] for a list; write: X1: {face: [[1]], view: wire side}"),
    ("connectors:\n  X1: {face: [], view: wire side}", "2:14: wrong-count: `face` of connector X1 has 0 items, where at least 1 is wanted", "add what is missing"),
    ("devices:\n  D1: {terminals: [1, 2], links: [[D1.1]]}",
     "2:35: wrong-count: item 1 of `links` of device D1 has 1 item, where at least 2 are wanted", "add what is missing"),
    ("devices:\n  D1: {terminals: [1, 2], between: [D1.1, D1.2, D1.1]}",
     "2:36: wrong-count: `between` of device D1 has 3 items, where at most 2 are wanted", "take out what is too much"),
    ("connectors:\n  X1: {face: [[{cavity: 1, wide: big}]], view: wire side}",
     "2:34: wrong-form: `wide` of item 1 of row 1 of `face` of connector X1 is 'big', which has not the form wanted", "for example `2`"),
    ("connectors:\n  X1: {face: {xy: {1: [0, 1e2]}}, view: wire side}",
     "2:27: wrong-form: item 2 of `1` of `xy` of `face` of connector X1 is '1e2', which has not the form wanted", "for example `-2.5`"),
    ("log: [{revision: A, date: 31.1.2026}]", "1:27: wrong-form: `date` of item 1 of `log` is '31.1.2026', which has not the form wanted", "for example `2026-01-31`"),
    ("connectors:\n  X1: {face: {}, view: wire side}", "2:14: wrong-form: `face` of connector X1 must have one of `ring` and `xy`", FACE),
    ("connectors:\n  X1: {face: {ring: [1], xy: {1: [0, 0]}}, view: wire side}", "2:14: wrong-form: `face` of connector X1 must have one of `ring` and `xy`", FACE),
    ("connectors:\n  X1: {half: male}", "2:14: not-a-choice: `half` of connector X1 is 'male', which is none of its words", "did you mean `plug`? the words are plug, socket, unknown"),
    ("connectors:\n  X1: {half: [plug]}", "2:14: not-a-choice: `half` of connector X1 is a list, which is none of its words", "the words are plug, socket, unknown"),
    ("circuits:\n  c: {hot: [runing]}", "2:13: not-a-choice: item 1 of `hot` of circuit c is 'runing', which is none of its words",
     "did you mean `run`? the words are always, accessory, run, start, with engine, commanded"),
    ("colours: iec 60757", "1:10: not-a-choice: `colours` is 'iec 60757', which is none of its words",
     "did you mean `IEC 60757`? the words are IEC 60757, DIN 47002, North American trade, Japanese trade"),
    ("devices:\n  D1: {terminals: [1]}\ncavities:\n  D1.1: {signal: lmap}", "4:18: unknown-signal: `signal` of cavity D1.1 is 'lmap', which is none of its words",
     "did you mean `lamp`? docs/language.md lists all 126 words"),
    ("connectors:\n  X1: {face: [[1]]}", "2:3: view-missing: connector X1 has a face but no view",
     "write `view: mating face` or `view: wire side`: the side from which the face was written down"),
    ("grounds:\n  G1: {}\nwires:\n  7: {from: G1}", "4:3: wire-end-missing: wire 7 has no `to`",
     "write the address, or `to: unknown` until it is found, or `to: open` where it is left unconnected on purpose"),
    ("grounds:\n  G1: {}\nwires:\n  7: {to: G1}", "4:3: wire-end-missing: wire 7 has no `from`",
     "write the address, or `from: unknown` until it is found, or `from: open` where it is left unconnected on purpose"),
    ("segments:\n  T1: {from: P1}", "2:3: key-missing: segment T1 has no `to`", "write `to:`"),
    ("waivers: [{at: wire 1, code: fuse-over-wire, date: 2026-01-31}]", "1:11: key-missing: item 1 of `waivers` has no `reason`", "write `reason:`"),
    ("waivers: [{at: F1, code: fuse-over-wire, reason: a, date: today}]",
     "1:59: wrong-form: `date` of item 1 of `waivers` is 'today', which has not the form wanted", "for example `2026-01-31`"),
    ("waivers: {at: F1}", "1:10: wrong-kind: `waivers` is a map, where a list is wanted", "put it in brackets: [ ... ]"),
    ("rules: {parasitic-drain: 30 mA}", "1:26: wrong-kind: `parasitic-drain` of `rules` is the text '30 mA', where a map is wanted", "write `key: value` lines, or {key: value}"),
    ("terminals:\n  pin 1.5: {}", "2:3: key-missing: terminal pin 1.5 has no `takes`", "write `takes:`"),
    ("segments:\n  T1: {from: P1, to: P2, near: {petrol: 50 mm}}", "2:33: unknown-key: `near` of segment T1 has no key `petrol`", "the keys here are exhaust, fuel, moving part"),
    ("grounds:\n  G1: {hinged: yes}", "2:16: not-a-choice: `hinged` of ground G1 is 'yes', which is none of its words", "the words are true, false"),
    ("log: [{date: 2026-01-31}]", "1:7: key-missing: item 1 of `log` has no `revision`", "write `revision:`"),
    ("connectors:\n  X1: {face: [[1, {wide: 2}]], view: wire side}", "2:19: key-missing: item 2 of row 1 of `face` of connector X1 has no `cavity`", "write `cavity:`"),
]


@pytest.mark.parametrize("text, words, do", FAULTS)
def test_fault(text, words, do):
    (finding,) = built(text + "\n")[1]
    assert said([finding]) == [words]
    assert do.fullmatch(finding.do) if isinstance(do, re.Pattern) else finding.do == do


def test_the_validators_own_words_never_reach_the_user():
    theirs = ("is not of type", "is not one of", "Additional properties", "required property", "is not valid under", "does not match")
    for text, *_ in FAULTS:
        for finding in built(text + "\n")[1]:
            assert not any(words in finding.message + finding.do for words in theirs)


def test_a_key_that_looks_like_a_number_keeps_its_place():
    """The validator gives the path of 010, 10 and +10 as 10."""
    text = "wires:\n  10: {from: unknown, to: G1, a: 1}\n  010: {from: unknown, to: G1}\n  +10: {from: unknown, to: G1, a: 1}\ngrounds:\n  G1: {}\n"
    assert said(built(text)[1]) == ["2:31: unknown-key: wire 10 has no key `a`", "4:32: unknown-key: wire +10 has no key `a`"]


def test_a_heading_is_reported_once_and_where_it_stands():
    _, findings = built("grounds:\n  G1: {}\ntables: {wires: w.csv}\n", w_csv="wire,to,fromage,from\n1,G1,x,unknown\n2,G1,y,unknown\n")
    assert said(findings) == ["1:9: unknown-key: the heading `fromage` is no key of a wire"]


def test_a_value_written_with_nothing_is_reported_by_the_reader_alone():
    assert [finding.code for finding in built("title:\ncolours:\nwires:\n")[1]] == ["empty-value"] * 3


# ---------------------------------------------------------------- the reference implementation


def fixtures() -> Iterator[tuple[str, dict[str, str]]]:
    """Every bad description of the tests and every example, as texts by name."""
    for file in ("bad_input.txt", "description/bad_input.txt"):
        for part in re.split(r"^=== ", (TESTS / file).read_text("utf-8"), flags=re.M)[1:]:
            name, text = re.split(r"^--- |^\.\.\. ", part, maxsplit=1, flags=re.M)[0].split("\n", 1)
            main, *more = re.split(r"^\+\+\+ ", text, flags=re.M)
            yield f"{file}: {name}", {"heron.yaml": main} | dict(other.split("\n", 1) for other in more)
    for number, (text, *_) in enumerate(FAULTS):
        yield f"fault {number}", {"heron.yaml": text + "\n"}


def documents() -> Iterator[tuple[str, Record]]:
    for name, texts in fixtures():
        for document in load_files("heron.yaml", texts).documents:
            yield name, document
    for file in sorted((TESTS.parent / "examples").rglob("*.yaml")):
        for document in load_files(file).documents:
            yield file.name, document


@pytest.mark.outside("jsonschema, the reference implementation in Python")
def test_both_validators_give_the_same_verdict_on_every_fixture():
    reference, ours = jsonschema.Draft202012Validator(schema()), jsonschema_rs.Draft202012Validator(schema())
    verdicts = []
    for name, document in documents():
        plain = json.loads(json.dumps(document))
        theirs = sorted(tuple(map(str, error.absolute_path)) for error in reference.iter_errors(plain))
        mine = sorted(tuple(step.lstrip("0+") or "0" if step.lstrip("+").isdecimal() else step for step in map(str, error.instance_path))
                      for error in ours.iter_errors(document))
        assert mine == [tuple(step.lstrip("0+") or "0" if step.lstrip("+").isdecimal() else step for step in path) for path in theirs], name
        assert bool(theirs) == (not ours.is_valid(document)), name
        verdicts.append(bool(theirs))
    assert verdicts.count(True) > 60 and verdicts.count(False) > 60


@pytest.mark.outside("jsonschema, the reference implementation in Python")
def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(schema())


# ---------------------------------------------------------------- the schema and the program


def definitions_named(node: object) -> Iterator[str]:
    if isinstance(node, dict):
        if "$ref" in node:
            yield node["$ref"].rsplit("/", 1)[1]
        for value in node.values():
            yield from definitions_named(value)
    elif isinstance(node, list):
        for value in node:
            yield from definitions_named(value)


def test_every_definition_is_used_and_none_is_missing():
    assert set(definitions_named(schema())) == set(schema()["$defs"])


def test_the_schema_is_written_one_way():
    assert schema_text() == json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


def test_the_words_of_the_schema_are_those_of_the_program():
    defs = schema()["$defs"]
    assert defs["signal"]["enum"] == list(signals())
    assert tuple(defs["convention"]["enum"]) == CONVENTIONS
    assert ", ".join(f"`{part}`" for part in relay_parts()) in defs["relay"]["properties"]["part"]["description"]
    assert [state.value for state in Engine] == defs["state"]["properties"]["engine"]["enum"]
    assert OF_DEVICE == {*LOAD_KINDS, *SUPPLY_KINDS, "loads", "rest"} and OF_DEVICE <= set(defs["device"]["properties"])
    assert set(defs["cavity"]["properties"]) >= OF_CAVITY | OF_SIGNAL
    assert tuple(defs["near"]["properties"]) == NEAR
    assert tuple(schema()["properties"]["ampacity"]["enum"]) == TABLES
    assert {f"ambient-{zone}" for zone in defs["zones"]["properties"]} <= set(factors())
    assert set(defs["zones"]["properties"]) == set(defs["segment"]["properties"]["zone"]["enum"]) - {"unknown"}


EVERY_KEY = """\
title: a
owner: a
number: a
by: a
approved: a
note: a
log: [{revision: A, date: 2026-01-31, by: a, reading: a, why: a}]
supply: 12 V
colours: IEC 60757
wire-type: TXL
include: other.yaml
tables: {wires: w.csv, cavities: c.csv, segments: s.csv}
allowances: {end: 1 mm, splice: 1 mm, rounding: {step: 1 mm, above: 1 m, step-above: 5 mm}}
zones: {engine: 85 C, cabin: 30 C, wet: 20 C, hot: 110 C, flexing: 40 C}
ampacity: ABYC E-11
rules: {fuse-over-wire: {most: 1 A}}
waivers: [{at: wire 1, code: fuse-over-wire, reason: a, date: 2026-01-31}]
terminals:
  a: {takes: 0.5 mm2 to 1.5 mm2, note: a, evidence: a}
places:
  P1: {title: a, zone: wet, note: a}
segments:
  T1: {from: P1, to: P2, length: 1 m, covering: a, zone: wet, grommet: 9 mm, near: {fuel: 120 mm, exhaust: 80 mm, moving part: 40 mm}, bend: 30 mm, clips: 300 mm, slack: 50 mm, covering-wall: 1 mm, sections: {A: 60 mm}, note: a, evidence: a}
devices:
  D1: {title: a, place: P1, connectors: [X1], terminals: [1, 2], links: [[D1.1, D1.2]], closes: {on: [[D1.1, D1.2]]}, rest: on, lamp: a, between: [D1.1, D1.2], stays-with: [D3, key], note: a, evidence: a}
  D3: {terminals: [1, 2], between: [D3.1, D3.2], battery: {emf: 12.6 V, resistance: 8 mohm}}
  D4: {terminals: [1, 2, L, S], between: [D4.1, D4.2], alternator: {voltage: 14 V, limit: 75 A, charge-lamp: D4.L, sense: D4.S, field: 4 ohm, excitation: 120 mA}}
  D5: {terminals: [1, 2], between: [D5.1, D5.2], test-supply: {voltage: 12 V, limit: 10 A}}
  D6: {terminals: [1, 2], between: [D6.1, D6.2], motor: {running: 8 A at 12 V, stalled: 0.3 ohm}}
  D7: {terminals: [1, 2], between: [D7.1, D7.2], heater: 2 ohm}
  D8: {terminals: [1, 2], between: [D8.1, D8.2], sender: 10 ohm to 180 ohm}
  D9: {terminals: [1, 2], between: [D9.1, D9.2], solenoid: {winding: 14 ohm, pull-in: 8 V, release: 3 V, at-most: 2 s}}
  D10: {terminals: [1, 2], between: [D10.1, D10.2], coil: 3 ohm}
  D11: {terminals: [1, 2], between: [D11.1, D11.2], load: 5 A at 12 V}
  D12:
    terminals: [1, 2]
    loads:
      a: {between: [D12.1, D12.2], solenoid: 2 ohm}
      b: {between: [D12.1, D12.2], lamp: 2 W at 12 V, closed-by: a}
connectors:
  X1: {title: a, place: P1, half: plug, face: [[{cavity: 1, wide: 2, high: 2}, 2]], view: wire side, lock: top, entry: left, photo: a, housing: a, terminal: a, seal: a, plug: a, mates: X2, service: 1 mm, note: a, evidence: a}
  X2: {face: {ring: [1..2], start: 1 deg, direction: clockwise, centre: 3}, view: wire side}
  X3: {face: {xy: {1: [0, 0]}}, view: wire side}
cavities:
  X1.1: {function: a, signal: output-low, circuit: a, terminal: a, seal: a, plug: a, crimp: double, limit: 1 A, draws: 1 A, on-resistance: 1 ohm, commanded: run, pull-up: 2 kohm to 5 V, pull-down: 9 kohm, diode: both, metal: engine, bus: a, bit-rate: 500 kbit/s, pulses: 2 per turn, curve: {40 C: 1305 ohm, 100 C: 190 ohm}, clamp: 45 V, monitored: true, note: a, evidence: a}
  X1.2: {signal: output-low}
boxes:
  B1: {title: a, place: P1, lid: [[F1]], lid-view: a, bars: {30: [F1.1]}, spare: [F9], photo: a, note: a, evidence: a}
fuses:
  F1: {title: a, box: B1, place: P1, note: a, evidence: a, rating: 1 A, type: a, resistance: 7 mohm, drop: 90 mV, feeds: a, circuit: a}
fusible-links:
  L1: {title: a, box: B1, place: P1, note: a, evidence: a, size: 1 mm2, rating: 1 A, feeds: a}
relays:
  K1: {title: a, box: B1, place: P1, note: a, evidence: a, contacts: make, suppression: diode, coil: 1 ohm, pull-in: 7 V, release: 1 V, rating: 1 A, type: a, part: mini relay 40 A, commanded-by: a, feeds: a}
diodes:
  D2: {title: a, box: B1, place: P1, note: a, evidence: a, part: a, rating: 1 A}
resistors:
  R1: {title: a, box: B1, place: P1, note: a, evidence: a, part: a, value: 1 ohm, power: 1 W}
splices:
  S1: {title: a, place: P1, method: a, sleeve: a, shrink: a, join: a, members: [unknown], evidence: a, note: a}
  S2: {at: 1 mm from P1 toward P2}
grounds:
  G1: {title: a, place: P1, stud: a, metal: body, terminal: a, hinged: true, note: a, evidence: a}
circuits:
  c: {title: a, system: a, number: a, hot: [run], pulsed: true, note: a}
states:
  s: {key: off, engine: running, switches: {D1: on}, commanded: [X1.2], note: a}
cables:
  W1: {title: a, part: a, shield: braid, diameter: 5 mm, colour: BK, lay: 9 mm, length: 1 m, note: a, evidence: a}
  W2: {color: BK}
pairs:
  p: {title: a, lay: 9 mm, twisted: 1 m, note: a}
wires:
  1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL, circuit: c, length: 1 m, via: [T1], pair: p, cable: W1, core: drain, diameter: 1 mm, free-air: 18 A, evidence: a, note: a}
  2: {from: X1.2, to: S1, color: BK}
"""
EVERY_KEY_OF_A_MERGE = """\
title: a
sources:
  host: {file: host.yaml, role: host, note: a}
  donor: {file: donor.yaml, role: donor}
fates:
  - {fate: kept, wire: host/1, why: a}
  - {fate: kept, circuit: donor/c}
  - {fate: removed, device: donor/D9}
  - {fate: removed, connector: donor/X9}
  - {fate: capped, pattern: donor/8*, at: donor/X1.1}
joins:
  J1:
    {ends: [host/X1.1, donor/X1.1], cut: both, method: a, at: 10 mm from P1 toward P2, stubs: {host/X1.1: 100 mm}, strip: 8 mm, overlap: 6 mm,
     piece: {size: 1 mm2, colour: BK, type: TXL, length: 1 m, circuit: a, note: a}, far: {host/X1.1: capped}, wires: {host/X1.1: host/2}, circuit: a, note: a}
  J2: {ends: [host/X1.2, donor/X1.2], place: P1, through: I1, piece: {at: host/X1.2}}
interfaces:
  I1: {recipe: supply signal to ground input, signal: host/X1.2, input: donor/X1.2, ground: host/G9, position: host/K9, place: P1, note: a}
open: {donor/X1.3: a}
places:
  P1: {title: a}
  host/X1: P1
segments:
  T1: {from: P1, to: P2, length: 1 m}
"""
OF_A_SOURCE = """\
title: a
devices:
  D9: {terminals: [1]}
boxes:
  B1: {spare: [K9]}
connectors:
  X1: {face: [[1..8]], view: wire side}
  X9: {face: [[1..2]], view: wire side}
wires:
  1: {from: X9.1, to: X1.4, circuit: c}
  2: {from: X1.1, to: X1.5}
  3: {from: X1.2, to: X1.6}
  8: {from: X1.7, to: X1.8}
  9: {from: D9.1, to: X9.2}
"""
MORE = {"other_yaml": "title: a\n", "w_csv": "wire,from,to\n", "c_csv": "cavity,note\n", "s_csv": "segment,note\n"}


def maps_of(value: object) -> Iterator[Record]:
    if isinstance(value, Record):
        yield value
        for inner in value.values():
            yield from maps_of(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from maps_of(inner)


def test_every_key_of_the_schema_stands_in_the_file_and_is_read(monkeypatch):
    """What is written and never looked at would be passed over in silence."""
    asked: set[tuple[int, str]] = set()
    dict_get, dict_item = dict.get, dict.__getitem__

    def get(record, key, default=None):
        asked.add((record.mark, key))
        return dict_get(record, key, default)

    def item(record, key):
        asked.add((record.mark, key))
        return dict_item(record, key)

    monkeypatch.setattr(Record, "get", get, raising=False)
    monkeypatch.setattr(Record, "__getitem__", item, raising=False)
    clean(EVERY_KEY, **MORE)
    of_one = asked.copy()
    asked.clear()
    load("merge.yaml", {"merge.yaml": EVERY_KEY_OF_A_MERGE, "host.yaml": OF_A_SOURCE, "donor.yaml": OF_A_SOURCE})
    monkeypatch.undo()
    in_schema = {key for node in [schema(), *schema()["$defs"].values()] for key in properties_of(node)}
    texts = {"main.yaml": EVERY_KEY, **{name.replace("_", "."): text for name, text in MORE.items()}, "merge.yaml": EVERY_KEY_OF_A_MERGE}
    written: set[str] = set()
    unread = []
    for file, seen in (("main.yaml", of_one), ("merge.yaml", asked)):
        document = load_files(file, texts).documents[0]
        written |= {key for record in maps_of(document) for key in record}
        unread += [f"{record.source.place(record.mark)} {key}" for record in maps_of(document) for key in record
                   if key in in_schema and (record.mark, key) not in seen]
    assert in_schema <= written
    assert unread == []


def properties_of(node: object) -> Iterator[str]:
    if isinstance(node, dict):
        properties = node.get("properties")
        if isinstance(properties, dict):
            yield from properties
        for value in node.values():
            yield from properties_of(value)


def test_the_schema_is_found_beside_the_package_or_in_it(tmp_path, monkeypatch):
    monkeypatch.setattr(schema_module, "_PACKAGE", tmp_path / "harnessdoc")
    with pytest.raises(FileNotFoundError, match="missing from this installation"):
        schema_text()
    (tmp_path / "harnessdoc" / "schemas").mkdir(parents=True)
    (tmp_path / "harnessdoc" / "schemas" / "harness.schema.json").write_text("{}")
    assert schema_text() == "{}"


def test_a_document_without_a_fault_costs_no_finding():
    (document,) = load_files("a.yaml", {"a.yaml": "title: Heron\n"}).documents
    assert check_schema(document) == []
