"""Start chain with interlock: key, interlock, coil, ground; the contact feeds the starter solenoid.

In the ground of the coil the interlock stands only where the donor had it there.
"""

from __future__ import annotations

from . import roles
from .kit import Kit
from .recipe import Recipe, Role

_SIDES = ("supply", "ground")


def _put(kit: Kit) -> None:
    relay = kit.relay("key", load="solenoid")
    foot = f"{relay}.85"
    if kit.text("interlock-side") == "ground":
        kit.land("key", f"{relay}.86")
        kit.land("interlock", foot)
        foot = kit.splice(title="behind the interlock")
        kit.land("interlock-out", foot)
        kit.note("The interlock lies in the ground of the coil, as in the donor: a wire that chafes through between 85 and the interlock lets the key crank the engine in gear.")
    else:
        chain = kit.splice(title="key to interlock")
        kit.land("key", chain)
        kit.land("interlock", chain)
        kit.land("interlock-out", f"{relay}.86")
    if kit.has("command"):
        kit.land("command", foot)
    else:
        kit.ground("85", foot, kit.coil_size)
    kit.load_feed("30", f"{relay}.30")
    kit.land("solenoid", f"{relay}.87")


RECIPE = Recipe(
    "start chain with interlock",
    "start relay",
    "the start contact of the key, the neutral or clutch switch, and the starter solenoid",
    (
        roles.end("key", "the start contact of the key switch"),
        roles.end("interlock", "the contact of the neutral or clutch switch that comes first"),
        roles.end("interlock-out", "its other contact"),
        roles.end("solenoid", "the solenoid of the starter (50)"),
        roles.feed("feed", "the battery, or what it feeds: it carries the solenoid"),
        roles.ground("ground", "the ground of the coil", without=("command",)),
        roles.end("command", "the start output of the control unit, where it closes to ground; then the coil has no ground of its own", needed=False, against=("ground",)),
        Role("interlock-side", "value", False, "where the interlock lies: between key and coil, or in the ground of the coil where the donor had it there", _SIDES[0], _SIDES),
        *roles.OF_FUSE, roles.SIZE, roles.COIL_SIZE, *roles.OF_RELAY, *roles.OF_COLOUR,
    ),
    (
        "Keep the interlock in the chain: bridged, the vehicle moves off when the key is turned.",
        "A solenoid takes 20 to 40 A while it pulls in (from memory): size and fuse are for that.",
    ),
    "makers' start circuits",
    {"key": "host/X1.50", "interlock": "donor/X20.1", "interlock-out": "donor/X20.2", "solenoid": "donor/M1.50", "feed": "host/B1.30", "ground": "host/GH1", "fuse": "30 A"},
    _put,
)
