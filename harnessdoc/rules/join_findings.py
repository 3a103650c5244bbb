"""From pairs of signals that do not fit to findings: one for each copper island and rule.

Takes a Subject, the failure modes a rule answers for, and its code; gives findings with the wires that join
the two pins, what the table of pairings says, and what is needed in between, of a relay terminal by terminal.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from ..findings import Finding, Related
from ..trade.relay_wirings import relay_wirings
from ..trade.signals import signals
from ..trade.tables import said

from .joined import device_of
from .lack import Lack

if TYPE_CHECKING:
    from ..findings import Severity
    from ..model.harness import Contact
    from .joined import Join, Pin
    from .subject import Subject

_MOST_WIRES = 4
_TAKEN_FOR = {"relay-coil": "coil", "source-switched": "fused supply", "ground-power": "ground"}


def findings_of_joins(subject: Subject, code: str, modes: tuple[int, ...], severity: Severity, more: Callable[[Join], str] | None = None,
                      do: Callable[[Subject, Join], str] | None = None,
                      unless: Callable[[Subject, Join], bool] | None = None, wrong: Callable[[Subject, Sequence[str]], str] | None = None) -> Iterator[Finding]:
    """The findings of one rule, island by island.

    severity: the worst the rule may yield; more: what else a message says of a pair; do: the way out, where it is not only what the table has; unless: what another rule tells better;
    wrong: of the wires from one pin to the other the one that is to be taken off, where it is not the last
    """
    by_island: dict[int, list[Join]] = {}
    for mode in modes:
        for join in subject.joins.get(mode, ()):
            if unless is None or not unless(subject, join):
                by_island.setdefault(join.island, []).append(join)
    for found in by_island.values():
        worst = max(found, key=lambda join: join.row.severity or 0)
        yield _finding(subject, code, min(worst.row.severity or severity, severity), worst, found, more(worst) if more else "", do(subject, worst) if do else way_out(worst), wrong)


def _finding(subject: Subject, code: str, severity: Severity, join: Join, found: list[Join], more: str, do: str,
             wrong: Callable[[Subject, Sequence[str]], str] | None) -> Finding:
    harness = subject.harness
    wires, splices = between(subject, join)
    caught = wrong(subject, wires) if wrong and wires else wires[-1] if wires else ""
    named = [f"wire {wire}" for wire in wires]
    shown = named if len(named) <= _MOST_WIRES else [*named[:_MOST_WIRES - 1], f"{len(named) - _MOST_WIRES + 1} more"]
    over = f" over {_listed(splices)}" if splices else ""
    through = f" by {_listed(shown)}{over}" if shown else ""
    numbered = next((f" (join {harness.splices[id].join})" for id in splices if harness.splices[id].join), "")
    words = join.row.words.rstrip(".")
    words = words if words[1:2].isupper() else words[0].lower() + words[1:]
    others = {address for one in found for address in (one.a.contact.address, one.b.contact.address, *one.others)} - {join.a.contact.address, join.b.contact.address}
    place = harness.wires[caught].source.place() if caught else join.b.contact.source.place()
    return Finding(
        code, severity, f"{_pin(join.a)} and {_pin(join.b)} are joined{through}{numbered}{more}: {words}", place, do,
        tuple(Related(pin.contact.source.place(), f"{pin.contact.address} stands here") for pin in (join.a, join.b)),
        at=(*([f"wire {caught}"] if caught else []), join.a.contact.address, join.b.contact.address, *(name for name in named if name != f"wire {caught}"), *splices, *sorted(others)), origin=said(join.row.origin, join.row.mark))


def _pin(pin: Pin) -> str:
    contact = pin.contact
    if pin.is_taken:
        return f"{contact.address} ({_TAKEN_FOR[pin.kind]})"
    said_of = contact.function if contact.function and contact.function != "unknown" else signals()[pin.kind].words
    return f"{contact.address} ({said_of}, {pin.kind})"


def way_out(join: Join) -> str:
    """What the table says is needed in between, of a relay terminal by terminal."""
    needs = join.row.needs
    if not join.row.part.startswith("relay "):
        return needs
    wiring = relay_wirings()[join.row.part.removeprefix("relay ")]
    return "\n".join((needs, *(f"{terminal}: {words}" for terminal, words in wiring.terminals.items()), wiring.mind)).rstrip()


def between(subject: Subject, join: Join) -> tuple[list[str], list[str]]:
    """The wires from one pin to the other, and the splices on the way."""
    ways = subject.ways
    reached = ways.reach_over([join.a.contact.address], ("wire",))
    end = ways.point(join.b.contact.address)
    way = reached.way(end) if end in reached else ()
    splices = dict.fromkeys(address for one in way for address in (one.a, one.b) if address in subject.harness.splices)
    return [one.thing for one in way], list(splices)


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def lacks_of(subject: Subject, code: str, givers: Collection[str], takers: Collection[str], stated: Callable[[Contact], object], add: str) -> Iterator[Lack]:
    """The pins of which a rule cannot ask: those on a copper with a giver and a taker of two devices, of which something is not stated."""
    harness, island_of = subject.harness, subject.network.island_of
    by_island: dict[int, list[Contact]] = {}
    for address, contact in harness.contacts.items():
        if contact.signal in givers or contact.signal in takers:
            by_island.setdefault(island_of[address], []).append(contact)
    for pins in by_island.values():
        owners = {device_of(harness, pin) or pin.owner for pin in pins}
        if len(owners) > 1 and any(pin.signal in givers for pin in pins) and any(pin.signal in takers for pin in pins):
            yield from (Lack(code, pin.address, add) for pin in pins if not stated(pin))
