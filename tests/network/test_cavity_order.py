"""Cavities counted up, and in few words."""

from __future__ import annotations

import pytest

from harnessdoc.network.cavity_order import counted, ranges


@pytest.mark.parametrize(("cavities", "in_order"), [
    (["10", "2", "1"], ["1", "2", "10"]),
    (["B1", "A10", "A2"], ["A2", "A10", "B1"]),
    (["B+", "30", "case"], ["30", "B+", "case"]),
    (["1", "01", "1a"], ["01", "1", "1a"]),
])
def test_counted_up(cavities: list[str], in_order: list[str]) -> None:
    assert sorted(cavities, key=counted) == in_order


@pytest.mark.parametrize(("cavities", "words"), [
    ([], ""),
    (["5"], "5"),
    (["5", "9", "10", "11", "12"], "5, 9..12"),
    (["9", "10"], "9, 10"),
    (["A1", "A2", "A3", "B1"], "A1..A3, B1"),
    (["01", "02", "03"], "01, 02, 03"),
    (["L", "N"], "L, N"),
])
def test_ranges(cavities: list[str], words: str) -> None:
    assert ranges(cavities) == words


def test_a_number_of_a_thousand_digits_is_a_name() -> None:
    assert sorted(["9" * 5000, "1"], key=counted) == ["1", "9" * 5000]
    assert ranges(["9" * 5000, "1"]) == "9" * 5000 + ", 1"
