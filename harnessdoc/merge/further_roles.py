"""Roles of an interface that neither of the two ends of a join fills, taken from what is wired: the interlock of a start chain, the start output, a second commander.

Takes a source and ends of it that are left alone; gives addresses with the names of their sources. Only what the kinds of pins and the words, or the
copper as found, both say is taken; what is not found a person fills in.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from typing import TYPE_CHECKING

from ..network.islands import connect
from ..trade.pairing import kinds_of
from .plan import Source
from .wordings import understood

if TYPE_CHECKING:
    from .match import Left

INTERLOCKS = ("start interlock", "clutch switch")
"""Functions of a switch that may stand in a start chain, the surer first."""
_SURE = 0.7
"""How sure the title of a switch must be understood."""
_DRY = frozenset(("switch-contact", "interlock", ""))
"""Signals of a contact that nothing else hangs on."""
_LOW, _HIGH = frozenset(kinds_of("low-side drivers")), frozenset(kinds_of("high-side drivers"))


def interlock(source: Source, ends: Collection[str]) -> tuple[str, str] | None:
    """The two contacts of a switch of a vehicle that can hold up the start: of one that was the interlock, or a spare pair of contacts. None where there is none.

    ends: own addresses at which a join can be made
    """
    found = sorted(_interlocks(source), key=lambda one: one[0])
    return next(((source.id(a), source.id(b)) for _, a, b in found if a in ends and b in ends), None)


def _interlocks(source: Source) -> Iterator[tuple[tuple[bool, int], str, str]]:
    harness = source.harness
    for device in harness.devices.values():
        if device.id == harness.key_switch:
            continue
        meant = understood(device.title).functions
        rank = next((number for number, meaning in enumerate(INTERLOCKS) if meant.get(meaning, 0.0) > _SURE), None)
        for state, pairs in device.closes.items():
            for a, b in pairs:
                signals = {harness.contacts[end].signal for end in (a, b) if end in harness.contacts}
                was = signals == {"interlock"}
                is_free = signals <= _DRY and not any(harness.wires_at.get(end) for end in (a, b))
                # a clutch switch that is closed at rest opens when the pedal is down
                if was or is_free and rank is not None and not (state == device.rest and INTERLOCKS[rank] == "clutch switch"):
                    yield (not was, rank or 0), a, b


def start_output(left: Iterable[Left]) -> str:
    """The output of the donor's control unit that held its start relay, where it is left without a partner; "" where there is none."""
    return next((one.end for one in left if one.kinds == ("output-start",)), "")


def second_commander(host: Source, load: str, ends: Iterable[str]) -> tuple[str, str] | None:
    """Who else commanded a load of the host by a relay, with the role it takes beside an output that closes to ground. None where nobody did.

    load: own address at the load; ends: own addresses of what closes to ground or to the supply and is left alone
    """
    harness = host.harness
    of = connect(harness).island_of
    ends = tuple(ends)
    for part in harness.parts.values():
        if part.kind != "relay" or of.get(f"{part.id}.87") != of.get(load):
            continue
        for coil in ("85", "86"):
            for end in ends:
                if end in of and of[end] == of.get(f"{part.id}.{coil}"):
                    signal = harness.contacts[end].signal
                    if signal in _LOW:
                        return "second-low-side-command", host.id(end)
                    if signal in _HIGH:
                        return "high-side-command", host.id(end)
    return None
