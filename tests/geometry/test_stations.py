"""Where a splice sits and to which side its members leave."""

from __future__ import annotations

import pytest

from harnessdoc.geometry.measure import measure
from harnessdoc.geometry.stations import Member, StationOf
from helpers import harness_of

BUNDLE = """
    segments:
      T1: {from: P1, to: P2, length: 100 mm}
      T2: {from: P3, to: P2, length: 200 mm}
    connectors: {X1: {place: P1}, X2: {place: P2}, X3: {place: P3}}
    splices:
      S1: {WHERE}
    wires:
      a: {from: X1.1, to: S1, size: 1 mm2, diameter: 2 mm}
      b: {from: S1, to: X2.1, size: 0.5 mm2, diameter: 1.5 mm}
      c: {from: X3.1, to: S1, size: 0.5 mm2, diameter: 1.6 mm}
      d: {from: S1, to: WIDE}
"""


def station_of(where: str, d: str = "X3.2, size: 1 mm2, diameter: 2 mm") -> StationOf:
    return measure(harness_of(BUNDLE.replace("WHERE", where).replace("WIDE", d))).stations["S1"]


def test_a_splice_on_a_segment():
    assert station_of("at: 60 mm from P3 toward P2") == StationOf(
        "S1", "T2", 60, "P3", "P2", 60,
        (Member("a", "P2", "T2"), Member("b", "P2", "T2"), Member("c", "P3", "T2"), Member("d", "P3", "T2")), 3.0,
        # toward P2: 2 and 1.5 mm; toward P3: 1.6 and 2 mm
        3.6, 3.5,
    )


@pytest.mark.parametrize(("at", "words"), [
    ("60 mm from P3 toward P1", ("P3", "P2", 60)),
    ("140 mm from P2 toward P3", ("P2", "P3", 140)),      # stated from an end of its segment: as stated
    ("130 mm from P1 toward P3", ("P2", "P3", 30)),       # stated from farther away: from the nearer end
    ("250 mm from P1 toward P3", ("P3", "P2", 50)),
])
def test_it_is_taped_from_a_point_of_its_segment(at: str, words: tuple):
    station = station_of(f"at: {at}")
    assert (station.from_point, station.toward_point, station.distance_mm) == words


def test_a_splice_at_a_point_sends_its_members_into_segments():
    station = station_of("place: P2")
    assert (station.segment, station.offset_mm, station.from_point, station.toward_point, station.distance_mm) == (None, None, "P2", None, 0)
    # b stays at P2
    assert station.members == (Member("a", "P1", "T1"), Member("b", None, None), Member("c", "P3", "T2"), Member("d", "P3", "T2"))
    assert (station.largest_mm, station.smallest_mm, station.total_area_mm2) == (None, None, 3.0)


def test_what_is_unknown_of_a_member_is_unknown_of_the_splice():
    station = station_of("at: 60 mm from P3 toward P2", "unknown, size: unknown")
    assert station.members[3] == Member("d", None, None)
    assert (station.total_area_mm2, station.largest_mm, station.smallest_mm) == (None, None, None)
    more = station_of("at: 60 mm from P3 toward P2, members: [unknown]")
    assert (more.total_area_mm2, more.largest_mm) == (None, None)


def test_all_to_one_side():
    station = station_of("at: 0 mm from P1 toward P2").members
    assert [member.side for member in station] == [None, "P2", "P2", "P2"]
    text = BUNDLE.replace("WHERE", "place: P1").replace("WIDE", "X3.2, size: 1 mm2, diameter: 2 mm").replace("X1.1, to: S1", "S1, to: X2.2")
    found = measure(harness_of(text)).stations["S1"]
    assert found.largest_mm == found.smallest_mm == pytest.approx(1.2 * (2**2 + 1.5**2 + 1.6**2 + 2**2) ** 0.5)


def test_without_segments_it_is_where_it_was_stated():
    station = measure(harness_of("splices: {S1: {at: 120 mm from P3 toward P4}, S2: {}}\n")).stations
    assert (station["S1"].from_point, station["S1"].toward_point, station["S1"].distance_mm, station["S1"].segment) == ("P3", "P4", 120, None)
    assert (station["S2"].from_point, station["S2"].toward_point, station["S2"].distance_mm) == (None, None, None)
    assert station["S1"].members == ()
