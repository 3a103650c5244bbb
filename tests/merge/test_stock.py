"""What two vehicles give to be used again, and the new wires cut from it."""

from __future__ import annotations

import pytest
from merge.stocked import DONOR, HOST, MERGE, stocked
from merge.vehicles import PLACES, merged

from harnessdoc.geometry.cut_list import cut_list
from harnessdoc.merge.stock import SPOOL_MM, StockPiece, StockPlan, What, find_stock, plan_from_stock, stands
from harnessdoc.merge.found import found_in
from harnessdoc.merge.plan import Fate
from harnessdoc.steps import Loaded
from harnessdoc.trade.wire_types import parse_wire_type


def stock_of(loaded: Loaded) -> dict[str, StockPiece]:
    return {piece.id: piece for piece in find_stock(loaded.merge, loaded.geometry)}


def plan_of(loaded: Loaded, spool_mm: int = SPOOL_MM) -> StockPlan:
    rows = [row for spool in cut_list(loaded.harness, loaded.geometry, is_there=found_in(loaded.merge, loaded.harness)).spools for row in spool.rows]
    return plan_from_stock(find_stock(loaded.merge, loaded.geometry), rows, loaded.harness.wires, spool_mm)


def told(plan: StockPlan) -> dict[str, str]:
    """New wire -> the piece it is cut from, with what is left of it."""
    return {cut.row.wire: f"{cut.piece.id}, {cut.left_mm}" for cut in plan.cuts if cut.piece}


def with_more(count: int, *said: str) -> str:
    """The merge with so many new wires more, P0, P1 and on, of which ``said`` is said by turns."""
    wires = "".join(f"  P{number}: {{from: SN, to: unknown, {said[number % len(said)]}}}\n" for number in range(count))
    return f"{MERGE}{wires}splices:\n  SN: {{method: crimp splice}}\n"


# --------------------------------------------------------------------------- what there is

def test_what_leaves_is_stock_and_nothing_else():
    pieces = stock_of(stocked())
    assert {id: (piece.what, piece.fate, piece.from_) for id, piece in pieces.items()} == {
        **{f"donor/{wire}": (What.WIRE, Fate.REMOVED, "donor") for wire in ("1", "3", "7", "8", "9", "21")},
        **{f"donor/{wire}": (What.WIRE, Fate.STORED, "donor") for wire in ("2", "5", "6")},
        "host/10": (What.WIRE, Fate.REMOVED, "host"),
        "host/11-far": (What.FAR_HALF, Fate.REMOVED, "host"), "donor/4-far": (What.FAR_HALF, Fate.REMOVED, "donor"),
        "donor/X8": (What.CONNECTOR, Fate.STORED, "donor"),
    }


def test_by_size_then_colour_then_the_longest_first_and_connectors_last():
    ids = list(stock_of(stocked()))
    assert ids == ["donor/9", "host/11-far", "donor/2", "donor/7", "donor/1", "host/10", "donor/4-far", "donor/21", "donor/3", "donor/8", "donor/5", "donor/6", "donor/X8"]


def test_a_length_is_the_one_as_found_and_a_far_half_is_less_its_stub():
    pieces = stock_of(stocked())
    # 1 m less 400 mm; 5 m less 4600 mm
    assert {id: pieces[id].length_mm for id in ("donor/1", "donor/4-far", "host/11-far", "donor/3")} == {"donor/1": 2000, "donor/4-far": 600, "host/11-far": 400, "donor/3": None}
    # 15 mm off each end that was in use; the end that a join cut is new
    assert {id: pieces[id].usable_mm for id in ("donor/1", "donor/4-far", "donor/3")} == {"donor/1": 1970, "donor/4-far": 585, "donor/3": None}


def test_a_stub_that_nobody_measured_counts_as_routed():
    loaded = merged(PLACES + "joins:\n  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, place: bulkhead}\n")
    # found 900 mm from motor to unit, with what is added at its ends; its stub leads some 600 mm from engine bay to bulkhead
    found, stub = loaded.merge.sources["donor"].geometry.lengths["260"].finished_mm, loaded.geometry.lengths["donor/260"].finished_mm
    assert found == 1000 and stub is not None and 550 < stub < 700
    assert stock_of(loaded)["donor/260-far"].length_mm == found - stub


TWO_JOINS = """joins:
  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, stubs: {donor/A1.L: 100 mm}}
  J2: {ends: [host/SP9, donor/X30.4], method: crimp splice, stubs: {donor/X30.4: 250 mm}}
"""


def test_a_wire_cut_at_both_ends_is_less_both_stubs():
    piece = stock_of(merged(PLACES + TWO_JOINS))["donor/260-far"]
    assert (piece.length_mm, piece.usable_mm) == (650, 650)     # 1 m less 100 and 250; both ends are new


def test_both_stubs_count_where_only_one_is_measured():
    loaded = merged(PLACES + TWO_JOINS.replace(", stubs: {donor/X30.4: 250 mm}", ""), donor=DONOR_260)
    other = loaded.geometry.lengths["donor/260-to"].finished_mm
    assert other is not None and other != 100
    assert stock_of(loaded)["donor/260-far"].length_mm == 9000 - 100 - other


DONOR_260 = """\
title: donor
colours: Japanese trade
wire-type: TXL
devices:
  A1: {title: alternator, place: motor, terminals: [L]}
connectors:
  E1: {title: control unit plug, place: unit, half: socket, face: [[1..4]], view: mating face}
  X30: {title: body plug, place: unit, half: socket, face: [[1..4]], view: mating face}
segments:
  S1: {from: motor, to: unit, length: 900 mm}
wires:
  260: {from: A1.L, to: X30.4, size: 0.5 mm2, colour: W-L, length: 9 m}
  261: {from: E1.1, to: X30.1, size: 0.5 mm2, colour: W-L}
"""


def test_of_a_wire_that_its_stub_uses_up_nothing_is_stock():
    used_up = MERGE.replace("donor/E1.4: 400 mm", "donor/E1.4: 1 m")
    assert "donor/4-far" not in stock_of(stocked(used_up)) and "host/11-far" in stock_of(stocked(used_up))


def test_a_terminal_comes_with_its_wire_unless_another_wire_is_in_it():
    pieces = stock_of(stocked())
    assert {id: pieces[id].terminal for id in ("donor/1", "donor/9", "donor/4-far", "host/10", "host/11-far")} == {
        "donor/1": ("pin 0.6 at E1.1", "pin 1.5 at X5.1"), "donor/9": ("pin 0.6 at E1.7",), "donor/4-far": ("pin 1.5 at X5.4",), "host/10": (), "host/11-far": ()}


def test_a_connector_is_set_aside_whole_where_all_its_wires_are_stored():
    whole = stock_of(stocked())["donor/X8"]
    assert whole.wires == ("donor/5", "donor/6") and whole.length_mm is None
    mixed = MERGE.replace("connector: donor/X8}", "connector: donor/X8}\n  - {fate: removed, wire: donor/6}")
    assert "donor/X8" not in stock_of(stocked(mixed)) and not stock_of(stocked(mixed))["donor/5"].held
    stays = MERGE.replace("{fate: stored, connector: donor/X8}", "{fate: stored, wire: donor/5}")
    assert "donor/X8" not in stock_of(stocked(stays))


def test_a_connector_of_a_device_that_stays_is_not_set_aside():
    stays = DONOR.replace("devices:\n", "devices:\n  P4: {title: tail lamps, connectors: [X8]}\n")
    text = MERGE.replace("{fate: stored, connector: donor/X8}", "{fate: kept, device: donor/P4}\n  - {fate: stored, wire: [donor/5, donor/6]}")
    loaded = stocked(text, donor=stays)
    assert "donor/X8" not in loaded.merge.gone
    assert "donor/X8" not in stock_of(loaded) and not stock_of(loaded)["donor/6"].held


def test_a_far_half_may_hang_on_a_connector_that_is_set_aside():
    text = MERGE.replace("{fate: stored, connector: donor/X8}", "{fate: stored, wire: donor/6}").replace("joins:\n", "joins:\n  J2: {ends: [host/X2.1, donor/R9.1], method: crimp splice, far: {donor/R9.1: stored}, stubs: {donor/R9.1: 200 mm}}\n")
    pieces = stock_of(stocked(text))
    assert pieces["donor/X8"].wires == ("donor/5-far", "donor/6")
    assert pieces["donor/5-far"].length_mm == 500 and pieces["donor/5-far"].held == "on connector donor/X8"


def test_what_is_known_of_a_piece_is_told():
    pieces = stock_of(stocked())
    assert pieces["donor/2"].note == "scraped at 300 mm" and pieces["donor/21"].note == "link inside a box"


# -------------------------------------------------------------------------------- the plan

def test_new_wires_alone_are_cut():
    assert [cut.row.wire for cut in plan_of(stocked()).cuts] == ["N6", "N4", "N7", "N1", "N3", "N2", "N5"]


def test_the_stock_gives_what_it_can():
    plan = plan_of(stocked())
    # 1200 + 750 of 1970 mm, 800 of 870: any other way one of them is bought. 1400 of 1470 mm, in another colour
    assert told(plan) == {"N1": "donor/1, 770", "N2": "donor/1, 20", "N3": "host/10, 70", "N4": "donor/2, 70"}
    assert dict(plan.left) == {"donor/1": 20, "host/10": 70, "donor/2": 70}
    assert plan.is_exact


def test_another_colour_is_said_and_the_same_comes_first():
    plan = plan_of(stocked())
    assert [cut.row.wire for cut in plan.cuts if cut.differs] == ["N4"]
    # a red piece and a longer blue one: the blue wire has the blue one, though the red one would do
    blue = DONOR.replace("  2: {", "  22: {from: unknown, to: X5.9, size: 0.5 mm2, colour: L, length: 4100 mm}\n  2: {")
    plan = plan_of(stocked(MERGE.replace("stored, wire: donor/2}", "stored, wire: [donor/2, donor/22]}"), donor=blue))
    assert told(plan)["N4"].startswith("donor/22") and not any(cut.differs for cut in plan.cuts if cut.row.wire == "N4")
    # and what the red ones cannot give comes off its rest
    assert told(plan)["N7"].startswith("donor/22") and next(cut for cut in plan.cuts if cut.row.wire == "N7").differs


def test_a_wire_of_any_colour_takes_what_there_is_and_differs_from_nothing():
    plan = plan_of(stocked(MERGE.replace("colour: BU, length: 1400 mm", "length: 1400 mm, colour: unknown")))
    assert told(plan)["N4"] == "donor/2, 70" and not any(cut.differs for cut in plan.cuts)


def test_nothing_is_cut_from_a_cable_or_off_a_connector_that_is_set_aside():
    plan = plan_of(stocked())
    # N7 would fit into a core of 3 m, N5 into the wire of 700 mm on X8
    assert {"N7", "N5"} <= {wire for line in plan.to_buy for wire in line.wires}
    removed = plan_of(stocked(MERGE.replace("stored, connector: donor/X8", "removed, connector: donor/X8")))
    assert told(removed)["N5"] == "donor/5, 370"


def test_another_size_does_not_do():
    thicker = plan_of(stocked(MERGE.replace("N2: {from: host/X1.4, to: donor/E1.2, size: 0.5 mm2", "N2: {from: host/X1.4, to: donor/E1.2, size: 0.75 mm2")))
    assert "N2" not in told(thicker)


def test_what_is_sensitive_to_heat_does_not_stand_in():
    hot = MERGE.replace("colour: RD, length: 800 mm}", "colour: RD, length: 800 mm, type: XLPE 125 C}")
    plan = plan_of(stocked(hot))
    # 800 mm for 125 degrees: of donor/1, not of the 870 mm of PVC, which takes the 750 for 85 degrees
    assert told(plan)["N3"].startswith("donor/1") and told(plan)["N2"].startswith("host/10")


@pytest.mark.parametrize("there, wanted, does", [
    ("TXL", "PVC 85 C", True), ("PVC 85 C", "TXL", False), ("PVC 85 C", "PVC 85 C", True), ("XLPE 125 C", "TXL", True), ("PVC", "PVC 85 C", False), ("PVC", "PVC", True), ("TXL", "PVC", False)])
def test_insulation_does_for_the_same_heat_or_less(there, wanted, does):
    assert stands(parse_wire_type(there), parse_wire_type(wanted)) is does


def test_insulation_that_is_not_known_does_not_do():
    assert not stands(None, parse_wire_type("PVC 85 C"))
    plan = plan_of(stocked(donor=DONOR.replace("wire-type: TXL\n", "")))
    assert set(told(plan)) == {"N3"}            # the host's wire alone has one


def test_to_buy_with_spare_by_the_spool():
    by_kind = {(line.spool.size, line.spool.type, line.spool.colour): line for line in plan_of(stocked()).to_buy}
    red = by_kind["0.5 mm²", "PVC 85 C", "RD"]
    # 2600 mm and a tenth: 2860, up to a full 0.1 m
    assert (red.wires, red.net_mm, red.buy_mm, red.spools) == (("N7",), 2600, 2900, 1)
    black = by_kind["0.5 mm²", "PVC 85 C", "BK"]
    assert (black.wires, black.net_mm, black.buy_mm, black.spools, black.without_length) == (("N6",), 0, 0, 0, ("N6",))


def test_spools_hold_the_wires_and_the_spare():
    eight = stocked(with_more(8, "size: 2 mm2, colour: RD, length: 600 mm"))
    line = next(line for line in plan_of(eight, 1000).to_buy if line.spool.size == "2 mm²")
    assert (line.net_mm, line.buy_mm, line.spools) == (4800, 5300, 8)           # one of 600 mm a spool
    line = next(line for line in plan_of(eight, 5000).to_buy if line.spool.size == "2 mm²")
    assert (line.net_mm, line.buy_mm, line.spools) == (4800, 5300, 2)           # the wires fit on one, not with the spare


def test_a_wire_longer_than_a_spool_is_told_and_not_lost():
    line = next(line for line in plan_of(stocked(), 2000).to_buy if line.wires == ("N7",))
    assert (line.too_long, line.net_mm, line.spools) == (("N7",), 0, 0)


def test_every_new_wire_is_cut_from_something_or_bought():
    plan = plan_of(stocked())
    assert sorted([*told(plan), *(wire for line in plan.to_buy for wire in line.wires)]) == ["N1", "N2", "N3", "N4", "N5", "N6", "N7"]


def test_a_wire_between_two_ends_at_one_place_has_no_length_to_plan():
    text = MERGE.replace("wire-type: PVC 85 C\n", "wire-type: PVC 85 C\nallowances: {end: 0 mm, splice: 0 mm}\n") + "  N8: {from: SN, to: SM, size: 0.5 mm2, colour: RD}\nsplices:\n  SN: {place: here, method: crimp splice}\n  SM: {place: here, method: crimp splice}\n"
    loaded = stocked(text)
    assert loaded.geometry.lengths["N8"].cut_mm == 0
    plan = plan_of(loaded)
    assert "N8" not in told(plan)
    assert [line.without_length for line in plan.to_buy if "N8" in line.wires] == [("N8",)]


def test_a_large_plan_says_that_it_is_not_proved():
    assert not plan_of(stocked(with_more(20, "size: 0.5 mm2, colour: RD, length: 100 mm"))).is_exact


def test_no_piece_gives_more_than_it_has():
    loaded = stocked(with_more(24, *(f"size: 0.5 mm2, colour: {colour}, length: {length} mm" for colour, length in (("RD", 150), ("BK", 210), ("BU", 95), ("RD", 330), ("BU", 410)))))
    plan, stock = plan_of(loaded), stock_of(loaded)
    used = {id: sum(cut.row.cut_mm for cut in plan.cuts if cut.piece and cut.piece.id == id) for id in plan.left}
    assert len(used) >= 4
    assert all(used[id] + left == stock[id].usable_mm for id, left in plan.left.items())


def test_without_anything_that_leaves_there_is_no_stock():
    loaded = stocked(MERGE.partition("fates:")[0] + "fates:\n  - {fate: kept, pattern: \"*\"}\n", host=HOST)
    assert stock_of(loaded) == {} and plan_of(loaded).cuts == ()
