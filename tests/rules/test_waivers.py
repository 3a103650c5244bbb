"""Waivers: what they take off the list, what they never do, and what is said of one that matches nothing."""

from __future__ import annotations

import json

import pytest

from harnessdoc.rules.show import as_json
from harnessdoc.steps import Loaded, compare, load

TEXT = """\
connectors:
  X1: {face: [[1..2]], view: mating face}
splices:
  S1: {}
wires:
  1: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}
"""
WAIVER = "waivers:\n  - {{at: {at}, code: {code}, reason: the rest is not taped open yet, date: 2026-11-02}}\n"


def loaded(text: str, at: str = "", code: str = "splice-of-one") -> Loaded:
    return load("heron.yaml", {"heron.yaml": text + (WAIVER.format(at=at, code=code) if at else "")})


def codes(run: Loaded) -> list[str]:
    return [finding.code for finding in run.findings]


def test_a_waiver_takes_its_finding_off_the_list_and_keeps_it_with_the_reason():
    assert codes(loaded(TEXT)) == ["splice-of-one"]
    run = loaded(TEXT, "S1")
    assert codes(run) == []
    (waived,) = run.waived
    assert (waived.finding.code, waived.waiver.reason, waived.waiver.date) == ("splice-of-one", "the rest is not taped open yet", "2026-11-02")
    (shown,) = json.loads(as_json(run.findings, run.waived))["waived"]
    assert (shown["code"], shown["reason"], shown["date"]) == ("splice-of-one", "the rest is not taped open yet", "2026-11-02")


@pytest.mark.parametrize(("at", "code", "says"), [
    ("S2", "splice-of-one", "the waiver of splice-of-one at S2 matches no finding"),
    ("S1", "pair-of-one", "the waiver of pair-of-one at S1 matches no finding"),
    ("S1", "splice-of-none", "a waiver names 'splice-of-none', which is no code of a rule"),
])
def test_a_waiver_that_matches_nothing_is_a_finding_where_it_stands(at, code, says):
    run = loaded(TEXT, at, code)
    assert codes(run) == ["splice-of-one", "waiver-of-nothing"]
    assert run.findings[1].message == says
    assert run.findings[1].place.line == 8


def test_an_error_is_never_waived():
    text = TEXT + "  2: {from: X1.1, to: S1, size: 1 mm2, colour: BK, type: TXL}\n"
    assert codes(loaded(text, "X1.1", "cavity-used-twice")) == ["cavity-used-twice", "waiver-of-nothing"]


def test_a_waiver_of_what_needs_a_solve_is_not_blamed_where_nothing_is_solved():
    text = ('devices:\n  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}\nfuses:\n  F1: {rating: 10 A, type: blade}\nwires:\n'
            "  1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: 100 mm}\n"
            "  2: {from: F1.2, to: G1.-, size: 2.5 mm2, colour: BK, type: TXL, length: 600 mm}\n" + WAIVER.format(at="G1", code="shorted-source"))
    assert "shorted-source" not in codes(load("heron.yaml", {"heron.yaml": text}))
    assert codes(load("heron.yaml", {"heron.yaml": text}, solve=False)) == []


def test_a_thing_that_was_renamed_keeps_its_waiver():
    old = loaded(TEXT, "S1")
    new = load("heron.yaml", {"heron.yaml": (TEXT + WAIVER.format(at="S1", code="splice-of-one")).replace("S1: {}", "S7: {}").replace("to: S1", "to: S7")})
    assert codes(new) == ["splice-of-one", "waiver-of-nothing"]      # of itself the new file says nothing of the old name
    follows = compare(old, new).follows
    assert follows.findings_new == ()
    (led,) = follows.waivers
    assert (led.code, led.was, led.now, led.reason) == ("splice-of-one", "S1", "S7", "the rest is not taped open yet")


def test_findings_new_and_gone_are_told_by_what_they_lie_at():
    old = loaded(TEXT)
    mended = loaded(TEXT + "  2: {from: X1.2, to: S1, size: 1 mm2, colour: BK, type: TXL}\n")
    assert [finding.code for finding in compare(old, mended).follows.findings_gone] == ["splice-of-one"]
    assert [finding.code for finding in compare(mended, old).follows.findings_new] == ["splice-of-one"]
    assert compare(old, loaded(TEXT.replace("splices:", "splices:  # looked at"))).follows.findings_new == ()
