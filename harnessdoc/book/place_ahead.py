"""The circuit diagrams of a book placed on all cores, before its sheets are drawn one after another.

Takes a Context; each system, and power and ground distribution, is placed by a process of its own, which leaves what it found in the folder of the
context's placer, where the drawing takes it from. Where processes cannot be forked nothing is done ahead: the drawing
places then, with the same result.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path

from ..sheets.circuit_pages import circuit_book
from ..sheets.context import Context, SheetKind
from ..sheets.ground_distribution import draw_ground_distribution
from ..sheets.layout_where import fields
from ..sheets.power import draw_power

_DISTRIBUTION = {SheetKind.POWER: draw_power, SheetKind.GROUND_PAGES: draw_ground_distribution}
_FEWEST = 2
"""For fewer placings a process costs more than it brings."""
_tasks: list[Callable[[], object]] = []
"""What a forked process finds of its parent."""


@contextmanager
def placed_ahead(context: Context) -> Iterator[Context]:
    """The context to draw from, with everything placed; its folder, where it has none to write into, is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="harnessdoc-") as aside:
        ready = context if context.placer.keeps() else replace(context, placer=context.placer.kept_in(Path(aside)), _kept={})
        _run(_placings(ready))
        yield ready


def _placings(context: Context) -> list[Callable[[], object]]:
    """Every placing that needs no other, the long ones first."""
    book = circuit_book(context)
    if book.refs:
        fields(context)     # every page asks for it: made once here, not by every process
    systems = sorted(book.refs, key=lambda name: -len(book.systems[name].strands))
    distribution = [partial(_DISTRIBUTION[ref.kind], context, ref) for ref in context.sheets if ref.kind in _DISTRIBUTION]
    return [*distribution, *(partial(book.pages, name) for name in systems)]


def _run(tasks: list[Callable[[], object]]) -> None:
    global _tasks
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    if cores < 2 or len(tasks) < _FEWEST or not sys.platform.startswith("linux"):
        return
    _tasks = tasks
    try:
        with multiprocessing.get_context("fork").Pool(min(cores, len(tasks))) as pool:
            pool.map(_place, range(len(tasks)), chunksize=1)
    except OSError:
        # no process could be made: the drawing places, one after another
        return
    finally:
        _tasks = []


def _place(number: int) -> None:
    _tasks[number]()
