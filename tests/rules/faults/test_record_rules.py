"""Records that do not agree: join numbers, names of circuits, the log, and pins that a unit watches."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.steps import load

from .edited import edited, found, lacking

TWICE, MISSING, CHANGES, LOG, WATCHED = "join-number-twice", "join-number-missing", "circuit-changes-in-copper", "log-behind", "monitored-pin-open"


def findings_in(text: str, code: str, **more: str):
    return [finding for finding in load("heron.yaml", {"heron.yaml": text, **more}).findings if finding.code == code]


# ----------------------------------------------------------------------- join-number-twice

def test_all_splices_of_a_number_are_one_finding():
    more = ("  S2: {title: wiper, join: J1}", "  S3: {join: j1}\n  S4: {join: J2}\n  S2: {title: wiper, join: J1}"), ("wires:", "wires:\n"
            "  8: {from: X1.1, to: S3, size: 1 mm2, colour: BU, type: TXL}\n  9: {from: S3, to: X2.1, size: 1 mm2, colour: BU, type: TXL}"), ("1: {from: X1.1", "1: {from: X1.3"), ("2: {from: S1, to: X2.1", "2: {from: S1, to: X2.3"), ("[[1..2]]", "[[1..3]]")
    (finding,) = found(TWICE, *more)
    assert finding.message == "join J1 stands at S1, S3 and S2, which are not one copper"
    assert finding.do == "give S3 and S2 a number that is free, from J3 on, and mend both labels"
    assert finding.at == ("S2", "S1", "S3") and finding.severity is Severity.ADVICE


def test_two_splices_of_one_copper_may_share_a_number():
    assert found(TWICE, ("3: {from: X1.2, to: S2", "3: {from: S1, to: S2")) == []


# --------------------------------------------------------------------- join-number-missing

@pytest.mark.parametrize("changes", [
    ((", join: J1", ""),),                                                  # no merge: nothing is numbered
    (("circuit: C 91", "circuit: wiper"),),
    ((", circuit: C 91", ""),),
    (("connectors:", "circuits:\n  wiper: {number: 91}\n  C 91: {number: 91}\nconnectors:"),),
])
def test_where_no_number_is_missing(changes):
    assert found(MISSING, *changes) == []


def test_each_gets_a_number_of_its_own():
    more = ("  S2: {title: wiper}", "  S2: {title: wiper}\n  S3: {}"), ("wires:", "wires:\n  8: {from: X1.3, to: S3, size: 1 mm2, colour: BU, type: TXL, circuit: lamp}\n"
            "  9: {from: S3, to: X2.3, size: 1 mm2, colour: BU, type: TXL, circuit: C 17}"), ("[[1..2]]", "[[1..3]]")
    assert [finding.do for finding in found(MISSING, *more)] == [f"write `join: {join}` at {splice}, and the number on the labels of its wires" for splice, join in (("S2", "J2"), ("S3", "J3"))]


def test_one_change_of_name_is_told_by_one_rule():
    # With numbered joins: a join that was forgotten. Without: a name that changes.
    assert len(found(MISSING)) == 1
    assert found(MISSING)[0].at == ("S2", "wire 3", "wire 4")
    assert findings_of_codes(()) == {MISSING}
    assert findings_of_codes(((", join: J1", ""),)) == {CHANGES}


def findings_of_codes(changes) -> set[str]:
    return {finding.code for finding in edited(MISSING, *changes).findings}


HOST = "colours: IEC 60757\nwires:\n  101: {from: X1.1, to: S1, size: 1 mm2, colour: BU, type: TXL}\n  102: {from: X1.2, to: S2, size: 1 mm2, colour: GN, type: TXL}\n"
DONOR = "colours: CONVENTION\nwires:\n  201: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}\n  202: {from: S2, to: X2.2, size: 1 mm2, colour: GN, type: TXL}\n"
MAIN = "include: [host.yaml, donor.yaml]\ncolours: IEC 60757\nconnectors:\n  X1: {}\n  X2: {}\nsplices:\n  S1: {join: J1}\n  S2: {JOIN}\n"


@pytest.mark.parametrize(("join", "convention", "words"), [
    ("", "IEC 60757", "splice S2 ties a wire of donor.yaml to one of host.yaml and bears no join number, as S1 does (J1)"),
    ("join: J2", "IEC 60757", None),
])
def test_two_vehicles_show_in_the_files(join, convention, words):
    findings = findings_in(MAIN.replace("JOIN", join), MISSING, **{"host.yaml": HOST, "donor.yaml": DONOR.replace("CONVENTION", convention)})
    assert [finding.message for finding in findings] == ([words] if words else [])


def test_files_that_no_numbered_join_ties_are_one_vehicle():
    text = MAIN.replace("S1: {join: J1}", "S1: {}").replace("JOIN", "") + "  S9: {join: J1}\n" + "wires:\n  9: {from: X1.9, to: S9, size: 1 mm2, colour: BU, type: TXL}\n  8: {from: X2.9, to: S9, size: 1 mm2, colour: BU, type: TXL}\n"
    assert findings_in(text, MISSING, **{"host.yaml": HOST, "donor.yaml": DONOR.replace("CONVENTION", "IEC 60757")}) == []


def test_two_vehicles_show_in_their_colour_conventions():
    text = MAIN.replace("S1: {join: J1}", "S1: {}").replace("JOIN", "") + "  S9: {join: J1}\n" + "wires:\n  9: {from: X1.9, to: S9, size: 1 mm2, colour: BU, type: TXL}\n  8: {from: X2.9, to: S9, size: 1 mm2, colour: BU, type: TXL}\n"
    donor = DONOR.replace("CONVENTION", "North American trade").replace("BU", "BLU").replace("GN", "GRN")
    findings = findings_in(text, MISSING, **{"host.yaml": HOST, "donor.yaml": donor})
    assert [finding.message.split(" and bears")[0] for finding in findings] == [f"splice {splice} ties a wire in colours of IEC 60757 to one in colours of North American trade" for splice in ("S1", "S2")]


# --------------------------------------------------------------- circuit-changes-in-copper

@pytest.mark.parametrize("changes", [
    (("S1: {}", "S1: {join: J1}"),),
    (("connectors:", "circuits:\n  wiper: {number: 7}\n  washer: {number: 7}\nconnectors:"),),
])
def test_a_join_number_and_one_number_of_two_circuits_make_one_name(changes):
    assert found(CHANGES, *changes) == []


def between(things: str, first_to: str, second_from: str) -> str:
    return (f"{things}connectors:\n  X1: {{}}\n  X2: {{}}\nwires:\n  1: {{from: X1.1, to: {first_to}, size: 1 mm2, colour: BU, type: TXL, circuit: wiper}}\n"
            f"  2: {{from: {second_from}, to: X2.1, size: 1 mm2, colour: BU, type: TXL, circuit: washer}}\n")


@pytest.mark.parametrize(("things", "first_to", "second_from", "told"), [
    ("splices:\n  S1: {}\n", "S1", "S1", True),
    ("grounds:\n  GB1: {}\n", "GB1", "GB1", False),
    ("fuses:\n  F1: {rating: 5 A}\n", "F1.1", "F1.2", False),
    ("devices:\n  D1: {terminals: [B]}\n", "D1.B", "D1.B", False),
    ("devices:\n  D1: {terminals: [A, B], links: [[D1.A, D1.B]]}\n", "D1.A", "D1.B", False),
    ("boxes:\n  B1: {bars: {30: []}}\n", "B1.30", "B1.30", False),
    ("cavities:\n  X3.1: {crimp: double}\n", "X3.1", "X3.1", True),
])
def test_where_circuits_part(things, first_to, second_from, told):
    text = between(things, first_to, second_from).replace("  X2: {}\n", "  X2: {}\n  X3: {}\n")
    assert bool(findings_in(text, CHANGES)) is told


def test_mated_cavities_are_copper_and_differing_ones_are_told_elsewhere():
    text = between("", "X3.1", "X4.1").replace("  X2: {}\n", "  X2: {}\n  X3: {half: plug, mates: X4, face: [[1, 2]], view: mating face}\n  X4: {half: socket, face: [[2, 1]], view: mating face}\n")
    (finding,) = findings_in(text, CHANGES)
    assert finding.message == "one copper is called wiper (wire 1) and washer (wire 2); the name changes at X3.1 and X4.1, where nothing stands between"
    assert finding.do == "if they were meant to meet, call all of it wiper; if not, part wire 2 from the others at X3.1 and X4.1"
    assert finding.at == ("circuit wiper", "circuit washer", "X3.1", "X4.1", "wire 1", "wire 2")
    more = text + "  3: {from: X1.2, to: X3.2, size: 1 mm2, colour: GN, type: TXL, circuit: washer}\n  4: {from: X4.2, to: X2.2, size: 1 mm2, colour: GN, type: TXL, circuit: wiper}\n"
    assert findings_in(more, CHANGES) == [] and len(findings_in(more, "mated-cavities-differ")) == 1


def test_the_name_that_most_wires_have_and_a_number_are_proposed():
    (finding,) = found(CHANGES, ("wires:", "wires:\n  3: {from: S1, to: X2.2, size: 1 mm2, colour: BU, type: TXL, circuit: washer}"), ("X2: {face: [[1]]", "X2: {face: [[1..2]]"))
    assert finding.do == "if they were meant to meet, call all of it washer (where S1 is a join of two vehicles, write `join: J1` there); if not, part wire 1 from the others at S1"
    assert [related.words for related in finding.related] == ["here it is washer"]


def test_the_mark_stands_at_the_name_that_fewer_wires_have():
    loaded = edited(CHANGES, ("  2: {", "  3: {from: S1, to: X2.2, size: 1 mm2, colour: BU, type: TXL, circuit: washer}\n  2: {"), ("X2: {face: [[1]]", "X2: {face: [[1..2]]"))
    (finding,) = (finding for finding in loaded.findings if finding.code == CHANGES)
    assert "circuit: wiper}" in loaded.texts["heron.yaml"].line(finding.place.line)


def test_a_wire_without_a_name_among_named_ones_is_asked_for():
    assert lacking(CHANGES, (", circuit: washer", "")) == [("wire 2",)]
    assert lacking(CHANGES, (", circuit: washer", ""), (", circuit: wiper", "")) == []


def test_a_name_goes_on_through_a_wire_without_one():
    text = between("splices:\n  S1: {}\n  S2: {}\n", "S1", "S2") + "  3: {from: S1, to: S2, size: 1 mm2, colour: BU, type: TXL}\n"
    (finding,) = findings_in(text, CHANGES)
    assert finding.message == "one copper is called wiper (wire 1) and washer (wire 2), with nothing between"


# ------------------------------------------------------------------------------ log-behind

def test_the_line_to_add_is_said():
    (finding,) = found(LOG)
    assert finding.do == "add a line to `log:` with revision B, date 2026-03-09, who and why, and print anew"
    assert (finding.value, finding.limit, finding.at) == ("2026-03-09", "2026-03-02", ("S1",))


@pytest.mark.parametrize(("revision", "next_"), [("A", "revision B, "), ("Y", "revision Z, "), ("Z", ""), ("9", "revision 10, "), ("A2", ""), ("draft", "")])
def test_the_revision_that_follows(revision, next_):
    assert found(LOG, ("revision: A", f"revision: {revision}"))[0].do.startswith(f"add a line to `log:` with {next_}date")


@pytest.mark.parametrize(("date", "told"), [("2026-03-01", 0), ("2026-03-02", 0), ("2026-03-03", 1), ("2027-01-01", 1)])
def test_a_waiver_of_the_day_of_the_last_entry_is_told_of_by_it(date, told):
    assert len(found(LOG, ("date: 2026-03-09}", f"date: {date}}}"))) == told


def test_the_newest_entry_counts_wherever_it_stands():
    (finding,) = found(LOG, ("why: first issue}", "why: first issue}\n  - {revision: B, date: 2026-02-28, by: bench, why: late}"), ("date: 2026-03-09}", "date: 2026-03-02}"))
    assert finding.message == "the log has revision B of 2026-02-28 after revision A of 2026-03-02"


def test_several_waivers_are_one_finding_at_the_newest():
    (finding,) = found(LOG, ("waivers:", "waivers:\n  - {at: wire 1, code: colour-changes-at-splice, reason: banded, date: 2026-03-05}"))
    assert finding.message.startswith("the log ends with revision A of 2026-03-02, but 2 waivers are newer:")
    assert finding.at == ("wire 1", "S1") and finding.place.line == 10


def test_without_a_log_it_is_asked_for():
    assert lacking(LOG, ("log:\n  - {revision: A, date: 2026-03-02, by: bench, why: first issue}\n", "")) == [()]


# ---------------------------------------------------------------------- monitored-pin-open

WIRE = "  9: {{from: X1.1, to: {}, size: 1 mm2, colour: BU, type: TXL}}"


@pytest.mark.parametrize(("to", "words"), [
    ("X2.2", None), ("unknown", None), ("open", "U1 watches X1.1 (purge valve), and its wire 9 ends open"), ("X3.1", "U1 watches X1.1 (purge valve), and its wire 9 leads to nothing"), ("S1", None)])
def test_what_is_on_a_pin(to, words):
    more = ("  X2: {face: [[1]]", "  X3: {half: plug, mates: X4, face: [[1..2]], view: mating face}\n  X4: {half: socket, face: [[2, 1]], view: mating face}\n  X2: {face: [[1..2]]"), \
        ("cavities:", "splices:\n  S1: {members: [unknown]}\ncavities:"), ("wires:", "wires:\n" + WIRE.format(to))
    assert [finding.message for finding in found(WATCHED, *more)] == ([words] if words else [])


def test_a_half_whose_other_half_goes_on_leads_somewhere():
    more = ("  X2: {face: [[1]]", "  X3: {half: plug, mates: X4, face: [[1..2]], view: mating face}\n  X4: {half: socket, face: [[2, 1]], view: mating face}\n  X2: {face: [[1..2]]"), \
        ("wires:", "wires:\n" + WIRE.format("X3.1") + "\n  8: {from: X4.1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}")
    assert found(WATCHED, *more) == []


def test_a_splice_alone_is_nothing():
    more = ("cavities:", "splices:\n  S1: {}\ncavities:"), ("wires:", "wires:\n" + WIRE.format("S1") + "\n  8: {from: S1, to: open, size: 1 mm2, colour: BU, type: TXL}")
    assert [finding.message for finding in found(WATCHED, *more)] == ["U1 watches X1.1 (purge valve), and its wire 8 ends open"]


def test_another_pin_of_the_unit_counts_as_something():
    assert found(WATCHED, ("from: X1.2, to: X2.1", "from: X1.1, to: X1.2")) == []


def test_where_nothing_says_what_is_watched_it_is_asked_once():
    assert lacking(WATCHED, (", monitored: true", "")) == [()]
    assert lacking(WATCHED, (", monitored: true", ""), ("signal: output-pwm-low", "signal: spare")) == []
