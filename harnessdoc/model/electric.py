"""The electric side of the model, as stated: what stands in a device, what is behind a cavity, states.

Made by ``model/build_electric.py``; what is left out is ``None`` here and gets its
typical value, marked so, from ``model/given.py``. Nothing here is worked out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

from ..description.ratings import PullUp, Rating
from ..description.text import Record
from ..description.units import Quantity


class Engine(Enum):
    """What the engine does, in driving order."""

    STOPPED = "stopped"
    CRANKING = "cranking"
    RUNNING = "running"


@dataclass(frozen=True, slots=True)
class Battery:
    """Between its terminals, positive first."""

    emf: Quantity | None            # V
    resistance: Quantity | None     # ohm

    def __str__(self) -> str:
        return _words(("emf", self.emf), ("resistance", self.resistance))


@dataclass(frozen=True, slots=True)
class Alternator:
    """Between its output and its case; charge_lamp and sense are addresses of it."""

    voltage: Quantity | None        # V
    limit: Quantity | None          # A
    charge_lamp: str | None
    sense: str | None
    field: Quantity | None          # ohm, from charge_lamp to ground while it stands
    excitation: Quantity | None = None  # A, the least through charge_lamp for it to begin to charge

    def __str__(self) -> str:
        return _words(("voltage", self.voltage), ("limit", self.limit), ("charge lamp", self.charge_lamp), ("sense", self.sense), ("field", self.field),
                      ("excitation", self.excitation))


@dataclass(frozen=True, slots=True)
class TestSupply:
    """On the bench in place of the battery, positive first."""

    __test__ = False                # no test class, whatever its name begins with

    voltage: Quantity | None        # V
    limit: Quantity | None          # A

    def __str__(self) -> str:
        return _words(("voltage", self.voltage), ("limit", self.limit))


Supply = Battery | Alternator | TestSupply


@dataclass(frozen=True, slots=True)
class Load:
    """What takes current between two addresses.

    kind:    one of electric_words.LOAD_KINDS
    rating:  None where it is said to be unknown, or could not be read
    stalled: of a motor, the resistance of its winding in ohm
    pull_in, release: of a solenoid, in V
    at_most: of a solenoid, the longest its winding may be energised, in s
    """

    kind: str
    rating: Rating | None
    stalled: Quantity | None = None
    pull_in: Quantity | None = None
    release: Quantity | None = None
    at_most: Quantity | None = None

    def __str__(self) -> str:
        more = _words(("stalled", self.stalled), ("pull-in", self.pull_in), ("release", self.release), ("at most", self.at_most))
        return ", ".join(filter(None, (str(self.rating) if self.rating else "", more)))


@dataclass(frozen=True, slots=True)
class NamedLoad:
    """One of several loads in a device; closed_by: the solenoid of the same device that joins it, "" where it is always joined."""

    between: tuple[str, str]
    load: Load
    closed_by: str

    def __str__(self) -> str:
        by = f", closed by {self.closed_by}" if self.closed_by else ""
        return f"{self.load.kind} {self.load} between {' and '.join(self.between)}{by}"


@dataclass(frozen=True, slots=True)
class Inside:
    """What is behind a cavity or terminal, inside its device.

    on_resistance, pull_down: in ohm
    commanded: when the device itself turns the output on, in the words of the language: "run and start"
    diode: "to ground", "to supply", "both", "none"; None where not known
    metal: what a case or thread is bolted to; None where it is grounded by a wire or not at all
    """

    on_resistance: Quantity | None
    commanded: str | None
    pull_up: PullUp | None
    pull_down: Quantity | None
    diode: str | None
    metal: str | None


@dataclass(frozen=True, slots=True)
class State:
    """A state named by the user; switches: device -> position, the others at rest; commanded: addresses that are on."""

    key: str
    engine: Engine
    switches: Mapping[str, str]
    commanded: tuple[str, ...]
    note: str
    source: Record = field(repr=False, compare=False)

    def __str__(self) -> str:
        held = [f"{switch} {position}" for switch, position in self.switches.items()]
        on = [f"{' and '.join(self.commanded)} on"] if self.commanded else []
        return ", ".join((f"key {self.key}", f"engine {self.engine.value}", *held, *on))


def _words(*said: tuple[str, Quantity | str | None]) -> str:
    """``emf 12.6 V, resistance 8 mohm``: what is said, in words."""
    return ", ".join(f"{name} {value if isinstance(value, str) else value.stated}" for name, value in said if value)
