"""Elements of a circuit: what current may flow through, each with its law in words.

Plain values. Every element sits between two nodes ``a`` and ``b``; its voltage is
that of ``a`` less that of ``b``, its current flows from ``a`` through the element
to ``b`` (a source that gives current has a negative one; ``a`` is its plus). An
open contact, an unplugged connector, a missing fuse is no element: leave it out.

All laws rise: more voltage, more current. So a circuit has one solution, and the
solver cannot run to a false one.
"""

from __future__ import annotations

from dataclasses import dataclass

THERMAL_V = 1.380649e-23 / 1.602176634e-19 * (273.15 + 27.0)
"""kT/q at 27 C, the temperature at which diodes are taken. Constants of the SI of 2019."""

JUNCTION_LEAK_S = 1e-12
"""Beside every diode junction, as all circuit simulators of the SPICE family put it there ("gmin")."""

LAMP_EXPONENT = 0.55
"""Current of a filament lamp by voltage: facts 3.7, I ~ V^0.55."""

LAMP_HOT_TO_COLD = 12.0
"""Hot over cold resistance of a filament: facts 3.7 gives 10 to 15."""

LIMIT_SOFTNESS = 0.01
"""Width of the bend where a supply reaches its limit, as a share of the limit. Ours."""

BACK_A = 1e-3
"""The most a supply takes back when held above its voltage: the leak of its rectifier. Ours."""

LEAST_OHM, MOST_OHM = 1e-5, 1e9
"""Below, one rounding of 12 V is more than the nanoampere the checker allows; above, it is no connection."""


@dataclass(frozen=True, slots=True)
class Resistor:
    """I = V / ohm: a wire, a joint, a closed contact, a heater, a coil, a meter."""

    id: str
    a: str
    b: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Battery:
    """I = (V - emf_v) / ohm."""

    id: str
    a: str
    b: str
    emf_v: float
    ohm: float


@dataclass(frozen=True, slots=True)
class PullUp:
    """I = (V - volts) / ohm: a resistor inside a control unit to its own steady voltage above ``b``."""

    id: str
    a: str
    b: str
    volts: float
    ohm: float


@dataclass(frozen=True, slots=True)
class Supply:
    """A voltage behind a resistance that gives at most ``limit_a`` and takes back no more than a leak.

    A test supply, or an alternator: regulated voltage, the limit of its stator, rectifier.
    With x = (volts - V) / ohm, the current asked for, L = limit_a, w = 0.01 L:
    y = (x - sqrt((x - L)^2 + w^2) + sqrt(L^2 + w^2)) / 2, which is x below the limit and L above;
    I = -y where y >= 0, else I = -y / (1 - y / 1 mA). Without a load V is ``volts``.
    """

    id: str
    a: str
    b: str
    volts: float
    ohm: float
    limit_a: float


@dataclass(frozen=True, slots=True)
class Diode:
    """Anode ``a``, cathode ``b``: I = is_a (exp(Vj / (n 25.865 mV)) - 1) + 1e-12 Vj with V = Vj + ohm I.

    The junction law is Shockley's, at 27 C. ``ohm`` is the series resistance.
    Typical of a 1 A silicon rectifier (0.74 V at 0.1 A, 0.89 V at 1 A): common practice, from memory.
    """

    id: str
    a: str
    b: str
    is_a: float = 5e-9
    n: float = 1.7
    ohm: float = 0.04


@dataclass(frozen=True, slots=True)
class Lamp:
    """Filament: I = Ir u (u^2 + e^2)^-0.225 with u = V / volts, Ir = watts / volts, e = 12^(-1/0.45).

    From a few per cent of its voltage on that is Ir u^0.55 (facts 3.7); towards zero
    it is a resistor of a twelfth of the hot one: the cold filament.
    """

    id: str
    a: str
    b: str
    watts: float
    volts: float
    hot_to_cold: float = LAMP_HOT_TO_COLD


@dataclass(frozen=True, slots=True)
class Fuse:
    """I = V / R(V), R(V) = cold_ohm + (Rr - cold_ohm) 2 V^2 / (drop_v^2 + V^2), Rr = drop_v / rating_a.

    ``cold_ohm`` for small currents, ``drop_v`` at the rating; beyond, at most 2 Rr - cold_ohm.
    The law between the two stated points is ours: warming by V^2, bounded.
    """

    id: str
    a: str
    b: str
    cold_ohm: float
    rating_a: float
    drop_v: float


Element = Resistor | Battery | PullUp | Supply | Diode | Lamp | Fuse


def running_motor(id: str, a: str, b: str, volts: float, amps: float) -> Resistor:
    """A motor at its rated point: volts / amps. (A constant current would be no law at other voltages.)

    A stalled motor is the Resistor of its winding.
    """
    return Resistor(id, a, b, volts / amps)
