"""The fact tables as files: each row says where it comes from; numbers are numbers."""

from __future__ import annotations

from importlib.resources import files

import pytest

from harnessdoc.trade.colours import CONVENTIONS, Colour, parse_colour
from harnessdoc.trade.signals import CAUTIONS, signals
from harnessdoc.trade.standard_connectors import standard_connectors
from harnessdoc.trade.tables import MARKS, factors, rows, said

NAMES = sorted(p.name.removesuffix(".csv") for p in files("harnessdoc.trade").joinpath("data").iterdir())
NUMBERS = ("_mm", "_mm2", "_mohm_m", "_a", "_c", "cmil", "value", "wires", "factor", "factor_with_centre")


def test_the_tables_are_found():
    assert len(NAMES) >= 13
    assert "colours" in NAMES and "signals" in NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_row_says_where_it_comes_from(name):
    for row in rows(name):
        assert row["mark"] in MARKS, row
        assert row["origin"].strip(), row
        # A row from memory names no source, and only such a row says memory alone.
        assert (row["origin"] == "memory") <= (row["mark"] == "MEMORY"), row
        assert None not in row and None not in row.values(), f"{name}: a row with too many or too few cells: {row}"


@pytest.mark.parametrize("name", NAMES)
def test_numbers_are_numbers_above_zero(name):
    for row in rows(name):
        for column, text in row.items():
            if text and column.endswith(NUMBERS):
                assert float(text) > 0, (column, row)


@pytest.mark.parametrize("name", NAMES)
def test_no_row_stands_twice(name):
    table = [tuple(row.values()) for row in rows(name)]
    assert len(set(table)) == len(table)


def test_a_fact_from_memory_never_claims_a_source():
    assert said("IEC 60757", "MEMORY") == "from memory"
    assert said("a maker's sheet", "READ") == "a maker's sheet"


def test_factors_have_their_units():
    assert (factors()["copper-resistivity"].value, factors()["copper-resistivity"].unit) == (17.241, "mohm mm2/m")


WANTED = """
output-low output-high output-push-pull feed-constant feed-switched feed-start ground-power ground-sensor ground-case reference-5v
input-switch-to-ground input-switch-to-supply input-analog thermistor resistive-sender inductive-sensor-plus inductive-sensor-minus
hall-sensor knock-sensor oxygen-sensor oxygen-heater coil-driver ignition-primary injector stepper motor lamp relay-coil charge-lamp
tachometer speed-pulses can-high can-low k-line lin shield airbag immobiliser pedal-track throttle-track output-pwm-low alternator-sense
starter-control glow fuel-pump
""".split()


def test_the_signal_list_is_whole_and_well_formed():
    assert set(WANTED) <= set(signals())
    for kind, signal in signals().items():
        assert kind == signal.kind and kind == kind.lower() and " " not in kind
        assert signal.direction in ("in", "out", "ground", "supply", "both")
        assert signal.caution in ("", *CAUTIONS)
    assert len({s.words for s in signals().values()}) == len(signals())


def test_every_caution_has_a_kind():
    assert {s.caution for s in signals().values()} == {"", *CAUTIONS}


@pytest.mark.parametrize("prefix", ["feed", "source", "reference", "ground", "output", "input"])
def test_a_family_of_kinds_has_one_direction(prefix):
    directions = {s.direction for k, s in signals().items() if k.startswith(f"{prefix}-")}
    expected = {"feed": "supply", "source": "out", "reference": "out", "ground": "ground", "output": "out", "input": "in"}
    assert directions == {expected[prefix]}


def test_standard_connectors_speak_the_words_of_the_other_tables():
    for connector in standard_connectors().values():
        cavities = [c.cavity for c in connector.cavities]
        assert len(set(cavities)) == len(cavities)
        for cavity in connector.cavities:
            assert cavity.signal in signals(), cavity
            if cavity.colour:
                assert isinstance(parse_colour(cavity.colour, CONVENTIONS[0]), Colour), cavity
