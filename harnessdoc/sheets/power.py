"""Power distribution: from the supplies over links and bars to every fuse, and the wire that each feeds.

Takes a Context and the reference of the sheet; gives its pages. A fuse says its rating, its box, what it feeds and when it is hot; its
wire ends at the contact it leads to, with the circuit diagram on which that goes on.
"""

from __future__ import annotations

from ..circuits.distribution import PROTECTS, power_distribution, switched_by
from ..drawing.record import Drawing
from .circuit_words import hot_words
from .context import Context, SheetKind, SheetRef
from .distribution_pages import DistributionBook, draw_distribution

RULE = ("From the supplies to every fuse and what it feeds; key off, relays at rest. Dot: joined; lines that cross without a dot are not. "
        "At a wire: number, mm² or AWG, colour. Broken edge: part of the thing is shown.")


def draw_power(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of power distribution."""
    return draw_distribution(context, power_book(context))


def power_book(context: Context) -> DistributionBook:
    """The one of a context."""
    return context.kept("power", lambda: DistributionBook(context, SheetKind.POWER, power_distribution, RULE, _about))


def _about(book: DistributionBook, id: str) -> tuple[str, ...]:
    """Of a fuse or link: what it feeds where its name does not say so, and when it is hot."""
    part = book.strands.harness.parts.get(id)
    if part is None or part.kind not in PROTECTS or len(part.terminals) != 2:
        return ()
    upper = min((f"{id}.{name}" for name in part.terminals), key=book.directions.rank.__getitem__)
    feeds = part.feeds if part.title in ("", part.id) else ""
    place = book.strands.harness.place_of.get(id)
    through = switched_by(book.strands, book.directions, upper)
    hot = hot_words(book.context, book.served, upper) or (f"hot via {_called(book, through)}" if through else "")
    return tuple(filter(None, (feeds, f"place: {place}" if place and not part.box else "", hot)))


def _called(book: DistributionBook, id: str) -> str:
    """What a switch or relay is called in words, else its id."""
    harness = book.strands.harness
    return next((things[id].title for things in (harness.devices, harness.parts, harness.connectors) if id in things and things[id].title), id)
