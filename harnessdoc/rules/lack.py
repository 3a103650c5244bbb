"""What a rule could not ask because the description does not say it: no finding, but one line in a summary."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing a rule passed over.

    code:  of the rule
    thing: ``wire 12``, ``F3``; "" where nothing in the file says any of it
    add:   what to add, as it is written: "`rating: 15 A` to each fuse"
    """

    code: str
    thing: str
    add: str


@dataclass(frozen=True, slots=True)
class Unasked:
    """What one rule passed over for one reason; things in the order of the description."""

    code: str
    things: tuple[str, ...]
    add: str

    @property
    def words(self) -> str:
        """``fuse-over-wire: not asked of F1, F2 and 3 more; add `rating: 15 A` to each``."""
        return f"{self.code}: not asked{f' of {self.named}' if self.things else ''}; add {self.add}"

    @property
    def named(self) -> str:
        """``F1, F2 and 3 more``; "" where no thing is named."""
        named = list(self.things[:MOST_NAMED])
        if len(self.things) > MOST_NAMED:
            named.append(f"{len(self.things) - MOST_NAMED} more")
        return " and ".join(filter(None, (", ".join(named[:-1]), named[-1]))) if named else ""


def unasked(lacks: Iterable[Lack]) -> tuple[Unasked, ...]:
    """The lacks of all rules, those of one rule and reason as one, in the order of the first of each."""
    gathered: dict[tuple[str, str], dict[str, None]] = {}
    for lack in lacks:
        things = gathered.setdefault((lack.code, lack.add), {})
        if lack.thing:
            things[lack.thing] = None
    return tuple(Unasked(code, tuple(things), add) for (code, add), things in gathered.items())
