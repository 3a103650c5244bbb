"""What a match proposes because something leaves: battery feeds, a wire that is to bring current on, grounds that have room.

That a stud holds two eyelets at most is a van maker's wiring book, as rule `ground-overcrowded` says; the rest is common practice of the trade.
"""

from __future__ import annotations

import re

from merge.test_match_causes import MERGE, decided, matched, proposal, text_of

from harnessdoc import steps
from harnessdoc.merge.match import lines
from harnessdoc.merge.proposed_grounds import MOST_EYELETS
from harnessdoc.rules.faults.ground_overcrowded import EYELETS

FATES = """\
fates:
  - {fate: kept, pattern: "*", why: all}
  - {fate: removed, device: [host/G2, host/N2, host/M1, host/U1, host/S2, host/N1, host/S3, host/Y1, host/Y2, host/N3, host/M6, host/R2, host/SP2], why: goes with the old engine}
  - {fate: removed, device: [donor/G1, donor/S1, donor/S2, donor/S3, donor/S4, donor/H1, donor/B2], why: the van has its own}
"""


def ends(further: str) -> dict[str, str]:
    return {one.donor_end: one.host_end for one in matched(further).proposals}


def loaded(further: str, spare: tuple[str, ...] = ("host/K3", "host/K6", "host/K8")):
    text = MERGE + further + "\n".join(lines(matched(further), spare=spare)) + "\n"
    return steps.load("merge.yaml", {"merge.yaml": text, "heron.yaml": text_of("heron"), "linnet.yaml": text_of("linnet")}, solve=False)


def test_the_main_feed_and_the_alternator_go_to_the_battery_that_stays():
    found = ends(FATES)
    assert found["donor/FL1.1"] == found["donor/F1.1"] == "host/G1.+"
    feed = next(one for one in matched(FATES).proposals if one.donor_end == "donor/FL1.1")
    assert (feed.function, feed.size, feed.verdict, feed.interface) == ("feed of engine fuse and relay box donor/B1", "8 mm2", "direct", "")
    told = [finding.message for finding in loaded(FATES).findings if finding.code == "feed-cut-off" and "donor/" in finding.message]
    assert told == []
    assert "donor/FL1.1" not in ends("") and "donor/F1.1" not in ends("")


def test_a_feed_that_no_join_can_bring_is_told_without_a_partner():
    """The wire of the fuse is taken by its own name; the van's own battery stays, and a wire within the van is wanted."""
    named = FATES + "  - {fate: removed, wire: donor/4, why: chafed through}\n"
    assert "donor/FL1.1" not in ends(named)
    assert {one.end: one.words for one in matched(named).donor_without}["donor/FL1.1"] == "feed of engine fuse and relay box donor/B1"
    assert {one.end: one.words for one in matched(FATES).host_without}["host/F20.1"] == "feed of leisure charge host/F20"
    both_batteries = "fates:\n  - {fate: removed, device: host/G2, why: old}\n"
    assert not any(one.host_end == "host/F20.1" for one in matched(both_batteries).proposals) and "host/F20.1" in {one.end for one in matched(both_batteries).host_without}


def test_what_has_a_join_is_not_proposed_again():
    assert "donor/FL1.1" not in ends(FATES + "joins:\n  J1: {ends: [host/G1.+, donor/FL1.1]}\n")


def test_a_wire_whose_load_leaves_goes_on_to_the_load_that_stays():
    """The van's pump leaves: its wire to the rear brings the current of the donor's relay to the donor's pump."""
    found = ends(FATES)
    assert found["donor/K2.87"] == "host/X41.5" and found["donor/X24.1"] == "host/X42.5"
    codes = [finding.code for finding in loaded(FATES).findings]
    assert "join-leads-nowhere" not in codes and "device-leaves-untold" not in codes


def test_a_wire_that_leads_nowhere_is_not_proposed():
    """The donor's pump leaves too: nothing is left at either end of the van's wire."""
    found = ends(FATES + "  - {fate: removed, device: donor/M3, why: another pump}\n")
    assert "host/X41.5" not in found.values() and "host/X42.5" not in found.values()
    assert "join-leads-nowhere" not in [finding.code for finding in loaded(FATES + "  - {fate: removed, device: donor/M3, why: another pump}\n").findings]


def test_grounds_of_interfaces_are_spread_over_the_studs():
    assert EYELETS.default == str(MOST_EYELETS)
    written = [line for line in lines(matched(FATES)) if "recipe:" in line]
    grounds = [ground for line in written for ground in re.findall(r"ground: (host/\w+)", line)]
    assert len(grounds) == len(set(grounds)) == 4 and "host/GE1" not in grounds
    made = loaded(FATES)
    for ground in grounds:
        assert len(made.harness.wires_at[ground]) <= MOST_EYELETS, ground


def test_the_nearest_ground_with_room_is_taken():
    """The left kick panel holds one eyelet and is 240 mm from the box (T10); the heater box holds two already."""
    start, = [line for line in lines(matched(FATES)) if "start chain" in line]
    assert re.search(r"ground: host/GH2\b", start)


def test_with_all_decided_as_in_the_example_both_are_proposed():
    found = {one.donor_end: one.host_end for one in matched(main=decided()).proposals}
    assert found["donor/FL1.1"] == found["donor/F1.1"] == "host/G1.+"
    assert proposal(matched(main=decided()), "host/X42.5").donor_end == "donor/X24.1"
