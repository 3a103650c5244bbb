"""Why two circuits are proposed, or not: words that stand on the way, kinds that do not go together, roles that something else fills.

What a mechanic would say is common practice of the trade; the verdicts of signal kinds are those of our table, tested in tests/trade.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from click.testing import CliRunner
from merge.test_match import MAIN_RELAY_DONOR, MAIN_RELAY_HOST, source

from harnessdoc import steps
from harnessdoc.cli.main import harnessdoc
from harnessdoc.findings import Severity
from harnessdoc.merge.candidates import Candidate, Need, Traits, candidates
from harnessdoc.merge.interface_choice import interface_for, lacking, roles_for
from harnessdoc.merge.likeness import fit
from harnessdoc.merge.match import Matching, Proposal, lines, propose
from harnessdoc.merge.plan import Role
from harnessdoc.merge.preview import merge_of
from harnessdoc.merge.proposing import propose_for
from harnessdoc.merge.sides import Side, Sides
from harnessdoc.network.islands import connect

EXAMPLES = Path(__file__).parents[2] / "examples"
HEAD = "title: {title}\ncolours: IEC 60757\nsupply: 12 V\n"
MERGE = HEAD.format(title="merged") + "sources:\n  host: {file: heron.yaml, role: host}\n  donor: {file: linnet.yaml, role: donor}\n"
NEAR_SURE = 0.8


def text_of(name: str) -> str:
    return (EXAMPLES / name / f"{name}.yaml").read_text(encoding="utf-8")


@cache
def matched(further: str = "", main: str = "") -> Matching:
    """The proposals for the Heron and the Linnet, with nothing decided but ``further``; main: another merge file of the two."""
    texts = {"a/m/merge.yaml": main, "a/heron/heron.yaml": text_of("heron"), "a/linnet/linnet.yaml": text_of("linnet")} if main else {
        "merge.yaml": MERGE + further, "heron.yaml": text_of("heron"), "linnet.yaml": text_of("linnet")}
    merge = steps.load(next(iter(texts)), texts, solve=False).merge
    return propose_for(merge, merge.sources["host"], merge.sources["donor"])


def decided() -> str:
    """The example merge as it was before its joins and interfaces were written."""
    text = (EXAMPLES / "heron-linnet" / "heron-linnet.yaml").read_text(encoding="utf-8")
    for section in ("joins", "interfaces", "wires"):
        text = re.sub(rf"^{section}:\n(?:[ #].*\n|\n)*", "", text, flags=re.MULTILINE)
    return text


def proposal(matching: Matching, host_end: str) -> Proposal:
    return next(one for one in matching.proposals if one.host_end == host_end)


# ------------------------------------------------------------------- the Heron with the Linnet

def test_each_proposal_is_one_that_a_mechanic_would_make():
    """All of them, judged one by one; with nothing decided."""
    assert [(one.host_end.removeprefix("host/"), one.donor_end.removeprefix("donor/"), one.interface) for one in matched().proposals] == [
        ("X38.1", "K2.87", ""), ("X1.50", "M1.50", "start chain with interlock"), ("B1.4", "SP9", ""), ("X7.2", "A1.L", ""), ("X8.2", "X18.1", ""), ("X12.2", "E1.22", "pull-up"),
        ("GH1", "X28.4", ""), ("X13.sig", "SP15", ""), ("F2.2", "SP1", ""), ("SP12", "E1.18", ""), ("SP12", "E1.19", "inverted with 87a"),
        ("X28.2", "E1.20", "supply signal to ground input"), ("GH3", "GE3", ""), ("GH3", "X28.5", ""), ("GH7", "GB1", ""), ("G1.+", "M1.30", "")]


@pytest.mark.parametrize("main", ["", decided()], ids=["nothing decided", "all fates decided"])
def test_what_only_shares_a_word_on_its_way_is_not_proposed(main):
    """The clutch switch at the coil of the start relay, and the lamp of a fridge's compressor at the output of an air conditioning's."""
    ends = {(one.host_end, one.donor_end) for one in matched(main=main).proposals}
    assert ("host/X28.2", "donor/SP8") not in ends
    assert not any(host in ("host/X43.6", "host/X44.3") for host, _ in ends)
    ignition = proposal(matched(main=main), "host/B1.4")
    assert (ignition.donor_end, ignition.function) == ("donor/SP9", "ignition feed") and "speed" not in ignition.reason


def test_a_rev_counter_of_which_no_pull_up_is_known_gets_one():
    """trade.md 5.2, common practice: an open collector at a gauge without a pull-up wants 1 to 10 kohm to a switched supply."""
    gauge = proposal(matched(), "host/X12.2")
    assert (gauge.verdict, gauge.interface) == ("with a part", "pull-up") and "no pull-up is stated" in gauge.reason
    reader, output = Traits(("tachometer",), Need.OPEN), Traits(("output-tachometer",), Need.OPEN)
    pulled = Traits(("tachometer",), Need.OPEN, pulled=True)
    assert interface_for(reader, output, fit(reader, output)) == "pull-up"
    assert fit(pulled, output).verdict == "direct" and interface_for(pulled, output, fit(pulled, output)) == ""


# --------------------------------------------------------------------- words on the way

DONOR_START = HEAD.format(title="donor") + """\
devices:
  U1: {title: control unit, connectors: [E1]}
  S3: {title: clutch pedal switch, connectors: [X26], closes: {pressed: [[X26.1, X26.2]]}}
  N8: {title: road speed sensor, connectors: [X32]}
segments:
  T1: {from: unit, to: pedals, length: 900 mm, zone: cabin}
  T2: {from: unit, to: gearbox, length: 900 mm, zone: engine}
connectors:
  E1: {title: control unit plug, place: unit, half: socket, face: [[1..4]], view: mating face}
  X26: {title: clutch pedal switch, place: pedals, half: socket, face: [[1..2]], view: mating face}
  X32: {title: road speed sensor, place: gearbox, half: socket, face: [[1..3]], view: mating face}
cavities:
  E1.1: {function: key in start, signal: input-start}
  E1.2: {function: injector 1, signal: output-injector}
  X26.1: {function: start from key, signal: interlock}
  X26.2: {function: start to relay, signal: interlock}
  X32.1: {function: supply, signal: feed-switched}
  X32.3: {function: signal, signal: speed-pulses}
splices:
  SP9: {place: gearbox}
wires:
  1: {from: X26.2, to: E1.1, size: 0.5 mm2}
  2: {from: X32.1, to: SP9, size: 0.5 mm2}
  3: {from: SP9, to: unknown, size: 0.5 mm2}
  4: {from: X32.3, to: unknown, size: 0.5 mm2}
"""


def at(found: tuple[Candidate, ...], address: str) -> Candidate:
    return next(one for one in found if address in one.members)


def weight(one: Candidate, text: str) -> float:
    return next((said.weight for said in one.said if said.wording.text == text), 0.0)


def test_the_title_of_a_switch_does_not_say_what_goes_through_it():
    found = candidates(source(DONOR_START, Role.DONOR))
    start = at(found, "E1.1")
    assert weight(start, "start to relay") > 0.8 > 0.4 >= weight(start, "clutch pedal switch") > 0
    assert weight(at(found, "X32.1"), "road speed sensor") <= 0.4          # what feeds a sensor is no signal
    assert weight(at(found, "X32.3"), "road speed sensor") > 0.8           # its signal is
    unnamed = candidates(source(DONOR_START.replace("function: supply, ", ""), Role.DONOR))
    assert weight(at(unnamed, "X32.1"), "road speed sensor") <= 0.4        # its kind alone says so


RAIL = HEAD.format(title="host") + """\
devices:
  G1: {title: battery, place: battery, terminals: ["+", "-"], battery: {}, between: [G1.+, G1.-]}
  H1: {title: charge lamp, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
  H2: {title: oil lamp, connectors: [X8], lamp: 2 W at 12 V, between: [X8.1, X8.2]}
  U3: {title: fridge, connectors: [X44], load: 4.5 A at 12 V, between: [X44.1, X44.2]}
connectors:
  X7: {title: lamp, place: dash, half: socket, face: [[1, 2]], view: mating face}
  X8: {title: lamp, place: dash, half: socket, face: [[1, 2]], view: mating face}
  X44: {title: fridge, place: galley, half: socket, face: [[1, 2]], view: mating face}
cavities:
  X7.1: {function: charge lamp supply, signal: lamp}
  X7.2: {function: charge lamp, signal: lamp}
  X8.1: {function: oil pressure lamp supply, signal: lamp}
  X8.2: {function: oil pressure lamp, signal: lamp}
  X44.1: {function: fridge 12 V, signal: feed-relay}
splices:
  SP1: {place: dash}
grounds:
  GH1: {title: body, place: battery, metal: body}
  GE1: {title: engine block, place: engine, metal: engine}
wires:
  1: {from: G1.+, to: SP1, size: 2.5 mm2}
  2: {from: SP1, to: X7.1, size: 0.5 mm2}
  3: {from: SP1, to: X8.1, size: 0.5 mm2}
  4: {from: GE1, to: G1.-, size: 16 mm2}
  5: {from: GH1, to: G1.-, size: 16 mm2}
  6: {from: SP1, to: X44.1, size: 1 mm2}
"""


def test_a_rail_that_serves_many_does_not_do_what_one_of_them_does():
    found = candidates(source(RAIL, Role.HOST))
    assert 0 < weight(at(found, "SP1"), "charge lamp supply") <= 0.4
    assert weight(at(found, "X7.2"), "charge lamp") == 1.0


def test_what_a_relay_feeds_is_no_part_of_the_engine_for_that():
    assert Sides(source(RAIL, Role.HOST).harness, Role.HOST).of("X44") is Side.BODY


def test_a_stud_of_the_old_engine_is_no_end_of_the_host():
    assert at(candidates(source(RAIL, Role.HOST)), "G1.-").contact == "GH1"


# --------------------------------------------------------------------- kinds and how sure

LAMP, COIL = Traits(("lamp",), Need.OPEN), Traits(("output-clutch", "relay-coil"), Need.OPEN)


def test_a_load_of_its_own_feed_is_not_hung_on_an_output_that_has_one():
    """trade.md 5.2: a diode where a switch to ground also closes a lamp circuit; two commanders of one load: relay G."""
    found = fit(LAMP, COIL)
    assert (found.verdict, interface_for(LAMP, COIL, found)) == ("with a part", "diode")
    assert roles_for("diode", LAMP, COIL) == ("anode", "cathode") and roles_for("diode", COIL, LAMP) == ("cathode", "anode")       # cathode to the output
    both = Traits(("lamp", "output-lamp-low"), Need.OPEN)
    assert interface_for(both, COIL, fit(both, COIL)) == "two commanders on one load"
    alone = Traits(("output-clutch",), Need.OPEN)
    assert fit(LAMP, alone).verdict == "direct"


PATH_HOST = HEAD.format(title="host") + """\
devices:
  H1: {title: part a, connectors: [X7], lamp: 2 W at 12 V, between: [X7.1, X7.2]}
segments:
  T1: {from: dash, to: rear, length: 900 mm, zone: cabin}
connectors:
  X7: {title: part a, place: dash, half: socket, face: [[1, 2]], view: mating face}
cavities:
  X7.2: {function: PIN, signal: lamp}
wires:
  1: {from: X7.2, to: unknown, size: 0.5 mm2, circuit: seat belt}
"""
PATH_DONOR = HEAD.format(title="donor") + """\
devices:
  U1: {title: control unit, connectors: [E1]}
connectors:
  E1: {title: control unit plug, place: unit, half: socket, face: [[1..4]], view: mating face}
cavities:
  E1.1: {function: seat belt, signal: output-lamp-low, limit: 0.3 A}
  E1.2: {function: injector 1, signal: output-injector}
wires:
  1: {from: E1.1, to: unknown, size: 0.5 mm2}
"""


@pytest.mark.parametrize(("pin", "near_sure"), [("seat belt", True), ("handbrake", False)])
def test_who_is_called_so_by_its_circuit_alone_is_not_near_sure(pin, near_sure):
    found = propose(source(PATH_HOST.replace("PIN", pin), Role.HOST), source(PATH_DONOR, Role.DONOR)).proposals
    assert any(one.confidence > NEAR_SURE for one in found) is near_sure


def test_a_ground_that_is_called_a_fan_by_its_circuit_is_not_near_sure():
    assert proposal(matched(), "host/GH7").function == "ground" and 0.5 < proposal(matched(), "host/GH7").confidence < NEAR_SURE


@pytest.mark.parametrize("words", ["seat belt", "coolant level"])
def test_two_outputs_are_never_near_sure(words):
    """Neither gives what the other takes, whatever the words say."""
    host = PATH_DONOR.replace("seat belt", words).replace("title: control unit,", "title: cluster,").replace("E1.2: {function: injector 1, signal: output-injector}", "E1.2: {function: fuel level, signal: gauge}")
    found = propose(source(host, Role.HOST), source(PATH_DONOR.replace("seat belt", words), Role.DONOR)).proposals
    assert all(one.confidence <= 0.6 for one in found) and [one.donor_end for one in found] == ["donor/E1.1"]


# ------------------------------------------------------------- roles that something else fills

def test_a_start_chain_gets_its_interlock():
    """The spare contact of the clutch switch: closed with the pedal down, and nothing on it."""
    start = proposal(matched(), "host/X1.50")
    assert start.further == (("interlock", "host/X28.3"), ("interlock-out", "host/X28.4"))
    decided_too = proposal(matched(main=decided()), "host/X1.50")
    assert dict(decided_too.further) == {"interlock": "host/X28.3", "interlock-out": "host/X28.4", "command": "donor/E1.13"}
    join, = [line for line in lines(matched()) if "ends: [host/X1.50" in line]
    interface, = [line for line in lines(matched()) if "start chain" in line]
    assert "piece: {size: 0.5 mm2," in join                                # what leads to a bare contact carries the coil
    assert "feed: host/B1.30" in interface                                 # not the bar behind the fuse of the horn


@pytest.mark.parametrize("change", [
    ("closes: {pressed: [[X28.1, X28.2], [X28.3, X28.4]]}", "closes: {pressed: [[X28.1, X28.2]]}"),
    ("[X28.3, X28.4]]}, note: second contact never used", "[X28.1, X28.2]], released: [[X28.3, X28.4]]}, rest: released, note: second contact never used"),
    ("S8:  {title: clutch switch, ", "S8:  {title: handbrake switch, "),
], ids=["no second contact", "closed with the pedal up", "a switch of something else"])
def test_a_contact_that_cannot_hold_up_the_start_is_no_interlock(change):
    heron = text_of("heron")
    assert heron.count(change[0]) == 1
    matching = propose(source(heron.replace(*change), Role.HOST, "host"), source(text_of("linnet"), Role.DONOR, "donor"))
    start = proposal(matching, "host/X1.50")
    assert start.further == () and lacking(start, matching.rails) == ("interlock", "interlock-out")
    assert any("name interlock and interlock-out" in line for line in lines(matching))


def test_what_a_person_must_name_is_printed(tmp_path):
    for name in ("heron", "linnet"):
        (tmp_path / f"{name}.yaml").write_text(text_of(name).replace(", [X28.3, X28.4]]}", "]}"), encoding="utf-8")
    main = tmp_path / "merge.yaml"
    main.write_text(MERGE, encoding="utf-8")
    printed = CliRunner().invoke(harnessdoc, ["match", str(main)]).output
    assert "    to be named by you: interlock, interlock-out\n" in printed


def test_a_fan_keeps_its_thermoswitch_as_second_commander():
    """K2 leaves; its coil hung on the thermoswitch, its contact on the fan."""
    fan = proposal(matched(main=decided()), "host/X20.1")
    assert (fan.donor_end, fan.interface, fan.roles, fan.further) == ("donor/E1.15", "two commanders on one load", ("load", "low-side-command"), (("second-low-side-command", "host/X19.1"),))
    kept = proposal(matched(main=decided().replace("device: host/S9,", "device: [host/S9, host/S7],")), "host/X20.1")
    assert (kept.interface, kept.further) == ("low-side output to case-grounded load", ())


@pytest.mark.parametrize("main", ["", decided()], ids=["nothing decided", "all fates decided"])
def test_the_lines_are_a_merge_that_can_be_read(main):
    """Every end of every role is brought to its interface by a join."""
    matching = matched(main=main)
    written = "\n".join(lines(matching, spare=("host/K3", "host/K6", "host/K8"))) + "\n"
    text = (main or MERGE) + written
    where = ("a/m/merge.yaml", "a/heron/heron.yaml", "a/linnet/linnet.yaml") if main else ("merge.yaml", "heron.yaml", "linnet.yaml")
    loaded = steps.load(where[0], dict(zip(where, (text, text_of("heron"), text_of("linnet")), strict=True)), solve=False)
    assert [f"{finding.code}: {finding.message}" for finding in loaded.findings if finding.severity is Severity.ERROR] == []
    joined = {end.address for join in loaded.merge.joins.values() for end in join.ends}
    for interface in loaded.merge.interfaces.values():
        assert {interface.given[role] for role in interface.lands if role in interface.given} <= joined, interface.id


def test_a_main_relay_is_commanded_by_a_wire():
    matching = propose(source(MAIN_RELAY_HOST, Role.HOST), source(MAIN_RELAY_DONOR, Role.DONOR))
    merge = HEAD.format(title="merged") + "sources:\n  host: {file: host.yaml, role: host}\n  donor: {file: donor.yaml, role: donor}\n" + "\n".join(lines(matching)) + "\n"
    loaded = steps.load("merge.yaml", {"merge.yaml": merge, "host.yaml": MAIN_RELAY_HOST, "donor.yaml": MAIN_RELAY_DONOR}, solve=False)
    island = connect(loaded.harness).island_of
    assert island["I1-K.85"] == island["donor/E1.2"]


# ----------------------------------------------------------------------- what is joined, what is not

def test_what_is_joined_is_not_proposed_again():
    """Nor what a fuse ties to it, nor an end whose wire leaves."""
    _, merge = merge_of(str(EXAMPLES / "heron-linnet" / "heron-linnet.yaml"))
    found = propose_for(merge, merge.sources["host"], merge.sources["donor"]).proposals
    assert not {"donor/SP9", "donor/SP1"} & {one.donor_end for one in found}
    assert all(one.donor_end != "donor/X30.1" for one in matched(main=decided()).proposals)        # its wire, of the circuit `key feed`, is removed


def test_points_that_both_stay_and_say_the_same_are_told():
    found = {one.end: one.alike for one in (*matched().host_without, *matched().donor_without)}
    assert found["host/X20.1"] == ("donor/E1.15",) and found["donor/E1.15"] == ("host/X20.1",)
    away = {one.end: one.alike for one in matched("fates:\n  - {fate: removed, device: donor/K3, why: no fan of its own}\n  - {fate: removed, device: donor/U1, why: none}\n").host_without}
    assert away.get("host/X20.1", ()) == ()
