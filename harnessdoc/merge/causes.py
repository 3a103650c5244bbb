"""What is wrong with a merge, apart from what only follows from that.

Takes: the findings of reading a merge, its joins and interfaces as written, and the Merge. Gives: the findings that are causes. Where a
line could not be read, a name may lead nowhere for that alone; where an interface could not be made, no join can go through it or end at it,
and where a join could not be made, nothing leads to its interface.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from ..description.text import Items, Record
from ..findings import Finding, Place
from .plan import Merge

_NAMES_NOTHING = ("fate-of-nothing", "fate-without-wires", "interface-not-joined", "join-end-gone", "joined-without-join", "kept-end-gone", "open-of-nothing", "position-not-spare", "restated-nothing")
"""Said of a name that leads nowhere, besides the codes that begin with ``no-such-``."""


def causes(findings: Iterable[Finding], joins: Record, interfaces: Record, merge: Merge, is_whole: bool) -> list[Finding]:
    """The findings without what follows from lines that were left out (is_whole False), and from joins and interfaces that could not be made."""
    unmade = _unmade(interfaces, merge.interfaces)
    following = {(code, place) for code, place in _at_interfaces(joins, unmade)} | set(_not_led(joins, interfaces, merge))
    return [finding for finding in findings
            if (finding.code, finding.place) not in following and (is_whole or finding.code not in _NAMES_NOTHING and not finding.code.startswith("no-such-"))]


def is_made(joins: Record, interfaces: Record, merge: Merge) -> bool:
    """Whether every join and interface that is written is one of the merge."""
    return not _unmade(joins, merge.joins) and not _unmade(interfaces, merge.interfaces)


def _unmade(written: Record, made: Mapping[str, object]) -> list[str]:
    return [name for name in written if name not in made]


def _at_interfaces(joins: Record, unmade: list[str]) -> Iterator[tuple[str, Place]]:
    """Code and place of what is said of joins that go through one of these interfaces, or end at what it puts in (``I1-K.87``)."""
    for entry in joins.values():
        if not isinstance(entry, Record):
            continue
        if entry.get("through") in unmade:
            yield "no-such-interface", entry.place_of("through")
        ends = entry.get("ends")
        for position, end in enumerate(ends if isinstance(ends, Items) else ()):
            if isinstance(end, str) and end.partition("-")[0] in unmade:
                yield "join-end-gone", ends.place_of(position)


def _not_led(joins: Record, interfaces: Record, merge: Merge) -> Iterator[tuple[str, Place]]:
    """Code and places of what is said of an interface to which a join that could not be made was to lead an end."""
    for name in _unmade(joins, merge.joins):
        entry = joins[name]
        through = entry.get("through") if isinstance(entry, Record) else None
        if isinstance(through, str) and isinstance(interface := interfaces.get(through), Record):
            yield from (("interface-not-joined", interface.place_of(key)) for key in interface)
        ends = entry.get("ends") if isinstance(entry, Record) and isinstance(through, str) and through not in interfaces else None
        for other in interfaces.values() if isinstance(ends, Items) else ():        # a number that was misspelt
            if isinstance(other, Record):
                yield from (("interface-not-joined", other.place_of(key)) for key, end in other.items() if isinstance(end, str) and end in ends)
