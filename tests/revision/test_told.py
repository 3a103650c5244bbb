"""Copper that a moved wire parts and joins, knowledge that was lost, and how lids, bars, faces and whole modules are spoken of."""

from __future__ import annotations

from revision.two_versions import BENCH, compared, edited

from harnessdoc.revision.compare import Comparison
from harnessdoc.revision.lines import lines_of
from harnessdoc.revision.rework import rework

U = """
    devices:
      U1: {title: control unit, connectors: [E1, E2]}
    connectors:
      E1: {title: plug one, face: [[1..4]], view: mating face}
      E2: {title: plug two, face: [[1..4]], view: mating face}
      X1: {face: [[1..8]], view: mating face}
    wires:
      a1: {from: E1.1, to: X1.1, size: 1 mm2, colour: RD}
      a2: {from: E1.2, to: X1.2, size: 1 mm2, colour: BU}
      b1: {from: E2.1, to: X1.3, size: 1 mm2, colour: GN}
      b2: {from: E2.2, to: X1.4, size: 1 mm2, colour: BK}
"""


def islands(comparison: Comparison) -> tuple[list[list[list[str]]], list[list[list[str]]]]:
    follows = comparison.follows
    return ([sorted(sorted(part) for part in each.parts) for each in follows.merged], [sorted(sorted(part) for part in each.parts) for each in follows.parted])


def texts(comparison: Comparison) -> list[str]:
    return [line.text for line in lines_of(comparison)]


def test_a_wire_that_moves_joins_one_cavity_and_parts_the_other() -> None:
    assert islands(compared(("w1: {from: X1.1,", "w1: {from: X1.5,"))) == ([[["X1.5"], ["X2.1"]]], [[["X1.1"], ["X2.1"]]])


def test_a_cavity_nobody_had_written_of_counts() -> None:
    text = edited(BENCH, ("X3: {place: P3, face: [[1..4], [5..8]], view: mating face, terminal: pin 2.8}", "X3: {place: P3, terminal: pin 2.8}"), ("w2: {from: X1.2, to: X2.2,", "w2: {from: X3.1, to: X2.2,"))
    assert islands(compared(("w2: {from: X3.1,", "w2: {from: X3.2,"), text=text)) == ([[["X2.2"], ["X3.2"]]], [[["X2.2"], ["X3.1"]]])


def test_wires_that_are_new_or_gone_join_and_part_nothing() -> None:
    assert islands(compared(("    wires:\n", "    wires:\n      n1: {from: X1.5, to: G1, size: 1 mm2}\n"))) == ([], [])
    assert islands(compared(("      w2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BU}\n", ""))) == ([], [])


def test_knowledge_that_was_lost_makes_no_work() -> None:
    comparison = compared(("w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}", "w1: {from: X1.1, to: unknown, size: unknown, colour: unknown}"))
    assert comparison.follows.labels == () and rework(comparison).steps == ()


def test_a_label_of_a_wire_renamed_is_replaced_though_its_colour_is_lost() -> None:
    comparison = compared(("w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}", "w9: {from: X1.1, to: X2.1, size: 1 mm2, colour: unknown}"))
    assert [(label.at, label.now) for label in comparison.follows.labels] == [("X1.1", "w9 | 1 mm² | to X2.1"), ("X2.1", "w9 | 1 mm² | to X1.1")]


def test_the_label_of_a_moved_end_of_which_the_other_was_never_known_reads_as_before() -> None:
    text = edited(BENCH, ("w1: {from: X1.1, to: X2.1,", "w1: {from: X1.1, to: unknown,"))
    assert compared(("w1: {from: X1.1,", "w1: {from: X1.5,"), text=text).follows.labels == ()


def test_a_lid_and_bars_tell_what_differs() -> None:
    text = edited(BENCH, ("B1: {place: P1}", "B1: {place: P1, lid: [[F1, F2, K4]], bars: {30: [F1.1, F2.1], clutch: [K4.30, K4.86]}}"),
                  ("    fuses:\n", "    relays:\n      K4: {box: B1}\n    fuses:\n      F2: {box: B1}\n"))
    comparison = compared(("lid: [[F1, F2, K4]], bars: {30: [F1.1, F2.1], clutch: [K4.30, K4.86]}", "lid: [[F1]], bars: {30: [F1.1]}"), text=text)
    assert "box B1, F2 and K4 gone from the lid; F2.1 off bar 30; bar clutch gone" in [line.replace("bar clutch gone; F2.1 off bar 30", "F2.1 off bar 30; bar clutch gone") for line in texts(comparison)]
    swapped = compared(("lid: [[F1, F2, K4]]", "lid: [[F2, F1, K4]]"), text=text)
    assert texts(swapped) == ["box B1, F2 on the lid from row 1 place 2 to row 1 place 1; F1 on the lid from row 1 place 1 to row 1 place 2"]


def test_a_face_of_as_many_cavities_names_its_rows() -> None:
    text = edited(BENCH, ("X3: {place: P3, face: [[1..4], [5..8]]", "X3: {place: P3, face: [[1..8]]"))
    assert texts(compared(("X3: {place: P3, face: [[1..8]]", "X3: {place: P3, face: [[1..4], [5..8]]"), text=text)) == ["connector X3, face: was rows 1..8, now rows 1..4 / 5..8"]


def test_a_function_that_is_unknown_is_called_so_and_one_that_went_with_its_wire_is_not_said() -> None:
    text = edited(BENCH, ("X1.2: {function: pump}", "X1.2: {function: pump}\n      X1.5: {function: unknown}"))
    assert "wire w1 moved: was X1.1, now X1.5 (function unknown)" in texts(compared(("w1: {from: X1.1,", "w1: {from: X1.5,"), text=text))
    gone = compared(("      w2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BU}\n", ""), ("      X1.2: {function: pump}\n", ""))
    assert "cavity X1.2, function: was pump, now not said" in texts(gone)


def test_a_circuit_is_named_once() -> None:
    assert "circuit gauge added" in texts(compared(("    wires:\n", "    circuits:\n      gauge: {}\n    wires:\n")))


def test_a_module_whose_wires_all_moved_is_one_line() -> None:
    moved = [("U1: {title: control unit, connectors: [E1, E2]}", "U1: {title: control unit, connectors: [E1, E2, E3, E4]}"),
             ("      X1: {face", "      E3: {face: [[1..4]], view: mating face}\n      E4: {face: [[1..4]], view: mating face}\n      X1: {face")]
    ends = [(f"from: {was}.{cavity}", f"from: {now}.{cavity}") for was, now in (("E1", "E3"), ("E2", "E4")) for cavity in (1, 2)]
    comparison = compared(*moved, *ends, text=U)
    assert [text for text in texts(comparison) if "wires" in text] == ["control unit U1: all 4 wires of E1 and E2 went to E3 and E4, cavity for cavity"]
    crossed = compared(*moved, *ends[:2], ("from: E2.1", "from: E4.2"), ("from: E2.2", "from: E4.1"), text=U)
    assert [text for text in texts(crossed) if "wires" in text] == ["control unit U1: all 4 wires of E1 and E2 went to E3 and E4: E1 to E3 1 → 1, 2 → 2; E2 to E4 1 → 2, 2 → 1"]
    half = compared(*moved, *ends[:2], text=U)
    assert [text.partition(",")[0] for text in texts(half) if "wires" in text] == ["all 2 wires of E1 (plug one) went to E3"]
    staying = edited(U, ("connectors: [E1, E2]", "connectors: [E1, E2, E5]"), ("      X1: {face", "      E5: {title: plug five, face: [[1, 2]], view: mating face}\n      X1: {face"),
                     ("    wires:\n", "    wires:\n      c1: {from: E5.1, to: X1.8, size: 1 mm2}\n"))
    not_whole = compared((moved[0][0].replace("E2]", "E2, E5]"), moved[0][1].replace("E4]", "E4, E5]")), ("      E5: {title", "      E3: {face: [[1..4]], view: mating face}\n      E4: {face: [[1..4]], view: mating face}\n      E5: {title"), *ends, text=staying)
    assert [text.partition(",")[0] for text in texts(not_whole) if "wires" in text] == ["all 2 wires of E1 (plug one) went to E3", "all 2 wires of E2 (plug two) went to E4"]


def test_a_bar_that_joins_nothing_is_named() -> None:
    text = edited(BENCH, ("B1: {place: P1}", "B1: {place: P1, bars: {15: [F1.1]}}"))
    assert texts(compared(("bars: {15: [F1.1]}", "bars: {15: [F1.1], 30: []}"), text=text)) == ["box B1, bar 30 new"]
