"""The drawn pieces with what changed since the version before: faces, heads, splices, bundle, relays; lids have a module of their own."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from helpers import harness_of
from hypothesis import given, settings
from sheets.checks import assert_tidy, inked_box, texts
from sheets.contexts import ref_of
from sheets.marked_contexts import LETTER, all_of, edited, since_context, version_of
from sheets.read_splices import read_splices
from sheets.revision_reader import clouded, clouded_boxes, clouds, struck, triangles
from sheets.test_marked_lids import BOX
from sheets.test_splice_places import SMALL, assert_to_scale, marks
from sheets.test_splices import HARNESS, drawn, expected, many
from strategies import Raw, raw_harnesses

from harnessdoc.drawing.page import PAPERS
from harnessdoc.drawing.record import Arc, Circle, Drawing, Line, Rect, Text
from harnessdoc.drawing.revision_marks import BULGE
from harnessdoc.geometry.measure import measure
from harnessdoc.model.harness import Harness
from harnessdoc.network.islands import connect
from harnessdoc.revision.compare import compare
from harnessdoc.sheets.box import draw_box
from harnessdoc.sheets.context import Context, Options, SheetKind, SheetRef, Since
from harnessdoc.sheets.pinout import draw_pinout
from harnessdoc.sheets.relay import draw_relays
from harnessdoc.sheets.splice_places import draw_splice_places
from harnessdoc.sheets.splices import MARKS_WORDS, draw_splices

LINNET = (Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml").read_text(encoding="utf-8")
MAP = SheetRef(40, "splice-places", SheetKind.SPLICE_PLACES, "where the splices are")
papers = pytest.mark.parametrize("paper", PAPERS)


def is_marked(pages: tuple[Drawing, ...]) -> bool:
    return any(triangles(page) or clouded(page) or struck(page) for page in pages)


# -------------------------------------------------------------------- splices

W1, W2, W3 = "1: {from: X1.1, to: S1, size: 1.5 mm2, colour: BN, circuit: lighting}", "2: {from: S1, to: X3.1, size: 1 mm2, colour: BN/WH}", "3: {from: S1, to: S2, size: 1 mm2, colour: BN}"
W6, W7 = "6: {from: S3, to: unknown}", "7: {from: X1.2, to: S3, size: 2.5 mm2, colour: RD}"
CHANGED = edited(
    HARNESS, (W1, W1.replace("1.5 mm2", "2.5 mm2").replace("lighting", "side lighting")), (W2, W2.replace("X3.1", "X3.3").replace("BN/WH", "GN/WH")), (W3 + "\n", "\n"),
    (W6, "6: {from: S3, to: X4.3, size: 1 mm2}"), (W7, W7 + "\n      77: {from: X1.4, to: S3, size: 1 mm2, colour: RD}"), ("at: 150 mm from P1", "at: 170 mm from P1"),
    ("title: lamps, ", "title: side lamps, "), ("evidence: guess", "note: now sure"), ("method: solder", "method: crimp"),
)


def splice(name: str, old: str, new: str, **options: str) -> tuple[Drawing, ...]:
    context = since_context(old, new, **options)
    return draw_splices(context, replace(ref_of(context, SheetKind.SPLICES), subjects=(name,)))


@papers
def test_marked_splices_read_back_as_the_new_version(paper: str) -> None:
    for old, new in ((HARNESS, CHANGED), (CHANGED, HARNESS)):
        context = since_context(old, new, paper=paper)
        pages = drawn(context)
        assert read_splices(pages) == expected(context)
        for page in pages:
            assert_tidy(page)


def test_a_member_that_differs_has_clouds_and_its_old_values() -> None:
    page, = splice("S1", HARNESS, CHANGED)
    assert {"2.5 mm²", "side lighting", "GN/WH", "X3.3 → 8", "side lamps", "170 mm from P1 toward P2"} <= clouded(page)
    assert not {"1", "2", "X1.1 → 7", "crimp splice"} & clouded(page)
    assert {"1.5 mm²", "lighting", "BN/WH", "X3.1", "lamp", "lamps", "150 mm from P1 toward P2"} <= set(struck(page))
    assert {letter for *_, letter in triangles(page)} == {LETTER}
    assert MARKS_WORDS in texts(page)


def test_a_wire_that_is_gone_is_struck_and_touches_nothing() -> None:
    page, = splice("S1", HARNESS, CHANGED)
    line, = [mark for mark in page.marks if isinstance(mark, Line) and mark.tag == "gone:3"]
    bar = next(mark for mark in page.marks if isinstance(mark, Line) and mark.width > 1.0)
    assert line.dash and min(abs(line.x1 - bar.x1), abs(line.x2 - bar.x1)) > 4.0
    assert "no longer joined" in texts(page)
    assert {"3", "S2", "to X4.1"} <= set(struck(page))
    assert "3" not in {one.wire for one in read_splices((page,))["S1"]}


def test_a_wire_that_is_gone_would_be_read_if_it_were_joined() -> None:
    page, = splice("S1", HARNESS, CHANGED)
    bar = next(mark for mark in page.marks if isinstance(mark, Line) and mark.width > 1.0)
    joined = [replace(mark, x2=bar.x1, y2=bar.y2 - 1.0, y1=bar.y2 - 1.0) if mark.tag == "gone:3" and isinstance(mark, Line) else mark for mark in page.marks]
    dot = Circle(bar.x1, bar.y2 - 1.0, 1.2, 0.0, "#000000")
    assert len(read_splices((replace(page, marks=(*joined, dot)),))["S1"]) == len(read_splices((page,))["S1"]) + 1


def test_a_new_member_and_what_was_not_known() -> None:
    page, = splice("S3", HARNESS, CHANGED)
    assert {"77", "1 mm²", "RD", "X4.3 → 9"} <= clouded(page)
    assert " ".join(struck(page)) == "at least 2.5 mm², 1 of unknown size"      # the copper; an unknown far end and size leave nothing to strike
    back, = splice("S3", CHANGED, HARNESS)
    assert clouded_boxes(back) == 3             # size and far end of wire 6 are unknown again, and so is the sleeve
    assert {"1 mm²", "X4.3", "77"} <= set(struck(back))


def test_a_page_with_nothing_but_what_is_gone_has_no_bar() -> None:
    pages = splice("S1", many(30), many(2), paper="a5")
    bars = [[mark for mark in page.marks if isinstance(mark, Line) and mark.width > 1.0] for page in pages]
    assert len(pages) > 1 and len(bars[0]) == 1 and not any(bars[1:])


def test_fields_that_came_and_went() -> None:
    page, = splice("S4", HARNESS, CHANGED)
    assert "now sure" in clouded(page) and "guess" in struck(page)
    page, = splice("S2", HARNESS, CHANGED)
    assert "crimp" in clouded(page) and "solder" in struck(page)


def test_a_side_that_changed_stands_struck_in_the_row() -> None:
    page, = splice("S1", HARNESS, edited(HARNESS, ("X3: {place: P3", "X3: {place: P1")))
    assert "toward P2" in struck(page)
    assert {one.side for one in read_splices((page,))["S1"] if one.wire == "2"} == {"toward P1"}


LONG = """
    grounds:
      GE1: {title: rear of the cylinder head, place: P2}
      GE2: {title: end of the cylinder head, place: P2}
    splices:
      S1: {place: P1, members: [unknown], evidence: one stub cut flush}
    wires:
      1: {from: S1, to: GE2, size: 1 mm2, colour: BN}
"""


@papers
def test_an_old_far_end_is_struck_with_all_its_words(paper: str) -> None:
    page, = splice("S1", LONG, edited(LONG, ("to: GE2", "to: GE1")), paper=paper)
    assert " ".join(struck(page)) == "GE2 end of the cylinder head"
    page, = splice("S1", LONG, edited(LONG, ("title: end of", "title: top of")), paper=paper)
    assert " ".join(struck(page)) == "end of the cylinder head"       # the address still holds


def test_members_that_were_not_known_and_are_found_are_struck_in_words() -> None:
    page, = splice("S1", LONG, edited(LONG, (", members: [unknown], evidence: one stub cut flush", "")))
    assert {"more, not known", "one stub cut flush"} <= set(struck(page))
    for *_, right, low, _ in triangles(page):
        assert any(abs(mark.y - low) < 3.0 and mark.x < right for mark in page.marks if isinstance(mark, Text) and mark.text in (*struck(page), *clouded(page))), low


def test_old_copper_is_as_high_as_data_where_it_has_room() -> None:
    page, = splice("S1", HARNESS, CHANGED)
    old = [mark for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"]
    assert {"1.5 mm²", "2 mm²"} <= {mark.text for mark in old} and {mark.height for mark in old} == {2.5}
    many_lost = edited(LONG, ("1: {from: S1, to: GE2, size: 1 mm2, colour: BN}", "\n      ".join(f"{n}: {{from: S1, to: GE2, size: 1 mm2}}" for n in range(1, 13))))
    for paper in PAPERS:
        for page in splice("S1", many_lost, edited(many_lost, ("3: {from: S1, to: GE2, size: 1 mm2}", "3: {from: S1, to: GE2}")), paper=paper):
            assert_tidy(page)


def test_a_cloud_keeps_clear_of_the_first_and_last_letter() -> None:
    page, = splice("S1", HARNESS, CHANGED)
    free = []
    for left, top, right, low in clouds(page):
        boxes = [box for mark in page.marks if isinstance(mark, Text) and left < (box := inked_box(mark))[0] and box[2] < right and top < box[1] and box[3] < low]
        free += [min(box[0] for box in boxes) - left - 2 * BULGE, right - 2 * BULGE - max(box[2] for box in boxes)] if boxes else []
    assert len(free) > 10 and min(free) > 0.2


def test_a_new_splice_a_renamed_one_and_one_that_is_gone() -> None:
    new = edited(HARNESS, ("      S3: {}\n", "      S9: {}\n"), (W6, W6.replace("S3", "S9")), (W7, W7.replace("S3", "S9")), ("X4.1", "S5"), ("S2: {place: P2", "S5: {place: P2}\n      S2: {place: P2"))
    page, = splice("S9", HARNESS, new)
    assert "S9" in clouded(page) and "S3" in struck(page) and "id was" in texts(page)
    page, = splice("S5", HARNESS, new)
    assert "new splice" in clouded(page) and not struck(page)
    gone = edited(HARNESS, ("      S3: {}\n", ""), (W6 + "\n", "\n"), (W7 + "\n", "\n"))
    page, = splice("S2", HARNESS, gone)
    assert "S3: 6, 7" in struck(page)
    page, = splice("S4", HARNESS, gone)
    assert "S3: 6, 7" not in struck(page)


@papers
def test_many_members_that_differ_go_on_and_stay_tidy(paper: str) -> None:
    text = many(40)
    for old, new in ((text, text.replace("0.5 mm2", "1.5 mm2").replace("colour: BN", "colour: RD/YE, circuit: another")), (many(4), text), (text, many(4))):
        context = since_context(old, new, paper=paper)
        pages = drawn(context)
        assert read_splices(pages) == expected(context)
        for page in pages:
            assert_tidy(page)


def context_since(old: Harness, new: Harness) -> Context:
    sheet = SheetRef(1, "splices", SheetKind.SPLICES, "splices", tuple(new.splices))
    before, now = (Context(harness, connect(harness), measure(harness), (), Options(), (sheet,), dict.fromkeys(harness.splices, sheet)) for harness in (old, new))
    return replace(now, since=Since(before, compare(version_of(before), version_of(now)), LETTER))


@settings(max_examples=40, deadline=None)
@given(raw_harnesses(), raw_harnesses())
def test_any_two_harnesses_read_back_as_the_new_one(old: Raw, new: Raw) -> None:
    context = context_since(harness_of(old.text()), harness_of(new.text()))
    pages = drawn(context)
    assert read_splices(pages) == expected(context)
    for page in pages:
        assert_tidy(page)


# ------------------------------------------------------------ faces and heads

FACE = """
    colours: IEC 60757
    connectors:
      X1: {title: lamp plug, housing: "grey, 6 ways", half: plug, face: [[1..3], [4..6]], view: wire side, lock: top, note: brittle}
      X2: {face: [[1..9]], view: wire side}
      X3: {face: {ring: [1..6], start: 0 deg, direction: clockwise}, view: wire side}
    cavities:
      X1.3: {function: lamp}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      2: {from: X1.2, to: X2.2, size: 1 mm2, colour: BN}
      3: {from: X1.3, to: X2.3, size: 1 mm2, colour: BK}
      4: {from: X3.1, to: X2.4, size: 1 mm2, colour: BK}
"""


def pinout(name: str, old: str, new: str, **options: str) -> tuple[Drawing, ...]:
    context = since_context(old, new, **options)
    return draw_pinout(context, context.sheet_of[name])


def ringed(pages: tuple[Drawing, ...]) -> set[str]:
    """The cavities with a mark inside their frame; fails where the mark is not inside it."""
    found = set()
    for page in pages:
        frames = {}
        for mark in page.marks:
            name = mark.tag.removeprefix("cavity:")
            if mark.tag.startswith("cavity:") and isinstance(mark, Rect | Circle):
                frames.setdefault(name, []).append((mark.x, mark.y, mark.x + mark.w, mark.y + mark.h) if isinstance(mark, Rect) else (mark.cx - mark.r, mark.cy - mark.r, mark.cx + mark.r, mark.cy + mark.r))
        for mark in page.marks:
            if mark.tag.startswith("changed:") and isinstance(mark, Arc | Circle):
                name = mark.tag.removeprefix("changed:")
                x, y = mark.at((mark.start_deg + mark.end_deg) / 2) if isinstance(mark, Arc) else (mark.cx + mark.r, mark.cy)
                assert any(left < x < right and top < y < bottom for left, top, right, bottom in frames[name]), name
                found.add(name)
    return found


@pytest.mark.parametrize(("old", "new", "cavities"), [
    ("size: 1 mm2, colour: RD", "size: 2 mm2, colour: RD", {"1"}), ("colour: BN", "colour: BU", {"2"}), ("function: lamp", "function: horn", {"3"}),
    ("from: X1.2", "from: X1.5", {"2", "5"}), ("to: X2.1,", "to: X2.8,", set()), ("[4..6]", "[4..7]", {"7"}), ("1: {from: X1.1", "11: {from: X1.1", {"1"}),
])
def test_the_cavities_that_differ_have_a_cloud_in_both_views(old: str, new: str, cavities: set[str]) -> None:
    pages = pinout("X1", FACE, edited(FACE, (old, new)))
    assert ringed(pages) == cavities
    first = [mark for mark in pages[0].marks if mark.tag.startswith("changed:")]
    per_view = {name: len([mark for mark in first if mark.tag == f"changed:{name}"]) for name in cavities}
    assert all(count % 2 == 0 for count in per_view.values())
    for page in pages:
        assert_tidy(page)


def test_what_stands_below_a_face_in_words() -> None:
    page, = pinout("X1", FACE, edited(FACE, ("size: 1 mm2, colour: RD", "size: 2 mm2, colour: RD"), ("[4..6]", "[4, 5, 8]"), ("lock: top", "lock: bottom")))
    assert {"changed: 1", "new: 8", "gone:", "was:"} <= set(texts(page))
    assert {"6", "lock at the top, seen from the wire side"} <= set(struck(page))
    order = pinout("X1", FACE, edited(FACE, ("[[1..3], [4..6]]", "[[1, 3, 2], [4..6]]")))[0]
    assert "cavities in another order" in struck(order) and not ringed((order,))


MATED = FACE.replace("X2: {face: [[1..9]], view: wire side}", "X2: {face: [[3..1], [6..4]], view: wire side, half: socket, mates: X1}").replace("X2.4", "X2.5")


@papers
@pytest.mark.parametrize("cavities", [3, 13])
def test_mated_halves_have_faces_of_one_scale_and_arrangement(paper: str, cavities: int) -> None:
    text = edited(MATED, ("[[1..3], [4..6]]", f"[[1..{cavities}], [{cavities + 1}..{2 * cavities}]]"), ("[[3..1], [6..4]]", f"[[{cavities}..1], [{2 * cavities}..{cavities + 1}]]"), ("from: X3.1", "from: X1.4"))
    for change in (("1: {from: X1.1, to: X2.1, size: 1 mm2", "1: {from: X1.1, to: X2.1, size: 1.5 mm2"), ("note: brittle", "note: brittle with age and to be handled with care or replaced"), ("X1.3: {function: lamp}", "X2.3: {function: lamp}")):
        context = since_context(text, edited(text, change), paper=paper)
        sheet = replace(context.sheet_of["X1"], subjects=("X1", "X2"))
        pages = draw_pinout(replace(context, sheet_of={**context.sheet_of, "X1": sheet, "X2": sheet}), sheet)
        sizes: dict[str, list[tuple[float, float]]] = {}
        for page in pages:
            assert_tidy(page)
            for mark in page.marks:
                if isinstance(mark, Rect) and mark.tag.startswith("cavity:"):
                    sizes.setdefault(mark.tag, []).append((round(mark.w, 6), round(mark.h, 6)))
            heights = {mark.height for mark in page.marks if isinstance(mark, Text) and mark.tag.startswith("cavity:")}
            assert len(heights) <= 1
        assert {len(both) for both in sizes.values()} == {4} and len({size for both in sizes.values() for size in both}) == 1


def test_a_round_cavity_has_a_second_circle() -> None:
    pages = pinout("X3", FACE, edited(FACE, ("4: {from: X3.1, to: X2.4, size: 1 mm2", "4: {from: X3.1, to: X2.4, size: 2 mm2")))
    assert ringed(pages) == {"1"}
    assert all(isinstance(mark, Circle) for mark in pages[0].marks if mark.tag == "changed:1")


def test_the_fields_of_a_head() -> None:
    new = edited(FACE, ("title: lamp plug", "title: side lamp plug"), ('housing: "grey, 6 ways"', 'housing: "black, 6 ways"'), ("half: plug, ", ""), (", note: brittle", ""), ("X2: {", "X2: {half: socket, "))
    page, = pinout("X1", FACE, new)
    assert {"side lamp plug", "black, 6 ways"} <= clouded(page)
    assert {"lamp plug", "grey, 6 ways", "plug", "brittle"} == set(struck(page))
    assert clouded_boxes(page) == 1
    assert_tidy(page)
    other, = pinout("X2", FACE, new)
    assert "socket" in clouded(other) and not struck(other)      # it was not known: nothing to strike


def test_a_view_written_from_the_other_side_changes_nothing() -> None:
    turned = edited(FACE, ("[[1..3], [4..6]], view: wire side", "[[3..1], [6..4]], view: mating face"))
    assert not is_marked(pinout("X1", FACE, turned))


@papers
def test_close_faces_stay_legible_and_tidy(paper: str) -> None:
    many_ways = edited(FACE, ("[[1..9]]", "[[1..30], [31..60]]"), ("[[1..3], [4..6]]", "[[1..40], [41..80], [81..120]]"))
    for name in ("X1", "X2"):
        for page in pinout(name, many_ways, edited(many_ways, ("1 mm2", "2 mm2")), paper=paper):
            assert_tidy(page)


@pytest.mark.parametrize("columns", [6, 13, 20, 26])
def test_a_cloud_never_touches_its_number(columns: int) -> None:
    names = [f"[{', '.join(str(100 + row * columns + n) for n in range(columns))}]" for row in (0, 1)]
    text = edited(FACE, ("[[1..3], [4..6]]", f"[{', '.join(names)}]"), ("X1.1", "X1.100"), ("X1.2", "X1.101"), ("X1.3", "X1.102"))
    pages = pinout("X1", text, edited(text, ("1 mm2", "2 mm2")), paper="a5")
    for page in pages:
        assert_tidy(page)
    assert ringed(pages) == ({"100", "101", "102"} if columns < 26 else set())      # of a face without room for clouds the words below tell it
    assert "changed: 100, 101, 102" in all_of(pages, texts)


# --------------------------------------------------------------------- relays

RELAYS = """
    colours: IEC 60757
    connectors:
      X1: {title: unit, face: [[1..6]], view: wire side}
    relays:
      K1: {title: pump relay, contacts: make, suppression: diode, coil: 85 ohm, rating: 30 A, type: mini, commanded-by: unit, feeds: pump}
      K2: {title: horn relay, contacts: make}
    wires:
      1: {from: X1.1, to: K1.85, size: 0.5 mm2, colour: YE}
      2: {from: X1.2, to: K2.85, size: 0.5 mm2, colour: BK}
"""


def relays(old: str, new: str, *names: str, **options: str) -> tuple[Drawing, ...]:
    return draw_relays(since_context(old, new, **options), SheetRef(12, "relays-1", SheetKind.RELAYS, "Relays", names))


@papers
def test_the_symbol_and_the_words_of_a_relay(paper: str) -> None:
    new = edited(RELAYS, ("make, suppression: diode", "changeover, suppression: resistor"), ("rating: 30 A", "rating: 40 A"), ("0.5 mm2, colour: YE", "0.75 mm2, colour: YE"))
    pages = relays(RELAYS, new, "K1", "K2", paper=paper)
    assert {"changeover", "resistor", "40 A", "0.75 mm²"} <= set(all_of(pages, clouded))
    assert {"make", "diode", "30 A", "0.5 mm²"} <= set(all_of(pages, struck))
    assert {"86", "30", "87a", "87"} <= set(all_of(pages, clouded))      # the numbers of the symbol, which has a cloud
    for page in pages:
        assert_tidy(page)


def test_a_symbol_that_is_the_same_has_no_cloud() -> None:
    page, = relays(RELAYS, edited(RELAYS, ("rating: 30 A", "rating: 40 A")), "K1", "K2")
    assert "87" not in clouded(page)


def test_relays_that_are_new_and_gone() -> None:
    without = edited(RELAYS, ("      K2: {title: horn relay, contacts: make}\n", ""), ("      2: {from: X1.2, to: K2.85, size: 0.5 mm2, colour: BK}\n", ""))
    page, = relays(RELAYS, without, "K1")
    assert "K2, horn relay" in struck(page)
    page, = relays(without, RELAYS, "K1", "K2")
    assert "K2" in clouded(page) and "new" in texts(page) and "K1" not in clouded(page)


# ----------------------------------------------------------------- the bundle

def bundle(old: str, new: str, **options: str) -> tuple[Context, tuple[Drawing, ...]]:
    """The context, and the sheet of splice places, which both versions have."""
    context = since_context(old, new, **options)
    before = replace(context.since.before, sheets=(*context.since.before.sheets, MAP))
    context = replace(context, sheets=(*context.sheets, MAP), since=replace(context.since, before=before))
    return context, draw_splice_places(context, MAP)


MOVED = edited(
    SMALL, ("S1: {at: 150 mm", "S1: {at: 180 mm"), ("      S3: {at: 60 mm from P2 toward P4, method: solder}\n", "      S5: {at: 100 mm from P2 toward P3}\n"),
    ("T2: {from: P2, to: P3, length: 300 mm}", "T2: {from: P2, to: P3, length: 360 mm}\n      T9: {from: P3, to: P7, length: 120 mm}"), ("X4: {place: P4", "X4: {place: P7"),
)


@papers
def test_the_bundle_shows_what_moved_and_stays_to_scale(paper: str) -> None:
    for old, new in ((SMALL, MOVED), (MOVED, SMALL)):
        context, pages = bundle(old, new, paper=paper)
        assert assert_to_scale(context, pages) == 3
        for page in pages:
            assert_tidy(page)


def test_labels_of_the_bundle_that_differ() -> None:
    page = bundle(SMALL, MOVED)[1][0]
    assert {"180 mm from P1", "T2: 360 mm", "T9: 120 mm", "P7", "100 mm from P2", "P4"} <= clouded(page)
    assert set(struck(page)) == {"150 mm from P1", "300 mm", "X4", "S3"}
    assert not {"at P2", "P1", "P3"} & clouded(page)
    assert "S3" not in marks(page, "splice:")
    crossed = [mark for mark in page.marks if mark.tag == "gone:S3"]
    point = marks(page, "point:")["P2"][0]
    middle = crossed[0].x1 / 2 + crossed[0].x2 / 2, crossed[0].y1 / 2 + crossed[0].y2 / 2
    assert len(crossed) == 2 and abs(abs(middle[1] - point[1]) + abs(middle[0] - point[0]) - 60 / 5) < 0.1      # 60 mm at 1 : 5
    back = bundle(MOVED, SMALL)[1][0]
    assert "T9 to P7" in struck(back)


def test_a_long_name_of_a_point_is_struck_whole() -> None:
    named = edited(SMALL, ("from: P4", "from: left front corner of the engine bay under the battery tray"), ("place: P4", "place: left front corner of the engine bay under the battery tray"), ("toward P4", "toward left front corner of the engine bay under the battery tray"))
    page = bundle(named, named.replace("left front corner", "left floor corner"))[1][0]
    assert {"left front corner of the engine bay under", "the battery tray"} <= set(struck(page))


# ------------------------------------------------------------ nothing changed

def test_nothing_is_marked_where_nothing_changed() -> None:
    for text in (HARNESS, FACE, RELAYS, BOX, SMALL, LINNET):
        context = since_context(text, text)
        plain = replace(context, since=None)
        for ref in context.sheets:
            draw = {SheetKind.PINOUT: draw_pinout, SheetKind.BOX: draw_box, SheetKind.RELAYS: draw_relays}.get(ref.kind)
            if draw:
                assert draw(context, ref) == draw(plain, ref), ref
        assert not is_marked(drawn(context))
        context, pages = bundle(text, text)
        assert pages == draw_splice_places(replace(context, since=None), MAP)


@papers
def test_the_linnet_with_many_changes_is_tidy(paper: str) -> None:
    new = edited(LINNET, ("0.5 mm2", "0.75 mm2"), ("colour: B,", "colour: Br,"), ("title: engine", "title: other engine"), ("seal: seal", "seal: another seal"), ("rating: 10 A", "rating: 7.5 A"), ("length: 2", "length: 3"))
    context = since_context(LINNET, new, paper=paper)
    pages = [*drawn(context), *bundle(LINNET, new, paper=paper)[1]]
    for ref in context.sheets:
        if ref.kind in (SheetKind.PINOUT, SheetKind.BOX) and ref.subjects[0] in ("E1", "X37", "B1"):
            pages += draw_pinout(context, ref) if ref.kind is SheetKind.PINOUT else draw_box(context, ref)
    for page in pages:
        assert_tidy(page)
    assert read_splices(drawn(context)) == expected(context)
