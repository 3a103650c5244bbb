"""Networks of conductances solved by eliminating nodes, in plain Python.

A node is taken out by giving its neighbours the conductances that replace it (the
star-mesh transform). Nothing is ever subtracted, so a node that hangs on a
picoampere is as exact as one on a battery cable: a factorisation that takes a sum of
conductances from a diagonal loses it. Nodes that no changing branch touches go
first and once; each further solve repeats the rest only.

Wiring is nearly a tree, where this costs about as much as a sparse library and saves
its import. A network with many meshes fills up: ``eliminated`` then gives None, and
``sparse_lu`` takes it.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from operator import mul
from typing import Protocol

MOST_NODES, MOST_PAIRS = 6000, 100_000
"""Nodes, and products a solve may cost, before the sparse library takes over. Measured on wiring of 22,000 nodes:
0.25 s to put in order and 35 ms a step, where the library takes 0.2 s for its import and 26 ms a step."""

EARLY_NEIGHBOURS = 4
"""Nodes without a changing branch go first only up to this many neighbours: a battery post before its
leads would tie all of them to one another."""

Pair = tuple[int, int]


class Network(Protocol):
    """Conductances between numbered nodes; node 0 is the reference, every node has a path to it."""

    def voltages(self, slopes: Sequence[float], sources: Sequence[float]) -> list[float]:
        """Voltages with ``slopes`` (S) and ``sources`` (A, from a to b) in the changing branches.

        Certain at their ends; elsewhere after ``all_voltages``.
        """

    def linear_power(self, change: Sequence[float]) -> float:
        """Sum of conductance times voltage squared in the fixed branches, for such voltages at all nodes."""

    def all_voltages(self, voltages: list[float]) -> list[float]:
        """The voltages everywhere, from those of the last ``voltages``."""

    def resistances(self, slopes: Sequence[float]) -> list[float]:
        """Ohm from each node to the reference, with ``slopes`` (S) in the changing branches."""


class Elimination:
    """See ``eliminated``."""

    __slots__ = ("_steps", "_fixed_steps", "_conductances", "_injected", "_slots", "_loose", "_weights", "_shares", "_kept")

    def __init__(self, size: int, steps: list[tuple[int, list[int], list[int], list[int]]], fixed_steps: int,
                 conductances: list[float], injected: list[float], loose: Sequence[Pair], slots: list[int],
                 pairs: list[Pair]) -> None:
        self._steps, self._fixed_steps = steps, fixed_steps
        self._conductances, self._injected = conductances, injected
        self._loose, self._slots = loose, slots
        self._weights: list[list[float]] = [[]] * size
        self._shares = [0.0] * size
        self._eliminate(conductances, injected, 0, fixed_steps)
        gone = {step[0] for step in steps[:fixed_steps]}
        self._kept = [(a, b, conductances[slot]) for slot, (a, b) in enumerate(pairs)
                      if conductances[slot] and a not in gone and b not in gone]

    def _eliminate(self, conductances: list[float], injected: list[float], start: int, stop: int) -> None:
        """Steps ``start`` to ``stop`` on conductances and injected currents, in place."""
        all_weights, shares = self._weights, self._shares
        for node, neighbours, slots, fill in self._steps[start:stop]:
            current = injected[node]
            if len(slots) == 1:
                # A dead end, more than half of all nodes: all its current goes one way.
                injected[neighbours[0]] += current
                all_weights[node] = [1.0]
                shares[node] = current / conductances[slots[0]]
                continue
            arms = [conductances[slot] for slot in slots]
            share = 1.0 / sum(arms)
            weights = [arm * share for arm in arms]
            place = 0
            for first, arm in enumerate(arms):
                for weight in weights[first + 1:]:
                    conductances[fill[place]] += arm * weight
                    place += 1
            if current:
                for neighbour, weight in zip(neighbours, weights):
                    injected[neighbour] += weight * current
            all_weights[node] = weights
            shares[node] = current * share

    def _return(self, voltages: list[float], start: int, stop: int) -> None:
        for node, neighbours, _, _ in reversed(self._steps[start:stop]):
            voltage = self._shares[node]
            for neighbour, weight in zip(neighbours, self._weights[node]):
                voltage += weight * voltages[neighbour]
            voltages[node] = voltage

    def voltages(self, slopes: Sequence[float], sources: Sequence[float]) -> list[float]:
        conductances, injected = self._with(slopes), self._injected.copy()
        for (a, b), source in zip(self._loose, sources):
            injected[a] -= source
            injected[b] += source
        self._eliminate(conductances, injected, self._fixed_steps, len(self._steps))
        voltages = [0.0] * len(injected)
        self._return(voltages, self._fixed_steps, len(self._steps))
        return voltages

    def linear_power(self, change: Sequence[float]) -> float:
        # The nodes that went first follow the others, so what replaces them takes the same power.
        return sum(conductance * (change[a] - change[b]) ** 2 for a, b, conductance in self._kept)

    def all_voltages(self, voltages: list[float]) -> list[float]:
        self._return(voltages, 0, self._fixed_steps)
        return voltages

    def resistances(self, slopes: Sequence[float]) -> list[float]:
        # The voltage at one node for 1 A into another, where the two are or became neighbours, and
        # at a node for 1 A into itself: found from the last node to the first, since a node's voltage
        # is the weighted mean of its later neighbours' (the selected inverse; Takahashi, 1973, from memory).
        conductances = self._with(slopes)
        self._eliminate(conductances, [0.0] * len(self._shares), self._fixed_steps, len(self._steps))
        between = [0.0] * len(conductances)
        own = [0.0] * len(self._shares)
        for node, neighbours, slots, fill in reversed(self._steps):
            weights = self._weights[node]
            sums = [weight * own[neighbour] for neighbour, weight in zip(neighbours, weights)]
            place = 0
            for first in range(len(weights)):
                for second in range(first + 1, len(weights)):
                    shared = between[fill[place]]
                    place += 1
                    sums[first] += weights[second] * shared
                    sums[second] += weights[first] * shared
            for slot, value in zip(slots, sums):
                between[slot] = value
            own[node] = 1.0 / sum(conductances[slot] for slot in slots) + sum(map(mul, weights, sums))
        return own

    def _with(self, slopes: Sequence[float]) -> list[float]:
        conductances = self._conductances.copy()
        for slot, slope in zip(self._slots, slopes):
            conductances[slot] += slope
        return conductances


def eliminated(size: int, fixed: Sequence[Pair], conductances: Sequence[float], injected: Sequence[float],
               loose: Sequence[Pair]) -> Elimination | None:
    """The network of ``size`` nodes in the order in which they go; None where it fills up.

    fixed, conductances: branches whose conductance (S) stays
    injected:            current (A) into each node from outside
    loose:               branches whose conductance changes from solve to solve
    """
    if size > MOST_NODES:
        return None
    near: list[dict[int, int]] = [{} for _ in range(size)]
    pairs: list[Pair] = []
    sums: list[float] = []

    def slot_of(a: int, b: int) -> int:
        slot = near[a].get(b)
        if slot is None:
            slot = near[a][b] = near[b][a] = len(pairs)
            pairs.append((a, b))
            sums.append(0.0)
        return slot

    for (a, b), conductance in zip(fixed, conductances):
        sums[slot_of(a, b)] += conductance
    slots = [slot_of(a, b) for a, b in loose]
    late = [False] * size
    for a, b in loose:
        late[a] = late[b] = True
    late[0] = True
    steps: list[tuple[int, list[int], list[int], list[int]]] = []
    gone = [False] * size
    cost = 0
    fixed_steps = 0
    for early in (True, False):
        heap = [(len(near[node]), node) for node in range(1, size)
                if not gone[node] and not (early and (late[node] or len(near[node]) > EARLY_NEIGHBOURS))]
        heapify(heap)
        while heap:
            degree, node = heappop(heap)
            arms = near[node]
            if gone[node] or len(arms) != degree:
                continue
            gone[node] = True
            cost += degree * (degree - 1) // 2
            if cost > MOST_PAIRS:
                return None
            neighbours = list(arms)
            fill: list[int] = []
            for place, a in enumerate(neighbours):
                around = near[a]
                del around[node]
                for b in neighbours[place + 1:]:
                    slot = around.get(b)
                    if slot is None:
                        slot = around[b] = near[b][a] = len(pairs)
                        pairs.append((a, b))
                        sums.append(0.0)
                    fill.append(slot)
            for a in neighbours:
                if a and not (early and (late[a] or len(near[a]) > EARLY_NEIGHBOURS)):
                    heappush(heap, (len(near[a]), a))
            steps.append((node, neighbours, list(arms.values()), fill))
        if early:
            fixed_steps = len(steps)
    return Elimination(size, steps, fixed_steps, sums, list(injected), loose, slots, pairs)
