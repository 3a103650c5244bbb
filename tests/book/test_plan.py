"""Choice, order and names of the sheets."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.book.draw import make_context
from harnessdoc.book.plan import file_name
from harnessdoc.sheets.context import Options, SheetKind
from harnessdoc.steps import load

IN_LINE = """
title: t
connectors:
  A1: {half: plug, mates: A2, face: [[1..2]], view: mating face}
  B1: {face: [[1..2]], view: mating face}
  A2: {half: socket, face: [[1..2]], view: mating face}
boxes:
  Z1: {lid: [[F1, K1]]}
fuses:
  F1: {box: Z1, rating: 10 A}
  F2: {rating: 5 A}
relays:
  K1: {box: Z1}
devices:
  U1: {connectors: [B1]}
wires:
  1: {from: A1.1, to: B1.1}
  2: {from: A2.1, to: F2.1}
"""


def context_of(text: str):
    loaded = load("t.yaml", {"t.yaml": text})
    assert not loaded.has_errors, loaded.findings
    return make_context(loaded.version, Options())


def test_sheets_are_numbered_from_one_in_the_order_of_their_kinds() -> None:
    sheets = context_of(IN_LINE).sheets
    assert [sheet.number for sheet in sheets] == list(range(1, len(sheets) + 1))
    order = list(SheetKind)
    places = [order.index(sheet.kind) for sheet in sheets]
    assert places == sorted(places)


def test_mated_halves_share_a_sheet() -> None:
    context = context_of(IN_LINE)
    assert context.sheet_of["A1"] is context.sheet_of["A2"]
    assert context.sheet_of["A1"].name == "pinout-A1-A2"


def test_what_has_no_sheet_of_its_own_is_found_where_it_is_shown() -> None:
    context = context_of(IN_LINE)
    assert context.sheet_of["F1"].kind is SheetKind.BOX
    assert context.sheet_of["F2"].kind is SheetKind.FUSES
    assert context.sheet_of["K1"].kind is SheetKind.RELAYS
    assert context.sheet_of["U1"] is context.sheet_of["B1"]
    assert context.sheet_for("U1.9") is None


def test_names_of_files_are_safe_and_keep_plain_ids() -> None:
    assert file_name("B+") == "B+"
    assert file_name("a<b>/..\\") == "a(3c)b(3e)~..(5c)"
    assert len(file_name("\N{WRENCH}" * 60)) <= 80


@given(st.text(min_size=1, max_size=60), st.text(min_size=1, max_size=60))
def test_different_ids_give_different_file_names(one: str, other: str) -> None:
    assert (file_name(one) == file_name(other)) == (one == other)
    assert set(file_name(one)) <= set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-+_.~()")
