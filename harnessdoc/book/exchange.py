"""The sheets to exchange after a change: the marked sheets, and the lists that lead through the work.

Takes a comparison of two versions; gives a Book of the sheets "Changes", "Rework" and
"Sheets to exchange", then every sheet of the new book that is not, mark for mark, a sheet
of the old one. What is compared are the finished drawings, so that nothing printed can be
missed: a length that follows from another's route, the number of a sheet that an arrow
points to. Only the revision, its date and the name of the file in the title block, and how
many sheets there are in all, may differ: a sheet that stays keeps those of its last change.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, replace
from functools import cache
from operator import attrgetter

from ..drawing.page import BLOCK_TAG
from ..drawing.record import Link, Mark, Text
from ..revision.compare import Comparison
from ..sheets.changes import draw_changes
from ..sheets.context import Context, Options, SheetKind, SheetRef, Since
from ..sheets.exchange import Exchanged, draw_exchange
from ..sheets.findings import sheets_with_flags
from ..sheets.marking import SUBJECTS
from ..sheets.rework import draw_rework
from .draw import Book, Sheet, draw_sheet, findings_last, make_context, with_flags, with_own_flags

CHANGED, NUMBERS, NEW, GONE = "changed", "only numbers", "new sheet", "no longer in the book"
_NUMBER = re.compile(r"(?<=→ )[0-9]+|^[0-9]+$|(?<=sheet )[0-9]+|(?<=:)[0-9]+")
_OF_ALL = re.compile(r"([0-9]+) / [0-9]+$")

Progress = Callable[[str, int, int], None]


def draw_exchange_book(comparison: Comparison, options: Options, inputs: tuple[str, ...] = (), progress: Progress | None = None) -> Book:
    """The book of what to exchange; ``inputs``: the files both versions were read from, which nothing may overwrite."""
    plain = with_own_flags(make_context(comparison.new, options))
    before = with_own_flags(make_context(comparison.old, options))
    # nothing kept of the plain one: where what changed is said on narrow paper, a circuit diagram has less room
    marked = replace(plain, since=Since(before, comparison, letter_of(comparison)), _kept={})
    taken_out = _taken_out(marked)
    sheets: dict[str, Sheet] = {}
    exchanged: dict[str, Exchanged] = {}
    stay: list[Sheet] = []
    gone = {ref.name: ref for ref in before.sheets if ref.name not in {old.name for old in taken_out.values()}}
    flagged = {sheet.name for sheet in sheets_with_flags(plain)}
    for done, ref in enumerate(findings_last(plain.sheets), start=1):
        old = taken_out.get(ref.name)
        now = draw_sheet(plain, ref)
        why = _why(now, draw_sheet(before, old), plain, before) if old is not None else NEW
        if why:
            context = with_flags(marked, (*sheets.values(), *stay)) if ref.kind is SheetKind.FINDINGS else marked
            sheets[ref.name] = draw_sheet(context, ref)
            exchanged[ref.name] = Exchanged(ref, len(sheets[ref.name].pages), old, why)
        elif ref.name in flagged:
            stay.append(now)
        if progress:
            progress("comparing sheets", done, len(plain.sheets))
    listed = [*(exchanged[ref.name] for ref in plain.sheets if ref.name in exchanged), *(Exchanged(None, 0, ref, GONE) for ref in gone.values())]
    return Book(marked, (*_lists(marked, listed), *(sheets[ref.name] for ref in plain.sheets if ref.name in sheets)), inputs)


def letter_of(comparison: Comparison) -> str:
    """The revision that brought the changes: the last of the new log where the old log has it not; "" where nothing was logged."""
    old, new = comparison.old.harness.log, comparison.new.harness.log
    return new[-1].revision if new and new[-1].revision not in {entry.revision for entry in old} else ""


def _lists(context: Context, exchanged: list[Exchanged]) -> Iterator[Sheet]:
    """The sheets that are about the change itself and go into no book, lettered before the numbers of the others."""
    title = context.harness.title or context.harness.file
    refs = [SheetRef(letter, kind.value.lower().replace(" ", "-"), kind, title)
            for letter, kind in zip("XYZ", (SheetKind.CHANGES, SheetKind.REWORK, SheetKind.EXCHANGE), strict=True)]
    yield Sheet(refs[0], draw_changes(context, refs[0]))
    yield Sheet(refs[1], draw_rework(context, refs[1]))
    yield Sheet(refs[2], draw_exchange(context, refs[2], exchanged))


def _taken_out(context: Context) -> Mapping[str, SheetRef]:
    """Name of a sheet of the new book -> the sheet of the old one whose place it takes.

    A list takes the place of the same list, the fate list of a source that of the same source; a sheet of subjects that of the sheet on which most of them stood.
    """
    since = context.since
    before, pairing = since.before, since.comparison.pairing
    found: dict[str, SheetRef] = {}
    free = {ref.name: ref for ref in before.sheets}
    for ref in context.sheets:
        if ref.kind in SUBJECTS and ref.subjects and ref.kind is not SheetKind.GROUNDS:
            was = [pairing.before(SUBJECTS[ref.kind], name) if name else name for name in ref.subjects]
            on = Counter(old.name for old in before.sheets if old.kind is ref.kind for name in was if name in old.subjects and old.name in free)
            old = free.get(on.most_common(1)[0][0]) if on else None
        else:
            old = next((one for one in free.values() if one.kind is ref.kind and (ref.kind is not SheetKind.FATES or one.subjects == ref.subjects)), None)
        if old is not None:
            found[ref.name] = free.pop(old.name)
    return found


def _why(new: Sheet, old: Sheet, now: Context, before: Context) -> str:
    """Why a sheet must be exchanged; "" where the old one may stay."""
    if _printed(new, now, str) == _printed(old, before, str):
        return ""
    return NUMBERS if _printed(new, now, _numberless) == _printed(old, before, _numberless) else CHANGED


def _numberless(text: str) -> str:
    return _NUMBER.sub("", text)


def _printed(sheet: Sheet, context: Context, said: Callable[[str], str]) -> list[list[tuple[object, ...]]]:
    """What a reader sees of each page: every mark without its tag, texts as ``said`` gives them."""
    last = context.harness.log[-1] if context.harness.log else None
    free = (context.harness.file, *((last.revision, last.date) if last else ()))
    return [[_seen(mark, said) for mark in page.marks if not isinstance(mark, Link) and not (mark.tag == BLOCK_TAG and isinstance(mark, Text) and mark.text in free)]
            for page in sheet.pages]


def _seen(mark: Mark, said: Callable[[str], str]) -> tuple[object, ...]:
    fields = _fields_of(type(mark))(mark)
    if not isinstance(mark, Text):
        return fields
    of_all = _OF_ALL.match(mark.text) if mark.tag == BLOCK_TAG else None
    # a text is where it is and what it says; how wide it was set follows from that
    return (*fields, said(of_all[1] if of_all else mark.text))


@cache
def _fields_of(kind: type) -> Callable[[Mark], tuple[object, ...]]:
    return attrgetter(*(field.name for field in fields(kind) if field.name not in ("tag", "text")))
