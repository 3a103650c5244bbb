"""Where the two ends of a wire or segment went.

The ends stand in no order: a wire written from the other end is the same wire.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..model.harness import UNKNOWN, Harness
from .changes import ChangeKind

Ends = tuple[str, str]


def ends_moved(old: Ends, now: Ends, new: Ends) -> list[tuple[str, str]]:
    """(old end, new end) of each end that is another.

    old: as the old version writes them; now: the same in the new version's names; new: the new ones
    """
    (a, b), (c, d) = now, new
    if (a, b) in ((c, d), (d, c)):
        return []
    if a == c or b == d:
        straight = True
    elif a == d or b == c:
        straight = False
    else:
        straight = _near(a, c) + _near(b, d) >= _near(a, d) + _near(b, c)
    pairs: Sequence[tuple[int, int]] = ((0, 0), (1, 1)) if straight else ((0, 1), (1, 0))
    return [(old[i], new[j]) for i, j in pairs if now[i] != new[j]]


def _near(a: str, b: str) -> bool:
    """Two addresses of one owner."""
    return "." in a and a.rpartition(".")[0] == b.rpartition(".")[0]


def kind_of_move(old_harness: Harness, new_harness: Harness, old: str, now: str, new: str) -> ChangeKind:
    """What a wire's end did that was at ``old`` (``now`` in the new version's names) and is at ``new``."""
    if old == UNKNOWN:
        return ChangeKind.NOW_KNOWN
    if new == UNKNOWN:
        return ChangeKind.NO_LONGER_KNOWN
    if _near(now, new):
        return ChangeKind.MOVED
    was_spliced, is_spliced = old in old_harness.splices, new in new_harness.splices
    if was_spliced != is_spliced:
        return ChangeKind.SPLICED if is_spliced else ChangeKind.UNSPLICED
    return ChangeKind.RE_ENDED
