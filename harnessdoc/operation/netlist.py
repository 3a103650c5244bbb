"""A solved state as a netlist, for anyone who wants to check it with a simulator.

Takes a Solved; gives text. How each law is written is ``electric.spice``.
"""

from __future__ import annotations

from ..electric import spice
from .operate import Solved


def netlist(solved: Solved, title: str) -> str:
    """The circuit of a state, relays as they were found, as a SPICE netlist with one operating point.

    title: its first line, of which what is not ASCII is left out
    Raises ValueError where the state has no solution: nobody knows how its relays stand.
    """
    if solved.solution is None:
        raise ValueError(f"{solved.case.name} has no solution")
    return spice(solved.circuit, solved.solution.relay_states, title, solved.solution.voltages)
