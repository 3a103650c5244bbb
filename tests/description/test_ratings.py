"""What a load takes, as written."""

from __future__ import annotations

import pytest

from harnessdoc.description.ratings import PullUp, Rating, parse_pull_up, parse_rating, parse_sender
from harnessdoc.description.units import UnitFault


@pytest.mark.parametrize("text, value, unit, at_v, ohm, watts", [
    ("14 ohm", 14.0, "ohm", None, 14.0, None),
    ("0.3 Ω", 0.3, "ohm", None, 0.3, None),
    ("120ohm", 120.0, "ohm", None, 120.0, None),
    ("8 A at 12 V", 8.0, "A", 12.0, 1.5, 96.0),
    ("500 mA at 12 V", 0.5, "A", 12.0, 24.0, 6.0),
    ("2 W at 12 V", 2.0, "W", 12.0, 72.0, 2.0),
    ("55 W  at 13.2 V", 55.0, "W", 13.2, 3.168, 55.0),
    ("1.2 kW at 12 V", 1200.0, "W", 12.0, 0.12, 1200.0),
])
def test_a_rating(text, value, unit, at_v, ohm, watts):
    read = parse_rating(text)
    assert isinstance(read, Rating)
    assert (read.value.value, read.value.unit, read.at and read.at.value, read.watts) == (value, unit, at_v, watts)
    assert read.ohm == pytest.approx(ohm)


@pytest.mark.parametrize("text, message, do", [
    ("5 A", "a current needs the voltage it is rated at: '5 A' stands alone", "write for example 5 A at 12 V"),
    ("21 W", "a power needs the voltage it is rated at: '21 W' stands alone", "write for example 21 W at 12 V"),
    ("14 ohm at 12 V", "a resistance has no voltage it is rated at: '14 ohm at 12 V'", "write 14 ohm, or a current: 8 A at 12 V"),
    ("0 ohm", "a resistance cannot be zero here: '0 ohm'", "write the value, or unknown"),
    ("-3 ohm", "a resistance cannot be negative: '-3 ohm'", "write 3 ohm, or unknown"),
    ("0 W at 12 V", "a power cannot be zero here: '0 W'", "write the value, or unknown"),
    ("2 W at 0 V", "a voltage cannot be zero here: '0 V'", "write the value, or unknown"),
    ("2 W at 12", "a voltage needs a unit: '12' stands alone", "write 12 V (units: V, mV, kV)"),
    ("2 W at", "'W at' is not a unit of resistance in '2 W at'", "write it in one of the units: ohm, mohm, kohm, Mohm, Ω, mΩ, kΩ, MΩ"),
    ("one bulb", "'one bulb' is not a resistance", "write it as a number and a unit: 47 ohm"),
])
def test_no_rating(text, message, do):
    assert parse_rating(text) == UnitFault(message, do)


def test_a_sender():
    read = parse_sender("10 ohm to 180 ohm")
    assert isinstance(read, Rating) and read.to is not None
    assert (read.ohm, read.to.value, str(read)) == (10.0, 180.0, "10 ohm to 180 ohm")
    assert str(parse_sender("40 ohm")) == "40 ohm"
    assert parse_sender("10 ohm to 0 ohm") == UnitFault("a resistance cannot be zero here: '0 ohm'", "write the value, or unknown")


def test_a_pull_up():
    to_5v, to_supply = parse_pull_up("2.2 kohm to 5 V"), parse_pull_up("4.7 kohm to supply")
    assert isinstance(to_5v, PullUp) and isinstance(to_supply, PullUp)
    assert (to_5v.resistance.value, to_5v.to and to_5v.to.value, str(to_5v)) == (2200.0, 5.0, "2.2 kohm to 5 V")
    assert (to_supply.to, str(to_supply)) == (None, "4.7 kohm to supply")
    assert parse_pull_up("2.2 kohm") == UnitFault("'2.2 kohm' does not say to which voltage it pulls", "write for example 2.2 kohm to 5 V, or 4.7 kohm to supply")
    assert parse_pull_up("2.2 kohm to ground") == UnitFault("'ground' is not a voltage", "write it as a number and a unit: 12 V")


def test_equal_meaning_is_equal_however_written():
    assert parse_rating("8 A at 12 V") == parse_rating("8000 mA at 12.0 V")
    assert parse_rating("8 A at 12 V") != parse_rating("96 W at 12 V")
