"""What is worked out of a merge: does it reach, where do splices sit, what is lost, what is left to do."""

from __future__ import annotations

import networkx
import pytest
from merge.vehicles import DONOR, HOST, PLACES, codes, merged

from harnessdoc.merge.closure import closure, live_states
from harnessdoc.merge.fit import Verdict, far_mm, fits
from harnessdoc.merge.losses import losses, losses_of
from harnessdoc.merge.stations import APART_MM

KEEP = "fates:\n  - {fate: kept, pattern: host/*}\n  - {fate: kept, pattern: donor/*}\n"
JOIN = "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, place: bulkhead}\n"


def fit_of(loaded, wire: str, join: str = ""):
    return next(fit for fit in fits(loaded.merge, loaded.harness, loaded.geometry) if fit.wire == wire and fit.join == join)


# ------------------------------------------------------------------------ does it reach

def test_a_kept_wire_on_its_own_way_fits():
    fit = fit_of(merged(KEEP), "host/11")
    assert (fit.found_mm, fit.needed_mm, fit.verdict) == (900.0, 900.0, Verdict.FITS)


def test_a_kept_wire_on_a_longer_way_is_short_by_what_the_way_has_grown():
    """261 was measured at 700 mm; its plug moves 600 mm away from the control unit's place."""
    loaded = merged(KEEP + "places: {donor/X30: far}\nsegments:\n  M1: {from: donor/unit, to: far, length: 600 mm}\n")
    fit = fit_of(loaded, "donor/261")
    assert (fit.found_mm, fit.needed_mm, fit.verdict) == (700.0, 1300.0, Verdict.SHORT)
    assert fit.words == "short by 600 mm: extend at donor/X30.1"
    (finding,) = (finding for finding in loaded.findings if finding.code == "kept-wire-too-short" and "donor/261" in finding.message)
    assert (finding.value, finding.limit, finding.place.line) == ("700 mm", "1300 mm", 8)


def test_a_kept_wire_on_a_shorter_way_is_long():
    fit = fit_of(merged(KEEP + "places: {host/A0: dash side, host/dash: dash side}\nsegments:\n  M1: {from: dash side, to: elsewhere, length: 1 m}\n"), "host/37")
    assert (fit.found_mm, fit.needed_mm, fit.verdict) == (1300.0, 100.0, Verdict.LONG)
    assert fit.words == "long by 1200 mm: fold back at host/A0.D+"


def test_a_kept_wire_whose_lengths_are_not_known_has_no_verdict():
    loaded = merged(KEEP, HOST.replace("T2: {from: dash, to: engine, length: 1200 mm}", "T2: {from: dash, to: engine}"))
    assert fit_of(loaded, "host/37").verdict is Verdict.UNKNOWN


def test_a_stub_that_reaches_its_join_and_one_that_does_not():
    loaded = merged(PLACES + JOIN)
    assert fit_of(loaded, "host/37", "J1").verdict is Verdict.FITS
    short = merged(PLACES + JOIN.replace("place: bulkhead", "place: bulkhead, stubs: {donor/A1.L: 400 mm}"))
    fit = fit_of(short, "donor/260", "J1")
    assert (fit.found_mm, fit.verdict) == (400.0, Verdict.SHORT)
    # 600 mm from the engine bay to the bulkhead less 40 mm to the station, 50 mm and 10 mm of allowance
    assert fit.needed_mm == 620.0
    assert "stub-too-short" in [code.partition(" ")[2] for code in codes(short)]


def test_a_piece_sits_where_the_stub_ends_and_mends_it():
    loaded = merged(PLACES + JOIN.replace("place: bulkhead", "place: bulkhead, stubs: {donor/A1.L: 400 mm}, piece: {size: 0.75 mm2, colour: BU}"))
    assert "stub-too-short" not in [code.partition(" ")[2] for code in codes(loaded)]
    at = loaded.harness.splices["J1b"].at
    assert (at.length.mm, at.origin, at.toward) == (340.0, "engine bay", "bulkhead")
    assert fit_of(loaded, "donor/260", "J1").verdict is Verdict.FITS
    # 260 mm to the bulkhead, 40 mm on to the station toward the dashboard, and 10 mm at each splice
    assert loaded.geometry.lengths["J1"].computed_mm == 600 - 340 + 40 + 20


def test_the_far_half_is_what_is_left_of_the_wire_as_found():
    loaded = merged(PLACES + JOIN.replace("place: bulkhead", "place: bulkhead, stubs: {donor/A1.L: 650 mm}"))
    assert far_mm(loaded.merge, loaded.geometry, "donor/260-far") == 1000.0 - 650.0
    assert far_mm(loaded.merge, loaded.geometry, "host/37-far") == 1300.0 - loaded.geometry.lengths["host/37"].finished_mm


# ----------------------------------------------------------------------- where splices sit

def many(count: int) -> tuple[str, str, str]:
    """A host and a donor with so many wires more, all joined at the bulkhead."""
    host = HOST.replace("face: [[1, 2]]", f"face: [[1..{count + 2}]]") + "".join(f"  9{n}: {{from: X7.{n + 3}, to: A0.D+, size: 0.75 mm2, colour: bl}}\n" for n in range(count))
    donor = DONOR.replace("face: [[1..4]], view: mating face}\n  X30", f"face: [[1..{count + 4}]], view: mating face}}\n  X30") + "".join(
        f"  9{n}: {{from: A1.L, to: E1.{n + 5}, size: 0.5 mm2, colour: W}}\n" for n in range(count))
    joins = "".join(f"  J{n + 1}: {{ends: [host/X7.{n + 3}, donor/E1.{n + 5}], place: bulkhead}}\n" for n in range(count))
    return PLACES.replace("donor/E1: dashboard", "donor/E1: engine bay") + "joins:\n" + joins, host, donor


def test_the_splices_of_joins_at_one_point_are_set_apart():
    loaded = merged(*many(8))
    stations = sorted((station.segment, station.offset_mm) for id, station in loaded.geometry.stations.items() if id.startswith("J"))
    assert len(stations) == 8 and all(segment == "M1" for segment, _ in stations)
    offsets = [offset for _, offset in stations]
    assert min(b - a for a, b in zip(offsets, offsets[1:], strict=False)) >= APART_MM
    assert min(offsets) >= APART_MM and max(offsets) <= 600 - APART_MM
    assert "splices-not-staggered" not in [finding.code for finding in loaded.findings]


@pytest.mark.parametrize("bad", ["zone: flexing", "zone: hot", "zone: wet", "grommet: 30 mm"])
def test_no_splice_of_a_join_is_set_where_it_suffers(bad):
    text, host, donor = many(3)
    loaded = merged(text.replace("M1: {from: engine bay, to: bulkhead, length: 600 mm}", f"M1: {{from: engine bay, to: bulkhead, length: 600 mm, {bad}}}"), host, donor)
    assert {station.segment for id, station in loaded.geometry.stations.items() if id.startswith("J")} == {"M2"}


def test_a_join_that_says_where_it_sits_stays_there():
    loaded = merged(PLACES + "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], at: 77 mm from bulkhead toward dashboard}\n")
    assert loaded.harness.splices["J1"].at.length.mm == 77.0


# --------------------------------------------------------------------------- what is lost

def test_what_hangs_behind_a_cut_and_has_lost_its_source():
    loaded = merged("joins:\n  J1: {ends: [host/X1.15, donor/E1.2]}\n")
    (loss,) = losses_of(loaded.merge)["J1"]
    assert (loss.what, loss.gave) == ("source", ("host/X1.15",))
    assert "host/X7.1" in loss.left
    assert loss.words.startswith("by the cut of host/14, host/X7.1, ")


def test_what_has_lost_its_ground():
    loaded = merged("joins:\n  J1: {ends: [host/G2, donor/E1.2]}\n")
    assert "J1" not in losses_of(loaded.merge)          # the ground itself takes the wire: nothing of the host is cut
    (source,) = losses(loaded.merge.sources["host"], {"2": "to"})
    assert (source.what, source.gave) == ("ground", ("host/G2",)) and source.left == ("host/G1.-",)


def test_a_tap_takes_nothing():
    assert not losses_of(merged("joins:\n  J1: {ends: [host/X1.15, donor/E1.2], cut: none}\n").merge)


@pytest.mark.outside("networkx: connected components of the raw wire list")
def test_the_copper_behind_every_cut_is_the_component_of_its_far_end():
    host = merged("").merge.sources["host"]
    for wire in host.harness.wires.values():
        graph = networkx.Graph((one.from_, one.to) for one in host.harness.wires.values() if one.id != wire.id)
        for side, far in (("from", wire.to), ("to", wire.from_)):
            behind = {f"host/{address}" for address in (networkx.node_connected_component(graph, far) if far in graph else {far})}
            for loss in losses(host, {wire.id: side}):
                assert set(loss.left) == behind


# ----------------------------------------------------------------------- what is left to do

def test_a_merge_with_nothing_left_is_closed():
    loaded = merged(KEEP)
    state = closure(loaded.merge, loaded.harness, loaded.operation)
    assert state.is_closed and not state.loose_ends


def test_a_removed_feed_names_where_it_hangs_and_when_it_is_live():
    loaded = merged("fates:\n  - {fate: kept, pattern: host/*}\n  - {fate: removed, wire: host/11}\n  - {fate: removed, pattern: donor/*}\n")
    state = closure(loaded.merge, loaded.harness, loaded.operation)
    (end,) = (end for end in state.loose_ends if end.thing == "host/11" and end.contact == "host/F1.2")
    assert end.do == "de-pin; plug the cavity"
    assert end.live == tuple(loaded.operation.solved)
    assert live_states(loaded.operation, "host/X1.30") == ()        # fed by that wire alone


def test_a_far_half_on_a_live_splice_is_cut_back_there():
    loaded = merged("joins:\n  J1: {ends: [host/X7.1, donor/E1.2]}\n")
    state = closure(loaded.merge, loaded.harness, loaded.operation)
    (end,) = (end for end in state.loose_ends if end.thing == "host/36-far")
    assert (end.contact, end.do) == ("host/SP9", "cut back at the splice and insulate")
    assert end.live == ("run, stopped", "start, cranking", "run, running")


def test_what_a_far_half_hung_at_and_leaves_too_is_no_work():
    loaded = merged(JOIN.replace(", place: bulkhead", "") + "fates:\n  - {fate: removed, device: host/A0}\n")
    assert "host/37-far" not in [end.thing for end in closure(loaded.merge, loaded.harness, loaded.operation).loose_ends]


def test_a_cavity_that_lost_its_wire_wants_a_reason():
    lines = "fates:\n  - {fate: kept, pattern: host/*}\n  - {fate: removed, pattern: donor/*}\n  - {fate: kept, wire: donor/263}\n"
    loaded = merged(lines)
    (cavity,) = closure(loaded.merge, loaded.harness, None).left_open
    assert (cavity.address, cavity.was, cavity.device) == ("donor/E1.1", "donor/261", "donor/U1")
    assert "cavity-left-open" in [finding.code for finding in loaded.findings]
    reasoned = merged(lines + "open: {donor/E1.1: no second supply}\n")
    assert closure(reasoned.merge, reasoned.harness, None).is_closed
    assert "cavity-left-open" not in [finding.code for finding in reasoned.findings]


def test_a_join_to_an_unknown_end_keeps_the_merge_open():
    loaded = merged("fates: [{fate: kept, pattern: host/*}, {fate: kept, pattern: donor/*}]\njoins:\n  J1: {ends: [unknown, donor/A1.L]}\n")
    assert closure(loaded.merge, loaded.harness, None).unknown == ("J1",)


def test_a_segment_in_which_nothing_lies_any_more_leaves():
    """The donor's way to the tail holds the rear wiper's wire alone."""
    kept = merged(KEEP)
    assert "donor/S2" in kept.harness.segments and "donor/tail" in kept.harness.points
    gone = merged(KEEP + "  - {fate: stored, circuit: donor/rear wiper}\n")
    assert "donor/S2" not in gone.harness.segments and "donor/tail" not in gone.harness.points
    assert "donor/S1" in gone.harness.segments and set(kept.harness.segments) - set(gone.harness.segments) == {"donor/S2"}


def test_what_lies_at_ground_is_not_live():
    loaded = merged(KEEP)
    assert live_states(loaded.operation, "host/G2") == ()
    assert live_states(loaded.operation, "host/X7.1") == ("run, stopped", "start, cranking", "run, running")


def test_the_battery_is_a_source_though_nobody_says_its_signal():
    (loss,) = losses(merged("").merge.sources["host"], {"1": "from"})
    assert (loss.what, loss.gave, loss.left) == ("source", ("host/G1.+",), ("host/F1.1",))


def test_a_strap_that_lay_straighter_than_the_bundle_still_does():
    """Measured at half of its routed way as found, it needs half of the new way."""
    donor = DONOR.replace("260: {from: A1.L, to: X30.4, size: 0.5 mm2, colour: W-L, circuit: charge lamp}", "260: {from: A1.L, to: X30.4, size: 0.5 mm2, colour: W-L, circuit: charge lamp, length: 500 mm}")
    loaded = merged(PLACES + JOIN, donor=donor)
    fit = fit_of(loaded, "donor/260", "J1")
    assert (fit.found_mm, fit.needed_mm, fit.verdict) == (500.0, 310.0, Verdict.FITS)


def test_a_waiver_of_a_source_speaks_only_of_what_lies_at_its_own_thing():
    """As found, the splice of one wire is accepted; the merge may not lean on that for anything else that happens to touch it."""
    host = "waivers: [{at: SP9, code: splice-of-one, reason: a, date: 2026-01-31}]\n" + HOST
    gone = "fates:\n  - {fate: removed, wire: [host/14, host/36]}\n"
    assert "splice-of-one" not in [finding.code for finding in merged(gone, host).findings]
    assert "splice-of-one" in [finding.code for finding in merged(gone, host.replace("at: SP9", "at: wire 40")).findings]
    own = "waivers: [{at: host/SP9, code: splice-of-one, reason: a, date: 2026-01-31}]\n"
    assert "splice-of-one" not in [finding.code for finding in merged(own + gone).findings]


def test_the_feed_side_of_a_switch_is_no_source_by_itself():
    """Behind the cut lies the key switch, whose own contacts feed nothing once its feed is gone."""
    (loss,) = losses(merged("").merge.sources["host"], {"11": "from"})
    assert (loss.what, loss.gave, loss.left) == ("source", ("host/F1.2",), ("host/X1.30",))
