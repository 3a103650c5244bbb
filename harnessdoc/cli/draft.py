"""The words of an entry in the change log, drafted from what changed.

Takes a Comparison; gives one line. What was done to wires and parts stands first, what is
left out is counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..revision.changes import Change, ChangeKind, Thing
from ..revision.compare import Comparison
from ..revision.lines import Line, lines_of
from .diff_text import counted_by_kind, kinds_counted

_LONGEST = 160
"""Characters; the log stands in the book, where a line has about half of that."""
_WEIGHT = (
    ChangeKind.ADDED, ChangeKind.REMOVED, ChangeKind.MOVED, ChangeKind.RE_ENDED, ChangeKind.SPLICED, ChangeKind.UNSPLICED, ChangeKind.RESIZED,
    ChangeKind.PART_CHANGED, ChangeKind.RECOLOURED, ChangeKind.RE_TWISTED, ChangeKind.RE_ROUTED, ChangeKind.RE_LENGTHENED, ChangeKind.USE_CHANGED,
    ChangeKind.NO_LONGER_KNOWN, ChangeKind.NOW_KNOWN, ChangeKind.RENAMED, ChangeKind.TEXT_ONLY,
)
"""What a reader of the log wants to know first."""
_MAIN = _WEIGHT[:_WEIGHT.index(ChangeKind.RESIZED)]
"""Other lines give way to the count of what is left out by kinds; these do not."""
_BY_HAND = _WEIGHT[:_WEIGHT.index(ChangeKind.USE_CHANGED)]
_ON_PAPER = (Thing.HARNESS, Thing.CONTACT, Thing.CIRCUIT, Thing.POINT)
"""What is said of these comes after all that was done to wires and parts."""


def draft_why(comparison: Comparison) -> str:
    """Every change where that is short; else the weightiest, and how many more. "" where nothing changed but the log."""
    changes = [change for change in comparison.changes if not (change.thing is Thing.HARNESS and change.key == "log")]
    if len(told := "; ".join(_text(line) for line in _lines(comparison, changes))) <= _LONGEST:
        return told
    weighty = [change for change in changes if change.kind is not ChangeKind.TEXT_ONLY] or changes
    told, left = "", changes
    for line in _lines(comparison, weighty):
        its = {id(change) for change in line.changes}
        after = [change for change in left if id(change) not in its]
        # where even the first line is too long, what it is about is said without the values
        texts = (_text(line),) if told else (_text(line), f"{line.what}, {', '.join(told.change for told in line.told)}")
        tails = (_more(after), _more_by_kind(after))
        longer = next((longer for text in texts if len(longer := f"{told}; {text}" if told else text) + len(tails[told != "" and not _is_main(line)]) <= _LONGEST), None)
        if longer is None:
            break
        told, left = longer, after
    if not told:
        return counted if len(counted := counted_by_kind(changes)) <= _LONGEST else f"{len(changes)} changes"
    return next(whole for tail in (_more_by_kind(left), _more(left)) if len(whole := told + tail) <= _LONGEST)


def _lines(comparison: Comparison, changes: Sequence[Change]) -> list[Line]:
    """The lines of some of the changes, the weightiest first."""
    return sorted(lines_of(replace(comparison, changes=tuple(changes))), key=lambda line: min(map(_weight, line.changes)))


def _text(line: Line) -> str:
    return line.text.replace(" → ", " to ")


def _more(left: Sequence[Change]) -> str:
    return f"; and {len(left)} more" if left else ""


def _more_by_kind(left: Sequence[Change]) -> str:
    return f"{_more(left)}: {kinds_counted(left)}" if left else ""


def _is_main(line: Line) -> bool:
    on_paper, kind = min(map(_weight, line.changes))
    return not on_paper and kind < len(_MAIN)


def _weight(change: Change) -> tuple[bool, int]:
    if change.thing is Thing.WIRE and change.key == "end" and change.kind in (ChangeKind.NOW_KNOWN, ChangeKind.NO_LONGER_KNOWN):
        return False, 0
    return change.thing in _ON_PAPER or change.kind not in _BY_HAND, _WEIGHT.index(change.kind)
