"""The words of an entry in the change log, drafted from what changed.

Takes a Comparison; gives one line.
"""

from __future__ import annotations

from dataclasses import replace

from ..revision.changes import ChangeKind, Thing
from ..revision.compare import Comparison
from ..revision.lines import Line, lines_of
from .diff_text import counted_by_kind

_LONGEST = 160
"""Characters; the log stands in the book, where a line has about half of that."""
_WEIGHT = (
    ChangeKind.ADDED, ChangeKind.REMOVED, ChangeKind.MOVED, ChangeKind.RE_ENDED, ChangeKind.SPLICED, ChangeKind.UNSPLICED, ChangeKind.RESIZED,
    ChangeKind.PART_CHANGED, ChangeKind.USE_CHANGED, ChangeKind.RECOLOURED, ChangeKind.RE_TWISTED, ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED,
    ChangeKind.NO_LONGER_KNOWN, ChangeKind.NOW_KNOWN, ChangeKind.RENAMED, ChangeKind.TEXT_ONLY,
)
"""What a reader of the log wants to know first."""


def draft_why(comparison: Comparison) -> str:
    """Every change where that is short; else how many of each kind, and the weightiest. "" where nothing changed but the log."""
    changes = tuple(change for change in comparison.changes if not (change.thing is Thing.HARNESS and change.key == "log"))
    texts = [line.text.replace(" → ", " to ") for line in sorted(lines_of(replace(comparison, changes=changes)), key=_weight)]
    if len(told := "; ".join(texts)) <= _LONGEST:
        return told
    drafted = counted_by_kind(changes)
    for text in texts[:2]:
        if len(drafted) + len(text) + 2 <= _LONGEST:
            drafted += f"; {text}"
    return drafted


def _weight(line: Line) -> int:
    return min(_WEIGHT.index(kind) for kind in line.kinds)
