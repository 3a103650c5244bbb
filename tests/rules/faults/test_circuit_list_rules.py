"""Circuits that are named and not in the list. The expected answers are worked out by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from harnessdoc.findings import Severity
from harnessdoc.steps import load

from .edited import edited, found

NOT_LISTED = "circuit-not-listed"
EXAMPLES = Path(__file__).parents[3] / "examples"
LISTED = "  lamps: {system: lighting}"


def told(*changes: tuple[str, str]) -> list[tuple[str, str, tuple[str, ...]]]:
    """place: message, way out and things, for the failing example of the rule."""
    return [(f"{finding.place.line}:{finding.place.column}: {finding.message}", finding.do, finding.at) for finding in edited(NOT_LISTED, *changes).findings if finding.code == NOT_LISTED]


def test_a_misspelt_name_is_one_finding():
    more = "\n".join(f"  {n}: {{from: X1.{n}, to: X2.{n}, size: 1 mm2, colour: BK, type: TXL, circuit: lamp}}" for n in range(2, 6))
    (finding,) = edited(NOT_LISTED, ("[[1]]", "[[1..5]]"), ("wires:", f"wires:\n{more}")).findings[:1]
    assert finding.message == "wire 2, wire 3, wire 4 and 2 more are of circuit 'lamp', which is not under `circuits:`"
    assert finding.at == ("circuit lamp", "wire 2", "wire 3", "wire 4", "wire 5", "wire 1") and finding.severity is Severity.ADVICE
    assert [(related.words, related.place.line) for related in finding.related] == [("circuit lamps stands here", 2)]
    assert [finding.code for finding in edited(NOT_LISTED).findings] == [NOT_LISTED]


@pytest.mark.parametrize(("changes", "do"), [
    ((), "did you mean lamps? else write `lamp: {system: NAME}` under `circuits:`"),
    ((("circuit: lamp}", "circuit: LAMPS}"),), "did you mean lamps? else write `LAMPS: {system: NAME}` under `circuits:`"),
    ((("circuit: lamp}", "circuit: Lighting}"),), "lighting is a system: write one of its circuits, lamps, or `Lighting: {system: lighting}` under `circuits:`"),
    ((("circuit: lamp}", "circuit: pump}"),), "write `pump: {system: NAME}` under `circuits:` (the systems are lighting), or mend the name"),
])
def test_the_way_out_names_what_is_meant(changes, do):
    assert [do for words, do, _ in told(*changes) if words.startswith("7:")] == [do]


def test_parts_and_pins_name_circuits_as_wires_do():
    changes = (("circuit: lamp}", "circuit: lamps}"), ("connectors:", "fuses: {F1: {rating: 5 A, circuit: lmps}}\ncavities: {X1.1: {circuit: lampse}}\nconnectors:"))
    assert told(*changes) == [
        ("3:36: F1 is of circuit 'lmps', which is not under `circuits:`", "did you mean lamps? else write `lmps: {system: NAME}` under `circuits:`", ("circuit lmps", "F1")),
        ("4:28: X1.1 is of circuit 'lampse', which is not under `circuits:`", "did you mean lamps? else write `lampse: {system: NAME}` under `circuits:`", ("circuit lampse", "X1.1"))]


@pytest.mark.parametrize("changes", [
    (("circuits:\n" + LISTED + "\n", ""),),                              # no list
    ((LISTED, "  lamps: {title: lamps}"),),                              # a list that says no system: what is not in it loses nothing
])
def test_without_systems_a_name_may_stand_alone(changes):
    assert found(NOT_LISTED, *changes) == []


def test_of_two_that_are_alike_the_one_without_wires_is_meant():
    listed = "  lamp 1: {system: lighting}\n  lamp 2: {system: lighting}"
    both = ("wires:", "wires:\n  2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BK, type: TXL, circuit: lamp 1}"), ("[[1]]", "[[1, 2]]")
    assert [do.partition("?")[0] for _, do, _ in told((LISTED, listed), *both)] == ["did you mean lamp 2"]


def test_it_can_be_waived():
    loaded = edited(NOT_LISTED, ("connectors:", f"waivers:\n  - {{code: {NOT_LISTED}, at: circuit lamp, reason: wanted, date: 2026-11-02}}\nconnectors:"))
    assert [waived.finding.code for waived in loaded.waived] == [NOT_LISTED] and NOT_LISTED not in {finding.code for finding in loaded.findings}


def test_in_a_merge_each_source_has_its_list():
    texts = {f"{name}.yaml": (f"title: {name}\ncircuits: {{lamps: {{system: lighting}}}}\nconnectors: {{X1: {{}}, X2: {{}}}}\nwires:\n"
                              f"  1: {{from: X1.1, to: X2.1, circuit: {circuit}}}\n") for name, circuit in (("one", "lamps"), ("two", "lamp"))}
    texts["both.yaml"] = "title: both\nsources:\n  host: {file: one.yaml, role: host}\n  donor: {file: two.yaml, role: donor}\nfates:\n  - {wire: host/1, fate: removed}\n"
    loaded = load("both.yaml", texts)
    assert loaded.merge is not None
    assert [(finding.message, finding.do) for finding in loaded.findings if finding.code == NOT_LISTED] == [
        ("wire donor/1 is of circuit 'donor/lamp', which is not under `circuits:`", "did you mean donor/lamps? else write `lamp: {system: NAME}` under `circuits:`")]


@pytest.mark.parametrize("name", ["first-wires", "first-merge", "trailer-lead", "diagnostic-socket", "linnet", "heron", "heron-linnet"])
def test_the_examples_have_none(name):
    assert [finding for finding in load(EXAMPLES / name / f"{name}.yaml", solve=False).findings if finding.code == NOT_LISTED] == []
