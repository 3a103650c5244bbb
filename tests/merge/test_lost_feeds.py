"""Feeds that a merge cuts off: what hung on a battery that leaves, told, mended by the way out, and kept off a closed sheet.

Reference: the copper as networkx sees it, of wires and fuses alone; the volts at what is told, as solved.
"""

from __future__ import annotations

import re

import networkx
import pytest
from merge.vehicles import HOST, merged

from harnessdoc.findings import Severity
from harnessdoc.merge.closure import closure
from harnessdoc.merge.lost_feeds import lost_feeds
from harnessdoc.network.islands import connect
from harnessdoc.sheets.closure import closed_words

ENGINE = """\
title: donor as found
colours: Japanese trade
wire-type: TXL
supply: 12 V
devices:
  G1: {title: battery, terminals: ["+", "-"], battery: {}, between: [G1.+, G1.-]}
  A1: {title: alternator, terminals: [B+, case], alternator: {voltage: 14 V}, between: [A1.B+, A1.case]}
  H1: {title: fuel pump, terminals: [1, 2], motor: {running: 5 A at 12 V, stalled: 1 ohm}, between: [H1.1, H1.2]}
  H2: {title: radio, terminals: [1, 2], load: 1 A at 12 V, between: [H2.1, H2.2]}
boxes:
  B1: {title: engine box, lid: [[F1, F2]], bars: {30: [F1.1, F2.1]}}
fuses:
  F1: {box: B1, rating: 10 A, type: blade}
  F2: {box: B1, rating: 5 A, type: blade}
  F3: {title: charging, rating: 80 A, type: midi}
  F4: {title: main, rating: 60 A, type: midi}
cavities:
  A1.case: {metal: engine}
grounds:
  GE: {metal: engine, stud: M8}
wires:
  1: {from: G1.+, to: F4.1, size: 10 mm2, colour: R}
  2: {from: F4.2, to: B1.30, size: 10 mm2, colour: W}
  3: {from: G1.+, to: F3.1, size: 16 mm2, colour: R}
  4: {from: F3.2, to: A1.B+, size: 16 mm2, colour: W}
  5: {from: G1.-, to: GE, size: 25 mm2, colour: B}
  6: {from: F1.2, to: H1.1, size: 2 mm2, colour: L}
  7: {from: H1.2, to: GE, size: 2 mm2, colour: B}
  8: {from: F2.2, to: H2.1, size: 1 mm2, colour: L-R}
  9: {from: H2.2, to: GE, size: 1 mm2, colour: B}
"""
GONE = "fates:\n  - {fate: kept, pattern: '*', why: all}\n  - {fate: removed, device: donor/G1, why: one battery is enough}\n"
GROUND = "joins:\n  J1: {ends: [host/G2, donor/GE], piece: {size: 25 mm2, colour: BK}}\n"


def told(merge: str, donor: str = ENGINE, host: str = HOST):
    loaded = merged(merge, host, donor)
    return loaded, [finding for finding in loaded.findings if finding.code == "feed-cut-off"]


def test_a_box_and_an_alternator_whose_battery_leaves_are_told():
    loaded, (box, alternator) = told(GONE + GROUND)
    assert box.severity is Severity.MALFUNCTION and (box.place.file, box.place.line) == ("merge.yaml", 8)
    assert box.message == "the feed of engine box donor/B1 leads to no source: donor/F4.1 has no wire since donor/1 left with donor/G1"
    assert alternator.message == "the output of alternator donor/A1 leads to no battery: donor/F3.1 has no wire since donor/3 left with donor/G1"
    solved = loaded.operation.solved["run, stopped"]
    assert abs(loaded.operation.read(solved, ["donor/B1.30"])["donor/B1.30"] or 0) < 0.1     # dead, as told


def test_the_way_out_feeds_what_was_told():
    _, found = told(GONE + GROUND)
    written = [re.search(r"`(J\d+: \{.*?\})`;", finding.do)[1] for finding in found]
    assert written == ["J2: {ends: [host/G1.+, donor/F4.1], wires: {host/G1.+: none}}", "J3: {ends: [host/G1.+, donor/F3.1], wires: {host/G1.+: none}}"]
    for count in (1, 2):
        loaded, left = told(GONE + GROUND + "".join(f"  {line}\n" for line in written[:count]))
        assert not loaded.has_errors and [finding.message for finding in left] == [finding.message for finding in found[count:]]
    solved = loaded.operation.solved["run, stopped"]
    assert loaded.operation.read(solved, ["donor/B1.30"])["donor/B1.30"] > 11


def test_it_is_what_no_wire_and_no_fuse_leads_to_a_battery():
    loaded, _ = told(GONE + GROUND)
    graph = networkx.Graph((joint.a, joint.b) for joint in connect(loaded.harness).joints)
    graph.add_nodes_from(loaded.harness.contacts)
    graph.add_edges_from((wire.from_, wire.to) for wire in loaded.harness.wires.values())
    graph.add_edges_from((f"{part.id}.1", f"{part.id}.2") for part in loaded.harness.parts.values())
    feeds = lost_feeds(loaded.merge, loaded.harness)
    assert [feed.head for feed in feeds] == ["donor/F4.1", "donor/F3.1"]
    assert all(not networkx.has_path(graph, feed.head, "host/G1.+") for feed in feeds)
    assert networkx.has_path(graph, "donor/F4.1", "donor/H1.1") and networkx.has_path(graph, "donor/F3.1", "donor/A1.B+")


def test_a_merge_with_a_feed_cut_off_is_not_closed_until_a_reason_is_given():
    loaded, _ = told(GONE + GROUND)
    state = closure(loaded.merge, loaded.harness, None)
    assert not state.is_closed and "2 feeds cut off" in closed_words(state)
    assert {end.contact: end.do for end in state.loose_ends if end.contact in ("donor/F4.1", "donor/F3.1")} == {
        "donor/F4.1": "join it to a source: engine box donor/B1 hangs on it", "donor/F3.1": "join it to the battery: alternator donor/A1 hangs on it"}
    reasoned, found = told(GONE + GROUND + "open: {donor/F4.1: the box comes later, donor/F3.1: and the alternator too}\n")
    assert found == [] and closure(reasoned.merge, reasoned.harness, None).feeds == ()


def test_a_branch_that_feeds_its_own_bar_is_no_feed():
    """A feed of the van tied to the load side of one fuse of the box: the others hang on that fuse, backward."""
    branch = GONE + GROUND + "  J2: {ends: [host/F1.2, donor/F2.2], cut: donor}\n"
    loaded, found = told(branch)
    assert [finding.message for finding in found][0] == (
        "engine box donor/B1 is fed backward alone, through donor/F2, which it fed: donor/F4.1 has no wire since donor/1 left with donor/G1")
    solved = loaded.operation.solved["run, stopped"]
    assert loaded.operation.read(solved, ["donor/B1.30"])["donor/B1.30"] > 11       # live, and yet nothing to run an engine from


@pytest.mark.parametrize("further", [
    "",
    GONE + "  - {fate: removed, device: [donor/B1, donor/F3, donor/F4, donor/A1], why: none of it}\n",
    GONE + "  - {fate: removed, wire: [donor/4, donor/6, donor/8], why: loads go}\n  - {fate: removed, device: donor/A1, why: none}\n",
    GONE + "joins:\n  J2: {ends: [unknown, donor/F4.1]}\n  J3: {ends: [unknown, donor/F3.1]}\n",
], ids=["battery stays", "all leaves", "no load", "not found yet"])
def test_nothing_is_told_where_nothing_hangs_there_or_it_is_not_known(further):
    assert told(further)[1] == []


def test_without_any_battery_one_is_to_stay():
    _, found = told(GONE + "  - {fate: removed, device: host/G1, why: none}\n")
    assert {finding.do.partition(";")[0] for finding in found if "donor/F4.1" in finding.message} == {"let a battery stay, and join donor/F4.1 to its plus"}


def test_within_one_vehicle_a_wire_is_wanted():
    _, (finding,) = told("fates:\n  - {fate: removed, wire: donor/1, why: too short}\n")
    line = re.search(r"`(wires: \{W1: .*?\}\})`", finding.do)[1]
    assert line == "wires: {W1: {from: donor/G1.+, to: donor/F4.1, size: 10 mm2, colour: unknown}}"
    loaded, left = told("fates:\n  - {fate: removed, wire: donor/1, why: too short}\n" + line + "\n")
    assert not loaded.has_errors and left == []
