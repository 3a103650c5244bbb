"""Meaning is compared, not text: what is written differently but says the same is no change."""

from __future__ import annotations

import csv
import io
import json
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from revision.bench import (
    SECTION_OF,
    Description,
    linnet,
    text_of,
    version_of,
    version_of_texts,
)
from revision.canonical import canonical
from revision.strategies import descriptions

from harnessdoc.revision.compare import compare
from harnessdoc.revision.version import Version

FRAME = """
colours: {colours}
segments:
  T1: {{from: P1, to: P2, length: {length}}}
connectors:
  X1: {{place: P1, face: [[1..3], [4..6]], view: mating face, lock: left, entry: top}}
  X2: {{place: P2, face: [[1..3]], view: wire side, mates: X3}}
  X3: {{place: P2, face: [[1..3]], view: mating face}}
devices:
  U1: {{connectors: [X1, X2], closes: {{run: [[X1.1, X1.2]]}}}}
splices:
  S1: {{at: 100 mm from P1 toward P2}}
fuses:
  F1: {{rating: 7.5 A, box: B1}}
relays:
  K1: {{coil: 85 ohm, box: B1}}
boxes:
  B1: {{place: P1, bars: {{30: [F1.1, K1.30]}}}}
circuits:
  lamp: {{hot: [run, start]}}
cavities:
  X1.1: {{limit: 1 A, terminal: pin 1.5}}
wires:
  1: {{from: X1.1, to: S1, size: {size}, colour: {colour}, type: PVC 85 C}}
  2: {{from: S1, to: X2.1, size: 18 AWG, circuit: lamp, length: 420 mm}}
  3: {{from: X1.2, to: unknown}}
"""
_PLAIN = {"colours": "IEC 60757", "length": "400 mm", "size": "0.75 mm2", "colour": "GN"}


def _frame(*replaced: tuple[str, str], **words: str) -> Version:
    text = FRAME.format(**_PLAIN | words)
    for before, after in replaced:
        assert text.count(before) == 1, before
        text = text.replace(before, after)
    return version_of_texts({"harness.yaml": text})


def _assert_same(old: Version, new: Version) -> None:
    assert canonical(old.harness) == canonical(new.harness)
    _assert_no_changes(old, new)


def _assert_no_changes(old: Version, new: Version) -> None:
    for one, other in ((old, new), (new, old)):
        comparison = compare(one, other)
        assert [(change.kind.value, change.id, change.key, change.was, change.now) for change in comparison.changes] == []
        follows = comparison.follows
        assert (follows.merged, follows.parted, follows.lengths, follows.labels, follows.readings, follows.verdicts, follows.findings_new, follows.findings_gone, follows.waivers) == ((), (), (), (), (), (), (), (), ())


@pytest.mark.parametrize("words", [
    {"size": "0.750 mm²"}, {"size": ".75 mm2"}, {"length": "40 cm"}, {"length": "0.4 m"}, {"length": "400.0 mm"},
    {"colours": "DIN 47002", "colour": "gn"}, {"colours": "Japanese trade", "colour": "G"}, {"colours": "North American trade", "colour": "GRN"}, {"colour": "gn"},
], ids=str)
def test_notation(words: dict[str, str]) -> None:
    _assert_same(_frame(), _frame(**words))


@pytest.mark.parametrize("before, after", [
    ("from: X1.1, to: S1", "from: S1, to: X1.1"),
    ("size: 0.75 mm2, colour: GN", "colour: GN, size: 0.75 mm2"),
    ("colour: GN", "color: GN"),
    ("from: X1.2, to: unknown", "from: unknown, to: X1.2, size: unknown, colour: unknown, type: unknown"),
    ("length: 420 mm", "length: 42 cm, core: core"),
    ("from: P1, to: P2", "from: P2, to: P1"),
    ("[[1..3], [4..6]], view: mating face, lock: left", "[[1, 2, 3], [4, 5..6]], view: mating face, lock: left"),
    ("[[1..3], [4..6]], view: mating face, lock: left", "[[3..1], [6..4]], view: wire side, lock: right"),
    ("[[1..3], [4..6]], view: mating face, lock: left", "[[gap, 1..3], [gap, 4..6]], view: mating face, lock: left"),
    ("[X1, X2], closes: {run: [[X1.1, X1.2]]}", "[X2, X1], closes: {run: [[X1.2, X1.1]]}"),
    ("[F1.1, K1.30]", "[K1.30, F1.1]"),
    ("coil: 85 ohm", "coil: 0.085 kohm, contacts: make"),
    ("rating: 7.5 A", "rating: 7500 mA"),
    ("limit: 1 A", "limit: 1000 mA"),
    ("bars: {", "lid-view: lid side, bars: {"),
    ("segments:", "allowances: {end: 50 mm, splice: 1 cm, rounding: {step: 50 mm, above: 2 m, step-above: 100 mm}}\nsupply: 12.0 V\nsegments:"),
    ("segments:", "# a remark\nsegments:   # and another"),
    ("type: PVC 85 C", "type: pvc 85 °C"),
    ("X1.1: {limit: 1 A, terminal: pin 1.5}", "X1.1: {limit: 1 A, terminal: pin 1.5, crimp: single}"),
    ("hot: [run, start]", "hot: [start, run]"),
], ids=str)
def test_other_words_for_the_same(before: str, after: str) -> None:
    _assert_same(_frame(), _frame((before, after)))


def test_what_is_written_as_unknown_is_left_out() -> None:
    """No change; but a question that is written down is asked, so that the findings differ."""
    comparison = compare(_frame(), _frame(("terminal: pin 1.5}", "terminal: pin 1.5, function: unknown}")))
    assert comparison.changes == ()
    assert [finding.code for finding in comparison.follows.findings_new] == ["not-known-yet"]


def test_the_position_of_a_splice_from_the_other_end_of_its_segment() -> None:
    _assert_no_changes(_frame(), _frame(("100 mm from P1 toward P2", "300 mm from P2 toward P1")))


def test_mates_said_on_the_other_half() -> None:
    _assert_no_changes(_frame(), _frame((", mates: X3}", "}"), ("face: [[1..3]], view: mating face}", "face: [[1..3]], view: mating face, mates: X2}")))


def test_a_ring_written_from_the_other_side() -> None:
    ring = "connectors:\n  X1: {{face: {{ring: [1..8], start: {}, direction: {}, centre: 9}}, view: {}}}\n"
    _assert_same(version_of_texts({"harness.yaml": ring.format("45 deg", "clockwise", "mating face")}),
                 version_of_texts({"harness.yaml": ring.format("-45 deg", "counter-clockwise", "wire side")}))


def test_a_wire_type_said_once_for_all() -> None:
    wires = "connectors:\n  X1: {{}}\nwires:\n  1: {{from: X1.1, to: unknown{0}}}\n  2: {{from: X1.2, to: unknown{0}}}\n".replace("X1: {{}}", "X1: {{title: plug}}")
    _assert_same(version_of_texts({"harness.yaml": "wire-type: TXL\n" + wires.format("")}), version_of_texts({"harness.yaml": wires.format(", type: TXL")}))


def test_a_terminal_said_once_for_the_connector_or_at_each_cavity() -> None:
    once = "connectors:\n  X1: {face: [[1, 2]], view: wire side, terminal: pin 1.5}\n"
    each = "connectors:\n  X1: {face: [[1, 2]], view: wire side}\ncavities:\n  X1.1: {terminal: pin 1.5}\n  X1.2: {terminal: pin 1.5}\n"
    _assert_same(version_of_texts({"harness.yaml": once}), version_of_texts({"harness.yaml": each}))


def test_a_pair_or_cable_or_circuit_with_nothing_said_is_no_thing_beside_the_wires_that_name_it() -> None:
    for section, name in (("pairs", "pair"), ("cables", "cable"), ("circuits", "circuit")):
        wires = f"connectors:\n  X1: {{title: plug}}\nwires:\n  1: {{from: X1.1, to: unknown, {name}: N1}}\n  2: {{from: X1.2, to: unknown, {name}: N1}}\n"
        _assert_same(version_of_texts({"harness.yaml": wires}), version_of_texts({"harness.yaml": f"{section}:\n  N1: {{}}\n{wires}"}))


@given(descriptions(), st.integers(0, 2**16))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_order(description: Description, seed: int) -> None:
    random = Random(seed)

    def mixed(entries: dict) -> dict:
        return dict(random.sample(list(entries.items()), len(entries)))

    other = mixed({section: mixed({name: mixed(entry) for name, entry in entries.items()}) if section in (*SECTION_OF, "cavities") else entries
                   for section, entries in description.items()})
    assert text_of(other) != text_of(description) or len(description) < 3
    _assert_same(version_of(description), version_of(other))


def test_a_file_that_became_a_folder() -> None:
    description = linnet()
    old = version_of(description)
    main = {section: entries for section, entries in description.items() if section not in ("connectors", "cavities", "wires")}
    texts = {
        "linnet/linnet.yaml": text_of({"include": ["parts/connectors.yaml"], "tables": {"wires": "wires.csv", "cavities": "cavities.csv"}, **main}),
        "linnet/parts/connectors.yaml": text_of({"connectors": description["connectors"]}),
        "linnet/wires.csv": _table("wire", description["wires"]),
        "linnet/cavities.csv": _table("cavity", description["cavities"]),
    }
    _assert_same(old, version_of_texts(texts, "linnet/linnet.yaml"))


def test_an_included_file_in_another_convention() -> None:
    description = linnet()
    moved = {name: description["wires"].pop(name) for name in ("405", "409")}
    assert {entry["colour"] for entry in moved.values()} == {"B"}
    texts = {"harness.yaml": text_of({"include": ["coils.yaml"], **description}),
             "coils.yaml": text_of({"colours": "DIN 47002", "wire-type": description["wire-type"], "wires": {name: entry | {"colour": "sw"} for name, entry in moved.items()}})}
    _assert_same(version_of(linnet()), version_of_texts(texts))


def _table(key: str, entries: dict[str, dict[str, str]]) -> str:
    stream = io.StringIO()
    writer = csv.DictWriter(stream, [key, *dict.fromkeys(name for entry in entries.values() for name in entry)], lineterminator="\n")
    writer.writeheader()
    writer.writerows({key: name, **entry} for name, entry in entries.items())
    return stream.getvalue()


def test_the_texts_of_these_tests_are_not_all_alike() -> None:
    """A change of meaning in the same frame is seen: the tests above can fail."""
    for before, after in (("from: X1.1, to: S1", "from: X1.3, to: S1"), ("100 mm from P1", "101 mm from P1"), ("7.5 A", "10 A"), ("[[1..3], [4..6]]", "[[3..1], [6..4]]"), ("lock: left", "lock: right")):
        assert len(compare(_frame(), _frame((before, after))).changes) == 1, json.dumps([before, after])
