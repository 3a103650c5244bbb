"""The sheet of changes."""

from __future__ import annotations

import pytest
from revision.two_versions import BENCH, edited
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import since_context

from harnessdoc.drawing.record import Drawing, Link
from harnessdoc.sheets.changes import draw_changes
from harnessdoc.sheets.context import SheetKind, SheetRef

LOGS = "    log: [{revision: A, date: 2026-01-02, by: bench, why: first}]\n    wires:\n"
NEW = edited(
    BENCH, ("w1: {from: X1.1, to: X2.1, size: 1 mm2, colour: RD}", "w1: {from: X1.5, to: X2.1, size: 1.5 mm2, colour: RD}"), ("X1.1: {function: lamp}", "X1.5: {function: lamp}"),
    ("w4: {from: SP1, ", "w4: {from: X1.7, "), ("w6: {from: X2.8, to: G1, ", "w6: {from: X2.8, to: SP1, "), ("      w7: {from: F1.2, to: X2.5, size: 1 mm2, colour: BN}\n", ""), ("terminal: pin 1.5", "terminal: pin 1.0"),
    ("length: 500 mm, covering: tape", "length: 600 mm, covering: tape"), ("title: lamp plug,", "title: rear lamp plug,"), ("    wires:\n", LOGS),
)


def pages_of(new: str = NEW, **options: str) -> tuple[Drawing, ...]:
    context = since_context(BENCH, new, **options)
    return draw_changes(context, SheetRef(4, "changes", SheetKind.CHANGES, "Bench"))


def test_a_change_stands_with_what_was_what_is_and_its_sheet() -> None:
    page = pages_of()[0]
    assert row_of(page, "wire w1") == ["wire w1", "moved", "X1.1", "X1.5 (lamp)"]
    assert row_of(page, "resized") == ["resized", "1 mm²", "1.5 mm²"]
    assert row_of(page, "wire w4") == ["wire w4", "unspliced", "splice SP1", "X1.7", "7"]
    assert row_of(page, "connector X1, 8 cavities (1..8)") == ["connector X1, 8 cavities (1..8)", "part changed: terminal", "pin 1.5", "pin 1.0", "7"]
    assert row_of(page, "connector X2") == ["connector X2", "text only: title", "lamp plug", "rear lamp plug", "8"]
    assert row_of(page, "wire w7") == ["wire w7", "removed", "F1.2 to X2.5, 1 mm² BN"]


def test_both_versions_are_named() -> None:
    assert "Was: harness.yaml. Now: revision A of 2026-01-02." in texts(pages_of()[0])


def test_sheets_are_links() -> None:
    links = {mark.target for page in pages_of() for mark in page.marks if isinstance(mark, Link)}
    assert {"pinout-X1", "pinout-X2", "cover"} <= links


def test_what_follows_is_told() -> None:
    found = [text for page in pages_of() for text in texts(page)]
    assert found.index("Copper") < found.index("Finished lengths") < found.index("Labels to replace")
    assert {"joined", "parted", "X2: 3", "+440 mm"} <= set(found)
    assert row_of(pages_of()[-1], "w4 | 1 mm² GN | to SP1")[-1] == "w4 | 1 mm² GN | to X1.7"


def test_findings_new_and_gone_are_told() -> None:
    found = [text for page in pages_of(edited(BENCH, ("to: X2.1, size: 1 mm2", "to: X2.1, size: unknown"))) for text in texts(page)]
    assert "Findings that are new" in found and "wire w1: size not known yet" in found and "Findings that are gone" not in found


def test_nothing_changed_is_said() -> None:
    page, = pages_of(BENCH)
    assert "Nothing has changed." in texts(page)


def test_without_a_version_before_there_is_no_such_sheet() -> None:
    context = context_of(BENCH)
    with pytest.raises(ValueError, match="changes are between two versions"):
        draw_changes(context, ref_of(context, SheetKind.COVER))


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_pages_are_tidy(paper: str) -> None:
    for page in pages_of(paper=paper):
        assert_tidy(page)
