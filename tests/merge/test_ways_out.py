"""Ways out of findings in a merge: what is said to be written is written, and then the finding is gone and nothing worse has come."""

from __future__ import annotations

import re

import pytest
from merge.vehicles import DONOR, HEAD, HOST, merged, texts

from harnessdoc.findings import Finding, Severity
from harnessdoc.steps import Loaded, compare, load

JOIN = "joins:\n  J1: {ends: [host/X7.2, donor/A1.L]}\n"
PULL_UP = "interfaces:\n  I1: {recipe: pull-up, signal: donor/E1.2, input: host/X7.2, feed: host/SP9}\n"
LOAD = HOST.replace("terminals: [1]}\nsegments", "terminals: [1, 2], motor: 4 A at 12 V, between: [M0.1, M0.2]}\nsegments").replace("  41: {from", "  42: {from: M0.2, to: G2, size: 1 mm2, colour: br}\n  41: {from")
HORN = HOST.replace("segments:\n  T1", "  U7: {title: control unit, connectors: [X50]}\n  B7: {title: horn, connectors: [X34], load: 5 A at 12 V, between: [X34.1, X34.2]}\n"
                    "  S7: {title: horn push, place: dash, terminals: [1, 2], closes: {pushed: [[S7.1, S7.2]]}}\nsegments:\n  T1", 1) \
    .replace("boxes:", "  X34: {title: horn plug, place: dash, half: socket, face: [[1, 2]], view: wire side}\n  X50: {title: unit plug, place: dash, half: socket, face: [[1, 2, 3]], view: wire side}\n"
             "cavities:\n  X34.1: {function: horn, signal: horn}\n  X34.2: {function: horn, signal: horn}\n  X50.1: {signal: feed-switched}\n  X50.2: {signal: ground-power}\n  X50.3: {function: relay, signal: output-relay-low}\nboxes:") \
    .replace("wires:\n", "wires:\n  60: {from: SP9, to: S7.1, size: 1.5 mm2, colour: sw}\n  61: {from: S7.2, to: X34.1, size: 1.5 mm2, colour: sw/ge}\n  62: {from: X34.2, to: G2, size: 1.5 mm2, colour: br}\n"
             "  63: {from: SP9, to: X50.1, size: 1 mm2, colour: sw}\n  64: {from: X50.2, to: G2, size: 1 mm2, colour: br}\n")


def of(loaded: Loaded, code: str, word: str = "") -> list[Finding]:
    return [finding for finding in loaded.findings if finding.code == code and word in finding.message]


def errors(loaded: Loaded) -> list[str]:
    return [f"{finding.code}: {finding.message}" for finding in loaded.findings if finding.severity is Severity.ERROR]


def quoted(do: str) -> list[str]:
    """What stands between ` ` in a way out."""
    return re.findall(r"`([^`]+)`", do)


def put(merge: str, section: str, entry: str) -> str:
    """The merge with one more entry under a section, or with the section."""
    return merge.replace(f"{section}:\n", f"{section}:\n  {entry}\n", 1) if f"{section}:\n" in merge else f"{merge}{section}:\n  {entry}\n"


def put_map(merge: str, written: str) -> str:
    """The merge with what ``section: {id: {...}, ...}`` says."""
    section, _, rest = written.partition(": ")
    for entry in re.findall(r"[^\s{},]+: \{(?:[^{}]|\{[^{}]*\})*\}", rest[1:-1]):
        merge = put(merge, section, entry)
    return merge


def test_a_colour_and_the_insulation_of_a_wire_of_an_interface():
    merge = HEAD + PULL_UP + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], through: I1}\n"
    (finding, *_) = of(load("merge.yaml", texts(merge)), "not-known-yet", "wire I1-S")
    assert finding.message == "wire I1-S: colour and insulation not known yet"
    colour, insulation = quoted(finding.do)
    assert (colour, insulation) == ("colour: BK", "wire-type: PVC 85 C")
    loaded = load("merge.yaml", texts(merge.replace("feed: host/SP9}", f"feed: host/SP9, {colour}}}").replace("sources:", f"{insulation}\nsources:")))
    assert errors(loaded) == [] and of(loaded, "not-known-yet", "wire I1-") == []


def test_a_ground_wire_of_an_interface_has_a_colour_of_its_own():
    merge = ("interfaces:\n  I1: {recipe: supply signal to ground input, signal: host/SP9, input: donor/E1.2, ground: host/G2}\n"
             "joins:\n  J1: {ends: [host/SP9, donor/E1.2], through: I1, piece: {size: 1 mm2, colour: BK, type: TXL}}\n")
    (finding, *_) = of(merged(merge), "not-known-yet", "wire I1-85")
    key = quoted(finding.do)[0]
    assert key == "ground-colour: BK"
    loaded = merged(merge.replace("ground: host/G2", f"ground: host/G2, {key}"))
    assert errors(loaded) == [] and of(loaded, "not-known-yet", "wire I1-85: colour") == []


def test_a_join_that_has_the_ends_of_an_interface_is_led_through_it():
    merge = PULL_UP + "joins:\n  J4: {ends: [host/X7.2, donor/E1.2]}\n"
    (finding,) = of(merged(merge), "interface-not-joined")
    assert finding.do == "write `through: I1` in J4"
    loaded = merged(merge.replace("donor/E1.2]}", "donor/E1.2], through: I1}"))
    assert errors(loaded) == [] and of(loaded, "interface-not-joined") == []


def test_a_join_that_has_one_end_of_an_interface_and_leads_elsewhere_is_taken_out():
    merge = PULL_UP + "joins:\n  J4: {ends: [host/X7.2, donor/A1.L]}\n"
    (finding,) = of(merged(merge), "interface-not-joined")
    assert finding.do.startswith("take J4 out, which has host/X7.2 and leads elsewhere, and write `J5: {ends: [donor/E1.2, host/X7.2], through: I1}`")
    loaded = merged(PULL_UP + f"joins:\n  {quoted(finding.do)[0]}\n")
    assert errors(loaded) == [] and of(loaded, "interface-not-joined") == []


def test_a_second_join_of_the_same_ends_through_an_interface():
    merge = PULL_UP + "joins:\n  J4: {ends: [host/X7.2, donor/E1.2]}\n  J5: {ends: [host/X7.2, donor/E1.2], through: I1}\n"
    finding, *_ = of(merged(merge), "end-joined-twice")
    assert finding.do == "write `through: I1` in join J4, and take join J5 out"


# ------------------------------------------------------------------ what a merge has otherwise than its sources

def test_a_fuse_of_a_source_that_is_too_large_gets_another_rating():
    host = LOAD.replace("F2: {box: B1, rating: 8 A", "F2: {box: B1, rating: 30 A")
    before = merged(JOIN, host)
    (finding,) = of(before, "fuse-over-wire", "F2")
    written = quoted(finding.do)[-1]
    assert re.fullmatch(r"fuses: \{host/F2: \{rating: [\d.]+ A\}\}", written)
    loaded = merged(put_map(JOIN, written), host)
    assert errors(loaded) == [] and of(loaded, "fuse-over-wire", "F2") == []
    rating = written.partition("rating: ")[2].rstrip("}")
    assert loaded.harness.parts["host/F2"].rating.stated == rating and loaded.harness.parts["host/F2"].box == "host/B1"
    assert loaded.merge.restated == {"host/F2": f"rating {rating}, as found 30 A"}
    assert loaded.merge.sources["host"].harness.parts["F2"].rating.stated == "30 A"
    changes = [(change.id, change.key, change.was, change.now) for change in compare(before, loaded).changes]
    assert changes == [("host/F2", "rating", "30 A", rating)]


def test_what_is_said_anew_is_told_at_the_merge():
    loaded = merged("fuses:\n  host/F2: {rating: 8 Q}\n" + JOIN)
    (finding,) = of(loaded, "bad-quantity")
    assert str(finding.place) == "merge.yaml:7:21"


def test_what_is_said_anew_in_two_files_is_told():
    files = texts(HEAD + "include: [more.yaml]\nfuses:\n  host/F2: {rating: 5 A}\n" + JOIN) | {"more.yaml": "fuses:\n  host/F2: {rating: 3 A}\n"}
    assert errors(load("merge.yaml", files)) == ["duplicate-id: `fuses` has host/F2 in two files"]


def test_a_splice_with_one_wire_left_leaves_or_has_members_that_are_not_known():
    merge = "fates:\n  - {fate: removed, wire: [host/36, host/40]}\n  - {fate: removed, device: host/M0}\n"
    (finding,) = of(merged(merge), "splice-of-one")
    line, _, later = quoted(finding.do)
    assert (line, later) == ("{fate: removed, device: host/SP9}", "splices: {host/SP9: {members: [unknown]}}")
    for mended in (f"{merge}  - {line}\n", put_map(merge, later)):
        loaded = merged(mended)
        assert errors(loaded) == [] and of(loaded, "splice-of-one") == []


def test_a_diode_across_a_winding_of_a_source():
    (finding,) = of(merged(JOIN, HORN), "suppression-missing", "horn host/B7")
    assert "cathode at host/X34.1, anode at host/X34.2; in the merge file: " in finding.do
    merge = JOIN
    for written in quoted(finding.do):
        merge = put_map(merge, written)
    loaded = merged(merge, HORN)
    assert errors(loaded) == [] and of(loaded, "suppression-missing") == [] and of(loaded, "cavity-used-twice") == []
    assert {end.address for join in loaded.merge.joins.values() for end in join.ends} >= {"host/X34.1", "host/X34.2", "D1.K", "D1.A"}


def test_a_diode_across_a_winding_of_which_an_end_is_joined_already():
    merge = JOIN + "  J2: {ends: [host/X34.1, donor/E1.2], cut: none}\n"
    (finding,) = of(merged(merge, HORN), "suppression-missing", "horn host/B7")
    for written in quoted(finding.do):
        merge = put_map(merge, written)
    loaded = merged(merge, HORN)
    assert "host/X34.1: {crimp: double}" in finding.do
    assert errors(loaded) == [] and of(loaded, "suppression-missing") == [] and of(loaded, "cavity-used-twice") == []


def test_a_relay_of_a_source_gets_a_resistor_across_its_coil():
    host = HORN.replace("fuses:\n", "relays:\n  K5: {place: dash, coil: 85 ohm, contacts: make, rating: 40 A, type: mini, suppression: none}\nfuses:\n") \
        .replace("wires:\n", "wires:\n  70: {from: SP9, to: K5.86, size: 1 mm2, colour: sw}\n  71: {from: K5.85, to: X50.3, size: 1 mm2, colour: br}\n")
    (finding,) = of(merged(JOIN, host), "suppression-missing", "K5")
    written = quoted(finding.do)[0]
    assert written == "relays: {host/K5: {suppression: resistor}}"
    loaded = merged(put_map(JOIN, written), host)
    assert errors(loaded) == [] and of(loaded, "suppression-missing", "K5") == []
    assert loaded.harness.parts["host/K5"].rating.stated == "40 A"


def test_two_wires_in_a_terminal_of_a_source_of_which_the_source_says_more():
    wires = "wires:\n  W1: {from: host/X34.1, to: host/G2, size: 1 mm2, colour: BK}\n"
    (finding,) = of(merged(JOIN + wires, HORN), "cavity-used-twice")
    written = next(words for words in quoted(finding.do) if "crimp" in words)
    loaded = merged(JOIN + wires + f"cavities:\n  {written}\n", HORN)
    assert errors(loaded) == [] and of(loaded, "cavity-used-twice") == []
    assert loaded.harness.contacts["host/X34.1"].function == "horn"


# ------------------------------------------------------------------ ends and stubs

def test_a_stub_longer_than_its_wire():
    merge = JOIN.replace("}", ", stubs: {donor/A1.L: 9 m}}")
    (finding,) = of(merged(merge), "stub-longer-than-wire")
    whole = merged(merge).merge.sources["donor"].geometry.lengths["260"].finished_mm
    assert finding.message == "stub longer than the wire: 9 m (J1), and wire donor/260 is 1 m by its way" and whole == 1000
    assert str(finding.place) == "merge.yaml:7:59"
    assert of(merged(merge.replace("9 m}", f"{whole:g} mm}}")), "stub-longer-than-wire") == []


def test_two_stubs_of_a_wire_longer_than_it_together():
    merge = "joins:\n  J1: {ends: [host/SP9, donor/E1.1], stubs: {donor/E1.1: 400 mm}}\n  J2: {ends: [host/X1.15, donor/X30.1], stubs: {donor/X30.1: 301 mm}}\n"
    (finding,) = of(merged(merge), "stub-longer-than-wire")     # 700 mm as measured, in its source
    assert finding.message == "stubs longer than the wire: 400 mm (J1) and 301 mm (J2), and wire donor/261 is 700 mm"
    assert of(merged(merge.replace("301 mm", "300 mm")), "stub-longer-than-wire") == []


def test_a_tap_into_a_wire_whose_other_end_leaves():
    merge = "fates:\n  - {fate: removed, device: host/A0}\njoins:\n  J1: {ends: [host/X7.2, donor/A1.L], cut: none}\n"
    loaded = merged(merge)
    (finding,) = of(loaded, "tap-into-what-leaves")
    assert finding.do == "leave `cut` out of J1" and finding.place.line == 9
    assert "host/37-rest" not in loaded.harness.wires and "donor/260-rest" in loaded.harness.wires
    assert of(merged(merge.replace(", cut: none", "")), "tap-into-what-leaves") == []


def test_an_end_without_its_vehicle_is_of_the_vehicle_that_the_other_end_is_not_of():
    donor = DONOR.replace("  X30: {title", "  X7: {title: another plug, place: unit, half: socket, face: [[1, 2]], view: wire side}\n  X30: {title")
    (finding,) = of(merged("joins:\n  J1: {ends: [X7.2, donor/A1.L]}\n", HOST, donor), "join-end-gone")
    assert finding.do == "write host/X7.2"
    (finding,) = of(merged("joins:\n  J1: {ends: [X7.2, unknown]}\n", HOST, donor), "join-end-gone")
    assert finding.do == "write host/X7.2 or donor/X7.2"


def test_a_cavity_that_a_connector_does_not_have_is_sought_in_that_connector():
    host = HOST.replace("boxes:", "  X6: {title: another, place: dash, half: socket, face: [[1, 2, 3]], view: wire side}\nboxes:")
    (finding,) = of(merged("joins:\n  J1: {ends: [host/X7.3, donor/A1.L]}\n", host), "join-end-gone")
    assert finding.do.startswith("host/X7 has host/X7.1, host/X7.2; ")


def test_the_wrong_end_at_an_interface():
    (finding,) = of(merged(PULL_UP + "joins:\n  J1: {ends: [host/X7.2, donor/E1.1], through: I1}\n"), "end-not-in-interface")
    assert finding.do == "name donor/E1.1 at one of the roles of I1; or, where donor/E1.1 is not the end that was meant, write donor/E1.2"
    assert errors(merged(PULL_UP + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], through: I1}\n")) == []


def test_a_misspelt_interface_is_found_by_its_ends_and_told_alone():
    loaded = merged(PULL_UP + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], through: I9}\n")
    assert [finding.code for finding in loaded.findings] == ["no-such-interface"]
    assert loaded.findings[0].do.startswith("did you mean I1, which names host/X7.2 and donor/E1.2? ")


def test_a_waiver_more_is_told_without_those_that_stay():
    waiver = "  - {{at: {}, code: not-known-yet, reason: left so, date: 2026-09-14}}\n"
    few = "waivers:\n" + waiver.format("host/X1") + waiver.format("donor/E1")
    changes = compare(merged(JOIN + few), merged(JOIN + few + waiver.format("host/F2"))).changes
    assert [(change.key, change.was, change.now) for change in changes] == [("waivers", "", "not-known-yet at host/F2 on 2026-09-14: left so")]


@pytest.mark.parametrize(("text", "line"), [
    ("  J8 {ends: [host/X7.2, donor/A1.L], place: bench}", "J8: {ends: [host/X7.2, donor/A1.L], place: bench}"),
    ("  J8 {ends: [host/X7.2, donor/A1.L]}", "J8: {ends: [host/X7.2, donor/A1.L]}"),
    ("  J8{ends: [host/X7.2, donor/A1.L], cut: host}", "J8: {ends: [host/X7.2, donor/A1.L], cut: host}"),
    ('  J8: "{ends: [host/X7.2, donor/A1.L], cut: host}"', "J8: {ends: [host/X7.2, donor/A1.L], cut: host}"),
    ("  J8: '{ends: [host/X7.2, donor/A1.L], note: \"a, b\"}'", 'J8: {ends: [host/X7.2, donor/A1.L], note: "a, b"}'),
    ('  J8: {ends: "[host/X7.2, donor/A1.L]"}', "J8: {ends: [host/X7.2, donor/A1.L]}"),
])
@pytest.mark.parametrize("behind", ["", "  J9: {ends: [host/SP9, donor/E1.1]}\n"])
def test_a_join_on_one_line_without_its_colon_or_in_quotes(text, line, behind):
    merge = HEAD + "segments:\n  M1: {from: bench, to: shelf, length: 600 mm}\njoins:\n"
    found = load("merge.yaml", texts(f"{merge}{text}\n{behind}")).findings
    (finding,) = [finding for finding in found if finding.severity is Severity.ERROR]
    assert finding.place.line == 9 and finding.do.endswith(f"write: {line}")
    loaded = load("merge.yaml", texts(f"{merge}  {line}\n{behind}"))
    assert errors(loaded) == [] and [end.address for end in loaded.merge.joins["J8"].ends] == ["host/X7.2", "donor/A1.L"]


def test_a_join_in_quotes_as_a_whole():
    merge = HEAD + "joins:\n  J9: {ends: [host/SP9, donor/E1.1]}\n"
    (finding,) = load("merge.yaml", texts(f'{merge}  "J8 {{ends: [host/X7.2, donor/A1.L], cut: host}}"\n')).findings
    assert (finding.code, finding.do) == ("missing-colon", "write: J8: {ends: [host/X7.2, donor/A1.L], cut: host}")
