"""Contexts whose sheets show what changed, for the tests of marked sheets.

Takes the YAML text of both versions; gives the context of the new one with `since`.
Which thing is which is told by the comparison itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from sheets.contexts import context_of

from harnessdoc.drawing.record import Drawing
from harnessdoc.revision.compare import compare
from harnessdoc.revision.version import Version
from harnessdoc.sheets.context import Context, Since

LETTER = "B"


def since_context(old: str, new: str, **options: str) -> Context:
    """The context of ``new`` with the changes since ``old``."""
    before, now = context_of(old, **options), context_of(new, **options)
    return replace(now, since=Since(before, compare(version_of(before), version_of(now)), LETTER))


def version_of(context: Context) -> Version:
    return Version(context.harness, context.network, context.geometry, context.findings, context.waived, context.unasked, context.operation)


def edited(text: str, *changes: tuple[str, str]) -> str:
    """The text with each (old, new) replaced, which must be in it."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def all_of(pages: Iterable[Drawing], what: Callable[[Drawing], Iterable[str]]) -> list[str]:
    return [text for page in pages for text in what(page)]
