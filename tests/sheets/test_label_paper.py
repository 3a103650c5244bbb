"""Labels on label paper and as flags: where they stand, measured in the PDF; what stands on them; what does not fit."""

from __future__ import annotations

import csv
import ctypes
import io
from math import pi
from pathlib import Path
from textwrap import dedent

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sheets.checks import assert_tidy, inked_box

from harnessdoc.book.draw import make_context
from harnessdoc.book.label_file import Asked, unfit_words, write_label_pdf
from harnessdoc.book.lists import labels_csv
from harnessdoc.drawing.page import A4, LETTER
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.geometry.labels import Label, label_list
from harnessdoc.sheets.context import Context, Options
from harnessdoc.sheets.label_cell import draw_block, stacked
from harnessdoc.sheets.label_flags import by_sleeve, draw_label_flags
from harnessdoc.sheets.label_paper import LabelPaper, draw_label_paper, fault, print_order
from harnessdoc.steps import Loaded, compare, load

MM = 25.4 / 72
PLAIN = """
    title: Two plugs
    colours: IEC 60757
    wire-type: PVC 85 C
    connectors:
      X1: {face: [[1..9]], view: mating face, place: a}
      X2: {face: [[1..9]], view: mating face, place: b}
    segments:
      T1: {from: a, to: b, length: 800 mm}
    splices:
      S1: {join: J10, place: b}
      S2: {join: J9, place: a}
    wires:
      w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}
      w2: {from: X1.2, to: S1, size: 0.5 mm2, colour: YE/BK}
      w3: {from: X1.3, to: unknown}
      w4: {from: X1.4, to: open, size: 1 mm2, colour: RD}
      w5: {from: X1.5, to: S2, size: 1 mm2, colour: GN}
      w6: {from: X1.6, to: X2.6, size: 1 mm2, colour: BU, length: 2 m}
      w7: {from: X1.7, to: X2.7, size: 6 mm2, colour: BK}
      w8: {from: X1.8, to: S1, size: 6 mm2, colour: BK}
      w9: {from: X1.9, to: S2, size: 0.35 mm2, colour: BN}
"""
HOST = """
    colours: DIN 47002
    wire-type: PVC 85 C
    connectors:
      X1: {face: [[1..6]], view: wire side}
      X2: {face: [[1..6]], view: wire side}
    grounds: {G2: {metal: body}}
    splices: {SP9: {}}
    wires:
      1: {from: X1.1, to: X2.1, size: 1 mm2, colour: rt}
      2: {from: X1.2, to: SP9, size: 1 mm2, colour: sw}
      3: {from: X2.2, to: SP9, size: 1 mm2, colour: sw}
      4: {from: X1.3, to: X2.3, size: 1 mm2, colour: bl}
      5: {from: X1.4, to: X2.4, size: 1 mm2, colour: gn}
      6: {from: X1.5, to: G2, size: 1 mm2, colour: br}
      7: {from: X1.6, to: X2.6, size: 1 mm2, colour: gr}
"""
DONOR = """
    colours: Japanese trade
    wire-type: TXL
    connectors:
      E1: {face: [[1..6]], view: mating face}
      E2: {face: [[1..6]], view: mating face}
    wires:
      1: {from: E1.1, to: E2.1, size: 0.5 mm2, colour: W-L}
      2: {from: E1.2, to: E2.2, size: 0.5 mm2, colour: B}
      3: {from: E1.3, to: E2.3, size: 0.5 mm2, colour: G}
      4: {from: E1.4, to: E2.4, size: 0.5 mm2, colour: Y}
      5: {from: E1.5, to: E2.5, size: 0.5 mm2, colour: R}
      6: {from: E1.6, to: E2.6, size: 0.5 mm2, colour: O}
"""
MERGE = """
    colours: IEC 60757
    sources:
      host: {file: host.yaml, role: host}
      donor: {file: donor.yaml, role: donor}
    fates:
      - {fate: kept, device: [host/X1]}
    interfaces:
      I1: {recipe: diode, anode: host/X1.1, cathode: donor/E1.1}
    joins:
      J1: {ends: [host/X1.1, donor/E1.1], method: crimp splice, through: I1}
      J2: {ends: [host/SP9, donor/E1.2], method: crimp splice}
      J3: {ends: [host/G2, donor/E1.3], method: eyelet}
      J4: {ends: [host/X1.3, donor/E1.4], method: crimp splice, cut: donor}
      J5: {ends: [unknown, donor/E1.5], method: crimp splice}
      J6: {ends: [host/X1.4, donor/E1.6], method: crimp splice, piece: {size: 1 mm2, colour: RD, length: 200 mm}}
"""


def loaded_of(text: str = PLAIN) -> Loaded:
    loaded = load("harness.yaml", {"harness.yaml": dedent(text)}, solve=False)
    assert not loaded.has_errors, loaded.findings
    return loaded


def merged() -> Loaded:
    loaded = load("merge.yaml", {"merge.yaml": dedent(MERGE), "host.yaml": dedent(HOST), "donor.yaml": dedent(DONOR)}, solve=False)
    assert not loaded.has_errors, [finding for finding in loaded.findings if finding.severity.word == "error"]
    return loaded


def context_of(loaded: Loaded) -> Context:
    return make_context(loaded.version, Options())


def labels_of(context: Context) -> list[Label]:
    return list(label_list(context.harness, context.convention, context.join_numbers))


def paper_of(rows: int = 13, columns: int = 5, paper=A4, top: float = 10.7, bottom: float = 10.7, left: float = 4.7, right: float = 4.7, gap_across: float = 2.5, gap_down: float = 0.0) -> LabelPaper:
    return LabelPaper(paper, rows, columns, top, bottom, left, right, gap_across, gap_down)


def corners_of(path: pypdfium2.PdfObject, tall: float) -> tuple[float, float, float, float]:
    """x, y from the top, width and height in mm of what a path of a PDF outlines, its line width left out."""
    matrix = path.get_matrix()
    points = []
    for index in range(pypdfium2.raw.FPDFPath_CountSegments(path)):
        x, y = ctypes.c_float(), ctypes.c_float()
        assert pypdfium2.raw.FPDFPathSegment_GetPoint(pypdfium2.raw.FPDFPath_GetPathSegment(path, index), x, y)
        points.append(matrix.on_point(x.value, y.value))
    left, right = (choose(x for x, _ in points) * MM for choose in (min, max))
    bottom, top = (choose(y for _, y in points) * MM for choose in (min, max))
    return left, tall - top, right - left, top - bottom


def words_of(label: Label) -> str:
    """What stands on a label, without its bars."""
    return " ".join((*label.joins, *label.words))


# ---------------------------------------------------------------- where the labels stand


@pytest.mark.outside("pypdfium2 reads the edges of the labels and the letters back from the PDF")
@pytest.mark.parametrize("paper", [paper_of(), paper_of(10, 3, LETTER, 12.7, 12.7, 4.8, 4.8, 3.2, 0.0), paper_of(7, 2, A4, 15, 9, 7, 8, 1, 2)])
def test_every_label_stands_where_the_paper_has_it(paper: LabelPaper, tmp_path: Path) -> None:
    loaded = loaded_of()
    out = tmp_path / "labels.pdf"
    write_label_pdf(loaded.version, Options(), Asked(paper, outline=True), False, out, ())
    page = pypdfium2.PdfDocument(out)[0]
    wide, tall = page.get_width() * MM, page.get_height() * MM
    assert (wide, tall) == pytest.approx((paper.paper.width_mm, paper.paper.height_mm), abs=0.1)
    # the pitch from the numbers of the paper alone: the last label ends where the margin begins
    pitch_x = (wide - paper.left - paper.right + paper.gap_across) / paper.columns
    pitch_y = (tall - paper.top - paper.bottom + paper.gap_down) / paper.rows
    expected = [(paper.left + column * pitch_x, paper.top + row * pitch_y, pitch_x - paper.gap_across, pitch_y - paper.gap_down) for row in range(paper.rows) for column in range(paper.columns)]
    found = [corners_of(thing, tall) for thing in page.get_objects() if thing.type == pypdfium2.raw.FPDF_PAGEOBJ_PATH]
    assert len(found) == paper.count
    for cell, at in zip(found, expected, strict=True):
        assert cell == pytest.approx(at, abs=0.1)
    text = page.get_textpage()
    labels = print_order(labels_of(context_of(loaded)))[:paper.count]
    for label, (x, y, w, h) in zip(labels, expected, strict=False):
        read = text.get_text_bounded(left=x / MM, right=(x + w) / MM, top=(tall - y) / MM, bottom=(tall - y - h) / MM)
        assert " ".join(read.replace("|", " ").split()) == words_of(label)
    for index in range(text.count_chars()):
        left, bottom, right, top = (value * MM for value in text.get_charbox(index))
        assert any(x + 1 <= left and right <= x + w - 1 and y + 1 <= tall - top and tall - bottom <= y + h - 1 for x, y, w, h in expected), text.get_text_range(index, 1)


def test_the_first_label_on_a_sheet_already_begun() -> None:
    context = context_of(loaded_of())
    labels = print_order(labels_of(context))
    paper = paper_of(4, 3)
    drawn = draw_label_paper(labels, paper, first=8)
    assert len(labels) == 17 and [tagged(page) for page in drawn.pages] == [5, 12]
    assert _first_text(drawn.pages[0]).x == pytest.approx(paper.place(7).x + 1.5)
    assert len(draw_label_paper(labels, paper, first=12).pages) == 3


def tagged(page: Drawing) -> int:
    return len({mark.tag for mark in page.marks if mark.tag.startswith("label:")})


def _first_text(page: Drawing) -> Text:
    return next(mark for mark in page.marks if isinstance(mark, Text))


# ---------------------------------------------------------------- what stands on them


def test_the_number_is_larger_than_the_words_and_nothing_smaller_than_the_least() -> None:
    for rows, columns in ((13, 5), (8, 3), (27, 7)):
        drawn = draw_label_paper(labels_of(context_of(loaded_of())), paper_of(rows, columns))
        by_label: dict[str, list[Text]] = {}
        for page in drawn.pages:
            for mark in page.marks:
                by_label.setdefault(mark.tag, []).append(mark)
        assert by_label
        for number, *words in by_label.values():
            assert number.weight == "bold" and number.height >= 1.8
            assert all(1.8 <= word.height < number.height and word.weight == "regular" for word in words)


def test_a_join_has_its_number_large_and_the_wire_among_the_words() -> None:
    context = context_of(loaded_of())
    page, = draw_label_paper(labels_of(context), paper_of(8, 3)).pages
    texts = {tag: [mark.text for mark in page.marks if mark.tag == tag] for tag in ("label:w2:A", "label:w1:A")}
    assert texts == {"label:w2:A": ["J10", "w2 | 0.5 mm² YE/BK | to S1"], "label:w1:A": ["w1", "1 mm² RD | to X2.1"]}


def test_joins_are_printed_first_by_number() -> None:
    order = [label.joins for label in print_order(labels_of(context_of(loaded_of())))]
    assert order[:9] == [("J9",)] * 4 + [("J10",)] * 4 + [()]


def test_both_ends_of_every_join_carry_its_number() -> None:
    """Through an interface, at a splice, at a stud, at a tap, with a piece between; an end not known yet has no label."""
    loaded = merged()
    context = context_of(loaded)
    labels = labels_of(context)
    for join in loaded.merge.joins.values():
        at = {label.at for label in labels if join.id in label.joins}
        for end in join.ends:
            if end.wire:
                assert {end.address, end.lands} <= at, (join.id, end)
            elif end.address != "unknown":
                assert end.lands in at, (join.id, end)
    numbers = {label.wire: label.joins for label in labels}
    assert numbers["host/1"] == numbers["donor/1"] == ("J1",)
    assert numbers["J6"] == numbers["host/5"] == numbers["donor/6"] == ("J6",)
    assert numbers["host/4"] == numbers["host/4-rest"] == ("J4",)
    assert numbers["donor/3"] == ("J3",)
    assert {wire for wire, joins in numbers.items() if not joins} == {"host/2", "host/3", "host/6", "host/7"}, "wires that no join cuts"
    assert [label.text for label in labels if label.wire == "J6"] == ["J6 | 1 mm² RD | to J6b", "J6 | 1 mm² RD | to J6a"]


def test_the_cut_list_and_the_list_of_labels_say_the_same() -> None:
    from harnessdoc.book.lists import cut_csv

    context = context_of(merged())
    said = {(row["wire"], row["at"]): row["label"] for row in csv.DictReader(io.StringIO(labels_csv(context)))}
    rows = list(csv.DictReader(io.StringIO(cut_csv(context))))
    assert said["host/1", "host/X1.1"].startswith("J1 | ")
    for row in rows:
        assert (row["from-label"], row["to-label"]) == (said[row["wire"], row["from"]], said[row["wire"], row["to"]])


# ---------------------------------------------------------------- what does not fit


def test_a_label_that_does_not_fit_is_told_with_both_sizes_and_prints_its_number_whole() -> None:
    loaded = loaded_of(PLAIN.replace("w1:", "sensor-ground-of-the-left-bank:"))
    labels = [label for label in labels_of(context_of(loaded)) if label.wire.startswith(("sensor", "w6"))]
    narrow = paper_of(13, 7)
    drawn = draw_label_paper(labels, narrow)
    assert [(one.label.wire, one.label.end) for one in drawn.unfit] == [("sensor-ground-of-the-left-bank", "A"), ("sensor-ground-of-the-left-bank", "B")]
    said = unfit_words(drawn.unfit[0], loaded.version)
    assert said.startswith("harness.yaml:14:35: the label of wire sensor-ground-of-the-left-bank at X1.1, 'sensor-ground-of-the-left-bank | 1 mm² RD | to X2.1', needs ")
    assert f"has {narrow.label_width - 3:.1f} x {narrow.label_height - 3:.1f} mm" in said
    wide = draw_label_paper(labels, paper_of(13, 3))
    assert not wide.unfit
    labels = labels_of(context_of(loaded_of(PLAIN.replace("X2:", "of-the-tailgate-left:").replace("X2.", "of-the-tailgate-left."))))
    drawn = draw_label_paper(labels, paper_of(13, 8))
    told = {(one.label.wire, one.label.end) for one in drawn.unfit}
    assert ("w1", "A") in told and ("w1", "B") not in told
    assert [mark.text for mark in drawn.pages[0].marks if mark.tag == "label:w1:A"] == ["w1"]


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(st.text("AWgjy1/-.", min_size=1, max_size=14), min_size=1, max_size=4), st.booleans(), st.floats(5, 120), st.floats(3, 40))
def test_what_is_set_lies_in_its_space_with_every_word(words: list[str], has_join: bool, width: float, height: float) -> None:
    label = Label("w", "A", "X1.1", ("J7",) if has_join else (), tuple(words))
    block = stacked(label, width, height)
    if block is None:
        return
    pen = Pen(200, 200)
    draw_block(pen, 0, 0, block, "label")
    boxes = [inked_box(mark) for mark in pen.drawing().marks]
    assert all(-0.05 <= left and right <= width + 0.05 and -0.05 <= top and bottom <= height + 0.05 for left, top, right, bottom in boxes)
    assert all(one[3] <= other[1] + 0.05 or other[3] <= one[1] + 0.05 or one[2] <= other[0] + 0.05 or other[2] <= one[0] + 0.05 for n, one in enumerate(boxes) for other in boxes[:n])
    assert "".join(mark.text for mark in pen.drawing().marks).replace("|", "").replace(" ", "") == "".join((*label.joins, *words))


@pytest.mark.parametrize(("paper", "first", "says", "do"), [
    (paper_of(0, 5), 1, "--rows 0: label paper has at least a row", "count the rows"),
    (paper_of(13, -1), 1, "--columns -1: label paper has at least a column", "count the columns"),
    (paper_of(13, 100), 1, "--columns 100 makes labels 0.0 mm wide; to be read at 1.8 mm letters they need 14 mm", "at most 12 columns fit"),
    (paper_of(60, 5), 1, "--rows 60 makes labels 4.6 mm high; to be read at 1.8 mm letters they need 7 mm", "at most 39 rows fit"),
    (paper_of(13, 5, top=300), 1, "margins of 300 and 10.7 mm leave 0 mm of A4, 297 mm high", "measure from the edge of the paper"),
    (paper_of(13, 5), 66, "--first 66, but the paper has 65 labels", "1 to 65"),
    (paper_of(13, 5), 0, "--first 0, but the paper has 65 labels", "1 to 65"),
])
def test_numbers_that_no_paper_has(paper: LabelPaper, first: int, says: str, do: str) -> None:
    wrong = fault(paper, first)
    assert wrong is not None and wrong[0] == says and do in wrong[1]


def test_the_way_out_is_one() -> None:
    assert fault(paper_of(13, 12), 1) is None and fault(paper_of(39, 5), 1) is None and fault(paper_of(40, 5), 1) is not None
    assert fault(paper_of(), 65) is None


# ---------------------------------------------------------------- flags


def test_flags_are_tidy_and_say_all() -> None:
    for loaded in (loaded_of(), merged()):
        context = context_of(loaded)
        labels = labels_of(context)
        drawn = draw_label_flags(context, labels)
        assert not drawn.unfit
        said = {}
        for page in drawn.pages:
            assert_tidy(page)
            for mark in page.marks:
                if isinstance(mark, Text) and mark.tag.startswith("label:"):
                    said.setdefault(mark.tag, []).append(mark.text)
        assert {tag: " ".join(" ".join(words).replace("|", " ").split()) for tag, words in said.items()} == {f"label:{label.wire}:{label.end}": words_of(label) for label in labels}


def test_each_flag_is_under_the_sleeve_that_passes_and_grips_and_the_longest_wire_is_first() -> None:
    context = context_of(loaded_of())
    groups = by_sleeve(labels_of(context), context.geometry)
    assert [group.sleeve.supplied_mm if group.sleeve else None for group in groups] == sorted(group.sleeve.supplied_mm for group in groups if group.sleeve) + [None]
    assert [label.wire for label in groups[-1].labels] == ["w3", "w3"] and "not known" in groups[-1].why
    for group in groups[:-1]:
        for label in group.labels:
            diameter = context.geometry.diameters[label.wire]
            # a supplier's rule (facts: heat shrink): 1.25 times the recovered diameter at least; room of a fifth from memory
            assert group.sleeve.supplied_mm >= 1.2 * diameter and diameter >= 1.25 * group.sleeve.recovered_mm
    one = next(group for group in groups if any(label.wire == "w1" for label in group.labels))
    assert [label.wire for label in one.labels][:4] == ["w6", "w6", "w1", "w1"]
    assert one.labels[-1].wire == "w4", "an open wire has no length"


def test_a_flag_is_as_high_as_its_sleeve_lies_flat() -> None:
    context = context_of(loaded_of())
    page, = draw_label_flags(context, labels_of(context)).pages
    flags = {mark.tag: mark for mark in page.marks if isinstance(mark, Rect) and mark.tag.startswith("flag:")}
    assert flags["flag:w1:A"].h == pytest.approx(pi * 3.2 / 2) and flags["flag:w7:A"].h == pytest.approx(pi * 6.4 / 2) and flags["flag:w3:A"].h == 6
    for mark in page.marks:
        if isinstance(mark, Text) and mark.tag.startswith("label:"):
            diameter = context.geometry.diameters[mark.tag.split(":")[1]]
            assert diameter is None or mark.height <= pi * diameter / 2
    assert max(mark.height for mark in page.marks if mark.tag == "label:w9:A") == 1.8, "the sleeve has room for 2.5 mm, the wire has not"


def test_a_flag_longer_than_the_page_prints_its_number_and_is_told() -> None:
    far = "-".join(["tailgate"] * 6)
    context = context_of(loaded_of(PLAIN.replace("X2:", f"{far}:").replace("X2.", f"{far}.").replace("w7:", "w-of-the-cooling-fan-second-stage-on-the-left-of-it:")))
    drawn = draw_label_flags(context, labels_of(context))
    assert [one.label.text for one in drawn.unfit] == [f"w-of-the-cooling-fan-second-stage-on-the-left-of-it | 6 mm² BK | to {far}.7"]
    assert_tidy(drawn.pages[0])


def test_the_list_names_join_sleeve_and_length() -> None:
    rows = {(row["wire"], row["end"]): row for row in csv.DictReader(io.StringIO(labels_csv(context_of(loaded_of()))))}
    assert (rows["w2", "A"]["join"], rows["w1", "A"]["join"]) == ("J10", "")
    assert (rows["w6", "B"]["sleeve"], rows["w6", "B"]["wire-mm"]) == ("3.2/1.6 mm, 2:1", "2000")
    assert (rows["w3", "A"]["sleeve"], rows["w3", "A"]["wire-mm"]) == ("", "")


def test_a_join_with_another_number_has_its_labels_replaced_beyond_an_interface() -> None:
    """The copper of the stub is the same, and its record: only what stands on it changes."""
    files = {"host.yaml": dedent(HOST), "donor.yaml": dedent(DONOR)}
    old, new = (load("merge.yaml", {"merge.yaml": dedent(text), **files}, solve=False) for text in (MERGE, MERGE.replace("J1:", "J9:")))
    replaced = [(label.wire, label.was.split(" | ")[0], label.now.split(" | ")[0]) for label in compare(old, new).follows.labels]
    assert replaced == [("host/1", "J1", "J9")] * 2 + [("donor/1", "J1", "J9")] * 2
