"""What each wire carries, in every state, and whether it may carry that for good.

Takes an Operation and the geometry; gives for each wire its largest current, what it may carry
by the table the description names, and a verdict. While the engine is cranked a current
flows for seconds: no table of currents for good says anything of it, and it is shown apart.
The conductor's temperature is the circular's formula, printed and never fed back: the
resistances are those at the ambient temperature.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import prod, sqrt

from ..findings import Severity
from ..geometry.measure import Geometry
from ..model.electric import Engine
from ..model.harness import Wire
from ..operation.catalogue import wire_element
from ..operation.conductors import Conductor
from ..operation.operate import Operation, Solved
from ..operation.words import amps_shown
from ..trade.ampacity import Ampacity, NotInTable, ampacity, of_free_air
from ..trade.bundle_derating import conductor_temperature_c
from ..trade.sizes import Size
from ..trade.tables import Fact, factors
from .flow import NO_CURRENT_A
from .verdict import Verdict, fails, holds, not_judged

ENGINE_SPACES = ("engine", "flexing", "hot")
"""Zones in the engine compartment, where the tables of small craft derate."""


FOR_30_C = ("33 CFR 183.425", "ABYC E-11")
TABLE_C = 30.0
"""Tables whose figures are for this ambient; their own factor for an engine space is for 50 C."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What a wire carries in one state: A, and what it loses with its terminals in V and W."""

    wire: str
    current_a: float
    drop_v: float
    power_w: float


@dataclass(frozen=True, slots=True)
class Peak:
    """The largest current of a thing, and the state it flows in."""

    current_a: float
    state: str


@dataclass(frozen=True, slots=True)
class WireJudged:
    """A wire against its table.

    carried:     its largest current that flows for good; None where it is in no circuit that was solved
    cranking:    its largest current while the engine is cranked, None where none flows
    bundled:     how many wires carry current in the thickest bundle on its way, itself with them
    allowed:     what it may carry; None where its size is not known
    conductor_c: how warm the conductor gets by the circular's formula, None where nothing is known
    """

    wire: str
    size: Size | None
    length_mm: float | None
    carried: Peak | None
    cranking: Peak | None
    drop_v: float
    power_w: float
    bundled: int
    allowed: Ampacity | NotInTable | None
    conductor_c: Fact | None
    verdict: Verdict


def carried_in(operation: Operation, solved: Solved) -> tuple[Carried, ...]:
    """What every wire carries in one state, in the order of the description; none where it has no solution."""
    return tuple(_carried(conductor, solved.solution.currents[wire_element(id)]) for id, conductor in operation.wiring.conductors.items()
                 if solved.solution is not None and wire_element(id) in solved.solution.currents)


def wires_judged(operation: Operation, geometry: Geometry) -> dict[str, WireJudged]:
    """Wire -> its verdict, for every wire with two known ends."""
    bundled = _Bundled(operation, geometry)
    why = {aside.thing: aside.words for aside in operation.wiring.left_out}
    return {id: _judged(operation, conductor, bundled, why.get(wire_element(id), "")) for id, conductor in operation.wiring.conductors.items()}


def allowed_for(operation: Operation, conductor: Conductor, size: Size, bundled: int) -> Ampacity | NotInTable:
    """What the wire of ``conductor`` may carry if it had the size ``size``, where it lies."""
    harness = operation.wiring.harness
    wire = harness.wires[conductor.wire]
    if wire.free_air is not None and size == wire.size:
        return of_free_air(wire.free_air.value, size, bundled)
    kind = wire.type
    return ampacity(size, kind.temperature_c if kind else None, harness.ampacity, conductor.zone in ENGINE_SPACES, conductor.warmest_c, bundled)


def peaks(operation: Operation, element: str) -> tuple[Peak | None, Peak | None]:
    """The largest current through an element that flows for good, and while the engine is cranked; None where it is in no solution."""
    for_good, cranking = operation.kept("peaks", lambda: _peaks(operation))
    return for_good.get(element), cranking.get(element)


def _peaks(operation: Operation) -> tuple[dict[str, Peak], dict[str, Peak]]:
    """Of every element, in one pass over the states; of equal currents that of the first state."""
    found: tuple[dict[str, Peak], dict[str, Peak]] = ({}, {})
    for is_cranking, peaks_there in zip((False, True), found):
        least: dict[str, float] = {}
        for solved in operation.solved.values():
            if solved.solution is None or (solved.case.engine is Engine.CRANKING) is not is_cranking:
                continue
            for element, amps in solved.solution.currents.items():
                if (amps if amps >= 0 else -amps) > least.get(element, -1.0):
                    # Two solutions of one current differ in their last digits; the first is kept.
                    least[element] = abs(amps) * (1 + 1e-9)
                    peaks_there[element] = Peak(abs(amps), solved.case.name)
    return found


def allows(allowed: Ampacity) -> str:
    """``allows 15 A x 0.78 = 11.7 A (33 CFR 183.425: ...)``."""
    share = prod(factor for _, factor in allowed.factors)
    base = f"{allowed.current_a / share:g} A x {' x '.join(f'{factor:g}' for _, factor in allowed.factors)} = " if allowed.factors else ""
    return f"allows {base}{allowed.current_a:.4g} A ({allowed.words}{f'; {allowed.beyond}' if allowed.beyond else ''})"


def _carried(conductor: Conductor, amps: float) -> Carried:
    return Carried(conductor.wire, abs(amps), abs(amps) * conductor.ohm, amps * amps * conductor.ohm)


def _judged(operation: Operation, conductor: Conductor, bundled_in: Callable[[str, str], int], why_left_out: str) -> WireJudged:
    wire = operation.wiring.harness.wires[conductor.wire]
    carried, cranking = peaks(operation, wire_element(wire.id))
    bundled = bundled_in(wire.id, carried.state) if carried else 1
    loses = _carried(conductor, carried.current_a if carried else 0.0)
    allowed = allowed_for(operation, conductor, wire.size, bundled) if wire.size else None
    verdict, conductor_c = _verdict(wire, conductor, carried, cranking, allowed, why_left_out)
    return WireJudged(wire.id, wire.size, conductor.length_mm, carried, cranking, loses.drop_v, loses.power_w, bundled, allowed, conductor_c, verdict)


def _verdict(wire: Wire, conductor: Conductor, carried: Peak | None, cranking: Peak | None, allowed: Ampacity | NotInTable | None,
             why_left_out: str) -> tuple[Verdict, Fact | None]:
    if carried is None:
        return not_judged("ampacity", f"not solved: {why_left_out}" if why_left_out else "no path through it in any state that was solved"), None
    while_cranking = ""
    if cranking is not None and cranking.current_a > max(carried.current_a * (1 + 1e-6), NO_CURRENT_A):
        while_cranking = f"; {amps_shown(cranking.current_a)} for seconds while cranking ({cranking.state})"
    amps = f"{amps_shown(carried.current_a)} ({carried.state})" if carried.current_a > NO_CURRENT_A else "no current"
    flows = f"{amps}{while_cranking} through {wire.size or 'a size that is not known'}"
    if not isinstance(allowed, Ampacity):
        return not_judged("ampacity", f"{flows}{f': {allowed.words}' if allowed else ''}"), None
    stands_c = wire.type.temperature_c if wire.type else None
    rating_c = stands_c if stands_c is not None else allowed.column_c
    conductor_c = conductor_temperature_c(conductor.warmest_c, rating_c, carried.current_a, allowed.current_a) if rating_c is not None and rating_c > conductor.warmest_c else None
    warm = f"; conductor {conductor_c.value:.0f} C by the circular's formula" if conductor_c else ""
    words = f"{flows}; {allows(allowed)}{warm}"
    if carried.current_a > allowed.current_a:
        return fails("ampacity", Severity.HAZARD, words), conductor_c
    if stands_c is not None and conductor.warmest_c >= stands_c:
        return fails("ampacity", Severity.DAMAGE, f"{stands_c:g} C insulation in a zone of {conductor.warmest_c:g} C; {words}"), conductor_c
    cooler_a = by_its_heat(allowed, conductor)
    if cooler_a is not None:
        words += f"; by the heat it can give off at {conductor.warmest_c:g} C {cooler_a:.3g} A (worked out, in no table)"
        if carried.current_a > cooler_a:
            return fails("ampacity", Severity.ADVICE, words), conductor_c
    return holds("ampacity", words), conductor_c


def by_its_heat(allowed: Ampacity, conductor: Conductor) -> float | None:
    """Where the zone is warmer than the table stands for: its figure times root((Tr - Ta) / (Tr - 30)), derived from the heat a wire gives off, which goes with the square of its current.

    None where the table stands for the zone, or its figure is not for 30 C.
    """
    if not allowed.beyond or allowed.column_c is None or allowed.table not in FOR_30_C or allowed.column_c <= conductor.warmest_c:
        return None
    return allowed.current_a / prod(factor for _, factor in allowed.factors) * sqrt((allowed.column_c - conductor.warmest_c) / (allowed.column_c - TABLE_C))


class _Bundled:
    """How many wires carry current in the thickest bundle on the way of a wire, in a state."""

    def __init__(self, operation: Operation, geometry: Geometry) -> None:
        self._operation, self._geometry = operation, geometry
        self._carrying: dict[str, frozenset[str]] = {}
        self._counts: dict[tuple[str, str], tuple[tuple[frozenset[str], int], ...]] = {}

    def __call__(self, wire: str, state: str) -> int:
        return max((count for segment in self._segments(wire) for inside, count in self._stretches(segment, state) if wire in inside), default=1)

    def _segments(self, wire: str) -> Iterator[str]:
        route = self._geometry.lengths[wire].route
        return iter(dict.fromkeys(step.segment for step in route.steps)) if route else iter(())

    def _stretches(self, segment: str, state: str) -> tuple[tuple[frozenset[str], int], ...]:
        """(the wires in it, how many of them carry current, at least one) of each stretch of a segment."""
        if (segment, state) not in self._counts:
            carrying = self._carrying_in(state)
            self._counts[segment, state] = tuple((frozenset(stretch.wires), max(sum(wire in carrying for wire in stretch.wires), 1))
                                                 for stretch in self._geometry.bundles[segment].stretches)
        return self._counts[segment, state]

    def _carrying_in(self, state: str) -> frozenset[str]:
        if state not in self._carrying:
            least_a = factors()["bundled-load"].value
            self._carrying[state] = frozenset(one.wire for one in carried_in(self._operation, self._operation.solved[state]) if one.current_a >= least_a)
        return self._carrying[state]
