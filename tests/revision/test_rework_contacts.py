"""The steps of a rework at contacts that hold several wires, and at those of which it is stated what is in them."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, compared, edited

from harnessdoc.geometry.cut_list import cut_list
from harnessdoc.geometry.parts_list import parts_list
from harnessdoc.revision.compare import Comparison
from harnessdoc.revision.parts_needed import parts_needed
from harnessdoc.revision.rework import rework
from harnessdoc.revision.steps import Phase

ON_G1 = edited(BENCH, ("    wires:\n", "    wires:\n      w8: {from: X2.7, to: G1, size: 1 mm2, colour: BN}\n      w9: {from: X3.7, to: G1, size: 1 mm2, colour: BN}\n"))
W8 = ("      w8: {from: X2.7, to: G1, size: 1 mm2, colour: BN}\n", "")
DOUBLE = edited(BENCH, ("X1.2: {function: pump}", "X1.2: {function: pump}\n      X2.1: {crimp: double}"), ("to: X2.2,", "to: X2.1,"))


def steps_of(comparison: Comparison, *phases: Phase) -> list[tuple[str, str, str, str]]:
    """Where, wire, what to do, and the proof, of some phases."""
    return [(step.at, step.wire, step.words, step.proof) for step in rework(comparison).steps if step.phase in phases]


def rings_of(comparison: Comparison) -> list[tuple[str, str]]:
    return [(step.at, step.words) for step in rework(comparison).steps if step.phase is Phase.TEST and step.proof == "rings"]


# ------------------------------------------------------------------------------ studs

def test_a_ground_that_was_opened_is_bolted_again_and_all_that_stays_on_it_is_measured() -> None:
    comparison = compared(W8, text=ON_G1)
    assert steps_of(comparison, Phase.PIN) == [("G1", "", "bolt G1 again with w9, w6 on it: bare metal, tight, sealed", "rings: G1 to X3.7, X2.8")]
    assert rings_of(comparison) == [("X2.8", "to X3.7, through w6, G1, w9"), ("X2.8", "to G1, through w6")]


def test_an_eyelet_that_comes_to_others_is_bolted_with_them() -> None:
    comparison = compared(("    wires:\n", "    wires:\n      w8: {from: X2.7, to: G1, size: 1 mm2, colour: BN}\n"))
    assert steps_of(comparison, Phase.PIN)[1:] == [
        ("G1", "w8", "slide its label on, crimp on eyelet M6, put it on G1", "rings: G1 to X2.7"), ("G1", "", "bolt G1 again with w8, w6 on it: bare metal, tight, sealed", "rings: G1 to X2.7, X2.8")]


def test_several_eyelets_on_a_new_ground_are_bolted_once() -> None:
    wires = "".join(f"      n{cavity}: {{from: X3.{cavity}, to: G3, size: 1 mm2}}\n" for cavity in (1, 2))
    comparison = compared(("    grounds:\n", "    grounds:\n      G3: {place: P3, terminal: eyelet M6}\n"), ("    wires:\n", f"    wires:\n{wires}"))
    assert ("G3", "", "bolt G3 with n1, n2 on it: bare metal, tight, sealed", "rings: G3 to X3.1, X3.2") in steps_of(comparison, Phase.PIN)


@pytest.mark.parametrize(("said", "words"), [
    pytest.param("A1.B+: {terminal: eyelet M8}", ["bolt A1.B+ again with w9 on it: clean, tight"], id="an eyelet"),
    pytest.param("A1.B+: {terminal: tab 6.3}", [], id="a tab of its own"),
])
def test_a_stud_of_a_device_as_well(said: str, words: list[str]) -> None:
    text = edited(ON_G1.replace("to: G1, size: 1 mm2, colour: BN", "to: A1.B+, size: 1 mm2, colour: BN"), ("    devices:\n", "    devices:\n      A1: {terminals: [B+]}\n"), ("    cavities:\n", f"    cavities:\n      {said}\n"))
    assert [step[2] for step in steps_of(compared((W8[0].replace("G1", "A1.B+"), ""), text=text), Phase.PIN)] == words


# --------------------------------------------------------------------- shared terminals

def test_a_wire_that_comes_to_another_takes_it_out_and_both_go_into_one_terminal() -> None:
    comparison = compared(("to: X2.2,", "to: X2.1,"), ("X1.2: {function: pump}", "X1.2: {function: pump}\n      X2.1: {crimp: double}"))
    assert steps_of(comparison, Phase.DE_PIN) == [
        ("X2.1", "w1", "free its lock, draw it out, cut its terminal off", ""), ("X2.2", "w2", "free its lock, draw it out", "")]
    assert steps_of(comparison, Phase.PIN) == [
        ("X2.1", "w1, w2", "crimp w1 (1 mm² RD) and w2 (1 mm² BU) into one pin 2.8, push it in till it locks, pull to try", "rings: X2.1 to X1.1, X1.2")]
    assert rings_of(comparison) == [("X1.1", "to X1.2, through w1, X2.1, w2"), ("X1.1", "to X2.1, through w1")]
    assert [(part.part, part.quantity, part.where) for part in parts_needed(comparison)] == [("pin 2.8", 1, ("X2.1",))]


def test_wires_that_share_a_terminal_and_go_together_keep_it() -> None:
    both = compared(("w1: {from: X1.1, to: X2.1,", "w1: {from: X1.1, to: X2.6,"), ("w2: {from: X1.2, to: X2.1,", "w2: {from: X1.2, to: X2.6,"), ("X2.1: {crimp: double}", "X2.6: {crimp: double}"), text=DOUBLE)
    assert steps_of(both, Phase.PIN) == [("X2.6", "w1, w2", "push it in till it locks, pull to try", "rings: X2.6 to X1.1, X1.2")]
    assert parts_needed(both) == ()


def test_the_wire_that_stays_gets_a_terminal_seal_and_test() -> None:
    comparison = compared(("      w2: {from: X1.2, to: X2.1, size: 1 mm2, colour: BU}\n", ""), text=edited(DOUBLE, ("crimp: double", "crimp: double, seal: seal C")))
    assert [step for step in steps_of(comparison, Phase.PIN) if step[1]] == [("X2.1", "w1", "crimp on a new pin 2.8, with seal C, push it in till it locks, pull to try", "rings: X2.1 to X1.1")]
    assert [(part.kind, part.part, part.where) for part in parts_needed(comparison)][:2] == [("terminal", "pin 2.8", ("X2.1",)), ("seal", "seal C", ("X2.1",))]
    assert rings_of(comparison) == [("X1.1", "to X2.1, through w1")]


# ------------------------------------------------------------------ none means none

NONE = edited(BENCH, ("terminal: pin 1.5, seal: seal A, plug: plug A", "terminal: none, seal: none, plug: none"))


def test_what_is_none_is_neither_a_step_nor_a_part() -> None:
    comparison = compared(("w1: {from: X1.1,", "w1: {from: X1.5,"), ("to: X2.2, size: 1 mm2", "to: X2.2, size: 1.5 mm2"), text=NONE)
    steps = rework(comparison).steps
    assert not any("none" in f"{step.terminal} {step.seal}" for step in steps)
    assert steps_of(comparison, Phase.PIN)[:2] == [
        ("X1.2", "w2", "strip it: no terminal goes on, push it in till it locks, pull to try", "rings: X1.2 to X2.2"),
        ("X1.5", "w1", "push it in till it locks, pull to try (was X1.1)", "rings: X1.5 to X2.1")]
    assert not any(part.part == "none" for part in (*parts_needed(comparison), *parts_list(comparison.new.harness, comparison.new.geometry)))
    ends = [end for spool in cut_list(comparison.new.harness, comparison.new.geometry).spools for row in spool.rows for end in (row.a, row.b)]
    assert {(end.terminal, end.seal) for end in ends if end.address.startswith("X1.")} == {("", "")}


def test_a_seal_that_is_none_now_comes_off() -> None:
    comparison = compared(("seal: seal A", "seal: none"))
    assert steps_of(comparison, Phase.PIN) == [("X1", "", "take the seals off at 1..3 (seal A): none is wanted", "")]
    assert parts_needed(comparison) == ()


def test_none_for_what_was_not_stated_changes_nothing_at_the_harness() -> None:
    assert rework(compared(("title: lamp plug,", "title: lamp plug, seal: none, plug: none,"))).steps == ()
