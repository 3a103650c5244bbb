"""From sources, fates and joins to one harness: what stays, what leaves, what is cut."""

from __future__ import annotations

import pytest
from merge.vehicles import DONOR, HEAD, HOST, PLACES, merged, texts

from harnessdoc.merge.plan import Fate
from harnessdoc.steps import load

JOIN = "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, place: bulkhead}\n"


def ends(loaded, wire: str) -> tuple[str, str]:
    return loaded.harness.wires[wire].from_, loaded.harness.wires[wire].to


def test_ids_never_collide():
    """Two sources with the very same ids: all of both are there, each under its name."""
    twins = load("merge.yaml", texts(HEAD, HOST, HOST), solve=False)
    assert twins.merge is not None
    assert list(twins.harness.wires) == [f"{name}/{wire}" for name in ("host", "donor") for wire in ("1", "2", "11", "14", "36", "37", "40", "41")]
    assert ends(twins, "donor/37") == ("donor/X7.2", "donor/A0.D+")
    assert twins.harness.boxes["donor/B1"].lid == (("donor/F2", "donor/K3"),)


def test_colours_are_read_in_the_convention_of_their_own_file():
    loaded = merged("")
    assert [loaded.harness.wires[wire].colour.base.code for wire in ("host/37", "donor/260", "donor/261")] == ["BU", "WH", "BK"]
    assert loaded.harness.wires["donor/260"].colour_as_stated == "W-L"


def test_the_sources_stay_as_they_are():
    loaded = merged(PLACES + JOIN)
    assert list(loaded.merge.sources["host"].harness.wires) == ["1", "2", "11", "14", "36", "37", "40", "41"]
    assert loaded.merge.sources["host"].harness.wires["37"].to == "A0.D+"
    assert loaded.texts["host.yaml"].text == HOST


def test_a_join_cuts_both_wires_and_the_far_halves_leave_the_copper():
    loaded = merged(PLACES + JOIN)
    assert ends(loaded, "host/37") == ("host/X7.2", "J1")
    assert ends(loaded, "donor/260") == ("donor/A1.L", "J1")
    assert loaded.harness.splices["J1"].join == "J1"
    halves = loaded.merge.far_halves
    assert {id: (half.hangs, half.fate) for id, half in halves.items()} == {"host/37-far": ("host/A0.D+", Fate.REMOVED), "donor/260-far": ("donor/X30.4", Fate.REMOVED)}
    assert not set(halves) & set(loaded.harness.wires)
    assert loaded.network.island_of["host/X7.2"] == loaded.network.island_of["donor/A1.L"] != loaded.network.island_of["donor/X30.4"]
    assert [loaded.merge.decisions[wire].fate for wire in ("host/37", "donor/260", "donor/261")] == [Fate.JOINED, Fate.JOINED, Fate.UNDECIDED]


def test_a_far_half_may_stay_capped():
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], far: {donor/A1.L: capped}}\n")
    assert ends(loaded, "donor/260-far") == ("open", "donor/X30.4")
    assert loaded.merge.far_halves["donor/260-far"].fate is Fate.CAPPED


def test_a_tap_leaves_the_wire_whole():
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], cut: none}\n")
    assert not loaded.merge.far_halves
    islands = loaded.network.island_of
    assert islands["host/X7.2"] == islands["host/A0.D+"] == islands["donor/A1.L"] == islands["donor/X30.4"]
    assert ends(loaded, "host/37-rest") == ("J1", "host/A0.D+")


@pytest.mark.parametrize("cut, hosts", [("donor", True), ("host", False)])
def test_cut_names_the_side_that_is_cut(cut, hosts):
    loaded = merged(f"joins:\n  J1: {{ends: [host/X7.2, donor/A1.L], cut: {cut}}}\n")
    assert ("host/37-rest" in loaded.harness.wires) is hosts
    assert ("donor/260-rest" in loaded.harness.wires) is not hosts
    assert list(loaded.merge.far_halves) == (["donor/260-far"] if hosts else ["host/37-far"])


def test_a_splice_end_is_never_cut_and_takes_the_wire_itself():
    loaded = merged("joins:\n  J2: {ends: [host/SP9, donor/E1.1], method: crimp splice}\n")
    assert ends(loaded, "donor/261") == ("donor/E1.1", "host/SP9")
    assert loaded.harness.splices["host/SP9"].join == "J2"
    assert "J2" not in loaded.harness.splices
    assert [end.cut for end in loaded.merge.joins["J2"].ends if not end.wire] == [False]
    assert list(loaded.merge.far_halves) == ["donor/261-far"]


def test_a_splice_that_has_a_number_gets_another():
    host = HOST.replace("SP9: {place: dash}", "SP9: {place: dash, join: 7}")
    loaded = merged("joins:\n  J2: {ends: [host/SP9, donor/E1.1]}\n", host)
    assert loaded.harness.splices["host/SP9"].join == "7, J2"


def test_a_piece_lies_between_two_splices_with_the_number_of_the_join():
    loaded = merged(PLACES + "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], piece: {size: 0.75 mm2, colour: BU}}\n")
    assert ends(loaded, "J1") == ("J1a", "J1b")
    assert ends(loaded, "host/37") == ("host/X7.2", "J1a") and ends(loaded, "donor/260") == ("donor/A1.L", "J1b")
    assert loaded.harness.wires["J1"].circuit == "host/charge lamp"
    assert loaded.harness.splices["J1a"].join == loaded.harness.splices["J1b"].join == "J1"


def test_a_piece_at_a_splice_needs_one_splice_more():
    loaded = merged("joins:\n  J2: {ends: [host/SP9, donor/E1.1], piece: {size: 0.75 mm2, colour: BU}}\n")
    assert ends(loaded, "J2") == ("host/SP9", "J2") and ends(loaded, "donor/261") == ("donor/E1.1", "J2")


def test_an_unknown_end_is_allowed_and_counted():
    loaded = merged("joins:\n  J1: {ends: [unknown, donor/A1.L]}\n")
    assert loaded.merge.joins["J1"].has_unknown_end
    assert loaded.harness.splices["J1"].members_unknown
    assert not loaded.has_errors


def test_both_ends_of_a_wire_joined():
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L]}\n  J2: {ends: [host/A0.D+, donor/E1.2]}\n")
    assert ends(loaded, "host/37") == ("host/X7.2", "J1") and ends(loaded, "host/37-to") == ("J2", "host/A0.D+")
    assert loaded.merge.far_halves["host/37-far"].joins == ("J1", "J2") and not loaded.merge.far_halves["host/37-far"].hangs


def test_later_lines_win():
    loaded = merged("fates:\n  - {fate: removed, pattern: host/*, why: all}\n  - {fate: kept, device: host/G1}\n  - {fate: stored, wire: host/2}\n")
    fates = {wire: decision.fate for wire, decision in loaded.merge.decisions.items()}
    assert [fates[wire] for wire in ("host/1", "host/2", "host/11", "donor/260")] == [Fate.KEPT, Fate.STORED, Fate.REMOVED, Fate.UNDECIDED]
    assert "host/11" not in loaded.harness.wires and "host/2" not in loaded.harness.wires and "host/1" in loaded.harness.wires
    assert loaded.merge.decisions["host/11"].why == "all"


def test_what_no_line_reaches_is_undecided_and_counted():
    loaded = merged("fates:\n  - {fate: kept, pattern: host/*}\n")
    (finding,) = (finding for finding in loaded.findings if finding.code == "fate-undecided")
    assert finding.message == "4 of 12 wires are undecided: donor/260, donor/261, donor/262, donor/263"
    assert not loaded.has_errors            # a book can be made at any moment


def test_what_is_removed_takes_along_what_has_no_wire_left():
    loaded = merged("fates:\n  - {fate: stored, circuit: donor/rear wiper}\n  - {fate: removed, device: host/A0}\n")
    assert set(loaded.merge.gone) == {"donor/R9", "host/A0"}
    assert "donor/R9" not in loaded.harness.devices and "host/A0" not in loaded.harness.devices
    assert "donor/X30" in loaded.harness.connectors


def test_a_box_position_whose_fuse_leaves_becomes_spare():
    loaded = merged("fates:\n  - {fate: removed, circuit: host/wiper}\n")
    assert "host/F2" in loaded.merge.gone and loaded.merge.freed == ("host/F2",)
    assert loaded.harness.boxes["host/B1"].spare == ("host/K3", "host/F2")
    assert loaded.harness.boxes["host/B1"].lid == (("host/F2", "host/K3"),)


def test_a_wire_is_capped_where_its_device_leaves():
    loaded = merged("fates:\n  - {fate: capped, device: host/A0, why: old engine}\n")
    assert ends(loaded, "host/37") == ("host/X7.2", "open")
    assert loaded.merge.decisions["host/37"].fate is Fate.CAPPED


def test_a_wire_is_capped_at_the_end_that_is_said():
    loaded = merged("fates:\n  - {fate: capped, wire: host/37, at: host/X7.2}\n")
    assert ends(loaded, "host/37") == ("open", "host/A0.D+")


def test_a_kept_wire_whose_end_leaves_is_a_finding():
    loaded = merged("fates:\n  - {fate: removed, device: host/A0}\n  - {fate: kept, wire: host/37}\n")
    (finding,) = (finding for finding in loaded.findings if finding.code == "kept-end-gone")
    assert finding.message == "wire host/37 is kept, but its end host/A0.D+ leaves with host/A0 (removed: device host/A0)"
    assert ends(loaded, "host/37") == ("host/X7.2", "open")


def test_points_of_sources_become_points_of_the_merge():
    loaded = merged(PLACES + JOIN)
    assert loaded.harness.place_of["host/X7"] == "dashboard" and loaded.harness.place_of["donor/E1"] == "dashboard"
    assert loaded.harness.place_of["donor/A1"] == "engine bay"
    assert loaded.harness.segments["host/T1"].to == "dashboard"


def test_what_is_said_once_comes_from_the_host_where_the_merge_is_silent():
    loaded = merged("", HOST.replace("supply: 12 V", "supply: 24 V"))
    assert loaded.harness.supply == "24 V"
    assert merged("supply: 12 V\n", HOST.replace("supply: 12 V", "supply: 24 V")).harness.supply == "12 V"


def test_a_description_of_one_harness_has_no_merge():
    assert load("host.yaml", {"host.yaml": HOST}).merge is None


def test_the_waivers_of_a_source_are_no_finding_when_their_fault_is_gone():
    waiver = 'waivers: [{at: wire 262, code: fuse-over-wire, reason: a, date: 2026-01-31}]\n'
    assert "waiver-of-nothing" in [finding.code for finding in load("donor.yaml", {"donor.yaml": HOST.replace("title: host", waiver.replace("262", "41") + "title: host")}).findings]
    assert "waiver-of-nothing" not in [finding.code for finding in merged("", donor=waiver + DONOR).findings]


THROUGH = """\
interfaces:
  I1: {recipe: supply signal to ground input, signal: host/X1.50, input: donor/E1.2, ground: host/G2}
"""


def test_ends_land_at_the_interface():
    loaded = merged(THROUGH.replace("host/X1.50", "host/X7.2") + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], through: I1}\n")
    assert ends(loaded, "host/37") == ("host/X7.2", "I1-K.86") and ends(loaded, "donor/263") == ("donor/E1.2", "I1-K.87")
    assert loaded.merge.interfaces["I1"].joins == ("J1",)


def test_an_end_without_a_wire_gets_a_piece_to_the_interface():
    """X1.50 of the host is an empty cavity; the wire of the donor reaches by itself."""
    loaded = merged(THROUGH + "joins:\n  J1: {ends: [host/X1.50, donor/E1.2], through: I1, piece: {size: 0.75 mm2, colour: BU}}\n")
    assert ends(loaded, "J1a") == ("host/X1.50", "I1-K.86") and ends(loaded, "donor/263") == ("donor/E1.2", "I1-K.87")
    (finding,) = (finding for finding in merged(THROUGH + "joins:\n  J1: {ends: [host/X1.50, donor/E1.2], through: I1}\n").findings if finding.code == "join-without-wire")
    assert finding.message == "join J1 leads host/X1.50 to an interface, and no wire leads there"


def test_a_piece_says_which_ends_it_extends():
    text = THROUGH.replace("host/X1.50", "host/X7.2") + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], through: I1, piece: {size: 0.75 mm2, colour: BU, at: donor/E1.2}}\n"
    loaded = merged(text)
    assert ends(loaded, "host/37") == ("host/X7.2", "I1-K.86") and ends(loaded, "donor/263") == ("donor/E1.2", "J1b") and ends(loaded, "J1b") == ("J1b", "I1-K.87")
    both = merged(text.replace("at: donor/E1.2", "at: [host/X7.2, donor/E1.2]"))
    assert ends(both, "J1a") == ("J1a", "I1-K.86") and ends(both, "J1b") == ("J1b", "I1-K.87")
    assert both.harness.splices["J1a"].join == "J1a"            # beyond the relay lies another copper


def test_a_stud_takes_a_further_eyelet_where_it_is_said():
    """G1.- has one wire: named alone the wire is cut; with `none` the stud takes the eyelet of the other wire."""
    alone = merged("joins:\n  J1: {ends: [host/G1.-, donor/E1.2]}\n")
    assert ends(alone, "host/2") == ("host/G1.-", "J1")
    stud = merged("joins:\n  J1: {ends: [host/G1.-, donor/E1.2], wires: {host/G1.-: none}}\n")
    assert ends(stud, "host/2") == ("host/G1.-", "host/G2") and ends(stud, "donor/263") == ("donor/E1.2", "host/G1.-")


def test_a_tap_leads_to_an_interface_over_a_piece():
    """Both halves of the tapped wire and the piece meet at a splice; the terminal of the relay takes one wire."""
    text = THROUGH.replace("host/X1.50", "host/X7.2") + "joins:\n  J1: {ends: [host/X7.2, donor/E1.2], cut: donor, through: I1, piece: {size: 0.75 mm2, colour: BU}}\n"
    loaded = merged(text)
    assert ends(loaded, "host/37") == ("host/X7.2", "J1a") and ends(loaded, "host/37-rest") == ("J1a", "host/A0.D+") and ends(loaded, "J1a") == ("J1a", "I1-K.86")
    assert "join-without-wire" in [finding.code for finding in merged(text.replace(", piece: {size: 0.75 mm2, colour: BU}", "")).findings]


def test_the_last_line_that_names_a_thing_decides_about_it_too():
    lines = "fates:\n  - {fate: removed, device: donor/R9}\n  - {fate: kept, device: donor/R9}\n"
    assert "donor/R9" in merged(lines).harness.devices
    assert "donor/R9" not in merged("\n".join([lines.splitlines()[0], *reversed(lines.splitlines()[1:])]) + "\n").harness.devices


def test_a_wire_tapped_at_both_ends_stays_whole():
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], cut: none}\n  J2: {ends: [host/A0.D+, donor/E1.2], cut: none}\n")
    islands = loaded.network.island_of
    assert islands["host/X7.2"] == islands["host/A0.D+"] and not loaded.merge.far_halves
    assert ends(loaded, "host/37-rest") == ("J1", "J2")


def test_the_wires_of_a_join_may_change_their_circuit():
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], circuit: host/charge, piece: {size: 0.75 mm2, colour: BU}}\n")
    assert {loaded.harness.wires[wire].circuit for wire in ("host/37", "donor/260", "J1")} == {"host/charge"}


def test_the_connectors_of_a_device_leave_with_it_though_they_hold_nothing():
    host = HOST.replace("M0: {title: old wiper, place: dash, terminals: [1]}", "M0: {title: old wiper, connectors: [X9], place: dash, terminals: [1]}").replace(
        "  X7: {title", "  X9: {title: wiper switch, face: [[1, 2]], view: wire side}\n  X7: {title")
    loaded = merged("fates:\n  - {fate: removed, device: host/M0}\n", host)
    assert "host/X9" in loaded.merge.gone and "host/X9" not in loaded.harness.connectors


def test_every_reference_of_a_source_carries_its_name():
    host = HOST.replace("SP9: {place: dash}", "SP9: {at: 100 mm from dash toward engine}") + "cavities:\n  X7.1: {circuit: ignition}\n"
    donor = DONOR.replace("X30: {title: body plug,", "X30: {title: body plug, mates: X31,") + "pairs:\n  P1: {lay: 20 mm}\n"
    donor = donor.replace("  X30: {", "  X31: {title: other half, face: [[1..4]], view: wire side}\n  X30: {")
    donor = donor.replace("colour: Y}", "colour: Y, pair: P1, via: [S1]}")
    harness = merged("", host, donor).harness
    assert harness.splices["host/SP9"].at.origin == "host/dash" and harness.splices["host/SP9"].at.toward == "host/engine"
    assert harness.wires["host/14"].circuit == "host/ignition" and harness.contacts["host/X7.1"].circuit == "host/ignition"
    assert harness.connectors["donor/X30"].mates == "donor/X31"
    assert harness.wires["donor/263"].pair == "donor/P1" and harness.wires["donor/263"].via == ("donor/S1",)
    assert harness.devices["host/Q1"].closes["run"] == (("host/X1.30", "host/X1.15"),)
    assert harness.devices["host/H4"].between == ("host/X7.1", "host/X7.2")
    assert harness.parts["host/F2"].box == "host/B1"


def test_a_splice_that_is_put_on_a_point_has_no_other_position():
    host = HOST.replace("SP9: {place: dash}", "SP9: {at: 100 mm from dash toward engine}")
    loaded = merged(PLACES.replace("places:\n", "places:\n  host/SP9: bulkhead\n"), host)
    assert loaded.harness.splices["host/SP9"].place == "bulkhead" and loaded.harness.splices["host/SP9"].at is None
    assert "two-positions" not in [finding.code for finding in loaded.findings]


IN_BOX = """\
fates:
  - {fate: removed, circuit: host/wiper}
interfaces:
  I1: {recipe: supply signal to ground input, signal: host/X1.50, input: donor/E1.2, ground: host/G2, position: host/K2}
  I2: {recipe: supply signal to ground input, signal: host/X7.2, input: donor/E1.3, ground: host/G2, position: host/K3}
"""
IN_BOX_HOST = HOST.replace("lid: [[F2, K3]]", "lid: [[K2, K3]]").replace("  F2: {box: B1, rating: 8 A, type: blade}\n", "  F2: {place: dash, rating: 8 A, type: blade}\n") \
    .replace("splices:\n", "relays:\n  K2: {box: B1, part: mini relay 40 A}\nsplices:\n").replace("to: M0.1,", "to: K2.86,")


def test_a_relay_sits_in_a_spare_position_and_in_one_that_becomes_free():
    loaded = merged(IN_BOX, IN_BOX_HOST)
    assert loaded.harness.boxes["host/B1"].lid == (("I1-K", "I2-K"),)
    assert loaded.harness.boxes["host/B1"].spare == ()
    assert loaded.harness.parts["I1-K"].box == "host/B1" and loaded.merge.freed == ()


def test_a_position_holds_one_relay():
    loaded = merged(IN_BOX.replace("position: host/K2", "position: host/K3"))
    (finding,) = (finding for finding in loaded.findings if finding.code == "position-not-spare")
    assert finding.message == "interface I2 takes position host/K3, which another interface has taken"


@pytest.mark.parametrize("position, kind", [("host/F5", "is for a fuse"), ("host/K9", "is no spare position of a box")])
def test_a_relay_is_offered_positions_for_relays_alone(position, kind):
    """A position of which nothing tells what it is for is offered, too."""
    loaded = merged(IN_BOX.replace("position: host/K3", f"position: {position}"), IN_BOX_HOST.replace("spare: [K3]", "spare: [F5, 7, K3, K4]"))
    (finding,) = (finding for finding in loaded.findings if finding.place.file == "merge.yaml" and "position" in finding.code)
    assert kind in finding.message and finding.do.endswith("spare for a relay are host/7, host/K3, host/K4")


def test_the_splice_that_feeds_an_interface_bears_the_number_of_the_wire():
    loaded = merged("interfaces:\n  I1: {recipe: pull-up, signal: donor/E1.2, input: host/X7.2, feed: host/SP9}\n")
    assert loaded.harness.splices["host/SP9"].join == "I1-R-1"
    assert ends(loaded, "I1-R-1") == ("host/SP9", "I1-R.1")


def test_what_an_interface_or_a_join_holds_stays_without_wires_of_its_own():
    none_left = "fates:\n  - {fate: removed, wire: [host/40, host/41, host/14, host/36]}\n"
    assert {"host/F2", "host/SP9"} <= set(merged(none_left).merge.gone)
    fed = merged(none_left + "interfaces:\n  I1: {recipe: pull-up, signal: donor/E1.2, input: host/X7.2, feed: host/F2.2}\n")
    assert "host/F2" in fed.harness.parts
    joined = merged(none_left + "joins:\n  J1: {ends: [host/SP9, donor/E1.1]}\n")
    assert "host/SP9" in joined.harness.splices and "host/F2" not in joined.harness.parts


def test_a_kept_wire_has_its_length_as_found_and_a_stub_has_not():
    wires = merged(PLACES + JOIN).harness.wires
    assert wires["host/11"].length.stated == "900 mm" and wires["donor/261"].length.stated == "700 mm"
    assert wires["host/37"].length is None and wires["donor/260"].length is None


def test_a_connector_leaves_with_a_device_that_has_no_wire_left():
    loaded = merged("fates:\n  - {fate: removed, wire: [host/36, host/37]}\n")
    assert {"host/H4", "host/X7"} <= set(loaded.merge.gone)
    assert not {"host/H4", "host/X7"} & {*loaded.harness.devices, *loaded.harness.connectors}


def test_a_cavity_takes_a_wire_in_place_of_its_own():
    loaded = merged("fates:\n  - {fate: removed, wire: host/41}\njoins:\n  J1: {ends: [host/F2.2, donor/E1.2], wires: {host/F2.2: none}}\n")
    assert ends(loaded, "donor/263") == ("donor/E1.2", "host/F2.2") and "host/41" not in loaded.harness.wires
    assert "cavity-used-twice" not in [finding.code for finding in loaded.findings]


def test_a_name_of_a_point_and_of_a_thing_means_the_point():
    host = HOST.replace("place: dash", "place: M0").replace("to: dash", "to: M0").replace("from: dash", "from: M0")
    loaded = merged(PLACES.replace("host/dash: dashboard", "host/M0: dashboard"), host)
    assert loaded.harness.place_of["host/X7"] == "dashboard" and loaded.harness.segments["host/T1"].to == "dashboard"


def test_a_far_half_whose_own_end_is_not_known_has_nowhere_to_stay():
    host = HOST.replace("37: {from: X7.2, to: A0.D+,", "37: {from: X7.2, to: unknown,")
    loaded = merged("joins:\n  J1: {ends: [host/X7.2, donor/A1.L], far: {host/X7.2: capped}}\n", host)
    assert "host/37-far" not in loaded.harness.wires and not loaded.has_errors
