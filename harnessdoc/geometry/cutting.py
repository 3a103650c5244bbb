"""Cutting pieces of wire from given lengths, and from spools.

Takes: pieces and stock lengths in whole mm, and the length of a spool. Gives: from which stock length and which
spool each piece is cut. Stock lengths are there once each; spools, all of one length, as many as it takes. In this
order as little as can be is left uncut for being too long, as few spools are begun, and as few mm come off them.

Up to EXACT_PIECES pieces the plan is the best there is (proved by a table over all sets of pieces, below); beyond, the
longest piece is cut first, each from the shortest stock remainder that holds it, else from the first spool that does (common practice).

The table: what the pieces of a set take of bars that are used up one after another, the longest first, is told by two
numbers, the bar in hand and the mm used of it, and less of them is never worse: a bar left behind is never longer than
the next. So of each set the least pair is kept, made of the sets with one piece fewer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

EXACT_PIECES = 12
"""A table of 4,096 sets is made in some hundredths of a second; each piece more doubles it."""

_Set = int
"""A set of pieces: bit i is piece i."""


@dataclass(frozen=True, slots=True)
class Cuts:
    """Pieces by their position in what was given.

    from_stock: of each stock length the pieces cut from it, () where it stays whole
    spools:     of each spool begun the pieces cut from it
    leftovers:  what is left of each stock length, then of each spool, in mm
    too_long:   what neither a stock length nor a spool can give
    is_exact:   proved to be the best
    """

    from_stock: tuple[tuple[int, ...], ...]
    spools: tuple[tuple[int, ...], ...]
    leftovers: tuple[int, ...]
    too_long: tuple[int, ...]
    is_exact: bool


def plan_cuts(pieces: Sequence[int], stock: Sequence[int], spool_mm: int | None, kerf_mm: int = 0) -> Cuts:
    """The plan. spool_mm: None where nothing is bought: then ``too_long`` is what the stock does not give. kerf_mm: lost at each cut between two pieces, and before a remainder.

    Raises ValueError for a length that is not above zero, or a negative kerf.
    """
    if any(mm <= 0 for mm in (*pieces, *stock)) or spool_mm is not None and spool_mm <= 0 or kerf_mm < 0:
        raise ValueError("pieces, stock and spools are longer than 0 mm, and a kerf is not negative")
    is_exact = len(pieces) <= EXACT_PIECES
    bars, spools, too_long = (_exact if is_exact else _longest_first)(pieces, stock, spool_mm, kerf_mm)
    from_stock = tuple(tuple(sorted(bar)) for bar in bars)
    begun = tuple(sorted(tuple(sorted(spool)) for spool in spools))
    leftovers = (*(_left(mm, bar, pieces, kerf_mm) for mm, bar in zip(stock, from_stock, strict=True)), *(_left(spool_mm, spool, pieces, kerf_mm) for spool in begun))
    return Cuts(from_stock, begun, leftovers, tuple(sorted(too_long)), is_exact)


def _left(bar_mm: int, cut: Sequence[int], pieces: Sequence[int], kerf_mm: int) -> int:
    """What remains of a bar; where the last piece ends within a kerf of the end, nothing."""
    return max(bar_mm - sum(pieces[piece] + kerf_mm for piece in cut), 0)


def _longest_first(pieces: Sequence[int], stock: Sequence[int], spool_mm: int | None, kerf_mm: int) -> tuple[list[list[int]], list[list[int]], list[int]]:
    bars: list[list[int]] = [[] for _ in stock]
    room = [mm + kerf_mm for mm in stock]           # the last piece of a bar needs no cut behind it
    spools: list[list[int]] = []
    spool_room: list[int] = []
    too_long: list[int] = []
    for piece in sorted(range(len(pieces)), key=lambda piece: (-pieces[piece], piece)):
        takes = pieces[piece] + kerf_mm
        best = min((bar for bar in range(len(stock)) if room[bar] >= takes), key=lambda bar: (room[bar], bar), default=None)
        if best is not None:
            bars[best].append(piece)
            room[best] -= takes
            continue
        if spool_mm is None or pieces[piece] > spool_mm:
            too_long.append(piece)
            continue
        first = next((spool for spool, left in enumerate(spool_room) if left >= takes), None)
        if first is None:
            first = len(spools)
            spools.append([])
            spool_room.append(spool_mm + kerf_mm)
        spools[first].append(piece)
        spool_room[first] -= takes
    return bars, spools, too_long


def _exact(pieces: Sequence[int], stock: Sequence[int], spool_mm: int | None, kerf_mm: int) -> tuple[list[list[int]], list[list[int]], list[int]]:
    takes = [mm + kerf_mm for mm in pieces]
    # no plan needs more bars than there are pieces, and the longest do all that shorter ones do
    longest = sorted((mm + kerf_mm for mm in stock), reverse=True)[:len(pieces)]
    of_stock = _table(takes, longest)
    short = _set_of(piece for piece, mm in enumerate(pieces) if spool_mm is not None and mm <= spool_mm)
    of_spools = _table(takes, [spool_mm + kerf_mm] * len(pieces)) if spool_mm is not None else {0: _Full(-1, 0, -1)}
    length = _lengths(pieces)
    every = (1 << len(pieces)) - 1

    def bought(held: _Set) -> tuple[int, int, int, int]:
        rest = every & ~held
        used = of_spools[rest & short]
        return length[rest & ~short], used.bar + 1, length[rest & short], held

    held = min(of_stock, key=bought)
    rest = every & ~held
    return _smallest_bars(_groups(of_stock, held), takes, [mm + kerf_mm for mm in stock]), _groups(of_spools, rest & short), _members(rest & ~short)


@dataclass(frozen=True, slots=True)
class _Full:
    """The least that a set takes: the bar in hand (from 0; -1 for no piece) and the mm used of it; last: the piece cut last."""

    bar: int
    used: int
    last: int


def _table(takes: Sequence[int], bars: Sequence[int]) -> dict[_Set, _Full]:
    """Every set that the bars, the longest first, can give. Sets in rising order, so those with one piece fewer come before."""
    least: dict[_Set, _Full] = {0: _Full(-1, 0, -1)}
    for chosen in range(1, 1 << len(takes)):
        found: _Full | None = None
        for piece, mm in enumerate(takes):
            before = least.get(chosen & ~(1 << piece)) if chosen >> piece & 1 else None
            if before is None:
                continue
            bar, used = before.bar, before.used + mm
            if bar < 0 or used > bars[bar]:
                bar, used = bar + 1, mm
                if bar >= len(bars) or used > bars[bar]:
                    continue                # the bars behind are no longer
            if found is None or (bar, used) < (found.bar, found.used):
                found = _Full(bar, used, piece)
        if found is not None:
            least[chosen] = found
    return least


def _groups(table: dict[_Set, _Full], chosen: _Set) -> list[list[int]]:
    """The pieces of a set, bar by bar."""
    groups: list[list[int]] = []
    bar = None
    while chosen:
        full = table[chosen]
        if full.bar != bar:
            groups.append([])
            bar = full.bar
        groups[-1].append(full.last)
        chosen &= ~(1 << full.last)
    return groups[::-1]


def _smallest_bars(groups: Sequence[Sequence[int]], takes: Sequence[int], stock: Sequence[int]) -> list[list[int]]:
    """Each group on the shortest stock length that holds it, so that long ones stay whole. What the longest bars hold, these do."""
    bars: list[list[int]] = [[] for _ in stock]
    free = sorted(range(len(stock)), key=lambda bar: (stock[bar], bar))
    for group in sorted(groups, key=lambda group: (sum(takes[piece] for piece in group), group)):
        need = sum(takes[piece] for piece in group)
        bar = next(bar for bar in free if stock[bar] >= need)
        free.remove(bar)
        bars[bar] = list(group)
    return bars


def _lengths(pieces: Sequence[int]) -> list[int]:
    """Set -> the sum of its pieces."""
    sums = [0]
    for mm in pieces:
        sums += [sum_ + mm for sum_ in sums]
    return sums


def _set_of(pieces: Iterable[int]) -> _Set:
    return sum(1 << piece for piece in pieces)


def _members(chosen: _Set) -> list[int]:
    return [piece for piece in range(chosen.bit_length()) if chosen >> piece & 1]
