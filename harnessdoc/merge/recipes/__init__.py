"""Recipes: interfaces between circuits that do not fit, by name, as real parts and wires.

Takes: the name of a recipe and what an interface gives, role by role. Gives: what is missing or wrong in it,
the parts and wires as plain sections of a description, and the wiring as text. Each recipe is one file; what it
puts in is what drawings, rules and the solve see, and the text is read from that.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from ...model.ids import nearest
from . import (charge_lamp, diode, ground_signal, high_side, inverted, low_side, main_relay, pull_up, series_resistor, start_chain, supply_signal,
               two_commanders)
from .kit import Kit
from .recipe import Expansion, Misfit, Recipe, Role, misfits, missing, unknown
from .wiring_text import wiring_text

__all__ = ["RECIPES", "Expansion", "Misfit", "Recipe", "Role", "expand", "meant", "misfits", "missing", "unknown", "wiring_text"]

RECIPES: Mapping[str, Recipe] = {file.RECIPE.name: file.RECIPE for file in (
    low_side, high_side, supply_signal, ground_signal, inverted, start_chain, two_commanders, main_relay, pull_up, diode, series_resistor, charge_lamp)}
"""Every recipe by its name."""


def meant(written: str) -> tuple[str, ...]:
    """The names of recipes that a name may mean, the likeliest first: those that begin so, or have its words, else the one that is nearest."""
    said = _words(written)
    if not said:
        return ()
    folded = " ".join(said)
    if begin := [name for name in RECIPES if " ".join(_words(name)).startswith(folded)]:
        return tuple(begin)
    if hold := [name for name in RECIPES if all(any(word.startswith(one) for word in _words(name)) for one in said)]:
        return tuple(hold)
    return (near,) if (near := nearest(written, RECIPES)) else ()


def _words(name: str) -> list[str]:
    return re.findall(r"[^\W_]+", name.casefold())


def expand(interface: str, recipe: Recipe, given: Mapping[str, str], *, box: str = "") -> Expansion:
    """The parts and wires of an interface.

    interface: its id, with which every id begins; given: role -> as written, nothing missing, unknown or misfitting
    (those are asked for first); box: the box in whose spare position its relay sits, or its fuse where it has no relay.
    A value that cannot be read (``fuse: 15``) goes into the part as it is written: the model tells it.
    """
    kit = Kit(interface, recipe, given, box)
    recipe.put(kit)
    return kit.expansion()
