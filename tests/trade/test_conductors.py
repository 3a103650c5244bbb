"""Outside diameters, resistances, wire types."""

from __future__ import annotations

import pytest

from harnessdoc.trade.conductors import od_mm, resistance_at, resistance_mohm_m
from harnessdoc.trade.sizes import AWG_NUMBERS, Size, awg_area_mm2, sae_areas_mm2
from harnessdoc.trade.wire_types import WireType, WireTypeFault, parse_wire_type

PVC, TXL, GXL, SXL = (parse_wire_type(t) for t in ("PVC 85 C", "TXL", "GXL", "SXL"))


def mm2(number: str) -> Size:
    return Size(float(number), number, "mm2", number)


def awg(number: str) -> Size:
    return Size(awg_area_mm2(number), number, "AWG", number)


def sae(number: str) -> Size:
    return Size(sae_areas_mm2()[number], number, "SAE", number)


@pytest.mark.parametrize(
    ("size", "wire_type", "value", "mark"),
    [
        (mm2("0.75"), PVC, 1.9, "READ"),
        (mm2("0.5"), PVC, 1.6, "MEMORY"),
        (mm2("4.5"), PVC, 4.1, "READ"),
        (awg("18"), GXL, 2.6, "READ"),
        (sae("18"), GXL, 2.6, "READ"),
        (sae("18"), TXL, 2.24, "DERIVED"),
        (sae("18"), SXL, 2.95, "DERIVED"),
        (mm2("0.85"), PVC, 1.98, "DERIVED"),
        (mm2("20"), PVC, 7.91, "MEMORY"),
        (mm2("70"), PVC, 14.22, "MEMORY"),
        (awg("22"), TXL, 1.95, "DERIVED"),
    ],
)
def test_outside_diameters(size, wire_type, value, mark):
    fact = od_mm(size, wire_type)
    assert (fact.value, fact.unit, fact.mark) == (value, "mm", mark)


@pytest.mark.parametrize(
    ("size", "wire_type", "origin"),
    [
        (mm2("0.85"), PVC, "estimate: between 0.75 and 1 of the table"),
        (mm2("70"), PVC, "estimate: carried on beyond 50 of the table"),
        (awg("22"), TXL, "estimate: carried on below 20 of the table"),
        (sae("18"), TXL, "estimate: GXL less twice 0.007 in"),
        (mm2("0.75"), None, "insulation unknown, thin wall taken: a supplier's sheet for thin-wall cable"),
    ],
)
def test_an_estimate_says_so(size, wire_type, origin):
    assert od_mm(size, wire_type).origin == origin


def test_no_diameter_where_no_table_reaches():
    assert od_mm(mm2("0.05"), PVC) is None
    assert od_mm(mm2("150"), PVC) is None


@pytest.mark.parametrize("wire_type", [PVC, TXL, GXL, SXL, None])
def test_a_thicker_conductor_has_a_thicker_wire(wire_type):
    thick = [awg(n) for n in AWG_NUMBERS if 0.3 < awg_area_mm2(n) < 110]
    diameters = [od_mm(size, wire_type).value for size in thick]
    assert diameters == sorted(diameters, reverse=True)


def test_walls_stand_in_their_order():
    assert od_mm(sae("14"), TXL).value < od_mm(sae("14"), GXL).value < od_mm(sae("14"), SXL).value


def test_resistances_of_the_table_and_of_the_area():
    assert (resistance_mohm_m(mm2("0.75")).value, resistance_mohm_m(mm2("0.75")).mark) == (24.7, "MEMORY")
    assert resistance_mohm_m(mm2("0.75"), tinned=True).value == 25.4
    worked = resistance_mohm_m(sae("14"))
    assert (round(worked.value, 3), worked.unit, worked.mark) == (9.171, "mohm/m", "DERIVED")


def test_resistance_rises_with_warmth():
    assert resistance_at(24.7, 20.0) == 24.7
    assert resistance_at(10.0, 85.0) == pytest.approx(10 * 319.5 / 254.5)


@pytest.mark.parametrize(
    ("text", "printed", "family"),
    [
        ("PVC 85 C", "PVC 85 C", "thin wall"),
        ("pvc 85C", "PVC 85 C", "thin wall"),
        ("XLPE 125 °C", "XLPE 125 C", "thin wall"),
        ("PVC", "PVC", "thin wall"),
        ("TXL", "TXL 125 C", "TXL"),
        ("GPT", "GPT 80 C", "GPT"),
        ("silicone 200 C", "silicone 200 C", "thin wall"),
    ],
)
def test_wire_types_that_read(text, printed, family):
    read = parse_wire_type(text)
    assert isinstance(read, WireType)
    assert (str(read), read.family) == (printed, family)


LISTED = "types: PVC, XLPE, TPE, ETFE, FEP, PTFE, silicone, GPT, TXL, GXL, SXL"


@pytest.mark.parametrize(
    ("text", "message", "do"),
    [
        ("PVV 85 C", "'PVV 85 C' is not a wire type", f"did you mean PVC? {LISTED}"),
        ("", "'' is not a wire type", f"write for example PVC 85 C; {LISTED}"),
        ("PVC 85", "'85' in 'PVC 85' is not a temperature", "write for example PVC 85 C"),
        ("PVC 8 C", "'PVC 8 C': 8 C is not between 60 and 300 C, where insulation of vehicle wires lies", "check the temperature class; it is in degrees Celsius"),
        ("PVC 500 C", "'PVC 500 C': 500 C is not between 60 and 300 C, where insulation of vehicle wires lies", "check the temperature class; it is in degrees Celsius"),
    ],
)
def test_wire_types_that_do_not_read(text, message, do):
    assert parse_wire_type(text) == WireTypeFault(message, do)
