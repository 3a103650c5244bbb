"""Cutting pieces from stock and spools, against an independent optimiser and by hand."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from math import ceil

import pytest

from harnessdoc.geometry.cutting import EXACT_PIECES, Cuts, plan_cuts

Told = tuple[int, int, int]
"""What a plan is judged by: mm left uncut, spools begun, mm off spools."""


def told(cuts: Cuts, pieces: Sequence[int]) -> Told:
    return sum(pieces[piece] for piece in cuts.too_long), len(cuts.spools), sum(pieces[piece] for spool in cuts.spools for piece in spool)


def assert_can_be_cut(cuts: Cuts, pieces: Sequence[int], stock: Sequence[int], spool_mm: int | None, kerf_mm: int = 0) -> None:
    """Every piece once, and no bar gives more than it has; a cut lies between two pieces, and before what is left."""
    bars = [*zip(cuts.from_stock, stock, strict=True), *((spool, spool_mm) for spool in cuts.spools)]
    assert sorted([piece for bar, _ in bars for piece in bar] + list(cuts.too_long)) == list(range(len(pieces)))
    for (bar, mm), left in zip(bars, cuts.leftovers, strict=True):
        used = sum(pieces[piece] for piece in bar)
        assert used + kerf_mm * max(len(bar) - 1, 0) <= mm
        assert left == max(mm - used - kerf_mm * len(bar), 0)
    assert all(cuts.spools)


def small_case(seed: int, most: int = EXACT_PIECES) -> tuple[list[int], list[int], int, int]:
    """Pieces, stock, spool and kerf in which stock, spools and pieces that are too long all occur."""
    chance = random.Random(seed)
    pieces = [chance.randint(20, 320) * 10 for _ in range(chance.randint(1, most))]
    stock = [chance.randint(20, 350) * 10 for _ in range(chance.randint(0, 5))]
    return pieces, stock, chance.choice([2500, 3000, 5000]), chance.choice([0, 0, 5])


def best_by_milp(pieces: Sequence[int], stock: Sequence[int], spool_mm: int, kerf_mm: int) -> Told:
    """The same three aims, one after another, as an integer programme: a variable for each piece in each bar, and one for each spool begun."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    count, bars = len(pieces), [*stock, *[spool_mm] * len(pieces)]
    spools = range(len(stock), len(bars))
    columns = count * len(bars) + count
    begun = {bar: count * len(bars) + bar - len(stock) for bar in spools}
    rows, low, high = [], [], []

    def row(entries: dict[int, float], least: float, most: float) -> None:
        line = np.zeros(columns)
        for column, value in entries.items():
            line[column] = value
        rows.append(line)
        low.append(least)
        high.append(most)

    for piece in range(count):
        row({piece * len(bars) + bar: 1 for bar in range(len(bars))}, 0, 1)
    for bar, mm in enumerate(bars):
        entries = {piece * len(bars) + bar: float(pieces[piece] + kerf_mm) for piece in range(count)}
        if bar in begun:
            row({**entries, begun[bar]: -float(mm + kerf_mm)}, -np.inf, 0)
        else:
            row(entries, -np.inf, mm + kerf_mm)
    for first, second in zip(begun.values(), list(begun.values())[1:], strict=False):
        row({first: -1, second: 1}, -np.inf, 0)         # alike bars are begun in order: keeps the search short

    cut_mm, of_spools = np.zeros(columns), np.zeros(columns)
    for piece in range(count):
        for bar in range(len(bars)):
            cut_mm[piece * len(bars) + bar] = pieces[piece]
            of_spools[piece * len(bars) + bar] = pieces[piece] if bar in begun else 0
    number = np.zeros(columns)
    number[list(begun.values())] = 1

    def least(aim: np.ndarray) -> int:
        solved = milp(aim, constraints=LinearConstraint(np.array(rows), low, high), integrality=np.ones(columns), bounds=Bounds(0, 1), options={"mip_rel_gap": 0.0})
        assert solved.status == 0
        value = round(solved.fun)
        row({column: entry for column, entry in enumerate(aim) if entry}, value - 0.5, value + 0.5)
        return value

    uncut = sum(pieces) + least(-cut_mm)
    return uncut, least(number), least(of_spools)


def best_by_trying(pieces: Sequence[int], stock: Sequence[int], spool_mm: int, kerf_mm: int) -> Told:
    """Every way to put the pieces into bars, tried."""
    def ways(piece: int, rooms: tuple[int, ...], spools: int, uncut: int, off: int) -> Iterator[Told]:
        if piece == len(pieces):
            yield uncut, spools, off
            return
        takes = pieces[piece] + kerf_mm
        for bar, room in enumerate(rooms):
            if takes <= room:
                yield from ways(piece + 1, (*rooms[:bar], room - takes, *rooms[bar + 1:]), spools, uncut, off + (pieces[piece] if bar >= len(stock) else 0))
        if pieces[piece] <= spool_mm:
            yield from ways(piece + 1, (*rooms, spool_mm - pieces[piece]), spools + 1, uncut, off + pieces[piece])
        yield from ways(piece + 1, rooms, spools, uncut + pieces[piece], off)

    return min(ways(0, tuple(mm + kerf_mm for mm in stock), 0, 0, 0))


@pytest.mark.outside("scipy's integer programme (HiGHS): 100 small cutting problems, each solved for its optimum")
def test_equal_to_the_optimum_of_an_integer_programme():
    differ = []
    for seed in range(100):
        case = small_case(seed)
        cuts = plan_cuts(*case)
        assert_can_be_cut(cuts, *case)
        assert cuts.is_exact
        if told(cuts, case[0]) != (best := best_by_milp(*case)):
            differ.append((seed, told(cuts, case[0]), best))
    assert differ == []


def test_equal_to_every_way_tried():
    for seed in range(1000, 1100):
        case = small_case(seed, most=6)
        cuts = plan_cuts(*case)
        assert_can_be_cut(cuts, *case)
        assert told(cuts, case[0]) == best_by_trying(*case), seed


def test_the_cases_are_no_trifles():
    """In some of them longest-first is not the best, in some a piece is too long, in some the stock does all."""
    cases = [small_case(seed) for seed in range(100)]
    plans = [(plan_cuts(*case), case) for case in cases]
    assert sum(told(cuts, case[0]) != longest_first(*case) for cuts, case in plans) >= 10
    assert sum(bool(cuts.too_long) for cuts, _ in plans) >= 5
    assert sum(not cuts.spools and not cuts.too_long for cuts, _ in plans) >= 5
    assert sum(any(cuts.from_stock) and bool(cuts.spools) for cuts, _ in plans) >= 30


def longest_first(pieces: Sequence[int], stock: Sequence[int], spool_mm: int, kerf_mm: int) -> Told:
    """The plan of a larger set, asked of the same pieces: with as many of 1 mm more as make it large, and a stock length for each, which nothing else fits in."""
    more = EXACT_PIECES + 1 - len(pieces)
    cuts = plan_cuts([*pieces, *[1] * more], [*stock, *[1] * more], spool_mm, kerf_mm)
    assert not cuts.is_exact
    own = [tuple(piece for piece in spool if piece < len(pieces)) for spool in cuts.spools]
    return sum(pieces[piece] for piece in cuts.too_long if piece < len(pieces)), len([spool for spool in own if spool]), sum(pieces[piece] for spool in own for piece in spool)


@pytest.mark.parametrize("seed", range(5))
def test_four_hundred_pieces_from_spools(seed):
    """At most 1.03 times the lower bound, and one spool more; the bound: all pieces end to end."""
    chance = random.Random(seed)
    pieces = [chance.randint(100, 3000) for _ in range(400)]
    cuts = plan_cuts(pieces, [], 5000)
    assert_can_be_cut(cuts, pieces, [], 5000)
    assert not cuts.is_exact
    least = ceil(sum(pieces) / 5000)
    assert len(cuts.spools) <= 1.03 * least + 1
    assert in_file_order(pieces, 5000) > 1.03 * least + 1
    # measured, and closer than asked: what is cut in the order of the file, each piece from the first spool that holds it, misses this
    assert len(cuts.spools) <= least + 1


def in_file_order(pieces: Sequence[int], spool_mm: int) -> int:
    """Spools begun where each piece is cut in its turn from the spool in hand."""
    spools, left = 0, 0
    for mm in pieces:
        if mm > left:
            spools, left = spools + 1, spool_mm
        left -= mm
    return spools


def test_a_plan_by_hand():
    # 1000 from the 1200, 2000 from the 2500, 900 from the 950: only 1500 is bought, less than the 2000 that 1500 + 1000 from the 2500 would leave
    cuts = plan_cuts([1500, 2000, 900, 1000], [1200, 2500, 950], 5000)
    assert cuts == Cuts(((3,), (1,), (2,)), ((0,),), (200, 500, 50, 3500), (), True)


def test_what_one_length_gives_comes_from_the_shortest_that_can():
    assert plan_cuts([900], [3000, 1200, 800], 5000).from_stock == ((), (0,), ())


def test_longest_first_would_buy_more_than_is_needed():
    # the 600 into the 1000 leaves room for none; 500 + 500 fill it, and the 600 fits the other
    assert plan_cuts([600, 500, 500], [1000, 650], 5000).spools == ()


def test_what_only_the_stock_can_give_comes_from_it():
    # a piece longer than a spool has the stock length, though the shorter ones would fill it better
    cuts = plan_cuts([3200, 1700, 1700], [3400], 3000)
    assert cuts.from_stock == ((0,),) and cuts.spools == ((1,), (2,)) and cuts.too_long == ()


def test_a_large_set_takes_the_shortest_remainder_that_holds_a_piece():
    pieces = [900, *[2000] * EXACT_PIECES]
    cuts = plan_cuts(pieces, [1500, 950, 1000], 5000)
    assert cuts.from_stock == ((), (0,), ()) and not cuts.is_exact
    assert_can_be_cut(cuts, pieces, [1500, 950, 1000], 5000)


def test_a_large_set_loses_a_kerf_between_two_pieces_and_not_behind_the_last():
    pieces = [1000] * 21
    for spool_mm, spools in ((2003, 10), (2002, 20)):
        cuts = plan_cuts(pieces, [1000], spool_mm, 3)
        assert_can_be_cut(cuts, pieces, [1000], spool_mm, 3)
        assert cuts.from_stock == ((0,),) and len(cuts.spools) == spools


@pytest.mark.parametrize("more", [0, 20])
def test_what_nothing_can_give_is_said_and_not_lost(more):
    pieces = [6000, 800, 7000, *[100] * more]
    cuts = plan_cuts(pieces, [6500], 5000)
    assert cuts.too_long == (2,) and cuts.from_stock[0][0] == 0
    assert_can_be_cut(cuts, pieces, [6500], 5000)


@pytest.mark.parametrize("more", [0, 20])
def test_without_spools_the_stock_gives_what_it_can(more):
    cuts = plan_cuts([700, 800, *[5000] * more], [1000], None)
    assert cuts.from_stock == ((1,),) and cuts.spools == () and cuts.too_long == (0, *range(2, 2 + more)) and cuts.leftovers == (200,)


def test_a_kerf_lies_between_two_pieces_and_not_behind_the_last():
    assert plan_cuts([500, 500], [1003], 5000, 3).from_stock == ((0, 1),)
    assert plan_cuts([500, 500], [1002], 5000, 3).from_stock != ((0, 1),)
    assert plan_cuts([1000], [1000], 5000, 3).leftovers == (0,)


@pytest.mark.parametrize("count", [12, 60])
def test_the_same_plan_every_time(count):
    chance = random.Random(7)
    pieces, stock = [chance.randint(100, 3000) for _ in range(count)], [chance.randint(100, 3000) for _ in range(count // 3)]
    assert plan_cuts(pieces, stock, 5000) == plan_cuts(tuple(pieces), list(stock), 5000)


def test_nothing_to_cut():
    assert plan_cuts([], [700], 5000) == Cuts(((),), (), (700,), (), True)


@pytest.mark.parametrize("pieces, stock, spool_mm, kerf_mm", [([0], [], 5000, 0), ([10], [-1], 5000, 0), ([10], [], 0, 0), ([10], [], 5000, -1)])
def test_a_length_of_nothing_is_refused(pieces, stock, spool_mm, kerf_mm):
    with pytest.raises(ValueError, match="longer than 0 mm"):
        plan_cuts(pieces, stock, spool_mm, kerf_mm)
