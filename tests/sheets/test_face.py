"""Faces: every cavity at its place in the view named below, wired and empty told apart without colour."""

from __future__ import annotations

import pytest
from sheets.checks import assert_tidy, texts
from sheets.contexts import context_of, ref_of
from harnessdoc.drawing.pen import Pen
from harnessdoc.drawing.record import THIN, WIDE, Area, Circle, Drawing, Polyline, Rect, Text
from harnessdoc.model.harness import Face, View
from harnessdoc.sheets.context import SheetKind
from harnessdoc.sheets.face import BEHIND_WORDS, CLOSE_FRAME, NUMBER_LEAST, VIEW_WORDS, draw_face, face_in_view, face_size, fitting_pitch, least_pitch
from harnessdoc.sheets.pinout import draw_pinout


def _face(written: str, view: str = "mating face", more: str = "") -> Face:
    context = context_of(f"""
        connectors:
          X1: {{face: {written}, view: {view}{more}}}
    """)
    return context.harness.connectors["X1"].face


def _drawn(face: Face, view: View, wired=frozenset(), pitch: float = 7.0) -> Drawing:
    pen = Pen(200, 100)
    draw_face(pen, Area(10, 10, 180, 80), face_in_view(face, view), pitch, wired)
    return pen.drawing()


def _rows(drawing: Drawing) -> list[list[str]]:
    """The numbers of the cavities as they stand: rows from the top, each from the left."""
    numbers = [mark for mark in drawing.marks if isinstance(mark, Text) and mark.tag.startswith("cavity:")]
    return [[mark.text for mark in sorted(numbers, key=lambda mark: mark.x) if mark.y == y] for y in sorted({mark.y for mark in numbers})]


def test_both_views_mirror_each_other() -> None:
    face = _face("[[1..3], [4, gap, 5]]")
    assert _rows(_drawn(face, View.MATING)) == [["1", "2", "3"], ["4", "5"]]
    assert _rows(_drawn(face, View.WIRE)) == [["3", "2", "1"], ["5", "4"]]


@pytest.mark.parametrize("written", ["mating face", "wire side"])
def test_the_view_stands_below_in_words(written: str) -> None:
    face = _face("[[1, 2]]", written)
    for view in View:
        drawing = _drawn(face, view)
        words = next(mark for mark in drawing.marks if isinstance(mark, Text) and mark.text == VIEW_WORDS[view])
        assert words.y > max(mark.y for mark in drawing.marks if isinstance(mark, Text) and mark.tag.startswith("cavity:"))
        assert BEHIND_WORDS[view] in texts(drawing)
        assert VIEW_WORDS[view.other] not in texts(drawing)


def test_wired_and_empty_differ_in_line_not_in_colour() -> None:
    frames = {mark.tag: mark for mark in _drawn(_face("[[1, 2]]"), View.MATING, {"1"}).marks if isinstance(mark, Rect)}
    assert (frames["cavity:1"].width, frames["cavity:1"].dash) == (WIDE, ())
    assert (frames["cavity:2"].width, bool(frames["cavity:2"].dash)) == (THIN, True)


def test_a_close_face_has_finer_frames() -> None:
    for written in ("[[1, 2]]", "{ring: [1..4]}"):
        drawn = _drawn(_face(written), View.MATING, {"1"}, pitch=5.0)
        frame = next(mark for mark in drawn.marks if isinstance(mark, (Rect, Circle)) and mark.tag == "cavity:1")
        assert frame.width == CLOSE_FRAME < WIDE


def test_a_ring_stands_in_a_circle() -> None:
    drawing = _drawn(_face("{ring: [1..8], start: 0 deg, direction: clockwise, centre: 9}"), View.MATING, {"1"})
    circles = {mark.tag: mark for mark in drawing.marks if isinstance(mark, Circle)}
    assert set(circles) == {"face", "cavity:1"}
    at = {mark.text: (mark.x, mark.y) for mark in drawing.marks if isinstance(mark, Text)}
    assert at["1"][0] == pytest.approx(circles["face"].cx) == pytest.approx(at["9"][0]) == pytest.approx(at["5"][0])
    assert at["1"][1] < at["9"][1] < at["5"][1]
    assert at["3"][0] > at["9"][0] > at["7"][0]
    assert sum(isinstance(mark, Polyline) and mark.tag.startswith("cavity:") for mark in drawing.marks) == 8
    other = {mark.text: mark.x for mark in _drawn(_face("{ring: [1..8], start: 0 deg, direction: clockwise}"), View.WIRE).marks if isinstance(mark, Text)}
    assert other["3"] < other["1"] < other["7"]


def test_places_in_mm_keep_their_proportions() -> None:
    drawing = _drawn(_face("{xy: {A: [0, 0], B: [4, 0], C: [12, -8]}}"), View.MATING, pitch=6.0)
    at = {mark.text: (mark.x, mark.y) for mark in drawing.marks if isinstance(mark, Text) and mark.tag.startswith("cavity:")}
    assert at["B"][0] - at["A"][0] == pytest.approx(6.0)
    assert (at["C"][0] - at["A"][0], at["C"][1] - at["A"][1]) == pytest.approx((18.0, 12.0))


def test_big_cavities_have_big_frames() -> None:
    frames = {mark.tag: mark for mark in _drawn(_face("[[{cavity: 1, wide: 2, high: 2}, 2, 3], [gap, gap, 4, 5]]"), View.MATING).marks if isinstance(mark, Rect)}
    assert frames["cavity:1"].w == pytest.approx(frames["cavity:2"].w + 7.0)
    assert frames["cavity:1"].y == pytest.approx(frames["cavity:2"].y)


@pytest.mark.parametrize(("side", "mirrored"), [("top", "top"), ("bottom", "bottom"), ("left", "right"), ("right", "left")])
def test_the_lock_is_on_its_side_in_either_view(side: str, mirrored: str) -> None:
    face = _face("[[1..4], [5..8]]", more=f", lock: {side}")
    for view, wanted in ((View.MATING, side), (View.WIRE, mirrored)):
        marks = _drawn(face, view).marks
        tab = next(mark for mark in marks if isinstance(mark, Rect) and mark.tag == "face")
        cavities = [mark for mark in marks if isinstance(mark, Rect) and mark.tag.startswith("cavity:")]
        left, right = min(mark.x for mark in cavities), max(mark.x + mark.w for mark in cavities)
        top, bottom = min(mark.y for mark in cavities), max(mark.y + mark.h for mark in cavities)
        where = "left" if tab.x + tab.w < left else "right" if tab.x > right else "top" if tab.y + tab.h < top else "bottom" if tab.y > bottom else "inside"
        assert where == wanted


@pytest.mark.parametrize("entry", ["top", "right", "bottom", "left"])
@pytest.mark.parametrize("lock", ["top", "right", "bottom", "left"])
def test_the_arrow_of_the_wires_stays_clear_of_the_lock(entry: str, lock: str) -> None:
    for written in ("[[1]]", "[[1..12], [13..24]]", "{ring: [1..5]}"):
        face = _face(written, more=f", lock: {lock}, entry: {entry}")
        for view in View:
            pen = Pen(200, 100)
            pen.rect(0, 0, 200, 100, tag="frame")
            seen = face_in_view(face, view)
            pitch = max(least_pitch(seen), 5.0)
            wide, high = face_size(seen, pitch)
            draw_face(pen, Area(20, 20, wide, high), seen, pitch, {"1"})
            drawing = pen.drawing()
            assert_tidy(drawing)
            assert "wires" in texts(drawing)
            assert BEHIND_WORDS[view] not in texts(drawing)


def test_a_face_fits_the_room_it_asked_for() -> None:
    for written in ("[[1..30], [31..60]]", "[[1, 2]]", "{ring: [1..8]}", "[[1],[2],[3],[4],[5],[6]]"):
        face = face_in_view(_face(written, more=", lock: left, entry: bottom"), View.MATING)
        pitch = fitting_pitch(face, 120.0, 70.0)
        wide, high = face_size(face, pitch)
        assert wide <= 120.001
        assert high <= 70.001


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
@pytest.mark.parametrize("written", ["[[1..30], [31..60]]", "[[1..20], [half, 21..40], [41..60]]", "{ring: [1..23]}"])
def test_numbers_are_legible_on_every_paper(paper: str, written: str) -> None:
    context = context_of(f"""
        connectors:
          X1: {{face: {written}, view: wire side}}
    """, paper=paper)
    drawing = draw_pinout(context, ref_of(context, SheetKind.PINOUT))[0]
    numbers = [mark for mark in drawing.marks if isinstance(mark, Text) and mark.tag.startswith("cavity:")]
    assert len({mark.text for mark in numbers}) == len(context.harness.connectors["X1"].cavities)
    assert min(mark.height for mark in numbers) >= NUMBER_LEAST
    assert not any("…" in mark.text for mark in numbers)
    assert_tidy(drawing)
