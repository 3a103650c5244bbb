"""For the tests of circuits: strands, directions and pages of a description or an example."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from textwrap import dedent

from harnessdoc.circuits.direction import Directions, find_directions
from harnessdoc.circuits.page_graph import PageGraph, page_graph
from harnessdoc.circuits.printed import Printed
from harnessdoc.circuits.strands import Strands, find_strands
from harnessdoc.circuits.systems import System, find_systems
from harnessdoc.steps import Loaded, load

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
LARGE = ("linnet", "heron", "heron-linnet")


@cache
def example(name: str) -> Loaded:
    return load(EXAMPLES / name / f"{name}.yaml")


@cache
def of_example(name: str) -> tuple[Strands, Directions, tuple[System, ...]]:
    return of(example(name))


def of(loaded: Loaded) -> tuple[Strands, Directions, tuple[System, ...]]:
    assert loaded.harness is not None and loaded.network is not None, loaded.findings
    strands = find_strands(loaded.harness, loaded.network)
    directions = find_directions(strands)
    return strands, directions, find_systems(strands, directions)


def described(text: str) -> tuple[Strands, Directions, tuple[System, ...]]:
    return of(load("harness.yaml", {"harness.yaml": dedent(text)}, solve=False))


def page_of(made: tuple[Strands, Directions, tuple[System, ...]], ids=None, height: float | None = None, **options) -> PageGraph:
    """The page of all strands, or of some."""
    strands, directions, _ = made
    return page_graph(strands, directions, ids if ids is not None else tuple(strands.all), Printed(strands.harness, "IEC 60757"), height, **options)
