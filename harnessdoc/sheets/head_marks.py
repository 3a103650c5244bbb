"""What differs at the head of a sheet's subject from the version before: its id, its title, its fields.

Takes a Context and what the head says in both versions; gives the same with marks, for
``subject_head``. Without a version before nothing is marked.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..revision.changes import Thing
from ..revision.pairing import things_of
from .context import Context
from .marking import merge_items
from .subject_head import Field, Renamed


def letter_of(context: Context) -> str:
    """The letter of the revision that brought the changes; "" where there is none."""
    return context.since.letter if context.since else ""


def renamed(context: Context, thing: Thing, name: str, title: str) -> Renamed | None:
    """How the id and title of a subject differ from before; None where they do not."""
    if context.since is None:
        return None
    was = context.since.comparison.pairing.before(thing, name)
    if was is None:
        return Renamed(name, title, None, None, context.since.letter)
    was_title = things_of(context.since.before.harness)[thing][was].title
    return Renamed(name, title, was, was_title, context.since.letter) if (name, title) != (was, was_title) else None


def gone_beside(context: Context, thing: Thing, names_before: Iterable[str], subjects: Sequence[str]) -> list[str]:
    """The old ids of things that are gone and stood, in the order of the version before, behind one of ``subjects`` (or before the first of all)."""
    if context.since is None:
        return []
    pairing = context.since.comparison.pairing
    order = [(name, pairing.now(thing, name)) for name in names_before]
    last = next((now for _, now in order if now), None)
    gone = []
    for name, now in order:
        last = now or last
        if now is None and last in subjects:
            gone.append(name)
    return gone


def with_changes(now: Sequence[Field], before: Sequence[Field]) -> list[Field]:
    """The fields, each as it is or in a cloud with what it said before; at their end those that only the version before had."""
    was = dict(before)
    fields = [(caption, merge_items(items, was.pop(caption, ()))) for caption, items in now]
    return fields + [(caption, merge_items((), items)) for caption, items in was.items() if merge_items((), items)]
