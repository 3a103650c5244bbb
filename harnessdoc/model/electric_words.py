"""The words of the electric side: kinds of supply and load, positions of the key, which keys say any of it.

Apart from ``model/electric.py`` so that a description that says nothing of this starts
without its classes; making them costs more than reading a small file.
"""

from __future__ import annotations

KEY_OFF = "off"
"""The position of the key in which it closes nothing, named or not."""
KEY_POSITIONS = ("accessory", "run", "start")
"""A device whose ``closes`` names one of these is the key switch; in driving order, after KEY_OFF."""
MOST_SUPPLY_V = 60.0
"""A supply above this is refused."""
SUPPLY_KINDS = ("battery", "alternator", "test-supply")
LOAD_KINDS = ("lamp", "motor", "heater", "sender", "solenoid", "coil", "load")
OF_DEVICE = frozenset((*SUPPLY_KINDS, *LOAD_KINDS, "loads", "rest"))
"""The keys of a device that say what stands in it."""
OF_CAVITY = frozenset(("on-resistance", "commanded", "pull-up", "pull-down", "diode", "metal"))
"""The keys of a cavity that say what is behind it."""
OF_SIGNAL = frozenset(("bus", "bit-rate", "pulses", "curve", "clamp", "monitored"))
"""The keys of a cavity that say more of its signal."""
METALS = ("engine", "body", "frame")
"""What grounds sit on; that of the battery is its minus."""
