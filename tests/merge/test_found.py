"""What of a merge is cut and bought: only what it adds."""

from __future__ import annotations

from merge.vehicles import DONOR, PLACES, merged

from harnessdoc.geometry.cut_list import cut_list
from harnessdoc.geometry.parts_list import parts_list
from harnessdoc.merge.found import found_in

MERGE = PLACES + """\
joins:
  J1: {ends: [host/X7.2, donor/A1.L], method: crimp splice, place: bulkhead}
  J2: {ends: [host/X1.50, donor/E1.2], piece: {size: 1 mm2, colour: BU, type: XLPE 125 C}}
"""
WITH_TERMINALS = DONOR.replace("face: [[1..4]], view: mating face}\n  X30", "face: [[1..4]], view: mating face, terminal: receptacle 1.5}\n  X30")


def test_the_cut_list_has_only_what_is_added():
    loaded = merged(MERGE)
    is_there = found_in(loaded.merge, loaded.harness)
    rows = [row.wire for spool in cut_list(loaded.harness, loaded.geometry, is_there=is_there).spools for row in spool.rows]
    assert rows == ["J2"]
    every = [row.wire for spool in cut_list(loaded.harness, loaded.geometry).spools for row in spool.rows]
    assert set(every) == {wire for wire, length in loaded.geometry.lengths.items() if not length.zero}


def test_a_terminal_is_bought_where_a_new_wire_ends_and_not_where_the_old_one_does():
    loaded = merged(MERGE, donor=WITH_TERMINALS)
    lines = {line.part: line.where for line in parts_list(loaded.harness, loaded.geometry, is_there=found_in(loaded.merge, loaded.harness)) if line.kind == "terminal"}
    assert "receptacle 1.5" not in lines            # E1.1 and E1.2 keep theirs
    every = {line.part: line.where for line in parts_list(loaded.harness, loaded.geometry) if line.kind == "terminal"}
    assert every["receptacle 1.5"] == ("donor/E1.1", "donor/E1.2")


def test_what_is_there():
    loaded = merged(MERGE)
    is_there = found_in(loaded.merge, loaded.harness)
    assert [name for name in ("host/11", "J2", "host/X1.15", "host/X1.50", "host/SP9", "M1", "host/T1", "J1") if is_there(name)] == ["host/11", "host/X1.15", "host/SP9", "host/T1"]


def test_a_splice_that_takes_a_wire_of_the_other_vehicle_is_made_anew():
    loaded = merged("joins:\n  J2: {ends: [host/SP9, donor/E1.1]}\n")
    assert not found_in(loaded.merge, loaded.harness)("host/SP9")
