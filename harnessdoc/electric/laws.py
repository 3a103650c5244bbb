"""The law of each element once more, for the checker, in other words than the solver's.

From the voltage of an element and the current said to flow, the current its law asks
for. Nothing here is shared with ``slopes.py``: an error in one shows against the other.
"""

from __future__ import annotations

import math

from .elements import BACK_A, JUNCTION_LEAK_S, LIMIT_SOFTNESS, THERMAL_V, Battery, Diode, Element, Fuse, Lamp, PullUp, Supply


def lawful_current(element: Element, volts: float, amps: float) -> float:
    """The current (A) from a to b that the law gives for ``volts`` (of a against b).

    amps: the current of the solution. The law of a diode speaks of its junction,
          which lies behind the series resistance: the current decides how far.
    """
    if isinstance(element, Battery):
        return (volts - element.emf_v) / element.ohm
    if isinstance(element, PullUp):
        return (volts - element.volts) / element.ohm
    if isinstance(element, Lamp):
        rated_ohm = element.volts * element.volts / element.watts
        # log R(V) is linear in log V, bent over to the cold resistance.
        cold_share = math.exp(-math.log(element.hot_to_cold) / 0.45)
        return volts / (rated_ohm * math.exp(0.45 * math.log(math.hypot(volts / element.volts, cold_share))))
    if isinstance(element, Fuse):
        warm = (volts / math.hypot(volts, element.drop_v)) ** 2
        hottest = 2.0 * element.drop_v / element.rating_a - element.cold_ohm
        return volts / ((1.0 - warm) * element.cold_ohm + warm * hottest)
    if isinstance(element, Supply):
        asked = (element.volts - volts) / element.ohm
        bend = LIMIT_SOFTNESS * element.limit_a
        given = (asked - math.hypot(asked - element.limit_a, bend) + math.hypot(element.limit_a, bend)) / 2.0
        return -given if given >= 0 else 1.0 / (1.0 / BACK_A - 1.0 / given)
    if isinstance(element, Diode):
        junction = volts - element.ohm * amps
        if junction > 700.0 * element.n * THERMAL_V:   # no float holds it: a wrong solution
            return math.inf
        return element.is_a * (math.exp(junction / (element.n * THERMAL_V)) - 1.0) + JUNCTION_LEAK_S * junction
    return volts / element.ohm
