"""What would pass in silence, or be said wrongly, of a merge: key switches, states, devices that leave, splices as found, loads that are on by intent."""

from __future__ import annotations

import pytest
from merge.vehicles import DONOR, HOST, merged

from harnessdoc.findings import Severity

JOIN = "joins:\n  J1: {ends: [host/X7.2, donor/A1.L]}\n"
KEY = DONOR.replace("devices:\n", """\
devices:
  S1: {title: key switch of the donor, terminals: [30, 15], closes: {accessory: [], run: [[S1.30, S1.15]]}}
  H1: {title: lamp, terminals: [1, 2], lamp: 5 W at 12 V, between: [H1.1, H1.2]}
""").replace("wires:\n", """\
states:
  idling: {key: run, engine: running, note: the donor's key in run}
  radio: {key: accessory, note: the radio alone}
waivers:
  - {at: state idling, code: voltage-drop, date: 2026-11-20, reason: measured}
splices:
  SK: {place: unit}
wires:
  269: {from: E1.3, to: SK, size: 1 mm2, colour: R}
  270: {from: SK, to: S1.30, size: 1 mm2, colour: R}
  271: {from: S1.15, to: H1.1, size: 1 mm2, colour: G}
""")


def found(loaded, code: str):
    return [finding for finding in loaded.findings if finding.code == code]


# ----------------------------------------------------------------------- two key switches

def test_two_key_switches_are_no_error_in_a_merge_and_count_as_undecided():
    loaded = merged("", donor=KEY)
    assert not loaded.has_errors
    (finding,) = found(loaded, "key-switch-undecided")
    assert finding.severity is Severity.ADVICE and finding.place.file == "merge.yaml"
    assert finding.message == "device donor/S1 is a key switch, and so is device host/Q1: the states turn them together"
    assert finding.do == "say which one leaves: `{fate: removed, device: donor/S1, why: ...}`"


def test_a_key_switch_of_the_merge_stays_and_that_of_a_vehicle_is_to_leave():
    loaded = merged("devices:\n  Q9: {title: new key switch, terminals: [30, 15], closes: {run: [[Q9.30, Q9.15]]}}\n")
    (finding,) = found(loaded, "key-switch-undecided")
    assert finding.do == "say which one leaves: `{fate: removed, device: host/Q1, why: ...}`"


def test_two_key_switches_are_turned_together():
    """The donor's key in run while the host's is out is a state that nobody makes."""
    loaded = merged("wires:\n  M1: {from: host/F1.2, to: donor/SK, size: 1 mm2, colour: BK}\n  M2: {from: donor/H1.2, to: host/G2, size: 1 mm2, colour: BK}\n", donor=KEY)
    on = [name for name, solved in loaded.operation.solved.items() for load in loaded.operation.wiring.loads
          if load.owner == "donor/H1" and abs(solved.solution.currents[load.element]) > 0.1]
    assert on and all(loaded.operation.solved[name].case.key == "run" for name in on)
    assert not [name for name in loaded.operation.solved if "donor/S1" in name]


def test_the_line_that_it_asks_for_mends_it():
    loaded = merged("fates:\n  - {fate: removed, device: donor/S1, why: one key}\n", donor=KEY)
    assert found(loaded, "key-switch-undecided") == [] and loaded.harness.key_switch == "host/Q1"


# ---------------------------------------------------------------------------------- states

def test_the_states_of_a_vehicle_whose_key_leaves_are_left_out():
    """`accessory` is no position of the host's key: as it was, that line of the donor's file was an error that nobody could mend."""
    loaded = merged("fates:\n  - {fate: removed, device: donor/S1, why: one key}\n", donor=KEY)
    assert not loaded.has_errors and list(loaded.harness.states) == []
    assert loaded.harness.waivers == () and found(loaded, "waiver-without-thing") == []


def test_the_states_of_a_vehicle_that_keeps_its_key_stay():
    loaded = merged("fates:\n  - {fate: removed, device: host/Q1, why: one key}\n", HOST.replace("segments:\n", "states:\n  parked: {key: off, note: as it stands}\nsegments:\n", 1), KEY)
    assert list(loaded.harness.states) == ["donor/idling", "donor/radio"]


# ------------------------------------------------------------------- devices and dead halves

def test_a_device_that_leaves_as_a_join_keeps_the_other_end_is_told():
    loaded = merged("fates:\n  - {fate: kept, pattern: donor/*, why: the engine}\njoins:\n  J1: {ends: [host/X7.2, donor/X30.4]}\n")
    assert "donor/A1" not in loaded.harness.devices
    (finding,) = (one for one in found(loaded, "device-leaves-untold") if "donor/A1" in one.message)
    assert finding.message == "device alternator donor/A1 leaves, and no line says so: of its last wire, donor/260, join J1 keeps the other end"
    assert finding.do == "where it is to leave write `{fate: removed, device: donor/A1, why: ...}`; where it is to be joined name donor/A1.L in place of donor/X30.4"
    assert finding.place.line == 9


def test_a_device_of_which_a_line_speaks_leaves_without_a_word():
    assert [finding.message for finding in found(merged(JOIN), "device-leaves-untold")] == [
        "device old generator host/A0 leaves, and no line says so: of its last wire, host/37, join J1 keeps the other end"]
    assert found(merged("fates:\n  - {fate: removed, device: host/A0, why: old}\n" + JOIN), "device-leaves-untold") == []
    assert found(merged("fates:\n  - {fate: removed, circuit: donor/rear wiper}\n"), "device-leaves-untold") == []


def test_a_plug_that_holds_another_wire_or_leads_to_what_is_not_known_is_no_dead_end():
    both = JOIN + "  J2: {ends: [host/SP9, donor/X30.4]}\n"
    assert len(found(merged(both), "join-leads-nowhere")) == 1
    of_a_unit = found(merged("joins:\n  J1: {ends: [host/X7.2, donor/E1.2]}\n  J2: {ends: [host/SP9, donor/X30.3]}\n"), "join-leads-nowhere")
    assert [finding.message.partition(" of wire")[0] for finding in of_a_unit] == ["join J2 keeps donor/X30.3"]
    mated = DONOR.replace("X30: {title: body plug,", "X31: {title: its other half, face: [[1..4]], view: mating face}\n  X30: {title: body plug, mates: X31,")
    assert len(found(merged(both, donor=mated), "join-leads-nowhere")) == 1
    for more in ("  264: {from: X31.4, to: unknown, size: 1 mm2, colour: G}\n", "  264: {from: X31.4, to: R9.1, size: 1 mm2, colour: G}\n"):
        assert found(merged(both, donor=mated + more), "join-leads-nowhere") == []


# ----------------------------------------------------------------------------- interfaces

HALF = "interfaces:\n  I1: {recipe: diode, anode: host/X7.2, cathode: donor/A1.L}\n"


def test_the_join_that_it_asks_for_leads_the_roles():
    (finding,) = found(merged(HALF), "interface-not-joined")
    line = finding.do.removeprefix("write `").removesuffix("`")
    loaded = merged(f"{HALF}joins:\n  {line}\n")
    assert found(loaded, "interface-not-joined") == [] and not loaded.has_errors
    assert loaded.network.island_of["I1-D.A"] == loaded.network.island_of["host/X7.2"]


def test_a_wire_of_the_merge_may_lead_a_role():
    wires = "wires:\n  M1: {from: host/X7.2, to: I1-D.A, size: 1 mm2, colour: BK}\n  M2: {from: donor/A1.L, to: I1-D.K, size: 1 mm2, colour: BK}\n"
    assert found(merged(HALF + wires), "interface-not-joined") == []


def test_a_single_role_is_joined_to_its_terminal():
    with_one = HALF + "joins:\n  J1: {ends: [host/X7.2, I1-D.A], through: I1}\n"
    (finding,) = found(merged(with_one), "interface-not-joined")
    assert finding.message == "no join leads `cathode` (donor/A1.L) to interface I1: nothing is at I1-D.K"
    loaded = merged(f"{with_one}  {finding.do.removeprefix('write `').removesuffix('`')}\n")
    assert found(loaded, "interface-not-joined") == [] and not loaded.has_errors


# --------------------------------------------------------------------- splices as found

def test_a_splice_as_found_is_no_join_without_a_number():
    """The host's splice ties two names of its own vehicle; it is no join of this merge."""
    assert found(merged(JOIN), "join-number-missing") == []
    tied = JOIN + "wires:\n  M1: {from: host/SP9, to: donor/X30.2, size: 1 mm2, colour: BK, circuit: donor/rear wiper}\n"
    assert [finding.at[0] for finding in found(merged(tied), "join-number-missing")] == ["host/SP9"]


# -------------------------------------------------------------------------- on by intent

FAN = HOST.replace("M0: {title: old wiper, place: dash, terminals: [1]}", "M0: {title: fan, place: dash, terminals: [1, 2], between: [M0.1, M0.2], motor: 4 A at 12 V}") \
    + "  42: {from: M0.2, to: G2, size: 1 mm2, colour: br}\n"
INVERTED = """\
interfaces:
  I1: {recipe: inverted with 87a, low-side-command: donor/E1.2, load: host/M0.1, feed: %s, coil-feed: host/SP9, size: 1 mm2}
joins:
  J1: {ends: [donor/E1.2, host/M0.1], through: I1}
"""


def test_a_load_behind_an_inverting_interface_is_on_by_intent():
    loaded = merged(INVERTED % "host/SP9", FAN)
    on = {name: abs(solved.solution.currents[load.element]) > 1 for name, solved in loaded.operation.solved.items() for load in loaded.operation.wiring.loads if load.owner == "host/M0"}
    assert on["run, running"] and not on["off, stopped"]
    assert found(loaded, "load-on-unasked") == []


def test_with_the_key_out_it_is_told_all_the_same():
    (finding,) = found(merged(INVERTED % "host/F1.2", FAN), "load-on-unasked")
    assert "in state 'off, stopped'" in finding.message and finding.do == "feed I1-K.30 from a supply that the key opens"


# --------------------------------------------------------------- ways out that can be taken

PIECE = "piece: {size: 0.75 mm2, colour: BU, at: %s}"


@pytest.mark.parametrize("cathode, joins, tie", [
    ("donor/A1.L", f"  J1: {{ends: [host/X7.2, donor/A1.L], through: I1, {PIECE % 'host/X7.2'}}}\n  J2: {{ends: [J1a, donor/E1.2]}}\n", "J1a"),
    ("donor/E1.2", f"  J1: {{ends: [host/X7.2, donor/A1.L]}}\n  J2: {{ends: [J1, donor/E1.2], through: I1, {PIECE % 'J1'}}}\n", "J1"),
])
def test_a_further_wire_is_tied_before_the_interface(cathode, joins, tie):
    """What `end-joined-twice` says where one of two joins at an end goes through an interface."""
    loaded = merged(f"interfaces:\n  I1: {{recipe: diode, anode: {'J1' if tie == 'J1' else 'host/X7.2'}, cathode: {cathode}}}\njoins:\n{joins}")
    assert not loaded.has_errors and found(loaded, "interface-not-joined") == []
    island = loaded.network.island_of
    ends = ("donor/E1.2", "donor/A1.L") if tie == "J1a" else ("donor/A1.L", "donor/E1.2")
    assert island["host/X7.2"] == island["I1-D.A"] == island[ends[0]] == island[tie] != island["I1-D.K"] == island[ends[1]]
