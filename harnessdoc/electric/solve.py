"""The voltages and currents of a circuit with its relays in given states.

Newton's method on node voltages, at first with bold steps, which suit wiring: each law
is taken next where its straight line led, a diode that is to conduct less where it
conducts what the line said. If that does not come to rest, careful steps follow.
Every law rises with its voltage, so the solution is the lowest point of a convex
function (the sum of each law's integral), and a step that overshoots along its
direction is shortened until it does not: no law is bent, nothing is added to the circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from .circuit import Circuit, Fault, RelayStates, Solution, Unsolved
from .elements import Diode, Element
from .elimination import Network, Pair, eliminated
from .slopes import Law, diode_volts, first_line, law, linear
from .values import value_faults

BOLD_STEPS, MOST_STEPS = 25, 200
LOST_V = 1e4
"""Bold steps that come to such voltages are lost: two supplies alone can drive each other there."""
JUMP_V = 0.02
"""A diode jumps to its current where its voltage is to fall by more; below, Newton's steps are better."""
LAST_STEP_V = 1e-6
"""Newton doubles its digits a step: after one of 1 uV at most V^2 / (2 n kT/q) = 0.02 nV are left."""
NOTHING_A = 1e-14
"""A step that moves less than this through a branch is rest too: behind a blocking diode a voltage is no surer."""
LAST_ERROR_A, LAST_ERROR_SHARE = 1e-11, 1e-11
"""What the straight lines may differ from the laws: a hundredth of what the checker allows."""


@dataclass(frozen=True, slots=True)
class _Loose:
    """The branches that are not linear: elements, where they lie, laws; place and volts by current of diodes."""

    elements: tuple[Element, ...]
    pairs: list[Pair]
    laws: list[Law]
    diodes: list[tuple[int, Callable[[float], float]]]


@dataclass(frozen=True, slots=True)
class _Rest:
    """Where Newton came to rest: voltages as of ``Network.voltages``, currents of the loose branches."""

    voltages: list[float]
    currents: list[float]
    steps: int


def solve(circuit: Circuit, relay_states: RelayStates, start: Mapping[str, float] | None = None) -> Solution | Unsolved:
    """Node voltages and element currents with the relays in ``relay_states``.

    start: voltages of a solution close by (the same circuit with a meter more), to save steps; they change no
           result. Of no use where a switch or relay has changed: a lamp that was off is a poor guess for one that burns.
    """
    elements = circuit.elements_in(relay_states)
    faults = value_faults(circuit, elements)
    if faults:
        return Unsolved(faults)
    number, floating = tied(elements, circuit.reference)
    live = [element for element in elements if element.a in number]
    network, loose = _network(live, number)
    found = _newton(network, loose, *_starting(loose, number, start))
    if isinstance(found, Fault):
        return Unsolved((found,))
    voltages = network.all_voltages(found.voltages)
    currents = dict(zip((element.id for element in loose.elements), found.currents))
    states = {relay.id: relay_states.get(relay.id, False) for relay in circuit.relays}
    return Solution(dict(zip(number, voltages)), _all_currents(live, number, voltages, currents), floating, states, found.steps)


def resistances(circuit: Circuit, solution: Solution) -> dict[str, float]:
    """Node -> ohm between it and the reference, for a current too small to move the solution (Thevenin's)."""
    elements = circuit.elements_in(solution.relay_states)
    number, _ = tied(elements, circuit.reference)
    network, loose = _network([element for element in elements if element.a in number], number)
    voltages = list(map(solution.voltages.__getitem__, number))
    points = [own(voltages[a] - voltages[b]) for own, (a, b) in zip(loose.laws, loose.pairs)]
    return dict(zip(number, network.resistances([slope for _, slope in points])))


def tied(elements: Sequence[Element], reference: str) -> tuple[dict[str, int], tuple[str, ...]]:
    """Numbers (0: reference) of the nodes that elements tie to the reference, and the other nodes."""
    near: dict[str, list[str]] = {reference: []}
    for element in elements:
        near.setdefault(element.a, []).append(element.b)
        near.setdefault(element.b, []).append(element.a)
    number = {reference: 0}
    queue = [reference]
    for node in queue:
        for other in near[node]:
            if other not in number:
                number[other] = len(number)
                queue.append(other)
    return number, tuple(node for node in near if node not in number)


def _network(live: Sequence[Element], number: Mapping[str, int]) -> tuple[Network, _Loose]:
    fixed: list[Pair] = []
    conductances: list[float] = []
    injected = [0.0] * len(number)
    loose: list[Element] = []
    for element in live:
        a, b = number[element.a], number[element.b]
        line = linear(element)
        if a == b:
            continue
        if line is None:
            loose.append(element)
        else:
            fixed.append((a, b))
            conductances.append(line[0])
            injected[a] -= line[1]
            injected[b] += line[1]
    pairs = [(number[element.a], number[element.b]) for element in loose]
    network: Network | None = eliminated(len(number), fixed, conductances, injected, pairs)
    if network is None:
        from .sparse_lu import SparseNetwork
        network = SparseNetwork(len(number), fixed, conductances, injected, pairs)
    diodes = [(place, diode_volts(element)) for place, element in enumerate(loose) if isinstance(element, Diode)]
    return network, _Loose(tuple(loose), pairs, list(map(law, loose)), diodes)


def _starting(loose: _Loose, number: Mapping[str, int], start: Mapping[str, float] | None,
              ) -> tuple[list[float], list[tuple[float, float]]]:
    """Voltage, and current and slope there, of the straight line at which each law is taken first."""
    names = list(number)
    at: list[float] = []
    points: list[tuple[float, float]] = []
    for element, own, (a, b) in zip(loose.elements, loose.laws, loose.pairs):
        va, vb = (start.get(names[a]), start.get(names[b])) if start else (None, None)
        if va is None or vb is None:
            slope, current = first_line(element)
            at.append(0.0)
            points.append((current, slope))
        else:
            at.append(va - vb)
            points.append(own(va - vb))
    return at, points


def _newton(network: Network, loose: _Loose, at: list[float], points: list[tuple[float, float]]) -> _Rest | Fault:
    pairs, laws = loose.pairs, loose.laws
    bold = True
    first: list[float] = []
    before: list[float] = []
    errors: list[float] = []
    for steps in range(1, MOST_STEPS + 1):
        slopes = [slope for _, slope in points]
        voltages = network.voltages(slopes, [current - slope * v for (current, slope), v in zip(points, at)])
        new = [voltages[a] - voltages[b] for a, b in pairs]
        moves = [w - v for v, w in zip(at, new)]
        new_points = [own(w) for own, w in zip(laws, new)]
        # What each law is above its straight line: all that is left of the balance of currents.
        errors = [current - (old + slope * move)
                  for (current, _), (old, slope), move in zip(new_points, points, moves)]
        balanced = all(abs(error) <= LAST_ERROR_A + LAST_ERROR_SHARE * abs(current)
                       for error, (current, _) in zip(errors, new_points))
        at_rest = balanced and all(abs(move) <= LAST_STEP_V or slope * abs(move) <= NOTHING_A
                                   for move, slope in zip(moves, slopes))
        # At last the balance is enough: a voltage that still moves then is one that rounding decides.
        if at_rest or balanced and steps == MOST_STEPS:
            return _Rest(voltages, [current for current, _ in new_points], steps)
        if steps == 1:
            first = voltages
        if bold and (steps == BOLD_STEPS or not max(map(abs, new), default=0.0) < LOST_V):
            # To where the straight lines met at first, all laws taken at these voltages.
            bold, voltages = False, first
            new = [voltages[a] - voltages[b] for a, b in pairs]
            new_points = [own(w) for own, w in zip(laws, new)]
        elif bold:
            for place, volts in loose.diodes:
                wanted = new_points[place][0] - errors[place]
                if moves[place] < -JUMP_V and wanted > 0:
                    new[place] = volts(wanted)
                    new_points[place] = laws[place](new[place])
        else:
            # The slope of the convex function at the end of the step, by its slope at the beginning.
            over = sum(error * move for error, move in zip(errors, moves))
            if over > 0:
                change = [w - v for v, w in zip(before, voltages)]
                fall = sum(slope * move * move for slope, move in zip(slopes, moves)) + network.linear_power(change)
                if over > fall / 2:
                    share = _shorter(laws, at, points, moves, fall, over)
                    new = [v + share * move for v, move in zip(at, moves)]
                    new_points = [own(w) for own, w in zip(laws, new)]
                    voltages = [v + share * move for v, move in zip(before, change)]
        at, points, before = new, new_points, voltages
    return _no_convergence(loose.elements, errors)


def _shorter(laws: Sequence[Law], at: Sequence[float], points: Sequence[tuple[float, float]], moves: Sequence[float],
             fall: float, over: float) -> float:
    """The share of a step at which the convex function has nearly stopped to fall (|slope| below half).

    fall, over: its slope at the beginning (downward) and at the end (upward).
    """
    low, high = 0.0, 1.0
    slope_low, slope_high = -fall, over
    for _ in range(60):
        # A straight line between the ends, kept off them so that the bracket shrinks.
        share = low + (high - low) * min(max(-slope_low / (slope_high - slope_low), 0.1), 0.9)
        slope = -(1 - share) * fall + sum(
            (own(v + share * move)[0] - current - share * steep * move) * move
            for own, v, (current, steep), move in zip(laws, at, points, moves))
        if abs(slope) <= fall / 2:
            break
        if slope < 0:
            low, slope_low = share, slope
        else:
            high, slope_high = share, slope
    return share


def _all_currents(live: Sequence[Element], number: Mapping[str, int], voltages: Sequence[float],
                  loose: Mapping[str, float]) -> dict[str, float]:
    """Element id -> current, in the order of the elements; ``loose`` holds those whose laws are no lines."""
    currents = {}
    for element in live:
        line = linear(element)
        if line is not None:
            currents[element.id] = line[0] * (voltages[number[element.a]] - voltages[number[element.b]]) + line[1]
        else:
            # Between a point and itself: no voltage, and such a law gives no current then.
            currents[element.id] = loose.get(element.id, 0.0)
    return currents


def _no_convergence(elements: Sequence[Element], errors: Sequence[float]) -> Fault:
    ranked = sorted(zip(errors, elements), key=lambda pair: (-abs(pair[0]), pair[1].id))[:3]
    worst = ", ".join(f"{element.id} ({error:.3g} A)" for error, element in ranked)
    return Fault("no-convergence", f"no solution after {MOST_STEPS} steps; the largest errors stand at {worst}",
                 tuple(element.id for _, element in ranked))
