"""What every explanation of a reading fault looks at: the text, the place, and how much of it is said.

Takes: the source text and the fault the builder noted. Gives: characters, lines and depths around it.
"""

from __future__ import annotations

from dataclasses import dataclass

from harnessdoc.description.builder import Fault
from harnessdoc.description.text import SourceText
from harnessdoc.description.traps import line_end, opens


@dataclass(frozen=True, slots=True)
class Look:
    """The fault, with what all explanations look at."""

    source: SourceText
    text: str
    fault: Fault

    @property
    def at(self) -> str:
        """The character where the parser stopped, "" at the end of the text."""
        return self.text[self.fault.mark : self.fault.mark + 1]

    @property
    def in_flow(self) -> bool:
        return self.fault.flow_mark is not None

    def line_of(self, mark: int) -> int:
        return self.source.place(mark).line

    def first_on_line(self, mark: int) -> int:
        """The mark of the first character that is not a space on the line of ``mark``."""
        place = self.source.place(mark)
        line = self.text[mark - place.column + 1 : line_end(self.source, mark)]
        return mark - place.column + 1 + len(line) - len(line.lstrip())

    def is_in_flow(self, mark: int) -> bool:
        """Whether brackets are open at ``mark``; the parser reads ahead of those it has told of, so the line itself is looked at, too."""
        return self.in_flow or opens(self.text[mark - self.source.place(mark).column + 1 : mark])

    def says(self, *words: str) -> bool:
        return any(word in self.fault.problem for word in words)


def short(words: str) -> str:
    """A user's text as part of a message: at most 60 characters of it."""
    return words if len(words) <= 60 else words[:57] + "..."


def spaces(number: int) -> str:
    return "1 space" if number == 1 else f"{number} spaces"


def depth_of(line: str) -> int:
    return len(line) - len(line.lstrip(" \t"))
