"""What differs on the lid of a box from the version before: which positions, and what they said.

Takes a Context and a box; gives the marks of its lid and a table of what no longer
holds there. What is compared is what the lid prints: where a position is, its
rating, what it feeds, whether it is spare.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..drawing.table import Column, Layout, Mark, Struck
from ..model.harness import Box, Harness
from ..revision.changes import Thing
from .context import Context
from .lid import LID_SIDE, LidMarks, purpose, rating_words
from .tables import Keyed, PlainTable, lay_table

POSITION_WIDTH = 34.0
TABLE_WIDTH = 130.0


@dataclass(frozen=True, slots=True)
class LidChanges:
    """What is drawn on the lid, and ``was``: position (of the old version where it is gone) -> what no longer holds."""

    marks: LidMarks
    was: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class _Said:
    """What the lid prints at one position."""

    row: int
    place: int
    rating: str
    feeds: str
    spare: bool


def lid_changes(context: Context, box: Box) -> LidChanges:
    """What differs on the lid; nothing where the box is new or one of the versions has no lid."""
    since = context.since
    old_id = since.comparison.pairing.before(Thing.BOX, box.id) if since else None
    old = since.before.harness.boxes[old_id] if since and old_id is not None else None
    if since is None or old is None or not (box.lid and old.lid):
        return LidChanges(LidMarks(), {})
    pairing = since.comparison.pairing
    now, before = _positions(context.harness, box), _positions(since.before.harness, old)
    marked: list[str] = []
    unrated: list[str] = []
    was: dict[str, tuple[str, ...]] = {}
    known: set[str] = set()
    for name, said in now.items():
        old_name = pairing.before(Thing.PART, name) if name in context.harness.parts else name
        known.add(old_name or "")
        if old_name not in before:
            marked.append(name)
            was[name] = ()
        elif gone := (*((old_name,) if old_name != name else ()), *_differences(said, before[old_name])):
            marked.append(name)
            was[name] = gone
            if before[old_name].rating and not said.rating and not said.spare:
                unrated.append(name)
    was |= {name: _words(said) for name, said in before.items() if name not in known}
    if (box.lid_view or LID_SIDE) != (old.lid_view or LID_SIDE):
        was["view"] = (f"seen from the {old.lid_view or LID_SIDE}",)
        return LidChanges(LidMarks(frozenset(marked), frozenset(unrated)), was)
    held = {(said.row, said.place) for said in now.values()}
    gone_at = {(said.row - 1, said.place - 1): name for name, said in before.items() if (said.row, said.place) not in held}
    return LidChanges(LidMarks(frozenset(marked), frozenset(unrated), gone_at), was)


def lid_table(context: Context, changes: LidChanges, width: float) -> Iterator[Layout]:
    """What positions said before, struck through; nothing where none differs."""
    if changes.was and context.since:
        mark = Mark(context.since.letter)
        rows = tuple(Keyed((name,), (name, tuple(map(Struck, was)) or "new"), mark) for name, was in changes.was.items())
        yield lay_table(PlainTable(("lid",), (Column("On the lid", POSITION_WIDTH), Column("Was")), rows, min(width, TABLE_WIDTH), tag="lid"))


def _positions(harness: Harness, box: Box) -> dict[str, _Said]:
    found = {}
    for row, names in enumerate(box.lid, start=1):
        for place, name in enumerate(names, start=1):
            if name:
                part, spare = harness.parts.get(name), name in box.spare
                shown = part is not None and not spare
                found[name] = _Said(row, place, rating_words(part) if shown else "", purpose(part) if shown else "", spare)
    return found


def _differences(now: _Said, before: _Said) -> tuple[str, ...]:
    """What of the old no longer holds, in words."""
    where = (_where(before),) if (now.row, now.place) != (before.row, before.place) else ()
    if now.spare != before.spare:
        return (*where, "spare" if before.spare else "not spare")
    olds = [old or "not stated" for new, old in ((now.rating, before.rating), (now.feeds, before.feeds)) if new != old]
    return (*where, *olds)


def _words(said: _Said) -> tuple[str, ...]:
    return (_where(said), *filter(None, (said.rating, said.feeds, "spare" if said.spare else "")))


def _where(said: _Said) -> str:
    return f"row {said.row}, place {said.place}"
