"""Sources asked for more than they can give: takes circuit and solution, gives faults with the numbers."""

from __future__ import annotations

from .circuit import Circuit, Fault, Solution
from .elements import Battery, Supply

SHORTED_SHARE = 0.25
"""A battery whose terminals hold less than this share of its EMF is called shorted. Ours: a starter leaves it more than half."""

AT_LIMIT_SHARE = 0.98
"""From this share of its limit a supply is called at its limit: there its voltage falls."""


def source_faults(circuit: Circuit, solution: Solution) -> tuple[Fault, ...]:
    """``shorted-source`` and ``supply-at-limit``, in the order of the circuit."""
    faults = []
    for element in circuit.elements:
        if element.id not in solution.currents or not isinstance(element, (Battery, Supply)):
            continue
        given = -solution.currents[element.id]
        volts = solution.across(element.a, element.b)
        if isinstance(element, Battery):
            if volts < SHORTED_SHARE * element.emf_v:
                faults.append(Fault("shorted-source", f"{element.id}: {given:.4g} A leave {volts:.3g} V of {element.emf_v:g} V "
                                    "at its terminals", (element.id,)))
        elif given >= AT_LIMIT_SHARE * element.limit_a:
            faults.append(Fault("supply-at-limit", f"{element.id}: gives {given:.4g} A, its limit is {element.limit_a:g} A; "
                                f"{volts:.4g} V are left of {element.volts:g} V", (element.id,)))
    return tuple(faults)
