"""Conductors against published figures, written out here and not taken from the program's tables."""

from __future__ import annotations

import pytest

from harnessdoc.trade.bundles import laid_up_factor, random_lay_factor
from harnessdoc.trade.conductors import resistance_at, resistance_mohm_m
from harnessdoc.trade.sizes import Size, awg_area_mm2, awg_diameter_mm, sae_areas_mm2

# number, diameter mm, area mm2, ohm/km. Source: the formula of ASTM B258 (from
# memory) with the resistivity of the International Annealed Copper Standard; the
# rows agree with a public table for these 13 sizes.
AWG = [
    ("1/0", 8.251, 53.48, 0.3224),
    ("2", 6.544, 33.63, 0.5127),
    ("4", 5.189, 21.15, 0.8152),
    ("6", 4.115, 13.30, 1.296),
    ("8", 3.264, 8.366, 2.061),
    ("10", 2.588, 5.261, 3.277),
    ("12", 2.053, 3.309, 5.211),
    ("14", 1.628, 2.081, 8.285),
    ("16", 1.291, 1.309, 13.17),
    ("18", 1.024, 0.823, 20.95),
    ("20", 0.812, 0.518, 33.31),
    ("22", 0.644, 0.326, 52.96),
    ("24", 0.511, 0.205, 84.21),
]


@pytest.mark.outside("ASTM B258 formula and IACS copper (from memory), table of 13 sizes as published")
@pytest.mark.parametrize(("number", "diameter", "area", "resistance"), AWG)
def test_awg_diameter_area_and_resistance(number, diameter, area, resistance):
    assert awg_diameter_mm(number) == pytest.approx(diameter, abs=0.0006)
    assert awg_area_mm2(number) == pytest.approx(area, rel=0.0025, abs=0.0006)
    # mohm/m is ohm/km.
    size = Size(awg_area_mm2(number), f"{number} AWG", "AWG", number)
    assert resistance_mohm_m(size).value == pytest.approx(resistance, rel=0.0005)


@pytest.mark.outside("ASTM B258 (from memory): 36 is 0.0050 in and 4/0 is 0.4600 in by definition")
def test_awg_ends_of_the_series():
    assert awg_diameter_mm("36") / 25.4 == pytest.approx(0.0050, abs=1e-9)
    assert awg_diameter_mm("4/0") / 25.4 == pytest.approx(0.4600, abs=1e-9)


# SAE conductor circular mils as two boat-cable suppliers print them.
SAE_CMIL = [("18", 1537), ("16", 2336), ("14", 3702), ("12", 5833), ("10", 9343), ("8", 14810), ("6", 24538), ("4", 37360), ("2", 62450), ("1", 77790), ("1/0", 98980), ("2/0", 125100), ("3/0", 158600), ("4/0", 205500)]


@pytest.mark.outside("SAE conductor areas in circular mils, two boat-cable suppliers' tables")
@pytest.mark.parametrize(("number", "cmil"), SAE_CMIL)
def test_sae_areas_are_smaller_than_awg(number, cmil):
    # One circular mil is the area of a circle of 0.001 in: 0.00050671 mm2.
    assert sae_areas_mm2()[number] == pytest.approx(cmil * 0.00050671, rel=0.005)
    assert 0.85 < sae_areas_mm2()[number] / awg_area_mm2(number) < 0.98


@pytest.mark.outside("FAA AC 43.13-1B, 11-66: L2 = 254.5 L1 / (234.5 + T2) for copper")
def test_copper_warms_by_the_handbooks_constants():
    # Example No. 2 of the handbook: 15.5 ft at 20 C may be 9.5 ft long at 182 C.
    assert 15.5 * 1.0 / resistance_at(1.0, 182.0) == pytest.approx(9.5, abs=0.05)


IEC_60502 = {2: 2.0, 3: 2.16, 4: 2.42, 5: 2.70, 6: 3.00, 7: 3.35, 8: 3.66, 9: 4.00, 10: 4.00, 11: 4.00, 12: 4.16, 13: 4.41, 14: 4.41, 15: 4.70, 16: 4.70, 17: 5.00, 18: 5.00, 19: 5.00, 20: 5.33, 21: 5.33, 22: 5.67, 23: 5.67, 24: 6.00, 25: 6.00, 26: 6.00, 27: 6.15}


@pytest.mark.outside("IEC 60502-1 annex A.2, coefficients of laid-up cores")
def test_laid_up_factors():
    assert {n: laid_up_factor(n).value for n in IEC_60502} == IEC_60502
    assert [laid_up_factor(n, with_centre=True).value for n in (7, 8, 9)] == [3.00, 3.45, 3.80]
    assert laid_up_factor(10, with_centre=True).value == 4.00
    assert laid_up_factor(28) is None


@pytest.mark.outside("best known packings of equal circles, four tables (19 is proven)")
def test_random_lay_against_the_tightest_packing():
    packed = {3: 2.1547005, 4: 2.4142136, 5: 2.7013016, 6: 3.0, 7: 3.0, 12: 4.0296019, 19: 4.8637033, 27: 5.9063978, 37: 6.7587705}
    short = {wires: 1 - random_lay_factor().value * wires**0.5 / ratio for wires, ratio in packed.items()}
    # The trade's rule is for bundles: from seven wires it is never tighter than can
    # be packed; for three to six it falls short by at most 4 %.
    assert all(short[wires] <= 0 for wires in (7, 12, 19, 27, 37))
    assert 0 < max(short.values()) < 0.04
