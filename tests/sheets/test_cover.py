"""The cover."""

from __future__ import annotations

from dataclasses import replace

from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of, with_flags

from harnessdoc.drawing.record import Drawing, Rect
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.cover import ACCEPTED, NOT_ASKED, NOT_SEEN, NOT_SOLVED, draw_cover

HARNESS = """
    title: Heron engine
    owner: a workshop
    number: HER-1
    by: bench
    log:
      - {revision: A, date: 2026-01-02, by: bench, why: written down}
      - {revision: B, date: 2026-03-04, by: bench, reading: 1200 km, why: measured}
    connectors:
      X1: {face: [[1..4]], view: mating face}
    fuses:
      F10: {rating: 10 A, feeds: pump}
      F2: {feeds: horn}
    grounds:
      G1: {title: left wing, metal: body}
    splices:
      S1: {members: [unknown]}
    wires:
      1: {from: X1.1, to: S1, size: 1 mm2}
      2: {from: X1.2, to: unknown, size: 1 mm2}
"""

SUPPLY = """
    devices:
      G9: {title: battery, terminals: ["+", "-"], between: [G9.+, G9.-], battery: {}}
"""


def pages_of(text: str = HARNESS, **options: str) -> tuple[Drawing, ...]:
    context = context_of(text, **options)
    return draw_cover(context, ref_of(context, SheetKind.COVER))


def test_what_the_book_is() -> None:
    page, = pages_of()
    found = texts(page)
    assert {"Heron engine", "a workshop", "HER-1", "B of 2026-03-04", "harness.yaml", "Read the cautions on sheet 2 before any work."} <= set(found)
    title = next(mark for mark in page.marks if mark.tag == "title")
    assert title.height == 10.0
    assert_tidy(page)


def test_counts_unknowns_and_findings() -> None:
    page, = pages_of()
    assert row_of(page, "far end of wires")[:2] == ["far end of wires", "1"]
    assert row_of(page, "colour of wires")[:2] == ["colour of wires", "2"]
    assert row_of(page, "fuse rating")[:2] == ["fuse rating", "1"]
    assert row_of(page, "splice members")[:2] == ["splice members", "1"]
    advice = row_of(page, "advice → 4")
    assert int(advice[-1]) >= 1
    assert [mark.tag for mark in page.marks if isinstance(mark, Rect)].count("found") == 5
    assert "hazard" in texts(page)      # without a link: none was found


def test_what_is_accepted_and_not_asked_is_counted_where_there_is_any() -> None:
    context = replace(context_of(HARNESS), waived=(), unasked=())
    assert not {ACCEPTED, NOT_ASKED} & {text.split(" →")[0] for text in texts(draw_cover(context, ref_of(context, SheetKind.COVER))[0])}
    context = replace(context, waived=(None, None), unasked=(None,) * 12)
    page, = draw_cover(context, ref_of(context, SheetKind.COVER))
    assert row_of(page, f"{ACCEPTED} → 4")[-2:] == [f"{ACCEPTED} → 4", "2"] and row_of(page, f"{NOT_ASKED} → 4")[-2:] == [f"{NOT_ASKED} → 4", "12"]
    assert_tidy(page)


def test_the_cover_says_what_no_finding_speaks_of() -> None:
    context = context_of(HARNESS)
    check = ref_of(context, SheetKind.CHECK).number
    said = " ".join(texts(draw_cover(context, ref_of(context, SheetKind.COVER))[0]))
    assert f"{NOT_SEEN}, sheet {check}." in said and NOT_SOLVED in said and "hexagon" not in said
    assert "A number in a hexagon on a sheet is the finding of that number, sheet 4." in texts(draw_cover(with_flags(context), ref_of(context, SheetKind.COVER))[0]), HARNESS
    solved = context_of(HARNESS + SUPPLY)
    assert solved.operation and NOT_SOLVED not in " ".join(texts(draw_cover(solved, ref_of(solved, SheetKind.COVER))[0]))


def test_fuses_counted_up_grounds_and_log_newest_first() -> None:
    page, = pages_of()
    found = texts(page)
    assert "Fuses and relays → 5" in found and "Grounds → 6" in found
    assert found.index("F2") < found.index("F10")
    assert row_of(page, "G1") == ["G1", "body", "left wing"]
    assert found.index("measured") < found.index("written down")


def test_what_does_not_fit_is_pointed_to() -> None:
    fuses = "".join(f"      F{number}: {{rating: 10 A, feeds: pump}}\n" for number in range(100, 200))
    page, = pages_of(HARNESS.replace("    fuses:\n", "    fuses:\n" + fuses))
    assert "Fuses and relays: sheet 5." in texts(page) and "F150" not in texts(page)
    assert "Grounds → 6" in texts(page)


def test_one_page_whatever_the_number_of_fuses() -> None:
    # The pointer to the grounds must find room too where the fuses fill the page.
    for count in range(10, 60):
        fuses = "".join(f"      F{number}: {{rating: 10 A, feeds: pump}}\n" for number in range(100, 100 + count))
        assert len(pages_of(HARNESS.replace("    fuses:\n", "    fuses:\n" + fuses))) == 1, count


def test_more_columns_before_a_pointer() -> None:
    fuses = "".join(f"      F{number}: {{rating: 10 A, feeds: pump}}\n" for number in range(100, 128))
    page, = pages_of(HARNESS.replace("    fuses:\n", "    fuses:\n" + fuses))
    assert "F127" in texts(page)


def test_what_a_fuse_feeds_is_never_cut() -> None:
    long = "injectors, heaters of both oxygen sensors, purge valve and idle valve"
    for paper in ("a4", "letter"):
        page, = pages_of(HARNESS.replace("feeds: pump", f'feeds: "{long}"'), paper=paper)
        assert all(word in " ".join(texts(page)) for word in long.split()) and not any(text.endswith("…") for text in texts(page))


def test_nothing_unknown_is_said_and_an_empty_file_has_a_cover() -> None:
    page, = pages_of("title: t")
    assert "nothing" in texts(page)
    assert_tidy(page)


def test_a_long_title_is_broken_and_cut() -> None:
    for paper in ("a4", "a5"):
        for page in pages_of(HARNESS.replace("Heron engine", "word " * 60), paper=paper):
            assert_tidy(page)
    assert sum(mark.tag == "title" for mark in pages_of(HARNESS.replace("Heron engine", "word " * 60))[0].marks) == 3
