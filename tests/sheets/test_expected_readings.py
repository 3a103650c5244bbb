"""Expected readings on the pinout sheets and the check sheet: what is printed is what the circuit gives."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from judgement.benches import VEHICLE
from sheets.checks import assert_tidy, row_of, texts
from sheets.contexts import context_of, ref_of
from sheets.marked_contexts import all_of, edited, since_context
from sheets.pinout_rows import table_rows
from sheets.revision_reader import clouds, struck, triangles

from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.network.continuity import check_list
from harnessdoc.judgement.bench import steps
from harnessdoc.operation.columns import columns
from harnessdoc.operation.ohms import path_ohms
from harnessdoc.operation.words import ohms_shown, volts_shown
from harnessdoc.sheets.check import draw_check
from harnessdoc.sheets.context import Context, SheetKind, SheetRef
from harnessdoc.sheets.pinout import UNPROBED, draw_pinout

LINNET = Path(__file__).parents[2] / "examples" / "linnet" / "linnet.yaml"


def pages(context: Context, *subjects: str) -> tuple[Drawing, ...]:
    return draw_pinout(context, SheetRef(context.sheet_of[subjects[0]].number, "pinout", SheetKind.PINOUT, " and ".join(subjects), subjects))


def check_pages(context: Context) -> tuple[Drawing, ...]:
    return draw_check(context, ref_of(context, SheetKind.CHECK))


def under_heads(drawings: tuple[Drawing, ...], *heads: str) -> dict[str, list[list[str]]]:
    """Cavity (bold, under its head) -> what stands under each of ``heads`` from its line down to the next cavity."""
    found: dict[str, list[list[str]]] = {}
    for drawing in drawings:
        marks = sorted((mark for mark in drawing.marks if isinstance(mark, Text)), key=lambda mark: mark.y)
        tops = [mark.y for mark in marks if mark.text == "Cavity"]
        for top, bottom in zip(tops, [*tops[1:], 1e9], strict=False):
            level = [mark for mark in marks if mark.weight == "bold" and mark.height < 2 and abs(mark.y - top) < 4]
            places = {" ".join(mark.text for mark in level if abs(mark.x - x) < 0.05): x for x in {round(mark.x, 2) for mark in level}}
            if not {"Cavity", *heads} <= set(places):
                continue
            below = [mark for mark in marks if top < mark.y < bottom and mark.height > 2]
            cavities = [mark for mark in below if mark.weight == "bold" and abs(mark.x - places["Cavity"]) < 0.05]
            for here, there in zip(cavities, [*cavities[1:], None], strict=False):
                end = there.y if there else here.y + 9
                found[here.text] = [[mark.text for mark in below if abs(mark.x - places[head]) < 0.05 and here.y - 0.1 < mark.y < end - 0.1 and mark.weight == "regular"] for head in heads]
    return found


def test_each_cavity_has_the_volts_of_each_state() -> None:
    context = context_of(VEHICLE)
    operation = context.operation
    printed = under_heads(pages(context, "X1"), "Volts off", "Volts run", "Volts start", "Volts running")
    assert set(printed) == {str(number) for number in range(1, 12)}
    for cavity in ("1", "2", "3", "4", "5", "6", "8", "9"):
        address = f"X1.{cavity}"
        assert [cell for cell, in printed[cavity]] == [volts_shown(operation.read(solved, [address])[address]) for _, solved in columns(operation)], address
    assert printed["7"] == [["pulsed"]] * 4             # an injector that pulses is not solved
    assert printed["10"] == [[]] * 4                    # nothing is joined to it
    assert printed["1"] == [["0.00"], printed["1"][1], printed["1"][2], printed["1"][3]] and float(printed["1"][1][0]) > 12


def test_without_a_circuit_nothing_is_added() -> None:
    context = replace(context_of(VEHICLE), operation=None)
    said = [text for page in (*pages(context, "X1"), *check_pages(context)) for text in texts(page)]
    assert not [text for text in said if "Volts" in text or "typical" in text or "ohm" in text.lower()]
    assert "rings" in said


def test_the_remark_says_what_the_volts_rest_on() -> None:
    said = " ".join(texts(pages(context_of(VEHICLE), "X1")[-1]))
    for words in ("against battery minus", "10 Mohm", "start: key start, engine cranking", "pulsed: not solved", "typical values of wires, fuses, relays, devices, terminals"):
        assert words in said


def test_an_airbag_has_no_reading() -> None:
    text = VEHICLE.replace("B1: {title: airbag module, terminals: [a, b]}", "B1: {title: airbag module, connectors: [X9]}").replace("B1.a", "X9.1").replace("B1.b", "X9.1x").replace("      X9.1x: {function: squib, signal: airbag}\n", "").replace("      32: {from: X1.11, to: X9.1x, size: 0.5 mm2, length: 1 m, colour: YE}\n", "")
    text = text.replace("    fuses:\n", "      X9.2: {function: other}\n    fuses:\n", 1).replace("      X3: {face", "      X9: {face: [[1, 2]], view: wire side}\n      X3: {face", 1)
    text = text.replace("      31:", "      40: {from: X9.2, to: X2.3, size: 1 mm2, length: 1 m, colour: BK}\n      31:")
    context = context_of(text)
    for paper in ("a4", "a5"):
        sheet = pages(replace(context, options=replace(context.options, paper=paper)), "X9")
        printed = under_heads(sheet, "Volts off", "Volts run", "Volts start", "Volts running")
        assert printed["1"] == [[]] * 4 and printed["2"] == [["float"]] * 4
        assert UNPROBED in all_of(sheet, texts)
    said = all_of(check_pages(context), texts)
    assert not [one for one in said if one.startswith(("X9.1", "F4.2", "F4 "))]


def test_halves_share_two_columns_of_two_states_and_narrow_paper_has_a_table_of_volts() -> None:
    for paper in ("a4", "a5"):
        context = context_of(LINNET.read_text(encoding="utf-8"), paper=paper)
        solved = dict(columns(context.operation))
        read = {head: volts_shown(context.operation.read(state, ["X30.1"])["X30.1"]) for head, state in solved.items()}
        sheet = pages(context, "X30", "X31")
        if paper == "a4":
            assert under_heads(sheet, "Volts off, run", "Volts start, running")["1"] == [[read["off"], read["run"]], [read["start"], read["running"]]]
        else:
            assert under_heads(sheet, "Volts off", "Volts run", "Volts start", "Volts running")["1"] == [[read[head]] for head in ("off", "run", "start", "running")]
            assert len({mark.tag for page in sheet for mark in page.marks if mark.tag.startswith("volts:")}) == 2


# -------------------------------------------------------------------------- check sheet

def test_paths_have_their_ohms() -> None:
    context = context_of(VEHICLE)
    ohms = path_ohms(context.operation, check_list(context.harness).paths)
    page = check_pages(context)[0]
    for ends, through in ((("X1.5", "X2.1"), "17, S3, 19"), (("F1.1", "M1.30"), "2, G1.+, 1")):
        assert row_of(page, through)[-1] == ohms_shown(ohms[ends])
    assert row_of(page, "X3.3 → 9")[-1] == "rings"           # neither size nor length of wire 31 is known


def test_every_measurement_is_printed_with_room_for_value_and_initials() -> None:
    context = context_of(VEHICLE)
    sheet = check_pages(context)
    said = all_of(sheet, texts)
    made = steps(context.operation, context.network)
    without = check_pages(replace(context, operation=None))
    boxes, before = (sum(isinstance(mark, Rect) and mark.tag == "value" for page in one for mark in page.marks) for one in (sheet, without))
    assert boxes - before == sum(len(step.points) for step in made)
    for step in made:
        assert step.title in said
        rows = [row for page in sheet for row in rows_below(page, step.title)]
        assert [row[-1] for row in rows] == [point.expect for point in step.points], step.title


def rows_below(page: Drawing, title: str) -> list[list[str]]:
    """The rows of the table of a step on a page: those whose first text is a number."""
    rows: dict[float, list[Text]] = {}
    for mark in page.marks:
        if isinstance(mark, Text) and mark.tag == f"step:{title}" and mark.height == 2.5 and mark.weight == "regular":
            rows.setdefault(round(mark.y, 1), []).append(mark)
    lines = ([mark.text for mark in sorted(row, key=lambda mark: mark.start()[0])] for row in rows.values())
    return [line for line in lines if line[0].isdigit()]


def test_typical_values_and_states_are_told() -> None:
    context = context_of(VEHICLE)
    said = " ".join(all_of(check_pages(context), texts))
    for words in ("battery G1 12.6 V behind 10 mohm", "alternator A1 14.2 V", "Typical values stand for what is not stated of: wire 31, F1, F2, F3, K1, A1, terminals", "Not solved: injection, which pulse", f"Solved in {len(context.operation.solved)} states"):
        assert words in said, words


@pytest.mark.parametrize("paper", ["a4", "letter", "a5"])
def test_the_check_sheet_of_the_linnet_is_tidy(paper: str) -> None:
    for page in check_pages(context_of(LINNET.read_text(encoding="utf-8"), paper=paper)):
        assert_tidy(page)


# --------------------------------------------------------------------------------- marks

def test_a_reading_that_moved_little_has_no_cloud_and_one_that_moved_has() -> None:
    for paper in ("a4", "a5"):
        little = since_context(VEHICLE, edited(VEHICLE, ("emf: 12.6 V", "emf: 12.7 V")), paper=paper)
        was, now = (context.operation.read(context.operation.solved["run, stopped"], ["X1.1"])["X1.1"] for context in (little.since.before, little))
        assert volts_shown(was) != volts_shown(now)
        for page in pages(little, "X1"):
            assert not clouds(page) and not struck(page) and not triangles(page)
        assert volts_shown(now) in all_of(pages(little, "X1"), texts)
    much = since_context(VEHICLE, edited(VEHICLE, ("emf: 12.6 V", "emf: 11 V")))
    was, now = (context.operation.read(context.operation.solved["off, stopped"], ["X1.2"])["X1.2"] for context in (much.since.before, much))
    sheet = pages(much, "X1")
    assert volts_shown(was) in all_of(sheet, struck) and volts_shown(now) in all_of(sheet, texts)
    assert [mark for page in sheet for mark in clouds(page)]


def test_columns_that_only_one_version_has_cloud_no_row() -> None:
    before = replace(context_of(VEHICLE), operation=None)
    context = since_context(VEHICLE, VEHICLE)
    context = replace(context, since=replace(context.since, before=before))
    sheet = pages(context, "X1")
    assert not [mark for page in sheet for mark in clouds(page)]
    assert [mark for page in sheet for mark in triangles(page)], "the remark is new"
    rows = {row[0][0]: row for row in table_rows(sheet, "Cavity")}
    assert "float" in [text for line in rows["5"] for text in line]
