"""The sheets of a merge, read back from their marks and held against the files as PyYAML reads them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import replace

import pytest
import yaml
from sheets.checks import assert_tidy, texts
from sheets.merged import DONOR, FILES, HOST, MERGE, merge_context, merged
from sheets.read_tables import Row, table_with

from harnessdoc.book.draw import draw_sheet, make_context
from harnessdoc.book.exchange import draw_exchange_book
from harnessdoc.book.merge_lists import MERGE_LISTS, fates_csv, joins_csv, lists_of
from harnessdoc.drawing.record import Drawing, Rect, Text
from harnessdoc.geometry.bundles import bundle_diameter_mm
from harnessdoc.geometry.labels import label_list
from harnessdoc.revision.compare import compare
from harnessdoc.sheets.context import Context, Options, SheetKind, Since
from harnessdoc.sheets.wire_lines import UNKNOWN_END
from harnessdoc.steps import load
from harnessdoc.trade.colours import parse_colour, print_colour

KINDS = (SheetKind.JOINS, SheetKind.INTERFACES, SheetKind.FATES, SheetKind.CLOSURE)
RAW = {"host": yaml.load(HOST, yaml.BaseLoader), "donor": yaml.load(DONOR, yaml.BaseLoader)}
RAW_MERGE = yaml.load(MERGE, yaml.BaseLoader)
CONVENTION = {"host": "DIN 47002", "donor": "Japanese trade"}
LARGE_MM = 5.0
papers = pytest.mark.parametrize("paper", ["a4", "letter", "a5"])


@pytest.fixture(scope="module")
def context() -> Context:
    return merge_context()


def pages_of(context: Context, name: str) -> tuple[Drawing, ...]:
    """The pages of the sheet of this name."""
    return draw_sheet(context, next(ref for ref in context.sheets if ref.name == name)).pages


def all_texts(pages: Iterable[Drawing]) -> list[str]:
    return [text for page in pages for text in texts(page)]


def unbroken(text: str) -> str:
    """A text without the blanks where its lines break."""
    return text.replace(" ", "")


def wire_at(address: str) -> tuple[str, dict[str, str]]:
    """The one wire of a source that ends at an address, by its id in the merge, as the file has it; ("", {}) for a splice or ground, which is joined itself."""
    source, _, own = address.partition("/")
    if own in RAW[source].get("splices", {}) or own in RAW[source].get("grounds", {}):
        return "", {}
    (found,) = [(f"{source}/{id}", wire) for id, wire in RAW[source]["wires"].items() if own in (wire["from"], wire["to"])]
    return found


# -------------------------------------------------------------------------------- joins

def rows_by_number(context: Context) -> dict[str, Row]:
    """Join -> its row; the number is the text that is large."""
    rows = {}
    for row in table_with(pages_of(context, "joins"), "Join", "Label at the join"):
        if row.band:
            continue
        (number,) = [mark.text for mark in row.cells["Join"].marks if mark.height == LARGE_MM]
        assert number not in rows
        rows[number] = row
    return rows


def part_of(row: Row, head: str, number: int) -> str:
    """What stands in a column beside the end of a number, above the next end."""
    starts = [mark.y for mark in row.cells["End"].marks] + [float("inf")]
    marks = [mark for mark in row.cells[head].marks if starts[number] - 0.1 < mark.y < starts[number + 1] - 0.1]
    return " ".join(mark.text for mark in marks)


def test_every_join_stands_by_number_with_both_ends(context: Context) -> None:
    rows = rows_by_number(context)
    assert list(rows) == ["J1", "J2", "J3", "J4", "J6", "J7", "J8", "J9", "J10"]
    assert set(rows) == set(RAW_MERGE["joins"])
    for id, join in RAW_MERGE["joins"].items():
        row = rows[id]
        assert row["End"].split() == list("AB")
        assert join["method"] in row["How it is made"]
        for number, address in enumerate(join["ends"]):
            if address == "unknown":
                assert part_of(row, "Stays at", number) == "not found yet"
                continue
            wire, written = wire_at(address)
            source = address.partition("/")[0]
            assert part_of(row, "Stays at", number).split()[0] == address
            if not wire:
                assert part_of(row, "Size", number) == part_of(row, "Colour", number) == part_of(row, "Label at the join", number) == ""
                continue
            assert part_of(row, "Wire, circuit", number) == f"{wire} {source}/{written['circuit']}"
            assert part_of(row, "Size", number) == written["size"].replace("mm2", "mm²")
            assert part_of(row, "In the source", number) == written["colour"]
            assert part_of(row, "Colour", number) == print_colour(parse_colour(written["colour"], CONVENTION[source]), "IEC 60757")
            assert unbroken(part_of(row, "Label at the join", number)) == unbroken(f"{id} | {wire} | {written['size']} {part_of(row, 'Colour', number)} | to {address}".replace("mm2", "mm²"))


def test_an_end_has_its_function_and_title_as_described(context: Context) -> None:
    rows = rows_by_number(context)
    assert unbroken(part_of(rows["J1"], "Stays at", 0)).endswith("chargelampplugchargelamp61,charge-lamp")
    assert part_of(rows["J8"], "Stays at", 1).endswith("control unit plug fan relay, output-low")


def test_stubs_are_measured_or_worked_out_and_say_where_they_do_not_reach(context: Context) -> None:
    rows = rows_by_number(context)
    assert part_of(rows["J1"], "Stub", 1).startswith("1500 mm measured")
    # to X7 over M2 (500 mm) and 40 mm of M1, with 40 mm for the end and 20 mm for the splice as docs/language.md has them
    assert part_of(rows["J1"], "Stub", 0) == "600 mm worked out"
    assert part_of(rows["J6"], "Stub", 0) == part_of(rows["J6"], "Stub", 1) == "not cut: a tap"
    short = [mark.text for mark in rows["J4"].cells["Stub"].marks if mark.weight == "bold"]
    message = next(finding.message for finding in context.findings if finding.code == "stub-too-short")
    assert short == ["short by 800 mm"] and message.endswith("short by 800 mm")


def test_how_a_join_is_made(context: Context) -> None:
    made = {id: row["How it is made"] for id, row in rows_by_number(context).items()}
    assert "40 mm from bulkhead toward engine bay" in made["J1"] and "strip 8 mm, overlap 12 mm" in made["J1"]
    assert "J1: sleeve over the old crimp" in {row.band for row in table_with(pages_of(context, "joins"), "Join", "Label at the join")}
    assert "host/SP9 at dashboard" in made["J2"]
    assert "J3a 40 mm from bulkhead" in made["J3"] and "J3b 80 mm from bulkhead" in made["J3"] and "pieceJ3:0.5mm²BU/GN,140mm" in unbroken(made["J3"])
    interfaces = next(ref for ref in context.sheets if ref.kind is SheetKind.INTERFACES)
    assert unbroken(f"through I1, low-side output to case-grounded load → {interfaces.number}") in unbroken(made["J8"])
    assert "120 mm from dashboard toward bulkhead" in made["J6"]


def test_a_piece_without_a_length_says_what_is_to_be_measured() -> None:
    context = merge_context({**FILES, "merge.yaml": MERGE.replace("  J3: bulkhead\n", "")})
    assert "pieceJ3:0.5mm²BU/GNlengthnotknown:noplaceisgivenforJ3a,J3b" in unbroken(rows_by_number(context)["J3"]["How it is made"])


@papers
def test_a_place_is_never_cut(paper: str) -> None:
    titles = "  bulkhead: {title: the bulkhead between the engine and the cabin}\n  engine bay: {title: engine bay behind the seats}\n"
    context = merge_context({**FILES, "merge.yaml": MERGE.replace("places:\n", f"places:\n{titles}")}, paper=paper)
    pages = pages_of(context, "joins")
    (row,) = [row for row in table_with(pages, "Join", "How it is made") if row.cells and row.cells["Join"].marks[0].text == "J1"]
    assert "40 mm from bulkhead toward engine bay →" in row["How it is made"] and not any("…" in text for text in all_texts(pages))


def test_unknown_ends_are_empty_boxes_and_counted(context: Context) -> None:
    pages = pages_of(context, "joins")
    assert "9 joins, 1 of them with an end that is not found yet: J10. 1 without a place: J10." in all_texts(pages)
    boxes = [mark for page in pages for mark in page.marks if isinstance(mark, Rect) and mark.tag == UNKNOWN_END]
    assert len(boxes) == 2      # by number, and by place
    assert rows_by_number(context)["J10"].cells["Stays at"].boxes == 1


def test_each_join_has_a_box_to_tick_and_a_swatch_an_end(context: Context) -> None:
    rows = rows_by_number(context)
    assert all(row.cells["Done"].boxes == 1 for row in rows.values())
    assert {id: row.cells[""].boxes for id, row in rows.items()} == {id: 1 if id in ("J2", "J4") else 2 for id in rows}


def test_the_labels_are_those_of_the_label_list(context: Context) -> None:
    printed = {unbroken(part_of(row, "Label at the join", number)) for row in rows_by_number(context).values() for number in (0, 1)} - {""}
    listed = {unbroken(label.text) for label in label_list(context.harness, context.convention, context.join_numbers)}
    assert len(printed) == 15 and printed <= listed


def test_every_join_stands_once_more_by_place_along_the_bundle(context: Context) -> None:
    place, order = "", []
    for row in table_with(pages_of(context, "joins"), "Where", "Method"):
        place = row.band.removesuffix(" (continued)") or place
        if not row.band:
            order.append((place, row["Join"]))
    assert {join for _, join in order} == set(RAW_MERGE["joins"])
    by_place: dict[str, list[str]] = {}
    for place, join in order:
        by_place.setdefault(place, []).append(join)
    # M1 begins at the engine bay: what is 80 mm before the bulkhead comes before what is 40 mm before it; M2 begins at the bulkhead
    assert by_place["Segment M1, engine bay to bulkhead"] == ["J3", "J1"]
    assert by_place["Segment M2, bulkhead to dashboard"] == ["J3", "J6", "J7"]
    assert by_place["At battery tray"] == ["J4"] and by_place["Place not given"] == ["J10"]
    assert list(by_place)[-1] == "Place not given"


def takes(context: Context) -> list[str]:
    return [row.band for row in table_with(pages_of(context, "joins"), "Join", "Label at the join") if " takes the last " in row.band]


def test_below_a_join_stands_what_its_cut_takes_from_copper_that_stays(context: Context) -> None:
    """Each of these wires is alone at both its ends, as the files have it; host/A0, at the far end of what J1 cuts, leaves."""
    assert takes(context) == ["J4 takes the last ground (donor/E1.3) from donor/X30.5; no join leads there", "J8 takes the last source (donor/E1.2) from donor/X30.3; no join leads there",
                              "J9 takes the last source (donor/E1.7) from donor/X30.9; no join leads there"]
    again = merge_context({**FILES, "merge.yaml": MERGE.replace("  J8: {ends", "  J11: {ends: [host/SP9, donor/X30.9], method: solder}\n  J8: {ends")})
    assert takes(again)[-1] == "J9 takes the last source (donor/E1.7) from donor/X30.9; on J2 and J11 now"


def test_a_merge_without_joins_says_so() -> None:
    text = MERGE[:MERGE.index("joins:")].replace("  J1: bulkhead\n  J3: bulkhead\n  I1: bulkhead\n", "")
    files = {**FILES, "merge.yaml": text}
    pages = pages_of(merge_context(files), "joins")
    assert "No join is written yet." in all_texts(pages)


# -------------------------------------------------------------------------------- fates

FATES = {
    "host": {"UNDECIDED": ["44"], "joined": ["37", "40", "41", "42", "43", "45"], "kept": ["1", "2", "3", "4", "6", "11", "14", "36"], "capped": ["15"], "removed": ["5", "20", "21"]},
    "donor": {"UNDECIDED": ["264"], "joined": ["260", "261", "265", "266", "267", "268", "269", "270", "272"], "stored": ["262", "263", "271"]},
}
"""By hand, from the lines of the merge file."""
LETTERS = {"UNDECIDED": "U", "joined": "J", "kept": "K", "capped": "C", "removed": "R", "stored": "S"}


@pytest.mark.parametrize("source", ["host", "donor"])
def test_every_wire_stands_once_on_the_list_of_its_source_under_its_fate(context: Context, source: str) -> None:
    assert sorted(wire for wires in FATES[source].values() for wire in wires) == sorted(RAW[source]["wires"])
    under, found = "", {}
    for row in table_with(pages_of(context, f"fates-{source}"), "Wire", "Why"):
        under = row.band.removesuffix(" (continued)") or under
        if not row.band:
            wire = row.cells["Wire"].marks[0].text
            letter, fate = row["Fate"].split()
            assert under.startswith(f"{letter} {fate}: {len(FATES[source][fate])} wire") and LETTERS[fate] == letter
            found.setdefault(fate, []).append(wire.removeprefix(f"{source}/"))
    assert found == FATES[source]
    assert list(found) == [fate for fate in LETTERS if fate in found]


@pytest.mark.parametrize("source", ["host", "donor"])
def test_a_wire_stands_as_it_was_found(context: Context, source: str) -> None:
    for row in table_with(pages_of(context, f"fates-{source}"), "Wire", "Why"):
        if row.band:
            continue
        written = RAW[source]["wires"][row.cells["Wire"].marks[0].text.partition("/")[2]]
        for head, end in (("From", written["from"]), ("To", written["to"])):
            assert row.cells[head].boxes == 1 if end == "unknown" else row[head].split()[0] == f"{source}/{end}"
        assert row["Size, length"].startswith(written["size"].replace("mm2", "mm²")) and row["In the source"] == written["colour"] and row["Circuit"] == written.get("circuit", "")


def test_undecided_wires_are_loud_and_leave_room_for_a_fate(context: Context) -> None:
    pages = pages_of(context, "fates-host")
    loud = next(mark for page in pages for mark in page.marks if isinstance(mark, Text) and mark.text == "UNDECIDED: 1 of 19 wires.")
    assert (loud.height, loud.weight) == (3.5, "bold")
    row = next(row for row in table_with(pages, "Wire", "Why") if not row.band)
    assert row.cells["Why"].boxes == 1


def test_far_halves_reasons_and_what_leaves(context: Context) -> None:
    pages = pages_of(context, "fates-host")
    rows = {row.cells["Wire"].marks[0].text: row for row in table_with(pages, "Wire", "Why") if not row.band}
    # host/37 was 1200 mm of T2 with twice 50 mm for the ends; 600 mm of it stay
    assert rows["host/37"]["Joins, far half"] == "J1 far half R, 700 mm"
    assert rows["host/41"]["Joins, far half"] == "J6" and rows["host/37"]["Size, length"] == "0.75 mm² 1300 mm"
    assert rows["host/20"]["Why"] == "old engine" and rows["host/1"]["Why"] == "device host/SP8"
    assert rows["host/1"]["Size, length"] == "4 mm² 860 mm fits"
    gone = {row["What"]: (row["It is"], row["Why"]) for row in table_with(pages, "What", "Out")}
    assert gone == {"host/A0": ("device, old generator", "removed: old engine"), "host/R1": ("device, radio", "removed: old engine"),
                    "host/R2": ("device, roof lamp", "removed: no roof lamp"), "host/F3": ("fuse", "removed: nothing left behind it")}
    assert "Positions that become free: host/F3 in host/B1." in all_texts(pages)


def test_a_part_that_is_exchanged_stands_below_the_fates_of_its_source(context: Context) -> None:
    exchanged = merge_context({**FILES, "merge.yaml": f"{MERGE}\nfuses:\n  host/F1: {{rating: 10 A, note: for the new switch}}\n"})
    rows = [(row["What"], row["It is"], row["To be"]) for row in table_with(pages_of(exchanged, "fates-host"), "What", "To be")]
    assert rows == [("host/F1", "fuse", "rating 10 A, as found 15 A")]
    assert "What stays and is to be otherwise" not in all_texts((*pages_of(context, "fates-host"), *pages_of(exchanged, "fates-donor")))


def test_a_kept_wire_says_whether_it_reaches() -> None:
    longer = merge_context({**FILES, "merge.yaml": MERGE.replace("host/battery: battery tray", "host/battery: battery tray\n  host/G2: dashboard")})
    rows = {row.cells["Wire"].marks[0].text: row for row in table_with(pages_of(longer, "fates-host"), "Wire", "Why") if not row.band}
    # host/2 led from G1 to G2 in one place; now the 800 mm of T1 lie between them
    assert "short by 800 mm: extend at" in rows["host/2"]["Why"]
    assert "short by 800 mm: extend at" in " ".join(mark.text for mark in rows["host/2"].cells["Why"].marks if mark.weight == "bold")


# ---------------------------------------------------------------------------- interfaces

def interface_rows(context: Context) -> dict[str, Row]:
    """Part and terminal -> row."""
    part, rows = "", {}
    for row in table_with(pages_of(context, "interfaces"), "Terminal", "Far end"):
        part = row.band.partition(",")[0] or part
        if not row.band:
            rows[f"{part}.{row.cells['Terminal'].marks[0].text}"] = row
    return rows


def test_an_interface_stands_terminal_by_terminal(context: Context) -> None:
    rows = interface_rows(context)
    assert set(rows) == {"I1-F86.1", "I1-F86.2", "I1-K.86", "I1-K.85", "I1-K.30", "I1-K.87"}
    given = RAW_MERGE["interfaces"]["I1"]
    for terminal, role in (("85", "command"), ("87", "load")):
        row = rows[f"I1-K.{terminal}"]
        wire, written = wire_at(given[role])
        assert row["What it is, role"].endswith(f"{role}: {given[role]}")
        assert (row["Wire"], row["Far end"].split()[0], row["In the source"]) == (wire, given[role], written["colour"])
    assert rows["I1-K.30"]["Far end"].split()[0] == given["feed"] and rows["I1-K.86"]["Far end"].split()[0] == "I1-F86.2"
    assert "host/SP9" in rows["I1-F86.1"]["Through"]


def test_the_readings_are_those_of_the_solved_states(context: Context) -> None:
    row = interface_rows(context)["I1-K.87"]
    solved = context.operation.solved["fan on"]
    assert row["Volts off"] == row["Volts run"] == "0.00"
    assert row["Volts I1-K in, key run"] == f"{context.operation.read(solved, ['I1-K.87'])['I1-K.87']:.2f}"
    assert float(row["Volts I1-K in, key run"]) > 11
    # 12 V through a coil of 85 ohm: the output that closes to ground leaves less than a volt at 85
    assert float(interface_rows(context)["I1-K.85"]["Volts I1-K in, key run"]) < 1 < float(interface_rows(context)["I1-K.85"]["Volts run"])
    assert "I1-K in, key run: state 'fan on'." in " ".join(all_texts(pages_of(context, "interfaces")))


def test_the_recipe_stands_in_words_with_its_cautions(context: Context) -> None:
    said = unbroken(" ".join(all_texts(pages_of(context, "interfaces"))))
    interface = context.merge.interfaces["I1"]
    assert unbroken("I1: low-side output to case-grounded load") in said and unbroken("Join through I1: J8.") in said
    assert interface.notes and all(unbroken(note) in said for note in interface.notes)
    assert unbroken("it must be within the limit of the output") in said


def test_without_a_supply_there_are_no_volts() -> None:
    context = merge_context(solve=False)
    heads = {head for row in table_with(pages_of(context, "interfaces"), "Terminal", "Far end") for head in row.cells}
    assert "Far end" in heads and not any(head.startswith("Volts") for head in heads)


def test_a_diode_and_its_splice_have_rows() -> None:
    text = MERGE.replace("joins:\n", "joins:\n  J5: {ends: [host/R2.1, donor/N1.1], method: crimp splice, through: I2}\n").replace(
        "  - {fate: removed, device: host/R2, why: no roof lamp}\n", "").replace("  - {fate: removed, device: host/F3, why: nothing left behind it}\n", "").replace(
        "  J3: {ends: [host/X6.3, donor/N1.1]", "  J3: {ends: [host/X6.3, unknown]").replace(
        "states:\n", "  I2: {recipe: charge lamp excitation, lamp: host/R2.1, alternator: donor/N1.1, feed: host/SP9, resistor: \"47 ohm, 5 W\"}\nstates:\n")
    context = merge_context({**FILES, "merge.yaml": text})
    part, rows = "", {}
    for row in table_with(pages_of(context, "interfaces"), "Terminal", "Far end"):
        part = row.band.partition(",")[0] or part
        if not row.band and part.startswith("I2"):
            name = f"{part} {row.cells['Terminal'].marks[0].text}"
            assert name not in rows      # the wire I2-S, which leads to the splice I2-S, gives it no second row
            rows[name] = row["What it is, role"]
    assert rows["I2-D A"] == "anode" and rows["I2-D K"] == "cathode, the end with the ring alternator: donor/N1.1"
    assert rows["I2-S I2-S"] == "lamp: host/R2.1" and {"I2-R 1", "I2-R 2"} <= set(rows)
    for page in pages_of(context, "interfaces"):
        assert_tidy(page)


# ------------------------------------------------------------------------------- closure

def closure_rows(context: Context) -> list[tuple[str, Row]]:
    """(what it stands under, row) of the loose ends."""
    under, rows = "", []
    for row in table_with(pages_of(context, "closure"), "Leaves there", "To do"):
        under = row.band.removesuffix(" (continued)") or under
        rows += [] if row.band else [(under, row)]
    return rows


def test_loose_ends_stand_under_live_or_dead_with_what_to_do(context: Context) -> None:
    rows = closure_rows(context)
    live = {row["At"].split()[0]: row for under, row in rows if under.startswith("Live")}
    assert set(live) == {"host/SP8", "host/F2.2", "host/SP9"}
    assert live["host/F2.2"]["To do"] == "de-pin; plug the cavity" and live["host/F2.2"]["Live in"] == "every state" and live["host/F2.2"]["Leaves there"] == "host/20 R removed"
    # SP9 is behind the key switch: dead with the key off
    assert live["host/SP9"]["To do"] == "cut back at the splice and insulate" and live["host/SP9"]["Leaves there"] == "host/45-far R removed"
    assert live["host/SP9"]["Live in"] == "key run; key start"
    assert live["host/SP9"]["Wire"] == "0.75 mm² BK (sw)"
    dead = {row["At"].split()[0] for under, row in rows if under.startswith("Dead")}
    assert "donor/X30.1" in dead and not dead & set(live)
    assert len(rows) == 11 and "11 in all: 3 live, 8 dead." in " ".join(all_texts(pages_of(context, "closure")))
    assert all(row.cells["Done"].boxes == 1 for _, row in rows)


def test_without_a_solution_nothing_is_called_dead() -> None:
    rows = closure_rows(merge_context(solve=False))
    assert {under for under, _ in rows} == {"Not known whether live: the circuit is not solved there"} and {row["Live in"] for _, row in rows} == {"not known"}


def test_cavities_with_nothing_in_them(context: Context) -> None:
    under, found = "", []
    for row in table_with(pages_of(context, "closure"), "Held as found", "Plugged"):
        under = row.band or under
        if not row.band:
            found.append((under.partition(":")[0], row["At"].split()[0], row["Held as found"], row["Why it is left open"], row.cells["Why it is left open"].boxes))
    assert found == [("Open without a reason", "host/X1.50", "host/15", "", 1), ("Open on purpose", "donor/E1.6", "nothing", "no neutral switch in this gearbox", 0)]


def test_what_is_not_decided_is_said_loud_and_listed(context: Context) -> None:
    pages = pages_of(context, "closure")
    said = next(mark for mark in pages[0].marks if isinstance(mark, Text) and mark.text.startswith("Not closed"))
    assert said.text == "Not closed: 2 wires undecided, 1 join with an end not found yet, 1 join without a place, 1 cavity open without a reason." and said.weight == "bold"
    assert [(row["How many"], row["Which"]) for row in table_with(pages, "Not decided", "Which")] == [("1", "host/44"), ("1", "donor/264"), ("1", "J10"), ("1", "J10")]


def decided(place: str) -> Context:
    """The merge with all decided; ``place``: that of J10."""
    text = MERGE.replace("fates:\n", "fates:\n  - {fate: kept, wire: [host/44, donor/264]}\n").replace("ends: [unknown, donor/E1.5]", f"ends: [host/R2.1, donor/E1.5]{place}").replace(
        "  - {fate: removed, device: host/R2, why: no roof lamp}\n", "").replace("  - {fate: removed, device: host/F3, why: nothing left behind it}\n", "").replace(
        "open:\n", "open:\n  host/X1.50: for later\n")
    return merge_context({**FILES, "merge.yaml": text})


def test_a_merge_that_is_closed_says_so() -> None:
    pages = pages_of(decided(", place: dashboard"), "closure")
    assert any(text.startswith("Closed: every wire has its fate") for text in all_texts(pages))
    assert not table_with(pages, "Not decided", "Which")


def test_a_join_that_nobody_has_put_anywhere_is_counted_and_keeps_the_merge_open() -> None:
    context = decided("")
    closing, joins, cover = (pages_of(context, name) for name in ("closure", "joins", "cover"))
    assert "Not closed: 1 join without a place." in all_texts(closing)
    assert [(row["Not decided"], row["Which"]) for row in table_with(closing, "Not decided", "Which")] == [("Joins without a place", "J10")]
    assert "9 joins, both ends of each are known. 1 without a place: J10." in all_texts(joins)
    made = rows_by_number(context)["J10"].cells["How it is made"]
    assert (" ".join(made.lines), made.boxes) == ("crimp splice place not given", 1)
    assert [row["Where"] for row in table_with(joins, "Where", "Method") if not row.band and row["Join"] == "J10"] == ["place not given"]
    said = texts(cover[0])
    assert said[said.index("joins without a place") + 1] == "1"
    assert "joins without a place" not in all_texts(pages_of(decided(", place: dashboard"), "cover"))


# --------------------------------------------------------------------------------- cover

def test_the_cover_names_the_sources_and_counts_their_wires(context: Context) -> None:
    pages = pages_of(context, "cover")
    rows = table_with(pages, "Source", "UNDECIDED")
    fates = ("UNDECIDED", "Joined", "Kept", "Capped", "Removed", "Stored")
    expected = {source: [len(FATES[source].get(fate if fate == "UNDECIDED" else fate.lower(), ())) for fate in fates] for source in FATES}
    found = {row["Source"].split()[0]: [int(row[fate]) for fate in fates] for row in rows}
    assert found == {**expected, "all": [sum(counts) for counts in zip(*expected.values(), strict=True)]}
    assert rows[0]["Source"].endswith("Camper, as found camper.yaml") and [row["Wires"] for row in rows] == ["19", "13", "32"]
    loud = next(mark for mark in pages[0].marks if isinstance(mark, Text) and mark.text.startswith("UNDECIDED: "))
    assert loud.text.startswith("UNDECIDED: 2 of 32 wires.") and (loud.height, loud.weight) == (3.5, "bold")
    said = texts(pages[0])
    for caption, count in (("joins", "9"), ("ends not found", "1"), ("interfaces", "1"), ("far halves", str(len(context.merge.far_halves)))):
        assert said[said.index(caption) + 1] == count


def test_ids_of_a_merge_stand_whole_in_the_short_lists() -> None:
    pages = pages_of(merge_context(), "cover")
    assert {row["Position"] for row in table_with(pages, "Position", "Feeds")} >= {"host/F1", "host/F2", "host/F4", "I1-F86"}


# ------------------------------------------------------------------------- book and lists

def test_the_sheets_of_a_merge_stand_after_the_splices(context: Context) -> None:
    kinds = list(dict.fromkeys(ref.kind for ref in context.sheets))
    assert kinds[kinds.index(SheetKind.SPLICES) + 1:][:4] == list(KINDS)
    assert [ref.title for ref in context.sheets if ref.kind is SheetKind.FATES] == ["host, Camper, as found", "donor, Hatchback engine"]
    assert not {"host", "donor"} & set(context.sheet_of)


def test_a_plain_harness_has_none_of_them() -> None:
    plain = make_context(load("camper.yaml", {"camper.yaml": HOST}).version, Options())
    assert plain.merge is None and not {ref.kind for ref in plain.sheets} & set(KINDS)
    assert not set(lists_of(plain)) & set(MERGE_LISTS)
    assert "Merged from" not in all_texts(pages_of(plain, "cover"))


def test_a_merge_without_interfaces_has_no_interface_sheet() -> None:
    text = MERGE.replace("  J8: {ends: [host/X9.1, donor/E1.2], method: crimp splice, through: I1}\n", "").replace("  I1: bulkhead\n", "")
    context = merge_context({**FILES, "merge.yaml": text[:text.index("interfaces:")] + text[text.index("states:"):]})
    assert SheetKind.INTERFACES not in {ref.kind for ref in context.sheets} and SheetKind.JOINS in {ref.kind for ref in context.sheets}


@papers
def test_every_sheet_of_the_book_is_tidy(paper: str) -> None:
    context = merge_context(paper=paper, units="in" if paper == "letter" else "mm")
    for ref in context.sheets:
        for page in draw_sheet(context, ref).pages:
            assert_tidy(page)


def test_the_narrow_join_sheet_has_every_number_end_and_label(context: Context) -> None:
    narrow = pages_of(merge_context(paper="a5"), "joins")
    numbers = [mark.text for page in narrow for mark in page.marks if isinstance(mark, Text) and mark.height == LARGE_MM and mark.weight == "bold"]
    assert [number for number in numbers if number in RAW_MERGE["joins"]] == list(rows_by_number(context))
    rows = {row.cells["Join"].marks[0].text: row for row in table_with(narrow, "Join", "Stays at, label") if not row.band}
    for id, wide in rows_by_number(context).items():
        for number in (0, 1):
            said = unbroken(part_of(rows[id], "Stays at, label", number))
            assert unbroken(part_of(wide, "Label at the join", number)) in said
            wire = unbroken(part_of(rows[id], "Wire", number))
            assert all(unbroken(part_of(wide, head, number)) in wire for head in ("Size", "Stub"))
            assert part_of(rows[id], "Colour", number) == f"{part_of(wide, 'Colour', number)} {part_of(wide, 'In the source', number)}".strip()


def test_the_list_of_joins_has_a_line_an_end(context: Context) -> None:
    rows = list(csv.DictReader(io.StringIO(joins_csv(context))))
    assert [(row["join"], row["end"], row["address"]) for row in rows] == [(id, letter, address) for id in sorted(RAW_MERGE["joins"], key=lambda id: int(id[1:]))
                                                                          for letter, address in zip("AB", RAW_MERGE["joins"][id]["ends"], strict=True)]
    by_end = {(row["join"], row["end"]): row for row in rows}
    one = by_end["J1", "B"]
    assert (one["wire"], one["size"], one["colour"], one["colour-as-stated"], one["stub-mm"], one["stub-measured"], one["cut"]) == ("donor/260", "0.5 mm²", "WH/BU", "W-L", "1500", "yes", "yes")
    assert (one["place"], one["strip-mm"], one["overlap-mm"], one["label"]) == ("40 mm from bulkhead toward engine bay", "8", "12", "J1 | donor/260 | 0.5 mm² WH/BU | to donor/A1.L")
    assert (by_end["J2", "A"]["place"], by_end["J4", "B"]["stub-less-way-mm"], by_end["J6", "A"]["cut"], by_end["J8", "A"]["through"], by_end["J10", "A"]["wire"]) == ("at dashboard", "-800", "no", "I1", "")


def test_the_list_of_fates_has_a_line_a_wire(context: Context) -> None:
    rows = list(csv.DictReader(io.StringIO(fates_csv(context))))
    found: dict[str, dict[str, list[str]]] = {}
    for row in rows:
        found.setdefault(row["source"], {}).setdefault(row["fate"].replace("undecided", "UNDECIDED"), []).append(row["wire"].partition("/")[2])
    assert found == FATES
    one = next(row for row in rows if row["wire"] == "host/37")
    assert (one["from"], one["to"], one["length-mm"], one["joins"], one["far-half"], one["far-half-mm"]) == ("host/X7.2", "host/A0.D+", "1300", "J1", "removed", "700")
    # T1 is 800 mm and T2 1200 mm from G2 to X9, where M0 is 500 mm now
    assert (one["length-less-way-mm"], next(row for row in rows if row["wire"] == "host/44")["length-less-way-mm"]) == ("", "1500")


# ------------------------------------------------------------------------- what changed

NEW = MERGE
for _old, _new in (("method: solder", "method: crimp splice"), ("ends: [unknown, donor/E1.5]", "ends: [host/X9.2, donor/E1.5]"), ("device: [host/A0, host/R1], why: old engine", "device: [host/A0, host/R1], why: sold"),
                   ("coil: 85 ohm", "coil: 90 ohm"), ("  J7: {ends", "  J17: {ends"), ("no neutral switch in this gearbox", "the gearbox has none"),
                   ("  - {fate: removed, device: host/R2, why: no roof lamp}\n  - {fate: removed, device: host/F3, why: nothing left behind it}\n", "  - {fate: kept, device: host/R2}\n")):
    assert _old in NEW, _old
    NEW = NEW.replace(_old, _new)


def since_context(old: str, new: str, **options: str) -> Context:
    versions = [merged({**FILES, "merge.yaml": text}).version for text in (old, new)]
    before, now = (make_context(version, Options(**options)) for version in versions)
    return replace(now, since=Since(before, compare(*versions), "B"))


def struck(pages: Iterable[Drawing]) -> list[str]:
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Text) and mark.tag == "struck"]


def clouded(pages: Iterable[Drawing]) -> int:
    return sum(mark.tag == "cloud" for page in pages for mark in page.marks)


MARKED = ("cover", "joins", "interfaces", "fates-host", "fates-donor", "closure")


def test_nothing_is_marked_where_nothing_changed(context: Context) -> None:
    same = since_context(MERGE, MERGE)
    for name in MARKED:
        assert pages_of(same, name) == pages_of(context, name), name


@pytest.fixture(scope="module")
def changed() -> Context:
    return since_context(MERGE, NEW)


def test_a_join_that_is_gone_is_struck_whole_and_a_new_one_clouded(changed: Context) -> None:
    pages = pages_of(changed, "joins")
    was = struck(pages)
    assert {"J7", "host/X6.1", "gauge plug", "temp gauge snd.", "host/40", "donor/N2.1", "worked out"} <= set(was)
    assert "solder" in was and "not found yet" in was
    assert any(mark.text == "J17" and mark.height == LARGE_MM for page in pages for mark in page.marks if isinstance(mark, Text))
    assert clouded(pages) > 0


def test_a_fate_that_changed_has_the_old_one_struck(changed: Context) -> None:
    pages = pages_of(changed, "fates-host")
    assert {"R removed", "U UNDECIDED"} <= set(struck(pages)) and "UNDECIDED: 1 of 19 wires." in struck(pages)
    rows = {row.cells["Wire"].marks[0].text: row for row in table_with(pages, "Wire", "Why") if not row.band}
    assert rows["host/21"].cells["Fate"].lines == ("K kept", "R removed") and rows["host/44"].cells["Fate"].lines == ("J joined", "U UNDECIDED")
    assert struck(pages_of(changed, "fates-donor")) == ["J7"]


def test_cover_interface_and_closure_show_what_changed(changed: Context) -> None:
    assert {"UNDECIDED: 2 of 32 wires."} <= set(struck(pages_of(changed, "cover")))
    assert any("coil 85 ohm" in text for text in struck(pages_of(changed, "interfaces")))
    assert "no neutral switch in this gearbox" in struck(pages_of(changed, "closure"))


@papers
def test_marked_sheets_are_tidy(paper: str) -> None:
    context = since_context(MERGE, NEW, paper=paper)
    for name in MARKED:
        for page in pages_of(context, name):
            assert_tidy(page)


def test_a_merge_made_of_what_was_one_harness_marks_its_sheets_as_new() -> None:
    old, new = load("camper.yaml", {"camper.yaml": HOST}).version, merged().version
    before, now = make_context(old, Options()), make_context(new, Options())
    context = replace(now, since=Since(before, compare(old, new), "B"))
    for name in MARKED:
        pages = pages_of(context, name)
        assert name == "cover" or "New sheet" in all_texts(pages)
        for page in pages:
            assert_tidy(page)


def test_the_fate_list_of_a_source_is_exchanged_for_that_of_the_same_source() -> None:
    first, second = "  host: {file: camper.yaml, role: host}\n", "  donor: {file: engine.yaml, role: donor}\n"
    turned = MERGE.replace(first + second, second + first).replace("long enough for the oil lamp", "for the oil lamp")
    old, new = (merged({**FILES, "merge.yaml": text}).version for text in (MERGE, turned))
    book = draw_exchange_book(compare(old, new), Options())
    assert [ref.title for ref in book.context.sheets if ref.kind is SheetKind.FATES] == ["donor, Hatchback engine", "host, Camper, as found"]
    exchange = next(sheet for sheet in book.sheets if sheet.ref.kind is SheetKind.EXCHANGE)
    rows = {row["Sheet"]: (row["Put in"], row["Take out"], row["Why"]) for row in table_with(exchange.pages, "Put in", "Take out") if row["Sheet"].startswith("Fates")}
    number = {ref.title: str(ref.number) for ref in make_context(old, Options()).sheets}
    donor, host = rows["Fates: donor, Hatchback engine"], rows["Fates: host, Camper, as found"]
    assert (donor[1], host[1]) == (number["donor, Hatchback engine"], number["host, Camper, as found"])
    assert donor[2] == "changed" and host[2] == "only numbers"


def test_by_place_the_bundle_stands_before_at_and_after_each_splice(context: Context) -> None:
    """Worked out here from the wires that pass each side of the splice."""
    rows = [row for row in table_with(pages_of(context, "joins"), "Where", "Bundle before, at, after") if not row.band]
    told = {row["Join"]: row["Bundle before, at, after"] for row in rows if row["Bundle before, at, after"]}
    assert told
    for number, text in told.items():
        stations = [context.geometry.stations[splice] for splice in context.merge.joins[number].splices]
        expected = set()
        for station in stations:
            if station.segment is None:
                continue
            sides = []
            for is_before in (True, False):
                wires = [wire for stretch in context.geometry.bundles[station.segment].stretches for wire in stretch.wires
                         if (stretch.to_mm if is_before else stretch.from_mm) == station.offset_mm]
                sides.append(bundle_diameter_mm([context.geometry.diameters[wire] for wire in wires]))
            expected.add((context.mm(sides[0]), context.mm(sides[1])))
        before, there, after = text.split(" / ")
        assert (before, after) in expected and (there == "?" or float(there.split()[0]) > 0)
