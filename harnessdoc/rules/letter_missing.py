"""A character that the sheets cannot print.

What it checks: that the bundled font has every character of the description.

Why it matters: a missing character would print as nothing. It is printed as its
code point in a box instead, and said here.

Example that fails:

    title: "Engine \U0001F527"

Example that passes:

    title: "Engine, 12 V, 47 \u03a9"

Limits and source: the font's own table of characters. Comments are looked at too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..findings import Finding, Severity

if TYPE_CHECKING:
    from .registry import Subject

CODE = "letter-missing"
SEVERITY = Severity.ADVICE


def check(subject: Subject) -> Iterator[Finding]:
    for text in subject.texts.values():
        if text.text.isascii():
            continue
        for letter in sorted(filter(subject.lacks, set(text.text) - {"\n", "\r", "\t"})):
            yield Finding(CODE, SEVERITY, f"the sheets' font has no character U+{ord(letter):04X}; it is printed as its code point in a box",
                          text.place(text.text.index(letter)), "write it in words")
