"""The electric core: DC voltages and currents of a circuit, its relays, its checker, its netlist.

Plain values in, plain values out: it knows circuits, not harnesses. Low-voltage DC only.
"""

from .check import check
from .circuit import Circuit, Contact, Fault, Relay, Solution, Unsolved
from .elements import Battery, Diode, Element, Fuse, Lamp, PullUp, Resistor, Supply, running_motor
from .readings import METER_OHM, readings
from .relays import settle, solve_states
from .solve import solve
from .sources import source_faults
from .spice import node_names, spice

__all__ = [
    "Battery", "Circuit", "Contact", "Diode", "Element", "Fault", "Fuse", "Lamp", "METER_OHM", "PullUp", "Relay", "Resistor",
    "Solution", "Supply", "Unsolved", "check", "node_names", "readings", "running_motor", "settle", "solve", "solve_states",
    "source_faults", "spice",
]
