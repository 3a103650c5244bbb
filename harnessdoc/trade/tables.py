"""The one way to the fact tables in ``trade/data``.

Takes the name of a table, gives its rows as they stand in the file. Every row of
every table carries ``origin`` (the source in words, or "memory", "common
practice", "design choice") and ``mark``, one of MARKS. A table is read when first
asked for, and once; what a column means is said in the module that uses it.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

_DATA = Path(__file__).parent / "data"

#: READ: the figure was seen in a source. DERIVED: arithmetic from such figures.
#: MEMORY: known, not seen; never printed as "per standard". PRACTICE: a habit of
#: the trade or a choice made here, no standard behind it.
MARKS = ("READ", "DERIVED", "MEMORY", "PRACTICE")


@cache
def rows(name: str) -> tuple[Mapping[str, str], ...]:
    """The rows of table ``name`` (``colours`` reads ``data/colours.csv``), in file order."""
    text = _DATA.joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(io.StringIO(text)))


@dataclass(frozen=True, slots=True)
class Fact:
    """A number with its unit in ``unit`` ("" where it has none), its origin and its mark."""

    value: float
    unit: str
    origin: str
    mark: str


@cache
def factors() -> Mapping[str, Fact]:
    """The single numbers of ``data/factors.csv`` by name: ``random-lay``, ``copper-resistivity``, ..."""
    return {r["name"]: Fact(float(r["value"]), r["unit"], r["origin"], r["mark"]) for r in rows("factors")}


def said(origin: str, mark: str) -> str:
    """Where a fact comes from, in words fit for a sheet: what is from memory never claims a source."""
    return "from memory" if mark == "MEMORY" else origin
