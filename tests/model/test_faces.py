"""Faces: where each cavity comes to lie, and the other view."""

from __future__ import annotations

import pytest
from described import built, clean, said
from hypothesis import given
from hypothesis import strategies as st

from harnessdoc.model.faces import expand_range, mirrored, number_of
from harnessdoc.model.harness import Face, Spot, View


def face_of(face: str, rest: str = "view: mating face") -> Face:
    face_read = clean(f"connectors:\n  X1: {{face: {face}, {rest}}}\n").connectors["X1"].face
    assert face_read is not None
    return face_read


def spots_of(face: str, rest: str = "view: mating face") -> dict[str, tuple[float, float]]:
    return {spot.cavity: (spot.x, spot.y) for spot in face_of(face, rest).spots}


def test_rows_lie_as_moulded_about_the_middle():
    assert spots_of("[[1..3], [4..6]]") == {
        "1": (-1, 0.5), "2": (0, 0.5), "3": (1, 0.5),
        "4": (-1, -0.5), "5": (0, -0.5), "6": (1, -0.5)}


def test_a_gap_takes_a_place_and_half_shifts_the_rest():
    assert spots_of("[[1, gap, 2], [half, 3, 4]]") == {"1": (-1, 0.5), "2": (1, 0.5), "3": (-0.5, -0.5), "4": (0.5, -0.5)}


def test_an_empty_row_keeps_its_place():
    assert spots_of("[[1], [], [2]]") == {"1": (0, 1), "2": (0, -1)}


def test_a_big_cavity_takes_its_width_and_height():
    face = face_of("[[{cavity: 1, wide: 2, high: 2}, 2], [gap, gap, 3]]")
    assert face.spots == (Spot("1", -0.5, 0.0, 2.0, 2.0), Spot("2", 1.0, 0.5), Spot("3", 1.0, -0.5))
    assert face_of("[[{cavity: 1, wide: 2.5}, 2]]").spots == (Spot("1", -0.5, 0.0, 2.5, 1.0), Spot("2", 1.25, 0.0))


def test_ranges_count_up_and_down_and_with_letters():
    assert list(spots_of("[[3..1], [A1..A3]]")) == ["3", "2", "1", "A1", "A2", "A3"]
    assert expand_range("14") == ("14",)
    assert (expand_range("A..D"), expand_range("c..a")) == (("A", "B", "C", "D"), ("c", "b", "a"))
    assert expand_range("A..d") is None
    assert expand_range("B09..B11") == ("B09", "B10", "B11")
    assert (expand_range("01..03"), expand_range("0..2"), expand_range("10..08")) == (("01", "02", "03"), ("0", "1", "2"), ("10", "09", "08"))
    assert [expand_range(text) for text in ("A1..B2", "1..", "..2", "1..501", "1..2..3")] == [None] * 5
    assert len(expand_range("1..500")) == 500


def test_a_ring_goes_clockwise_from_the_top():
    spots = spots_of("{ring: [1..4]}")
    assert spots == {"1": (0.0, 1.2), "2": (1.2, 0.0), "3": (0.0, -1.2), "4": (-1.2, -0.0)}


def test_a_ring_may_start_elsewhere_and_go_the_other_way():
    assert spots_of("{ring: [1..4], start: 90 deg}") == {"1": (1.2, 0.0), "2": (0.0, -1.2), "3": (-1.2, -0.0), "4": (-0.0, 1.2)}
    assert spots_of("{ring: [1..4], start: 90 deg, direction: counter-clockwise}") == {
        "1": (1.2, 0.0), "2": (0.0, 1.2), "3": (-1.2, 0.0), "4": (-0.0, -1.2)}


def test_a_ring_has_gaps_and_a_centre():
    spots = spots_of("{ring: [1, gap, 2, gap], centre: 3}")
    assert spots == {"1": (0.0, 1.2), "2": (0.0, -1.2), "3": (0.0, 0.0)}


def test_neighbours_on_a_large_ring_stand_a_pitch_apart():
    spots = list(spots_of("{ring: [1..19]}").values())
    for (x, y), (other_x, other_y) in zip(spots, [*spots[1:], spots[0]], strict=True):
        assert ((x - other_x) ** 2 + (y - other_y) ** 2) ** 0.5 == pytest.approx(1, abs=0.001)


def test_places_are_kept_in_mm():
    face = face_of("{xy: {A: [0, 0], B: [-2.5, 7]}}")
    assert (face.shape, face.unit, face.spots) == ("xy", "mm", (Spot("A", 0.0, 0.0), Spot("B", -2.5, 7.0)))


def test_no_lock_and_a_straight_entry_where_nothing_is_said():
    face = face_of("[[1]]")
    assert (face.view, face.shape, face.unit, face.lock, face.entry) == (View.MATING, "rows", "pitch", "", "")


def test_the_other_view_exchanges_left_and_right():
    face = face_of("[[1, 2], [half, 3]]", "view: wire side, lock: left, entry: bottom")
    other = mirrored(face)
    assert other.view is View.MATING
    assert (other.lock, other.entry) == ("right", "bottom")
    assert [(spot.cavity, spot.x, spot.y) for spot in other.spots] == [("1", 0.5, 0.5), ("2", -0.5, 0.5), ("3", 0.0, -0.5)]


coordinates = st.floats(-50, 50, allow_nan=False)
faces = st.builds(
    Face,
    st.lists(st.builds(Spot, st.text("ABC123", min_size=1), coordinates, coordinates, st.floats(1, 3), st.floats(1, 3)), max_size=9).map(tuple),
    st.sampled_from(View), st.sampled_from(["rows", "ring", "xy"]), st.sampled_from(["pitch", "mm"]),
    st.sampled_from(["top", "right", "bottom", "left"]), st.sampled_from(["", "top", "right", "bottom", "left"]))


@given(faces)
def test_mirrored_twice_is_the_face_itself(face):
    assert mirrored(mirrored(face)) == face
    assert mirrored(face) != face


@given(st.text(max_size=8))
def test_what_is_no_plain_number_is_none(text):
    number = number_of(text)
    assert number is None or float(text) == number


@pytest.mark.parametrize("text", ["1e5", "nan", "inf", "0x1", " 1", "1_0", "+1", "1.", ".5", "", "1234567"])
def test_numbers_of_python_are_no_numbers_of_a_description(text):
    assert number_of(text) is None


def test_a_face_with_a_fault_leaves_the_rest_of_it_whole():
    harness, findings = built("connectors:\n  X1: {face: [[1..2, A1..B2, 3]], view: mating face}\n")
    assert said(findings) == ["2:22: bad-range: 'A1..B2' in the face of connector X1 is no range of cavities"]
    assert harness.connectors["X1"].cavities == ("1", "2", "3")
