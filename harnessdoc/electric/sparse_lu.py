"""Networks of conductances solved by scipy's sparse factorisation.

For networks with so many meshes that ``elimination`` would fill up. Loads numpy and
scipy (a quarter of a second), so only ``solve`` imports it, and only then.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import SuperLU, splu

from .elimination import Pair

_COLUMNS = 64
"""Right sides solved at once: more would cost memory and no longer save time."""


class SparseNetwork:
    """The same as ``elimination.Elimination``, which says what goes in."""

    __slots__ = ("_fixed", "_loose", "_conductances", "_injected", "_size", "_rank")

    def __init__(self, size: int, fixed: Sequence[Pair], conductances: Sequence[float], injected: Sequence[float],
                 loose: Sequence[Pair]) -> None:
        self._size = size
        self._conductances = np.array(conductances, dtype=float)
        pairs = np.array([*fixed, *loose], dtype=np.int64).reshape(-1, 2)
        # Ordering takes longer than factoring: nodes are renumbered once in the order found. Of the orderings
        # this one takes a quarter of the default's time, measured at 20,000 conductors.
        ordered = _factors(size, pairs, np.ones(len(pairs)), "MMD_AT_PLUS_A")
        self._rank = np.concatenate(([0], ordered.perm_c + 1))
        self._fixed, self._loose = np.split(self._rank[pairs], [len(fixed)])
        self._injected = np.zeros(size)
        self._injected[self._rank] = injected

    def voltages(self, slopes: Sequence[float], sources: Sequence[float]) -> list[float]:
        pairs, s = self._branches(slopes)
        injected = self._injected.copy()
        np.subtract.at(injected, self._loose[:, 0], sources)
        np.add.at(injected, self._loose[:, 1], sources)
        factors = _factors(self._size, pairs, s, "NATURAL")
        voltages = factors.solve(injected[1:])
        # Once more on what is left: the sums on the diagonal have cost digits.
        voltages += factors.solve(_left(injected, pairs, s, voltages)[1:])
        return np.concatenate(([0.0], voltages))[self._rank].tolist()

    def resistances(self, slopes: Sequence[float]) -> list[float]:
        factors = _factors(self._size, *self._branches(slopes), "NATURAL")
        own = [0.0]
        for start in range(0, self._size - 1, _COLUMNS):
            columns = np.zeros((self._size - 1, min(_COLUMNS, self._size - 1 - start)))
            places = np.arange(columns.shape[1])
            columns[start + places, places] = 1.0
            own += factors.solve(columns)[start + places, places].tolist()
        return np.array(own)[self._rank].tolist()

    def _branches(self, slopes: Sequence[float]) -> tuple[np.ndarray, np.ndarray]:
        return np.concatenate((self._fixed, self._loose)), np.concatenate((self._conductances, slopes))

    def linear_power(self, change: Sequence[float]) -> float:
        full = np.empty(self._size)
        full[self._rank] = change
        return float(self._conductances @ (full[self._fixed[:, 0]] - full[self._fixed[:, 1]]) ** 2)

    def all_voltages(self, voltages: list[float]) -> list[float]:
        return voltages


def _factors(size: int, pairs: np.ndarray, conductances: np.ndarray, order: str) -> SuperLU:
    a, b = pairs.T
    matrix = csc_matrix((np.concatenate((conductances, conductances, -conductances, -conductances)),
                         (np.concatenate((a, b, a, b)), np.concatenate((a, b, b, a)))), shape=(size, size))
    return splu(matrix[1:, 1:], permc_spec=order, diag_pivot_thresh=0.0, options={"SymmetricMode": True})


def _left(injected: np.ndarray, pairs: np.ndarray, conductances: np.ndarray, voltages: np.ndarray) -> np.ndarray:
    """The currents that do not balance at each node."""
    full = np.concatenate(([0.0], voltages))
    a, b = pairs.T
    current = conductances * (full[a] - full[b])
    left = injected.copy()
    np.subtract.at(left, a, current)
    np.add.at(left, b, current)
    return left
