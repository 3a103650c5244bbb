"""The steps in order: what each is given, what comes out, and that nothing is said because lines are missing."""

from __future__ import annotations

import gc
from pathlib import Path

import pytest

from harnessdoc import steps
from harnessdoc.findings import Severity
from harnessdoc.steps import check, compare, draw, load, trace

EXAMPLES = Path(__file__).parent.parent / "examples"
TWO = "connectors:\n  X1: {face: [[1..3]], view: mating face}\n  X2: {face: [[1..3]], view: mating face}\n"
WIRE = "size: 1 mm2, colour: BK, type: TXL"


def codes(text: str) -> list[str]:
    return [finding.code for finding in check("heron.yaml", {"heron.yaml": text})]


def test_a_whole_description_goes_through_every_step():
    loaded = load("heron.yaml", {"heron.yaml": TWO + f"wires:\n  1: {{from: X1.1, to: X2.1, {WIRE}}}\n"})
    assert loaded.findings == ()
    assert not loaded.has_errors
    assert list(loaded.seconds) == ["read", "validate", "build", "connect", "route", "check"]
    assert loaded.network.islands[0] == ("X1.1", "X2.1")
    assert loaded.harness.file == "heron.yaml"
    assert list(loaded.texts) == ["heron.yaml"]


def test_what_cannot_be_read_ends_after_reading():
    loaded = load("heron.yaml", {})
    assert (loaded.harness, loaded.network, loaded.geometry) == (None, None, None)
    assert [finding.code for finding in loaded.findings] == ["file-missing"]
    assert loaded.has_errors


def test_what_is_missing_with_a_lost_line_is_not_reported():
    whole = TWO + "wires:\n  1: {from: X1.1, to: S1}\n  2: {from: X1.2, to: S1}\nsplices:\n  S1: {}\n"
    assert codes(whole) == ["not-known-yet", "not-known-yet"]
    assert codes(whole.replace("  2: {from", "  2: {from: a: b")) == ["not-known-yet", "colon-in-value"][1:]
    assert codes(whole.replace("X1: {face", "X1: {face: a: b")) == ["colon-in-value"]
    assert codes(whole.replace("  S1: {}", "  S1: {title: a: b}")) == ["colon-in-value"]


def test_what_stands_beside_a_lost_line_is_still_checked():
    text = TWO + "wires:\n  1: {from: X1.1, to: unknown, size: 1 mile}\n  2: {from: a: b}\n  3: {from: X1.3, to: X1.3, colour: XX}\n"
    assert codes(text) == ["bad-quantity", "colon-in-value", "wire-to-itself", "unknown-colour"]


def test_findings_of_all_steps_are_sorted_together():
    text = TWO + "wires:\n  1: {from: X1.1, to: X9.1, colour: XX, a: b}\nsplices:\n  S1: {}\nsegments:\n  T1: {from: P1, to: P2}\n  T2: {from: P1, to: P2}\n"
    findings = check("heron.yaml", {"heron.yaml": text})
    assert [finding.place for finding in findings] == sorted(finding.place for finding in findings)
    assert {"no-such-connector", "unknown-colour", "unknown-key", "splice-of-one", "loop-without-length"} <= {finding.code for finding in findings}


def test_only_an_error_is_an_error():
    loaded = load("heron.yaml", {"heron.yaml": TWO + "splices:\n  S1: {}\nwires:\n  1: {from: X1.1, to: unknown}\n"})
    assert {finding.severity for finding in loaded.findings} == {Severity.ADVICE, Severity.MALFUNCTION}
    assert not loaded.has_errors


def test_there_is_no_book_of_errors():
    with pytest.raises(ValueError, match="a description with errors has no book"):
        draw(load("heron.yaml", {"heron.yaml": "titel: Heron\n"}))


def test_trace_knows_only_addresses():
    loaded = load("heron.yaml", {"heron.yaml": TWO + f"wires:\n  1: {{from: X1.1, to: X2.1, {WIRE}}}\n"})
    assert trace(loaded, "X1.1").start == "X1.1"
    with pytest.raises(KeyError):
        trace(loaded, "X9.9")


def test_the_collector_is_as_it_was(monkeypatch):
    def fall(*_):
        raise RuntimeError

    monkeypatch.setattr(steps, "build_harness", fall)
    assert gc.isenabled()
    with pytest.raises(RuntimeError):
        load("heron.yaml", {"heron.yaml": TWO})
    assert gc.isenabled()


@pytest.mark.parametrize("name", ["first-wires", "first-merge", "trailer-lead", "diagnostic-socket", "linnet"])
def test_an_example_has_no_finding_but_advice(name):
    findings = check(EXAMPLES / name / f"{name}.yaml")
    assert [str(finding.place) for finding in findings if finding.severity > Severity.ADVICE] == []


def test_the_same_text_gives_the_same_findings_from_disk(tmp_path, monkeypatch):
    text = TWO + "wires:\n  1: {from: X1.1, to: X9.1}\n"
    (tmp_path / "heron.yaml").write_text(text)
    monkeypatch.chdir(tmp_path)
    assert check("heron.yaml") == check(Path("heron.yaml")) == check("heron.yaml", {"heron.yaml": text})


def test_compare_takes_two_loaded_descriptions():
    old = load("a.yaml", {"a.yaml": "title: one\n"})
    new = load("b.yaml", {"b.yaml": b"title: two\n"})
    (change,) = compare(old, new).changes
    assert (change.key, change.was, change.now) == ("title", "one", "two")
    assert compare(old, old).changes == ()


@pytest.mark.parametrize("text", ["titel: one\n", ""])
def test_compare_refuses_a_description_that_was_not_understood(text):
    good, bad = load("a.yaml", {"a.yaml": "title: one\n"}), load("b.yaml", {"b.yaml": text})
    for old, new in ((good, bad), (bad, good)):
        with pytest.raises(ValueError, match="a description that was not understood is no version to compare"):
            compare(old, new)
