"""The overview as a graph in the DOT language, and where Graphviz places its blocks.

``dot_text`` writes the graph with the graphviz package: sizes are fixed in inches, so no font of the machine
counts. ``place`` gives it to the engine inside the pygraphviz wheel, one version, never to a program on the
path: nothing a user installs may change a picture. Lengths in mm, y downward.
"""

from __future__ import annotations

import atexit
import json
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .blocks import Overview

if TYPE_CHECKING:
    from graphviz import Digraph

INCH_MM = 25.4
POINT_MM = INCH_MM / 72
COUNT = (7.0, 4.0)
"""Room in mm for the number at a link."""
ASIDE, BELOW = 2.5, 6.0
"""Least room in mm between blocks of a row, and between rows."""
EXTRA = "overview"
"""The extra of this package that brings the engine."""

Point = tuple[float, float]
Size = tuple[float, float]


class NoEngine(Exception):
    """The engine that places the overview is not there; the message names its package."""

    def __init__(self) -> None:
        super().__init__(f"the overview is placed by the package pygraphviz, which is not installed: pip install 'harnessdoc[{EXTRA}]'")


@dataclass(frozen=True, slots=True)
class Places:
    """size of all; top left of each block; of each link its line, between the edges of its blocks; the size of each block."""

    size: Size
    blocks: Mapping[str, Point]
    lines: tuple[tuple[Point, ...], ...]
    sizes: Mapping[str, Size]


def dot_text(overview: Overview, sizes: Mapping[str, Size], labels: Mapping[str, str] | None = None, columns: Mapping[str, int] | None = None) -> str:
    """The graph in the DOT language, from left to right; ``sizes`` in mm and what is written in each block by id; without ``labels`` nothing is written, so that no font is asked; ``columns``: where each is to stand, else the engine says."""
    from graphviz import Digraph, escape

    graph = Digraph("overview", graph_attr={
        "rankdir": "LR", "nodesep": _inches(ASIDE), "ranksep": _inches(BELOW), "splines": "polyline",
    }, node_attr={"shape": "box", "fixedsize": "true"}, edge_attr={"dir": "none", "fontsize": "6"})
    # without labels nobody reads the names, and an id may be anything
    names = {id: _name(id) if labels else f"n{number}" for number, id in enumerate(overview.blocks)}
    for id in overview.blocks:
        wide, high = sizes[id]
        graph.node(names[id], escape(labels[id]) if labels else "", width=_inches(wide), height=_inches(high))
    for number, link in enumerate(overview.links):
        cell = f'<<TABLE BORDER="0" CELLBORDER="0" CELLPADDING="0" CELLSPACING="0"><TR><TD FIXEDSIZE="TRUE" WIDTH="{COUNT[0] / POINT_MM:.0f}" HEIGHT="{COUNT[1] / POINT_MM:.0f}">{len(link.wires) if labels else ""}</TD></TR></TABLE>>'
        ends, more = (link.upper, link.lower), {}
        if columns and columns[link.upper] > columns[link.lower]:
            ends = (link.lower, link.upper)
        elif columns and columns[link.upper] == columns[link.lower]:
            more = {"constraint": "false"}
        graph.edge(names[ends[0]], names[ends[1]], cell, id=f"link{number}", **more)
    if columns:
        _keep_columns(graph, names, columns)
    return graph.source


def _keep_columns(graph: Digraph, names: Mapping[str, str], columns: Mapping[str, int]) -> None:
    """Blocks of a column on one rank, the columns in their order."""
    members = [[name for id, name in names.items() if columns[id] == column] for column in sorted({columns[id] for id in names})]
    for column in members:
        with graph.subgraph(graph_attr={"rank": "same"}) as rank:
            for name in column:
                rank.node(name)
    for left, right in zip(members, members[1:], strict=False):
        graph.edge(left[0], right[0], style="invis")


def place(overview: Overview, sizes: Mapping[str, Size], columns: Mapping[str, int] | None = None) -> Places | None:
    """Where Graphviz puts everything; None where the graph is beyond it. Raises NoEngine."""
    answer = _asked(dot_text(overview, sizes, columns=columns))
    if answer is None:
        return None
    left, low, right, high = (float(one) * POINT_MM for one in answer["box"].split(","))

    def point(text: str) -> Point:
        x, y = text.split(",")[-2:]
        return float(x) * POINT_MM - left, high - float(y) * POINT_MM

    blocks = {}
    for number, id in enumerate(overview.blocks):
        x, y = point(answer["nodes"][f"n{number}"])
        blocks[id] = (x - sizes[id][0] / 2, y - sizes[id][1] / 2)
    lines = tuple(_corners([point(one) for one in answer["edges"][f"link{number}"].split() if one[0] not in "es"]) for number in range(len(overview.links)))
    return Places((right - left, high - low), blocks, lines, sizes)


_engine: subprocess.Popen[str] | None = None
"""The process that was started last; a dead one is replaced."""


def _asked(text: str) -> dict[str, Any] | None:
    """The answer of the engine to a graph; None where the graph ended it. Raises NoEngine."""
    global _engine
    if _engine is None or _engine.poll() is not None:
        _engine = subprocess.Popen([sys.executable, str(Path(__file__).with_name("engine.py"))], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                   stderr=subprocess.DEVNULL, encoding="utf-8")
        atexit.register(_engine.kill)
        if _engine.stdout.readline().strip() != "true":
            raise NoEngine
    try:
        _engine.stdin.write(json.dumps(text) + "\n")
        _engine.stdin.flush()
        answer = _engine.stdout.readline()
    except BrokenPipeError:
        answer = ""
    if not answer:
        _engine.wait()
        return None
    return json.loads(answer)


def _corners(controls: list[Point]) -> tuple[Point, ...]:
    """The corners of a line that Graphviz gives as a chain of curves, each of them straight: every third point."""
    return tuple(controls[::3])


def _inches(mm: float) -> str:
    return f"{mm / INCH_MM:.4f}"


def _name(id: str) -> str:
    """An id as the name of a node: a colon would part a port from it."""
    return id.replace(":", "%3A")
