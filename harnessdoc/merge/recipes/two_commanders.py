"""Two commanders on one load: outputs of one kind share a relay, each through its diode; of two kinds there are two relays, contacts side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from . import roles
from .kit import Kit
from .recipe import Recipe
from .relay_facts import minded, source

_LOW = ("low-side-command", "second-low-side-command")
_HIGH = ("high-side-command", "second-high-side-command")


def _put(kit: Kit) -> None:
    low, high = ([role for role in roles_ if kit.has(role)] for roles_ in (_LOW, _HIGH))
    groups = [commands for commands in (low, high) if commands]
    names = ("K1", "K2") if len(groups) == 2 else ("K",)
    relays = [kit.relay(*commands, load="load", name=name) for commands, name in zip(groups, names, strict=True)]
    diodes = iter(("D1", "D2", "D3", "D4"))

    def lead(relay: str, terminal: str) -> str:
        """The name of the wire to a terminal: with that of its relay where there are two."""
        return terminal if len(relays) == 1 else f"{relay.removeprefix(f'{kit.interface}-')}-{terminal}"

    if low:
        kit.coil_feed(lead(relays[0], "86"), f"{relays[0]}.86")
        _gather(kit, low, f"{relays[0]}.85", lead(relays[0], "85"), "A", "K", diodes)
    if high:
        _gather(kit, high, f"{relays[-1]}.86", lead(relays[-1], "86"), "K", "A", diodes)
        kit.ground(lead(relays[-1], "85"), f"{relays[-1]}.85", kit.coil_size)
    if len(relays) == 1:
        kit.load_feed("30", f"{relays[0]}.30")
        kit.land("load", f"{relays[0]}.87")
        return
    shared, side_by_side = kit.splice("S30", "feed of both relays"), kit.splice("S87", "contacts side by side")
    kit.load_feed("S30", shared)
    for relay in relays:
        kit.wire(lead(relay, "30"), shared, f"{relay}.30", kit.load_size)
        kit.wire(lead(relay, "87"), f"{relay}.87", side_by_side, kit.load_size)
    kit.land("load", side_by_side)


def _gather(kit: Kit, commands: Sequence[str], coil: str, wire: str, inner: str, outer: str, diodes: Iterator[str]) -> None:
    """One command goes to the coil; two go to a splice before it, through a diode each. inner, outer: the diode's terminal to the coil, and to the command."""
    if len(commands) == 1:
        kit.land(commands[0], coil)
        return
    splice = kit.splice(f"S{coil.rpartition('.')[2]}", "both commands")
    kit.wire(wire, splice, coil, kit.coil_size)
    for command, name in zip(commands, diodes, strict=False):
        diode = kit.diode(name)
        kit.wire(f"{name}-{inner}", splice, f"{diode}.{inner}", kit.coil_size)
        kit.land(command, f"{diode}.{outer}")


RECIPE = Recipe(
    "two commanders on one load",
    "load relay",
    "two outputs or switches of which either turns the load on",
    (
        roles.end(_LOW[0], "a command that closes to ground; else `high-side-command`", without=_HIGH[:1]),
        roles.end(_LOW[1], "the other command, where it closes to ground too; else `high-side-command`", along=_LOW[:1], without=_HIGH[:1]),
        roles.end(_HIGH[0], "a command that closes to the supply", along=_HIGH[1:]),
        roles.end(_HIGH[1], "the other command, where it closes to the supply too; else `low-side-command`", along=_HIGH[:1], without=_LOW[:1]),
        roles.end("load", "the supply side of the load"),
        roles.feed("feed", "the battery, or what it feeds: it carries the load"),
        roles.feed("coil-feed", "the switched supply of the units that close to ground, behind a small fuse", along=_LOW),
        roles.ground("ground", "the ground of the coil that is fed by an output", along=_HIGH),
        *roles.OF_FUSE, roles.SIZE, *roles.OF_COIL, *roles.OF_RELAY, *roles.OF_DIODE, *roles.OF_COLOUR,
    ),
    (
        *minded("G"),
        "A diode takes 0.7 V from the coil, and a unit that checks its output reads another voltage there.",
        "Feed the coil from the supply of the units: where it is live while one of them is off, current enters that unit through its output unless the diode keeps it out.",
    ),
    source("G"),
    {"low-side-command": "donor/E1.11", "second-low-side-command": "host/X12.4", "load": "host/X3.1", "feed": "host/B1.30", "coil-feed": "host/F4.2", "fuse": "20 A"},
    _put,
)
