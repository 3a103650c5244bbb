"""How long every wire is to be cut.

Takes a harness, the routes and the diameters over insulation; gives a WireLength a
wire and a CableLength a cable. In this order (reference: common practice):

    computed = route + twist take-up + end, splice and service allowances
    finished = measured where a measured length is stated, else computed
    cut      = finished, rounded up

A measured length is the finished one, allowances and all; it is only rounded.

Twist take-up of a stretch s of wires twisted in the shop: s (sqrt(1 + (pi D n)^2) - 1),
n turns a length = 1/lay, D = d for two wires, 1.1547 d for three, 1.4142 d for four,
d the diameter over insulation (helix geometry; derived). The stretch is the way
that all members share, or `twisted:`. A cable is bought twisted: it takes up none.

A cable is cut once: its cores have the length of the longest, also a core that
ends open. Other wires with an unknown or open end have no length unless measured.
A wire between two contacts of one box is a link of the box: it has no length and
is in no cut list.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import ceil, fsum, pi, sqrt

from ..findings import Finding, Severity
from ..model.harness import Allowances, Cable, Harness, Kind, Pair, Wire
from .graph import Route

_TWIST_FACTOR = {2: 1.0, 3: 1.1547, 4: 1.4142}
"""Members -> diameter of the helix in wire diameters (derived)."""


@dataclass(frozen=True, slots=True)
class WireLength:
    """Lengths in mm, None where unknown.

    take_up_mm:   by which twisting lengthens it
    allowance_mm: ends, splices and service loops together
    zero:         a link inside one box
    """

    route: Route | None
    take_up_mm: float
    allowance_mm: float
    computed_mm: float | None
    measured_mm: float | None
    finished_mm: float | None
    cut_mm: float | None
    zero: bool

    @property
    def routed_mm(self) -> float | None:
        return self.route.length_mm if self.route else None

    @property
    def difference_mm(self) -> float | None:
        """Measured minus computed, where both are known."""
        return None if self.measured_mm is None or self.computed_mm is None else self.measured_mm - self.computed_mm


@dataclass(frozen=True, slots=True)
class CableLength:
    """Lengths in mm, None where unknown; ``longest``: the core whose computed length is the cable's, "" where none is known."""

    longest: str
    computed_mm: float | None
    measured_mm: float | None
    finished_mm: float | None
    cut_mm: float | None

    @property
    def difference_mm(self) -> float | None:
        """Measured minus computed, where both are known."""
        return None if self.measured_mm is None or self.computed_mm is None else self.measured_mm - self.computed_mm


def compute_lengths(harness: Harness, routes: Mapping[str, Route], diameters: Mapping[str, float | None],
                    ) -> tuple[dict[str, WireLength], dict[str, CableLength], list[Finding]]:
    """Wire -> WireLength, cable -> CableLength, and findings about pairs."""
    take_ups, findings = _take_ups(harness, routes, diameters)
    allowances = harness.allowances
    service = {connector.id: connector.service.mm for connector in harness.connectors.values() if connector.service}
    contacts = harness.contacts
    lengths: dict[str, WireLength] = {}
    for wire in harness.wires.values():
        added = 0.0
        for address in (wire.from_, wire.to):
            contact = contacts.get(address)
            if contact is not None:
                added += allowances.splice_mm if contact.kind is Kind.SPLICE else allowances.end_mm
                added += service.get(contact.owner, 0.0)
        route = routes.get(wire.id)
        take_up = take_ups.get(wire.id, 0.0)
        measured = wire.length.mm if wire.length else None
        if measured is None and _is_link(harness, wire):
            lengths[wire.id] = WireLength(route, 0.0, 0.0, None, None, None, None, True)
            continue
        computed = None if route is None or route.length_mm is None else route.length_mm + take_up + added
        finished = computed if measured is None else measured
        lengths[wire.id] = WireLength(route, take_up, added, computed, measured, finished, round_up(finished, allowances), False)
    cables = {cable.id: _cable_length(cable, lengths, allowances) for cable in harness.cables.values()}
    for cable in harness.cables.values():
        whole = cables[cable.id]
        for core in cable.wires:
            own = lengths[core]
            lengths[core] = WireLength(own.route, own.take_up_mm, own.allowance_mm, own.computed_mm, own.measured_mm,
                                       whole.finished_mm, whole.cut_mm, False)
    return lengths, cables, findings


def round_up(length_mm: float | None, allowances: Allowances) -> float | None:
    """The cut length: up to a multiple of the step, of the coarser step from its length on; as it is where the step is 0."""
    if length_mm is None:
        return None
    coarse = allowances.above_mm is not None and length_mm >= allowances.above_mm
    step = allowances.step_above_mm if coarse else allowances.step_mm
    # A millionth of a step above a multiple is the dust of floating point, not length.
    return ceil(round(length_mm / step, 6)) * step if step else length_mm


def twist_factor(diameter_mm: float, lay_mm: float, members: int) -> float:
    """Length of wire for each length of twisted run: sqrt(1 + (pi D n)^2), n = 1/lay; for two, three or four members."""
    return sqrt(1 + (pi * _TWIST_FACTOR[members] * diameter_mm / lay_mm) ** 2)


def _is_link(harness: Harness, wire: Wire) -> bool:
    """Both ends in one box; with a measured length it is a wire like any other."""
    if not harness.boxes or wire.from_ not in harness.contacts or wire.to not in harness.contacts:
        return False
    boxes = []
    for address in (wire.from_, wire.to):
        owner = harness.contacts[address].owner
        part = harness.parts.get(owner)
        boxes.append(part.box if part else owner if owner in harness.boxes else None)
    return boxes[0] is not None and boxes[0] == boxes[1]


def _cable_length(cable: Cable, lengths: Mapping[str, WireLength], allowances: Allowances) -> CableLength:
    """The longest core's; a length measured of the cable wins, then one measured of a core."""
    computed = [(lengths[core].computed_mm, core) for core in cable.wires if lengths[core].computed_mm is not None]
    longest_mm, longest = max(computed, key=lambda pair: pair[0], default=(None, ""))
    of_cores = [lengths[core].measured_mm for core in cable.wires if lengths[core].measured_mm is not None]
    measured = cable.length.mm if cable.length else max(of_cores, default=None)
    finished = longest_mm if measured is None else measured
    return CableLength(longest, longest_mm, measured, finished, round_up(finished, allowances))


def _take_ups(harness: Harness, routes: Mapping[str, Route], diameters: Mapping[str, float | None]) -> tuple[dict[str, float], list[Finding]]:
    """Wire -> take-up in mm for the members of pairs, and findings for pairs whose take-up is unknown."""
    take_ups: dict[str, float] = {}
    findings: list[Finding] = []
    for pair in harness.pairs.values():
        members = [wire for wire in pair.wires if harness.wires[wire].cable is None]
        if len(members) < 2:
            continue
        stretch = _stretch(pair, members, routes)
        doubts = list(_doubts(pair, members, diameters))
        if doubts:
            findings.append(Finding("take-up-unknown", Severity.ADVICE,
                                    f"pair {pair.id}: what twisting takes up is not in the lengths of {', '.join(members)}: {'; '.join(doubts)}",
                                    pair.source.place(), "write what is missing, or measure the wires and write `length:`",
                                    at=(f"pair {pair.id}", *(f"wire {wire}" for wire in members))))
        elif stretch is not None:
            factor = twist_factor(max(diameters[wire] for wire in members), pair.lay_mm, len(members))
            take_ups.update((wire, stretch * (factor - 1)) for wire in members)
            shortest = min((route.length_mm for wire in members if (route := routes.get(wire)) and route.length_mm is not None), default=None)
            if shortest is not None and pair.twisted_mm is not None and pair.twisted_mm > shortest:
                findings.append(Finding("twisted-beyond-the-way", Severity.MALFUNCTION,
                                        f"pair {pair.id} is twisted over {pair.twisted_mm:g} mm, but the way of its wires is {shortest:g} mm long",
                                        pair.source.place_of("twisted"), f"write a length up to {shortest:g} mm, or leave `twisted` out",
                                        at=(f"pair {pair.id}", *(f"wire {wire}" for wire in members)), value=f"{pair.twisted_mm:g} mm", limit=f"{shortest:g} mm", origin="worked out"))
    return take_ups, findings


def _doubts(pair: Pair, members: list[str], diameters: Mapping[str, float | None]) -> Iterator[str]:
    if pair.lay_mm is None:
        yield "no lay is stated"
    unknown = [wire for wire in members if diameters[wire] is None]
    if unknown:
        yield f"the diameter of {', '.join(unknown)} is unknown"
    if len(members) not in _TWIST_FACTOR:
        yield f"{len(members)} wires twisted together have no known take-up"


def _stretch(pair: Pair, members: list[str], routes: Mapping[str, Route]) -> float | None:
    """The twisted length: as stated, else the pieces that the ways of all members share; None where unknown."""
    if pair.twisted_mm is not None:
        return pair.twisted_mm
    if any(wire not in routes for wire in members):
        return None
    first, *others = (routes[wire].steps for wire in members)
    shared = set.intersection(*({step.piece for step in steps} for steps in others))
    lengths = [step.length_mm for step in first if step.piece in shared]
    return None if None in lengths else fsum(lengths)
