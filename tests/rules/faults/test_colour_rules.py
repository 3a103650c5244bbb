"""Colours: side by side, across a splice, and against what a wire is for."""

from __future__ import annotations

import pytest

from harnessdoc.findings import Severity
from harnessdoc.network.neighbours import are_neighbours, neighbours
from harnessdoc.steps import load

from .edited import found

SIDE, SPLICE, FUNCTION = "same-colour-side-by-side", "colour-changes-at-splice", "colour-against-function"


def findings_in(text: str, code: str):
    return [finding for finding in load("heron.yaml", {"heron.yaml": text}).findings if finding.code == code]


# ---------------------------------------------------------------- same-colour-side-by-side

@pytest.mark.parametrize("changes", [
    (("X1.2", "X1.9"), ("X1.3", "X1.2"), ("X1.9", "X1.3")),                         # another lies between
    (("circuit: washer", "circuit: wiper"),),
    (("colour: GN/YE, type: TXL, circuit: washer", "colour: GN, type: TXL, circuit: washer"),),
    (("colour: GN/YE, type: TXL, circuit: washer", "colour: YE/GN, type: TXL, circuit: washer"),),
    (("colour: GN/YE, type: TXL, circuit: washer", "colour: unknown, type: TXL, circuit: washer"),),
    (("wires:", "grounds:\n  GB1: {}\n  GB2: {}\nwires:"), ("to: X2.1", "to: GB1"), ("to: X3.1", "to: GB2")),
])
def test_what_is_no_fault_side_by_side(changes):
    assert found(SIDE, *changes) == []


def test_one_copper_side_by_side_is_no_fault():
    joined = ("wires:", "splices:\n  S1: {}\nwires:\n  8: {from: S1, to: X2.1, size: 1 mm2, colour: BU, type: TXL}")
    assert found(SIDE, joined, ("to: X2.1, size: 1 mm2, colour: GN/YE", "to: S1, size: 1 mm2, colour: GN/YE"), ("to: X3.1", "to: S1"), (", circuit: washer", "")) == []


def test_without_circuits_two_coppers_are_told():
    (finding,) = found(SIDE, (", circuit: washer", ""), (", circuit: wiper", ""))
    assert finding.at == ("X1", "X1.1", "X1.2", "wire 1", "wire 2") and finding.severity is Severity.ADVICE


def test_all_of_a_connector_are_one_finding_and_a_stripe_is_proposed():
    (finding,) = found(SIDE, ("colour: BU", "colour: GN/YE"))
    assert finding.message == "X1: wires of one colour lie side by side: 1 and 2 (both GN/YE), 2 and 3 (both GN/YE)"
    assert finding.do == "put labels on these wires close behind X1; where wire 2 is still to be drawn, GN/WH tells it apart"


def test_a_stripe_that_the_connector_has_is_not_proposed():
    (finding,) = found(SIDE, ("colour: BU", "colour: GN/WH"))
    assert finding.do.endswith("GN/BK tells it apart")


def test_the_two_sides_of_an_in_line_connector_are_told_once():
    text = ("connectors:\n  X1: {half: plug, mates: X2, face: [[1, 2]], view: mating face}\n  X2: {half: socket, face: [[2, 1]], view: mating face}\n  X3: {}\nwires:\n"
            + "".join(f"  {half}{n}: {{from: {half}.{n}, to: X3.{half}{n}, size: 1 mm2, colour: BU, type: TXL, circuit: c{n}}}\n" for half in ("X1", "X2") for n in (1, 2)))
    assert [finding.at[0] for finding in findings_in(text, SIDE) if finding.at[0] in ("X1", "X2")] == ["X1"]


def test_two_cavities_are_asked_for_as_all_neighbours_are_listed():
    faces = ["face: [[1..4], [5..7, gap]], view: mating face", "face: {ring: [1..6], start: 0 deg, direction: clockwise, centre: 7}, view: mating face",
             "face: [[1..3], [half, 4..5]], view: wire side"]
    for face in faces:
        connector = load("t.yaml", {"t.yaml": f"connectors:\n  X1: {{{face}}}\n"}).harness.connectors["X1"]
        listed = {frozenset(pair) for pair in neighbours(connector, connector.cavities)}
        assert listed == {frozenset((a, b)) for a in connector.cavities for b in connector.cavities if a != b and are_neighbours(connector, connector.cavities, a, b)}
    faceless = load("t.yaml", {"t.yaml": "connectors:\n  X1: {}\n"}).harness.connectors["X1"]
    assert are_neighbours(faceless, ("1", "2", "3"), "2", "1") and not are_neighbours(faceless, ("1", "2", "3"), "1", "3")


# ---------------------------------------------------------------- colour-changes-at-splice

@pytest.mark.parametrize("changes", [
    (("colour: YE/BK", "colour: BU"),),
    (("colour: YE/BK", "colour: unknown"),),
    (("{title: horn}", "{title: horn, members: [unknown]}"),),
    (("{title: horn}", "{title: horn, join: J7}"),),
    (("wires:", "wires:\n  3: {from: S1, to: X2.2, size: 1 mm2, colour: BU, type: TXL}"), ("X2: {face: [[1]]", "X2: {face: [[1..2]]")),
    (("colour: BU, type: TXL", "colour: BU, type: TXL, circuit: horn"), ("colour: YE/BK, type: TXL", "colour: YE/BK, type: TXL, circuit: C 29")),   # told with the name
])
def test_where_the_colour_may_change(changes):
    assert found(SPLICE, *changes) == []


def test_numbers_go_on_from_the_last():
    more = ("  S1: {title: horn}", "  S1: {title: horn}\n  S2: {}\n  S8: {join: J8}\n  S9: {join: J9}"), ("wires:", "wires:\n  8: {from: X1.2, to: S2, size: 1 mm2, colour: WH, type: TXL}\n"
            "  9: {from: X2.2, to: S2, size: 1 mm2, colour: GN, type: TXL}"), ("X1: {face: [[1]]", "X1: {face: [[1..2]]"), ("X2: {face: [[1]]", "X2: {face: [[1..2]]")
    assert [finding.do for finding in found(SPLICE, *more)] == [f"write `join: {number}` at {splice}, and the number on the labels of both" for splice, number in (("S1", "J10"), ("S2", "J11"))]


def test_two_conventions_are_named():
    texts = {"heron.yaml": "colours: DIN 47002\ninclude: [tern.yaml]\nconnectors:\n  X1: {}\nsplices:\n  S1: {}\nwires:\n  1: {from: X1.1, to: S1, size: 1 mm2, colour: br, type: TXL}\n",
             "tern.yaml": "colours: North American trade\nwires:\n  2: {from: S1, to: X1.2, size: 1 mm2, colour: BLK, type: TXL}\n"}
    (finding,) = [finding for finding in load("heron.yaml", texts).findings if finding.code == SPLICE]
    assert finding.message == "splice S1: wire 1 is br (DIN 47002) and goes on as wire 2, BLK (North American trade), with no join number on the two"


# ----------------------------------------------------------------- colour-against-function

@pytest.mark.parametrize(("colour", "convention", "told"), [
    ("BK", "IEC 60757", 1), ("BK/RD", "IEC 60757", 0), ("GY", "IEC 60757", 0), ("BN", "IEC 60757", 0), ("unknown", "IEC 60757", 0),
    ("BLK", "North American trade", 1), ("B", "Japanese trade", 1), ("sw", "DIN 47002", 0), ("br", "DIN 47002", 1),
])
def test_a_feed_in_the_colour_of_a_ground(colour, convention, told):
    red = {"North American trade": "RED", "Japanese trade": "R", "DIN 47002": "rt"}.get(convention, "RD")
    findings = found(FUNCTION, ("colour: BK", f"colour: {colour}"), ("colour: RD", f"colour: {red}"), ("connectors:", f"colours: {convention}\nconnectors:"))
    assert len(findings) == told
    if findings:
        assert findings[0].do == f"draw it in another colour, {red} for instance; or put a sleeve of that colour over each end"
        assert findings[0].at == ("wire 2",) and findings[0].severity is Severity.ADVICE


GROUND = """\
colours: {convention}
connectors:
  X1: {{}}
grounds:
  GB1: {{}}
wires:
  1: {{from: X1.1, to: GB1, size: 1 mm2, colour: {colour}, type: TXL}}
  2: {{from: X1.2, to: GB1, size: 1 mm2, colour: {colour}, type: TXL}}
"""


@pytest.mark.parametrize(("colour", "convention", "do"), [
    ("RD", "IEC 60757", "BK"), ("rt", "DIN 47002", "br"), ("R", "Japanese trade", "B"), ("RD/WH", "IEC 60757", ""), ("BK", "IEC 60757", ""), ("br", "DIN 47002", "")])
def test_a_ground_in_the_colour_of_a_feed(colour, convention, do):
    findings = findings_in(GROUND.format(colour=colour, convention=convention), FUNCTION)
    assert [finding.do for finding in findings] == ([f"draw them in another colour, {do} for instance; or put a sleeve of that colour over each end"] if do else [])
    if findings:
        assert findings[0].message == "wires 1, 2 are red as a feed, but they are a ground: ground GB1 is on their copper"


def test_cores_of_a_cable_are_as_they_are_sold():
    assert found(FUNCTION, ("wires:", "cables:\n  CB1: {}\nwires:"), ("colour: BK, type: TXL", "colour: BK, type: TXL, cable: CB1")) == []


def test_copper_that_is_feed_and_ground_is_a_fault_of_another_kind():
    assert found(FUNCTION, ("wires:", "grounds:\n  GB1: {}\nsplices:\n  S1: {}\nwires:\n  8: {from: S1, to: GB1, size: 1 mm2, colour: GY, type: TXL}\n  9: {from: S1, to: X1.1, size: 1 mm2, colour: GY, type: TXL}"),
                 ("from: F1.2, to: X1.1", "from: F1.2, to: S1")) == []


def test_copper_of_which_nothing_says_what_it_is_is_silent():
    text = "connectors:\n  X1: {}\n  X2: {}\nwires:\n  1: {from: X1.1, to: X2.1, size: 1 mm2, colour: BK, type: TXL}\n  2: {from: X1.2, to: X2.2, size: 1 mm2, colour: RD, type: TXL}\n"
    assert findings_in(text, FUNCTION) == []


@pytest.mark.parametrize(("cavity", "colour", "why"), [
    ("{signal: feed-relay}", "BK", "X1.1 (feed-relay)"), ("{signal: ground-power}", "RD", "X1.1 (ground-power)"), ("{signal: ground-sensor}", "RD", "")])
def test_a_signal_says_what_the_copper_is(cavity, colour, why):
    text = f"connectors:\n  X1: {{}}\n  X2: {{}}\ncavities:\n  X1.1: {cavity}\nwires:\n  1: {{from: X1.1, to: X2.1, size: 1 mm2, colour: {colour}, type: TXL}}\n"
    findings = findings_in(text, FUNCTION)
    assert [finding.message.split(": ")[1] for finding in findings] == ([f"{why} is on its copper"] if why else [])


def test_the_poles_of_a_battery_say_it_too():
    text = ("devices:\n  G1: {terminals: ['+', '-'], between: [G1.+, G1.-], battery: {}}\nconnectors:\n  X1: {}\nwires:\n"
            "  1: {from: G1.+, to: X1.1, size: 1 mm2, colour: BK, type: TXL}\n  2: {from: G1.-, to: X1.2, size: 1 mm2, colour: RD, type: TXL}\n")
    assert [finding.message for finding in findings_in(text, FUNCTION)] == [
        "wire 1 is black as a ground, but it is a feed: battery plus is on its copper", "wire 2 is red as a feed, but it is a ground: battery minus is on its copper"]
