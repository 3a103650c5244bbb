"""Blocks pressed onto a page keep their order and their distance, stay in their room, and are where lines would be straight."""

from __future__ import annotations

import random

import pytest

from harnessdoc.overview.blocks import Block, Link, Overview
from harnessdoc.overview.dot import Places
from harnessdoc.overview.press import APART, GAP, _ordered, crossings, in_turn, pressed

SIZE = (30.0, 10.0)


def overview_of(links: list[tuple[str, str]]) -> Overview:
    ids = list(dict.fromkeys(end for link in links for end in link))
    return Overview({id: Block(id, "device", (id,)) for id in ids}, tuple(Link(a, b, ("1",)) for a, b in links))


def stacked(overview: Overview, columns: dict[str, int]) -> Places:
    return in_turn(overview, dict.fromkeys(overview.blocks, SIZE), columns)


@pytest.mark.outside("scipy.optimize.isotonic_regression: the nearest values in order")
def test_places_in_order_are_the_nearest_to_those_wanted():
    from scipy.optimize import isotonic_regression

    chance = random.Random(5)
    for _ in range(200):
        count = chance.randint(1, 12)
        wanted, weights = [chance.uniform(0, 100) for _ in range(count)], [chance.uniform(0.3, 4) for _ in range(count)]
        steps = [chance.uniform(1, 6) for _ in range(count - 1)]
        shift = [sum(steps[:number]) for number in range(count)]
        best = isotonic_regression([one - by for one, by in zip(wanted, shift, strict=True)], weights=weights).x
        assert _ordered(wanted, weights, steps, -1000.0, 1000.0) == pytest.approx([one + by for one, by in zip(best, shift, strict=True)])
        held = _ordered(wanted, weights, steps, 5.0, 5.0 + shift[-1] + 20.0)
        assert held == pytest.approx([min(max(one, 5.0), 25.0) + by for one, by in zip(best, shift, strict=True)])


def test_blocks_keep_apart_and_in_their_room():
    chance = random.Random(7)
    seen = 0
    for _ in range(60):
        names = [f"n{number}" for number in range(chance.randint(2, 14))]
        links = list({tuple(sorted(chance.sample(names, 2))): None for _ in range(chance.randint(1, 24))})
        overview = overview_of(links)
        columns = {id: chance.randrange(4) for id in overview.blocks}
        sizes = {id: (chance.uniform(12, 30), chance.uniform(6, 20)) for id in overview.blocks}
        places = pressed(overview, stacked(overview, columns), sizes, columns, (180.0, 120.0))
        if places is None:
            continue
        seen += 1
        boxes = {id: (x, y, x + places.sizes[id][0], y + places.sizes[id][1]) for id, (x, y) in places.blocks.items()}
        assert all(-1e-6 <= left and -1e-6 <= top and right <= 180.0 + 1e-6 and bottom <= 120.0 + 1e-6 for left, top, right, bottom in boxes.values())
        assert all(places.sizes[id][0] >= sizes[id][0] and places.sizes[id][1] >= sizes[id][1] for id in sizes)
        for a in boxes:
            for b in boxes:
                if a < b and columns[a] == columns[b]:
                    assert boxes[a][1] - boxes[b][3] >= APART - 1e-6 or boxes[b][1] - boxes[a][3] >= APART - 1e-6
                elif a < b:
                    assert boxes[a][0] - boxes[b][2] >= GAP - 1e-6 or boxes[b][0] - boxes[a][2] >= GAP - 1e-6
        ends = [point for line in places.lines for point in (line[0], line[-1])]
        assert all(abs(ax - bx) + abs(ay - by) > 1.5 for number, (ax, ay) in enumerate(ends) for bx, by in ends[:number]), "two lines leave a block at one place"
    assert seen > 20


def test_what_is_tied_alone_is_tied_straight():
    overview = overview_of([("a", "b"), ("c", "d")])
    columns = {"a": 0, "b": 1, "c": 0, "d": 1}
    places = pressed(overview, stacked(overview, columns), dict.fromkeys("abcd", SIZE), columns, (100.0, 60.0))
    assert all(abs(line[0][1] - line[-1][1]) < 1e-6 for line in places.lines) and not crossings(places)


def test_what_does_not_go_in_is_told():
    overview = overview_of([("a", "b"), ("b", "c")])
    columns = dict.fromkeys("abc", 0)
    assert pressed(overview, stacked(overview, columns), dict.fromkeys("abc", SIZE), columns, (100.0, 35.0)) is None
    assert pressed(overview, stacked(overview, columns), dict.fromkeys("abc", SIZE), columns, (31.0, 100.0)) is None
    assert pressed(overview, stacked(overview, columns), dict.fromkeys("abc", SIZE), columns, (60.0, 36.0)) is not None


def test_crossings_are_counted():
    lines = (((0, 0), (10, 10)), ((0, 10), (10, 0)), ((0, 20), (5, 20), (10, 30)))
    assert crossings(Places((10, 30), {}, lines, {})) == 1
