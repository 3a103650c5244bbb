"""Insulation against the zones on a wire's way: just under, equal, above; stated and usual temperatures; what is gathered."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, load
from harnessdoc.trade.insulation_classes import type_above

CODE = "insulation-too-cool"


def run(kind: str, zones: str = "", way: tuple[str, ...] = ("cabin", "hot"), wires: int = 1) -> Loaded:
    segments = "".join(f"  T{n}: {{from: P{n}, to: P{n + 1}, length: 100 mm, zone: {zone}}}\n" for n, zone in enumerate(way, 1))
    listed = "".join(f"  {n}: {{from: X1.{n}, to: X2.{n}, size: 1 mm2, colour: BU, type: {kind}}}\n" for n in range(1, wires + 1))
    return load("heron.yaml", {"heron.yaml": f"{zones}segments:\n{segments}connectors:\n  X1: {{face: [[1..20]], view: mating face, place: P1}}\n"
                               f"  X2: {{face: [[1..20]], view: mating face, place: P{len(way) + 1}}}\nwires:\n{listed}"})


def found(loaded: Loaded) -> list[Finding]:
    assert not loaded.has_errors, loaded.findings
    return [finding for finding in loaded.findings if finding.code == CODE]


@pytest.mark.parametrize(("zones", "severity"), [
    ("zones: {hot: 84 C}\n", None), ("zones: {hot: 85 C}\n", Severity.ADVICE), ("zones: {hot: 86 C}\n", Severity.DAMAGE), ("", Severity.DAMAGE),
])
def test_the_class_against_the_zone(zones: str, severity: Severity | None):
    assert [finding.severity for finding in found(run("PVC 85 C", zones))] == ([] if severity is None else [severity])


def test_a_usual_temperature_that_equals_the_class_is_nothing_to_say():
    assert found(run("PVC 85 C", way=("engine",))) == []      # 85 C is what an engine space is taken for
    assert found(run("XLPE 125 C")) == []                     # 125 C is what a hot zone is taken for


def test_the_class_of_a_type_that_has_one_counts():
    (finding,) = found(run("GPT", "zones: {engine: 90 C}\n", way=("engine",)))
    assert (finding.value, finding.limit, finding.origin) == ("90 C", "80 C", "as stated")


def test_all_wires_of_a_type_in_a_zone_are_one_finding():
    (finding,) = found(run("PVC 85 C", wires=12, way=("hot", "cabin", "hot")))
    assert finding.message == ("wires 1, 2, 3, 4, 5, 6, 7 and 5 more with PVC 85 C run through the hot zone, 125 C, as is usual (segment T1 and segment T3)")
    assert finding.at == (*(f"wire {n}" for n in range(1, 13)), "segment T1", "segment T3")
    assert "such as ETFE 150 C" in finding.do


def test_what_only_passes_elsewhere_is_left_alone():
    assert found(run("PVC 85 C", way=("cabin", "wet"))) == []


def test_the_places_of_a_wire_without_segments_count():
    text = ("zones: {hot: 120 C}\nplaces:\n  P1: {zone: hot}\nconnectors:\n  X1: {face: [[1..2]], view: mating face, place: P1}\n"
            "wires:\n  1: {from: X1.1, to: X1.2, size: 1 mm2, colour: BU, type: PVC 85 C}\n")
    (finding,) = found(load("heron.yaml", {"heron.yaml": text}))
    assert finding.at == ("wire 1", "place P1")


def test_a_type_without_a_class_is_asked_where_it_gets_warm():
    warm, cool = run("XLPE"), run("XLPE", way=("cabin",))
    assert found(warm) == [] and [unasked.things for unasked in warm.unasked if unasked.code == CODE] == [("wire 1",)]
    assert not [unasked for unasked in cool.unasked if unasked.code == CODE]


@pytest.mark.parametrize(("temperature_c", "kind"), [(84, "PVC 85 C"), (85, "PVC 100 C"), (120, "XLPE 125 C"), (125, "ETFE 150 C"), (249, "PTFE 250 C"), (250, None)])
def test_the_class_that_is_proposed_lies_above(temperature_c: float, kind: str | None):
    assert type_above(temperature_c) == kind
