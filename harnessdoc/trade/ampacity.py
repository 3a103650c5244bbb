"""What a conductor may carry for good, by published tables.

Takes a size, the temperature its insulation stands and where it lies; gives a current
with the table, row, column and factors it comes from, or says why the table has none.
Each table is used with its own derating and no other; nothing is extrapolated. The
currents are for good: a table says nothing of surges, and the law leaves out the main
cable of a starter. Facts: ``data/ampacity.csv``, ``data/ampacity_factors.csv``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from math import prod

from harnessdoc.trade.bundle_derating import altitude_factor, bundle_factor, free_air_ampacity
from harnessdoc.trade.size_rows import row_of, row_size, row_words
from harnessdoc.trade.sizes import Size
from harnessdoc.trade.tables import Fact, rows, said
from harnessdoc.trade.wire_types import COOLEST_C

_LAW, _AIRCRAFT, _BOATS, _HOUSES = "33 CFR 183.425", "AC 43.13-1B", "ABYC E-11", "DIN VDE 0298-4"
TABLES: tuple[str, ...] = (_LAW, _AIRCRAFT, _BOATS, _HOUSES)
DEFAULT_TABLE = _LAW

_SHEET = "cable supplier's sheet"
"""Stands in below the first row of a table; no table of its own, for it states no ambient."""
ROAD_FT = 0.0
"""Where vehicles drive, below some 5,000 ft, nothing is taken off for altitude: design choice."""
_FULLY_LOADED = 100.0
_ENGINE_SPACE_C = 50.0
"""Ambient of an engine space in the law and in ABYC E-11."""


@dataclass(frozen=True, slots=True)
class Ampacity:
    """What a conductor may carry for good.

    current_a:    the figure of the table times its factors
    table:        one of TABLES; ``cable supplier's sheet`` for a conductor thinner than the table's first row
    row:          the size whose row it is: ``16 AWG``
    row_words:    why this row, ``1.5 mm² takes the row of 16 AWG, 1.31 mm²``; "" where the size has its own
    column_c:     insulation of the column in C; None for the supplier's sheet, which has no columns
    column_words: why this column, ``85 C insulation takes the 80 C column``; "" where it is the insulation's own
    factors:      what the figure was multiplied by: words and factor
    beyond:       what the table does not stand for here; "" where it stands for all
    mark:         the weakest of figure and factors: MEMORY goes before DERIVED, DERIVED before READ
    words:        one line for a sheet: table, row, column, ambient, factors
    """

    current_a: float
    table: str
    row: str
    row_words: str
    column_c: float | None
    column_words: str
    factors: tuple[tuple[str, float], ...]
    beyond: str
    origin: str
    mark: str
    words: str


@dataclass(frozen=True, slots=True)
class NotInTable:
    """A table has no current for this conductor, or none where it lies: ``words`` says why, in one line."""

    words: str


@dataclass(frozen=True, slots=True)
class _Table:
    """A table: row -> insulation in C -> ambient in C -> current; its own factors."""

    rows: Mapping[Size, Mapping[float, Mapping[float, Fact]]]
    engine_space: Mapping[float, Fact]          # by column, in C
    bundle: tuple[tuple[int, Fact], ...]        # from how many current-carrying conductors on, fewest first

    @property
    def columns_c(self) -> tuple[float, ...]:
        return tuple(sorted({column for row in self.rows.values() for column in row}))

    @property
    def ambients_c(self) -> tuple[float, ...]:
        return tuple(sorted({ambient for row in self.rows.values() for column in row.values() for ambient in column}))


@cache
def _tables() -> Mapping[str, _Table]:
    cells: dict[str, dict[Size, dict[float, dict[float, Fact]]]] = {name: {} for name in TABLES}
    for r in rows("ampacity"):
        if r["table"] in cells:
            row = cells[r["table"]].setdefault(row_size(r["system"], r["number"], r["cmil"]), {})  # type: ignore[arg-type]
            row.setdefault(float(r["insulation_c"]), {})[float(r["ambient_c"])] = _current(r)
    return {name: _Table(cells[name], *_factors(name)) for name in TABLES}


@cache
def _sheet() -> Mapping[Size, Fact]:
    return {row_size(r["system"], r["number"]): _current(r) for r in rows("ampacity") if r["table"] == _SHEET}  # type: ignore[arg-type]


def _current(row: Mapping[str, str]) -> Fact:
    return Fact(float(row["current_a"]), "A", row["origin"], row["mark"])


def _factors(table: str) -> tuple[Mapping[float, Fact], tuple[tuple[int, Fact], ...]]:
    engine_space, bundle = {}, []
    for r in rows("ampacity_factors"):
        if r["table"] == table:
            fact = Fact(float(r["factor"]), "", r["origin"], r["mark"])
            if r["factor_for"] == "bundle":
                bundle.append((int(r["from_wires"]), fact))
            else:
                engine_space[float(r["insulation_c"])] = fact
    return engine_space, tuple(bundle)


@lru_cache(maxsize=4096)
def ampacity(size: Size, insulation_c: float | None, table: str, engine_space: bool, ambient_c: float, bundled: int) -> Ampacity | NotInTable:
    """What a conductor of ``size`` may carry for good by ``table`` (one of TABLES; KeyError for any other).

    insulation_c: what the insulation stands; it takes the next lower column. None, not known: the lowest column.
    engine_space: the zone is an engine space: at least the table's 50 C.
    ambient_c:    of the zone. A zone warmer than the table's 30 C takes the figures of its engine space too;
                  how far it goes beyond what the table stands for is said in ``beyond``.
    bundled:      current-carrying conductors in the thickest bundle on the way; 1 where it lies alone.
    """
    known = _tables()[table]
    column_c = _column(known.columns_c, insulation_c)
    if column_c is None:
        return NotInTable(f"{insulation_c:g} C insulation is below the lowest column of {table}, {known.columns_c[0]:g} C")
    asked_c = max(ambient_c, _ENGINE_SPACE_C) if engine_space else ambient_c
    table_c = next((c for c in known.ambients_c if c >= asked_c), known.ambients_c[-1])
    if table == _HOUSES and ambient_c > table_c:
        return NotInTable(f"{table} ends at {table_c:g} C ambient, the zone is {ambient_c:g} C")
    row = row_of(size, known.rows)
    if row is None:
        return _thinner(size, insulation_c, table, engine_space, ambient_c, bundled)

    figure = known.rows[row][column_c][table_c]
    stands_for_c, factors = _own_factors(known, column_c, table_c, asked_c, engine_space, bundled)
    current_a = figure.value * prod(factor.value for _, factor in factors)
    said_row, said_column = row_words(size, row), _column_words(insulation_c, column_c)
    line = (said_row or f"row of {row}", said_column or f"{column_c:g} C column", *_stands_for(table, stands_for_c, row, bundled),
            *(f"{words} x {factor.value:g}{_unless_read(factor)}" for words, factor in factors))
    return Ampacity(
        # 20 A x 0.78 is 15.6 A and not a hair more or less: it is compared with ratings.
        round(current_a, 4), table, str(row), said_row, column_c, said_column, tuple((words, factor.value) for words, factor in factors),
        _beyond(table, known, insulation_c, column_c, stands_for_c, ambient_c, bundled),
        "; ".join((figure.origin, *(f"{words}: {said(factor.origin, factor.mark)}" for words, factor in factors))),
        _weakest(figure, *(factor for _, factor in factors)), f"{table}: {'; '.join(line)}{_unless_read(figure)}",
    )


def _own_factors(known: _Table, column_c: float, table_c: float, asked_c: float, engine_space: bool, bundled: int) -> tuple[float, list[tuple[str, Fact]]]:
    """What a table asks its figure to be multiplied by, in words, and the ambient it stands for then."""
    found = []
    if asked_c > table_c and column_c in known.engine_space:
        table_c = _ENGINE_SPACE_C
        found.append((f"{'engine space' if engine_space else 'as an engine space'}, {table_c:g} C", known.engine_space[column_c]))
    reached = [factor for least, factor in known.bundle if least <= bundled]
    if reached:
        found.append((f"{bundled} in a bundle", reached[-1]))
    return table_c, found


def _column(columns_c: tuple[float, ...], insulation_c: float | None) -> float | None:
    if insulation_c is None:
        return columns_c[0]
    return max((c for c in columns_c if c <= insulation_c), default=None)


def _column_words(insulation_c: float | None, column_c: float) -> str:
    if insulation_c is None:
        return f"insulation not known: the {column_c:g} C column"
    return "" if insulation_c == column_c else f"{insulation_c:g} C insulation takes the {column_c:g} C column"


def _stands_for(table: str, stands_for_c: float, row: Size, bundled: int) -> tuple[str, ...]:
    """What is in the figures of a table already, and what it asks no factor for."""
    if table == _AIRCRAFT:
        # Note 1 of the table: 33 or more wires for 24 to 10 AWG, 9 for 8 AWG and thicker.
        wires = 9 if row.area_mm2 >= row_size("AWG", "8").area_mm2 else 33
        return (f"ambient {stands_for_c:g} C, a bundle of {wires} that carries 20 % and 60,000 ft are in the table",)
    if table == _LAW and bundled >= 3:
        return (f"ambient {stands_for_c:g} C", "no factor for a bundle below 50 V DC")
    return (f"ambient {stands_for_c:g} C",)


def _beyond(table: str, known: _Table, insulation_c: float | None, column_c: float, stands_for_c: float, ambient_c: float, bundled: int) -> str:
    found = []
    if ambient_c > stands_for_c:
        whose = "the table's engine space is" if table in (_LAW, _BOATS) else "the table stands for"
        found.append(f"{whose} {stands_for_c:g} C, the zone {ambient_c:g} C: no factor is given for that")
    stands_c = column_c if insulation_c is None else insulation_c
    if ambient_c >= stands_c:
        found.append(f"{stands_c:g} C insulation may carry nothing for good in a zone of {ambient_c:g} C")
    if insulation_c is None and column_c > COOLEST_C:
        found.append(f"insulation below {column_c:g} C may carry less")
    if table == _HOUSES and bundled > 1:
        found.append(f"no factor is known for {bundled} in a bundle")
    return "; ".join(found)


def _thinner(size: Size, insulation_c: float | None, table: str, engine_space: bool, ambient_c: float, bundled: int) -> Ampacity | NotInTable:
    """A conductor thinner than the first row: what the supplier's sheet has, and no more than the first row may carry.

    The sheet is for 105 C cable and names no ambient: without the second half a thinner conductor might carry
    more than the thicker one of the first row does with cooler insulation, in a bundle or in an engine space.
    """
    first_row = min(_tables()[table].rows, key=lambda row: row.area_mm2)
    thinner = f"{size} is thinner than {first_row}, the first row of {table}"
    row = row_of(size, _sheet())
    if row is None:
        return NotInTable(thinner)
    first, figure = ampacity(first_row, insulation_c, table, engine_space, ambient_c, bundled), _sheet()[row]
    assert isinstance(first, Ampacity)      # its column and ambient were found before its row was missed
    has = f"{figure.value:g} A for {row}, ambient not stated"
    beyond = "; ".join(filter(None, ("the sheet states no ambient", first.beyond)))
    if figure.value <= first.current_a:
        return Ampacity(figure.value, _SHEET, str(row), thinner, None, "", (), beyond, figure.origin, figure.mark, f"{_SHEET}: {has}; {thinner}")
    held = f"{thinner}, and carries no more than that; a {_SHEET} has {has}"
    return Ampacity(first.current_a, table, first.row, held, first.column_c, first.column_words, first.factors, beyond,
                    f"no more than the first row: {first.origin}", "MEMORY" if first.mark == "MEMORY" else "DERIVED", f"{first.words}; {held}")


def _unless_read(fact: Fact) -> str:
    return "" if fact.mark == "READ" else f" ({said(fact.origin, fact.mark)})"


def _weakest(*facts: Fact) -> str:
    marks = {fact.mark for fact in facts}
    return next(mark for mark in ("MEMORY", "DERIVED", "READ") if mark in marks)


def of_free_air(free_air_a: float, size: Size, bundled: int) -> Ampacity | NotInTable:
    """What a wire may carry of which its maker states a current in free air, in A, among ``bundled`` that carry, all fully loaded.

    The bundle curves and the altitude factor of AC 43.13-1B, and nothing else: the figure is taken to be for the ambient.
    """
    bundle, altitude = bundle_factor(bundled, _FULLY_LOADED), altitude_factor(ROAD_FT)
    allowed = altitude and free_air_ampacity(free_air_a, bundled, _FULLY_LOADED, altitude.value)
    if bundle is None or allowed is None:
        return NotInTable(f"{free_air_a:g} A in free air, but the bundle curves of AC 43.13-1B were read for 19 wires at most, and {bundled} carry current here")
    factors = ((f"{bundled} wires that carry", bundle.value),) if bundled > 1 else ()
    words = f"{free_air_a:g} A in free air as its maker states" + (f"; {bundled} wires that carry, all fully loaded x {bundle.value:g} (AC 43.13-1B, read off a chart)" if factors else "")
    return Ampacity(allowed.value, "AC 43.13-1B bundle curves", str(size), "", None, "", factors, "", allowed.origin, allowed.mark, words)
