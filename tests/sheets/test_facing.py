"""Running text on facing pages: no sentence goes on beyond the fold."""

from __future__ import annotations

from harnessdoc.drawing.page import BOOKLET_PAPERS, PAPERS, SPREAD_OF
from harnessdoc.sheets.facing import line_width, rows_of, set_lines

SPREAD, SINGLE = BOOKLET_PAPERS[SPREAD_OF + "a4"], PAPERS["a4"]
WIDTH, HEIGHT = 200.0, 2.5
SENTENCES = ("Dot: joined; lines that cross without a dot are not.", "At a wire: number, mm² or AWG, colour.", "Broken edge: part of the thing is shown.", "Switches and relays stand at rest, key off.")


def columns(lines: list[str]) -> tuple[str, str]:
    rows = rows_of(SPREAD, lines)
    return " ".join(filter(None, lines[:rows])), " ".join(filter(None, lines[rows:]))


def test_each_column_has_whole_sentences_and_nothing_is_lost() -> None:
    for count in range(2, len(SENTENCES) + 1):
        left, right = columns(set_lines(SPREAD, [" ".join(SENTENCES[:count])], WIDTH, HEIGHT))
        assert f"{left} {right}" == " ".join(SENTENCES[:count])
        assert any(left == " ".join(SENTENCES[:part]) for part in range(1, count + 1))


def test_a_sentence_longer_than_a_column_goes_over_both() -> None:
    endless = "word " * 300 + "end."
    lines = set_lines(SPREAD, [endless], WIDTH, HEIGHT)
    assert " ".join(filter(None, lines)) == endless and all(lines)


def test_a_single_page_has_its_lines_one_under_another() -> None:
    lines = set_lines(SINGLE, SENTENCES, WIDTH, HEIGHT)
    assert lines == list(SENTENCES) and line_width(SINGLE, WIDTH) == WIDTH
