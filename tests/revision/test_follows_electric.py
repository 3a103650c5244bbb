"""Readings that moved and verdicts that changed, between two versions of one small harness."""

from __future__ import annotations

from dataclasses import replace

import pytest

from harnessdoc.cli.diff_text import as_text
from harnessdoc.operation.columns import columns
from harnessdoc.operation.moved import SHARE, STEP_V
from harnessdoc.revision.compare import compare
from harnessdoc.revision.follows_electric import readings_alike

from .two_versions import edited, version

LAMP = """
    supply: 12 V
    wire-type: GPT 80 C
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {emf: 12.6 V, resistance: 10 mohm}}
      S1: {terminals: [30, 15], closes: {run: [[S1.30, S1.15]]}}
      H1: {terminals: [1, 2], between: [H1.1, H1.2], heater: 6 A at 12 V}
    fuses:
      F1: {rating: 10 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1,  size: 2.5 mm2, length: 200 mm}
      2: {from: F1.2, to: S1.30, size: 1.5 mm2, length: 3 m}
      3: {from: S1.15, to: H1.1, size: 1.5 mm2, length: 3 m}
      4: {from: H1.2, to: G1.-,  size: 1.5 mm2, length: 3 m}
"""


def follows(*edits: tuple[str, str]):
    return compare(version(LAMP), version(edited(LAMP, *edits))).follows


def test_what_is_alike_reads_alike() -> None:
    assert (follows().readings, follows().verdicts) == ((), ())


def test_names_move_nothing() -> None:
    renamed = compare(version(LAMP), version(LAMP.replace("H1", "E7").replace("  3: ", "  w3: ").replace("F1", "F9")))
    assert (renamed.follows.readings, renamed.follows.verdicts) == ((), ())


def test_a_thin_wire_moves_what_is_behind_it_and_no_more() -> None:
    # 6 A through 3 m of 0.35 mm² (54.4 mohm/m) and of 1.5 mm² (12.7 mohm/m): some 0.7 V more, and less current
    moved = follows(("  3: {from: S1.15, to: H1.1, size: 1.5 mm2", "  3: {from: S1.15, to: H1.1, size: 0.35 mm2")).readings
    assert [(change.at, change.state) for change in moved] == [(("H1.1",), "run"), (("H1.1",), "running")]
    assert moved[0].was_v - moved[0].now_v == pytest.approx(6 * 3 * (0.0544 - 0.0127), rel=0.1)


def test_less_than_the_threshold_is_not_told() -> None:
    # 0.75 mm² for 1.5 mm²: about 0.2 V at 12 V, below 0.1 V + 2 % = 0.34 V
    assert STEP_V + SHARE * 12 == pytest.approx(0.34)
    assert follows(("  3: {from: S1.15, to: H1.1, size: 1.5 mm2", "  3: {from: S1.15, to: H1.1, size: 0.75 mm2")).readings == ()


def test_a_point_that_floats_in_one_version_is_told() -> None:
    cut = follows(("  4: {from: H1.2, to: G1.-,", "  4: {from: H1.2, to: open,")).readings
    assert {(change.at, change.state, change.now_v) for change in cut} >= {(("H1.1",), "off", None), (("H1.2",), "off", None)}


def test_many_that_moved_alike_are_told_together() -> None:
    weak = compare(version(LAMP), version(edited(LAMP, ("resistance: 10 mohm", "resistance: 200 mohm"))))
    groups = readings_alike(weak.follows.readings)
    assert len(groups) < len(weak.follows.readings)
    assert {group.state for group in groups} == {"run", "running"}
    assert len(groups[0].changes) > 3
    text = "\n".join(as_text(weak, "old", "new", "mm"))
    assert "points" in text and "V lower: " in text and "(G1.+ was 12.5" in text


def test_a_larger_fuse_changes_its_verdicts() -> None:
    # 1.35 x 30 A = 40.5 A against 1.45 x 15 A (16 AWG row, 80 C) of the 1.5 mm²; the far end gives about 12 V / 0.15 ohm = 80 A: 2.7 x 30 A
    changed = follows(("rating: 10 A", "rating: 30 A")).verdicts
    told = {(change.kind, change.id, change.about): change for change in changed}
    assert (told["fuse", "F1", "overload"].was, told["fuse", "F1", "overload"].now) == ("good", "hazard")
    assert (told["fuse", "F1", "far-end short"].was, told["fuse", "F1", "far-end short"].now) == ("good", "malfunction")
    assert changed[0].now == "hazard" and "40.5 A" in changed[0].why


def test_a_version_that_was_not_solved_gives_nothing() -> None:
    old, new = version(LAMP), version(edited(LAMP, ("rating: 10 A", "rating: 30 A"), ("resistance: 10 mohm", "resistance: 1 ohm")))
    unsolved = compare(replace(old, operation=None), new).follows
    assert (unsolved.readings, unsolved.verdicts) == ((), ())
    assert compare(old, new).follows.readings


def test_the_columns_are_those_of_the_pinout() -> None:
    operation = version(LAMP).operation
    assert operation is not None
    assert [head for head, _ in columns(operation)] == ["off", "run", "running"]
