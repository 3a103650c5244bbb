"""Ground distribution: each ground with all that is grounded there, wire by wire, the splices on the way as bars.

Takes a Context and the reference of the sheet; gives its pages. Under a ground stand its place in words, its stud and its metal; a
thing that is grounded names the circuit diagrams on which it is.
"""

from __future__ import annotations

from ..circuits.distribution import ground_distribution
from ..drawing.record import Drawing
from .context import Context, SheetKind, SheetRef
from .distribution_pages import DistributionBook, draw_distribution

RULE = ("Each ground with all that is grounded there: opened, it takes all of these with it. Dot: joined; lines that cross without a dot are not. "
        "At a wire: number, mm² or AWG, colour. Broken edge: part of the thing is shown.")


def draw_ground_distribution(context: Context, ref: SheetRef) -> tuple[Drawing, ...]:
    """The pages of ground distribution."""
    return draw_distribution(context, ground_book(context))


def ground_book(context: Context) -> DistributionBook:
    """The one of a context."""
    return context.kept("ground", lambda: DistributionBook(context, SheetKind.GROUND_PAGES, ground_distribution, RULE, _about, strips=2))


def _about(book: DistributionBook, id: str) -> tuple[str, ...]:
    """Of a ground: its stud and what metal it is on."""
    ground = book.strands.harness.grounds.get(id)
    if ground is None:
        return ()
    return tuple(filter(None, (", ".join(filter(None, (ground.stud, ground.metal or ""))),)))
