"""What is stated in more than one quantity, as written."""

from __future__ import annotations

import pytest

from harnessdoc.description.measures import Curve, Pulses, curve_of, parse_curve_key, parse_pulses, parse_size_range
from harnessdoc.description.units import Quantity, UnitFault, parse_quantity


@pytest.mark.parametrize("text, least, most", [
    ("0.5 mm2 to 1.5 mm2", ("mm2", "0.5"), ("mm2", "1.5")),
    ("20 AWG to 16 AWG", ("AWG", "20"), ("AWG", "16")),
    ("2 AWG  to 2/0 AWG", ("AWG", "2"), ("AWG", "2/0")),
    ("SAE 18 to 1 mm²", ("SAE", "18"), ("mm2", "1")),
    ("1 mm2 to 1 mm2", ("mm2", "1"), ("mm2", "1")),
])
def test_a_range_of_sizes(text, least, most):
    read = parse_size_range(text)
    assert not isinstance(read, UnitFault)
    assert [(size.system, size.number) for size in read] == [least, most]
    assert read[0].area_mm2 <= read[1].area_mm2


@pytest.mark.parametrize("text, message, do", [
    ("1.5 mm2 to 0.5 mm2", "'1.5 mm2 to 0.5 mm2' goes from large to small", "write 0.5 mm2 to 1.5 mm2"),
    ("16 AWG to 20 AWG", "'16 AWG to 20 AWG' goes from large to small", "write 20 AWG to 16 AWG"),
    ("0.5 to 1.5 mm2", "a size needs a unit: '0.5' stands alone", "write each size with its unit: 0.5 mm2"),
    ("0.5 mm2 to 1.5", "a size needs a unit: '1.5' stands alone", "write each size with its unit: 1.5 mm2"),
    ("1 mm2", "'1 mm2' is one size, where the smallest and the largest are wanted", "write both; 1 mm2 to 1 mm2 where it takes no other"),
    ("small", "'small' is no range of sizes", "write the smallest and the largest: 0.5 mm2 to 1.5 mm2"),
    ("17.5 AWG to 16 AWG", "there is no size '17.5 AWG' in the AWG series", "write a whole number, or 1/0 to 4/0: 18 AWG"),
])
def test_no_range_of_sizes(text, message, do):
    assert parse_size_range(text) == UnitFault(message, do)


@pytest.mark.parametrize("text, number, per", [("2 per turn", 2.0, "turn"), ("4000 per mile", 4000.0, "mile"), ("2485.5  per km", 2485.5, "km")])
def test_pulses(text, number, per):
    read = parse_pulses(text)
    assert read == Pulses(number, per) and str(read) == " ".join(text.split())


@pytest.mark.parametrize("text, message, do", [
    ("2", "'2' does not say how many pulses for what", "write a number, `per` and one of turn, km, mile: 4000 per mile"),
    ("many per turn", "'many per turn' does not say how many pulses for what", "write a number, `per` and one of turn, km, mile: 4000 per mile"),
    ("4 per rev", "'rev' is none of turn, km, mile in '4 per rev'", "did you mean 4 per turn?"),
    ("4 per Kilometre", "'Kilometre' is none of turn, km, mile in '4 per Kilometre'", "did you mean 4 per km?"),
    ("4 per hour", "'hour' is none of turn, km, mile in '4 per hour'", "write a number, `per` and one of turn, km, mile: 4000 per mile"),
    ("0 per turn", "'0 per turn' is no pulse", "check the number, or write unknown"),
    ("2000000 per km", "'2000000 per km' is more than 1e+06 pulses", "check the number, or write unknown"),
])
def test_no_pulses(text, message, do):
    assert parse_pulses(text) == UnitFault(message, do)


@pytest.mark.parametrize("text, value, unit", [("40 C", 40.0, "C"), ("-20 °C", -20.0, "C"), ("0 %", 0.0, "%"), ("100%", 100.0, "%")])
def test_what_a_point_stands_at(text, value, unit):
    read = parse_curve_key(text)
    assert isinstance(read, Quantity) and (read.value, read.unit) == (value, unit)


@pytest.mark.parametrize("text, message, do", [
    ("40", "'40' is neither a temperature nor a share", "write for example 40 C, or 50 %"),
    ("hot", "'hot' is neither a temperature nor a share", "write for example 40 C, or 50 %"),
    ("9000 C", "'9000 C' is above 1200 C, the most a temperature may be here", "check the number and the unit"),
    ("120 %", "'120 %' is above 100 %, the most a share may be here", "check the number and the unit"),
    ("50 percent", "'percent' is not a unit of share in '50 percent'", "did you mean 50 %? units: %"),
])
def test_no_point(text, message, do):
    assert parse_curve_key(text) == UnitFault(message, do)


def points(written: dict[str, str]) -> list[tuple[Quantity, Quantity]]:
    return [(parse_curve_key(at), parse_quantity(ohm, "resistance", zero=True)) for at, ohm in written.items()]    # type: ignore[misc]


def test_a_curve_in_any_order():
    read = curve_of(points({"100 C": "190 ohm", "-20 C": "1.5 kohm", "40 C": "1305 ohm"}))
    assert read == Curve("C", ((-20.0, 1500.0), (40.0, 1305.0), (100.0, 190.0)))
    assert str(read) == "-20 C: 1.5 kohm, 40 C: 1305 ohm, 100 C: 190 ohm"
    assert curve_of(points({"0 %": "0 ohm"})) == Curve("%", ((0.0, 0.0),))


@pytest.mark.parametrize("written, message, do", [
    ({"0 %": "240 ohm", "40 C": "33 ohm"}, "some of its points stand at temperatures and some at shares", "write all of them as 40 C, or all as 50 %"),
    ({"40 C": "240 ohm", "40 °C": "33 ohm"}, "it has two points at 40 °C", "keep one of them"),
])
def test_no_curve(written, message, do):
    assert curve_of(points(written)) == UnitFault(message, do)
