"""What a cavity says of its signal: its bus, pulses, curve, clamp.

Takes: the record of a cavity. Gives: these fields of a Contact, and findings. Imported
where the first cavity says any of this.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from ..description.measures import Curve, curve_of, parse_curve_key, parse_pulses
from ..description.text import Record
from ..description.units import UnitFault, parse_quantity
from .values import Values

_BIT_RATE, _VOLTAGE = partial(parse_quantity, kind="bit rate"), partial(parse_quantity, kind="voltage")
_OHM = partial(parse_quantity, kind="resistance", zero=True)


def read_signal(values: Values, address: str, entry: Record) -> dict[str, Any]:
    """Fields of a Contact by name, from a cavity of which at least one of OF_SIGNAL is said."""
    return {
        "bus": values.word(entry, "bus") or "", "bit_rate": values.quantity(entry, "bit-rate", _BIT_RATE, address),
        "pulses": values.quantity(entry, "pulses", parse_pulses, address), "curve": _curve(values, address, entry),
        "clamp": values.quantity(entry, "clamp", _VOLTAGE, address), "monitored": entry.get("monitored") == "true",
    }


def _curve(values: Values, address: str, entry: Record) -> Curve | None:
    """The curve of a cavity; a point that cannot be read is a finding and left out with the whole."""
    written = entry.get("curve")
    if not isinstance(written, Record):
        return None
    owner, points, whole = f"`curve` of {address}", [], True
    for key, value in written.items():
        at = parse_curve_key(key)
        if isinstance(at, UnitFault):
            values.error("bad-quantity", f"the point '{key}' of {owner}: {at.message}", written.place_of_key(key), at.do)
        ohm = values.quantity(written, key, _OHM, owner)
        if isinstance(at, UnitFault) or ohm is None:
            whole = False
        else:
            points.append((at, ohm))
    if not points or not whole:
        if not written:
            values.error("bad-quantity", f"{owner} has no points", entry.place_of("curve"), "write for example {40 C: 1305 ohm, 100 C: 190 ohm}")
        return None
    curve = curve_of(points)
    if isinstance(curve, UnitFault):
        values.error("bad-quantity", f"{owner}: {curve.message}", entry.place_of("curve"), curve.do)
        return None
    return curve
