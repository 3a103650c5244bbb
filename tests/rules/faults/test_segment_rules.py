"""Rules of single segments: clearances, bends, clips, slack; at their limits, without what they ask, with other options."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load

WIRES = ("connectors:\n  X1: {face: [[1..2]], view: mating face, place: P1}\n  X2: {face: [[1..2]], view: mating face, place: P2}\nwires:\n"
         "  1: {from: X1.1, to: X2.1, size: 1.5 mm2, colour: BU, type: XLPE 125 C}\n  2: {from: X1.2, to: X2.2, size: 1.5 mm2, colour: GN, type: XLPE 125 C}\n")


def run(segment: str, more: str = "", zone: str = "engine") -> Loaded:
    return load("heron.yaml", {"heron.yaml": f"places:\n  P1: {{}}\n  P2: {{}}\nsegments:\n  T1: {{from: P1, to: P2, length: 900 mm, zone: {zone}{segment}}}\n{more}"})


def found(loaded: Loaded, code: str) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == code]


def lacks(loaded: Loaded, code: str) -> list[tuple[str, ...]]:
    return [unasked.things for unasked in loaded.unasked if unasked.code == code]


@pytest.mark.parametrize(("near", "words"), [
    ("fuel: 152 mm", []), ("fuel: 6 in", []),
    ("fuel: 151 mm", ["segment T1 runs 151 mm from fuel, where 152 mm are the least"]),
    ("exhaust: 100 mm", []),
    ("exhaust: 99 mm", ["segment T1 runs 99 mm from the exhaust, where 100 mm are the least"]),
    ("moving part: 75 mm", []),
    ("moving part: 74 mm", ["segment T1 runs 74 mm from a part that moves, where 75 mm are the least"]),
    ("fuel: 300 mm, exhaust: 60 mm", ["segment T1 runs 60 mm from the exhaust, where 100 mm are the least"]),
])
def test_too_near(near: str, words: list[str]):
    assert [finding.message for finding in found(run(f", near: {{{near}}}"), "too-near")] == words


def test_too_near_says_where_against_what_and_what_helps():
    (far,) = found(run(", near: {fuel: 51 mm}"), "too-near")
    assert (far.severity, far.at, far.value, far.limit) == (Severity.HAZARD, ("segment T1",), "51 mm", "152 mm")
    assert "clamp it to the structure so that it cannot come nearer than 51 mm" in far.do
    (near,) = found(run(", near: {fuel: 50 mm}"), "too-near")
    assert "under 51 mm it must not stay, clamped or not" in near.do


def test_too_near_fuel_names_the_splices_there():
    more = WIRES.replace("to: X2.1", "to: S1").replace("2: {from: X1.2, to: X2.2", "2: {from: S1, to: X2.2") + "splices:\n  S1: {at: 400 mm from P1 toward P2}\n"
    (finding,) = found(run(", near: {fuel: 90 mm}", more), "too-near")
    assert "from fuel (with splice S1)" in finding.message and finding.at == ("segment T1", "S1")


def test_too_near_takes_its_options():
    assert not found(run(", near: {fuel: 90 mm}", "rules: {too-near: {fuel: 80 mm}}\n"), "too-near")


def test_clearances_are_asked_once_where_it_is_hot_or_moves():
    assert lacks(run(""), "too-near") == [()]
    assert lacks(run("", zone="cabin"), "too-near") == []
    assert lacks(run(", near: {fuel: 400 mm}"), "too-near") == []


# 2 x 2.4 mm of insulation make a bundle of 4.8 mm: 48 mm at ten times.
@pytest.mark.parametrize(("bend", "count"), [("48 mm", 0), ("47 mm", 1), ("20 cm", 0)])
def test_bend_too_tight(bend: str, count: int):
    assert len(found(run(f", bend: {bend}", WIRES), "bend-too-tight")) == count


def test_bend_too_tight_says_the_radius_and_takes_its_option():
    (finding,) = found(run(", bend: 30 mm", WIRES), "bend-too-tight")
    assert (finding.severity, finding.value, finding.limit, finding.at) == (Severity.ADVICE, "30 mm", "48 mm", ("segment T1",))
    assert not found(run(", bend: 30 mm", WIRES + "rules: {bend-too-tight: {times: 6}}\n"), "bend-too-tight")


def test_a_bend_without_known_wires_is_not_judged():
    unknown = run(", bend: 5 mm", WIRES.replace("size: 1.5 mm2", "size: unknown"))
    assert not found(unknown, "bend-too-tight") and lacks(unknown, "bend-too-tight") == [("segment T1",)]
    assert not found(run(", bend: 5 mm"), "bend-too-tight")     # an empty segment bends as it likes
    half = run(", bend: 5 mm", WIRES.replace("1.5 mm2, colour: GN", "unknown, colour: GN"))
    assert "2.4 mm thick, and 1 more of unknown diameter, bears 24 mm" in found(half, "bend-too-tight")[0].message


@pytest.mark.parametrize(("clips", "count"), [("250 mm", 0), ("251 mm", 1)])
def test_clips_too_far(clips: str, count: int):
    loaded = run(f", clips: {clips}")
    assert len(found(loaded, "clips-too-far")) == count
    assert lacks(loaded, "clips-too-far") == []


def test_clips_too_far_counts_the_stretches():
    (finding,) = found(run(", clips: 450 mm"), "clips-too-far")
    assert (finding.do, finding.value, finding.limit) == ("set them no more than 250 mm apart: its 900 mm make 4 stretches", "450 mm", "250 mm")
    assert not found(run(", clips: 450 mm", "rules: {clips-too-far: {most: 18 in}}\n"), "clips-too-far")
    assert lacks(run(""), "clips-too-far") == [()]


@pytest.mark.parametrize(("slack", "zone", "count"), [("50 mm", "flexing", 0), ("49 mm", "flexing", 1), ("10 mm", "engine", 0)])
def test_slack_missing(slack: str, zone: str, count: int):
    assert len(found(run(f", slack: {slack}", zone=zone), "slack-missing")) == count


def test_slack_missing_gives_the_length_and_asks_where_none_is_stated():
    (finding,) = found(run(", slack: 20 mm", zone="flexing"), "slack-missing")
    assert "30 mm longer: `length: 930 mm` `slack: 50 mm`" in finding.do
    assert lacks(run("", zone="flexing"), "slack-missing") == [("segment T1",)]
    assert lacks(run(""), "slack-missing") == []
    assert not found(run(", slack: 20 mm", "rules: {slack-missing: {least: 20 mm}}\n", zone="flexing"), "slack-missing")
