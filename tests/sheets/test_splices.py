"""The splice sheets: what they join, read back from the lines; what they say; how they are planned."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from helpers import harness_of
from hypothesis import given, settings
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of
from sheets.read_splices import Joined, read_splices
from strategies import Raw, raw_harnesses

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Circle, Drawing, Line, Link, Rect, Text
from harnessdoc.geometry.measure import measure
from harnessdoc.network.islands import connect, other_end
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef
from harnessdoc.sheets.splices import draw_splices, splices_on_sheets

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"
TITLED = """
    places:
      P1: {title: left inner wing}
      P2: {title: "bulkhead, engine side"}
      P3: {title: p3}
      P4: {title: a title so long that it would hide the place itself}
"""
HARNESS = """
    colours: IEC 60757
    segments:
      T1: {from: P1, to: P2, length: 400 mm}
      T2: {from: P2, to: P3, length: 300 mm}
      T3: {from: P2, to: P4, length: 200 mm}
    connectors:
      X1: {title: first, place: P1, face: [[1..30]], view: wire side}
      X3: {place: P3, face: [[1..6]], view: wire side}
      X4: {place: P4, face: [[1..6]], view: wire side}
    cavities:
      X3.1: {function: lamp}
    splices:
      S1: {title: lamps, at: 150 mm from P1 toward P2, method: crimp splice, join: J7}
      S2: {place: P2, method: solder, note: found under tape}
      S3: {}
      S4: {at: 100 mm from P2 toward P3, sleeve: yellow butt, shrink: 9 mm black, members: [unknown], evidence: guess}
    wires:
      1: {from: X1.1, to: S1, size: 1.5 mm2, colour: BN, circuit: lighting}
      2: {from: S1, to: X3.1, size: 1 mm2, colour: BN/WH}
      3: {from: S1, to: S2, size: 1 mm2, colour: BN}
      4: {from: S2, to: X4.1, size: 1 mm2, colour: BN}
      5: {from: S2, to: X3.2, size: 1 mm2, colour: BN}
      6: {from: S3, to: unknown}
      7: {from: X1.2, to: S3, size: 2.5 mm2, colour: RD}
      8: {from: X1.3, to: S4, size: 2.5 mm2, colour: RD}
      9: {from: S4, to: open, size: 2.5 mm2, colour: RD}
"""


def drawn(context: Context) -> tuple[Drawing, ...]:
    """The pages of all splice sheets, grouped as the plan groups them."""
    kind = ref_of(context, SheetKind.SPLICES)
    groups = splices_on_sheets(context.harness, context.geometry, context.paper)
    assert [name for group in groups for name in group] == list(context.harness.splices)
    return tuple(page for group in groups for page in draw_splices(context, replace(kind, subjects=group)))


def expected(context: Context) -> dict[str, set[Joined]]:
    """The members of every splice from the model."""
    out = {}
    for name in context.harness.splices:
        station = context.geometry.stations[name]
        sides = {member.wire: member for member in station.members}
        out[name] = set()
        for wire in context.harness.wires_at.get(name, ()):
            member = sides[wire]
            where = f" ({member.segment})" if station.segment is None else ""
            side = f"toward {member.side}{where}" if member.side else "side not known"
            out[name].add(Joined(wire, side, other_end(context.harness.wires[wire], name)))
    return out


def test_members_read_back_from_the_lines() -> None:
    context = context_of(HARNESS)
    assert read_splices(drawn(context)) == expected(context)
    assert expected(context)["S1"] == {Joined("1", "toward P1", "X1.1"), Joined("2", "toward P2", "X3.1"), Joined("3", "toward P2", "S2")}
    assert expected(context)["S2"] == {Joined("3", "toward P1 (T1)", "S1"), Joined("4", "toward P4 (T3)", "X4.1"), Joined("5", "toward P3 (T2)", "X3.2")}


def test_the_linnet_read_back() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    read = read_splices(drawn(context))
    assert len(read) >= 8
    assert read == expected(context)


@settings(max_examples=60, deadline=None)
@given(raw_harnesses())
def test_random_harnesses_read_back(raw: Raw) -> None:
    # Built without the rules: a random cavity may well hold five wires, which no sheet minds.
    harness = harness_of(raw.text())
    sheet = SheetRef(1, "splices", SheetKind.SPLICES, "splices", tuple(harness.splices))
    context = Context(harness, connect(harness), measure(harness), (), Options(), (sheet,), dict.fromkeys(harness.splices, sheet))
    pages = drawn(context)
    assert read_splices(pages) == expected(context)
    for page in pages:
        assert_tidy(page)


def planted(page: Drawing, change: dict[int, object]) -> tuple[Drawing]:
    """The page with some marks replaced (None: taken out)."""
    marks = [change.get(place, mark) for place, mark in enumerate(page.marks)]
    return (replace(page, marks=tuple(mark for mark in marks if mark is not None)),)


def find(page: Drawing, kind: type, **wanted: object) -> list[int]:
    return [place for place, mark in enumerate(page.marks) if isinstance(mark, kind) and all(getattr(mark, key) == value for key, value in wanted.items())]


def test_planted_errors_are_caught() -> None:
    context = context_of(HARNESS)
    page, right = drawn(context)[0], read_splices(drawn(context)[:1])
    line = find(page, Line, tag="wire:2")[0]
    moved = page.marks[line]
    for dx, dy in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0)):
        other = replace(moved, x1=moved.x1 + dx, x2=moved.x2 + dx, y1=moved.y1 + dy, y2=moved.y2 + dy)
        read = read_splices(planted(page, {line: other}))
        assert {one.wire for one in read["S1"]} == {"1", "3"}, (dx, dy)
    read = read_splices(planted(page, {find(page, Circle, tag="wire:2")[0]: None}))
    assert {one.wire for one in read["S1"]} == {"1", "3"}
    for first, second in (("1", "2"), ("2", "3"), ("1", "4")):
        a, b = (find(page, Text, text=number, weight="bold")[0] for number in (first, second))
        changed = {a: replace(page.marks[a], text=second), b: replace(page.marks[b], text=first)}
        assert read_splices(planted(page, changed)) != right, (first, second)
    a, b = (find(page, Text, text=text)[0] for text in ("toward P1: 1.5 mm²", "toward P2: 2 mm²"))
    assert read_splices(planted(page, {a: replace(page.marks[a], text=page.marks[b].text), b: replace(page.marks[b], text=page.marks[a].text)})) != right


def test_the_point_it_is_measured_from_is_on_the_left() -> None:
    page = drawn(context_of(HARNESS))[0]
    bar = page.marks[next(place for place in find(page, Line, tag="splice:S1") if page.marks[place].width > 1.0)]
    left, right = (page.marks[find(page, Text, text=text)[0]] for text in ("toward P1: 1.5 mm²", "toward P2: 2 mm²"))
    assert left.start()[0] < bar.x1 < right.start()[0]
    wire = page.marks[find(page, Line, tag="wire:1")[0]]
    assert max(wire.x1, wire.x2) == bar.x1


def test_what_a_block_says() -> None:
    context = context_of(HARNESS)
    said = [text for page in drawn(context) for text in texts(page)]
    number = context.sheet_of["X3"].number
    for words in ("S1", "lamps", "join J7", "150 mm from P1 toward P2", "crimp splice", "3.5 mm²", "sleeve 3 to 5 mm² (a maker's wiring book)",
                  "at P2", "none: solder", "found under tape", f"X3.1 → {number}", "lamp", "lighting", "BN/WH", "side not known: 2.5 mm²",
                  "yellow butt (as stated)", "9 mm black (as stated)", "at least 5 mm²", "Further members, not found yet", "guess", "open",
                  f"S2 → {context.sheet_of['S2'].number}", f"to X4.1 → {context.sheet_of['X4'].number}", "side not known: 1 of unknown size"):
        assert words in said, words
    links = [mark.target for page in drawn(context) for mark in page.marks if isinstance(mark, Link)]
    assert context.sheet_of["X3"].name in links


def test_points_of_a_place_bear_their_titles() -> None:
    said = " ".join(text for page in drawn(context_of(HARNESS + TITLED)) for text in texts(page))
    assert "150 mm from P1 (left inner wing) toward P2 (bulkhead, engine side)" in said
    assert "at P2 (bulkhead, engine side)" in said
    # A title that only repeats the id says nothing; it is left out.
    assert "100 mm from P2 (bulkhead, engine side) toward P3" in said and "(p3)" not in said
    long = HARNESS.replace("at: 100 mm from P2 toward P3", "at: 100 mm from P2 toward P4") + TITLED
    assert "hide the place" not in " ".join(text for page in drawn(context_of(long)) for text in texts(page))


def test_no_words_of_the_linnet_are_cut() -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"))
    assert [text for page in drawn(context) for text in texts(page) if "…" in text] == []


def test_an_address_and_its_sheet_stay_together_beside_long_colours() -> None:
    source = HARNESS.replace("colours: IEC 60757", "colours: North American trade").replace("BN/WH", "DK GRN/WHT").replace("BN", "BRN").replace("RD", "RED")
    context = context_of(source, colours="IEC 60757")
    said = [text for page in drawn(context) for text in texts(page)]
    assert "(DK GRN/WHT)" in said
    assert f"X3.1 → {context.sheet_of['X3'].number}" in said
    assert not [text for text in said if text.startswith("→")]


def test_no_heat_shrink_fits_and_what_to_do() -> None:
    context = context_of(HARNESS.replace("1: {from: X1.1, to: S1, size: 1.5 mm2", "1: {from: X1.1, to: S1, size: 95 mm2"))
    said = " ".join(texts(drawn(context)[0]))
    assert "mm: split the splice, or use tape and sleeving" in said


def test_no_sleeve_holds_the_copper() -> None:
    context = context_of(HARNESS.replace("1: {from: X1.1, to: S1, size: 1.5 mm2", "1: {from: X1.1, to: S1, size: 25 mm2"))
    assert "none in the table: split or solder" in texts(drawn(context)[0])


def test_unknowns_are_boxes() -> None:
    context = context_of(HARNESS)
    pages = draw_splices(context, replace(ref_of(context, SheetKind.SPLICES), subjects=("S3",)))
    boxes = [mark for mark in pages[0].marks if isinstance(mark, Rect) and mark.tag == "to fill"]
    # Place, method, who made it, sleeve, heat-shrink; of wire 6 size, letters and far end (its swatch is an empty field as well).
    assert len(boxes) == 8


def test_a_colour_is_printed_in_the_reader_s_convention_with_the_source_s_beside() -> None:
    page = drawn(context_of(HARNESS, colours="DIN 47002"))[0]
    assert "br/ws" in texts(page) and "(BN/WH)" in texts(page)
    assert "Colours in DIN 47002, base first; as the source has them in brackets where that differs. A dot joins. Behind → stands the sheet where it continues." in texts(page)


def test_lengths_in_inches() -> None:
    assert "5.9 in (150 mm) from P1 toward P2" in texts(drawn(context_of(HARNESS, units="in"))[0])


def test_cautions_stand_on_the_sheet_they_concern() -> None:
    with_brake = HARNESS.replace("X3.1: {function: lamp}", "X3.1: {function: lamp, signal: brake-switch}")
    assert any(text.startswith("Brake circuit:") for text in texts(drawn(context_of(with_brake))[0]))
    assert not any("circuit:" in text for page in drawn(context_of(HARNESS)) for text in texts(page))


def many(count: int) -> str:
    wires = "\n".join(f"      {n}: {{from: X1.{n}, to: S1, size: 0.5 mm2, colour: BN}}" for n in range(1, count + 1))
    return f"""
    connectors:
      X1: {{face: [[1..60]], view: wire side}}
    splices:
      S1: {{}}
    wires:
{wires}
"""


@pytest.mark.parametrize(("count", "pages"), [(0, 1), (1, 1), (12, 1), (28, 1), (60, 2)])
def test_any_number_of_members(count: int, pages: int) -> None:
    context = context_of(many(max(count, 1)) if count else "splices:\n  S1: {members: [unknown]}\n")
    sheets = drawn(context)
    assert len(sheets) == pages
    assert read_splices(sheets) == expected(context)
    for page in sheets:
        assert_tidy(page)
    assert ("S1 continues on the next page" in texts(sheets[0])) == (pages > 1)


def test_no_two_wires_meet_the_bar_at_one_height() -> None:
    for page in drawn(context_of(many(28))):
        heights = sorted(mark.cy for mark in page.marks if isinstance(mark, Circle))
        assert min(b - a for a, b in zip(heights, heights[1:])) > 3.0


@pytest.mark.parametrize("paper", PAPERS)
def test_long_ids_titles_and_names(paper: str) -> None:
    name = "-".join(["identifier"] * 5)
    text = f"""
    title: {"long title " * 18}
    colours: Japanese trade
    connectors:
      X{name}: {{title: {"a title that is long " * 9}, place: P1, face: [[1, 2]], view: wire side}}
    segments:
      T{name}: {{from: P1, to: P{name}, length: 100 mm}}
    splices:
      S{name}: {{title: {"a title that is long " * 9}, place: P{name}, join: {"number " * 8}, method: {"words " * 20}, note: {"words " * 90}, evidence: {"words " * 90}}}
      T{name}: {{at: 10 mm from P1 toward P{name}}}
    wires:
      W{name}: {{from: X{name}.1, to: S{name}, size: 14 AWG, colour: Lg-Sb, circuit: {"a long circuit name " * 6}}}
      V{name}: {{from: T{name}, to: S{name}, size: 14 AWG, colour: Lg-Sb}}
    """
    context = context_of(text, paper=paper, colours="North American trade", units="in")
    pages = drawn(context)
    for page in pages:
        assert_tidy(page)
    assert {one.wire for members in read_splices(pages).values() for one in members} == {f"W{name}", f"V{name}"}


@pytest.mark.parametrize("paper", PAPERS)
def test_the_linnet_is_tidy_and_keeps_to_its_plan(paper: str) -> None:
    context = context_of(LINNET.read_text(encoding="utf-8"), paper=paper)
    groups = splices_on_sheets(context.harness, context.geometry, context.paper)
    kind = ref_of(context, SheetKind.SPLICES)
    for group in groups:
        pages = draw_splices(context, replace(kind, subjects=group))
        assert len(pages) <= (2 if paper == "a5" else 1)
        for page in pages:
            assert_tidy(page)
    if paper == "a4":
        assert max(map(len, groups)) >= 3


def test_sheet_numbers_change_no_height() -> None:
    context = context_of(HARNESS)
    far = {name: SheetRef(ref.number + 1200, ref.name, ref.kind, ref.title, ref.subjects) for name, ref in context.sheet_of.items()}

    def lines(of: Context) -> list[tuple[float, ...]]:
        return [(mark.x1, mark.y1, mark.x2, mark.y2) for page in drawn(of) for mark in page.marks if isinstance(mark, Line)]

    assert lines(replace(context, sheet_of=far)) == lines(context)


def test_a_row_reads_across() -> None:
    page = drawn(context_of(HARNESS))[0]
    assert row_of(page, "1") == ["1", "1.5 mm²", "BN"]
