"""Which recipe goes between two circuits that are to be joined, and how its entry is written.

Takes the Traits of both and their Fit; gives the name of a recipe (``recipes``), or "" where the ends are joined as they are. Of a
Proposal it gives the text of the entry under ``interfaces:``, or what is missing for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..trade.pairing import kinds_of
from .candidates import Traits
from .likeness import CHARGE_LAMP_W, Fit, gives

if TYPE_CHECKING:
    from .match import Proposal
    from .recipes import Role

_OF_PART = {
    "relay A": "low-side output to case-grounded load", "relay B": "high-side output to ground-switched load", "relay C": "supply signal to ground input",
    "relay D": "ground signal to supply input", "relay F": "start chain with interlock", "relay G": "two commanders on one load",
    "diode": "diode", "pull-up": "pull-up", "resistor": "series resistor",
}
"""What the table of signal kinds wants between -> the recipe."""
START_CHAIN, TWO_COMMANDERS, LOW_SIDE = "start chain with interlock", "two commanders on one load", "low-side output to case-grounded load"
_LOW = frozenset(kinds_of("low-side drivers"))
_DRIVERS = frozenset((*_LOW, *kinds_of("high-side drivers")))
_ROLES = {
    "low-side output to case-grounded load": ("command", "load"), "high-side output to ground-switched load": ("command", "load"),
    "supply signal to ground input": ("signal", "input"), "ground signal to supply input": ("signal", "input"), "inverted with 87a": ("low-side-command", "load"),
    "start chain with interlock": ("key", "solenoid"), "control-unit-held main relay": ("command", "load"), "pull-up": ("signal", "input"),
    "diode": ("anode", "cathode"), "series resistor": ("from", "to"), "charge lamp excitation": ("lamp", "alternator"),
    "two commanders on one load": ("second-low-side-command", "low-side-command"),
}
"""Recipe -> the roles of the end that gives and of the end that takes; of the charge lamp the lamp and the alternator."""
_RAIL_OF = {"feed": "constant", "coil-feed": "switched", "ground": "ground"}
_SWITCHED_FEED = ("inverted with 87a", "pull-up", "ground signal to supply input", "charge lamp excitation")
"""Recipes whose ``feed`` is dead with the key off."""


def interface_for(host: Traits, donor: Traits, fit: Fit) -> str:
    """The recipe between a circuit of the host and one of the donor; "" where none is needed."""
    kinds = {*host.kinds, *donor.kinds}
    if "charge-lamp" in kinds and "lamp" in kinds:
        lamp = host if "lamp" in host.kinds else donor
        fed = any(kind != "lamp" for kind in lamp.kinds)
        # a lamp of 2 to 3 W excites by itself; where more hangs on its wire, it would be fed from the alternator too
        return "" if lamp.watts is not None and CHARGE_LAMP_W[0] <= lamp.watts <= CHARGE_LAMP_W[1] and not fed else "charge lamp excitation"
    if "charge-lamp" in kinds and fit.verdict == "with a part":
        return "charge lamp excitation"
    if fit.part:
        return _OF_PART.get(fit.part, "")
    if fit.verdict == "with a part":        # the output does not carry the load
        giver = host if set(host.kinds) & _DRIVERS else donor
        return _OF_PART["relay A" if set(giver.kinds) & _LOW else "relay B"]
    if set(host.kinds) & _LOW and set(donor.kinds) & _LOW and kinds & frozenset(kinds_of("loads")):
        return "two commanders on one load"
    if "starter-control" in kinds and kinds & {"feed-start", "source-switched", "switch-to-supply"}:
        return "start chain with interlock"
    if host.inverted != donor.inverted and fit.verdict == "direct" and kinds & _DRIVERS:
        return "inverted with 87a"
    return ""


def roles_for(recipe: str, host: Traits, donor: Traits) -> tuple[str, ...]:
    """The roles of the host's end and of the donor's in a recipe; empty where the two do not say which."""
    if not recipe or recipe not in _ROLES:
        return ()
    giver, taker = _ROLES[recipe]
    if recipe == "charge lamp excitation":
        host_first = "charge-lamp" not in host.kinds
        if "lamp" not in (host if host_first else donor).kinds:
            giver = "feed"              # no lamp: a resistor in its place, from a supply
    elif recipe == "two commanders on one load":
        if not all(set(side.kinds) & _LOW for side in (host, donor)):
            giver, taker = "second-high-side-command", "high-side-command"
        host_first = True
    elif recipe == "diode" and bool(set(host.kinds) & _LOW) != bool(set(donor.kinds) & _LOW):
        host_first = not set(host.kinds) & _LOW     # current goes into an output that closes to ground
    else:
        host_first = any(gives(kind) for kind in host.kinds)
    if recipe == "inverted with 87a" and set((host if host_first else donor).kinds) & frozenset((*kinds_of("high-side drivers"), *kinds_of("sources"))):
        giver = "high-side-command"
    return (giver, taker) if host_first else (taker, giver)


def is_two_ended(recipe: str) -> bool:
    """Whether a recipe parts the two ends, so that they are not on one copper; a pull-up only hangs on it."""
    return recipe != "pull-up"


def entry_of(proposal: Proposal, rails: Mapping[str, str], grounds: Mapping[str, str]) -> tuple[str, str]:
    """The inside of an entry under ``interfaces:`` for a proposal, and "" ; or "" and what is missing for it. grounds: role -> the ground that is chosen for it."""
    given, missing = _given(proposal, rails)
    given |= grounds
    if missing:
        return "", "name " + " and ".join(role.name for role in missing)
    return _written(proposal.interface, given), ""


def _given(proposal: Proposal, rails: Mapping[str, str]) -> tuple[dict[str, str], tuple[Role, ...]]:
    """What is known of the roles of a proposal's interface, and the roles that are needed besides."""
    from .recipes import RECIPES, missing

    recipe = RECIPES[proposal.interface]
    given = dict(zip(proposal.roles, (proposal.host_end, proposal.donor_end), strict=True)) if proposal.roles else {}
    given |= dict(proposal.further)
    for role in recipe.roles:
        if role.kind in ("feed", "ground") and role.name not in given:
            rail = "switched" if role.name == "feed" and recipe.name in _SWITCHED_FEED else _RAIL_OF.get(role.name, "")
            if rail in rails and role.is_needed(given):
                given[role.name] = rails[rail]
    return given, missing(recipe, given)


def ground_wires(proposal: Proposal, rails: Mapping[str, str]) -> dict[str, int]:
    """Role of its interface that names a ground -> how many wires end there, also of those that may be left out; empty where its entry cannot be written."""
    from .recipes import RECIPES, expand

    recipe = RECIPES[proposal.interface]
    given, missing = _given(proposal, rails)
    free = [role.name for role in recipe.roles if role.kind == "ground" and given.get(role.name, rails.get("ground")) == rails.get("ground")]
    if missing or "ground" not in given or "ground" not in rails:
        return {}
    leads = list(expand("I", recipe, given | dict.fromkeys(free, rails["ground"])).leads.values())
    return {role: leads.count(role) for role in free if role in leads}


def further_ends(proposal: Proposal) -> tuple[str, ...]:
    """The ends besides the two that a join brings to the interface."""
    from .recipes import RECIPES

    recipe = RECIPES[proposal.interface]
    return tuple(end for role, end in proposal.further if recipe.role(role).kind == "end")


def coil_size(proposal: Proposal) -> str:
    """The size of the wires of the coil, by the recipe."""
    from .recipes import RECIPES

    return RECIPES[proposal.interface].role("coil-size").default


def lacking(proposal: Proposal, rails: Mapping[str, str]) -> tuple[str, ...]:
    """The roles of its interface that nothing found fills: a person names them."""
    return tuple(role.name for role in _given(proposal, rails)[1])


def has_relay(recipe: str) -> bool:
    """Whether a recipe puts in a relay, which sits in a spare position where there is one."""
    from .recipes import RECIPES

    return any(role.name == "relay" for role in RECIPES[recipe].roles)


def _written(recipe: str, given: Mapping[str, str]) -> str:
    return ", ".join((f"recipe: {recipe}", *(f"{role}: {value}" for role, value in given.items())))
