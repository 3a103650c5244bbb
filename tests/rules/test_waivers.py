"""Waivers: what they take off the list, what they never do, and what is said of one that matches nothing."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from harnessdoc.cli.diff_text import as_text
from harnessdoc.cli.main import harnessdoc
from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.model.harness import Waiver
from harnessdoc.revision.follows import worse_in_words
from harnessdoc.rules.codes import _GEOMETRY
from harnessdoc.rules.registry import CODES_OF_LENGTHS
from harnessdoc.rules.show import as_json, long_form
from harnessdoc.rules.waivers import apply_waivers
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


@pytest.mark.parametrize(("at", "code", "do"), [
    ("1", "wire-over-ampacity", "write `at: wire 1`, as the finding does"),
    ("fuse wire 1", "wire-over-ampacity", "write `at: wire 1`, as the finding does"),
    ("F1", "wire-over-ampacity", "wire-over-ampacity is found at wire 1: write `at:` with the name of the one that is meant, or take the waiver out"),
    ("relay K1", "splice-of-one", "nothing of splice-of-one is found: take the waiver out"),
])
def test_a_waiver_that_matches_nothing_is_told_the_names_that_would(at, code, do):
    run = loaded(LOADED, at, code)
    (told,) = (finding for finding in run.findings if finding.code == "waiver-of-nothing")
    assert told.do == do
    if "write `at: " in do:
        assert "waiver-of-nothing" not in codes(loaded(LOADED, "wire 1", code))


def test_the_splice_that_is_called_a_splice_is_found_by_its_bare_name():
    (told,) = (finding for finding in loaded(TEXT, "splice S1").findings if finding.code == "waiver-of-nothing")
    assert told.do == "write `at: S1`, as the finding does"


def test_the_long_form_says_what_a_waiver_names():
    run = loaded(TEXT)
    (finding,) = run.findings
    assert "  at: S1" in long_form(finding, run.texts).splitlines()
    error = loaded(TEXT + "  2: {from: X1.1, to: X1.2, size: 1 mm2, colour: BK, type: TXL}\n")
    (twice,) = (finding for finding in error.findings if finding.code == "cavity-used-twice")
    assert twice.at and not any(line.startswith("  at:") for line in long_form(twice, error.texts).splitlines()), "an error is never waived"


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


LOADED = """\
devices:
  G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 14 A at 12 V}
fuses:
  F1: {rating: 20 A, type: blade}
wires:
  1: {from: G1.+, to: F1.1, size: 0.5 mm2, colour: RD, type: TXL, length: 100 mm}
  2: {from: F1.2, to: M3.1, size: 4 mm2, colour: GN, type: TXL, length: 1 m}
  3: {from: M3.2, to: G1.-, size: 10 mm2, colour: BK, type: TXL, length: 2 m}
"""
BORNE = ("wire 1", "wire-over-ampacity")


def test_what_is_waived_now_is_not_gone():
    open_, waived = loaded(LOADED), loaded(LOADED, *BORNE)
    follows = compare(open_, waived).follows
    assert (follows.findings_new, follows.findings_gone) == ((), ())
    (one,) = follows.findings_waived
    assert (one.now.code, one.now.severity, one.waiver.reason) == ("wire-over-ampacity", Severity.HAZARD, "the rest is not taped open yet")
    back = compare(waived, open_).follows
    assert [finding.code for finding in back.findings_new] == ["wire-over-ampacity"] and back.findings_waived == back.findings_gone == ()
    told = list(as_text(compare(open_, waived), "old.yaml", "new.yaml", "mm"))
    assert "findings that are waived now, and still there" in told and "findings that are gone" not in told


@pytest.mark.parametrize("amps, told", [("14.5", False), ("16", True), ("12", False)])     # by a tenth at least, and away from what the wire allows
def test_what_is_waived_in_both_and_worse_now_is_told(amps, told):
    worse = loaded(LOADED.replace("14 A at", f"{amps} A at"), *BORNE)
    comparison = compare(loaded(LOADED, *BORNE), worse)
    follows = comparison.follows
    assert follows.findings_waived == ()
    assert [(one.was.value, one.now.limit) for one in follows.waived_worse] == ([("14.2 A", "11.0 A")] if told else [])
    assert ("waived findings that are worse now" in as_text(comparison, "old.yaml", "new.yaml", "mm")) is told


def test_a_waived_finding_of_a_higher_severity_is_worse():
    mild, bad = ("  1: {from: G1.+, to: F1.1, size: 2.5 mm2, colour: RD, type: TXL, length: %d mm}" % mm for mm in (600, 1600))
    wire = next(line for line in LOADED.splitlines() if line.startswith("  1:"))
    old, new = (loaded(LOADED.replace(wire, one), "wire 1", "feed-without-fuse") for one in (mild, bad))
    (one,) = compare(old, new).follows.waived_worse
    assert worse_in_words(one) == "was advice, now hazard"
    assert compare(new, old).follows.waived_worse == ()


def test_the_last_line_of_a_check_says_how_many_hazards_are_waived(tmp_path):
    def printed(text: str, *options: str) -> list[str]:
        (tmp_path / "heron.yaml").write_text(text, encoding="utf-8")
        return CliRunner().invoke(harnessdoc, ["check", str(tmp_path / "heron.yaml"), *options]).stdout.splitlines()

    assert printed(LOADED + WAIVER.format(at="wire 1", code="wire-over-ampacity"))[-1] == "1 hazard is waived: wire-over-ampacity at wire 1"
    assert "waived" not in "".join(printed(LOADED)) and printed(LOADED + WAIVER.format(at="wire 1", code="wire-over-ampacity"), "--quiet") == []
    assert not any("hazard" in line for line in printed(TEXT + WAIVER.format(at="S1", code="splice-of-one"))), "what is waived there is no hazard"


def test_the_waiver_that_names_what_a_finding_lies_at_first_is_its_reason():
    finding = Finding("a-b", Severity.ADVICE, "words", Place("heron.yaml", 1, 1), "", at=("S1", "S2"))
    second, first = (Waiver(at, "a-b", f"because of {at}", "2026-01-31", None) for at in ("S2", "S1"))
    (waived,) = apply_waivers([finding], [second, first])[1]
    assert waived.waiver is first


def test_a_narrow_waiver_speaks_of_its_own_thing_alone():
    finding = Finding("a-b", Severity.ADVICE, "words", Place("heron.yaml", 1, 1), "", at=("S1", "S2"))
    second = Waiver("S2", "a-b", "as found", "2026-01-31", None)
    assert apply_waivers([finding], [second])[1]
    left, waived, unused = apply_waivers([finding], [second], lambda waiver: True)
    assert (left, waived, unused) == ([finding], [], [second])


def test_what_measuring_finds_can_be_waived():
    text = "connectors:\n  X1: {place: P1}\n  X2: {place: P2}\nsegments:\n  T1: {from: P1, to: P3, length: 1 m}\nwires:\n  1: {from: X1.1, to: X2.1}\n"
    (finding,) = (finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == "place-off-the-bundle")
    assert "  at: X2" in long_form(finding, {}).splitlines()
    run = load("heron.yaml", {"heron.yaml": text + "waivers:\n  - {at: X2, code: place-off-the-bundle, reason: lies loose, date: 2026-01-31}\n"})
    assert [one.finding for one in run.waived] == [finding] and not {"place-off-the-bundle", "waiver-of-nothing"} & {one.code for one in run.findings}


def test_the_codes_of_measuring_are_those_that_have_a_page():
    assert set(_GEOMETRY) == CODES_OF_LENGTHS
