"""What stands in a device and what is behind a cavity: supplies, loads, resistors, diodes.

Takes: the records of devices and cavities. Gives: objects of ``model/electric.py``, and
findings. Imported where the first device or cavity says any of this.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from ..description.ratings import Rating, parse_pull_up, parse_rating, parse_sender
from ..description.text import Record
from ..description.units import Quantity, UnitFault, parse_quantity
from .electric import (
    Alternator,
    Battery,
    Inside,
    Load,
    NamedLoad,
    Supply,
    TestSupply,
)
from .electric_words import LOAD_KINDS, SUPPLY_KINDS
from .ids import no_such
from .values import Values, text_of

_VOLTAGE, _CURRENT, _OHM, _TIME = (partial(parse_quantity, kind=kind) for kind in ("voltage", "current", "resistance", "time"))
_ONE_AT_ONCE = (*SUPPLY_KINDS, *LOAD_KINDS)


# ------------------------------------------------------------------------ in a device

def read_in_device(values: Values, name: str, entry: Record) -> tuple[str | None, Supply | None, Load | None, dict[str, NamedLoad]]:
    """The position a device rests in (whether it is one is seen once `closes` is read), its supply, its load, its named loads.

    entry: has at least one of the keys OF_DEVICE.
    """
    said = [kind for kind in _ONE_AT_ONCE if kind in entry]
    _check_pair(values, f"device {name}", said, entry)
    supply = load = None
    if said and said[0] in SUPPLY_KINDS:
        supply = _supply(values, said[0], entry[said[0]], f"device {name}")
    elif said:
        # a file may say of its lamp what it likes: a rule tells what could not be read
        rating = parse_rating(text_of(entry["lamp"])) if said[0] == "lamp" else None
        load = _load(values, said[0], entry, f"device {name}") if rating is None else Load("lamp", rating if is_lamp(rating) else None)
    return values.word(entry, "rest"), supply, load, _named_loads(values, name, entry.get("loads"))


def is_lamp(rating: Rating | UnitFault) -> bool:
    """A lamp is known by its power, or its current, at a voltage."""
    return isinstance(rating, Rating) and rating.at is not None


def _check_pair(values: Values, owner: str, said: list[str], entry: Record) -> None:
    """One thing stands between one pair of two addresses. Of a lamp alone no pair is demanded."""
    if len(said) > 1:
        values.error("two-loads", f"{owner} has `{said[0]}` and `{said[1]}` between one pair of addresses", entry.place_of_key(said[1]),
                     "write each under `loads:`, by a name and with a `between:` of its own")
    if said and said != ["lamp"]:
        between = values.texts(entry, "between")
        if "between" not in entry:
            values.error("load-without-between", f"{owner} has `{said[0]}` but no `between:`", entry.place_of_key(said[0]),
                         "write the two addresses it sits between, of a supply the positive one first: `between: [G1.+, G1.-]`")
        elif len(between) == 2 and between[0] == between[1]:
            values.error("load-short-circuited", f"`{said[0]}` of {owner} stands between {between[0]} and {between[1]}", entry.place_of("between"),
                         "write its two ends")


def _supply(values: Values, kind: str, written: Any, owner: str) -> Supply | None:
    if not isinstance(written, Record):
        return None
    voltage_key = "emf" if kind == "battery" else "voltage"
    voltage = values.quantity(written, voltage_key, _VOLTAGE, owner)
    values.check_supply(voltage, f"`{voltage_key}` of {owner}", written.place_of(voltage_key))
    if kind == "battery":
        return Battery(voltage, values.quantity(written, "resistance", _OHM, owner))
    limit = values.quantity(written, "limit", _CURRENT, owner)
    if kind == "test-supply":
        return TestSupply(voltage, limit)
    return Alternator(voltage, limit, values.word(written, "charge-lamp"), values.word(written, "sense"), values.quantity(written, "field", _OHM, owner),
                      values.quantity(written, "excitation", _CURRENT, owner))


def _load(values: Values, kind: str, entry: Record, owner: str) -> Load:
    """kind: the key of ``entry`` that holds it, as text or as a map."""
    written = entry[kind]
    if isinstance(written, Record):
        if kind == "motor":
            return Load(kind, values.quantity(written, "running", parse_rating, owner), stalled=values.quantity(written, "stalled", _OHM, owner))
        return Load(kind, values.quantity(written, "winding", parse_rating, owner), pull_in=values.quantity(written, "pull-in", _VOLTAGE, owner),
                    release=values.quantity(written, "release", _VOLTAGE, owner), at_most=values.quantity(written, "at-most", _TIME, owner))
    parse = {"sender": parse_sender, "lamp": _parse_lamp}.get(kind, parse_rating)
    return Load(kind, values.quantity(entry, kind, parse, owner))


def _parse_lamp(text: str) -> Rating | UnitFault:
    rating = parse_rating(text)
    if isinstance(rating, UnitFault) or is_lamp(rating):
        return rating
    return UnitFault(f"a lamp has another resistance cold and hot: '{text}'", "write its power at its rated voltage: 2 W at 12 V")


def _named_loads(values: Values, device: str, written: Any) -> dict[str, NamedLoad]:
    loads: dict[str, NamedLoad] = {}
    for name, entry in written.items() if isinstance(written, Record) else ():
        if not isinstance(entry, Record):
            continue
        owner = f"load {name} of device {device}"
        said = [kind for kind in LOAD_KINDS if kind in entry]
        between = values.texts(entry, "between")
        if not said:
            values.error("load-without-kind", f"{owner} does not say what it is", written.place_of_key(name), f"write one of {', '.join(LOAD_KINDS)}")
        _check_pair(values, owner, [kind for kind in said if "between" in entry], entry)
        if said and len(between) == 2:
            loads[name] = NamedLoad((between[0], between[1]), _load(values, said[0], entry, owner), values.word(entry, "closed-by") or "")
    solenoids = [name for name, load in loads.items() if load.load.kind == "solenoid"]
    for name, load in loads.items():
        if load.closed_by and load.closed_by not in solenoids:
            no_such(values, "no-such-load", load.closed_by, solenoids, f"solenoid in device {device}", f"`closed-by` of load {name} of device {device}",
                    written[name].place_of("closed-by"))
    return loads


# -------------------------------------------------------------------- behind a cavity

def read_inside(values: Values, address: str, entry: Record) -> Inside:
    """What is behind a cavity of which at least one of OF_CAVITY is said."""
    return Inside(
        values.quantity(entry, "on-resistance", _OHM, address), values.word(entry, "commanded"), values.quantity(entry, "pull-up", parse_pull_up, address),
        values.quantity(entry, "pull-down", _OHM, address), values.word(entry, "diode"), values.word(entry, "metal"),
    )
