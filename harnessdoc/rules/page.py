"""The page of a rule, read off its docstring: for ``why CODE``, for docs/rules.md, and for the tests that run its examples."""

from __future__ import annotations

import inspect
import re
from types import ModuleType

SECTIONS = ("What it checks", "Why it matters", "Example that fails", "What it says", "The fix", "Example that passes", "Limits and source")
MARK = "# here"
"""Ends the line of the failing example at which the finding stands."""

_SECTION = re.compile(rf"^({'|'.join(SECTIONS)}):[ \t]*\n*", re.MULTILINE)


def sections_of(rule: ModuleType) -> dict[str, str]:
    """The docstring of a rule by section; its first line as "title"."""
    title, *parts = _SECTION.split(inspect.getdoc(rule) or "")
    return {"title": title.strip(), **{name: text.strip("\n").rstrip() for name, text in zip(parts[::2], parts[1::2], strict=True)}}


def options_in_words(rule: ModuleType) -> list[str]:
    """``most: 50 mA; the drain that is borne (common practice)`` an option."""
    return [f"{option.name}: {option.default}; {option.meaning} ({option.origin})" for option in getattr(rule, "OPTIONS", ())]


def page_of(rule: ModuleType) -> str:
    """The whole page, for the terminal."""
    text = (inspect.getdoc(rule) or "").rstrip()
    options = options_in_words(rule)
    if options:
        text += "\n\nOptions, under `rules:` of the description, with their defaults:\n\n" + "\n".join(f"    {option}" for option in options)
    return f"{rule.CODE} ({rule.SEVERITY.word})\n\n{text}"
