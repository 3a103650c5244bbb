"""A character that the sheets cannot print.

What it checks: that the bundled font has every character of the description.

Why it matters: a missing character would print as nothing. It is printed as its
code point in a box instead, and said here.

Example that fails:

    title: "Engine \U0001F527"  # here

What it says:

    the sheets' font has no character U+1F527; it is printed as its code point in a box

The fix: Write it in words.

Example that passes:

    title: "Engine U+1F527"

Limits and source: the font's own table of characters. Comments are looked at too.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ...findings import Finding, Severity

if TYPE_CHECKING:
    from ..subject import Subject

CODE = "letter-missing"
SEVERITY = Severity.ADVICE
ASKS = "record"
MODES = ()


def check(subject: Subject) -> Iterator[Finding]:
    for text in subject.texts.values():
        if text.text.isascii():
            continue
        for letter in sorted(filter(subject.lacks, set(text.text) - {"\n", "\r", "\t"})):
            yield Finding(CODE, SEVERITY, f"the sheets' font has no character U+{ord(letter):04X}; it is printed as its code point in a box",
                          text.place(text.text.index(letter)), f"write it in words, or as U+{ord(letter):04X}", at=("description",))
