"""One assignment over both sides: which of two lists go together so that the whole is worth most.

Takes worths of pairs, sparse, and how many partners a row takes; gives the pairs. Whoever stays without a partner
costs nothing, so a pair that is worth less than nothing is not made. Of equal wholes the earlier rows and columns win.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

_CROWDED = 0.02
"""What each further partner of a row is worth less, so that partners spread over rows that fit as well."""
_FIRST = 1e-6
"""What a place further down costs: among equals the first."""


def assign(worth: Mapping[tuple[int, int], float], room: Sequence[int], columns: int) -> list[tuple[int, int]]:
    """The pairs of the assignment with the greatest sum, sorted.

    worth: (row, column) -> what the pair is worth, pairs that may not be left out; room: partners each row takes; columns: how many there are
    """
    entries = {pair: value for pair, value in worth.items() if value > 0}
    if not entries:
        return []
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import min_weight_full_bipartite_matching

    used = sorted({row for row, _ in entries})
    wanted = {row: 0 for row in used}
    for row, _ in entries:
        wanted[row] += 1
    seats = [(row, seat) for row in used for seat in range(min(room[row], wanted[row]))]
    first: dict[int, int] = {}
    for number, (row, _) in enumerate(seats):
        first.setdefault(row, number)
    weights, seat_of, column_of = [], [], []
    for (row, column), value in sorted(entries.items()):
        for seat in range(min(room[row], wanted[row])):
            weights.append(value - _CROWDED * seat * (value > _CROWDED * seat) + _FIRST / (1 + row + column))
            seat_of.append(first[row] + seat)
            column_of.append(column)
    for number in range(len(seats)):                       # a seat may stay empty
        weights.append(_FIRST / 1e3)
        seat_of.append(number)
        column_of.append(columns + number)
    table = coo_array((weights, (seat_of, column_of)), shape=(len(seats), columns + len(seats))).tocsr()
    chosen = zip(*min_weight_full_bipartite_matching(table, maximize=True), strict=True)
    return sorted((seats[seat][0], int(column)) for seat, column in chosen if column < columns)
