"""Which row, column and factors a conductor takes, and where a table has nothing."""

from __future__ import annotations

import pytest

from harnessdoc.trade.ampacity import DEFAULT_TABLE, TABLES, Ampacity, NotInTable, ampacity, of_free_air
from harnessdoc.trade.size_rows import row_of, row_size, row_words
from harnessdoc.trade.sizes import AWG_NUMBERS, Size, sae_areas_mm2
from harnessdoc.trade.tables import rows

LAW, AIRCRAFT, BOATS, HOUSES = TABLES


def mm2(number: str) -> Size:
    return row_size("mm2", number)


def awg(number: str) -> Size:
    return row_size("AWG", number)


def sae(number: str) -> Size:
    return row_size("SAE", number)


def found(size: Size, insulation_c: float | None = 105.0, table: str = LAW, engine_space: bool = False, ambient_c: float = 30.0, bundled: int = 1) -> Ampacity:
    result = ampacity(size, insulation_c, table, engine_space, ambient_c, bundled)
    assert isinstance(result, Ampacity), result
    return result


def test_the_law_is_the_default():
    assert DEFAULT_TABLE == TABLES[0] == "33 CFR 183.425"
    assert set(TABLES) | {"cable supplier's sheet"} == {r["table"] for r in rows("ampacity")}


@pytest.mark.parametrize("size, table, row, words", [
    (awg("16"), LAW, "16 AWG", ""),
    (mm2("1.5"), LAW, "16 AWG", "1.5 mm² takes the row of 16 AWG, 1.31 mm²"),
    (mm2("1"), LAW, "18 AWG", "1 mm² takes the row of 18 AWG, 0.82 mm²"),
    (sae("14"), LAW, "16 AWG", "SAE 14, 1.88 mm², takes the row of 16 AWG, 1.31 mm²"),
    (awg("15"), LAW, "16 AWG", "15 AWG, 1.65 mm², takes the row of 16 AWG, 1.31 mm²"),
    (mm2("120"), LAW, "4/0 AWG", "120 mm² takes the row of 4/0 AWG, 107.22 mm²"),
    # The circular's No. 16 has 2426 cmil, 1.23 mm2: less than 16 AWG by the formula, more than SAE 16.
    (mm2("1.25"), AIRCRAFT, "16 AWG", "1.25 mm² takes the row of 16 AWG, 1.23 mm²"),
    (mm2("1.25"), LAW, "18 AWG", "1.25 mm² takes the row of 18 AWG, 0.82 mm²"),
    (sae("16"), AIRCRAFT, "18 AWG", "SAE 16, 1.18 mm², takes the row of 18 AWG, 0.96 mm²"),
    (mm2("2.5"), HOUSES, "2.5 mm²", ""),
    (awg("14"), HOUSES, "1.5 mm²", "14 AWG, 2.08 mm², takes the row of 1.5 mm²"),
])
def test_a_conductor_takes_its_own_row_or_that_of_the_next_smaller_copper(size, table, row, words):
    result = found(size, table=table)
    assert (result.row, result.row_words) == (row, words)


@pytest.mark.parametrize("insulation_c, column_c, words", [
    (105.0, 105.0, ""),
    (85.0, 80.0, "85 C insulation takes the 80 C column"),
    (150.0, 125.0, "150 C insulation takes the 125 C column"),
    (260.0, 200.0, "260 C insulation takes the 200 C column"),
    (None, 60.0, "insulation not known: the 60 C column"),
])
def test_insulation_takes_the_next_lower_column(insulation_c, column_c, words):
    result = found(awg("16"), insulation_c)
    assert (result.column_c, result.column_words) == (column_c, words)


def test_insulation_below_the_lowest_column_has_no_current():
    assert ampacity(awg("16"), 85.0, BOATS, False, 30.0, 1) == NotInTable("85 C insulation is below the lowest column of ABYC E-11, 105 C")
    assert ampacity(awg("16"), 85.0, AIRCRAFT, False, 30.0, 1) == NotInTable("85 C insulation is below the lowest column of AC 43.13-1B, 105 C")
    assert ampacity(mm2("1.5"), 60.0, HOUSES, False, 30.0, 1) == NotInTable("60 C insulation is below the lowest column of DIN VDE 0298-4, 70 C")


def test_where_the_insulation_is_not_known_and_the_lowest_column_is_no_cool_one_it_is_said():
    assert found(awg("16"), None, AIRCRAFT).beyond == "insulation below 105 C may carry less"
    assert found(awg("16"), None, LAW).beyond == ""


def test_the_laws_engine_space():
    in_engine = found(awg("16"), engine_space=True, ambient_c=50.0)
    assert (in_engine.current_a, in_engine.mark, in_engine.factors, in_engine.beyond) == (21.25, "READ", (("engine space, 50 C", 0.85),), "")
    assert in_engine.words == "33 CFR 183.425: row of 16 AWG; 105 C column; ambient 50 C; engine space, 50 C x 0.85"
    # A bay nobody calls an engine space is no cooler for that.
    assert found(awg("16"), ambient_c=45.0).factors == (("as an engine space, 50 C", 0.85),)


def test_a_factor_from_memory_makes_the_result_one():
    result = found(mm2("1.5"), 85.0, engine_space=True, ambient_c=50.0)
    assert (result.current_a, result.mark) == (15.6, "MEMORY")
    assert result.words == ("33 CFR 183.425: 1.5 mm² takes the row of 16 AWG, 1.31 mm²; 85 C insulation takes the 80 C column; ambient 50 C; "
                            "engine space, 50 C x 0.78 (from memory)")
    assert found(mm2("1.5"), 85.0).mark == "READ"
    assert found(awg("8"), 200.0, engine_space=True).mark == "DERIVED"
    assert found(mm2("50"), 70.0, HOUSES).mark == "MEMORY"


def test_nothing_ever_says_per():
    for table in TABLES:
        for insulation_c in (None, 70.0, 105.0, 200.0):
            for ambient_c in (30.0, 50.0, 125.0):
                for size in (mm2("0.5"), mm2("0.75"), awg("16"), mm2("50")):
                    result = ampacity(size, insulation_c, table, True, ambient_c, 25)
                    assert "per " not in f"{result.words} {getattr(result, 'origin', '')}"


@pytest.mark.parametrize("bundled, factors, current_a, mark", [
    (1, (), 25.0, "READ"), (2, (), 25.0, "READ"), (3, (("3 in a bundle", 0.7),), 17.5, "READ"), (6, (("6 in a bundle", 0.6),), 15.0, "READ"),
    (7, (("7 in a bundle", 0.5),), 12.5, "READ"), (24, (("24 in a bundle", 0.5),), 12.5, "READ"), (25, (("25 in a bundle", 0.4),), 10.0, "READ")])
def test_boats_derate_a_bundle(bundled, factors, current_a, mark):
    result = found(awg("16"), table=BOATS, bundled=bundled)
    assert (result.factors, result.current_a, result.mark) == (factors, current_a, mark)


def test_no_other_table_derates_a_bundle():
    assert found(awg("16"), bundled=30).current_a == 25.0
    assert "no factor for a bundle below 50 V DC" in found(awg("16"), bundled=30).words
    assert found(awg("16"), table=AIRCRAFT, bundled=30).current_a == 7.0
    assert "a bundle of 33 that carries 20 %" in found(awg("16"), table=AIRCRAFT, bundled=30).words
    assert "a bundle of 9 that carries 20 %" in found(awg("8"), table=AIRCRAFT, bundled=30).words
    assert found(mm2("1.5"), table=HOUSES, bundled=5).current_a == 24.0
    assert found(mm2("1.5"), table=HOUSES, bundled=5).beyond == "no factor is known for 5 in a bundle"


def test_the_circular_takes_no_factor_and_boats_have_their_own_column():
    assert (found(awg("16"), table=AIRCRAFT, engine_space=True, ambient_c=70.0).factors, found(awg("16"), table=AIRCRAFT, ambient_c=70.0).beyond) == ((), "")
    assert found(awg("16"), table=BOATS, engine_space=True, ambient_c=30.0).current_a == 21.3
    assert found(awg("16"), table=BOATS, engine_space=True, ambient_c=30.0, bundled=3).current_a == 14.91


def test_houses_have_two_ambients_and_end_there():
    assert [found(mm2("1.5"), 70.0, HOUSES, ambient_c=c).current_a for c in (20.0, 30.0, 31.0, 50.0)] == [24.0, 24.0, 17.0, 17.0]
    assert ampacity(mm2("1.5"), 70.0, HOUSES, False, 51.0, 1) == NotInTable("DIN VDE 0298-4 ends at 50 C ambient, the zone is 51 C")


@pytest.mark.parametrize("size, insulation_c, table, beyond", [
    (awg("16"), 105.0, LAW, "the table's engine space is 50 C, the zone 85 C: no factor is given for that"),
    (awg("16"), 105.0, BOATS, "the table's engine space is 50 C, the zone 85 C: no factor is given for that"),
    (awg("16"), 105.0, AIRCRAFT, "the table stands for 70 C, the zone 85 C: no factor is given for that"),
    # PVC of 85 C in a bay of 85 C: any current at all is too much for good.
    (awg("16"), 85.0, LAW, "the table's engine space is 50 C, the zone 85 C: no factor is given for that; 85 C insulation may carry nothing for good in a zone of 85 C"),
    (awg("16"), None, LAW, "the table's engine space is 50 C, the zone 85 C: no factor is given for that; 60 C insulation may carry nothing for good in a zone of 85 C"),
])
def test_what_a_table_does_not_stand_for_is_said(size, insulation_c, table, beyond):
    assert found(size, insulation_c, table, engine_space=True, ambient_c=85.0).beyond == beyond


def test_below_the_first_row_the_suppliers_sheet_stands_in():
    thin = found(mm2("0.75"))
    assert (thin.current_a, thin.table, thin.row, thin.column_c, thin.factors, thin.mark) == (14.0, "cable supplier's sheet", "0.75 mm²", None, (), "READ")
    assert thin.beyond == "the sheet states no ambient"
    assert thin.words == "cable supplier's sheet: 14 A for 0.75 mm², ambient not stated; 0.75 mm² is thinner than 18 AWG, the first row of 33 CFR 183.425"
    assert (found(awg("20")).current_a, found(awg("20")).row) == (11.0, "0.5 mm²")
    assert (found(sae("18")).current_a, found(sae("18")).row) == (14.0, "0.75 mm²")


def test_a_conductor_below_the_first_row_never_carries_more_than_it():
    # 14 A is of 105 C cable: with insulation that is not known the thicker 18 AWG carries 10 A.
    thin = found(mm2("0.75"), None)
    assert (thin.current_a, thin.table, thin.row, thin.column_words, thin.mark) == (10.0, LAW, "18 AWG", "insulation not known: the 60 C column", "DERIVED")
    assert thin.row_words == ("0.75 mm² is thinner than 18 AWG, the first row of 33 CFR 183.425, and carries no more than that; "
                              "a cable supplier's sheet has 14 A for 0.75 mm², ambient not stated")
    assert found(mm2("0.75"), None, engine_space=True).mark == "MEMORY"
    assert found(mm2("0.75"), 105.0, BOATS, bundled=7).current_a == 10.0
    assert found(mm2("0.75"), 70.0, HOUSES, ambient_c=50.0).current_a == 13.5


def test_thinner_than_any_sheet_there_is_no_current():
    assert ampacity(mm2("0.35"), 105.0, LAW, False, 30.0, 1) == NotInTable("0.35 mm² is thinner than 18 AWG, the first row of 33 CFR 183.425")
    assert ampacity(awg("26"), 105.0, AIRCRAFT, False, 30.0, 1) == NotInTable("26 AWG is thinner than 24 AWG, the first row of AC 43.13-1B")


def test_an_unknown_table_is_the_callers_fault():
    with pytest.raises(KeyError):
        ampacity(awg("16"), 105.0, "some table", False, 30.0, 1)


SIZES = sorted([*(awg(n) for n in AWG_NUMBERS), *(sae(n) for n in sae_areas_mm2()), *(mm2(n) for n in "0.35 0.5 0.75 1 1.5 2.5 4 6 10 16 25 35 50 70 95 120".split())],
               key=lambda size: size.area_mm2)


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("engine_space, ambient_c, bundled", [(False, 30.0, 1), (True, 50.0, 1), (False, 40.0, 30)])
def test_more_copper_or_warmer_insulation_never_carries_less(table, engine_space, ambient_c, bundled):
    def carries(size, insulation_c):
        result = ampacity(size, insulation_c, table, engine_space, ambient_c, bundled)
        return result.current_a if isinstance(result, Ampacity) else 0.0

    for insulation_c in (None, 60.0, 85.0, 105.0, 125.0, 200.0):
        # A gauge number keeps its own row, though a metric or SAE size of a hair more copper takes the row below.
        for system in ("AWG", "SAE", "mm2"):
            currents = [carries(size, insulation_c) for size in SIZES if size.system == system]
            assert currents == sorted(currents), (system, insulation_c)
    for size in SIZES:
        currents = [carries(size, c) for c in (60.0, 75.0, 80.0, 90.0, 105.0, 125.0, 150.0, 200.0)]
        assert currents == sorted(currents), size


def test_row_of_and_its_words():
    sizes = [mm2("1"), mm2("1.5"), mm2("4")]
    assert row_of(mm2("1.5"), sizes) == mm2("1.5")
    assert row_of(mm2("3.9"), sizes) == mm2("1.5")
    assert row_of(mm2("0.9"), sizes) is None
    assert row_words(mm2("1.5"), mm2("1.5")) == ""
    assert row_size("AWG", "16", "2426").area_mm2 == pytest.approx(2426 * 0.00050671, rel=1e-4)


def test_a_stated_free_air_figure_takes_the_bundle_curves_and_no_table():
    size = awg("14")
    alone, twelve = of_free_air(47.0, size, 1), of_free_air(47.0, size, 12)
    assert (alone.current_a, alone.factors) == (47.0, ())
    assert twelve.current_a == pytest.approx(47.0 * 0.43) and twelve.factors == (("12 wires that carry", 0.43),)
    assert "47 A in free air as its maker states; 12 wires that carry, all fully loaded x 0.43" in twelve.words
    assert isinstance(of_free_air(47.0, size, 21), NotInTable)
