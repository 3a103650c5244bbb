"""The plot of the volts along a path, read back from what is drawn and set against the solution."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from sheets.checks import assert_tidy
from sheets.read_plot import halves, read_rows, ticks, volts_at

from harnessdoc.drawing.page import PAPERS, TitleBlock, new_page
from harnessdoc.drawing.record import Drawing, Line
from harnessdoc.drawing.table import draw_table
from harnessdoc.judgement.drops import Drop, drops
from harnessdoc.operation.operate import Operation
from harnessdoc.sheets.tables import lay_table
from harnessdoc.sheets.volts_plot import APART, SIDE, limits_v, path_table, scale_of
from harnessdoc.steps import load

LINNET = Path(__file__).parent.parent.parent / "examples" / "linnet" / "linnet.yaml"
ENDS = re.compile(r".*, (\S+) to (\S+)$")


@pytest.fixture(scope="module")
def linnet() -> Operation:
    operation = load(LINNET).operation
    assert operation is not None
    return operation


def drawn(operation: Operation, drop: Drop, paper: str) -> Drawing:
    tall = replace(PAPERS[paper], height_mm=500.0)                # a path of any length in one piece
    pen, area = new_page(tall, TitleBlock("", "", ""))
    draw_table(pen, area.x, area.y, lay_table(path_table(operation, drop, "load", ("path",), area.w)))
    return pen.drawing()


def with_path(operation: Operation) -> list[Drop]:
    return [drop for drop in drops(operation) if drop.path is not None]


@pytest.mark.parametrize("paper", ["a4", "a5"])
def test_the_plot_says_the_volts_of_the_solution(linnet: Operation, paper: str) -> None:
    """Wires and contacts name the points between which they lie: their volts are looked up in the solution by address."""
    of, seen = linnet.wiring.nodes.of, 0
    for drop in with_path(linnet):
        volts = linnet.solved[drop.state].solution.voltages
        page = drawn(linnet, drop, paper)
        (x1, v1), (x2, v2) = ticks(page)[-2:]
        pencil_v = 0.02 * (v2 - v1) / (x2 - x1)           # what 0.02 mm of paper is
        for text, above, below in read_rows(page):
            if (ends := ENDS.fullmatch(text)) is None or ends[1] not in of or ends[2] not in of:
                continue
            assert above == pytest.approx(volts[of[ends[1]]], abs=pencil_v), (drop.load, text)
            assert below == pytest.approx(volts[of[ends[2]]], abs=pencil_v), (drop.load, text)
            seen += 1
    assert seen > 80


def test_every_row_begins_where_the_one_above_ended(linnet: Operation) -> None:
    for drop in with_path(linnet):
        rows = read_rows(drawn(linnet, drop, "a4"))
        assert len(rows) == len(drop.path.steps), drop.load
        for (_, _, below), (_, above, _) in zip(rows, rows[1:], strict=False):
            assert above == pytest.approx(below, abs=1e-6)


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_nothing_lies_over_anything(linnet: Operation, paper: str) -> None:
    for drop in with_path(linnet):
        assert_tidy(drawn(linnet, drop, paper))


def test_the_line_crosses_a_limit_exactly_where_the_verdict_says_no(linnet: Operation) -> None:
    """The limit of the way back is a dashed line; the line of the path begins beyond it where the drop of the return is too much."""
    judged = 0
    for drop in with_path(linnet):
        verdict = next((verdict for verdict in drop.verdicts if verdict.about == "return"), None)
        _, back_v = limits_v(linnet, drop)
        if verdict is None or back_v is None:
            continue
        assert (drop.path.across.to_v <= back_v) is verdict.holds, drop.load
        page = drawn(linnet, drop, "a4")
        dashed = {mark.x1 for mark in page.marks if isinstance(mark, Line) and mark.dash == (2.0, 1.0)}
        load = next(row for row in read_rows(page) if row[2] == pytest.approx(drop.path.across.to_v, abs=0.005) and row[1] > 1)
        limits = sorted(volts_at(x, ticks(page), halves(page)) for x in dashed)
        assert limits[0] == pytest.approx(back_v, abs=0.002)
        assert (load[2] <= limits[0]) is verdict.holds
        judged += 1
    assert judged >= 3


def test_any_volts_have_an_axis() -> None:
    """Ticks are APART or farther, the line stays between the ends, way back and way out do not meet."""
    random = Random(7)
    for _ in range(2000):
        high = random.choice((5.0, 12.6, 14.2, 28.0))
        lost = high * random.choice((1e-6, 1e-3, 0.05, 0.5)) * random.random()
        back = [random.uniform(-0.2, 0.5) * random.choice((0, 0.001, 1)) for _ in range(3)]
        for width in (44.0, 64.0):
            scale = scale_of([high, high - lost], back, width)
            assert scale.step_v * scale.mm_a_volt >= APART - 1e-6
            assert len(list(scale.ticks(scale.feed))) >= 2 and list(scale.ticks(scale.back))
            for volts, half in ((high, scale.feed), (high - lost, scale.feed), *((one, scale.back) for one in back)):
                assert half.low - 1e-9 <= volts <= half.high + 1e-9
            assert scale.at(scale.back.low, scale.back) == pytest.approx(SIDE)
            assert scale.at(scale.feed.high, scale.feed) == pytest.approx(width - SIDE)
            assert scale.at(scale.back.high, scale.back) < scale.feed.left
