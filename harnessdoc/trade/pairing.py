"""What may be joined to what: two kinds of signal on one copper.

Takes two signal kinds, in either order; gives what the trade says of the two being
joined: as they are, with a part between, through a converter, never, or not at all
because the circuit is kept whole. The kinds alone do not always say: a row may hold in
a circumstance only (``where``, one of CIRCUMSTANCES), which the caller finds out and
names. A pair with no row has no verdict; that is not to say that it may be joined.
The two are pins of devices: an in-line half repeats the signal of the pin behind it and
is no second one.

``from`` and ``to`` of a row are kinds of ``data/signals.csv``, groups of them
(``data/signal_groups.csv``) or ANYTHING. Of the rows that fit a pair those of the fewest
kinds count, fewest in either's kinds times the other's, and no other.
Facts: ``data/signal_pairs.csv``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal, get_args

from harnessdoc.findings import Severity
from harnessdoc.trade.signals import signals
from harnessdoc.trade.tables import rows

Verdict = Literal["direct", "with a part", "converter", "never", "leave whole"]
VERDICTS: tuple[Verdict, ...] = get_args(Verdict)

#: What ``part`` may name; the relays by their wiring in ``relay_wirings.py``.
PARTS = ("relay A", "relay B", "relay C", "relay D", "relay F", "relay G", "diode", "pull-up", "resistor")

#: In from and to of a row: every kind of signal.
ANYTHING = "anything"

CIRCUMSTANCES: Mapping[str, str] = {
    "same device": "both contacts belong to one device",
    "two vehicles": "the two contacts come from two vehicles that are merged",
    "two control units": "the copper serves the sensors of two control units: pins of two that read sensors, or sensors read by two",
    "two tracks": "the copper serves both tracks of one pedal or of one throttle",
    "load to ground": "the load's other end, or its case, is at ground",
    "load to supply": "the load's other end is at the supply",
    "live in start": "what feeds the copper is live in run and in start",
    "dead in start": "what feeds the copper is dead in start",
    "no pull-up": "nothing pulls the copper up: no resistor, and no reader that does it inside",
    "pulses differ": "pulses a turn or a distance are stated of both and differ",
    "curve differs": "curves are stated of both and differ",
    "bus differs": "bus or bit rate is stated of both and differs",
}
"""Circumstance -> when it holds. What is not known does not hold."""


@dataclass(frozen=True, slots=True)
class Pairing:
    """What a row says of two kinds on one copper.

    from_, to: each a kind, a group or ANYTHING; ``kinds_of`` opens them. Where one gives and the other takes the giver is ``from_``
    where:    "" where the kinds alone say it, else the circumstance in which the row holds
    verdict:  one of VERDICTS
    part:     what comes between, one of PARTS; "" unless the verdict is ``with a part``
    needs:    what is needed, in words; "" where nothing is
    words:    what the join is, or what comes of it as it is: one sentence
    severity: how bad it is joined as it is; None where that is no fault: ``direct``, and a circuit left whole as built
    modes:    failure modes of the trade it leads to, by their numbers in our list of sixty, the main one first
    """

    from_: str
    to: str
    where: str
    verdict: Verdict
    part: str
    needs: str
    words: str
    severity: Severity | None
    modes: tuple[int, ...]
    origin: str
    mark: str


@cache
def groups() -> Mapping[str, tuple[str, ...]]:
    """Group of signal kinds -> its kinds, in the order of the table."""
    found: dict[str, tuple[str, ...]] = {}
    for r in rows("signal_groups"):
        found[r["group"]] = (*found.get(r["group"], ()), r["kind"])
    return found


def kinds_of(name: str) -> tuple[str, ...]:
    """The kinds that ``from_`` or ``to`` of a Pairing stands for."""
    return tuple(signals()) if name == ANYTHING else groups().get(name, (name,))


@cache
def pairings() -> tuple[Pairing, ...]:
    """Every row, in the order of the table."""
    return tuple(
        Pairing(
            r["from"], r["to"], r["where"], r["verdict"], r["part"], r["needs"], r["words"],  # type: ignore[arg-type]
            Severity[r["hurts"].upper()] if r["hurts"] else None, tuple(map(int, r["modes"].split())), r["origin"], r["mark"],
        )
        for r in rows("signal_pairs")
    )


def pairing(a: str, b: str, where: Collection[str] = ()) -> Pairing | None:
    """What is said of kinds ``a`` and ``b`` on one copper; None where the table says nothing, or one of them is no kind.

    where: the circumstances that hold, of those that ``asked(a, b)`` names; others change nothing.
    A row for one of them goes before what the kinds alone say; of several that hold the worst counts, of equals the first.
    """
    kinds_alone = None
    worst = None
    for row in _rows_of(a, b):
        if not row.where:
            kinds_alone = row
        elif row.where in where and (worst is None or _rank(row) > _rank(worst)):
            worst = row
    return worst or kinds_alone


def asked(a: str, b: str) -> tuple[str, ...]:
    """The circumstances on which the verdict about ``a`` and ``b`` depends, in the order of the table."""
    return tuple(row.where for row in _rows_of(a, b) if row.where)


def _rank(row: Pairing) -> int:
    return -1 if row.severity is None else row.severity


@cache
def _rows_of(a: str, b: str) -> tuple[Pairing, ...]:
    """The rows that count for the pair, in the order of the table: those of one ``from`` and ``to``."""
    fitting = [table for x in _names().get(a, ()) for y in _names().get(b, ()) for key in {(x, y), (y, x)} if (table := _by_names().get(key))]
    return min(fitting, key=_precedence, default=())


def _precedence(table: tuple[Pairing, ...]) -> tuple[int, int, int]:
    """Fewest kinds first, of equals the worse, of those the earlier in the table."""
    kinds = len(kinds_of(table[0].from_)) * len(kinds_of(table[0].to))
    return kinds, -max(map(_rank, table)), pairings().index(table[0])


@cache
def _names() -> Mapping[str, tuple[str, ...]]:
    """Signal kind -> the names it goes by in the table: its own, its groups, ANYTHING."""
    return {kind: (kind, *(group for group, kinds in groups().items() if kind in kinds), ANYTHING) for kind in signals()}


@cache
def _by_names() -> Mapping[tuple[str, str], tuple[Pairing, ...]]:
    """(from, to) -> its rows."""
    found: dict[tuple[str, str], tuple[Pairing, ...]] = {}
    for row in pairings():
        found[row.from_, row.to] = (*found.get((row.from_, row.to), ()), row)
    return found
