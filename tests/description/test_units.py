"""Quantities: what reads, what does not, and in whose words it is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.description.units import Length, Quantity, UnitFault, parse_length, parse_quantity, parse_size, print_length, print_length_both
from harnessdoc.trade.sizes import Size, print_size


@pytest.mark.parametrize(
    ("text", "mm", "stated"),
    [
        ("420 mm", 420.0, "420 mm"),
        ("420mm", 420.0, "420 mm"),
        ("42 cm", 420.0, "42 cm"),
        ("1.2 m", 1200.0, "1.2 m"),
        (".5 m", 500.0, "0.5 m"),
        ("16.5 in", 419.1, "16.5 in"),
        ("5 ft", 1524.0, "5 ft"),
        ("5 ft 3 in", 1600.2, "5 ft 3 in"),
        ("5ft 3.5in", 1612.9, "5 ft 3.5 in"),
        ("  420   mm ", 420.0, "420 mm"),
        ("0420.50 mm", 420.5, "420.5 mm"),
        ("200 m", 200_000.0, "200 m"),
    ],
)
def test_lengths_that_read(text, mm, stated):
    read = parse_length(text)
    assert isinstance(read, Length)
    assert (read.mm, read.stated) == (mm, stated)


LENGTH_UNITS = "mm, cm, m, in, ft"
NOT_A_LENGTH = "write it as a number and a unit: 420 mm"


@pytest.mark.parametrize(
    ("text", "message", "do"),
    [
        ("420", "a length needs a unit: '420' stands alone", f"write 420 mm (units: {LENGTH_UNITS})"),
        ("0,75 m", "a decimal comma in '0,75 m'", "write 0.75 m"),
        ("1,200 mm", "a decimal comma in '1,200 mm'", "write 1.200 mm, or 1200 mm if the comma parts thousands"),
        ("420 mmm", "'mmm' is not a unit of length in '420 mmm'", f"did you mean 420 mm? units: {LENGTH_UNITS}"),
        ("420 MM", "'MM' is not a unit of length in '420 MM'", f"did you mean 420 mm? units: {LENGTH_UNITS}"),
        ("5 feet", "'feet' is not a unit of length in '5 feet'", f"did you mean 5 ft? units: {LENGTH_UNITS}"),
        ('16.5"', "'\"' is not a unit of length in '16.5\"'", f"did you mean 16.5 in? units: {LENGTH_UNITS}"),
        ("420 apples", "'apples' is not a unit of length in '420 apples'", f"write it in one of the units: {LENGTH_UNITS}"),
        ("12:30", "':30' is not a unit of length in '12:30'", f"write it in one of the units: {LENGTH_UNITS}"),
        ("1 1/2 in", "'1 1/2 in' is written with a fraction", "write 1.5 in"),
        ('3/8"', "'3/8\"' is written with a fraction", "write 0.375 in"),
        ("-5 mm", "a length cannot be negative: '-5 mm'", "write 5 mm, or unknown"),
        ("−5 mm", "a length cannot be negative: '-5 mm'", "write 5 mm, or unknown"),
        ("0 mm", "a length cannot be zero here: '0 mm'", "write the value, or unknown"),
        ("0 ft 0 in", "a length cannot be zero here: '0 ft 0 in'", "write the value, or unknown"),
        ("5 ft 14 in", "'5 ft 14 in' has 14 inches beside the feet; 12 in make a foot", "write 74 in"),
        ("nan mm", "'nan mm' is not a length", NOT_A_LENGTH),
        ("inf", "'inf' is not a length", NOT_A_LENGTH),
        ("1e3 mm", "'1e3 mm' is not a length", NOT_A_LENGTH),
        ("1_000 mm", "'1_000 mm' is not a length", NOT_A_LENGTH),
        ("1.2.3 mm", "'1.2.3 mm' is not a length", NOT_A_LENGTH),
        ("٤ mm", "'٤ mm' is not a length", NOT_A_LENGTH),
        ("", "'' is not a length", NOT_A_LENGTH),
        ("200.1 m", "'200.1 m' is above 200000 mm, the most a length may be here", "check the number and the unit"),
        ("9" * 400 + " mm", "'" + "9" * 37 + "...' is above 200000 mm, the most a length may be here", "check the number and the unit"),
    ],
)
def test_lengths_that_do_not_read(text, message, do):
    assert parse_length(text) == UnitFault(message, do)


def test_zero_where_it_is_allowed():
    assert parse_length("0 mm", zero=True) == Length(0.0)
    assert parse_length("0 ft 0 in", zero=True) == Length(0.0)
    assert parse_quantity("0 A", "current", zero=True) == Quantity(0.0, "A")


def test_a_length_is_what_it_measures_not_how_it_was_stated():
    assert parse_length("42 cm") == parse_length("420 mm")


@pytest.mark.parametrize(
    ("text", "mm", "inches"),
    [
        ("420 mm", "420 mm", "16.5 in (420 mm)"),
        ("42 cm", "420 mm (42 cm)", "16.5 in (42 cm)"),
        ("16.5 in", "419.1 mm (16.5 in)", "16.5 in"),
        ("5 ft", "1524 mm (5 ft)", "60.0 in (5 ft)"),
        ("5 ft 3 in", "1600.2 mm (5 ft 3 in)", "63.0 in (5 ft 3 in)"),
        ("12.34 mm", "12.3 mm", "0.5 in (12.34 mm)"),
    ],
)
def test_lengths_in_the_readers_units_with_the_stated_one_beside(text, mm, inches):
    length = parse_length(text)
    assert (print_length_both(length, "mm"), print_length_both(length, "in")) == (mm, inches)


def test_a_worked_out_length_has_nothing_beside():
    assert print_length_both(Length(1000.04), "mm") == print_length(Length(1000.04), "mm") == "1000 mm"
    assert print_length_both(Length(1000.0), "in") == "39.4 in"


@pytest.mark.parametrize(
    ("text", "system", "number", "area_mm2", "printed"),
    [
        ("0.75 mm2", "mm2", "0.75", 0.75, "0.75 mm²"),
        ("0.50mm²", "mm2", "0.5", 0.5, "0.5 mm²"),
        ("2 mm2", "mm2", "2", 2.0, "2 mm²"),
        ("14 AWG", "AWG", "14", 2.081, "14 AWG"),
        ("14awg", "AWG", "14", 2.081, "14 AWG"),
        ("SAE 14", "SAE", "14", 1.88, "SAE 14"),
        ("sae 2/0", "SAE", "2/0", 63.4, "SAE 2/0"),
        ("1/0 AWG", "AWG", "1/0", 53.48, "1/0 AWG"),
        ("0 AWG", "AWG", "1/0", 53.48, "1/0 AWG"),
        ("4/0 AWG", "AWG", "4/0", 107.2, "4/0 AWG"),
    ],
)
def test_sizes_that_read(text, system, number, area_mm2, printed):
    size = parse_size(text)
    assert isinstance(size, Size)
    assert (size.system, size.number, print_size(size)) == (system, number, printed)
    assert size.area_mm2 == pytest.approx(area_mm2, rel=5e-4)


def test_three_sizes_stay_three_things():
    sizes = {parse_size("14 AWG"), parse_size("SAE 14"), parse_size("2 mm2")}
    assert len(sizes) == 3
    assert parse_size("2.0 mm²") in sizes


@pytest.mark.parametrize(
    ("text", "message", "do"),
    [
        ("14", "a size needs a unit: '14' stands alone", "write 14 mm2, 14 AWG or SAE 14"),
        ("0.75", "a size needs a unit: '0.75' stands alone", "write 0.75 mm2"),
        ("0,75 mm2", "a decimal comma in '0,75 mm2'", "write 0.75 mm2"),
        ("2 mm", "'mm' is not a unit of size in '2 mm'", "did you mean 2 mm2? units: mm2, AWG"),
        ("2 sqmm", "'sqmm' is not a unit of size in '2 sqmm'", "did you mean 2 mm2? units: mm2, AWG"),
        ("-1 mm2", "a size cannot be negative: '-1 mm2'", "write 1 mm2, or unknown"),
        ("0 mm2", "a size cannot be zero: '0 mm2'", "write the size, or unknown"),
        ("500 mm2", "'500 mm2' is above 300 mm2, the largest size read here", "check the number and the unit"),
        ("AWG 18", "'AWG 18' is turned round", "write 18 AWG"),
        ("18 SAE", "'18 SAE' is turned round", "write SAE 18"),
        ("00 AWG", "'00 AWG' is not how an aught size is written", "write 2/0 AWG"),
        ("SAE 17", "there is no size 'SAE 17' in the SAE series", "did you mean SAE 16 or SAE 18?"),
        ("5/0 AWG", "there is no size '5/0 AWG' in the AWG series", "did you mean 4/0 AWG or 3/0 AWG?"),
        ("99 AWG", "there is no size '99 AWG' in the AWG series", "did you mean 36 AWG?"),
        ("1.5 AWG", "there is no size '1.5 AWG' in the AWG series", "write a whole number, or 1/0 to 4/0: 18 AWG"),
        ("9" * 5000 + " AWG", "there is no size '" + "9" * 37 + "...' in the AWG series", "write a whole number, or 1/0 to 4/0: 18 AWG"),
        ("nan", "'nan' is not a size", "write it as a number and a unit: 0.75 mm2, 18 AWG or SAE 18"),
    ],
)
def test_sizes_that_do_not_read(text, message, do):
    assert parse_size(text) == UnitFault(message, do)


@pytest.mark.parametrize(
    ("text", "kind", "value", "unit"),
    [
        ("15 A", "current", 15.0, "A"),
        ("250 mA", "current", 0.25, "A"),
        ("12 V", "voltage", 12.0, "V"),
        ("47 ohm", "resistance", 47.0, "ohm"),
        ("4.7 kohm", "resistance", 4700.0, "ohm"),
        ("680 Ω", "resistance", 680.0, "ohm"),
        ("680 \u2126", "resistance", 680.0, "ohm"),
        ("5 W", "power", 5.0, "W"),
        ("85 C", "temperature", 85.0, "C"),
        ("-40 °C", "temperature", -40.0, "C"),
        ("0 C", "temperature", 0.0, "C"),
        ("90 deg", "angle", 90.0, "deg"),
        ("33 /m", "twist", 33.0, "/m"),
        ("33/m", "twist", 33.0, "/m"),
        ("2 s", "time", 2.0, "s"),
        ("350 ms", "time", 0.35, "s"),
        ("1.5 min", "time", 90.0, "s"),
        ("500 kbit/s", "bit rate", 500_000.0, "bit/s"),
        ("1 Mbit/s", "bit rate", 1_000_000.0, "bit/s"),
        ("19200 bit/s", "bit rate", 19_200.0, "bit/s"),
        ("50 %", "share", 50.0, "%"),
        ("12.5%", "share", 12.5, "%"),
    ],
)
def test_quantities_that_read(text, kind, value, unit):
    assert parse_quantity(text, kind) == Quantity(value, unit)


@pytest.mark.parametrize(
    ("text", "kind", "message", "do"),
    [
        ("15", "current", "a current needs a unit: '15' stands alone", "write 15 A (units: A, mA, µA)"),
        ("250 MA", "current", "'MA' is not a unit of current in '250 MA'", "did you mean 250 mA? units: A, mA, µA"),
        ("0 A", "current", "a current cannot be zero here: '0 A'", "write the value, or unknown"),
        ("-3 A", "current", "a current cannot be negative: '-3 A'", "write 3 A, or unknown"),
        ("4.7 k", "resistance", "'k' is not a unit of resistance in '4.7 k'", "did you mean 4.7 kohm? units: ohm, mohm, kohm, Mohm, Ω, mΩ, kΩ, MΩ"),
        ("185 F", "temperature", "'F' is not a unit of temperature in '185 F'", "write it in one of the units: C, °C"),
        ("400 deg", "angle", "'400 deg' is above 360 deg, the most an angle may be here", "check the number and the unit"),
        ("lots", "power", "'lots' is not a power", "write it as a number and a unit: 5 W"),
    ],
)
def test_quantities_that_do_not_read(text, kind, message, do):
    assert parse_quantity(text, kind) == UnitFault(message, do)


ODD_TEXT = st.one_of(st.text(max_size=30), st.text(alphabet="0123456789.,/-+ eE_mincftkohAWGSAE²Ω'\"", max_size=20))


@given(ODD_TEXT)
def test_no_text_raises(text):
    for read in (parse_length(text), parse_size(text), parse_quantity(text, "resistance"), parse_quantity(text, "temperature")):
        assert isinstance(read, (Length, Size, Quantity, UnitFault))


@given(st.integers(min_value=1, max_value=2_000_000))
def test_a_length_printed_in_mm_reads_back(tenths):
    length = Length(tenths / 10)
    assert parse_length(print_length(length, "mm")) == length
