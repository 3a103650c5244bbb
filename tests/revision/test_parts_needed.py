"""What a rework takes, and what comes off."""

from __future__ import annotations

from revision.two_versions import BENCH, compared, edited, version

from harnessdoc.geometry.parts_list import PartLine, parts_list
from harnessdoc.revision.compare import compare
from harnessdoc.revision.parts_needed import parts_needed, parts_taken_off


NOT_STATED = "terminal, not stated which"


def told(lines: tuple[PartLine, ...]) -> list[tuple[str, str, float, tuple[str, ...]]]:
    return [(line.kind, line.part, line.quantity, line.where) for line in lines]


def test_a_wire_that_is_replaced_takes_wire_terminals_and_seal_and_brings_the_old_one() -> None:
    comparison = compared(("to: X2.1, size: 1 mm2", "to: X2.1, size: 1.5 mm2"))
    assert told(parts_needed(comparison)) == [
        ("terminal", "pin 1.5", 1, ("X1.1",)), ("terminal", "pin 2.8", 1, ("X2.1",)), ("seal", "seal A", 1, ("X1.1",)), ("wire", "1.5 mm² PVC 85 C RD", 1.1, ("w1",))]
    assert told(parts_taken_off(comparison)) == [("wire", "1 mm² PVC 85 C RD", 1.1, ("w1",))]


def test_a_wire_that_moves_takes_a_plug_for_the_cavity_it_leaves() -> None:
    comparison = compared(("w1: {from: X1.1,", "w1: {from: X1.5,"))
    assert told(parts_needed(comparison)) == [("cavity plug", "plug A", 1, ("X1.1",))]
    assert parts_taken_off(comparison) == ()


def test_a_splice_that_is_opened_takes_sleeve_and_shrink() -> None:
    comparison = compared(("      w5: {from: SP1,  to: X2.4, size: 1 mm2, colour: GN}\n", ""))
    assert told(parts_needed(comparison)) == [("crimp sleeve", "sleeve 4", 1, ("SP1",)), ("heat-shrink", "tube 6", 1, ("SP1",))]


def test_terminals_seals_fuses_housing_and_covering_that_are_others() -> None:
    text = edited(BENCH, ("X2: {title: lamp plug,", "X2: {title: lamp plug, housing: grey,"))
    comparison = compared(("terminal: pin 1.5, seal: seal A", "terminal: pin 1.0, seal: seal B"), ("rating: 10 A", "rating: 15 A"), ("housing: grey", "housing: black"),
                          ("500 mm, covering: tape", "500 mm, covering: conduit"), text=text)
    cavities = ("X1.1", "X1.2", "X1.3")
    assert told(parts_needed(comparison)) == [
        ("terminal", "pin 1.0", 3, cavities), ("seal", "seal B", 3, cavities), ("covering", "conduit", 0.5, ("T2",)), ("housing", "black", 1, ("X2",)), ("fuse", "15 A, blade", 1, ("F1",))]


def test_a_wire_of_no_known_length_is_counted_apart() -> None:
    comparison = compared(("    wires:\n", "    wires:\n      w9: {from: X3.1, to: unknown, size: 1 mm2, colour: GN}\n"))
    wire = parts_needed(comparison)[-1]
    assert (wire.kind, wire.quantity, wire.unknown) == ("wire", 0, 1)


def test_two_wires_in_one_terminal_take_one() -> None:
    comparison = compared(("    wires:\n", "    wires:\n      w8: {from: X3.1, to: X3.5}\n      w9: {from: X3.1, to: X3.6}\n"), ("    cavities:\n", "    cavities:\n      X3.1: {crimp: double}\n"))
    assert ("terminal", "pin 2.8", 3, ("X3.1", "X3.5", "X3.6")) in told(parts_needed(comparison))


def test_what_became_known_takes_nothing() -> None:
    comparison = compared(("size: unknown", "size: 1 mm2"), text=edited(BENCH, ("to: X2.1, size: 1 mm2", "to: X2.1, size: unknown")))
    assert parts_needed(comparison) == () and parts_taken_off(comparison) == ()


def test_nothing_is_taken_for_an_airbag_circuit() -> None:
    comparison = compared(("to: X2.1, size: 1 mm2", "to: X2.1, size: 1.5 mm2"), text=edited(BENCH, ("X1.1: {function: lamp}", "X1.1: {function: lamp, signal: airbag}")))
    assert parts_needed(comparison) == ()


def test_from_nothing_to_the_bench_takes_the_whole_parts_list() -> None:
    """The parts list of the book reckons the same by another way; fuses, and terminals and housings nobody stated, are not in it."""
    new = version(BENCH)
    needed = parts_needed(compare(version("title: nothing yet"), new))
    told_apart = {(line.kind, line.part): (line.quantity, set(line.where)) for line in needed if line.kind != "fuse" and line.part not in (NOT_STATED, "housing, not stated which")}
    whole = {(line.kind, line.part): (line.quantity, set(line.where)) for line in parts_list(new.harness, new.geometry) if line.kind != "cavity plug"}
    assert told_apart == whole
