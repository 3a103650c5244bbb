"""Roles that several recipes share, one meaning each.

Defaults are a choice of what to fit, and each says what it is: the relay is the row of that name (``trade/relay_parts.py``); a resistor across the
coil suits both ends of it and lets the contacts open faster than a diode does (relay makers' sheets); a diode of 1 A carries
five coils (common practice).
"""

from __future__ import annotations

from ...trade.relay_parts import relay_parts
from .recipe import Role

FUSE = Role("fuse", "value", False, "fuse put into the feed of the load, as `15 A` or `60 A midi`; leave it out where the feed is behind one that fits")
SMALL_FUSE = Role("fuse", "value", False, "small fuse put into the feed, as `2 A`; leave it out where the feed is behind one that fits")
FUSE_PLACE = Role("fuse-place", "value", False, "the point at which that fuse sits: where the feed is taken; with the interface where left out")
COIL_FUSE = Role("coil-fuse", "value", False, "fuse put into the feed of the coil, as `5 A`; leave it out where that feed is behind one that fits")
SIZE = Role("size", "value", False, "size of the wires that carry the load; by the fuse where left out")
COIL_SIZE = Role("coil-size", "value", False, "size of the wires of the coil", "0.5 mm2")
SIGNAL_SIZE = Role("size", "value", False, "size of the wires", "0.5 mm2")
COLOUR = Role("colour", "value", False, "colour of the wires that are added, in the convention of this file")
GROUND_COLOUR = Role("ground-colour", "value", False, "colour of the wires to ground that are added")
RELAY = Role("relay", "part", False, "the relay, by the name of a ready-made part", "mini relay 40 A", tuple(relay_parts()))
SIGNAL_RELAY = Role("relay", "part", False, "the relay, by the name of a ready-made part; a signal relay where it can be had", "micro relay 30 A", tuple(relay_parts()))
COIL = Role("coil", "value", False, "resistance of its coil, where it was measured: `85 ohm`")
RATING = Role("rating", "value", False, "what its contacts carry, where it is not as the part's row says: `40 A`")
SUPPRESSION = Role("suppression", "value", False, "what is across its coil; of a diode the cathode is at 86", "resistor", ("none", "diode", "resistor", "unknown"))
DIODE = Role("diode", "part", False, "the diode, in words: `3 A, 400 V`")
DIODE_RATING = Role("diode-rating", "value", False, "what the diode carries", "1 A")

OF_FUSE = (FUSE, FUSE_PLACE)
OF_SMALL_FUSE = (SMALL_FUSE, FUSE_PLACE)
OF_RELAY = (RELAY, COIL, RATING, SUPPRESSION)
OF_COIL = (COIL_FUSE, COIL_SIZE)
OF_COLOUR = (COLOUR, GROUND_COLOUR)
OF_DIODE = (DIODE, DIODE_RATING)


def end(name: str, what: str, *, needed: bool = True, along: tuple[str, ...] = (), without: tuple[str, ...] = (), against: tuple[str, ...] = ()) -> Role:
    """The address of an end that a join brings."""
    return Role(name, "end", needed, what, along=along, without=without, against=against)


def feed(name: str, what: str, *, along: tuple[str, ...] = ()) -> Role:
    """An address from which the recipe leads a supply."""
    return Role(name, "feed", True, what, along=along)


def ground(name: str, what: str, *, needed: bool = True, along: tuple[str, ...] = (), without: tuple[str, ...] = ()) -> Role:
    """An address to which the recipe leads a ground."""
    return Role(name, "ground", needed, what, along=along, without=without)
