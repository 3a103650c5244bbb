"""Splices: how many wires, how much copper, how often in one wire, and thinner behind than before."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.rules.extensions import thinner_extensions
from harnessdoc.rules.subject import Subject
from harnessdoc.steps import load

from .edited import found, lacking


def findings_in(text: str, code: str):
    return [finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == code]


def star(wires: int, options: str = "") -> str:
    """So many wires in one splice."""
    return (f"{options}connectors:\n  X1: {{}}\nsplices:\n  S1: {{}}\nwires:\n"
            + "".join(f"  {n}: {{from: X1.{n}, to: S1, size: {0.5 if n > 1 else 2} mm2, colour: BK, type: TXL}}\n" for n in range(1, wires + 1)))


# ---------------------------------------------------------------------- splice-of-too-many

@pytest.mark.parametrize(("wires", "options", "told"), [
    (6, "", 0), (7, "", 1), (5, "rules: {splice-of-too-many: {most: 4}}\n", 1), (9, "rules: {splice-of-too-many: {most: 9}}\n", 0)])
def test_the_most_wires_of_a_splice(wires, options, told):
    assert len(findings_in(star(wires, options), "splice-of-too-many")) == told


@pytest.mark.parametrize(("wires", "do"), [
    (7, "lead 6, 7 to a second splice, S2, and join the two with a wire as thick as the thickest, 2 mm²"),
    (10, "lead 6, 7, 8, 9, 10 to a second splice, S2, and join the two with a wire as thick as the thickest, 2 mm²"),
    (11, "divide it among several, no more than 5 wires to each, and join these with wires as thick as the thickest, 2 mm²"),
])
def test_how_the_wires_are_divided(wires, do):
    (finding,) = findings_in(star(wires), "splice-of-too-many")
    assert (finding.do, finding.value, finding.limit, finding.origin) == (do, f"{wires} wires", "6 wires", "from memory")


def test_an_id_that_is_taken_is_not_proposed():
    assert "a second splice, S3," in findings_in(star(7, "devices:\n  S2: {}\n"), "splice-of-too-many")[0].do


# ---------------------------------------------------------------------- splice-over-sleeve

@pytest.mark.parametrize(("sizes", "told"), [(("1", "0.5", "0.5"), 0), (("1", "0.5", "0.52"), 1), (("0.5", "0.25", "0.25"), 0), (("0.5", "0.25", "0.22"), 1)])
def test_the_range_of_a_sleeve(sizes, told):
    changes = [(f"from: X1.{n}, to: S1, size: {old} mm2", f"from: X1.{n}, to: S1, size: {new} mm2") for n, old, new in zip((1, 2, 3), (2, 1, 1), sizes, strict=True)]
    assert len(found("splice-over-sleeve", *changes)) == told


@pytest.mark.parametrize(("sleeve", "size", "do"), [
    ("sleeve 1 to 2 mm²", "2 mm2", "take the sleeve 3 to 5 mm²"),
    ("sleeve 6 to 10 mm2", "2 mm2", "take the sleeve 3 to 5 mm²"),
    ("1-2 mm2", "0.6 mm2", "divide it into two splices, or solder it: no sleeve known here takes 2.6 mm²"),
    ("3..5 mm2", "0.6 mm2", "solder it, or fold the thinnest strands back until they fill the sleeve: no sleeve known here takes 2.6 mm²"),
    ("sleeve 1 to 2 mm2", "25 mm2", "divide it into two splices; no sleeve known here takes 27 mm² (the largest 16 mm²)"),
])
def test_the_sleeve_that_fits_is_named(sleeve, size, do):
    (finding,) = found("splice-over-sleeve", ("sleeve 1 to 2 mm2", sleeve), ("size: 2 mm2", f"size: {size}"))
    assert finding.do == do and finding.at[0] == "S1"


def test_a_sleeve_without_a_range_and_copper_that_is_not_known_are_asked_for():
    assert lacking("splice-over-sleeve", ("sleeve 1 to 2 mm2", "blue sleeve")) == [("S1",)]
    assert lacking("splice-over-sleeve", ("sleeve 1 to 2 mm2", "butt 16 to 14 AWG")) == [("S1",)]
    assert lacking("splice-over-sleeve", ("size: 2 mm2", "size: unknown")) == [("S1",)]
    assert lacking("splice-over-sleeve", ("sleeve 1 to 2 mm2", "sleeve 1 to 2 mm2, members: [unknown]")) == [("S1",)]
    assert lacking("splice-over-sleeve", (", sleeve: sleeve 1 to 2 mm2", "")) == []


# ---------------------------------------------------------------------- wire-spliced-again

def test_the_whole_run_is_told_once():
    more = ("3: {from: S2, to: X2.1,", "4: {from: S3, to: X2.1, size: 1 mm2, colour: BU, type: TXL}\n  3: {from: S2, to: S3,")
    (finding,) = found("wire-spliced-again", more, ("  S2: {}", "  S3: {}\n  S2: {}"))
    assert finding.message == "between X1.1 and X2.1 the wire is spliced 3 times, at S1, S2 and S3 (wires 1, 2, 3, 4), where one splice is the most"
    assert finding.do == "draw one wire of 1 mm² from X1.1 to X2.1; or one from S1 to X2.1 in place of wire 2, wire 3 and wire 4"
    assert finding.at == ("S3", "S2", "S1", "wire 1", "wire 2", "wire 3", "wire 4") and finding.severity is Severity.ADVICE


@pytest.mark.parametrize("changes", [
    (("2: {from: S1, to: S2", "2: {from: S1, to: X2.2"), ("face: [[1]], view: mating face}\nsplices", "face: [[1..2]], view: mating face}\nsplices")),   # S2 is left with one
    (("splices:", "splices:\n  S9: {}"), ("wires:", "wires:\n  9: {from: S2, to: S9, size: 1 mm2, colour: BU, type: TXL}\n  8: {from: S1, to: S9, size: 1 mm2, colour: BU, type: TXL}")),
    (("  S1: {}", "  S1: {members: [unknown]}"),),
])
def test_one_splice_a_fan_out_or_unknown_members_are_no_fault(changes):
    assert found("wire-spliced-again", *changes) == []


def test_a_ring_of_splices_comes_to_an_end():
    ends = ("S1", "S2"), ("S2", "S3"), ("S3", "S1")
    text = "splices:\n  S1: {}\n  S2: {}\n  S3: {}\nwires:\n" + "".join(f"  {a}{b}: {{from: {a}, to: {b}, size: 1 mm2, colour: BU, type: TXL}}\n" for a, b in ends)
    assert len(findings_in(text, "wire-spliced-again")) == 1


def test_a_connector_between_begins_anew():
    assert found("wire-spliced-again", ("2: {from: S1, to: S2", "2: {from: S1, to: X3.1, size: 1 mm2, colour: BU, type: TXL}\n  5: {from: X4.1, to: S2"),
                 ("splices:", "  X3: {half: plug, mates: X4, face: [[1]], view: mating face}\n  X4: {half: socket, face: [[1]], view: mating face}\nsplices:")) == []


# -------------------------------------------------------------------- thinner-after-splice

THIN = "thinner-after-splice"


def test_the_way_out_names_the_size_and_the_fuse_that_fits():
    (finding,) = found(THIN)
    assert finding.do == "draw wire 3 in 5 mm², as wire 2 is; or put a fuse of 15 A at S1, if it carries the load"
    assert finding.at == ("wire 3", "S1", "wire 2", "F1") and (finding.value, finding.limit) == ("1 mm²", "5 mm²")
    assert finding.severity is Severity.HAZARD


def test_the_fuse_that_fits_is_the_largest_that_the_thin_wire_bears():
    (finding,) = found(THIN, ("rating: 30 A", "rating: 40 A"))
    assert "a fuse of 15 A at S1" in finding.do


def test_where_the_thin_wire_bears_the_fuse_it_is_no_hazard():
    (finding,) = found(THIN, ("rating: 30 A", "rating: 5 A"))
    assert finding.severity is Severity.MALFUNCTION
    assert finding.message == "behind splice S1 wire 2 of 5 mm² goes on as wire 3 of 1 mm², behind the same fuse F1 of 5 A"
    assert finding.do == "draw wire 3 in 5 mm², as wire 2 is"


@pytest.mark.parametrize(("size", "told"), [("4.2 mm2", 1), ("4.3 mm2", 0), ("6 mm2", 0), ("10 AWG", 0), ("unknown", 0)])
def test_what_counts_as_thinner(size, told):
    assert len(found(THIN, ("size: 1 mm2", f"size: {size}"))) == told


def test_the_share_can_be_set():
    assert len(found(THIN, ("size: 1 mm2", "size: 4.3 mm2"), ("devices:", "rules: {thinner-after-splice: {same: 90 %}}\ndevices:"))) == 1


@pytest.mark.parametrize("changes", [
    (("from: F1.2, to: S1", "from: X1.2, to: F1.2"), ("[[1]]", "[[1..2]]")),                        # nothing feeds the splice
    (("3: {from: S1, to: X1.1", "4: {from: S1, to: X1.2, size: 5 mm2, colour: RD, type: TXL}\n  3: {from: S1, to: X1.1"), ("[[1]]", "[[1..2]]")),  # it fans out
    (("2: {from: F1.2, to: S1, size: 5 mm2", "2: {from: F1.2, to: S1, size: 1 mm2"), ("3: {from: S1, to: X1.1, size: 1 mm2", "3: {from: S1, to: X1.1, size: 5 mm2")),  # thicker
    (("S1: {}", "S1: {members: [unknown]}"),),
    (("to: X1.1, size", "to: unknown, size"),),
])
def test_what_is_no_thinner_extension_is_silent(changes):
    assert found(THIN, *changes) == []


def test_a_fuse_at_the_splice_protects_what_follows():
    fused = (("3: {from: S1, to: X1.1", "4: {from: S1, to: F2.1, size: 5 mm2, colour: RD, type: TXL}\n  3: {from: F2.2, to: X1.1"), ("fuses:", "fuses:\n  F2: {rating: 10 A, type: blade}"))
    assert found(THIN, *fused) == []


def test_a_fuse_without_a_rating_is_asked_for():
    assert lacking(THIN, ("rating: 30 A", "rating: unknown")) == [("F1",)]


def test_a_battery_says_which_side_feeds():
    # Seen from F2 alone the thick wire would come first; the battery is on the other side.
    text = ("devices:\n  G1: {terminals: ['+']}\nconnectors:\n  X1: {}\ncavities:\n  G1.+: {signal: source-battery}\nfuses:\n  F1: {rating: 5 A, type: blade}\nsplices:\n  S1: {}\nwires:\n"
            "  1: {from: G1.+, to: S1, size: 1 mm2, colour: RD, type: TXL}\n  2: {from: S1, to: F1.2, size: 5 mm2, colour: RD, type: TXL}\n  3: {from: F1.1, to: X1.1, size: 5 mm2, colour: RD, type: TXL}\n")
    assert findings_in(text, THIN) == []
    assert findings_in(text.replace("F1.2, size: 5", "F1.1, size: 0.5").replace("from: F1.1", "from: F1.2"), THIN) == []      # no fuse before it


def test_fuses_in_a_row_and_what_is_left_to_this_rule():
    text = ("connectors:\n  X1: {}\nfuses:\n  F1: {rating: 60 A, type: maxi}\n  F2: {rating: 15 A, type: blade}\nsplices:\n  S1: {}\n  S2: {}\nwires:\n"
            "  1: {from: X1.1, to: F1.1, size: 10 mm2, colour: RD, type: TXL}\n  2: {from: F1.2, to: S1, size: 10 mm2, colour: RD, type: TXL}\n  3: {from: S1, to: S2, size: 1 mm2, colour: RD, type: TXL}\n"
            "  4: {from: S2, to: F2.1, size: 1 mm2, colour: RD, type: TXL}\n  5: {from: S2, to: X1.2, size: 0.5 mm2, colour: RD, type: TXL}\n  6: {from: F2.2, to: X1.3, size: 1 mm2, colour: RD, type: TXL}\n")
    (finding,) = findings_in(text, THIN)
    assert finding.at == ("wire 3", "S1", "wire 2", "F1")
    loaded = load("heron.yaml", {"heron.yaml": text})
    extended = thinner_extensions(Subject(loaded.harness, loaded.network, loaded.geometry, {}, lambda _: False))
    assert extended.behind == {"3", "4"}            # 5 is thinner still, 6 has a fuse of its own
    assert [finding.at[:2] for finding in findings_in(text, "fuse-over-wire")] == [("F1", "wire 5")]
