"""Tables and running words with what changed since the version before: read from the marks alone."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

import pytest
from sheets.checks import assert_tidy
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import LETTER, since_context
from sheets.revision_reader import clouds, struck, texts_of, triangles

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Drawing, Text
from harnessdoc.drawing.table import Clouded, EmptyBox, LinkText, Struck
from harnessdoc.findings import Finding, Place, Severity
from harnessdoc.sheets.cautions import draw_cautions
from harnessdoc.sheets.check import draw_check
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.cover import draw_cover
from harnessdoc.sheets.cut_list import draw_cut_list
from harnessdoc.sheets.electrical import draw_electrical
from harnessdoc.sheets.findings import draw_findings
from harnessdoc.sheets.fuses import draw_fuses
from harnessdoc.sheets.grounds import draw_grounds
from harnessdoc.sheets.index import draw_index
from harnessdoc.sheets.labels import draw_labels
from harnessdoc.sheets.marking import differs, is_new, merge_items
from harnessdoc.sheets.parts import draw_parts
from harnessdoc.sheets.pinout import draw_pinout
from harnessdoc.sheets.splice_places import draw_splice_places
from harnessdoc.sheets.stacks import Strong

Draw = Callable[[Context, SheetRef], tuple[Drawing, ...]]

HARNESS = """
    title: Bench loom
    note: As found.
    by: harness bench
    colours: IEC 60757
    wire-type: PVC 85 C
    log:
      - {revision: A, date: 2026-01-05, by: harness bench, why: written down}
    places: {P1: {title: left wing, zone: engine}}
    segments:
      T1: {from: column, to: P1, length: 400 mm, covering: tape}
      T2: {from: P1, to: wing, length: 300 mm}
    devices:
      G1: {title: battery, place: wing, terminals: ["+"]}
    connectors:
      X1: {title: cabin plug, place: column, half: plug, face: [[1..5]], view: mating face, terminal: pin 1.5}
      X2: {title: pump plug, place: wing, half: socket, face: [[1..3]], view: mating face, terminal: receptacle 1.5}
    cavities:
      X1.1: {function: pump feed, signal: feed-switched, draws: 4 A}
      X1.4: {function: spare feed, signal: feed-switched}
      X2.1: {function: pump, signal: feed-switched}
    boxes:
      B1: {title: fuse box, place: column, bars: {30: [F1.1, F2.1]}}
    fuses:
      F1: {box: B1, rating: 10 A, type: blade, feeds: pump, circuit: pump}
      F2: {box: B1, rating: 5 A, type: blade, feeds: lamp}
    grounds:
      GR1: {title: left wing, place: wing, stud: M6, metal: body, terminal: eyelet M6}
      GR2: {title: bulkhead, place: P1, stud: M8, metal: body, terminal: eyelet M8}
    splices:
      S1: {title: pump supply, at: 100 mm from column toward P1, method: crimp splice}
    circuits:
      pump: {hot: [run]}
    wires:
      1: {from: F1.2, to: S1, size: 1.5 mm2, colour: RD, circuit: pump}
      2: {from: S1, to: X1.1, size: 1.5 mm2, colour: RD, circuit: pump}
      3: {from: S1, to: X2.1, size: 1.5 mm2, colour: RD, circuit: pump}
      4: {from: X2.2, to: GR1, size: 1.5 mm2, colour: BK, circuit: pump}
      5: {from: X1.2, to: GR1, size: 1 mm2, colour: BN}
      6: {from: F2.2, to: X1.3, size: 0.75 mm2}
      7: {from: G1.+, to: B1.30, size: 6 mm2, colour: RD}
"""
LINNET = (Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml").read_text(encoding="utf-8")
papers = pytest.mark.parametrize("paper", PAPERS)


def edited(text: str, *changes: tuple[str, str]) -> str:
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def marked(draw: Draw, kind: SheetKind, *changes: tuple[str, str], old: str = HARNESS, **options: str) -> tuple[Drawing, ...]:
    """The pages of the first sheet of a kind after some edits; tidy."""
    context = since_context(old, edited(old, *changes), **options)
    pages = draw(context, ref_of(context, kind))
    for page in pages:
        assert_tidy(page)
    return pages


def pinout(name: str, *changes: tuple[str, str], old: str = HARNESS, **options: str) -> tuple[Drawing, ...]:
    context = since_context(old, edited(old, *changes), **options)
    pages = draw_pinout(context, context.sheet_of[name])
    for page in pages:
        assert_tidy(page)
    return pages


def _is_struck(page: Drawing, text: Text) -> bool:
    return text.tag == "struck" and text.text in struck(page)


def cells(pages: Iterable[Drawing]) -> list[str]:
    """For each cloud round data 2.5 mm high the texts in it from top to bottom, struck ones in ``~``."""
    found = []
    for page in pages:
        for left, top, right, bottom in clouds(page):
            inside = sorted((text for text in texts_of(page) if left < text.x < right and top < text.y < bottom and text.height == 2.5 and text.tag != "title block"), key=lambda text: text.y)
            if inside or not any(left < text.x < right and top < text.y < bottom for text in texts_of(page)):
                found.append(" ".join(f"~{text.text}~" if _is_struck(page, text) else text.text for text in inside).replace("~ ~", " "))
    return found


def rows(pages: Iterable[Drawing], first: str) -> list[str]:
    """The texts on the baseline of each ``first``, from the left."""
    found = []
    for page in pages:
        for at in [text for text in texts_of(page) if text.text == first]:
            level = sorted((text for text in texts_of(page) if abs(text.y - at.y) < 0.02), key=lambda text: text.start()[0])
            found.append(" ".join(f"~{text.text}~" if _is_struck(page, text) else text.text for text in level))
    return found


def letters(pages: Iterable[Drawing]) -> list[str]:
    return [letter for page in pages for *_, letter in triangles(page)]


def words_beside(pages: Iterable[Drawing]) -> list[str]:
    return [text.text for page in pages for text in texts_of(page) if text.tag == "revision" and text.text not in ("", LETTER)]


def live_letters(pages: Iterable[Drawing]) -> Counter[str]:
    """How often each letter stands in data that hold, wherever the lines and the pages are broken: a heading that is said again on a page counts once."""
    return Counter(letter for page in pages for text in texts_of(page) if text.height > 2 and text.tag not in ("title block", "revision", "struck") and not text.text.endswith("(continued)") for letter in text.text if letter != " ")


LISTS: dict[SheetKind, Draw] = {
    SheetKind.COVER: draw_cover, SheetKind.CAUTIONS: draw_cautions, SheetKind.INDEX: draw_index, SheetKind.FINDINGS: draw_findings, SheetKind.FUSES: draw_fuses, SheetKind.GROUNDS: draw_grounds,
    SheetKind.CUT_LIST: draw_cut_list, SheetKind.PARTS: draw_parts, SheetKind.LABELS: draw_labels, SheetKind.CHECK: draw_check,
}
TABLES = LISTS | {SheetKind.PINOUT: draw_pinout}
PLACES = SheetRef(30, "splice-places", SheetKind.SPLICE_PLACES, "where the splices are")


# ------------------------------------------------------------------ nothing changed

@pytest.mark.parametrize("kind", TABLES)
def test_where_nothing_changed_a_sheet_is_as_it_was(kind: SheetKind) -> None:
    context = since_context(HARNESS, HARNESS)
    ref = ref_of(context, kind)
    assert TABLES[kind](context, ref) == TABLES[kind](replace(context, since=None), ref)


def test_the_end_from_which_a_wire_is_written_is_no_change() -> None:
    turned = ("4: {from: X2.2, to: GR1,", "4: {from: GR1, to: X2.2,"), ("T2: {from: P1, to: wing,", "T2: {from: wing, to: P1,")
    for kind in (SheetKind.LABELS, SheetKind.CUT_LIST):
        assert not letters(marked(LISTS[kind], kind, *turned))


def test_the_order_of_wires_is_no_change() -> None:
    wire = "      4: {from: X2.2, to: GR1, size: 1.5 mm2, colour: BK, circuit: pump}\n"
    last = "      7: {from: G1.+, to: B1.30, size: 6 mm2, colour: RD}\n"
    for kind in (SheetKind.LABELS, SheetKind.CUT_LIST, SheetKind.GROUNDS, SheetKind.FUSES, SheetKind.PINOUT):
        assert not letters(marked(TABLES[kind], kind, (wire, ""), (last, last + wire)))


# ------------------------------------------------------------------------- pinouts

@papers
def test_a_value_that_differs_stands_in_a_cloud_over_the_old_one(paper: str) -> None:
    pages = pinout("X1", ("5: {from: X1.2, to: GR1, size: 1 mm2, colour: BN}", "5: {from: X1.2, to: GR2, size: 1.5 mm2, colour: BN/WH}"), paper=paper)
    assert [cell for cell in cells(pages) if "~" in cell] == ["1.5 mm² ~1 mm²~", "BN/WH ~BN~", "GR2 → 6 ~GR1~"]
    assert LETTER in letters(pages)


def test_only_the_row_that_differs_has_a_triangle() -> None:
    pages = pinout("X1", ("colour: BN}", "colour: GN}"))
    assert [row.split()[-1] for row in rows(pages, "Cavity")] == ["Rev."]
    assert cells(pages)[-1] == "GN ~BN~"
    assert "~" not in " ".join(rows(pages, "1") + rows(pages, "3"))


@papers
def test_what_becomes_known_has_nothing_struck_and_what_no_longer_is_has_its_box(paper: str) -> None:
    known = pinout("X1", ("6: {from: F2.2, to: X1.3, size: 0.75 mm2}", "6: {from: F2.2, to: X1.3, size: 0.75 mm2, colour: GN}"), paper=paper)
    assert "GN" in cells(known) and not [text for page in known for text in struck(page)]
    unknown = pinout("X1", ("size: 1 mm2, colour: BN}", "colour: BN}"), paper=paper)
    assert "~1 mm²~" in cells(unknown)
    box = next(mark for page in unknown for mark in page.marks if mark.tag == "unknown:size")
    assert any(left < box.x and box.x + box.w < right and top < box.y and box.y + box.h < bottom for page in unknown for left, top, right, bottom in clouds(page))


@papers
def test_a_row_that_is_new_has_the_cloud_round_its_cavity_and_one_that_is_gone_stands_struck(paper: str) -> None:
    pages = pinout("X1", ("      5: {from: X1.2,", "      5: {from: X1.5,"), paper=paper)
    assert "5" in cells(pages)
    assert any(row.startswith("~2~ ~5~ ~1 mm²~ ~BN~ ~GR1~") for row in rows(pages, "2"))
    assert "empty: 2 ~empty: 5~" in cells(pages)
    assert words_beside(pages) == ["gone", "new"]


def test_a_narrow_table_has_no_words_beside_its_triangles() -> None:
    change = ("terminal: pin 1.5}", "terminal: pin 2.8}")
    assert sorted(words_beside(marked(draw_parts, SheetKind.PARTS, change))) == ["gone", "new"]
    assert not words_beside(marked(draw_parts, SheetKind.PARTS, change, paper="a5"))


def test_a_wire_more_and_a_wire_less_in_a_cavity() -> None:
    pages = pinout("X1", ("      6: {from: F2.2, to: X1.3, size: 0.75 mm2}\n", "      8: {from: X1.1, to: X2.3, size: 1 mm2, colour: YE}\n"),
                   ("draws: 4 A}", "draws: 4 A, crimp: double}"))
    assert rows(pages, "8") == ["8 1 mm² YE X2.3 → 8"] and "2 8" in cells(pages)
    assert any("~6~ ~0.75 mm²~" in row for row in rows(pages, "3"))


def test_a_wire_under_another_number_is_the_same_wire() -> None:
    pages = pinout("X1", ("      5: {from: X1.2,", "      55: {from: X1.2,"))
    assert [text for page in pages for text in struck(page)] == ["5"]
    assert "55 ~5~" in cells(pages)


def test_things_under_another_name_are_told_by_the_new_one() -> None:
    renamed = HARNESS.replace("GR1", "GR7").replace("      5: {", "      55: {").replace("F1", "F8").replace("X2", "X8").replace("T1:", "T8:")
    context = since_context(HARNESS, renamed)
    for kind in (SheetKind.GROUNDS, SheetKind.LABELS, SheetKind.CUT_LIST, SheetKind.FUSES, SheetKind.INDEX, SheetKind.CHECK):
        pages = LISTS[kind](context, ref_of(context, kind))
        assert letters(pages)
        assert not [text for page in pages for text in struck(page) if not re.search(r"GR1|F1|X2|T1|\b5\b", text)], "a row told as gone strikes what has kept its name too"


def test_of_several_far_ends_only_the_one_that_differs_is_marked() -> None:
    pages = pinout("X1", ("3: {from: S1, to: X2.1,", "3: {from: S1, to: X2.3,"))
    assert [cell for cell in cells(pages) if "~" in cell] == ["F1.2 → 9 X2.3 → 8 ~X2.1~"]
    both = pinout("X1", ("3: {from: S1, to: X2.1,", "3: {from: S1, to: X2.3,"), ("1: {from: F1.2,", "1: {from: X1.5,"))
    assert "X1.5 → 7 ~F1.2~ X2.3 → 8 ~X2.1~" in cells(both), "each old end stands below the one that took its turn"


def test_a_remark_that_is_new_and_one_that_is_gone() -> None:
    old = edited(HARNESS, ("colour: BN}", "colour: BN, note: taped back}"))
    pages = pinout("X1", ("note: taped back", "evidence: measured"), old=old)
    assert "wire 5: measured" in cells(pages)
    assert "wire 5: taped back" in [text for page in pages for text in struck(page)]


def test_remarks_with_marks_stand_one_under_another() -> None:
    old = edited(HARNESS, ("colour: BN}", "colour: BN, note: taped back}"), ("size: 0.75 mm2}", "size: 0.75 mm2, note: seen}"))
    pages = pinout("X1", ("note: seen", "note: seen twice"), old=old)
    left = {text.start()[0] for page in pages for text in texts_of(page) if text.text.startswith("wire ")}
    assert max(left) - min(left) < 1.0
    assert "wire 6: seen twice ~wire 6: seen~" in cells(pages)
    plain = draw_pinout(context_of(old), context_of(old).sheet_of["X1"])
    assert rows(plain, "wire 5: taped back") == ["wire 5: taped back wire 6: seen"]


@papers
def test_a_sheet_of_what_was_not_there_says_so_once(paper: str) -> None:
    pages = pinout("X3", ("    cavities:\n", "      X3: {title: new plug, half: plug, face: [[1..2]], view: mating face}\n    cavities:\n"), ("colour: BN}", "colour: BN}\n      9: {from: X3.1, to: GR2, size: 1 mm2, colour: BK}"), paper=paper)
    assert letters(pages) == [LETTER] and rows(pages, "New sheet") == ["New sheet"]
    assert not cells(pages) and "Rev." not in [text.text for page in pages for text in texts_of(page)]


@papers
def test_a_half_that_was_not_there_is_new_and_the_other_is_not(paper: str) -> None:
    half = "      X3: {title: pump lead, half: plug, face: [[1..3]], view: mating face, mates: X2}\n    cavities:\n"
    context = since_context(HARNESS, edited(HARNESS, ("    cavities:\n", half), ("colour: BN}", "colour: BN}\n      9: {from: X3.1, to: GR2, size: 1 mm2, colour: BK}")), paper=paper)
    ref = replace(context.sheet_of["X2"], subjects=("X2", "X3"))
    assert not is_new(context, ref)
    pages = draw_pinout(context, ref)
    for page in pages:
        assert_tidy(page)
    assert [text for page in pages for text in struck(page) if text in ("3", "4", "1.5 mm²", "RD", "BK")] == []
    assert ("1" if paper == "a5" else "9 ~empty~") in cells(pages)


def test_cavities_of_mated_halves_are_marked_on_their_side() -> None:
    old = edited(HARNESS, ("half: socket,", "half: socket, mates: X1,"))
    context = since_context(old, edited(old, ("colour: BN}", "colour: GN}")))
    pages = draw_pinout(context, replace(context.sheet_of["X1"], subjects=("X1", "X2")))
    assert [cell for cell in cells(pages) if "~" in cell] == ["GN ~BN~"]


# ----------------------------------------------------------------------------- lists

@papers
def test_fuses(paper: str) -> None:
    pages = marked(draw_fuses, SheetKind.FUSES, ("F1: {box: B1, rating: 10 A,", "F1: {box: B1, rating: 15 A,"), ("      F2: {box: B1, rating: 5 A, type: blade, feeds: lamp}\n", "      F3: {box: B1, rating: 20 A, type: blade}\n"),
                   ("bars: {30: [F1.1, F2.1]}", "bars: {30: [F1.1, F3.1]}"), ("6: {from: F2.2,", "6: {from: F3.2,"), ("title: fuse box,", "title: left fuse box,"), paper=paper)
    assert any("15 A ~10 A~" in cell for cell in cells(pages))
    assert any("B1 left fuse box, at column → 9 ~B1 fuse box, at column~" in cell for cell in cells(pages))
    assert letters(pages) and {*letters(pages)} == {LETTER}


def test_a_fuse_that_is_new_and_one_that_is_gone() -> None:
    pages = marked(draw_fuses, SheetKind.FUSES, ("      F2: {box: B1, rating: 5 A, type: blade, feeds: lamp}\n", "      F3: {rating: 20 A, type: cartridge, feeds: glow plugs}\n"),
                   ("bars: {30: [F1.1, F2.1]}", "bars: {30: [F1.1]}"), ("      6: {from: F2.2, to: X1.3, size: 0.75 mm2}\n", ""))
    assert "F3" in cells(pages)
    assert any(row.startswith("~F2~ ~5 A~ ~tan~ ~blade~ ~lamp~") for row in rows(pages, "F2"))
    assert "In no box" in cells(pages), "a heading that is new"


def test_the_last_fuse_that_is_gone_leaves_its_table_struck() -> None:
    old = """
        fuses: {F1: {rating: 10 A, feeds: pump}}
        relays: {K1: {contacts: make}}
        connectors: {X1: {face: [[1..2]], view: mating face}}
        wires: {1: {from: F1.2, to: X1.1}}
    """
    pages = marked(draw_fuses, SheetKind.FUSES, ("fuses: {F1: {rating: 10 A, feeds: pump}}", "{}"[:0]), ("1: {from: F1.2,", "1: {from: X1.2,"), old=old)
    said = [text for page in pages for text in struck(page)]
    assert "Fuses" in said and "F1" in said and "10 A" in said


@papers
def test_grounds(paper: str) -> None:
    pages = marked(draw_grounds, SheetKind.GROUNDS, ("GR1: {title: left wing, place: wing, stud: M6,", "GR1: {title: left wing, place: wing, stud: M8,"), ("5: {from: X1.2, to: GR1,", "5: {from: X1.2, to: GR2,"),
                   ("stud: M8, metal: body, terminal: eyelet M8}", "metal: body, terminal: eyelet M8}"), paper=paper)
    assert cells(pages) == ["M8 ~M6~", "1 ~2~", "~M8~", "1 ~0~", "5"]
    assert any(row.startswith("~5~ ~1 mm²~ ~BN~ ~X1.2~") for row in rows(pages, "5"))
    assert any(row.startswith("~no wire described~") for row in rows(pages, "no wire described"))


@papers
def test_cut_list(paper: str) -> None:
    pages = marked(draw_cut_list, SheetKind.CUT_LIST, ("5: {from: X1.2, to: GR1, size: 1 mm2, colour: BN}", "5: {from: X1.2, to: GR2, size: 1 mm2, colour: GN}"),
                   ("      4: {from: X2.2, to: GR1, size: 1.5 mm2, colour: BK, circuit: pump}\n", "      8: {from: X2.3, to: GR2, size: 4 mm2, colour: GY, circuit: heater}\n"), paper=paper)
    found = cells(pages)
    assert "GN ~BN~" in found and any("GR2" in cell and "~GR1~" in cell for cell in found)
    assert any(cell.startswith("8 ") for cell in found), "a wire that is new"
    assert any("~4~" in row and "~BK~" in row for row in rows(pages, "4")), "a wire that is gone"
    assert any("1.5 mm², PVC 85 C: 3 wires" in cell and "~1.5 mm², PVC 85 C: 4 wires" in cell for cell in found)
    assert "4 mm²" in found, "a spool that is new"


@papers
def test_labels(paper: str) -> None:
    pages = marked(draw_labels, SheetKind.LABELS, ("size: 1 mm2, colour: BN}", "size: 1 mm2, colour: GN}"), ("      6: {from: F2.2, to: X1.3, size: 0.75 mm2}\n", "      8: {from: X1.3, to: X2.3, size: 1 mm2, colour: YE}\n"), paper=paper)
    found = " / ".join(cells(pages))
    assert "5 | 1 mm² GN | to GR1 ~5 | 1 mm² BN | to GR1~" in found or paper == "a5"
    assert "8" in cells(pages) and any(row.startswith("~6~ ~F2.2~") for row in rows(pages, "6"))


@papers
def test_parts(paper: str) -> None:
    pages = marked(draw_parts, SheetKind.PARTS, ("terminal: pin 1.5}", "terminal: pin 2.8}"), ("length: 400 mm, covering: tape}", "length: 500 mm, covering: tape}"), paper=paper)
    assert "pin 2.8" in cells(pages) and any(row.startswith("~pin 1.5~ ~3~ ~X1: 1..3~") for row in rows(pages, "pin 1.5"))
    assert any("0.50 m" in cell and "~0.40 m~" in cell for cell in cells(pages))


@papers
def test_check_sheet_pairs_are_marked_one_by_one(paper: str) -> None:
    pages = marked(draw_check, SheetKind.CHECK, ("      6: {from: F2.2, to: X1.3, size: 0.75 mm2}\n", "      6: {from: F2.2, to: X1.4, size: 0.75 mm2}\n"), paper=paper)
    found = cells(pages)
    assert any("~2 / 3~" in cell.replace("   ", " ") or "2 / 3" in cell for cell in found)
    gone = [text for page in pages for text in struck(page)]
    assert "X1.3" in gone and "rings" in gone
    numbers = [text.text for page in pages for text in texts_of(page) if text.tag == "must ring" and text.anchor == "end"]
    assert numbers == [str(number) for number in range(1, len(numbers) + 1)], "lines are counted without those that are gone"


@papers
def test_cautions_and_the_owners_that_are_new(paper: str) -> None:
    pages = marked(draw_cautions, SheetKind.CAUTIONS, ("X2.1: {function: pump, signal: feed-switched}", "X2.1: {function: pump, signal: fuel-pump}"), paper=paper)
    assert cells(pages) == ["X2 → 8 ~nothing described~"]
    assert letters(pages) == [LETTER]


@papers
def test_a_caution_that_comes_and_one_that_goes_on_other_sheets(paper: str) -> None:
    change = ("X2.1: {function: pump, signal: feed-switched}", "X2.1: {function: pump, signal: fuel-pump}")
    new = pinout("X2", change, paper=paper)
    assert letters(new)[0] == LETTER and not any(text.startswith("Fuel circuit") for page in new for text in struck(page))
    gone = pinout("X2", change[::-1], old=edited(HARNESS, change), paper=paper)
    assert any(text.startswith("Fuel circuit") for page in gone for text in struck(page))


@papers
def test_findings(paper: str) -> None:
    before, now = context_of(HARNESS, paper=paper), since_context(HARNESS, HARNESS, paper=paper)
    place = Place("harness.yaml", 12, 1)
    old, kept, new = (Finding("not-known-yet", Severity.ADVICE, f"wire {name}: colour not known yet", place) for name in "123")
    moved = replace(kept, place=Place("harness.yaml", 99, 1))
    context = replace(now, findings=(moved, new), since=replace(now.since, before=replace(before, findings=(old, kept))))
    pages = draw_findings(context, ref_of(context, SheetKind.FINDINGS))
    for page in pages:
        assert_tidy(page)
    assert [cell.replace(" wire", "wire") for cell in cells(pages)] == ["wire 3: colour not known yet"]
    assert [text for page in pages for text in struck(page)][:4] == ["1", "advice", "not-known-yet", "wire 1: colour not known yet"]
    settled = replace(context, findings=())
    assert "Nothing found." in [text.text for page in draw_findings(settled, ref_of(settled, SheetKind.FINDINGS)) for text in texts_of(page)]
    assert all(page.width_mm > page.height_mm for page in draw_findings(settled, ref_of(settled, SheetKind.FINDINGS))), "with rows that are gone it lies across"


FUSED = """
    title: Pump feed
    devices:
      G1: {terminals: ["+", "-"], between: [G1.+, G1.-], battery: {}}
      M3: {title: fuel pump, terminals: [1, 2], between: [M3.1, M3.2], motor: 14 A at 12 V}
    fuses:
      F1: {rating: 20 A, type: blade}
    wires:
      1: {from: G1.+, to: F1.1, size: 0.5 mm2, colour: RD, type: TXL, length: 100 mm, circuit: pump}
      2: {from: F1.2, to: M3.1, size: 2 mm2, colour: GN, type: TXL, length: 1 m, circuit: pump}
      3: {from: M3.2, to: G1.-, size: 6 mm2, colour: BK, type: TXL, length: 2 m, circuit: pump}
    circuits:
      pump: {system: fuel}
"""


@papers
def test_a_cell_of_one_text_that_becomes_a_list_and_back(paper: str) -> None:
    """A wire with a verdict of its own, which then is among the wires that hold alike."""
    pump = SheetRef(9, "electrical-fuel", SheetKind.ELECTRICAL, "fuel", ("pump",))
    thick = edited(FUSED, ("0.5 mm2", "2 mm2"))
    for old, new, now, was in ((FUSED, thick, "wires 1 2", "wire 1"), (thick, FUSED, "wire 1", "wires")):
        context = since_context(old, new, paper=paper)
        context = replace(context, since=replace(context.since, before=replace(context.since.before, sheets=(*context.since.before.sheets, pump))))
        pages = draw_electrical(context, pump)
        for page in pages:
            assert_tidy(page)
        assert now in {text.text for page in pages for text in texts_of(page)}
        assert was in [text for page in pages for text in struck(page)]


@papers
def test_index(paper: str) -> None:
    pages = marked(draw_index, SheetKind.INDEX, ("    cavities:\n", "      X0: {title: new plug}\n    cavities:\n"), paper=paper)
    assert cells(pages) == ["X0"]
    gone = marked(draw_index, SheetKind.INDEX, ("      X0: {title: new plug}\n", ""), old=edited(HARNESS, ("    cavities:\n", "      X0: {title: new plug}\n    cavities:\n")), paper=paper)
    assert cells(gone) == [] and [text for page in gone for text in struck(page)] == ["9", "Pinout", "X0"]


@papers
def test_cover(paper: str) -> None:
    pages = marked(draw_cover, SheetKind.COVER, ("title: Bench loom", "title: Bench loom, mended"), ("note: As found.", "note: As mended."), ("F1: {box: B1, rating: 10 A,", "F1: {box: B1, rating: 15 A,"),
                   ("why: written down}", "why: written down}\n      - {revision: B, date: 2026-02-05, by: harness bench, why: mended}"),
                   ("      6: {from: F2.2, to: X1.3, size: 0.75 mm2}\n", ""), paper=paper)
    gone = [text for page in pages for text in struck(page)]
    assert {"Bench loom", "As found.", "A of 2026-01-05", "7"} <= {*gone}
    assert paper == "a5" or "15 A ~10 A~" in cells(pages), "there is no room for the fuses on the smallest paper"
    assert "B" in cells(pages), "the new line of the change log"
    assert len(pages) == 1 or paper == "a5"


def test_an_entry_of_the_log_that_no_longer_finds_room_is_not_gone() -> None:
    entries = "".join(f"      - {{revision: R{number}, date: 2026-01-1{number}, why: change {number}}}\n" for number in range(5))
    old = edited(HARNESS, ("      - {revision: A, date: 2026-01-05, by: harness bench, why: written down}\n", entries))
    pages = marked(draw_cover, SheetKind.COVER, (entries, entries + "      - {revision: R5, date: 2026-01-16, why: change 5}\n"), old=old)
    assert not any(text in ("R0", "change 0") for page in pages for text in struck(page))


@papers
def test_splice_places(paper: str) -> None:
    context = since_context(HARNESS, edited(HARNESS, ("at: 100 mm from column toward P1, method: crimp splice", "at: 150 mm from column toward P1, method: weld"), ("P1: {title: left wing,", "P1: {title: left inner wing,")), paper=paper)
    context = replace(context, since=replace(context.since, before=replace(context.since.before, sheets=(*context.since.before.sheets, PLACES))))
    pages = draw_splice_places(context, PLACES)
    for page in pages:
        assert_tidy(page)
    said = " ".join(cells(pages))
    assert "weld ~crimp splice~" in said and "left inner wing ~left wing~" in said and "~100 mm" in said


# ------------------------------------------------------------------- all at once

EDITS = (
    ("  101: {from: F2.2,  to: X30.1, size: 2 mm2,    colour: W, ", "  101: {from: F2.2,  to: X30.1, size: 3 mm2,    colour: W-R, "),
    ("  102: {from: F11.2, to: E1.2,  size: 0.5 mm2,  colour: W-V, circuit: memory}\n", ""),
    ("  103: {from: F12.2, to: X30.2, size: 0.85 mm2, colour: W-R,", "  103: {from: F12.2, to: X30.2, size: 0.85 mm2, colour: unknown,"),
    ("  108: {from: SP2,   to: X14.1, size: 0.85 mm2,", "  108: {from: SP2,   to: unknown, size: 0.85 mm2,"),
    ("  109: {from: SP2,   to: X19.1,", "  1090: {from: SP2,   to: X19.1,"),
    ("  363: {from: E2.1,  to: GE1, ", "  363: {from: E2.1,  to: GE3, "),
    ("stud: M8,  metal: engine, terminal: eyelet M8}", "metal: engine, terminal: eyelet M6}"),
    ("X5.1: {function: supply,  signal: injector,               draws: 1 A}", 'X5.1: {function: "supply of injector 1, switched by the main relay", signal: injector, draws: 1.2 A}'),
    ("  T12: {from: P4, to: P7,             length: 380 mm", "  T12: {from: P4, to: P7,             length: 480 mm"),
    ("  568: {from: X28.4,", "  570: {from: X28.2, to: GB2, size: 0.5 mm2, colour: Br, circuit: K-line, type: PVC 85 C}\n  568: {from: X28.4,"),
)


@papers
def test_the_linnet_edited_says_all_that_it_says_unmarked(paper: str) -> None:
    context = since_context(LINNET, edited(LINNET, *EDITS), paper=paper)
    for kind, draw in LISTS.items():
        ref = ref_of(context, kind)
        pages = draw(context, ref)
        for page in pages:
            assert_tidy(page)
        assert ref.kind in (SheetKind.CAUTIONS, SheetKind.INDEX) or letters(pages), kind
        if kind is not SheetKind.COVER:  # which gives way where there is no room
            said, plain = live_letters(pages), live_letters(draw(replace(context, since=None), ref))
            assert said == plain or kind is SheetKind.CHECK and not plain - said, f"{kind}: a row of pairs that is parted names its connector again"


# ---------------------------------------------------------------------------- cells

def test_sheet_numbers_and_the_breaking_of_lines_are_no_difference() -> None:
    assert not differs(LinkText("X1.1 → 4", "a"), LinkText("X1.1 → 5", "a"))
    assert not differs("SP1 → 4, SP2 → 5", "SP1 → 6, SP2 → 7")
    assert not differs(LinkText("→ 4", "a"), LinkText("→ 5", "a"))
    assert not differs(("a,", "b"), ("a, b",))
    assert not differs(EmptyBox("one"), EmptyBox("other"))
    assert differs(LinkText("X1.1 → 4", "a"), LinkText("X1.2 → 4", "a"))
    assert differs("12", "1 2") and differs("x", EmptyBox()) and differs(Strong("1"), Strong("2"))


def test_only_what_no_longer_stands_is_struck() -> None:
    assert merge_items(("a", "b"), ("a", "c")) == (Clouded(("a", "b", Struck("c"))),)
    assert merge_items(("",), ("c",)) == (Clouded((Struck("c"),)),)
    assert merge_items((EmptyBox("x"),), ("c",)) == (Clouded((EmptyBox("x"), Struck("c"))),)
    assert merge_items(("a",), ("a",)) == ("a",)
