"""At which ground of the host each proposed interface ends: the nearest with room on its stud.

Takes: the host without what leaves, the Proposals in their order, and the rails. Gives: proposal (its two ends) -> the grounds of the host. Each wire of
an interface brings an eyelet. Where no stud has room for all of them, a recipe with a second ground parts them; where there is none, the nearest is taken, and the check tells of it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

from ..geometry.places import Places, find_places
from .interface_choice import ground_wires
from .match import Proposal
from .plan import Source

MOST_EYELETS = 2
"""On one stud, as rule `ground-overcrowded` has it: a van maker's wiring book."""


def grounds_for(host: Source, proposals: Sequence[Proposal], rails: Mapping[str, str]) -> dict[tuple[str, str], dict[str, str]]:
    """(host end, donor end) -> role -> ground, of those whose interface wants one."""
    harness = host.harness
    held = {id: len(harness.wires_at.get(id, ())) for id in harness.grounds}
    for end in (one.host_end.partition("/")[2] for one in proposals):
        if end in held:
            held[end] += 1
    usable = [ground.id for ground in harness.grounds.values() if ground.metal != "engine" and not ground.hinged]
    places, _ = find_places(harness)
    found = {}
    for one in proposals:
        wires = ground_wires(one, rails) if one.interface and usable else {}
        if not wires:
            continue
        # its relay sits in a box, beside what feeds it
        beside = rails.get("constant", rails.get("switched", one.host_end)).partition("/")[2]
        near = sorted(usable, key=lambda id: _apart_mm(places, harness.contacts[beside].owner, id))
        roomy = next((id for id in near if held[id] + sum(wires.values()) <= MOST_EYELETS), None)
        chosen = {}
        for role, count in (wires if roomy is None else {"ground": sum(wires.values())}).items():
            chosen[role] = roomy or min(near, key=lambda id: max(held[id] + count - MOST_EYELETS, 0))
            held[chosen[role]] += count
        found[one.host_end, one.donor_end] = {role: host.id(id) for role, id in chosen.items()}
    return found


def _apart_mm(places: Places, owner: str, other: str) -> float:
    """The way between two things along the bundles; infinite where none is known."""
    a, b = places.node_of.get(owner, -1), places.node_of.get(other, -1)
    if a < 0 or b < 0:
        return 0.0 if a == b and owner in places.node_of else inf
    steps = places.graph.shortest(a, b)
    return inf if steps is None or any(step.length_mm is None for step in steps) else sum(step.length_mm for step in steps)
