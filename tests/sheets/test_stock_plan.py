"""The stock plan, as a sheet and as lists."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest
from merge.stocked import MERGE, files, stocked
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import ref_of
from sheets.merged import merge_context
from sheets.read_tables import table_with

from harnessdoc.book.draw import make_context
from harnessdoc.book.merge_lists import lists_of
from harnessdoc.drawing.flag_notes import number_drawn
from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.revision.compare import compare
from harnessdoc.sheets.context import Context, Options, SheetKind, Since
from harnessdoc.sheets.cut_list import draw_cut_list
from harnessdoc.sheets.stock_plan import draw_stock_plan
from harnessdoc.steps import load


def context_of(merge: str = MERGE, **options: str) -> Context:
    return make_context(stocked(merge).version, Options(**options))


def pages_of(context: Context) -> tuple[Drawing, ...]:
    return draw_stock_plan(context, ref_of(context, SheetKind.STOCK_PLAN))


def rows(context: Context, text: str) -> list[list[str]]:
    """The rows that hold ``text``, one a page at most."""
    return [row_of(page, text) for page in pages_of(context) if text in texts(page)]


def all_texts(context: Context) -> list[str]:
    return [text for page in pages_of(context) for text in texts(page)]


def test_the_stock_stands_by_size_colour_and_length():
    found = all_texts(context_of())
    order = [found.index(text) for text in ("0.5 mm²: 10 pieces, 12.20 m, 2 of them without a length, 2 of them not to be cut", "donor/9", "host/11-far", "donor/2", "donor/7", "donor/1", "host/10", "donor/4-far", "donor/21",
                                            "0.85 mm²: 2 pieces, 1.35 m, not to be cut", "donor/5", "Set aside whole: 1 connector", "donor/X8")]
    assert order == sorted(order)


def test_pieces_none_of_which_has_a_length_make_up_no_sum():
    found = all_texts(merge_context(solve=False))
    assert "1.5 mm²: 1 piece without a length" in found and not any(", 0.00 m" in text for text in found)


def test_a_piece_with_what_is_on_it_what_it_is_cut_for_and_what_is_left():
    context = context_of()
    assert row_of(pages_of(context)[0], "pin 0.6 at E1.1") == ["RD", "2000 mm", "TXL 125 C", "donor/1", "wire, removed", "pin 0.6 at E1.1", "N1, N2", "20 mm"]
    assert row_of(pages_of(context)[0], "pin 1.5 at X5.1") == ["pin 1.5 at X5.1"]
    assert row_of(pages_of(context)[0], "host/11-far") == ["BK", "400 mm", "PVC 85 C", "host/11-far", "far half, removed"]
    assert row_of(pages_of(context)[0], "donor/X8") == ["donor/X8", "connector, stored", "tail plug, four way; with donor/5, donor/6"]


def test_an_offcut_worth_keeping_says_so_and_only_when_all_is_cut():
    removed = context_of(MERGE.replace("stored, connector: donor/X8", "removed, connector: donor/X8"))
    assert rows(removed, "370 mm, keep") == [["BK", "700 mm", "TXL 125 C", "donor/5", "wire, removed", "blade 2.8 at X8.1", "N5", "370 mm, keep"]]
    # 770 mm stay behind N1, from which N2 is still to be cut
    assert rows(removed, "770 mm") and not rows(removed, "770 mm, keep")


def test_every_new_wire_with_what_it_is_cut_from():
    context = context_of()
    found = [row for leads in ("host/X1.3 to donor/E1.1", "host/X1.4 to donor/E1.2", "host/X1.5 to donor/E1.3", "host/X1.6 to donor/E1.5", "host/X1.7 to donor/E1.6", "host/X1.8 to unknown", "host/X1.9 to unknown")
             for row in rows(context, leads)]
    assert found == [
        ["N1", "host/X1.3 to donor/E1.1", "0.5 mm²", "PVC 85 C", "RD", "1200 mm", "donor/1", "770 mm"],
        ["N2", "host/X1.4 to donor/E1.2", "0.5 mm²", "PVC 85 C", "RD", "750 mm", "donor/1", "20 mm"],
        ["N3", "host/X1.5 to donor/E1.3", "0.5 mm²", "PVC 85 C", "RD", "800 mm", "host/10", "70 mm"],
        ["N4", "host/X1.6 to donor/E1.5", "0.5 mm²", "PVC 85 C", "BU", "1400 mm", "donor/2", "GN/YE, not BU", "70 mm"],
        ["N5", "host/X1.7 to donor/E1.6", "0.85 mm²", "TXL 125 C", "BK", "300 mm", "spool"],
        ["N6", "host/X1.8 to unknown", "0.5 mm²", "PVC 85 C", "BK", "spool"],
        ["N7", "host/X1.9 to unknown", "0.5 mm²", "PVC 85 C", "RD", "2600 mm", "spool"],
    ]


def test_what_is_to_buy_with_spare_by_the_spool():
    context = context_of()
    assert "Net length and 10% more (common practice), in spools of 10.00 m." in all_texts(context)
    assert rows(context, "2.90 m") == [["0.5 mm²", "PVC 85 C", "RD", "N7", "2.60 m", "2.90 m", "1"]]
    assert rows(context, "0.40 m") == [["0.85 mm²", "TXL 125 C", "BK", "N5", "0.30 m", "0.40 m", "1"]]
    # N6 has no length: one such wire, and no quantity made up
    assert "0.00 m" not in all_texts(context)


def test_where_a_length_is_not_known_the_quantity_is_the_least():
    """N6 and N7 off one spool: 2.9 m are for N7 alone; of N6 by itself there is no quantity."""
    assert rows(context_of(), "1 piece of unknown length") == [["0.5 mm²", "PVC 85 C", "BK", "N6", "1 piece of unknown length"]]
    together = MERGE.replace("to: unknown, size: 0.5 mm2, colour: BK}", "to: unknown, size: 0.5 mm2, colour: RD}")
    (row,) = [row for row in table_with(pages_of(context_of(together)), "For", "To buy") if "N6" in row["For"]]
    assert [row[head] for head in ("Colour", "For", "Net", "To buy", "Spools")] == ["RD", "N7, N6", "2.60 m", "at least 2.90 m 1 piece of unknown length", "1"]
    (line,) = [row for row in listed("to-buy.csv", context_of(together)) if "N6" in row["wires"]]
    assert (line["to-buy-m"], line["note"]) == ("2.9", "at least 2.90 m; 1 piece of unknown length")


def test_another_colour_is_told():
    assert [row[-3:] for row in rows(context_of(), "GN/YE, not BU")] == [["donor/2", "GN/YE, not BU", "70 mm"]]
    assert [row[-3:] for row in rows(context_of(colours="DIN 47002"), "gn/ge, not bl")] == [["donor/2", "gn/ge, not bl", "70 mm"]]


GROUND = "  N8: {from: host/X1.2, to: G9, size: 0.85 mm2, colour: %s, length: 300 mm, type: PVC 85 C}\ngrounds: {G9: {title: body, place: dash, metal: body}}\n"


@pytest.mark.parametrize(("convention", "colour", "words"), [
    ("IEC 60757", "BK", ["donor/5"]), ("IEC 60757", "BN", ["donor/6", "WH, not BN", "sleeve it brown at both ends"]),
    ("DIN 47002", "vi", ["donor/6", "ws, not vi", "sleeve it brown at both ends"]), ("IEC 60757", "WH", ["donor/6", "sleeve it black at both ends"]), ("North American trade", "PPL", ["donor/6", "WHT, not VIO", "sleeve it black at both ends"]),
])
def test_a_ground_cut_from_a_piece_of_another_colour_is_sleeved(convention, colour, words):
    """Common practice: black is a ground, brown where the convention is DIN 47002; a wire that is wanted in either is sleeved in that."""
    merge = MERGE.replace("{fate: stored, connector: donor/X8}", "{fate: removed, connector: donor/X8}").replace("  N5: {from", "  # N5: {from").replace("colours: IEC 60757", f"colours: {convention}")
    for iec, other in ({"RD": "rt", "BU": "bl", "BK": "sw"} if convention == "DIN 47002" else {"RD": "RED", "BU": "BLU", "BK": "BLK"} if "trade" in convention else {}).items():
        merge = merge.replace(f"colour: {iec}", f"colour: {other}")
    merge = merge.replace("donor/1, donor/3", "donor/1, donor/6, donor/3").replace("  J1: {ends: [host/X1.2, donor/E1.4], method: crimp splice, stubs: {donor/E1.4: 400 mm, host/X1.2: 4600 mm}}\n", "  J1: {ends: [host/X2.1, donor/E1.4], method: crimp splice}\n")
    merge = merge.replace('pattern: "host/*"}', 'pattern: "host/*"}\n  - {fate: removed, wire: [host/11]}')
    context = context_of(merge + GROUND % colour)
    (row,) = [row for row in table_with(pages_of(context), "New wire", "Cut it from") if row["New wire"] == "N8"]
    assert [row["Cut it from"], *(row.cells["Another colour"].lines if "Another colour" in row.cells else ())] == words
    sleeved = len(words) > 1
    assert any(text.startswith("A wire to ground is known by its colour") for text in all_texts(context)) is sleeved
    cut_list = [text for page in draw_cut_list(context, ref_of(context, SheetKind.CUT_LIST)) for text in texts(page)]
    assert (words[-1] in cut_list if sleeved else not any("sleeve" in text for text in cut_list))


def test_a_box_to_tick_for_each_piece_and_each_cut_and_one_for_what_is_unknown():
    boxes = [mark.tag for page in pages_of(context_of()) for mark in page.marks if isinstance(mark, Rect)]
    assert (boxes.count("there"), boxes.count("done"), boxes.count("here")) == (13, 7, 3)
    assert boxes.count("length") == 3           # donor/3, donor/21, and the cut length of N6


def test_what_the_plan_cannot_do_is_said():
    found = all_texts(context_of())
    assert "No piece could be chosen for N6 (length not known: an end is not found yet)." in found
    assert any(text.startswith("Nothing is cut from a cable, or from a connector that is set aside whole.") for text in found)
    assert not any(text.startswith("Longer than a spool") for text in found)
    long = all_texts(context_of(MERGE.replace("length: 2600 mm", "length: 12 m")))
    assert "Longer than a spool, so to be bought each in one length: N7." in long


def test_lengths_in_inches():
    found = all_texts(context_of(units="in"))
    assert {"78.7 in", "9.5 ft"} <= set(found)          # 2000 mm; 2.9 m
    assert [text for text in found if text.endswith((" mm", " m"))] == ["scraped at 300 mm"]       # as the source has it


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_pages_are_tidy_and_lose_nothing_on_every_paper(paper):
    for context in (context_of(paper=paper), merge_context(solve=False, paper=paper)):
        for page in pages_of(context):
            assert page.width_mm > page.height_mm
            assert_tidy(page)
    found = all_texts(context_of(paper=paper))
    words = {"donor/1", "N1, N2", "pin 1.5 at X5.4", "core of cable donor/W1", "GN/YE, not BU", "wire, removed", "TXL 125 C"}
    assert words <= set(found)


def test_without_stock_and_without_new_wires_it_says_so():
    nothing = MERGE.partition("fates:")[0] + "fates:\n  - {fate: kept, pattern: \"*\"}\n"
    found = all_texts(context_of(nothing))
    assert "No wire leaves, and no far half: there is no stock." in found and "The merge has no new wire to cut." in found


def test_the_book_of_a_merge_has_it_behind_the_cut_list():
    kinds = [sheet.kind for sheet in context_of().sheets]
    assert kinds[kinds.index(SheetKind.CUT_LIST) + 1] is SheetKind.STOCK_PLAN
    by_itself = make_context(load("donor.yaml", files(), solve=False).version, Options())
    assert SheetKind.STOCK_PLAN not in [sheet.kind for sheet in by_itself.sheets]


def test_findings_have_no_flags_here():
    context = context_of()
    assert "wire N6" in context.numbers_at
    assert [mark for page in pages_of(context) for mark in page.marks if number_drawn(mark.tag) is not None] == []


def test_what_changed_is_marked():
    new = MERGE.replace("colour: BU, length: 1400 mm", "colour: BU, length: 1450 mm").replace("{fate: stored, wire: donor/2}", "{fate: stored, wire: [donor/2, donor/20]}")
    before, now = context_of(), context_of(new)
    since = replace(now, since=Since(before, compare(stocked().version, stocked(new).version), "B"))
    found = all_texts(since)
    struck = [mark.text for page in pages_of(since) for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"]
    assert {"1400 mm", "70 mm"} <= set(struck) and {"1450 mm", "20 mm", "donor/20"} <= set(found)
    same = replace(now, since=Since(now, compare(stocked(new).version, stocked(new).version), "B"))
    assert [mark for page in pages_of(same) for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"] == []
    for page in pages_of(since):
        assert_tidy(page)


# ------------------------------------------------------------------------------ as lists

def listed(name: str, context: Context) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(lists_of(context)[name](context))))


def test_the_stock_as_a_list():
    pieces = {row["piece"]: row for row in listed("stock.csv", context_of())}
    assert len(pieces) == 13
    one = pieces["donor/1"]
    assert (one["size"], one["colour"], one["length-mm"], one["usable-mm"], one["source"], one["terminals"], one["cut-for"], one["left-mm"]) == (
        "0.5 mm²", "RD", "2000", "1970", "donor", "pin 0.6 at E1.1; pin 1.5 at X5.1", "N1 N2", "20")
    assert pieces["donor/3"]["length-mm"] == "" and pieces["donor/5"]["held"] == "on connector donor/X8"


def test_the_cuts_and_what_is_bought_as_lists():
    cuts = {row["wire"]: (row["cut-mm"], row["cut-from"], row["colour"], row["colour-of-piece"], row["left-mm"]) for row in listed("stock-cuts.csv", context_of())}
    assert cuts["N4"] == ("1400", "donor/2", "BU", "GN/YE", "70") and cuts["N6"] == ("", "spool", "BK", "", "")
    bought = {row["wires"]: (row["net-m"], row["to-buy-m"], row["spools"], row["spool-m"], row["without-length"]) for row in listed("to-buy.csv", context_of())}
    assert bought["N7"] == ("2.6", "2.9", "1", "10", "") and bought["N6"] == ("", "", "", "10", "N6")


def test_a_harness_that_is_no_merge_has_no_such_list():
    assert not {"stock.csv", "stock-cuts.csv", "to-buy.csv"} & set(lists_of(replace(context_of(), merge=None)))
