"""How good the circuit diagrams are, counted from their marks; beside them what Graphviz's dot makes of the same graphs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from harnessdoc.diagram import place as placing
from harnessdoc.diagram.frame import Frame
from harnessdoc.diagram.graph import End, Graph, Node, Port, Wire
from harnessdoc.diagram.order import electric_groups, first_rows
from harnessdoc.diagram.sorter import Rows
from harnessdoc.steps import load

from .circuit_sheets import Page, counted, draw
from .dot_reference import Figures, by_dot, figures

ONE_PAGE = Path(__file__).parent / "one_page_harness.yaml"
WIRES = 46


@dataclass(frozen=True, slots=True)
class Judged:
    pages: list[Page]
    figures: list[Figures]

    @property
    def is_good(self) -> bool:
        """What a trial of the method reached for this harness."""
        if len(self.pages) != 1:
            return False
        page = self.figures[0]
        return page.crossings <= 4 and page.bends <= 0.65 * WIRES and WIRES - (page.wires - page.straight) >= 0.70 * WIRES


def one_page() -> Judged:
    pages = draw(load(ONE_PAGE))
    return Judged(pages, [counted(page.drawing) for page in pages])


def test_the_one_page_harness_takes_one_good_page():
    judged = one_page()
    assert judged.is_good, [(page.sheet, found.row()) for page, found in zip(judged.pages, judged.figures, strict=True)]


def unordered(frame: Frame, starts: int) -> list[tuple[float, Rows]]:
    """The order step off: things stand as the description lists them."""
    return [(0.0, Rows(tuple(map(tuple, first_rows(frame, electric_groups(frame)))), (False,) * frame.items))]


def test_without_the_order_step_it_does_not(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(placing, "orders", unordered)
    monkeypatch.setattr(placing.Maker, "_mirrored", lambda self, rows: rows)
    assert not one_page().is_good


# ------------------------------------------------------------------------ the dot reference

def two_by_two() -> Graph:
    """Two upper boxes with two ports, two lower ones, each joined to each: one crossing is the least that can be drawn."""
    nodes = {name: Node(name, "box", (Port("a", side, 5.0), Port("b", side, 15.0)), 20.0, 6.0) for name, side in (("U", "bottom"), ("V", "bottom"), ("P", "top"), ("Q", "top"))}
    ends = (("U", "a", "P", "a"), ("U", "b", "Q", "a"), ("V", "a", "P", "b"), ("V", "b", "Q", "b"))
    return Graph(nodes, {f"w{number}": Wire(f"w{number}", End(a, b), End(c, d)) for number, (a, b, c, d) in enumerate(ends)})


@pytest.mark.outside("Graphviz (dot), carried by pygraphviz", needs=("pygraphviz",))
def test_dot_draws_two_by_two_with_the_one_crossing_it_needs():
    found = by_dot(two_by_two())
    assert (found.wires, found.crossings) == (4, 1)


def test_the_figures_of_drawn_lines_are_counted():
    assert figures([[(0, 0), (0, 10), (0, 20)], [(5, 0), (5, 8), (-5, 12), (-5, 20)]]) == Figures(2, 1, 2, 1)
    assert figures([[(0, 0), (10, 10)], [(20, 0), (30, 10)]]) == Figures(2, 0, 4, 0)
