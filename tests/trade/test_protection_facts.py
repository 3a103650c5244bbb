"""Opening times, standard ratings, the handbook's fuse for a wire, fusible links."""

from __future__ import annotations

import pytest

from harnessdoc.trade.fuse_gates import gates, opens_within
from harnessdoc.trade.fuses import fuse_types, standard_ratings
from harnessdoc.trade.fusible_links import area_ratio, link_for, link_rule, protects
from harnessdoc.trade.size_rows import row_size
from harnessdoc.trade.wire_fuses import handbook_fuse_a


@pytest.mark.parametrize("fuse_type, share, seconds, mark", [
    ("blade", 1.35, 600, "READ"), ("mini", 1.6, 50, "READ"), ("low-profile", 1.99, 50, "READ"), ("blade", 2.0, 5, "READ"), ("blade", 3.4, 5, "READ"),
    ("blade", 3.5, 0.5, "READ"), ("blade", 6.0, 0.1, "READ"), ("blade", 100.0, 0.1, "READ"),
    ("maxi", 1.35, 1800, "READ"), ("maxi", 1.6, 1800, "READ"), ("maxi", 2.0, 60, "READ"), ("maxi", 3.5, 7, "MEMORY"), ("maxi", 6.0, 1, "READ")])
def test_a_fuse_opens_no_later_than_at_the_gate_below(fuse_type, share, seconds, mark):
    fact = opens_within(fuse_type, share)
    assert (fact.value, fact.unit, fact.mark) == (seconds, "s", mark)


@pytest.mark.parametrize("fuse_type, share", [("blade", 0.9), ("blade", 1.1), ("blade", 1.34), ("maxi", 1.2),
                                               ("midi", 6.0), ("mega", 6.0), ("cartridge", 6.0), ("torpedo", 6.0), ("", 6.0)])
def test_where_no_gate_says_so_there_is_no_time(fuse_type, share):
    assert opens_within(fuse_type, share) is None


def test_a_share_that_is_a_quotient_reaches_its_gate():
    assert 4.05 / 3 < 1.35          # by a hair, in floating point
    assert opens_within("blade", 4.05 / 3).value == 600


@pytest.mark.parametrize("fuse_type", ["blade", "maxi"])
def test_gates_close_in(fuse_type):
    found = gates(fuse_type)
    assert list(found) == sorted(found) and found[1.1].max_s is None
    shortest = [gate.min_s.value for gate in found.values()]
    longest = [gate.max_s.value for gate in found.values() if gate.max_s]
    assert shortest == sorted(shortest, reverse=True) and longest == sorted(longest, reverse=True)
    assert all(gate.min_s.value < gate.max_s.value for gate in found.values() if gate.max_s)


def test_only_bodies_with_gates_have_them():
    assert [kind for kind in fuse_types() if gates(kind)] == ["blade", "mini", "low-profile", "maxi"]


def test_standard_ratings():
    assert standard_ratings("blade") == (1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40)
    assert standard_ratings("maxi") == (20, 30, 40, 50, 60, 70, 80, 100, 120)
    assert standard_ratings("of some kind") == ()


@pytest.mark.parametrize("size, fuse_a, origin", [
    (row_size("AWG", "16"), 10, "FAA AC 43.13-1B table 11-3, row of 16 AWG"),
    (row_size("mm2", "1.5"), 10, "FAA AC 43.13-1B table 11-3, 1.5 mm² takes the row of 16 AWG, 1.23 mm²"),
    (row_size("SAE", "16"), 10, "FAA AC 43.13-1B table 11-3, SAE 16, 1.18 mm², takes the row of 18 AWG, 0.96 mm²"),
    (row_size("mm2", "0.75"), 5, "FAA AC 43.13-1B table 11-3, 0.75 mm² takes the row of 20 AWG, 0.62 mm²"),
    (row_size("AWG", "4/0"), 150, "FAA AC 43.13-1B table 11-3, 4/0 AWG, 107.22 mm², takes the row of 1/0 AWG, 52.95 mm²"),
])
def test_the_handbooks_fuse(size, fuse_a, origin):
    fact = handbook_fuse_a(size)
    assert (fact.value, fact.unit, fact.origin, fact.mark) == (fuse_a, "A", origin, "READ")


def test_the_handbook_has_no_fuse_for_thinner_wires():
    assert handbook_fuse_a(row_size("AWG", "24")) is None
    assert handbook_fuse_a(row_size("mm2", "0.35")) is None


def test_a_link_is_four_numbers_thinner_whatever_its_copper():
    assert link_rule().value == 4
    # SAE 14 has less copper than 14 AWG; the number decides, as the trade counts.
    assert protects(row_size("AWG", "18"), row_size("SAE", "14")) and protects(row_size("SAE", "18"), row_size("AWG", "14"))
    assert not protects(row_size("AWG", "18"), row_size("AWG", "15"))
    assert protects(row_size("AWG", "4"), row_size("AWG", "1/0")) and not protects(row_size("AWG", "3"), row_size("AWG", "1/0"))


def test_a_metric_link_or_wire_counts_copper():
    assert area_ratio() == pytest.approx(row_size("AWG", "14").area_mm2 / row_size("AWG", "18").area_mm2)
    assert protects(row_size("mm2", "1"), row_size("mm2", "2.53")) and not protects(row_size("mm2", "1"), row_size("mm2", "2.5"))
    assert protects(row_size("AWG", "18"), row_size("mm2", "2.5")) and not protects(row_size("AWG", "18"), row_size("mm2", "2"))


@pytest.mark.parametrize("wire, link", [
    (row_size("AWG", "14"), row_size("AWG", "18")), (row_size("SAE", "14"), row_size("SAE", "18")), (row_size("AWG", "2/0"), row_size("AWG", "3")),
    (row_size("SAE", "1"), row_size("SAE", "6")), (row_size("mm2", "2.5"), row_size("AWG", "18")), (row_size("mm2", "6"), row_size("AWG", "14")),
    (row_size("SAE", "20"), None), (row_size("AWG", "33"), None)])
def test_the_thickest_link_for_a_wire(wire, link):
    assert link_for(wire) == link
