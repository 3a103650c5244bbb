"""The electrical data of circuits."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from sheets.checks import assert_tidy, texts

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.judgement.judge import judge
from harnessdoc.sheets.context import Context, Options, SheetKind
from harnessdoc.sheets.electrical import circuits_on_sheets
from harnessdoc.steps import load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"


def linnet(paper: str) -> Context:
    return make_context(load(LINNET).version, Options(paper))


@pytest.fixture(scope="module")
def context() -> Context:
    return linnet("a4")


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_nothing_lies_over_anything(paper: str) -> None:
    found = linnet(paper)
    for ref in found.sheets:
        if ref.kind is SheetKind.ELECTRICAL:
            for page in draw_sheet(found, ref).pages:
                assert_tidy(page)


def test_every_circuit_with_a_load_or_a_fuse_has_its_block_once(context: Context) -> None:
    harness = context.harness
    wanted = {load.circuit for load in context.operation.wiring.loads} | {part.circuit for part in harness.parts.values() if part.kind in ("fuse", "fusible link") and part.circuit}
    shown = [circuit for ref in context.sheets if ref.kind is SheetKind.ELECTRICAL for circuit in ref.subjects]
    assert wanted <= set(shown) and len(shown) == len(set(shown))
    assert "ground straps" in shown and "crankshaft" not in shown                    # 117 A while cranking; nothing that was solved
    for ref in context.sheets:
        if ref.kind is SheetKind.ELECTRICAL:
            assert {harness.circuits[circuit].system for circuit in ref.subjects} == {ref.title}


def test_every_verdict_and_suggestion_stands_on_a_sheet(context: Context) -> None:
    judged = judge(context.operation, context.geometry)
    systems = circuits_on_sheets(context.operation)
    shown = {circuit for circuits in systems.values() for circuit in circuits}
    said = "".join(text.replace(" ", "") for ref in context.sheets if ref.kind is SheetKind.ELECTRICAL for page in draw_sheet(context, ref).pages for text in texts(page))
    circuit_of = {load.id: load.circuit for load in context.operation.wiring.loads}
    told = [verdict.words for drop in judged.drops if circuit_of.get(drop.load) in shown for verdict in drop.verdicts]
    told += [words for one in judged.protections if context.harness.parts[one.part].circuit in shown for words in (*(verdict.words for verdict in one.verdicts), *one.suggestions)]
    told += [one.verdict.words for id, one in judged.wires.items() if context.harness.wires[id].circuit in shown and not one.verdict.holds]
    assert len(told) > 80
    assert [words for words in told if words.replace(" ", "") not in said] == []


def test_stated_and_proposed_are_told_apart(context: Context) -> None:
    said = {text for ref in context.sheets if ref.kind is SheetKind.ELECTRICAL for page in draw_sheet(context, ref).pages for text in texts(page)}
    assert "fan, live: run, start (as stated)." in said
    assert "coil ground, not fed from the source but through a load." in said


def test_a_circuit_that_does_not_say_when_it_is_live_gets_a_proposal() -> None:
    text = LINNET.read_text(encoding="utf-8").replace("fan:                     {system: cooling,          hot: [run, start]}", "fan:                     {system: cooling}")
    found = make_context(load("linnet.yaml", {"linnet.yaml": text}).version, Options())
    ref = next(ref for ref in found.sheets if ref.kind is SheetKind.ELECTRICAL and "fan" in ref.subjects)
    assert "fan, live where it is fed: commanded (proposed from the solved states)." in [text for page in draw_sheet(found, ref).pages for text in texts(page)]


def test_airbag_circuits_have_no_numbers() -> None:
    text = """
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  R1: {title: airbag unit, connectors: [X1], between: [X1.1, X1.2], load: 10 ohm}
connectors:
  X1: {face: [[1, 2]], view: mating face}
cavities:
  X1.1: {signal: airbag}
circuits:
  bag: {system: restraint}
wires:
  1: {from: G1.+, to: X1.1, size: 1 mm2, length: 1 m, circuit: bag}
  2: {from: X1.2, to: G1.-, size: 1 mm2, length: 1 m, circuit: bag}
"""
    found = make_context(load("t.yaml", {"t.yaml": text}).version, Options())
    for ref in found.sheets:
        if ref.kind in (SheetKind.ELECTRICAL, SheetKind.BUDGET):
            for page in draw_sheet(found, ref).pages:
                assert not any(word in " ".join(texts(page)) for word in ("1.26", "1.25", "12.6 V across"))


UNNAMED = """
devices:
  G1: {title: battery, terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
  E1: {title: lamp, connectors: [X1], between: [X1.1, X1.2], lamp: 21 W at 12 V}
  E2: {title: bulb that nothing is wired to, connectors: [X2], between: [X2.1, X2.2], lamp: 5 W at 12 V}
connectors:
  X1: {face: [[1, 2]], view: mating face}
  X2: {face: [[1, 2]], view: mating face}
fuses:
  F1: {rating: 10 A, type: blade, feeds: lamp}
wires:
  1: {from: G1.+, to: F1.1, size: 1 mm2, length: 200 mm, type: PVC 85 C, colour: RD}
  2: {from: F1.2, to: X1.1, size: 1 mm2, length: 1 m, type: PVC 85 C, colour: RD}
  3: {from: X1.2, to: G1.-, size: 1 mm2, length: 1 m, type: PVC 85 C, colour: BK}
"""


def context_of(text: str) -> Context:
    return make_context(load("t.yaml", {"t.yaml": text}).version, Options())


def electrical(text: str) -> list[list[str]]:
    """The texts of every sheet of electrical data."""
    found = context_of(text)
    return [[text for page in draw_sheet(found, ref).pages for text in texts(page)] for ref in found.sheets if ref.kind is SheetKind.ELECTRICAL]


def test_what_names_no_circuit_has_a_block_of_its_own() -> None:
    sheet, = electrical(UNNAMED)
    said = " ".join(sheet)
    assert "No circuit named" in sheet and "other circuits" in said
    number = {ref.name: ref.number for ref in context_of(UNNAMED).sheets}
    assert {f"E1 → {number['pinout-X1']}", f"F1 → {number['fuse-relay']}", "1", "2", "3"} <= set(sheet) and "E2" not in said


def test_with_all_circuits_named_there_is_no_such_block() -> None:
    named = UNNAMED.replace("colour: RD}", "colour: RD, circuit: lamp}").replace("colour: BK}", "colour: BK, circuit: lamp}")
    sheet, = electrical(named)
    assert "No circuit named" not in sheet and "lamp" in sheet


def test_the_block_stands_behind_the_circuits_that_name_no_system() -> None:
    sheet, = electrical(UNNAMED.replace("length: 1 m, type: PVC 85 C, colour: BK}", "length: 1 m, type: PVC 85 C, colour: BK, circuit: back}"))
    assert sheet.index("back") < sheet.index("No circuit named")


def test_a_flag_of_a_circuit_stands_behind_its_heading() -> None:
    found = make_context(load("t.yaml", {"t.yaml": UNNAMED.replace("colour: RD}", "colour: RD, circuit: lamp}")}).version, Options())
    found = replace(found, numbers_at={"circuit lamp": (4,)})
    page = draw_sheet(found, next(ref for ref in found.sheets if ref.kind is SheetKind.ELECTRICAL)).pages[0]
    flag = next(mark for mark in page.marks if mark.tag == "finding:4" and hasattr(mark, "text"))
    heading = next(mark for mark in page.marks if mark.tag == "heading" and mark.text == "lamp")
    assert heading.x < flag.x and abs(heading.y - flag.y) < 1.5
    assert_tidy(page)
