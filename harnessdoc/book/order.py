"""The order in which things stand on the circuit diagrams of a book, as a file that holds it.

Takes: a harness and what was computed of it. Gives: the OrderFile of all its diagrams, as they are drawn now.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..circuits.kept_order import page_order
from ..description.order_file import OrderFile, PageOrder
from ..revision.version import Version
from ..sheets.circuit_pages import CircuitBook, circuit_book
from ..sheets.context import Options, SheetKind
from ..sheets.ground_distribution import ground_book
from ..sheets.power import power_book
from .draw import make_context
from .place_ahead import placed_ahead


def order_of(version: Version, options: Options, path: str) -> OrderFile:
    """The order of every page of circuit diagrams, of power and of ground distribution on ``options.paper``; path: where the file is to stand."""
    with placed_ahead(make_context(version, options)) as context:
        kinds = {ref.kind for ref in context.sheets}
        books = [circuit_book(context), *([power_book(context)] if SheetKind.POWER in kinds else []), *([ground_book(context)] if SheetKind.GROUND_PAGES in kinds else [])]
        return OrderFile(path, options.paper, tuple(page for book in books for page in _pages(book)))


def _pages(book: CircuitBook) -> Iterator[PageOrder]:
    for system in book.refs:
        pages = book.pages(system)
        for page in pages:
            yield page_order(system, book.in_parts(system), page.graph.strands if len(pages) > 1 or book.in_parts(system) else (), page.graph.graph, page.placed.order)
